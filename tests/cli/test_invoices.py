"""`benchledger job client`, `quote invoice` and `quote credit`, typed: in the US and under VAT."""

import json
import re

import pytest
from openpyxl import load_workbook


def noted(said):
    """What was said beside the facts, its lines joined."""
    return " ".join(said.err.split())


def entered(vat):
    vat("shop", "set", "address=Lindenweg 4", "tax_number=ATU12345675",
        "iban=at61 1904 3002 3457 3201", "bic=abcdatww")  # fmt: skip
    vat("job", "client", "bench", "--address", "Feldstr. 9 | 1010 Wien")


def test_a_client_is_entered_once_and_stands_on_every_later_paper(sold, tmp_path, pdf_text):
    sold(
        "job", "client", "bench", "--address", "4 Ferry Road | Larkspur", "--contact", "t@o.example"
    )

    said = sold("job", "client", "bench", "--json").facts()
    assert (said["name"], said["address"]) == ("T. Okafor", "4 Ferry Road | Larkspur")
    paper = sold("quote", "invoice", "bench", "--pdf", "i.pdf", "--json").facts()
    assert paper["buyer"]["address"] == "4 Ferry Road | Larkspur"
    assert "T. Okafor 4 Ferry Road Larkspur" in pdf_text(tmp_path / "i.pdf")
    # The quote went out before the address was known, and stays as it was sent.
    assert "Ferry Road" not in sold("quote", "text", "bench").out


def test_what_a_us_invoice_does_not_say_is_said(sold):
    said = sold("quote", "invoice", "bench")

    for words in ("address=ADDRESS", "job client J-2501", "wording_pay_to", "tax_number"):
        assert words in noted(said)


def test_details_that_were_changed_are_not_undone_but_entered(sold):
    sold("job", "client", "bench", "--address", "4 Ferry Road")

    said = sold("undo")
    assert said.code == 1
    assert "benchledger job client JOB" in noted(said)


def test_an_invoice_after_the_payment_says_that_it_is_paid(sold, tmp_path, pdf_text):
    sold("job", "pay", "bench", "1054")

    paper = sold("quote", "invoice", "bench", "--pdf", "i.pdf", "--json").facts()
    assert (paper["asked"], paper["to_pay"], paper["left"]) == ("1054.00", "0.00", "1054.00")
    assert sold("job", "pay", "bench", "--json").facts()["due"] == paper["left"]
    assert "To pay now (paid in full) $0.00" in pdf_text(tmp_path / "i.pdf")


def test_a_payment_that_is_taken_back_names_the_invoices_that_have_it_as_received(sold):
    def entry_of(verb):
        entries = sold("undo", "--list", "--json").facts()
        return str(next(one["entry"] for one in entries if one["verb"] == verb and one["in_force"]))

    sold("job", "pay", "bench", "54")
    assert "as received" not in noted(sold("undo")), "no invoice yet"
    sold("job", "pay", "bench", "1054")
    sold("quote", "invoice", "bench")
    invoice = entry_of("quote invoice")
    sold("job", "pay", "bench", "54")
    assert "as received" not in noted(sold("undo")), "it came after the invoice"
    said = sold("undo", entry_of("job pay"))
    assert "I-2501-1, sent after this payment" in noted(said)
    assert f"benchledger undo {invoice}; then write anew" in noted(said)
    sold("undo", invoice)
    paper = sold("quote", "invoice", "bench", "--json").facts()
    assert (paper["received"], paper["to_pay"]) == ("0.00", "1054.00")


def test_an_invoice_written_again_says_what_happened_since(sold):
    sold("quote", "invoice", "bench")
    sold("job", "pay", "bench", "1054")
    sold("quote", "credit", "I-2501-1", "--why", "wrong name")

    said = sold("quote", "invoice", "bench", "--again", "i-2501-1")
    assert "received 1,054.00" in noted(said)
    assert "credited by I-2501-2" in noted(said)


@pytest.mark.parametrize(
    "option", [("--card",), ("--rest",), ("--request",), ("--for", "CO-1"), ("--on", "2025-04-01"),
               ("--supplied", "2025-04-01")],
)  # fmt: skip
def test_an_invoice_written_again_takes_nothing_new(sold, option):
    sold("quote", "invoice", "bench")
    said = sold("quote", "invoice", "bench", "--again", "I-2501-1", *option)
    assert (said.code, said.out) == (1, "")
    assert f"nothing in it changes: leave {option[0]} out" in noted(said)


def test_the_due_day_is_the_shops(sold):
    sold("shop", "set", "invoice_days=30")
    assert sold("quote", "invoice", "bench", "--json").facts()["due_day"] == "2025-05-25"
    sold("shop", "set", "invoice_days=0")
    assert "Due on receipt." in sold("quote", "invoice", "bench", "--rest").out


def test_a_credit_note_that_leaves_something_to_invoice_says_so(sold, tmp_path, pdf_text):
    sold("quote", "invoice", "bench")

    said = sold("quote", "credit", "I-2501-1", "106", "--why", "a scratch", "--pdf", "c.pdf")

    assert "1,160.00 of J-2501 is agreed" in noted(said)
    assert "Credit note on invoice I-2501-1" in pdf_text(tmp_path / "c.pdf")
    assert sold("quote", "credit", "I-2501-1").code == 1
    assert "No invoice is called" in sold("quote", "credit", "I-9", "--why", "x").err


def test_what_is_held_stands_beside_a_word_on_income_tax(sold):
    assert "cash basis" in sold("job", "pay", "bench", "1054").err
    assert "cash basis" in sold("month", "2025-04").err
    sold("job", "state", "bench", "installed")
    assert "cash basis" not in sold("job", "pay", "bench").err


def test_an_account_number_with_a_wrong_digit_is_refused(vat):
    said = vat("shop", "set", "iban=AT61 1904 3002 3457 3210")

    assert said.code == 1
    assert "check digits" in said.err


def test_under_vat_the_invoice_follows_the_money(vat, tmp_path, pdf_text):
    asked = vat("quote", "invoice", "bench", "--pdf", "r.pdf", "--json").facts()
    assert (asked["paper"], asked["invoice"], asked["to_pay"]) == ("request", "", "1200.00")
    request = pdf_text(tmp_path / "r.pdf")
    assert "no invoice" in request
    assert not re.search(r"(?<![\d,])200\.00", request), "a request shows no tax of its own"
    assert "quote invoice J-2501" in vat("job", "pay", "bench", "1200").err

    refused = vat("quote", "invoice", "bench")
    assert refused.code == 1
    assert "Article 226" in refused.err
    entered(vat)
    deposit = vat("quote", "invoice", "bench", "--json").facts()
    assert (deposit["invoice"], deposit["taxes"][0]["tax"]) == ("I-25-0001", "200.00")
    assert (deposit["iban"], deposit["bic"]) == ("AT611904300234573201", "ABCDATWW")
    assert "credit note" in vat("undo").err

    final = vat("quote", "invoice", "bench", "--rest", "--supplied", "2025-04-24", "--pdf",
                "f.pdf", "--json")  # fmt: skip
    paper = final.facts()
    assert (paper["supplied"], paper["to_pay"]) == ("2025-04-24", "1200.00")
    assert paper["deducted"] == [
        {"invoice": "I-25-0001", "day": "2025-04-25", "price": "1000.00", "tax": "200.00"}
    ]
    printed = pdf_text(tmp_path / "f.pdf")
    for words in ("Less I-25-0001 of 25 April 2025 −1,000.00 −200.00", "Delivery 200.00 40.00",
                  "VAT number ATU12345675", "Delivered/picked up 24 April 2025", "1010 Wien",
                  "IBAN AT61 1904 3002 3457 3201"):  # fmt: skip
        assert words in printed


def test_the_accountant_gets_every_invoice_with_its_tax(vat, tmp_path):
    entered(vat)
    assert vat("quote", "invoice", "bench", "--list").out == ""
    vat("job", "pay", "bench", "1200")
    vat("quote", "invoice", "bench", "--request")
    vat("quote", "invoice", "bench")
    vat("quote", "credit", "I-25-0001", "120", "--why", "paid back")
    vat("month", "2025-04", "--xlsx", "accountant")

    listed = vat("quote", "invoice", "--list", "--json").facts()
    assert [(row["invoice"], row["taxed"], row["tax"]) for row in listed] == [
        ("I-25-0001", "1000.00", "200.00"), ("I-25-0002", "-100.00", "-20.00"),
    ]  # fmt: skip
    (file,) = (tmp_path / "accountant").glob("*accountant.xlsx")
    rows = [[cell.value for cell in row] for row in load_workbook(file)["Invoices"].iter_rows()]
    assert [row[5:] for row in rows if str(row[0]).startswith("I-25")] == [
        [1000, 1000, 200, 1200], [-100, -100, -20, -120],
    ]  # fmt: skip


def test_a_shop_without_tax_shows_one_amount_and_says_why(sold):
    note = sold("shop", "set", "tax_standing=exempt").err
    assert "“No sales tax is charged.”" in note and "wording_exempt=WORDS" in note
    sold("job", "new", "Chair repair", "--parts", "bench.csv")
    for line in (["draft", "chair", "--price", "270", "--payments", "100"], ["send", "chair"],
                 ["accept", "chair"]):  # fmt: skip
        assert sold("quote", *line).code == 0

    said = sold("quote", "invoice", "chair").out
    assert "No sales tax is charged." in said
    assert "tax  " not in said


def test_a_handing_over_lies_not_after_its_invoice(vat):
    entered(vat)

    said = vat("quote", "invoice", "bench", "--rest", "--supplied", "2025-04-26")
    assert said.code == 1


def test_canceling_under_vat_credits_what_goes_back(vat):
    entered(vat)
    vat("job", "pay", "bench", "1200")
    vat("quote", "invoice", "bench")
    line = ("job", "cancel", "bench", "--kept", "600", "--why", "moved away")

    refused = vat(*line)
    assert refused.code == 1
    assert "--kept-as" in refused.err
    done = vat(*line, "--kept-as", "work", "--json").facts()
    assert (done["tax"], done["kept_as"]) == ("100.00", "work")
    assert done["credit_notes"] == {"I-25-0002": "-600.00"}
    note = vat("quote", "invoice", "bench", "--again", "I-25-0002", "--json").facts()
    assert (note["corrects"], note["reason"]) == ("I-25-0001 of 2025-04-25", "moved away")


def test_what_is_invoiced_as_handed_over_is_held_no_more(vat):
    entered(vat)
    assert vat("job", "pay", "bench", "2160").code == 0
    assert vat("job", "change", "bench", "a drawer", "--price", "100").code == 0
    assert vat("job", "change", "bench", "--approved", "CO-1").code == 0
    (due,) = json.loads(vat("today", "--json").out)["payments"]
    assert (due["payment"], due["open"]) == ("On delivery with CO-1", "360.00")

    final = vat("quote", "invoice", "bench", "--rest", "--supplied", "2025-04-24", "--json").facts()
    assert final["to_pay"] == due["open"]
    assert vat("job", "pay", "bench", "360").code == 0
    account = vat("job", "pay", "bench")
    (job,) = json.loads(vat("job", "list", "--json").out)

    assert job["state"] == "installed"
    assert "Held" not in account.out
    assert "All that was asked for is paid." in account.out
