"""The client's answer: what an acceptance makes of an offer, and a refusal.

Accepting records who, how and when, which drawing and sample, and which options; it makes the
job's agreement with its payments, and keeps the hours the price was made of as the job's plan.
"""

from collections.abc import Sequence
from datetime import date

from ledger.book import Book, require_open_day
from ledger.book.tables.ground import Job
from ledger.book.tables.quotes import Quote, QuoteState
from ledger.errors import NotAllowed
from ledger.jobs.agreement import Ask, Delivered, agree
from ledger.jobs.jobs import require_quotable, set_state
from ledger.jobs.payments import received_on
from ledger.jobs.tax import is_untaxed
from ledger.labor.plan import save_plan
from ledger.measures.chosen import choose
from ledger.measures.money import Money, split, total
from ledger.quotes.drift import basis_sheet
from ledger.quotes.offer import Offer, Option
from ledger.quotes.revisions import RevisionStanding, standing
from ledger.quotes.terms import at_rate


def accept_quote(
    book: Book,
    quote: Quote,
    *,
    how: str,
    who: str = "",
    day: date | None = None,
    drawing: str = "",
    sample: str = "",
    options: Sequence[str] = (),
) -> RevisionStanding:
    """Record that the client accepted a revision, with the options named.

    Raises:
        NotAllowed: the revision does not wait for an answer, or did not on that day; its job is
            closed or canceled.
        NotFound: it has no such option.
    """
    now = standing(book, quote)
    require_quotable(book, now.job)
    when = _answer_day(book, now, day)
    chosen = [find_option(now.offer, name) for name in options]
    with book.entry("quote accept", f"{quote.name} {how}".strip()):
        book.post(
            QuoteState(
                quote=quote.key,
                state="accepted",
                day=when,
                how=how,
                who=who,
                drawing=drawing or now.offer.drawing,
                sample=sample or now.offer.sample,
            )
        )
        paid = received_on(book, now.job) > Money(0)  # a deposit may come before the answer
        set_state(book, now.job, "deposit paid" if paid else "won", day=when)
        agree(
            book,
            now.job,
            quote.name,
            agreed_payments(now.offer, chosen),
            day=when,
            tax_rate=now.offer.tax.rate,
            tax_standing=now.offer.tax.standing,
            lines=agreed_deliverables(now.offer, chosen),
        )
        _keep_plan(book, quote, now.job)
    return standing(book, quote)


def decline_quote(
    book: Book, quote: Quote, *, why: str = "", day: date | None = None
) -> RevisionStanding:
    """Record that the client declined.

    Raises:
        NotAllowed: the revision does not wait for an answer.
    """
    now = standing(book, quote)
    when = _answer_day(book, now, day)
    with book.entry("quote decline", f"{quote.name} {why}".strip()):
        book.post(QuoteState(quote=quote.key, state="declined", day=when, how=why))
    return standing(book, quote)


def agreed_payments(offer: Offer, chosen: Sequence[Option] = ()) -> list[Ask]:
    """The payments of an offer with the chosen options spread over them by the same shares."""
    if not chosen:
        return list(offer.payments)
    weights = [payment.price.minor for payment in offer.payments]
    prices = split(offer.price + total(option.amount for option in chosen), weights)
    taxes = split(offer.tax.amount + total(option.tax for option in chosen), weights)
    named = zip(offer.payments, prices, taxes, strict=True)
    asks = [Ask(payment.name, price, tax) for payment, price, tax in named]
    is_whole = offer.tax.base == offer.price and all(option.tax for option in chosen)
    return at_rate(asks, offer.tax.rate, offer.currency) if is_whole else asks


def agreed_deliverables(offer: Offer, chosen: Sequence[Option] = ()) -> list[Delivered]:
    """The deliverables and chosen options of an offer, each with its own standing to tax."""
    asks_tax = not is_untaxed(offer.tax.standing)
    lines = [
        Delivered(d.name, d.amount, d.taxed and asks_tax, d.pieces) for d in offer.deliverables
    ]
    return lines + [Delivered(o.name, o.amount, bool(o.tax)) for o in chosen]


def find_option(offer: Offer, text: str) -> Option:
    """The option of that name, or of an unambiguous part of it.

    Raises:
        NotFound: none answers.
        Ambiguous: several do.
    """
    return choose(f"option of {offer.name}", text, offer.options, lambda option: [option.name])


def _keep_plan(book: Book, quote: Quote, job: Job) -> None:
    """Keep the hours the accepted price was made of; a basis that reads no more is let be."""
    sheet = basis_sheet(book, quote)
    if sheet is not None:
        hours = {line.operation: line.estimate for line in sheet.hours}
        save_plan(book, job, hours, quoted=True)


def _answer_day(book: Book, now: RevisionStanding, day: date | None) -> date:
    """The day of the client's answer, if the revision waited for one then."""
    when = require_open_day(book, day or book.today)
    name = now.quote.name
    if now.state not in {"sent", "expired"}:
        raise NotAllowed(f"{name} is {now.state}; only a sent quote is answered.")
    if when < now.offer.day:
        raise NotAllowed(f"{name} was sent on {now.offer.day}; it cannot be answered on {when}.")
    if when > now.offer.valid_until:
        raise NotAllowed(
            f"{name} expired on {now.offer.valid_until}. Draft and send it again:"
            f" benchledger quote draft {now.job.number}; or name the day it was answered: --on DAY"
        )
    return when
