"""The nouns of the command line: where each lives and its one line of help.

A noun's module is imported only when that noun is used, so that a short command starts at once.
"""

NOUNS: dict[str, tuple[str, str]] = {
    "new": ("ledger.cli.new:app", "Make a book for a workshop."),
    "shop": ("ledger.cli.shop:app", "The shop's settings: rates, markups, saw, taxes."),
    "material": ("ledger.cli.material:app", "Materials and their dated prices."),
    "design": ("ledger.cli.design:app", "Parametric parts lists and their versions."),
    "job": ("ledger.cli.job:app", "Commissions: open, answer, costs, past jobs."),
    "layout": ("ledger.cli.layout:app", "Parts laid out on sheets."),
    "price": ("ledger.cli.price:app", "What a job costs and what it should be sold for."),
    "quote": ("ledger.cli.quote:app", "Quotes: draft, send, accept, check."),
    "standards": ("ledger.cli.standards:app", "Operations and their standard times."),
}
