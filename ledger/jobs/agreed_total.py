"""A price that was agreed in one sum: it stands in place of the one that is worked out."""

import re
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

from ledger.book import Book
from ledger.book.questions import EVER
from ledger.book.questions.income import guessed_jobs
from ledger.book.questions.labor import loaded_jobs
from ledger.book.tables.counts import JobTotal
from ledger.book.tables.ground import Job
from ledger.book.tables.income import CloseOutRow
from ledger.book.tables.jobs import Agreement, Cancellation
from ledger.costing.buildup import Priced, PriceRules, earned_an_hour, fee_of_price, shared
from ledger.costing.rates import Rates, margin_between, markup_between
from ledger.costing.sheet import BuildUpLine, SheetHours
from ledger.costing.spread import cost_without_hours
from ledger.errors import BadValue, NotAllowed
from ledger.jobs.agreement import agreement_of
from ledger.jobs.lines import AgreedTotal, divided_sum, set_total, total_of
from ledger.labor.estimate import total_hours
from ledger.labor.hours_range import HoursRange
from ledger.labor.past import Guesses, guesses
from ledger.measures.duration import show_minutes, to_hours
from ledger.measures.money import Money, total
from ledger.measures.values import replace

LINES_IN_IT = "The lines of work in it take"
"""How it is said that typed lines are part of a guess of the whole job."""

_WITH_TAX = re.compile(r",?\s+(with|incl\.?|including|included)\s+(the\s+)?(tax|vat)$", re.I)


def parse_total(text: str) -> tuple[str, bool]:
    """An agreed sum as typed: the amount, and whether it is said that the tax is in it.

    >>> parse_total("850 with tax"), parse_total("850 incl. VAT"), parse_total("850")
    (('850', True), ('850', True), ('850', False))
    """
    amount = _WITH_TAX.sub("", text)
    return amount, amount != text


def set_typed_total(book: Book, job: Job, text: str, minutes: int | None) -> JobTotal:
    """Post an agreed sum as it was typed, with the minutes guessed for the job.

    Without any said the guess that stands stays.
    """
    if minutes is None:
        before = book.last(JobTotal, job=job.key)
        minutes = before.minutes if before else 0
    amount, with_tax = parse_total(text)
    return set_total(book, job, book.currency.parse(amount), minutes, with_tax=with_tax)


def correct_guess(book: Book, job: Job, minutes: int) -> JobTotal:
    """Post another guess of the hours for a job whose price in one sum stays.

    Raises:
        BadValue: the job has no price in one sum.
        NotAllowed: the price is agreed already, and the guess with it.
    """
    said = book.last(JobTotal, job=job.key)
    if said is None:
        raise BadValue(
            f"A guess of the hours goes with a price in one sum, and {job.number} has none: say"
            " --price AMOUNT too. A design and lines of work have their own hours."
        )
    if agreement_of(book, job) is not None:
        guess = f"{show_minutes(said.minutes)} guessed" if said.minutes else "no guess of its hours"
        raise NotAllowed(
            f"{job.number} is agreed on with {guess}, and what was planned then stays beside what"
            " it takes. Hours of a change belong to the change: benchledger job change"
            f" {job.number} WORDS --price AMOUNT --hours HOURS"
        )
    return set_total(book, job, said.price, minutes, with_tax=said.with_tax)


def typed_price(book: Book, job: Job, text: str) -> AgreedTotal:
    """A price as it was typed, “850” or “850 with tax”, divided into price and tax."""
    amount, with_tax = parse_total(text)
    return divided_sum(book, job, book.currency.parse(amount), with_tax=with_tax)


def guesses_of(book: Book, before: int = EVER) -> Guesses:
    """What the owner's guesses ran at, of past jobs and of own closed jobs sold by total.

    Known is what stood before an entry; without one, all.
    """
    loaded = [(job.worked, job.guessed) for job in loaded_jobs(book, before)]
    return guesses([*loaded, *guessed_jobs(book, before)])


def _agreed_at(book: Book, job: Job) -> int:
    """The entry that made a guess final: the job's agreement, else its end, else none yet."""
    for table in (Agreement, CloseOutRow, Cancellation):
        if rows := book.rows(table, job=job.key):
            return rows[0].entry
    return EVER


def guessed_range(book: Book, job: Job, agreed: AgreedTotal) -> HoursRange:
    """The hours that were guessed for a job by total, by what such guesses ran at so far.

    Once it is agreed on, what is learned since moves its plan no more.
    """
    guess, known = to_hours(agreed.minutes), guesses_of(book, _agreed_at(book, job))
    hours = known.corrected(guess)
    basis = f"a guess of {guess} h. {known.words}".rstrip()
    return HoursRange(hours, hours, hours, jobs=0, work=hours, basis=basis)


def guess_of(
    book: Book, job: Job, lines: Sequence[SheetHours], *, is_order: bool
) -> HoursRange | None:
    """The guess of a job in one sum, where its hours count: of all the work, typed lines in it.

    Lines that take more than the guess count themselves, and so does a design.
    """
    agreed = total_of(book, job)
    if agreed is None:
        return None
    spread, typed = guessed_range(book, job, agreed), total_hours(line.estimate for line in lines)
    if not lines:
        return spread
    if not is_order or not agreed.minutes or spread.p50 < typed:
        return None
    return replace(spread, basis=f"{spread.basis} {LINES_IN_IT} {typed} h.")


def notes_of(
    job: Job, agreed: AgreedTotal | None, hours: Sequence[SheetHours], *, is_bare: bool
) -> tuple[str, ...]:
    """What a price in one sum leaves out: material that is not typed, a guess below its lines."""
    notes = []
    if agreed is not None and hours and agreed.minutes:
        guess, worked = show_minutes(agreed.minutes), total_hours(line.estimate for line in hours)
        notes.append(f"The {guess} guessed do not count: its lines have {worked} h of their own.")
    if agreed is not None and is_bare:
        notes.append(
            "No material is planned in this price. What it takes is typed as: benchledger job line"
            f" {job.number} use MATERIAL AMOUNT"
        )
    return tuple(notes)


def at_agreed_price(
    priced: Priced, price: Money, spread: HoursRange, rates: Rates, rules: PriceRules
) -> Priced:
    """What was priced for an agreed price, sold at it; only the card fee is taken of that price."""
    totals = priced.totals
    built = priced.build_up
    if rules.has_card_fee:  # the last line, for it is a share of all others
        built = (*built[:-1], replace(built[-1], amount=fee_of_price(price, rules)))
    fixed = cost_without_hours(totals, rates)
    owner, helper = shared(spread, spread.p50)
    earned = earned_an_hour(price, fixed, owner, helper, rates) if owner > Decimal(0) else None
    material = totals.material_full
    return replace(
        priced,
        build_up=(*built, BuildUpLine("agreed", "agreed less what is worked out", price
                                      - total(line.amount for line in built))),
        totals=replace(
            totals,
            build_up=price,
            price=price,
            earned_per_hour=earned,
            earned_after_overhead=None if earned is None else earned - rates.overhead,
            material_share=Fraction(material.minor, price.minor),
            markup=markup_between(totals.full_cost, price),
            margin=margin_between(totals.full_cost, price),
        ),
    )  # fmt: skip
