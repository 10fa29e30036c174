"""Kits in the book, and a job compared with one: for the client, and for who builds from the plan.

The commission counts with what its client pays, tax and approved change orders included. Building
counts with the material at full value, as somebody without a sponsor pays it, in the quantities
that are used and in the whole packs that are sold.
"""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction

from msgspec import Struct

from ledger.book import Book
from ledger.book.tables.ground import Job, JobBasis
from ledger.book.tables.kits import Kit, KitExtra
from ledger.costing.needs import MaterialNeed, needs_of
from ledger.costing.sheet import CostLine, CostSheet
from ledger.designs.store import load_version
from ledger.errors import BadValue, NotAllowed
from ledger.jobs.agreement import agreement_of
from ledger.jobs.payments import balance
from ledger.jobs.pricing import price_job
from ledger.labor.standards import standards
from ledger.measures.chosen import choose
from ledger.measures.fields import made_of
from ledger.measures.money import Currency, Money, total
from ledger.measures.rounding import half_up
from ledger.quotes.drift import basis_sheet
from ledger.quotes.kit import (
    BreakEven,
    Builder,
    Extra,
    KitLine,
    KitOffer,
    Way,
    break_even,
    build_cash,
    kit_way,
    landed,
    whole_packs,
)
from ledger.quotes.occasions import occasions_of
from ledger.quotes.revisions import accepted, offer_of, revisions
from ledger.quotes.wording import sentences
from ledger.stock.materials import materials

NOT_THE_BUILDERS = ("part_lines", "meetings", "jobs", "delivery")
"""Drivers of work that somebody who builds from a plan does not do: design, talks, office, van."""

NOVICE_FACTOR = Decimal("1.8")
"""How much longer a novice takes: common practice says 1.8 to 2.5, no source."""


class Choice(Struct, frozen=True):
    """One way beside the kit: what it takes, and what the difference in hours is worth."""

    way: Way
    break_even: BreakEven


class Comparison(Struct, frozen=True):
    """A job beside a kit, as of a day; `piece` is what others than the client may read of it."""

    job: str
    title: str
    piece: str
    day: date
    currency: Currency
    units: str
    kit: KitOffer
    lines: tuple[KitLine, ...]
    bought: Way
    commission: Choice
    built: tuple[Choice, ...]
    wage: Money
    material: Money
    material_in_packs: Money
    plan: Money
    buys: tuple[str, ...]
    notes: tuple[str, ...]


def add_kit(book: Book, kit: KitOffer) -> Kit:
    """Post a kit with the price that was seen, under the next number (K-1, then K-2).

    Raises:
        BadValue: its price, life or hours make no sense, or its price lies in the future.
    """
    if kit.price <= Money(0) or kit.years <= 0 or kit.assembly < 0:
        raise BadValue("A kit has a price and a life of more than 0, and hours of 0 or more.")
    if kit.seen > book.today:
        raise BadValue(f"The price was seen on {kit.seen}, which lies in the future.")
    number = f"K-{len(book.rows(Kit, in_force=False)) + 1}"
    with book.entry("kit add", f"{number} {kit.name}"):
        row = book.post(made_of(Kit, kit, number=number))
        for extra in kit.extras:
            book.post(
                KitExtra(kit=row.key, words=extra.words, amount=extra.amount, taxed=extra.taxed)
            )
    return row


def kits(book: Book) -> list[KitOffer]:
    """All kits in the order they were added."""
    return [_offer(book, row) for row in book.rows(Kit)]


def find_kit(book: Book, text: str = "") -> KitOffer:
    """The kit of that number or name, or of an unambiguous part of it; without text the last.

    Raises:
        NotAllowed: there is no kit yet.
        NotFound: none answers.
        Ambiguous: several do.
    """
    known = book.rows(Kit)
    if not known:
        raise NotAllowed("There is no kit yet: benchledger kit add NAME --price AMOUNT --on DAY")
    if not text.strip():
        return _offer(book, known[-1])
    return _offer(book, choose("kit", text, known, _names))


def _names(kit: Kit) -> tuple[str, str, str]:
    """How it is offered, and by what else it is called."""
    return f"{kit.number} ({kit.name})", kit.number, kit.name


def compare(
    book: Book,
    job: Job,
    kit: KitOffer,
    *,
    wage: Money,
    years: int,
    plan: Money,
    skilled: Decimal | None = None,
    novice_factor: Decimal = NOVICE_FACTOR,
    sheet: CostSheet | None = None,
) -> Comparison:
    """A job beside a kit: bought, commissioned, and built by a skilled hand and by a novice.

    Raises:
        NotAllowed: the job has no quote yet.
    """
    costed = sheet or _basis(book, job)
    bought = kit_way(kit, book.currency)
    commission = Way("Commission", _client_pays(book, job), Decimal(0), years)
    hours = _builders_hours(book, costed) if skilled is None else skilled
    builder = Builder(plan, hours, novice_factor, wage)
    rate = book.settings.tax_rate
    by_piece = costed.totals.material_full
    cash = build_cash(by_piece, rate, plan)
    ways = (
        Way("Built, skilled", cash, builder.skilled, years),
        Way("Built, novice", cash, builder.novice, years),
    )
    return Comparison(
        job=job.number,
        title=job.title,
        piece=_piece(book, job),
        day=book.today,
        currency=book.currency,
        units=book.units,
        kit=kit,
        lines=landed(kit, book.currency),
        bought=bought,
        commission=Choice(commission, break_even(commission, bought, book.currency)),
        built=tuple(Choice(way, break_even(way, bought, book.currency)) for way in ways),
        wage=wage,
        material=cash,
        material_in_packs=build_cash(_in_packs(book, costed.lines), rate, plan),
        plan=plan,
        buys=sentences(book, "wording_kit", _occasions(book, job, costed)),
        notes=_notes(book, kit),
    )


def _piece(book: Book, job: Job) -> str:
    """Its design's title: a job's own, or its parts list's, is often the client's name."""
    basis = book.last(JobBasis, job=job.key)
    design = load_version(book, basis.design)[1] if basis else None
    return design.title if design and design.name != job.number else "This piece"


def _occasions(book: Book, job: Job, sheet: CostSheet) -> frozenset[str]:
    """What the piece beside the kit is, as far as the words on the page go."""
    offers = [offer_of(book, quote) for quote in revisions(book, job)[-1:]]
    named = [line.name for offer in offers for line in offer.deliverables]
    return occasions_of(book, job, sheet, named)


def _offer(book: Book, row: Kit) -> KitOffer:
    extras = book.rows(KitExtra, kit=row.key)
    return made_of(
        KitOffer,
        row,
        extras=tuple(Extra(extra.words, extra.amount, extra.taxed) for extra in extras),
    )


def _client_pays(book: Book, job: Job) -> Money:
    """What the client pays: what was agreed with its change orders, else the last quote."""
    if agreement_of(book, job) is not None:
        return balance(book, job).asked
    quotes = revisions(book, job)
    if not quotes:
        raise NotAllowed(f"{job.number} has no quote yet: benchledger quote draft {job.number}")
    return offer_of(book, quotes[-1]).to_pay


def _basis(book: Book, job: Job) -> CostSheet:
    """The cost sheet behind the accepted quote, else today's."""
    quote = accepted(book, job)
    return (basis_sheet(book, quote) if quote else None) or price_job(book, job)


def _builders_hours(book: Book, sheet: CostSheet) -> Decimal:
    """The estimated hours without what only a workshop does, in whole hours."""
    operations = standards(book)
    hours = sum(
        (
            line.estimate
            for line in sheet.hours
            if operations[line.operation].driver not in NOT_THE_BUILDERS
        ),
        Decimal(0),
    )
    return half_up(hours, 0)


def _in_packs(book: Book, lines: Sequence[CostLine]) -> Money:
    """The material where only whole packs are sold."""
    known = materials(book)

    prices = {line.item: Fraction(line.unit_cost) for line in lines if line.lot is None}

    def bought(need: MaterialNeed) -> Money:
        pack = known[need.item].pack.fraction if need.item in known else Fraction(1)
        more = whole_packs(need.quantity.fraction, pack) - need.quantity.fraction
        rest = book.currency.money(more * prices[need.item]) if more else Money(0)
        return need.full + need.rack_full + rest

    return total(bought(need) for need in needs_of(lines))


def _notes(book: Book, kit: KitOffer) -> tuple[str, ...]:
    notes = []
    if not kit.extras:
        notes.append(
            "Nothing was added to the kit. Does it do the same: size, depth when closed, shelves,"
            " wall fixings, facings? Add what it lacks."
        )
    if not kit.assembly:
        notes.append("No hours to assemble the kit are noted, so it counts as if it took none.")
    stale = book.settings.stale_days
    if (book.today - kit.seen).days > stale:
        notes.append(f"The kit's price is older than {stale} days; look again.")
    return tuple(notes)
