"""Numbers, states, and the one live revision of a quote."""

from datetime import date

import pytest

from ledger.book import Book
from ledger.book.tables.quotes import QuoteState
from ledger.errors import NotAllowed, NotFound
from ledger.jobs.jobs import new_job, state_of
from ledger.measures.money import Money
from ledger.quotes.answers import accept_quote, decline_quote
from ledger.quotes.draft import Wishes, draft_quote
from ledger.quotes.revisions import (
    accepted,
    find_quote,
    keep_quotes,
    send_quote,
    sent_revision,
    standing,
)


@pytest.fixture
def draft(job, sheet):
    """Draft the job's quote in a book."""

    def drafted(book, **wishes):
        return draft_quote(book, job, Wishes(**wishes), sheet).quote

    return drafted


@pytest.fixture
def on(book):
    """The same book on another day."""
    opened = []

    def another_day(day):
        opened.append(Book(book.path, date.fromisoformat(day)))
        return opened[-1]

    yield another_day
    for other in opened:
        other.close()


def state(book, quote):
    return standing(book, quote).state


def test_a_quote_is_numbered_after_its_job(book, draft):
    assert draft(book).name == "Q-2507-A"


def test_a_draft_is_drafted_again_under_its_letter(book, draft):
    first = draft(book)
    again = draft(book, price=Money(745000))

    assert again.name == first.name
    assert standing(book, again).offer.price == Money(745000)


def test_a_letter_that_was_taken_back_is_not_given_again(book, draft):
    first = draft(book)
    book.reverse(first.entry, "wrong offer")

    second = draft(book)
    assert second.name == "Q-2507-B"
    send_quote(book, second)
    third = draft(book)
    book.reverse(third.entry, "wrong again")
    assert (third.name, draft(book).name) == ("Q-2507-C", "Q-2507-D")


def test_what_was_sent_gets_a_next_letter_and_sending_that_supersedes_it(book, draft):
    first = draft(book)
    send_quote(book, first)
    second = draft(book)

    assert (second.name, state(book, first)) == ("Q-2507-B", "sent")
    send_quote(book, second)
    assert (state(book, first), state(book, second)) == ("superseded", "sent")


def test_the_page_is_dated_when_it_is_sent(book, draft, on):
    quote = draft(book)

    offer = send_quote(on("2025-04-28"), quote)

    assert (str(offer.day), str(offer.valid_until)) == ("2025-04-28", "2025-05-28")


def test_only_a_draft_is_sent(book, draft):
    quote = draft(book)
    send_quote(book, quote)

    with pytest.raises(NotAllowed, match="Q-2507-A is sent; only a draft"):
        send_quote(book, quote)


def test_a_sent_quote_expires_by_its_date_alone(book, draft, on):
    quote = draft(book)
    send_quote(book, quote)

    assert state(on("2025-05-25"), quote) == "sent"
    assert state(on("2025-05-26"), quote) == "expired"
    assert len(book.rows(QuoteState)) == 2


def test_an_acceptance_is_recorded_with_how_who_drawing_and_sample(book, draft, job, on):
    quote = draft(book, drawing="D-2507 rev 2", sample="no. 3")
    send_quote(book, quote)
    later = on("2025-04-28")

    accept_quote(later, quote, how="signature and deposit", who="D. Marrow")

    row = later.last(QuoteState, quote=quote.key)
    assert (str(row.day), row.how, row.who) == ("2025-04-28", "signature and deposit", "D. Marrow")
    assert (row.drawing, row.sample) == ("D-2507 rev 2", "no. 3")
    assert state_of(later, job) == "won"
    assert accepted(later, job).name == quote.name


def test_after_an_acceptance_only_change_orders_follow(book, draft):
    quote = draft(book)
    send_quote(book, quote)
    accept_quote(book, quote, how="e-mail")

    with pytest.raises(NotAllowed, match="change order"):
        draft(book)


def test_a_draft_is_not_answered(book, draft):
    quote = draft(book)

    with pytest.raises(NotAllowed, match="is draft; only a sent"):
        accept_quote(book, quote, how="e-mail")


def test_a_superseded_quote_is_not_accepted(book, draft):
    first = draft(book)
    send_quote(book, first)
    send_quote(book, draft(book))

    with pytest.raises(NotAllowed, match="is superseded"):
        accept_quote(book, first, how="e-mail")


def test_an_expired_quote_is_accepted_only_as_of_a_day_on_which_it_stood(book, draft, on):
    quote = draft(book)
    send_quote(book, quote)
    june = on("2025-06-02")

    with pytest.raises(NotAllowed, match="expired on 2025-05-25"):
        accept_quote(june, quote, how="e-mail")
    with pytest.raises(NotAllowed, match="cannot be answered on 2025-04-24"):
        accept_quote(june, quote, how="e-mail", day=date(2025, 4, 24))
    assert accept_quote(june, quote, how="letter", day=date(2025, 5, 20)).state == "accepted"


def test_a_declined_quote_is_followed_by_the_next_letter(book, draft):
    quote = draft(book)
    send_quote(book, quote)
    decline_quote(book, quote, why="over budget")

    assert state(book, quote) == "declined"
    assert draft(book).name == "Q-2507-B"


@pytest.mark.parametrize("text", ["Q-2507", "q-2507-b", "bed", "J-2507", ""])
def test_a_quote_answers_to_its_number_and_to_its_job(book, draft, text):
    send_quote(book, draft(book))
    draft(book)

    assert find_quote(book, text).name == "Q-2507-B"


def test_a_revision_is_found_by_its_letter(book, draft):
    send_quote(book, draft(book))
    draft(book)

    assert find_quote(book, "Q-2507-A").name == "Q-2507-A"


def test_a_name_that_nothing_answers_to_gets_the_nearest(book, draft):
    draft(book)

    with pytest.raises(NotFound, match="Nearest: Q-2507-A"):
        find_quote(book, "Q-2507-C")


def test_a_job_without_a_quote_says_how_to_draft_one(book, job):
    other = new_job(book, "Hall bench")

    with pytest.raises(NotAllowed, match=f"quote draft {other.number}"):
        find_quote(book, "bench")


def test_letters_go_on_after_z(book, draft):
    for _ in range(26):
        send_quote(book, draft(book))

    send_quote(book, after_z := draft(book))
    assert (after_z.name, draft(book).name) == ("Q-2507-AA", "Q-2507-AB")


def test_a_entry_that_others_stand_on_is_not_taken_back(book, draft):
    quote = draft(book)
    send_quote(book, quote)
    sent = book.last(QuoteState, quote=quote.key).entry
    accept_quote(book, quote, how="e-mail")

    with pytest.raises(NotAllowed, match="Q-2507-A is accepted since"):
        book.reverse(sent, "sent by mistake", [keep_quotes])
    assert state(book, quote) == "accepted"


def test_the_last_entry_on_a_quote_can_be_taken_back(book, draft):
    quote = draft(book)
    send_quote(book, quote)
    sent = book.last(QuoteState, quote=quote.key).entry

    book.reverse(sent, "sent too early", [keep_quotes])

    assert state(book, quote) == "draft"


def test_what_a_next_revision_followed_is_not_taken_back(book, draft):
    first = draft(book)
    send_quote(book, first)
    decline_quote(book, first, why="over budget")
    declined = book.last(QuoteState, quote=first.key).entry
    draft(book)

    with pytest.raises(NotAllowed, match="Q-2507-B followed since"):
        book.reverse(declined, "not declined after all", [keep_quotes])


def test_only_the_last_revision_waits_for_an_answer(book, draft, job):
    assert sent_revision(book, job) is None
    first = draft(book)
    assert sent_revision(book, job) is None
    send_quote(book, first)
    assert sent_revision(book, job) == first
    draft(book)
    assert sent_revision(book, job) is None
