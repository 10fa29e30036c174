"""Quotes: what a client is promised, kept word for word from the day it was sent.

An `Offer` (`offer`) is everything the client reads, and nothing else: `draft` makes one from a
job's cost sheet, `terms` does its arithmetic (tax by the taxable part, payments that add up),
`wording` brings the shop's own sentences. Sending freezes it: `snapshot` turns it into the bytes
that are kept with their SHA-256 and schema number, the cost basis of that day beside it and apart.
`revisions` holds numbers, states and the one live revision; `check` reads every frozen page again.
`text` writes an offer as plain text, `invoice` the papers that ask for its payments, and `kit`
compares a commission with a kit that is bought.

Outside names: `draft.draft_quote`, `revisions.find_quote` and its verbs, `check.check_quotes`.
"""
