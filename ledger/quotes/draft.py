"""Drafting a quote: a cost sheet, the shop's wordings and the maker's wishes made into an offer."""

from collections.abc import Mapping, Sequence
from datetime import timedelta
from fractions import Fraction
from math import ceil

from msgspec import Struct, field

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.book.tables.quotes import Quote
from ledger.costing.buildup import round_up
from ledger.costing.cautions import is_bed
from ledger.costing.sheet import CostSheet
from ledger.designs.build import build
from ledger.designs.store import load_version
from ledger.errors import BadValue, NotFound
from ledger.jobs.answers import answers_of
from ledger.jobs.jobs import basis_of, client_number, require_quotable
from ledger.jobs.lines import OUTSIDE, is_work_order, lead_days_of, lines_of, total_of
from ledger.jobs.payments import received_on
from ledger.jobs.pieces import step_of
from ledger.jobs.pricing import price_job
from ledger.jobs.tax import is_answered, is_untaxed, standing_of
from ledger.measures.frozen import freeze
from ledger.measures.money import Money, sales_tax, total
from ledger.quotes.lead import lead_time
from ledger.quotes.mattress import misfits, parse_mattress
from ledger.quotes.notices import notices
from ledger.quotes.occasions import is_hung_by_client, occasions_of
from ledger.quotes.offer import Offer, Option, QuoteDeliverable, QuoteFact, Tax
from ledger.quotes.revisions import next_revision, save_draft
from ledger.quotes.terms import (
    divide_price,
    is_service,
    offered_payments,
    payment_names,
    tax_inside,
    tax_on,
    tax_words,
)
from ledger.quotes.wording import clause, clauses, maker, sentences, untaxed_words
from ledger.stock.use_tax import IMPROVEMENT

DESCRIPTION = "piece"
"""The fact of a design that describes the whole piece; it opens the quote."""

MATTRESS = "Your mattress"
"""The fact of a quote that says for which mattress the piece is made."""

UNMEASURED = (
    "The mattress has still to be measured by you: width, length, thickness and weight. The piece"
    " and its springs are made for that one."
)


class Wishes(Struct, frozen=True):
    """What the maker wants of this quote; what is left empty comes from the shop's settings.

    `is_tax_inside` says that the price is said with its tax in it.
    """

    extras: Mapping[str, Money] = field(default_factory=dict)
    options: Mapping[str, Money] = field(default_factory=dict)
    goods: str = ""
    description: str = ""
    price: Money | None = None
    is_tax_inside: bool = False
    taxed: Mapping[str, bool] = field(default_factory=dict)
    drawing: str = ""
    sample: str = ""
    mattress: str = ""
    lead_weeks: int | None = None
    valid_days: int | None = None
    payments: tuple[Fraction, ...] = ()
    assumed: Sequence[str] = ()
    excluded: Sequence[str] = ()


class Drafted(Struct, frozen=True):
    """A draft in the book, the cost sheet behind it, and what the maker should know."""

    quote: Quote
    offer: Offer
    sheet: CostSheet
    warnings: tuple[str, ...]


class _QuotedPiece(Struct, frozen=True):
    """What a quote needs to know of what a job is made of; `lead_days` are those of others."""

    title: str
    parameters: Mapping[str, str]
    pieces: int = 1
    is_order: bool = False
    has_lines: bool = False
    lead_days: int = 0


def draft_quote(book: Book, job: Job, wishes: Wishes, sheet: CostSheet | None = None) -> Drafted:
    """Draft the next revision of a job's quote on today's price, or draft the last draft again.

    Raises:
        NotAllowed: a revision was accepted already, or the job is closed or canceled.
        BadValue: the deliverables, payments or the mattress do not make sense.
    """
    require_quotable(book, job)
    number, letter, _ = next_revision(book, job)
    piece = _piece_of(book, job)
    whole, firm = _sum_with_tax(book, job, wishes), wishes.price
    if whole is not None:
        firm = _before_tax(book, wishes, standing_of(book, job), piece, whole)
    before_tax = firm if wishes.price is None else None
    costed = sheet or price_job(book, job, price_asked=firm, before_tax=before_tax)
    offer, warnings = compose(book, job, wishes, costed, piece, number, letter)
    quote = save_draft(book, job, offer, freeze(costed))
    notes = notices(
        offer, costed, asks_card_fee=bool(book.settings.card_fee),
        is_tax_answered=is_answered(book, job),
        is_hung_by_client=is_hung_by_client(book, job, costed),
    )  # fmt: skip
    is_own = wishes.lead_weeks is not None or piece.has_lines
    usual = offer.lead_weeks if is_own else _usual_weeks(book, piece)
    late = lead_time(book, job, costed).notice(usual, offer.lead_weeks)
    late_and_held = filter(None, (late, _held_words(book, job)))
    return Drafted(
        quote, offer, costed,
        (*costed.open_lines, *costed.warnings, *warnings, *notes, *late_and_held),
    )  # fmt: skip


def _held_words(book: Book, job: Job) -> str:
    """Say of a quote that money of the client came before it; nothing where none did."""
    came = received_on(book, job)
    if came <= Money(0):
        return ""
    return (
        f"{book.currency.show(came)} of the client's came before this quote; once it is accepted,"
        " that counts toward its payments."
    )


def _piece_of(book: Book, job: Job) -> _QuotedPiece:
    lead_days = lead_days_of(lines_of(book, job, OUTSIDE))
    if is_work_order(book, job):
        has_lines = bool(lines_of(book, job))
        return _QuotedPiece(job.title, {}, is_order=True, has_lines=has_lines, lead_days=lead_days)
    basis = basis_of(book, job)
    version, design = load_version(book, basis.design)
    built = build(design, basis.parameters, book.units)
    title = version.title or job.title
    return _QuotedPiece(title, built.parameters, basis.pieces, lead_days=lead_days)


def compose(
    book: Book,
    job: Job,
    wishes: Wishes,
    sheet: CostSheet,
    piece: _QuotedPiece,
    number: str,
    letter: str,
) -> tuple[Offer, tuple[str, ...]]:
    """The offer that a cost sheet and the maker's wishes make, and what is missing in it."""
    standing = standing_of(book, job)
    deliverables, tax = _taxed(book, job, wishes, sheet, piece, standing)
    price = total(line.amount for line in deliverables)
    holds = occasions_of(book, job, sheet, [line.name for line in deliverables])
    if _has_sample(book, job, wishes):
        holds |= {"sample"}
    revisions = 0 if piece.is_order else book.settings.revisions
    if revisions:
        holds |= {"revisions"}
    shares = wishes.payments or _shares(book, piece, price)
    usual = sentences(book, "wording_payments", holds)
    names = payment_names(len(shares), usual[:1] if piece.is_order else usual)
    days = book.settings.validity_days if wishes.valid_days is None else wishes.valid_days
    details, assumed, excluded, warnings = _mattress(book, wishes, piece)
    offer = Offer(
        number=number,
        revision=letter,
        day=book.today,
        valid_until=book.today + timedelta(days=days),
        currency=book.currency,
        units=book.units,
        maker=maker(book),
        client=client_number(book, job),
        title=job.title,
        description=wishes.description or as_told(book, sheet.facts.get(DESCRIPTION, "")),
        facts=(*_facts(book, sheet), *details),
        drawing=wishes.drawing,
        sample=wishes.sample,
        deliverables=deliverables,
        options=_options(book, wishes, standing),
        included=sentences(book, "wording_included", holds),
        tax=tax,
        payments=offered_payments(price, tax, shares, names, book.currency),
        lead_weeks=_lead_weeks(book, job, sheet, piece, wishes),
        revisions=revisions,
        assumptions=(*sentences(book, "wording_assumptions", holds), *assumed, *wishes.assumed),
        exclusions=(*excluded, *sentences(book, "wording_exclusions", holds), *wishes.excluded),
        cautions=tuple(caution.words for caution in sheet.cautions if caution.for_client),
        clauses=clauses(book, holds),
        acceptance=clause(book, "wording_accept", holds),
    )
    return offer, warnings


def _taxed(
    book: Book, job: Job, wishes: Wishes, sheet: CostSheet, piece: _QuotedPiece, standing: str
) -> tuple[tuple[QuoteDeliverable, ...], Tax]:
    """The deliverables and the tax on them, or in the sum that was said with it."""
    whole = _sum_with_tax(book, job, wishes)
    price = sheet.totals.price if wishes.price is None else wishes.price
    if whole is not None:
        price = _before_tax(book, wishes, standing, piece, whole)
    deliverables = _deliverables(
        book, wishes, price, piece, standing, has_tax_inside=whole is not None
    )
    tax = tax_on(
        deliverables,
        standing=standing,
        rate=book.settings.tax_rate,
        by_line=book.settings.tax_basis == "line",
        currency=book.currency,
        words=_tax_words(book, standing, deliverables),
    )
    return deliverables, tax if whole is None else tax_inside(tax, whole - price, book.currency)


def _sum_with_tax(book: Book, job: Job, wishes: Wishes) -> Money | None:
    """The sum that was said with its tax in it, for this quote or for the job; or None."""
    if wishes.price is not None:
        return wishes.price if wishes.is_tax_inside else None
    agreed = total_of(book, job)
    return agreed.whole if agreed is not None and agreed.tax is not None else None


def _before_tax(
    book: Book, wishes: Wishes, standing: str, piece: _QuotedPiece, whole: Money
) -> Money:
    """The price in a sum that was said with tax, of which tax may fall on a part; rounded once."""
    goods = wishes.goods or piece.title
    rate = Fraction(0) if is_untaxed(standing) else Fraction(book.settings.tax_rate)
    taxed = {name for name in (goods, *wishes.extras) if _is_taxed(book, wishes, standing, name)}
    if goods in taxed:
        rest = total(amount for name, amount in wishes.extras.items() if name not in taxed)
        return rest + (whole - rest).times(1 / (1 + rate))
    return whole - sales_tax(total(wishes.extras[name] for name in taxed), rate, book.currency)


def _has_sample(book: Book, job: Job, wishes: Wishes) -> bool:
    """Whether a sample is named, or samples are answered with a cost."""
    cost, _ = answers_of(book, job).get("samples", (Money(0), ""))
    return bool(wishes.sample or cost)


def _shares(book: Book, piece: _QuotedPiece, price: Money) -> tuple[Fraction, ...]:
    """The shares of the payments; of a small job the deposit, and the rest at its end."""
    shares = book.settings.payments
    is_small = piece.is_order or price < book.settings.small_job
    return (shares[0], 1 - shares[0]) if is_small and len(shares) > 2 else shares


def _lead_weeks(book: Book, job: Job, sheet: CostSheet, piece: _QuotedPiece, wishes: Wishes) -> int:
    """The weeks wished for, else the usual ones, or more where so much is booked ahead.

    An order of typed lines takes what its hours and those booked before it take, a week at least.
    """
    if wishes.lead_weeks is not None:
        return wishes.lead_weeks
    weeks = lead_time(book, job, sheet).weeks
    if piece.has_lines and weeks is not None:
        return max(weeks, 1)
    return max(_usual_weeks(book, piece), weeks or 0)


def _usual_weeks(book: Book, piece: _QuotedPiece) -> int:
    """The shop's own weeks and those of the others, who begin when it has done its part."""
    return book.settings.lead_weeks + ceil(piece.lead_days / Fraction(7))


def _deliverables(
    book: Book,
    wishes: Wishes,
    price: Money,
    piece: _QuotedPiece,
    standing: str,
    *,
    has_tax_inside: bool = False,
) -> tuple[QuoteDeliverable, ...]:
    """What is delivered; a sum said with its tax need not divide by the pieces."""
    named = divide_price(price, wishes.goods or piece.title, wishes.extras, book.currency)
    if piece.pieces > 1 and not has_tax_inside:
        named = [_in_pieces(book, wishes, piece, named), *named[1:]]
    names = {name for name, _ in named} | set(wishes.options)
    for name in wishes.taxed:
        if name not in names:
            raise NotFound("deliverable", name, names)
    return tuple(
        QuoteDeliverable(
            name, amount, _is_taxed(book, wishes, standing, name), 1 if at else piece.pieces
        )
        for at, (name, amount) in enumerate(named)
    )


def _in_pieces(
    book: Book, wishes: Wishes, piece: _QuotedPiece, named: Sequence[tuple[str, Money]]
) -> tuple[str, Money]:
    """The goods at a price a piece that makes up theirs: rounded up, unless the price was said.

    Raises:
        BadValue: the price that was said does not divide by the pieces.
    """
    goods, amount = named[0]
    each = round_up(amount, step_of(book.currency.money(1), piece.pieces))
    if wishes.price is None:
        return goods, each
    if amount.minor % piece.pieces:
        rest = total(extra for _, extra in named[1:])
        show = book.currency.show
        raise BadValue(
            f"{show(amount)} does not divide into {piece.pieces} pieces; a price that does is"
            f" {show(each + rest)}, {show(Money(each.minor // piece.pieces))} a piece."
        )
    return goods, amount


def _is_taxed(book: Book, wishes: Wishes, standing: str, name: str) -> bool:
    if standing == IMPROVEMENT:
        return False
    return wishes.taxed.get(name, _services_taxed(book) or not is_service(name))


def _services_taxed(book: Book) -> bool:
    """Whether tax falls on delivery and installation: VAT does, sales tax where the shop says."""
    return book.settings.tax_standing == "vat" or bool(book.settings.tax_delivery)


def _options(book: Book, wishes: Wishes, standing: str) -> tuple[Option, ...]:
    """The add-ons with the tax that each would bring."""
    options = []
    for name, amount in wishes.options.items():
        if amount <= Money(0):
            raise BadValue(f"The option “{name}” should cost more than 0.")
        taxed = not is_untaxed(standing) and _is_taxed(book, wishes, standing, name)
        rate = book.settings.tax_rate if taxed else Fraction(0)
        options.append(Option(name, amount, sales_tax(amount, rate, book.currency)))
    return tuple(options)


def _tax_words(book: Book, standing: str, deliverables: Sequence[QuoteDeliverable]) -> str:
    if is_untaxed(standing) or not any(line.taxed for line in deliverables):
        return untaxed_words(book, standing)
    whole = all(line.taxed for line in deliverables)
    return tax_words(standing, book.settings.tax_rate, whole=whole)


def _facts(book: Book, sheet: CostSheet) -> tuple[QuoteFact, ...]:
    pairs = ((name, words) for name, words in sheet.facts.items() if name != DESCRIPTION and words)
    return tuple(
        QuoteFact(name[:1].upper() + name[1:], as_told(book, words)) for name, words in pairs
    )


def as_told(book: Book, words: str) -> str:
    """Words of a design with their decimals as the book writes numbers: kept so on the page.

    Pages that were made before stay as they are, for their words are kept too.
    """
    return book.currency.words(words)


def _mattress(
    book: Book, wishes: Wishes, piece: _QuotedPiece
) -> tuple[tuple[QuoteFact, ...], tuple[str, ...], tuple[str, ...], tuple[str, ...]]:
    """Facts, assumptions and exclusions that a bed's quote carries, and the maker's warnings."""
    if not is_bed(piece.parameters):
        if wishes.mattress:
            raise BadValue("This piece is not made for a mattress; leave --mattress out.")
        return (), (), (), ()
    excluded = sentences(book, "wording_mattress")
    if not wishes.mattress:
        warning = (
            "The client's mattress has not been measured. Ask for width, length, thickness and"
            ' weight, and draft again: --mattress "60x80x10 in, 75 lb"'
        )
        return (), (UNMEASURED,), excluded, (warning,)
    measured = parse_mattress(wishes.mattress, book.units)
    fact = QuoteFact(MATTRESS, measured.words(book.units))
    return (fact,), (), excluded, tuple(misfits(measured, piece.parameters, book.units))
