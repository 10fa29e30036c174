"""What is to be bought for the jobs at hand: need − on hand − offcuts, in whole packs.

A job needs what its price counts. Of that it may have been given some already; the rest is met
from stock in the order in which it will be drawn, what sponsors gave told apart, and pieces on the
rack stand in its layout. What is still short is added up over the jobs and bought in whole packs,
at the price of today. Jobs that are won are served first; a piece on the rack goes to one job.
"""

from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction

from msgspec import Struct, field

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.book.tables.materials import Material
from ledger.costing.takeoff import needed
from ledger.jobs.answers import to_give_out
from ledger.jobs.assembling import assemble
from ledger.jobs.jobs import is_won, jobs, state_of
from ledger.jobs.plans import outgrown
from ledger.jobs.pricing import taken_of
from ledger.jobs.shared_needs import SharedNeeds, shared_needs
from ledger.measures.money import Currency, Money, sales_tax, total
from ledger.measures.quantity import Quantity
from ledger.stock.cover import (
    NONE,
    OWN,
    Cover,
    cover,
    goods_given,
    goods_on_hand,
    packs_of,
    still_short,
)
from ledger.stock.materials import materials, supplier_names
from ledger.stock.prices import CostPrice, current_prices, purchase_tax
from ledger.stock.use_tax import improvement_of, use_tax_rate

DONE = frozenset({"ready", "installed", "closed", "canceled"})
"""States of a job for which nothing is bought any more."""


class ForJob(Struct, frozen=True):
    """A job on the list; one that is not won yet may still come to nothing.

    The material of an improvement of real property is bought with tax paid.
    """

    number: str
    title: str
    is_won: bool
    is_improvement: bool


class BuyingLine(Struct, frozen=True):
    """One material: what the jobs need of it, what covers that, what is to be bought.

    `packs` are of `pack` stock units each; `amount` is None where no price is known. `shared_with`
    are jobs that need the same sheets and are not on this list: they are bought once. `tax_inside`
    is about what tax that stays a cost is in the amount already, `tax` what is to be paid on top
    where it is bought for improvements of real property, the rest of a pack by their share.
    """

    material: str
    name: str
    kind: str
    unit: str
    jobs: tuple[tuple[str, Quantity], ...]
    need: Quantity
    given: Quantity
    from_stock: Quantity
    from_sponsors: tuple[tuple[str, Quantity], ...]
    short: Quantity
    pack: Quantity
    packs: int | None
    buy: Quantity
    supplier: str
    price: Decimal | None
    price_day: date | None
    is_stale: bool
    amount: Money | None
    tax: Money
    tax_inside: Money
    shared_with: tuple[str, ...] = ()


class OffcutUsed(Struct, frozen=True):
    """A piece on the rack that a job's layout is cut from."""

    job: str
    material: str
    lot: int


class BuyingList(Struct, frozen=True):
    """All that the jobs need; what is to be bought stands by supplier."""

    as_of: date
    currency: Currency
    stale_days: int
    jobs: tuple[ForJob, ...]
    lines: tuple[BuyingLine, ...]
    offcuts: tuple[OffcutUsed, ...]
    others: tuple[tuple[str, Money, int], ...] = ()
    """Work of others to be given out: what it is, its price, the days it takes."""
    shared: SharedNeeds = SharedNeeds()
    promised: tuple[str, ...] = ()
    """What of the stock that covers these jobs is promised to other jobs as well, in words."""

    @property
    def to_buy(self) -> tuple[BuyingLine, ...]:
        """The lines of which something is short."""
        return tuple(line for line in self.lines if line.short)

    @property
    def by_supplier(self) -> dict[str, tuple[BuyingLine, ...]]:
        """What is to be bought, by supplier; without a known supplier under an empty name."""
        names = sorted({line.supplier for line in self.to_buy}, key=lambda name: (not name, name))
        return {
            name: tuple(line for line in self.to_buy if line.supplier == name) for name in names
        }

    @property
    def total(self) -> Money:
        """What it comes to at today's prices, before freight; no price counts as 0.

        Tax that stays a cost is in the prices: `tax_inside` of it.
        """
        return sum_of(self.to_buy)

    @property
    def tax_inside(self) -> Money:
        """About how much of the total is tax that stays a cost of the shop."""
        return total(line.tax_inside for line in self.to_buy)

    @property
    def tax(self) -> Money:
        """The tax to be paid on material for improvements of real property."""
        return total(line.tax for line in self.to_buy)


class _Tally(Struct):
    """One material over the jobs, as it is added up."""

    jobs: list[tuple[str, Quantity]] = field(default_factory=list)
    given: Quantity = NONE
    covered: dict[str, Quantity] = field(default_factory=dict)
    short: Quantity = NONE
    taxed: Quantity = NONE
    shared_with: tuple[str, ...] = ()

    def add(self, job: str, need: Quantity, met: Cover, *, is_taxed: bool) -> None:
        """Add a job's need and what covers it."""
        self.jobs.append((job, need))
        self.given = sum((goods.quantity for goods in met.given), self.given)
        for goods in met.from_stock:
            so_far = self.covered.get(goods.giver, NONE)
            self.covered[goods.giver] = so_far + goods.quantity
        short = still_short(need, met.to_buy)
        self.short = self.short + short
        if is_taxed:
            self.taxed = self.taxed + short

    @property
    def need(self) -> Quantity:
        return sum((quantity for _, quantity in self.jobs), NONE)


def sum_of(lines: Iterable[BuyingLine]) -> Money:
    """What lines come to together; a line without a price counts as 0."""
    return total(line.amount or Money(0) for line in lines)


def jobs_to_buy_for(book: Book) -> list[Job]:
    """The jobs under way, those that are won first, each in the order they were opened."""
    under_way = [job for job in jobs(book) if state_of(book, job) not in DONE]
    return sorted(under_way, key=lambda job: not is_won(book, job))


def buying_list(book: Book, wanted: Sequence[Job]) -> BuyingList:
    """What to buy for some jobs, in the order in which stock goes to them.

    Raises:
        NotAllowed: a job has no design, or a sheet it is laid on has no price.
    """
    stock = goods_on_hand(book)
    tallies: dict[str, _Tally] = {}
    shared = shared_needs(book, wanted)
    promised = {lot: group for group in shared.groups for lot in group.lots}
    offcuts = [OffcutUsed(group.names, group.material, lot) for lot, group in promised.items()]
    taxed = {job.number for job in wanted if improvement_of(book, job.key) is not None}
    for job in wanted:
        others = [
            used.lot
            for used in offcuts
            if used.lot not in promised or job.number not in promised[used.lot].jobs
        ]
        made = assemble(book, job, without=others)
        for group in shared.of(job.number):
            if job.number == next(one.number for one in wanted if one.number in group.jobs):
                for code, need in group.needs.items():
                    met = cover(code, need, group.given, stock)
                    tally = tallies.setdefault(code, _Tally())
                    tally.add(group.names, need, met, is_taxed=not taxed.isdisjoint(group.jobs))
                    tally.shared_with = group.others({one.number for one in wanted})
        taken = [
            line for line in taken_of(book, made) if not shared.takes(job.number, line.material)
        ]
        given = goods_given(book, job.key, needed(taken), outgrown(book, job))
        offcuts += [
            OffcutUsed(job.number, line.material, line.piece.lot) for line in taken if line.piece
        ]
        for code, need in needed(taken).items():
            met = cover(code, need, given, stock)
            tally = tallies.setdefault(code, _Tally())
            tally.add(job.number, need, met, is_taxed=job.number in taxed)
    known, prices = materials(book), current_prices(book)
    suppliers = supplier_names(book)
    return BuyingList(
        as_of=book.today,
        currency=book.currency,
        stale_days=book.settings.stale_days,
        jobs=tuple(
            ForJob(job.number, job.title, is_won(book, job), bool(improvement_of(book, job.key)))
            for job in wanted
        ),
        lines=tuple(
            _line(book, known[code], prices.get(code), suppliers, tally)
            for code, tally in tallies.items()
        ),
        offcuts=tuple(offcuts),
        others=tuple(
            (line.name, line.amount, line.lead_days)
            for job in wanted
            for line in to_give_out(book, job)
        ),
        shared=shared,
    )


def _line(
    book: Book,
    material: Material,
    price: CostPrice | None,
    suppliers: dict[int, str],
    tally: _Tally,
) -> BuyingLine:
    packs = packs_of(material, tally.short)
    buy = tally.short if packs is None else material.pack * packs
    amount = book.currency.money(price.amount * buy.decimal) if price else None
    return BuyingLine(
        material=material.code,
        name=material.name,
        kind=material.kind,
        unit=material.unit,
        jobs=tuple(tally.jobs),
        need=tally.need,
        given=tally.given,
        from_stock=tally.covered.get(OWN, NONE),
        from_sponsors=tuple(item for item in tally.covered.items() if item[0] != OWN),
        short=tally.short,
        pack=material.pack,
        packs=packs,
        buy=buy,
        supplier=suppliers.get(price.supplier or 0, "") if price else "",
        price=price.amount if price else None,
        price_day=price.day if price else None,
        is_stale=_is_stale(book, price),
        amount=amount,
        tax=_tax(
            book, price, amount, Fraction(tally.taxed.millionths, tally.short.millionths or 1)
        ),
        tax_inside=_tax_inside(book, price, buy, amount),
        shared_with=tally.shared_with,
    )


def _tax_inside(book: Book, price: CostPrice | None, buy: Quantity, amount: Money | None) -> Money:
    """The tax in an amount: what was put on the price, else the shop's rate taken out of it."""
    if price is None or amount is None or price.is_untaxed:
        return Money(0)
    if price.tax is not None:
        return amount - book.currency.money(price.noted * buy.decimal)
    rate = purchase_tax(book)
    return amount - amount.times(1 / (1 + rate))


def _tax(book: Book, price: CostPrice | None, amount: Money | None, share: Fraction) -> Money:
    """The tax on top of an amount, of which so large a share is bought for improvements."""
    if price is None or amount is None or not price.is_untaxed:
        return Money(0)
    return sales_tax(amount.times(share), use_tax_rate(book), book.currency)


def _is_stale(book: Book, price: CostPrice | None) -> bool:
    return price is not None and (book.today - price.day).days > book.settings.stale_days
