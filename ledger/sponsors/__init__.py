"""Sponsors: what was agreed with them, what was published, and what became of what they gave.

Their goods are lots of stock that carry their name; this room reads those through the book's
questions and adds agreements, publications, deliverables and disclosures. `statement` (opening,
received, used, wasted, sent back, closing) and `withheld` (what a sponsor must not read of clients
and other givers) are arithmetic on plain values. `account` is the accountant's side: income in
kind, the same value as expense, tools kept, loans apart. The report for a sponsor is put together
in `ledger.reports.sponsor`.
"""

from ledger.sponsors.account import in_kind_account
from ledger.sponsors.agreements import add_sponsor, agree, deliverables_due, find_sponsor
from ledger.sponsors.publications import disclose, publish, undisclosed

__all__ = [
    "add_sponsor",
    "agree",
    "deliverables_due",
    "disclose",
    "find_sponsor",
    "in_kind_account",
    "publish",
    "undisclosed",
]
