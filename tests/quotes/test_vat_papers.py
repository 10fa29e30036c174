"""Under VAT: request, payment, deposit invoice, change order, final invoice, credit note.

What an invoice must show: Directive 2006/112/EC, Article 226; tax on a payment on account falls
due on the amount received: Article 65; a correction names its invoice: Article 219 (from memory).
"""

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from ledger.book import Book
from ledger.book.tables.invoices import SentInvoice as InvoiceRow
from ledger.book.tables.jobs import Agreement
from ledger.errors import BadValue, NotAllowed
from ledger.jobs.agreement import Ask, Delivered, agree
from ledger.jobs.cancel import CUT, FINISHED, CancelBasis, Terms, record_of
from ledger.jobs.changes import approve, propose
from ledger.jobs.closeout import reopen_job
from ledger.jobs.job_rules import REVERSAL_RULES as JOB_RULES
from ledger.jobs.jobs import describe, new_job, set_state, state_of
from ledger.jobs.payments import balance, receive
from ledger.measures.fields import made_of
from ledger.measures.money import Money, currency, split, total
from ledger.quotes.billing import next_paper, write_invoice
from ledger.quotes.canceling import account_of, cancel_with_papers, settle_with_papers
from ledger.quotes.contract import contract_on
from ledger.quotes.credits import write_credit
from ledger.quotes.invoice import altered_invoices, find_paper, papers
from ledger.quotes.quote_rules import REVERSAL_RULES as QUOTE_RULES
from ledger.reports.wip import money_in
from ledger.upkeep.undo import papers_untrue, take_back

EUR = currency("EUR")
RULES = (*JOB_RULES, *QUOTE_RULES)
ACCEPTED = date(2025, 3, 3)
RATE = Fraction(19, 100)


def eur(text):
    return EUR.money(Decimal(text))


@pytest.fixture
def shop(metric_book):
    """A German joiner's book, with all that the law asks of its invoices."""
    with metric_book.entry("shop set"):
        for name, value in {
            "tax_standing": "vat", "tax_rate": "19 %", "address": "Lindenweg 4 | 20095 Hamburg",
            "tax_number": "DE123456788", "overhead_year": "22000", "pay_year": "56000",
        }.items():  # fmt: skip
            metric_book.set(name, value)
    return metric_book


@pytest.fixture
def table(shop):
    """A solid oak table, oiled, agreed on at 4,700.00 and its delivery at 300.00, before VAT."""
    return sell(shop)


def sell(book, title="Oak table", number="J-2501", prices=("4700", "300")):
    job = new_job(book, title, client="Familie Brandt", number=number)
    describe(book, job, address="Feldstr. 9 | 20357 Hamburg")
    lines = [Delivered(title, eur(prices[0]), True), Delivered("Delivery", eur(prices[1]), True)]
    price = total(line.price for line in lines)
    shares = [Fraction(50, 100), Fraction(40, 100), Fraction(10, 100)]
    names = ("On acceptance", "Before finishing", "On installation")
    parts = zip(names, split(price, shares), split(price.times(RATE), shares), strict=True)
    with book.entry("quote accept", number):
        set_state(book, job, "won", day=ACCEPTED)
        agree(book, job, f"Q-{number[2:]}-A", [Ask(*part) for part in parts], day=ACCEPTED,
              tax_rate=RATE, tax_standing="vat", lines=lines)  # fmt: skip
    return job


def on(book, day):
    """The same book, open on another day."""
    return Book(book.path, date.fromisoformat(day))


def figures(paper):
    return paper.kind, paper.number, paper.price, paper.tax


def test_the_whole_way_from_request_to_credit_note_ties_to_job_pay(shop, table):
    with on(shop, "2025-03-03") as book:
        request = write_invoice(book, table)
    assert figures(request) == ("Payment request", "", eur("2500"), eur("475"))
    assert any("no invoice" in words for words in request.notes)

    with on(shop, "2025-03-10") as book:
        receive(book, table, eur("2975"), "transfer")
        assert "quote invoice J-2501" in next_paper(book, table)
        deposit = write_invoice(book, table)
        assert next_paper(book, table) == ""
    assert figures(deposit) == ("Deposit invoice", "I-25-0001", eur("2500"), eur("475"))
    assert (deposit.is_paid, deposit.paid_on) == (True, (date(2025, 3, 10),))

    with on(shop, "2025-03-20") as book:
        order = propose(book, table, "a drawer", eur("250"))
        approve(book, table, order, "e-mail")
    with on(shop, "2025-04-20") as book:
        set_state(book, table, "installed", day=date(2025, 4, 18))
        final = write_invoice(book, table)
        assert final.left + final.to_pay == balance(book, table).due
    assert figures(final) == ("Final invoice", "I-25-0002", eur("2750"), eur("522.50"))
    assert final.supplied == date(2025, 4, 18)
    assert [(d.number, d.price, d.tax) for d in final.deducted] == [
        ("I-25-0001", eur("2500"), eur("475")),
    ]
    assert [(c.name, c.price, c.tax) for c in final.changes] == [
        ("CO-1", eur("250"), eur("47.50")),
    ]
    assert [(part.rate, part.base, part.tax) for part in final.taxes] == [
        (RATE, eur("2750"), eur("522.50")),
    ]

    with on(shop, "2025-04-28") as book:
        credit = write_credit(book, find_paper(book, "I-25-0002"), "a scratch", amount=eur("119"))
        assert altered_invoices(book) == []
    assert figures(credit) == ("Credit note", "I-25-0003", eur("-100"), eur("-19"))
    assert credit.corrects == "I-25-0002 of 2025-04-20"


def test_an_invoice_follows_the_amount_that_came(shop, table):
    receive(shop, table, eur("2000"), "transfer")
    first = write_invoice(shop, table)
    asked = write_invoice(shop, table)
    receive(shop, table, eur("1500"), "transfer")
    second = write_invoice(shop, table)

    assert (first.price, first.tax) == (eur("1680.67"), eur("319.33"))
    assert (asked.kind, asked.to_pay) == ("Payment request", eur("975"))
    assert [(line.name, line.price + line.tax) for line in second.lines] == [
        ("On acceptance", eur("975")), ("Before finishing", eur("525")),
    ]  # fmt: skip
    final = write_invoice(shop, table, rest=True)
    assert total(paper.tax for paper in (first, second, final)) == eur("950")
    assert total(paper.price for paper in (first, second, final)) == eur("5000")


def test_the_tax_on_invoices_is_the_tax_of_the_month(shop, table):
    receive(shop, table, eur("2000"), "transfer")
    deposit = write_invoice(shop, table)

    (row,) = money_in(shop, date(2025, 4, 1), date(2025, 4, 30))
    assert row.tax == deposit.tax


def test_what_is_left_out_takes_its_tax_off_month_and_invoices(shop, table):
    order = propose(shop, table, "no drawer", eur("-200"))
    approve(shop, table, order, "e-mail")
    receive(shop, table, eur("2975"), "transfer")
    deposit = write_invoice(shop, table)
    receive(shop, table, eur("2737"), "transfer")
    rest = write_invoice(shop, table)

    (row,) = money_in(shop, date(2025, 4, 1), date(2025, 4, 30))
    assert (deposit.price, deposit.tax) == (eur("2500"), eur("475"))
    assert deposit.tax + rest.tax == row.tax == eur("912")
    assert rest.left == balance(shop, table).due == eur("0")


def test_what_came_beyond_the_contract_is_not_invoiced(shop, table):
    receive(shop, table, eur("6000"), "transfer")

    found = write_invoice(shop, table)

    assert (found.asked, found.left) == (eur("5950"), eur("-50"))
    final = write_invoice(shop, table, rest=True)
    assert (final.asked, total(d.tax for d in final.deducted)) == (eur("0"), eur("950"))
    with pytest.raises(NotAllowed, match="was invoiced already"):
        write_invoice(shop, table, rest=True)


def test_what_the_law_asks_for_is_asked_before_an_invoice_is_written(metric_book):
    with metric_book.entry("shop set"):
        metric_book.set("tax_standing", "vat")
    job = sell(metric_book)
    describe(metric_book, job, address="")

    assert write_invoice(metric_book, job).paper == "request"
    with pytest.raises(NotAllowed, match=r"your address.*your VAT number.*the client's address"):
        write_invoice(metric_book, job, rest=True)
    assert [row.kind for row in papers(metric_book, job)] == ["request"]


def test_a_job_that_was_opened_again_says_no_day_of_supply(shop, table):
    set_state(shop, table, "closed")
    reopen_job(shop, table, "a scratch")
    with pytest.raises(NotAllowed, match="was closed, and nothing says when the piece"):
        write_invoice(shop, table)
    assert write_invoice(shop, table, supplied=ACCEPTED).supplied == ACCEPTED


def test_the_series_is_the_shops_and_has_no_gap(shop, table):
    other = sell(shop, "Ash stool", "J-2502", ("200", "20"))
    one = write_invoice(shop, table, rest=True)
    two = write_invoice(shop, other, rest=True)
    row = find_paper(shop, "I-25-0002")
    with pytest.raises(NotAllowed, match="quote credit I-25-0002"):
        shop.reverse(row.entry, "typed twice", RULES)
    three = write_credit(shop, row, "made out to the wrong name")
    with pytest.raises(NotAllowed, match="invoiced anew"):
        shop.reverse(find_paper(shop, three.number).entry, "typed twice", RULES)
    four = write_invoice(shop, other, rest=True)

    assert [paper.number for paper in (one, two, three, four)] == [
        "I-25-0001", "I-25-0002", "I-25-0003", "I-25-0004",
    ]  # fmt: skip
    with pytest.raises(NotAllowed, match=r"of 2025-04-25.*--supplied DAY"):
        write_invoice(shop, sell(shop, "Bench", "J-2503"), rest=True, day=date(2025, 4, 24))
    with on(shop, "2026-01-02") as book:
        assert write_invoice(book, sell(book, "Shelf", "J-2601"), rest=True).number == "I-26-0001"
        assert altered_invoices(book) == []
        with book.entry("quote invoice", "from outside"):
            last = find_paper(book, "I-26-0001")
            book.post(made_of(InvoiceRow, last, id=None, entry=0, place=3))
        [gap] = altered_invoices(book)
        assert f"The invoices of {last.series} are not numbered" in gap


def test_a_request_is_taken_back_like_anything(shop, table):
    write_invoice(shop, table)

    shop.reverse(shop.entries(1)[0].id, "typed twice", RULES)
    assert papers(shop, table) == []


def test_a_payment_stands_while_its_invoice_does(shop, table):
    paid = receive(shop, table, eur("2975"), "transfer")
    write_invoice(shop, table)
    with pytest.raises(NotAllowed, match=r"quote credit I-25-0001 2,975\.00"):
        shop.reverse(paid.entry, "another client's", RULES)

    write_credit(shop, find_paper(shop, "I-25-0001"), "another client's payment")
    shop.reverse(paid.entry, "another client's", RULES)

    assert contract_on(shop, table, shop.today).invoiced.asked == eur("0")
    assert write_invoice(shop, table).paper == "request"


def test_what_a_numbered_paper_rests_on_is_not_told_to_be_undone(shop, table):
    receive(shop, table, eur("3075"), "transfer")
    back = receive(shop, table, eur("-100"), "transfer")
    write_invoice(shop, table)
    with pytest.raises(NotAllowed, match=r"^I-25-0001 of J-2501 rests on Q-2501-A, and what was"):
        shop.reverse(shop.rows(Agreement)[0].entry, "typed twice", RULES)
    assert papers_untrue(shop, take_back(shop, back.entry, "it stayed")) == (
        "I-25-0001, sent after this payment, has it as received and keeps its number. What really"
        " came: benchledger job pay J-2501 AMOUNT",
    )


def test_a_refund_calls_for_a_credit_note(shop, table):
    receive(shop, table, eur("2975"), "transfer")
    write_invoice(shop, table)
    receive(shop, table, eur("-975"), "transfer")

    assert "quote credit I-25-0001 975.00" in next_paper(shop, table)
    found = write_credit(shop, find_paper(shop, "I-25-0001"), "paid back", amount=eur("975"))
    assert (found.price, found.tax) == (eur("-819.33"), eur("-155.67"))
    assert next_paper(shop, table) == ""


def test_a_part_without_vat_stands_with_its_own_words(shop):
    job = new_job(shop, "Oak table", client="Familie Brandt", number="J-2501")
    describe(shop, job, address="Feldstr. 9")
    lines = [Delivered("Oak table", eur("1000"), True), Delivered("Course", eur("100"), False)]
    with shop.entry("quote accept"):
        agree(shop, job, "Q-2501-A", [Ask("At once", eur("1100"), eur("190"))], day=ACCEPTED,
              tax_rate=RATE, tax_standing="vat", lines=lines)  # fmt: skip
        shop.set("wording_untaxed", "Exempt: § 4 no. 21 UStG")

    found = write_invoice(shop, job, rest=True)

    assert [(part.words, part.base, part.tax) for part in found.taxes] == [
        ("VAT 19 %", eur("1000"), eur("190")), ("Exempt: § 4 no. 21 UStG", eur("100"), eur("0")),
    ]  # fmt: skip
    assert [line.rate for line in found.lines] == [RATE, None]


# --- canceling -------------------------------------------------------------------------------


@pytest.fixture
def deposited(shop, table):
    """The table with its deposit paid and invoiced."""
    receive(shop, table, eur("2975"), "transfer")
    write_invoice(shop, table)
    return table


def account(book, job, kept, kept_as):
    return account_of(book, job, record_of(book, job, CUT), Terms(kept=eur(kept)), kept_as)


def test_it_is_asked_as_what_a_sum_is_kept(shop, deposited):
    with pytest.raises(NotAllowed, match=r"--kept-as work.*--kept-as compensation"):
        cancel_with_papers(shop, deposited, account(shop, deposited, "1190", ""), "moved away")

    assert state_of(shop, deposited) == "deposit paid"
    assert len(papers(shop, deposited)) == 1


def test_what_is_kept_as_work_keeps_its_vat(shop, deposited):
    kept = account(shop, deposited, "1190", "work")
    assert kept.tax == eur("190")

    (credit,) = cancel_with_papers(shop, deposited, kept, "moved away")

    assert (credit.price, credit.tax) == (eur("-1500"), eur("-285"))
    assert credit.corrects.startswith("I-25-0001")
    assert contract_on(shop, deposited, shop.today).invoiced.tax == eur("190")
    (row,) = money_in(shop, date(2025, 4, 1), date(2025, 4, 30))
    assert row.tax == eur("190")


def test_what_is_kept_as_compensation_has_no_vat(shop, deposited):
    kept = account(shop, deposited, "1190", "compensation")

    (credit,) = cancel_with_papers(shop, deposited, kept, "moved away")

    assert (kept.tax, credit.asked) == (eur("0"), eur("-2975"))
    assert balance(shop, deposited).due == eur("-1785")
    with pytest.raises(NotAllowed, match="nothing that is kept is left"):
        write_invoice(shop, deposited)


def test_every_deposit_that_was_invoiced_is_credited(shop, deposited):
    receive(shop, deposited, eur("1000"), "transfer")
    write_invoice(shop, deposited)

    credits = cancel_with_papers(shop, deposited, account(shop, deposited, "0", ""), "moved away")

    assert [one.corrects[:9] for one in credits] == ["I-25-0002", "I-25-0001"]
    assert total(one.asked for one in credits) == eur("-3975")
    assert total(one.tax for one in credits) == eur("-634.66")


def test_what_is_kept_beyond_the_deposit_is_invoiced(shop, deposited):
    cancel_with_papers(shop, deposited, account(shop, deposited, "3570", "work"), "moved away")

    found = write_invoice(shop, deposited)

    assert (found.price, found.tax, found.to_pay) == (eur("500"), eur("95"), eur("595"))
    assert found.left + found.to_pay == balance(shop, deposited).due


def test_another_sum_agreed_on_later_is_credited_too(shop, deposited):
    cancel_with_papers(shop, deposited, account(shop, deposited, "2380", "work"), "moved away")

    kept, (credit,) = settle_with_papers(shop, deposited, eur("1190"), "met halfway")

    assert (kept.tax, kept.kept_as) == (eur("190"), "work")
    assert (credit.price, credit.tax) == (eur("-1000"), eur("-190"))


def test_a_finished_piece_is_paid_for_as_work(shop, deposited):
    record = record_of(shop, deposited, FINISHED)

    assert account_of(shop, deposited, record, Terms()).kept_as == "work"
    with pytest.raises(BadValue, match="was finished"):
        account_of(shop, deposited, record, Terms(), "compensation")
    with pytest.raises(BadValue, match="not as “luck”"):
        account_of(shop, deposited, record, Terms(), "luck")


def test_tax_on_computed_lines_is_added_to_them(shop, deposited):
    """What the lines come to is before tax; pay for work has its tax on top."""
    record = CancelBasis(CUT, balance(shop, deposited), [], eur("1000"), None)

    assert account_of(shop, deposited, record, Terms(), "work").kept == eur("1190")
    assert account_of(shop, deposited, record, Terms(), "compensation").kept == eur("1000")
    assert account_of(shop, deposited, record, Terms(), "").tax == Money(0)


def test_once_handed_over_no_single_payment_is_invoiced(shop, table):
    receive(shop, table, eur("2975"), "transfer")
    write_invoice(shop, table)
    set_state(shop, table, "installed")
    with pytest.raises(NotAllowed, match="due now, in one final invoice: Before finishing, On ins"):
        write_invoice(shop, table, which="On installation")
    assert len(papers(shop, table)) == 1
    receive(shop, table, eur("2380"), "transfer")
    with pytest.raises(NotAllowed, match="Before finishing"):
        write_invoice(shop, table, which="On installation", rest=True)
    assert write_invoice(shop, table).price == eur("2500")
