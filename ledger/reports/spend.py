"""What material cost in a time: net, paid and landed, told apart in three ways that agree.

Net is what the documents say before tax; paid is net and the tax paid to suppliers; landed is what
the goods cost the shop in the end: paid and the use tax it owes, less the tax it gets back.

Beside it stand costs of jobs that came without a receipt, and what suppliers kept of goods that
went back from stock: neither is in the landed cost.
"""

from datetime import date
from typing import Any

from msgspec import Struct

from ledger.book import Book
from ledger.book.questions import month
from ledger.book.questions.month import Named
from ledger.book.questions.month_rows import NotedCost, noted_costs
from ledger.book.questions.review import kept_by_suppliers
from ledger.jobs.answers import kind_names
from ledger.measures.fields import made_of
from ledger.measures.grouped import grouped
from ledger.measures.money import Currency, Money, total
from ledger.measures.plain import plain, plain_fields, plain_rows
from ledger.stock.prices import has_use_tax

OTHER_COSTS = "Other costs of jobs, without a receipt"
KEPT = "Kept by suppliers of goods sent back from stock"
KEPT_MEANS = "cost of the goods without freight, less what was credited"
FREIGHT_LOST = "Freight lost on goods sent back from stock"
FREIGHT_MEANS = "paid for bringing them; no credit note gave it back"
"""How the figures beside the spend are called wherever they stand."""


class Spend(Struct, frozen=True):
    """The spend of some days; its three ways of telling it apart each come to `landed`.

    `has_use_tax` says whether the shop can owe use tax, or owed some in these days. Not in
    `landed`: `noted`, the other costs of jobs, and `kept_by_suppliers`, the cost of goods sent back
    from stock less what was credited for them, negative where more was; `freight_lost` is the part
    of that which was paid for bringing them.
    """

    net: Money
    tax_paid: Money
    paid: Money
    recoverable: Money
    use_tax: Money
    has_use_tax: bool
    landed: Money
    in_kind: Money
    by_supplier: tuple[Named, ...]
    by_category: tuple[Named, ...]
    by_job: tuple[Named, ...]
    in_kind_from: tuple[Named, ...]
    noted: tuple[NotedCost, ...]
    kept_by_suppliers: Money
    freight_lost: Money

    @property
    def not_credited(self) -> tuple[tuple[str, Money, str], ...]:
        """What was lost on goods sent back from stock, as rows: kept of the goods, and freight."""
        freight = self.freight_lost
        rows = ((KEPT, self.kept_by_suppliers - freight, KEPT_MEANS),)
        return (*rows, (FREIGHT_LOST, freight, FREIGHT_MEANS)) if freight else rows

    @property
    def other_costs(self) -> Money:
        """What was noted on jobs as it came, without a receipt."""
        return total(cost.amount for cost in self.noted)

    @property
    def other_by_kind(self) -> tuple[Named, ...]:
        """The other costs of jobs by their kind, in the order in which they came."""
        return self._other_by("kind")

    @property
    def other_by_job(self) -> tuple[Named, ...]:
        """The other costs of jobs by the job's number."""
        return tuple(sorted(self._other_by("job")))

    def _other_by(self, field: str) -> tuple[Named, ...]:
        parts = grouped(self.noted, lambda cost: getattr(cost, field))
        return tuple(Named(name, total(c.amount for c in own)) for name, own in parts.items())

    def beside_words(self, currency: Currency) -> list[str]:
        """Sentences on what was spent beside material, and on what suppliers kept."""
        show, words = currency.show, []
        if self.noted:
            kinds = ", ".join(f"{part.name} {show(part.amount)}" for part in self.other_by_kind)
            words.append(f"{OTHER_COSTS}: {show(self.other_costs)} ({kinds}).")
        return words + [f"{name}: {show(lost)}." for name, lost, _ in self.not_credited if lost]


def spend_between(book: Book, first: date, last: date) -> Spend:
    """What material cost from one day to another, both included."""
    sums = month.spend_sums(book, first, last)
    on_use = month.tax_on_use(book, first, last)
    kinds = kind_names(book.units)
    noted = noted_costs(book, first, last)
    kept = kept_by_suppliers(book, first, last)
    return made_of(
        Spend,
        sums,
        paid=sums.net + sums.tax_paid,
        use_tax=sums.use_tax + on_use,
        has_use_tax=bool(sums.use_tax or on_use) or has_use_tax(book),
        landed=sums.landed + on_use,
        by_supplier=tuple(month.landed_by_supplier(book, first, last)),
        by_category=tuple(month.landed_by_category(book, first, last)),
        by_job=tuple(month.landed_by_job(book, first, last)),
        in_kind_from=tuple(month.in_kind_by_giver(book, first, last)),
        noted=tuple(cost._replace(kind=kinds.get(cost.kind, cost.kind)) for cost in noted),
        kept_by_suppliers=kept.full,
        freight_lost=kept.freight,
    )


def other_costs_json(spend: Spend, currency: Currency) -> dict[str, Any]:
    """As JSON, what stands beside the spend: costs of jobs without a receipt, what suppliers kept.

    Shape: other_costs {amount, by_kind [name, amount], by_job [name, amount]}, kept_by_suppliers,
    freight_lost.
    """
    rows = {
        key: plain_rows(getattr(spend, f"other_{key}"), "name amount", currency)
        for key in ("by_kind", "by_job")
    }
    return {
        "other_costs": {"amount": plain(spend.other_costs, currency), **rows},
        **plain_fields(spend, "kept_by_suppliers freight_lost", currency),
    }
