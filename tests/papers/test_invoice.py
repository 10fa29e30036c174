"""Invoices, requests and credit notes on paper: their figures, what law asks for, the code."""

import shutil
import subprocess
from datetime import date
from fractions import Fraction

import pypdfium2
import pytest

from ledger.book.tables.clients import Addressee
from ledger.errors import BadValue
from ledger.measures.money import Money, currency
from ledger.measures.values import replace
from ledger.papers.engine import print_paper
from ledger.papers.invoice import invoice_paper
from ledger.papers.transfer import transfer_code
from ledger.quotes.invoice import (
    CREDIT,
    FINAL,
    INVOICE,
    REQUEST,
    ChangeLine,
    Deducted,
    Invoice,
    InvoiceLine,
    TaxPart,
)
from ledger.quotes.offer import Maker

ZERO = Money(0)
IBAN = "AT611904300234573201"
CLIENT = Addressee(
    invoice=1, client=1, name="Familie Brandt", address="Feldstr. 9 | 1010 Wien",
    vat_number="ATU99999999",
)  # fmt: skip
RATE = Fraction(20, 100)
FINAL_INVOICE = Invoice(
    number="I-25-0002", kind=FINAL, paper=INVOICE, day=date(2025, 4, 10),
    due_day=date(2025, 4, 24), supplied=date(2025, 4, 9), paid_on=(), currency=currency("EUR"),
    units="mm", maker=Maker("Tischlerei Lindenhof", "Lindenweg 4 | 1020 Wien", "t@l.example"),
    tax_standing="vat", tax_number="ATU12345675", client=1, quote="Q-2501-A",
    title="Esstisch Esche", description="Ein Esstisch, geölt",
    lines=(InvoiceLine("Esstisch", Money(440000), Money(88000), RATE, 2),
           InvoiceLine("Lieferung", Money(30000), Money(6000), RATE)),
    deducted=(Deducted("I-25-0001", date(2025, 3, 3), Money(200000), Money(40000)),),
    taxes=(TaxPart("VAT 20 %", RATE, Money(270000), Money(54000)),), tax_words="VAT 20 %",
    changes=(ChangeLine("CO-1", "Schubladen", Money(35000), Money(7000)),),
    agreed_price=Money(470000), agreed_tax=Money(94000), received=Money(240000), settled=ZERO,
    pay_to="By transfer.", iban=IBAN, bic="", by_card=Money(330000), corrects="", reason="",
    notes=("Cash accounting",),
)  # fmt: skip
REQUEST_OF_ALL = replace(
    FINAL_INVOICE, number="", kind="Payment request", paper=REQUEST, deducted=(), supplied=None
)
CREDIT_NOTE = replace(
    FINAL_INVOICE, kind="Credit note", paper=CREDIT, corrects="I-25-0002 of 2025-04-10",
    reason="Kratzer", lines=(InvoiceLine("Credit", Money(-10000), Money(-2000), RATE),),
    deducted=(), due_day=None, changes=(),
)  # fmt: skip
EMPTIEST = replace(
    FINAL_INVOICE, number="I-1", lines=(), deducted=(), taxes=(), changes=None,
    maker=Maker("", "", ""), tax_number="", quote="", title="Bench", description="", pay_to="",
    iban="", notes=(), tax_words="",
    by_card=None, due_day=None, supplied=None, agreed_price=ZERO, agreed_tax=ZERO, received=ZERO,
)  # fmt: skip


def test_a_final_invoice_says_all_that_article_226_asks_for(read_back):
    """Source: Directive 2006/112/EC, Article 226, points 1 to 10 as far as they apply here."""
    text = read_back(invoice_paper(FINAL_INVOICE, CLIENT, "A4")).text

    for words in (
        "Date 10 April 2025", "I-25-0002", "VAT number ATU12345675", "VAT number ATU99999999",
        "Lindenweg 4 · 1020 Wien", "Familie Brandt", "Feldstr. 9", "1010 Wien",
        "Esstisch, 2 pieces, €2,200.00 each 4,400.00 880.00 5,280.00",
        "Delivered/picked up 9 April 2025",
        "Cash accounting", "VAT 20 % 2,700.00 540.00",
        "Less I-25-0001 of 3 March 2025 −2,000.00 −400.00 −2,400.00",
        "Subtotal 2,700.00 540.00 3,240.00", "To pay now €3,240.00", "Due 24 April 2025",
        "Please pay by 24 April 2025.", "IBAN AT61 1904 3002 3457 3201", "Reference: I-25-0002",
        "CO-1: Schubladen 420.00", "Agreed now 5,640.00",
    ):  # fmt: skip
        assert words in text, words


def test_a_request_shows_no_tax_and_is_named_by_its_quote(read_back):
    text = read_back(invoice_paper(REQUEST_OF_ALL, CLIENT, "A4")).text

    assert "Payment request" in text
    assert "VAT 20 %" not in text
    assert "880.00" not in text.replace("5,880.00", "")
    assert "Reference: Q-2501-A" in text


def test_a_credit_note_names_what_it_corrects_and_asks_for_nothing(read_back):
    """Source: Directive 2006/112/EC, Article 219 (from memory)."""
    paper = invoice_paper(CREDIT_NOTE, CLIENT, "A4")
    text = read_back(paper).text

    assert "Credit note on invoice I-25-0002 of 10 April 2025" in text
    assert "Esstisch Esche. Kratzer" in text
    assert "Credited to you €120.00" in text
    assert "VAT 20 %" in text
    assert "IBAN" not in text
    assert not paper.drawings


def test_a_paper_of_the_first_schema_reads_as_it_was_sent(read_back):
    text = read_back(invoice_paper(replace(FINAL_INVOICE, changes=None), CLIENT, "A4")).text

    assert "The whole EUR Agreed price 4,700.00 Tax on it 940.00" in text


@pytest.mark.parametrize("size", ["letter", "A4"])
@pytest.mark.parametrize("invoice", [FINAL_INVOICE, REQUEST_OF_ALL, CREDIT_NOTE, EMPTIEST])
def test_every_kind_stays_inside_its_margins(invoice, size, read_back, inside_margins):
    pdf = read_back(invoice_paper(invoice, CLIENT if invoice.quote else None, size))

    assert len(pdf.pages) == 1
    assert not inside_margins(pdf)


def test_what_was_invoiced_before_is_taken_off_with_its_tax_where_nothing_is_left(read_back):
    whole = (Deducted("I-25-0001", date(2025, 3, 3), Money(470000), Money(94000)),)
    text = read_back(invoice_paper(replace(FINAL_INVOICE, deducted=whole), CLIENT, "A4")).text
    assert "−4,700.00 −940.00 −5,640.00" in text


def test_a_long_invoice_repeats_its_heads_and_keeps_how_to_pay_together(read_back, inside_margins):
    lines = tuple(
        InvoiceLine(f"Line {n} " + "w" * n * 4, Money(99999999), Money(9999), RATE)
        for n in range(60)
    )
    invoice = replace(FINAL_INVOICE, lines=lines, title="Long " * 60, pay_to="Pay " * 300)

    pdf = read_back(invoice_paper(invoice, CLIENT, "letter"))

    assert len(pdf.pages) > 1
    assert all("price tax EUR" in page.replace("\n", " ") for page in pdf.pages[:2])
    assert not inside_margins(pdf)


def scanned(paper, tmp_path):
    """What a reader of codes sees on the first page, as it is printed at 150 dpi."""
    page = pypdfium2.PdfDocument(print_paper(paper).content)[0]
    picture, path = page.render(scale=150 / 72).to_numpy(), tmp_path / "page.pgm"
    gray = picture.min(axis=2)
    height, width = gray.shape
    path.write_bytes(b"P5 %d %d 255\n" % (width, height) + gray.tobytes())
    read = subprocess.run(["zbarimg", "-q", "--raw", path], capture_output=True, check=True)
    return read.stdout.decode().splitlines()


@pytest.mark.skipif(not shutil.which("zbarimg"), reason="zbar is not installed")
@pytest.mark.parametrize(
    ("invoice", "amount", "reference"),
    [(FINAL_INVOICE, "3240", "I-25-0002"), (REQUEST_OF_ALL, "5640", "Q-2501-A")],
)
def test_the_code_says_account_amount_and_reference(invoice, amount, reference, tmp_path):
    """Source: European Payments Council, EPC069-12, the order of its lines."""
    lines = scanned(invoice_paper(invoice, CLIENT, "A4"), tmp_path)

    assert lines[:7] == ["BCD", "002", "1", "SCT", "", "Tischlerei Lindenhof", IBAN]
    assert Fraction(lines[7].removeprefix("EUR")) == int(amount)
    assert lines[8:11] == ["", "", reference]


@pytest.mark.parametrize(
    "changed",
    [
        {"iban": ""},
        {"currency": currency("USD")},
        {"settled": Money(324000)},
        {"settled": Money(324001)},
        {"maker": Maker("", "", "")},
        {"lines": (InvoiceLine("Palace", Money(100_000_000_000), ZERO),), "deducted": ()},
    ],
)
def test_there_is_no_code_where_there_can_be_no_transfer(changed):
    assert transfer_code(FINAL_INVOICE)
    assert not transfer_code(replace(FINAL_INVOICE, **changed))


def test_an_account_whose_check_digits_do_not_fit_is_refused():
    with pytest.raises(BadValue, match="check digits"):
        transfer_code(replace(FINAL_INVOICE, iban="AT001904300234573201"))
