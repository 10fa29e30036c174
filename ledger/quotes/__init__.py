"""Quotes: what a client is promised, kept word for word from the day it was sent.

An `Offer` (`offer`) is everything the client reads, and nothing else: `draft` makes one from a
job's cost sheet, `terms` does its arithmetic (tax by the taxable part, payments that add up),
`wording` brings the shop's own sentences. Sending freezes it: `snapshot` turns it into the bytes
that are kept with their SHA-256 and schema number, the cost basis of that day beside it and apart.
`revisions` holds numbers, states and the one live revision; `check` reads every frozen page again.
`text` writes an offer as plain text, and `kit` compares a commission with a kit that is bought.

`contract` says what of a job was agreed, changed, paid and invoiced by a day; `billing` chooses
what the next invoice or payment request is for, `credits` answers one that was sent, `canceling`
credits what a cancellation gives back; `issuing` numbers and posts them, `required` says what they
lack. An `Invoice` (`invoice`) is such a paper as it was frozen.

Outside names: `draft.draft_quote`, `revisions.find_quote` and its verbs, `check.check_quotes`,
`billing.write_invoice`, `credits.write_credit`.
"""
