"""Drafting again: what the last revision was asked to say, with what is said now in its place.

The price is never taken over, for it is why a quote is drafted again. An extra or an option is left
out by naming it at 0.
"""

from collections.abc import Mapping
from fractions import Fraction

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.errors import NotAllowed
from ledger.measures.money import Money
from ledger.measures.rounding import half_up_whole
from ledger.measures.values import replace
from ledger.quotes.draft import DESCRIPTION, MATTRESS, UNMEASURED, Wishes, as_told
from ledger.quotes.drift import basis_sheet
from ledger.quotes.mattress import AS_MEASURED
from ledger.quotes.offer import Offer
from ledger.quotes.revisions import offer_of, revisions
from ledger.quotes.wording import sentences_ever


def wished_again(book: Book, job: Job, wishes: Wishes) -> Wishes:
    """The wishes of a job's last revision, with those that are said now in their place.

    Raises:
        NotAllowed: the job has no quote yet.
    """
    of_job = revisions(book, job)
    if not of_job:
        raise NotAllowed(f"{job.number} has no quote yet that could be drafted again.")
    last = offer_of(book, of_job[-1])
    sheet = basis_sheet(book, of_job[-1])
    plain = sheet.facts.get(DESCRIPTION, "") if sheet else ""
    goods, *extras = last.deliverables
    mattress = next((fact.words for fact in last.facts if fact.name == MATTRESS), "")
    wished = replace(
        wishes,
        extras=_with({line.name: line.amount for line in extras}, wishes.extras),
        options=_with({option.name: option.amount for option in last.options}, wishes.options),
        goods=wishes.goods or goods.name,
        description=wishes.description
        or ("" if last.description in (plain, as_told(book, plain)) else last.description),
        drawing=wishes.drawing or last.drawing,
        sample=wishes.sample or last.sample,
        mattress=wishes.mattress or mattress.removesuffix(AS_MEASURED),
        lead_weeks=last.lead_weeks if wishes.lead_weeks is None else wishes.lead_weeks,
        valid_days=wishes.valid_days or (last.valid_until - last.day).days,
        payments=wishes.payments or _shares(last),
        assumed=(*_own(book, last.assumptions, "wording_assumptions"), *wishes.assumed),
        excluded=(
            *_own(book, last.exclusions, "wording_mattress", "wording_exclusions"),
            *wishes.excluded,
        ),
    )
    return replace(wished, taxed=_taxed(last, wished) | dict(wishes.taxed))


def _with(then: Mapping[str, Money], now: Mapping[str, Money]) -> dict[str, Money]:
    """What stood then and is said now; what is said to be 0 now, and stood then, is left out."""
    both = {**then, **now}
    return {name: amount for name, amount in both.items() if amount.minor or name not in then}


def _taxed(last: Offer, wished: Wishes) -> dict[str, bool]:
    """Whether tax fell on each part that is still wished; nothing of it where none was asked."""
    if not last.tax.amount.minor:
        return {}
    goods, *extras = last.deliverables
    taxed = {wished.goods: goods.taxed}
    taxed |= {line.name: line.taxed for line in extras}
    taxed |= {option.name: bool(option.tax.minor) for option in last.options}
    kept = {wished.goods, *wished.extras, *wished.options}
    return {name: is_taxed for name, is_taxed in taxed.items() if name in kept}


def _shares(last: Offer) -> tuple[Fraction, ...]:
    """The shares of the payments in whole percent; none where they are no whole percents."""
    parts = [Fraction(100 * payment.price.minor, last.price.minor) for payment in last.payments]
    shares = tuple(Fraction(half_up_whole(part), 100) for part in parts)
    return shares if sum(shares) == 1 else ()


def _own(book: Book, texts: tuple[str, ...], *settings: str) -> tuple[str, ...]:
    """The sentences that were said for this quote alone: none that the shop ever had for all."""
    usual = {UNMEASURED}.union(*(sentences_ever(book, name) for name in settings))
    return tuple(words for words in texts if words not in usual)
