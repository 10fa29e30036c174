"""Stock: materials and their dated prices, receipts, lots, movements and the offcut rack.

A material is what the shop knows about a thing it buys; its price is a dated row by supplier. What
comes in is a receipt whose lines make lots; what leaves draws from lots, first in first out, at the
lot's own cost, and the last draw takes the remainder, so that values tie to the cent. Full value and
cash stand side by side: a lot in kind has its fair value and a cash of zero.
"""
