"""The nouns of the command line: where each lives and its one line of help.

A noun's module is imported only when that noun is used, so that a short command starts at once.
"""

NOUNS: dict[str, tuple[str, str]] = {
    "new": ("ledger.cli.new:app", "Make a book for a workshop."),
    "today": ("ledger.cli.today:app", "What is open today, and the weeks booked."),
    "shop": ("ledger.cli.shop:app", "The shop's settings: rates, markups, saw, taxes."),
    "material": ("ledger.cli.material:app", "Materials and their dated prices."),
    "receipt": ("ledger.cli.receipt:app", "Receipts: load, add, list, show, reverse."),
    "stock": ("ledger.cli.stock:app", "Stock: on hand, issues, returns, counts, offcuts."),
    "design": ("ledger.cli.design:app", "Parametric parts lists and their versions."),
    "job": ("ledger.cli.job:app", "Commissions: open, answer, costs, past jobs."),
    "layout": ("ledger.cli.layout:app", "Parts laid out on sheets."),
    "price": ("ledger.cli.price:app", "What a job costs and what it should be sold for."),
    "quote": ("ledger.cli.quote:app", "Quotes: draft, send, accept, check."),
    "kit": ("ledger.cli.kit:app", "Kits that are sold, and a job next to one."),
    "papers": ("ledger.cli.papers:app", "Every paper of a job, into a folder."),
    "clock": ("ledger.cli.clock:app", "One clock for the hours: on, off, show."),
    "hours": ("ledger.cli.hours:app", "Hours as they were worked: add, again, load, list."),
    "standards": ("ledger.cli.standards:app", "Operations and their standard times."),
    "month": ("ledger.cli.month:app", "The month: spend, stock, jobs, the accountant's files."),
    "year": ("ledger.cli.year:app", "The year's end: stock, driving, jobs, goods in kind."),
    "review": ("ledger.cli.review:app", "For you alone: what earned, quotes, time, rates."),
    "sponsor": ("ledger.cli.sponsor:app", "Sponsors: goods, promises, publications, reports."),
    "serve": ("ledger.cli.serve:app", "A page for phones and tablets in the shop."),
    "undo": ("ledger.cli.undo:app", "Take the last entry back, or one by its number."),
    "backup": ("ledger.cli.backup:app", "Copy the book to a new file, and verify the copy."),
    "restore": ("ledger.cli.restore:app", "Put a copy in the book's place."),
    "check": ("ledger.cli.check:app", "Check that the book is whole and that it ties."),
    "export": ("ledger.cli.export:app", "Write every table of the book as a CSV file."),
}
