"""What must hold in this room when a deed is taken back."""

from collections.abc import Sequence

from ledger.book.journal import ReversalRule
from ledger.quotes.revisions import keep_quotes

REVERSAL_RULES: Sequence[ReversalRule] = (keep_quotes,)
