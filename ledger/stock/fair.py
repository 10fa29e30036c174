"""Goods that cost nothing: given in kind at a fair value, or borrowed and never ours."""

from ledger.stock.documents import Document

METHODS = ("usual buying price", "retail price seen", "declared by the giver")
"""How a fair value was found, best evidence first (common practice)."""


def check_free_goods(document: Document) -> list[str]:
    """What is wrong with goods in kind or on loan, each as a sentence.

    A fair value says how it was found: goods that cost no cash are income in kind at that value,
    and they are never worth nothing to the job that uses them.
    """
    if document.kind not in ("in_kind", "borrowed"):
        return []
    faults: list[str] = []
    if (
        document.discount
        or document.tax
        or any(
            line.tax_paid or line.discount or line.category == "freight" for line in document.lines
        )
    ):
        faults.append(
            "Goods in kind or on loan carry no discount, tax or freight; enter what you paid for"
            " their way as a receipt of its own."
        )
    for line in document.lines:
        if line.category == "freight":
            continue  # it is refused already, and has no fair value
        if document.kind == "in_kind" and line.quantity and not line.net:
            faults.append(f"{line.words}: goods in kind have a fair value; say what one is worth.")
        if document.kind == "in_kind" and line.method not in METHODS:
            faults.append(
                f"{line.words}: say how its fair value was found: {', '.join(METHODS)};"
                f" not “{line.method}”."
            )
        if document.kind == "borrowed" and any(s.place != "stock" for s in line.shares):
            faults.append(f"{line.words}: what is borrowed is not ours to put into a job.")
    return faults
