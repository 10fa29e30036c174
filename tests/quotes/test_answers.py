"""An acceptance makes the agreement: payments, options, and the hours the price was made of."""

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from ledger.book import Book
from ledger.book.tables.quotes import QuoteState
from ledger.errors import NotAllowed, NotFound
from ledger.jobs.agreement import Ask, agree, agreement_of, dues_of
from ledger.jobs.cancel import cancel_job, kept_after_cancellation, record_of
from ledger.jobs.changes import approve, propose
from ledger.jobs.jobs import set_state
from ledger.jobs.payments import balance, receive
from ledger.labor.plan import plan_of
from ledger.measures.money import Money, currency, total
from ledger.measures.values import replace
from ledger.quotes.answers import accept_quote
from ledger.quotes.billing import write_invoice
from ledger.quotes.contract import contract_on
from ledger.quotes.draft import Wishes, draft_quote
from ledger.quotes.drift import price_drift
from ledger.quotes.invoice import altered_invoices, papers, read_invoice
from ledger.quotes.revisions import send_quote
from ledger.reports.closeout import account_of
from ledger.stock.materials import MaterialRow, save_materials

USD = currency("USD")


def usd(text):
    return USD.money(Decimal(text))


WISHES = Wishes(
    extras={"Delivery and installation": usd("900")},
    options={"Reading lamp": usd("180"), "Installation of a lamp": usd("60")},
)


@pytest.fixture
def sent(book, job, sheet):
    """The Marrow quote, sent, with two options."""
    quote = draft_quote(book, job, WISHES, sheet).quote
    send_quote(book, quote)
    return quote


@pytest.fixture
def agreed(book, job, sent):
    """The same, accepted without options."""
    accept_quote(book, sent, how="signature")
    return job


def test_an_option_stands_apart_with_the_tax_it_would_bring(book, job, sheet):
    offer = draft_quote(book, job, WISHES, sheet).offer

    assert [(o.name, o.amount, o.tax) for o in offer.options] == [
        ("Reading lamp", usd("180"), usd("10.80")),
        ("Installation of a lamp", usd("60"), usd("0")),
    ]
    assert offer.price == usd("6980")


def test_accepting_makes_the_agreement_of_the_quotes_payments(book, agreed):
    row = agreement_of(book, agreed)

    assert (row.source, row.price, row.tax) == ("Q-2507-A", usd("6980"), usd("364.80"))
    assert [due.asked for due in dues_of(book, agreed)] == [
        usd("3672.40"), usd("2937.92"), usd("734.48"),
    ]  # fmt: skip


def test_a_chosen_option_is_spread_over_the_payments(book, job, sent):
    accept_quote(book, sent, how="e-mail", options=["reading"])

    dues = dues_of(book, job)
    assert total(due.price for due in dues) == usd("7160")
    assert total(due.tax for due in dues) == usd("375.60")
    assert dues[0].price == usd("3580")


def accepted_long_ago(book, job, quote, price, tax):
    """The acceptance as earlier releases kept it: its payment, and no lines of what it is for."""
    with book.entry("quote accept", quote.name):
        book.post(QuoteState(quote=quote.key, state="accepted", day=book.today, how="e-mail"))
        set_state(book, job, "won")
        agree(book, job, quote.name, [Ask("In full", usd(price), usd(tax))], day=book.today,
              tax_rate=Fraction(6, 100), tax_standing="sales_tax")  # fmt: skip


@pytest.mark.parametrize(
    ("price", "tax", "option"),
    [
        ("7160", "375.60", ("180", "10.80", Fraction(6, 100))),  # the lamp, taxed like the piece
        ("7040", "364.80", ("60", "0", None)),  # its installation, not taxed like the bed's own
    ],
)
def test_options_of_an_old_acceptance_are_billed_with_the_tax_agreed_for_them(
    book, job, sent, price, tax, option
):
    accepted_long_ago(book, job, sent, price, tax)

    bill = write_invoice(book, job)

    *rest, last = bill.lines
    amount, part, rate = option
    assert (last.name, last.price, last.tax, last.rate) == (
        "Options as accepted", usd(amount), usd(part), rate,
    )  # fmt: skip
    assert total(line.tax for line in rest) == usd("364.80")
    assert (bill.price, bill.tax) == (usd(price), usd(tax))


def test_an_option_that_is_not_offered_is_refused(book, sent):
    with pytest.raises(NotFound, match=r"option of Q-2507-A .*“wardrobe”"):
        accept_quote(book, sent, how="e-mail", options=["wardrobe"])


def test_the_hours_the_price_was_made_of_become_the_jobs_plan(book, agreed):
    plan = plan_of(book, agreed)

    assert sum(plan.values()) == Decimal("65.79")
    assert plan["SND"] == Decimal("5.69")


def test_invoices_follow_the_payments_and_end_with_the_rest(book, agreed):
    first = write_invoice(book, agreed)
    receive(book, agreed, usd("3672.40"), "transfer")
    last = write_invoice(book, agreed, rest=True)

    assert (first.number, first.kind, first.asked) == (
        "I-2507-1", "Deposit invoice", usd("3672.40"),
    )  # fmt: skip
    assert (last.number, last.kind, last.asked) == ("I-2507-2", "Final invoice", usd("3672.40"))
    assert (last.received, last.left) == (usd("3672.40"), Money(0))
    assert contract_on(book, agreed, book.today).uninvoiced == []
    with pytest.raises(NotAllowed, match="was invoiced already"):
        write_invoice(book, agreed)


def test_a_named_payment_is_invoiced(book, agreed):
    assert write_invoice(book, agreed, which="finishing").lines[0].name == "Before finishing"
    with pytest.raises(NotFound, match=r"payment .*“on Christmas”"):
        write_invoice(book, agreed, which="on Christmas")


def test_an_invoice_by_card_says_the_fee_grossed_up(book, agreed):
    with book.entry("shop set", ""):
        book.set("card_fee", "2.9 %")
        book.set("card_fee_fixed", "0.30")

    found = write_invoice(book, agreed, which="On installation", by_card=True)

    assert found.by_card == usd("756.73")  # (734.48 + 0.30) ÷ 0.971


def test_an_invoice_reads_as_it_was_sent_whatever_the_settings_say_later(book, agreed):
    sent = write_invoice(book, agreed)
    with book.entry("shop set", ""):
        book.set("shop", "Other name")
        book.set("tax_rate", "9 %")

    with Book(book.path, date(2025, 5, 20)) as later:
        (row,) = papers(later, agreed)
        assert read_invoice(row) == sent
        assert altered_invoices(later) == []


def test_an_exempt_shops_invoice_says_why_it_asks_for_no_tax(book, job, sheet):
    with book.entry("shop set", ""):
        book.set("tax_standing", "exempt")
    quote = draft_quote(book, job, WISHES, sheet).quote
    send_quote(book, quote)
    accept_quote(book, quote, how="signature")

    found = write_invoice(book, job)

    assert (found.tax, balance(book, job).tax) == (Money(0), Money(0))
    assert found.tax_words == "No sales tax is charged."


def test_before_an_acceptance_there_is_nothing_to_invoice(book, job, sent):
    with pytest.raises(NotAllowed, match="Nothing is agreed"):
        write_invoice(book, job)


def test_prices_that_changed_since_the_quote_are_named(book, sent):
    rows = [MaterialRow("SATIN", "Topcoat", "finish", "gal", price=Decimal("84.00"))]
    save_materials(book, rows)

    (drift,) = price_drift(book, sent)

    assert (drift.material, drift.then, drift.now) == ("SATIN", Decimal("79.00"), Decimal("84.00"))


def test_a_price_that_was_nothing_is_named_once_and_a_piece_of_the_rack_never(book, job, sheet):
    free = next(line for line in sheet.lines if line.item == "SATIN")
    free = replace(free, unit_cost=Decimal("0.00"))
    piece = replace(next(x for x in sheet.lines if x.item == "STAIN"), lot=7)
    quote = draft_quote(book, job, Wishes(), replace(sheet, lines=(free, free, piece))).quote
    save_materials(
        book,
        [
            MaterialRow("SATIN", "Topcoat", "finish", "gal", price=Decimal("84.00")),
            MaterialRow("STAIN", "Stain", "finish", "quart", price=Decimal("30.00")),
        ],
    )

    (drift,) = price_drift(book, quote)

    assert (drift.material, drift.then) == ("SATIN", Decimal("0.00"))


def test_a_canceled_bed_brings_what_was_kept_with_its_change_orders_in_it(book, agreed):
    approve(book, agreed, propose(book, agreed, "a reading lamp", usd("180")), "e-mail")
    set_state(book, agreed, "ready")
    cancel_job(book, agreed, kept_after_cancellation(record_of(book, agreed)), "the house was sold")

    done = account_of(book, agreed).afterwards.done

    assert (done.price, done.changes) == (usd("7160"), Money(0))
