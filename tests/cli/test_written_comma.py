"""A book that writes with a comma: screens and papers follow, JSON keeps the point."""

import json

import pytest

from ledger.cli import voice
from ledger.measures.custom import COMMA, POINT
from ledger.measures.money import Currency
from ledger.papers.words import as_written


@pytest.fixture(autouse=True)
def _again():
    yield
    voice.write_numbers(POINT, 2)


def written(text, digits=2):
    voice.write_numbers(COMMA, digits)
    return voice._plain(text, "utf-8")


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("65.79 h at -8.5 %", "65,79 h at -8,5 %"),
        ("1.234,50 of 98.4375", "1.234,50 of 98,4375"),
        ("1.250 m³", "1,250 m³"),
        ("1115.47/m³, 1.5/2", "1115,47/m³, 1.5/2"),
        ("2025-05-02, v1.2.3, parts.csv, 4.5x3", "2025-05-02, v1.2.3, parts.csv, 4.5x3"),
        ("“12.345” is wrong: benchledger job pay J 12.50", None),
        ("Ends at 3.5. Then 2.", "Ends at 3,5. Then 2."),
    ],
)
def test_decimals_get_a_comma_and_nothing_else_does(text, shown):
    assert written(text) == (text if shown is None else shown)


def test_where_amounts_have_no_decimals_their_groups_stay():
    assert written("1.234 and 0.5", digits=0) == "1.234 and 0,5"


def test_a_paper_follows_and_the_sizes_of_its_drawings_stay():
    words = {"rows": [["4.00 h", "1.234,50"]], "width": "12.5", "tall": True}
    currency = Currency("EUR", 2, written=COMMA)
    assert as_written(words, currency) == {
        "rows": [["4,00 h", "1.234,50"]], "width": "12.5", "tall": True,
    }  # fmt: skip
    assert as_written(words, Currency("EUR", 2)) is words


def test_screens_follow_the_setting_and_json_does_not(shop, tmp_path):
    shop("new", "--shop", "Werkstatt", "--currency", "EUR", "--overhead", "20000", "--pay", "50000")
    (tmp_path / "r.csv").write_text(
        "day;supplier;item;category;quantity;unit_price;goes_to;total\n"
        "2025-03-01;Nord;rags;supply;1;1.234,50;shop;1.234,50\n"
    )
    assert shop("receipt", "load", "r.csv").code == 0
    plain = shop("receipt", "list").out
    shop("shop", "set", "decimal=comma")
    comma = shop("receipt", "list").out
    assert ("1,234.50" in plain, "1.234,50" in comma) == (True, True), plain
    assert "1234.50" in shop("receipt", "list", "--json").out


def test_sizes_of_a_new_revision_have_the_comma_and_a_sent_one_stays(shop, tmp_path, pdf_text):
    for words in (
        ["new", "--shop", "Werkstatt", "--currency", "EUR", "--units", "mm", "--overhead", "20000",
         "--pay", "50000"],
        ["material", "load", "--starting"],
        ["job", "new", "Shelf", "--starter", "bookcase", "--set", "width=900.5"],
        ["quote", "draft", "shelf"],
        ["quote", "send", "shelf", "--pdf", "a.pdf"],
        ["shop", "set", "decimal=comma"],
    ):  # fmt: skip
        said = shop(*words)
        assert said.code == 0, (words, said.err)
    assert shop("quote", "draft", "shelf", "--again").code == 0
    facts = [json.loads(shop("quote", "show", name, "--json").out)["facts"]
             for name in ("Q-2501-A", "Q-2501-B")]  # fmt: skip
    assert ["900.5" in str(facts[0]), "900,5" in str(facts[1])] == [True, True]
    assert "900.5" not in str(facts[1])
    assert shop("quote", "check").code == 0
    for name, size in (("Q-2501-A", "900.5"), ("Q-2501-B", "900,5")):
        said = shop("quote", "show", name, "--pdf", "q.pdf")
        assert said.code == 0, said.err
        assert size in pdf_text(tmp_path / "q.pdf")
    shop("quote", "show", "Q-2501-A", "--pdf", "again.pdf")
    assert (tmp_path / "again.pdf").read_bytes() == (tmp_path / "a.pdf").read_bytes()
