"""Invoices before, after and beside payments: each ties to what `job pay` says is due."""

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.book import Book
from ledger.book.clients import addressee_of, redact_client
from ledger.book.tables.invoices import SentInvoice as InvoiceRow
from ledger.errors import BadValue, NotAllowed
from ledger.jobs.agreement import Ask, Delivered, agree
from ledger.jobs.changes import approve, propose
from ledger.jobs.job_rules import REVERSAL_RULES as JOB_RULES
from ledger.jobs.jobs import describe, new_job, set_state
from ledger.jobs.payments import balance, payments_due, receive
from ledger.measures.frozen import freeze, read_json
from ledger.measures.money import Money, currency, split, total
from ledger.quotes.billing import write_invoice
from ledger.quotes.change_page import freeze_change
from ledger.quotes.credits import invoiced_anew, write_credit
from ledger.quotes.invoice import ALONE, FINAL, altered_invoices, find_paper, papers, read_invoice
from ledger.quotes.quote_rules import REVERSAL_RULES as QUOTE_RULES
from ledger.quotes.snapshot import digest

USD = currency("USD")
RULES = (*JOB_RULES, *QUOTE_RULES)
ACCEPTED, LATER = date(2025, 4, 10), date(2025, 4, 22)


def usd(text):
    return USD.money(Decimal(text))


@pytest.fixture
def bench(book):
    """An ash hall bench of solid wood, oiled, agreed on at 1,980.00 and fitted for 220.00."""
    return agreed(book, "Ash hall bench", "1980", "220", "118.80")


def agreed(book, title, goods, fitting, tax, number="J-2509"):
    """A job agreed on in halves: the piece is taxed at 6 %, its fitting is not."""
    job = new_job(book, title, client="T. Okafor", number=number)
    price = usd(goods) + usd(fitting)
    names = ("On acceptance", "On completion")
    asks = [Ask(*part) for part in zip(names, split(price, [1, 1]), split(usd(tax), [1, 1]),
                                       strict=True)]  # fmt: skip
    with book.entry("quote accept", title):
        set_state(book, job, "won", day=ACCEPTED)
        lines = [Delivered(title, usd(goods), True), Delivered("Fitting", usd(fitting), False)]
        agree(book, job, f"Q-{number[2:]}-A", asks, day=ACCEPTED, tax_rate=Fraction(6, 100),
              tax_standing="sales_tax", lines=lines)  # fmt: skip
    return job


def change(book, job, price, day=LATER):
    order = propose(book, job, "a drawer below the seat", usd(price), day=day)
    approve(book, job, order, "e-mail", day=day)


def ties(book, job, invoice):
    """What an invoice of today asks for and leaves is what `job pay` says is due."""
    return invoice.left + invoice.to_pay == balance(book, job).due


def undo_last(book):
    book.reverse(book.entries(1)[0].id, "typed twice", RULES)


def test_an_invoice_before_its_payment_asks_for_it(book, bench):
    found = write_invoice(book, bench)

    assert (found.kind, found.asked, found.to_pay) == (
        "Deposit invoice", usd("1159.40"), usd("1159.40"),
    )  # fmt: skip
    assert (found.received, found.left) == (usd("0"), usd("1159.40"))
    assert ties(book, bench, found)


def test_an_invoice_after_its_payment_is_paid_and_counts_it_once(book, bench):
    receive(book, bench, usd("1159.40"), "check")

    found = write_invoice(book, bench)

    assert (found.asked, found.settled, found.to_pay) == (usd("1159.40"), usd("1159.40"), usd("0"))
    assert found.is_paid
    assert found.left == balance(book, bench).due == usd("1159.40")


def test_after_all_was_paid_one_invoice_is_over_all_of_it(book, bench):
    receive(book, bench, usd("2318.80"), "check")

    found = write_invoice(book, bench)

    assert (found.kind, found.is_paid) == (ALONE, True)
    assert (found.asked, found.left) == (usd("2318.80"), usd("0"))
    with pytest.raises(NotAllowed, match="was invoiced already"):
        write_invoice(book, bench)


def test_a_payment_that_is_named_has_its_own_invoice_though_all_was_paid(book, bench):
    receive(book, bench, usd("2318.80"), "check")

    first, last = write_invoice(book, bench, which="completion"), write_invoice(book, bench)

    assert [one.is_paid for one in (first, last)] == [True, True]
    assert (last.kind, last.asked, last.left) == (FINAL, usd("1159.40"), usd("0"))


@pytest.mark.parametrize("state", ["installed", "closed"])
def test_once_the_work_is_done_all_the_rest_is_invoiced_and_asked_for(book, bench, state):
    set_state(book, bench, state)

    [(_, asked)] = payments_due(book)
    assert (asked.open, asked.name) == (usd("2318.80"), "On acceptance with On completion")
    found = write_invoice(book, bench)

    assert (found.kind, found.asked, found.to_pay) == (ALONE, usd("2318.80"), usd("2318.80"))


def test_an_invoice_that_is_paid_in_part_asks_for_the_rest_of_it(book, bench):
    receive(book, bench, usd("1000"), "check")

    found = write_invoice(book, bench)

    assert (found.settled, found.to_pay, found.left) == (
        usd("1000"), usd("159.40"), usd("1159.40"),
    )  # fmt: skip
    assert ties(book, bench, found)


def test_what_was_paid_ahead_goes_to_the_next_invoice(book, bench):
    receive(book, bench, usd("1500"), "check")

    first, last = write_invoice(book, bench), write_invoice(book, bench)

    assert (first.to_pay, first.left) == (usd("0"), usd("818.80"))
    assert (last.to_pay, last.left) == (usd("818.80"), usd("0"))


def test_what_was_paid_beyond_the_contract_is_said_to_be_the_clients(book, bench):
    receive(book, bench, usd("2400"), "check")

    found = write_invoice(book, bench, rest=True)

    assert (found.to_pay, found.left) == (usd("0"), usd("-81.20"))
    assert ties(book, bench, found)


def test_after_undo_of_a_payment_a_new_invoice_asks_for_it(book, bench):
    receive(book, bench, usd("1159.40"), "check")
    undo_last(book)

    found = write_invoice(book, bench)

    assert (found.received, found.to_pay) == (usd("0"), usd("1159.40"))
    assert ties(book, bench, found)


def test_the_final_invoice_shows_what_is_supplied_and_takes_off_what_was_invoiced(book, bench):
    write_invoice(book, bench)
    receive(book, bench, usd("1159.40"), "check")
    change(book, bench, "120")

    found = write_invoice(book, bench, rest=True)

    assert [(line.name, line.price, line.tax) for line in found.lines] == [
        ("Ash hall bench", usd("1980"), usd("118.80")),
        ("Fitting", usd("220"), usd("0")),
        ("CO-1: a drawer below the seat", usd("120"), usd("7.20")),
    ]
    assert [(d.number, d.price, d.tax) for d in found.deducted] == [
        ("I-2509-1", usd("1100"), usd("59.40")),
    ]
    assert (found.kind, found.asked, found.left) == ("Final invoice", usd("1286.60"), usd("0"))
    assert [(c.name, c.price, c.tax) for c in found.changes] == [
        ("CO-1", usd("120"), usd("7.20")),
    ]
    assert found.first_agreed == (usd("2200"), usd("118.80"))


def test_the_bases_of_all_invoices_are_those_of_the_contract(book, bench):
    first, last = write_invoice(book, bench), write_invoice(book, bench, rest=True)

    bases = {}
    for part in (*first.taxes, *last.taxes):
        bases[part.rate] = bases.get(part.rate, usd("0")) + part.base
    assert bases == {Fraction(6, 100): usd("1980"), None: usd("220")}
    assert first.tax + last.tax == usd("118.80")


def test_an_invoice_dated_before_a_change_order_does_not_know_it(book, bench):
    change(book, bench, "120", day=LATER)

    before = write_invoice(book, bench, rest=True, day=date(2025, 4, 21))
    assert (before.changes, before.asked) == ((), usd("2318.80"))

    after = write_invoice(book, bench)
    assert (after.asked, after.kind) == (usd("127.20"), "Invoice")


def test_a_change_order_that_is_not_approved_yet_is_on_no_invoice(book, bench):
    propose(book, bench, "a drawer below the seat", usd("120"), day=LATER)

    whole = write_invoice(book, bench, rest=True)

    assert (whole.changes, whole.asked) == ((), usd("2318.80"))


def test_a_change_order_of_an_earlier_day_knows_those_that_were_approved_by_then(book, bench):
    for days, day in ((3, ACCEPTED), (4, LATER)):
        order = propose(book, bench, "a drawer", usd("120"), days=days, day=day)
        approve(book, bench, order, "e-mail", day=day)
    order = propose(book, bench, "a rail", usd("40"), day=date(2025, 4, 21))

    with book.entry("job change"):
        page = freeze_change(book, bench, order)

    assert (page.days_before, page.agreed_price) == (3, usd("2320"))


def test_of_a_job_agreed_on_for_nothing_its_change_order_is_invoiced(book):
    job = agreed(book, "Hinges, as promised", "0", "0", "0")
    change(book, job, "120")
    assert write_invoice(book, job).asked == usd("127.20")


def test_an_invoice_counts_the_payments_of_its_day(book, bench):
    receive(book, bench, usd("1159.40"), "check", day=LATER)

    assert not write_invoice(book, bench, day=date(2025, 4, 20)).is_paid
    with pytest.raises(NotAllowed, match="accepted on 2025-04-10"):
        write_invoice(book, bench, day=date(2025, 4, 9))


def test_what_is_left_out_goes_with_the_rest(book, bench):
    write_invoice(book, bench)
    change(book, bench, "-200")

    with pytest.raises(NotAllowed, match="the next invoice for a payment takes it off"):
        write_invoice(book, bench, which="CO-1")
    found = write_invoice(book, bench)

    assert (found.kind, found.asked) == ("Final invoice", usd("947.40"))
    assert total(read_invoice(row).asked for row in papers(book, bench)) == usd("2106.80")


def test_what_a_change_takes_off_stands_on_the_next_invoice_and_is_asked_for_once(book, bench):
    change(book, bench, "-200")
    deposit = write_invoice(book, bench)

    assert [line.name for line in deposit.lines][1:] == ["CO-1: a drawer below the seat"]
    assert (deposit.asked, deposit.to_pay) == (usd("947.40"), usd("947.40"))
    receive(book, bench, deposit.to_pay, "check")
    set_state(book, bench, "installed")
    final = write_invoice(book, bench)
    assert (final.asked, final.to_pay, final.left) == (usd("1159.40"), usd("1159.40"), usd("0"))


def test_what_takes_off_more_than_the_next_payment_waits_for_the_rest(book, bench):
    change(book, bench, "-1200")

    assert write_invoice(book, bench).asked == usd("1159.40")


def test_what_was_invoiced_too_much_is_answered_by_a_credit_note(book, bench):
    write_invoice(book, bench, rest=True)
    change(book, bench, "-200")
    with pytest.raises(NotAllowed, match=r"212\.00 more was invoiced.*quote credit I-2509-1"):
        write_invoice(book, bench)

    found = write_credit(book, find_paper(book, "I-2509-1"), "left out", amount=usd("212"))

    assert (found.number, found.price, found.tax) == ("I-2509-2", usd("-200"), usd("-12"))
    assert found.corrects == "I-2509-1 of 2025-04-25"
    assert not invoiced_anew(book, bench)  # nothing of the lower price is left to ask for
    with pytest.raises(NotAllowed, match="was invoiced already"):
        write_invoice(book, bench)


def test_what_was_credited_in_full_is_invoiced_anew_under_a_new_number(book, bench):
    write_invoice(book, bench)
    write_credit(book, find_paper(book, "I-2509-1"), "made out to the wrong name")

    assert "2,318.80 of J-2509 is agreed and not invoiced now" in invoiced_anew(book, bench)
    again = write_invoice(book, bench)

    assert (again.number, again.asked) == ("I-2509-3", usd("1159.40"))
    with pytest.raises(NotAllowed, match="credited in full already"):
        write_credit(book, find_paper(book, "I-2509-1"), "once more")


def test_a_credit_note_says_why_and_takes_no_more_than_stands(book, bench):
    write_invoice(book, bench)
    row = find_paper(book, "I-2509-1")

    with pytest.raises(BadValue, match="says why"):
        write_credit(book, row, " ")
    with pytest.raises(NotAllowed, match=r"no more than 1,159\.40"):
        write_credit(book, row, "a scratch", amount=usd("1200"))
    found = write_credit(book, row, "a scratch", amount=usd("115.94"))
    assert (found.price, found.tax) == (usd("-110"), usd("-5.94"))


def test_an_invoice_stands_while_a_credit_note_corrects_it(book, bench):
    write_invoice(book, bench)
    invoiced = book.entries(1)[0].id
    write_credit(book, find_paper(book, "I-2509-1"), "a scratch")

    with pytest.raises(NotAllowed, match="cannot be undone"):
        book.reverse(invoiced, "typed twice", RULES)


def test_a_number_taken_back_is_not_used_again(book, bench):
    write_invoice(book, bench)
    undo_last(book)

    assert write_invoice(book, bench).number == "I-2509-2"


@settings(max_examples=25)
@given(
    parts=st.lists(st.integers(1, 200_000), min_size=1, max_size=4),
    turns=st.lists(st.booleans(), min_size=1, max_size=8),
)
def test_invoices_and_payments_in_any_order_tie_to_what_is_due(tmp_path_factory, parts, turns):
    """However payments and invoices follow each other, each invoice leaves what is due."""
    from ledger.book import create_book

    path = tmp_path_factory.mktemp("any") / "book.sqlite"
    create_book(path, date(2025, 4, 25), {"shop": "Quillhaven Workshop"})
    with Book(path, date(2025, 4, 25)) as book:
        job = agreed(book, "Painted built-in", "2400.05", "310.10", "144.00")
        amounts = iter(parts)
        for is_payment in turns:
            if is_payment and (amount := next(amounts, 0)):
                receive(book, job, Money(amount), "transfer")
            try:
                found = write_invoice(book, job)
            except NotAllowed:
                break
            assert ties(book, job, found)
            assert usd("0") <= found.to_pay <= found.asked


# --- papers of the first schema, and the client's details ------------------------------------


def old_page(book, job):
    """An invoice as the first schema froze it."""
    page = read_json(freeze(write_invoice(book, job)))
    later = "paper tax_standing due_day supplied paid_on description deducted taxes changes settled"
    for name in (later + " iban bic corrects reason notes").split():
        del page[name]
    page["lines"] = [{k: v for k, v in line.items() if k != "rate"} for line in page["lines"]]
    return page | {"received": 115940, "number": "I-2509-0"}


def test_an_invoice_of_the_first_schema_says_what_it_said(book, bench):
    page = freeze(old_page(book, bench))
    with book.entry("quote invoice", "long ago"):
        old = InvoiceRow(job=bench.key, number="I-2509-0", day=ACCEPTED, asked=usd("1159.40"),
                         schema_number=1, page=page, sha256=digest(page))  # fmt: skip
        row = book.post(old)

    found = read_invoice(row)

    assert (found.asked, found.to_pay, found.received, found.left) == (
        usd("1159.40"), usd("1159.40"), usd("1159.40"), usd("0"),
    )  # fmt: skip
    assert found.changes is None
    assert altered_invoices(book) == []


def test_a_paper_keeps_whom_it_was_sent_to_until_they_are_redacted(book, bench):
    describe(book, bench, address="4 Ferry Road | Larkspur", vat_number="XX1")
    write_invoice(book, bench)
    describe(book, bench, address="9 Hill Street | Larkspur")

    row = find_paper(book, "I-2509-1")
    assert addressee_of(book, invoice=row.key).address == "4 Ferry Road | Larkspur"
    before = row.page
    with book.entry("job redact"):
        redact_client(book, bench.client)
    assert addressee_of(book, invoice=row.key).name == "Client 1"
    assert find_paper(book, "I-2509-1").page == before
    assert b"Ferry Road" not in book.path.read_bytes()


def test_a_job_opened_without_a_client_gets_one_by_name(book):
    job = new_job(book, "Three-hour repair of a chair")
    with pytest.raises(BadValue, match="no client yet"):
        describe(book, job, address="4 Ferry Road")

    assert describe(book, job, name="R. Lindqvist", address="4 Ferry Road").name == "R. Lindqvist"
    with pytest.raises(BadValue, match="has a name"):
        describe(book, job, name=" ")
