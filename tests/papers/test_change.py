"""Change orders on paper: words, price, new whole, days, a place to sign; frozen when proposed."""

import json
from datetime import date

import pytest

from ledger.book.tables.clients import Client
from ledger.measures.frozen import freeze, read_json, thaw_page
from ledger.measures.money import Money, currency
from ledger.measures.values import replace
from ledger.papers.change import change_paper
from ledger.quotes.change_page import STEPS, ChangePage
from ledger.quotes.offer import Maker

CLIENT = Client(name="T. Okafor", address="4 Ferry Road | Larkspur")
PAGE = ChangePage(
    number="CO-2", day=date(2025, 5, 19), currency=currency("USD"), units="inch",
    maker=Maker("Quillhaven Workshop", "Larkspur Falls", ""), client=1, quote="Q-2507-A",
    title="Marrow fold-down bed", words="one more loose shelf per tower", asked_by="D. Marrow",
    price=Money(12000), tax=Money(720), tax_words="Sales tax 6 %", agreed_price=Money(698000),
    agreed_tax=Money(36480), days=1, days_before=3, ready=date(2025, 6, 13),
    clause="Changes begin when you have approved them.",
)  # fmt: skip


def test_it_says_what_changes_what_it_comes_to_and_when(read_back):
    text = read_back(change_paper(PAGE, CLIENT, "letter")).text

    for words in (
        "Change order", "CO-2", "T. Okafor 4 Ferry Road Larkspur", "Belongs to Q-2507-A",
        "What changes one more loose shelf per tower", "Agreed until now 6,980.00 364.80 7,344.80",
        "CO-2, Sales tax 6 % 120.00 7.20 127.20",
        "Agreed with this change 7,100.00 372.00 $7,472.00", "This change adds 1 day.",
        "Changes agreed before it added 3 days.", "The piece is ready about June 13, 2025.",
        "All else stays as agreed in Q-2507-A.", "Signature",
    ):  # fmt: skip
        assert words in text, words


def test_something_left_out_lowers_the_whole_and_adds_no_days(read_back):
    page = replace(PAGE, price=Money(-5000), tax=Money(0), agreed_tax=Money(0), days=0,
                   days_before=0, ready=None, tax_words="")  # fmt: skip

    text = read_back(change_paper(page, None, "A4")).text

    assert "CO-2 −50.00 Agreed with this change $6,930.00" in text
    assert "This change adds no days." in text
    assert "ready about" not in text


@pytest.mark.parametrize("size", ["letter", "A4"])
def test_the_longest_change_keeps_its_signature_and_its_margins(size, read_back, inside_margins):
    page = replace(
        PAGE, words="W" * 300 + " shelf" * 2000, title="Bed " * 80, clause="Words. " * 90
    )

    pdf = read_back(change_paper(page, CLIENT, size))

    assert not inside_margins(pdf)[:5]
    assert "Words." in next(page for page in pdf.pages if "Signature" in page)


@pytest.fixture
def agreed(drafted):
    """The bench of the sample shop, agreed on and its deposit paid."""
    for words in (["quote", "send", "bench"], ["quote", "accept", "bench"],
                  ["job", "pay", "bench", "1000"]):  # fmt: skip
        assert drafted(*words).code == 0
    return drafted


def test_a_change_is_printed_and_again_when_the_contract_went_on(agreed, tmp_path, pdf_text):
    change = ["job", "change", "bench"]
    assert agreed(*change, "a drawer", "--price", "100", "--days", "2", "--pdf", "1.pdf").code == 0
    assert agreed(*change, "--approved", "CO-1").code == 0
    assert agreed(*change, "oil", "--price", "50", "--days", "1", "--pdf", "2.pdf").code == 0
    assert agreed(*change, "--again", "CO-1", "--pdf", "1-again.pdf").code == 0

    assert (tmp_path / "1.pdf").read_bytes() == (tmp_path / "1-again.pdf").read_bytes()
    second = pdf_text(tmp_path / "2.pdf")
    assert "Agreed until now 2,100.00" in second
    assert "Changes agreed before it added 2 days. The piece is ready about June 9, 2025." in second
    again = agreed("quote", "check").out
    assert again.count("same bytes") == 2
    assert "CO-1 to Q-2501-A" in again


def test_without_its_file_there_is_no_change_order(agreed):
    result = agreed("job", "change", "bench", "a drawer", "--price", "9", "--pdf", "nowhere/c.pdf")

    assert result.code == 1
    assert "CO-1" not in agreed("job", "change", "bench").out
    assert agreed("job", "change", "bench", "--pdf", "c.pdf").code == 2


def test_the_words_on_changes_are_those_of_the_quote(agreed, tmp_path, pdf_text):
    said = agreed("job", "change", "bench", "a drawer", "--price", "100", "--pdf", "1.pdf")

    text = pdf_text(tmp_path / "1.pdf")
    assert said.code == 0
    assert "Changes of size, material or drawing" in text
    assert "hidden in the piece" not in text
    assert "drawn:" not in text


def test_a_repair_without_a_quote_has_the_words_for_a_repair(begun, tmp_path, pdf_text):
    shop = begun(
        ["new", "--shop", "Larkhollow Joinery"],
        ["job", "new", "Recane a chair", "--price", "400"],
        ["shop", "set", "overhead_year=22000", "pay_year=56000"],
        ["job", "close", "chair"],
        ["job", "reopen", "chair", "--why", "one leg is still loose"],
    )
    said = shop("job", "change", "chair", "a new seat", "--price", "50", "--pdf", "1.pdf")

    assert said.code == 0
    text = pdf_text(tmp_path / "1.pdf")
    assert "What is found hidden in the piece" in text
    assert "|" not in text
    assert "Changes of size" not in text


def test_a_change_before_anything_was_paid_makes_a_price_in_one_sum_the_agreed_one(
    begun, tmp_path, pdf_text
):
    """1,000 less 200, with 10 % tax: 880. New furniture hides no old nails, and days come off."""
    shop = begun(
        ["new", "--shop", "Larkhollow Joinery"],
        ["shop", "set", "tax_rate=10 %"],
        ["job", "new", "Gate", "--price", "1000", "--hours", "10"],
        ["job", "change", "gate", "smaller", "--price", "-200", "--days", "-3", "--pdf", "1.pdf"],
        ["job", "change", "gate", "--approved", "CO-1"],
        ["job", "change", "gate", "lock", "--price", "0", "--days", "1", "--pdf", "2.pdf"],
    )
    first, second = pdf_text(tmp_path / "1.pdf"), pdf_text(tmp_path / "2.pdf")

    assert json.loads(shop("job", "pay", "gate", "--json").out)["asked"] == "880.00"
    assert "This change takes 3 days off." in first
    assert "This change adds 1 day. Changes agreed before it took 3 days off." in second
    assert "hidden in the piece" not in first


def test_a_page_of_the_first_schema_reads_as_it_was_sent():
    page = replace(PAGE, days=-3, days_before=0, ready=None)
    older = {k: v for k, v in read_json(freeze(page)).items() if k != "takes_days_off"}
    frozen = json.dumps(older).encode()

    now, then = (thaw_page(ChangePage, frozen, schema, STEPS, "CO-1") for schema in (2, 1))

    assert change_paper(now, None, "letter").texts["time"] == "This change takes 3 days off."
    assert change_paper(then, None, "letter").texts["time"] == "This change adds -3 days."


def test_a_change_of_a_job_without_a_price_says_what_would_be_right(begun):
    shop = begun(
        ["new", "--shop", "Larkhollow Joinery"],
        ["job", "new", "Chair", "--work", "repair 3h"],
    )

    refused = shop("job", "change", "chair", "a new seat", "--price", "50")

    assert (refused.code, "job set J-2501 --price AMOUNT" in refused.err) == (1, True)
