"""Bench Ledger: what a one-person furniture workshop's jobs cost, and what they should be sold for.

The tour, from the ground up: `errors` holds the refusals; `measures` the exact lengths, money,
quantities, durations and days; `book` the SQLite file in which nothing posted is ever changed;
`designs` parametric parts lists; `cutting` sheets laid out and checked; `stock` materials, lots and
offcuts; `sponsors` material in kind and what was promised for it; `labor` operations, hours and
what they teach; `costing` take-off and price; `jobs` a commission from start to close-out; `quotes`
what the client is promised; `reports` rows and totals; `workbooks` the spreadsheets; `cli` the
terminal. Imports go downward only, in just that order read from the end.
"""

__version__ = "0.1.0"
