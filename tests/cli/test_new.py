"""`new`: a book from options, or guided by questions."""

import json
import re

import pytest

from ledger.labor.standards import starting_standards

GUIDED = "Quillhaven Workshop\n\n\n22000\n56000\nvat\n"


def settings(shop):
    return json.loads(shop("shop", "show", "--json").out)


def test_options_make_a_book_with_the_starting_standards_in_it(shop):
    said = shop("new", "--shop", "Quillhaven Workshop", "--currency", "eur", "--units", "MM")
    assert said.code == 0
    assert "A book for Quillhaven Workshop" in said.out
    assert "(EUR, mm)" in " ".join(said.out.split())
    assert f"{len(starting_standards())} starting standards" in said.err
    made = settings(shop)
    assert (made["currency"], made["units"]) == ("EUR", "mm")
    assert (made["overhead_year"], made["tax_standing"]) == ("", "vat")


def test_what_was_not_said_follows_the_currency_and_is_told(shop):
    dollars = shop("new", "usd.sqlite", "--shop", "Q")
    euros = shop("new", "eur.sqlite", "--shop", "Q", "--currency", "EUR")
    assert "(USD, inch)" in dollars.out
    assert "(EUR, mm)" in euros.out
    assert "saw cut 1/8 in" in " ".join(dollars.err.split())
    assert "sales tax charged" in " ".join(dollars.err.split())
    assert "saw cut 3 mm" in " ".join(euros.err.split())
    assert "VAT charged" in " ".join(euros.err.split())


def test_yearly_figures_give_the_rates_at_once(shop):
    words = ["--shop", "Q", "--overhead", "22000", "--pay", "56000.00", "--tax", "exempt"]
    said = shop("new", *words)
    assert re.search(r"67\.71 to break even.* 73\.13", said.err)
    assert settings(shop)["tax_standing"] == "exempt"


def test_without_options_the_five_things_that_matter_are_asked(shop):
    said = shop("new", keys=GUIDED)
    assert said.code == 0
    asked = ("Name of the workshop", "Currency", "bare number of length", "overhead", "pay", "tax")
    assert all(word in said.out for word in asked)
    made = settings(shop)
    assert (made["shop"], made["currency"], made["units"]) == ("Quillhaven Workshop", "USD", "inch")
    assert (made["overhead_year"], made["pay_year"]) == ("22000.00", "56000.00")
    assert made["tax_standing"] == "vat"


def test_a_shop_that_gets_no_tax_back_says_what_it_pays(shop):
    said = shop("new", keys="Q\nEUR\nmm\n0\n0\nexempt\n19 %\n")
    assert "Tax you pay on purchases" in said.out
    made = settings(shop)
    assert (made["material_tax"], made["list_prices"]) == ("19 %", "with_tax")
    assert "prices in your lists are taken with tax; one before tax gets 19 % put on" in " ".join(
        said.err.split())  # fmt: skip


def test_without_a_rate_an_exempt_shop_is_told_what_holds(shop):
    said = shop("new", "--shop", "Q", "--tax", "exempt")
    assert "before tax gets 0 %" in " ".join(said.err.split())
    assert settings(shop)["list_prices"] == "with_tax"


def test_what_an_option_says_is_not_asked(shop):
    said = shop("new", "--currency", "EUR", "--tax", "vat", keys="Q\nmm\n0\n0\n")
    assert said.code == 0
    assert "Currency" not in said.out
    assert (settings(shop)["currency"], settings(shop)["pay_year"]) == ("EUR", "")


def test_a_wrong_answer_is_told_so_and_asked_again(shop):
    said = shop("new", keys="\nQ\nbucks\nUSD\nfeet\ninch\nmany\n22000\n-1\n56000\nnone\nvat\n")
    assert said.code == 0
    for sentence in (
        "The workshop needs a name",
        "“bucks” is not a currency code of ISO 4217",
        "units is inch or mm; not “feet”.",
        "overhead_year: “many” is not an amount",
        "pay_year is at least 0.00; not “-1”.",
        "tax_standing is one of: sales_tax, vat, exempt; not “none”.",
    ):
        assert sentence in said.err
    assert settings(shop)["pay_year"] == "56000.00"


def test_figures_said_later_are_left_open(shop):
    shop("new", keys="Q\n\n\n\n0.00\n\n")
    assert settings(shop)["overhead_year"] == settings(shop)["pay_year"] == ""


@pytest.mark.parametrize("keys", ["", "Quillhaven Workshop\n", "Q\nUSD\ninch\n"])
def test_where_nobody_answers_the_option_is_named_and_nothing_is_made(shop, tmp_path, keys):
    said = shop("new", keys=keys or "\x04")
    assert said.code == 2
    assert "benchledger new --shop NAME" in said.err
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("option", "value", "sentence"),
    [
        ("--currency", "US", "“US” is not a currency code of ISO 4217; write one such as USD"),
        ("--units", "feet", "units is inch or mm; not “feet”."),
        ("--overhead", "22.000", "overhead_year: "),
        ("--pay", "lots", "pay_year: “lots” is not an amount"),
        ("--tax", "none", "tax_standing is one of"),
        ("--purchase-tax", "much", "material_tax: "),
        ("--shop", " ", "The workshop needs a name"),
    ],
)
def test_a_wrong_option_is_refused_and_nothing_is_made(shop, tmp_path, option, value, sentence):
    said = shop("new", "--shop", "Q", option, value)
    assert said.code == 1
    assert said.err.startswith(sentence)
    assert list(tmp_path.iterdir()) == []


def test_a_shop_that_gets_vat_back_has_no_purchase_tax_that_stays_a_cost(shop, tmp_path):
    words = ["new", "--shop", "Werkstatt", "--currency", "EUR", "--units", "mm", "--tax", "vat"]

    refused = shop(*words, "--purchase-tax", "19 %")

    assert (refused.code, list(tmp_path.iterdir())) == (1, [])
    assert "--tax exempt" in refused.err
    assert shop(*words, "--purchase-tax", "0").code == 0


def test_a_book_that_stands_there_is_kept_and_nothing_is_asked(shop):
    shop("new", "--shop", "Quillhaven Workshop")
    said = shop("new", keys=GUIDED)
    assert said.code == 1
    assert "exists already" in said.err
    assert "Name of the workshop" not in said.out


def test_the_file_can_be_named(shop, tmp_path):
    assert shop("new", "books/mine.sqlite", "--shop", "Q").code == 0
    assert (tmp_path / "books" / "mine.sqlite").stat().st_mode & 0o777 == 0o600


def test_a_millimeter_book_starts_with_metric_saw_and_offcuts(shop):
    names = ("kerf", "trim", "crosscut_capacity", "offcut_length", "offcut_width", "saw_reach")
    assert shop("new", "--shop", "Q", "--currency", "EUR", "--units", "mm").code == 0
    made = settings(shop)
    assert [made[name] for name in names] == [
        "3 mm", "10 mm", "300 mm", "600 mm", "300 mm", "2100 mm",
    ]  # fmt: skip


def test_a_metric_layout_buys_solid_wood_in_cubic_meters(begun, tmp_path):
    """Six staves of 1025.4 × 86.35 mm on boards 2500 × 200 × 32 mm, 0.016 m³ each."""
    (tmp_path / "parts.csv").write_text(
        "id,qty,length,width,grain,material\nA1,6,1000 mm,80 mm,length,KIR\n"
    )
    (tmp_path / "list.csv").write_text(
        "code,name,kind,unit,price,thickness,length,width\nKIR,Kirsche,lumber,m3,2900,32,2500,200\n"
    )
    shop = begun(
        ["new", "--shop", "Q", "--currency", "EUR", "--units", "mm"],
        ["material", "load", "list.csv"],
        ["job", "new", "Bench", "--parts", "parts.csv"],
    )
    told = shop("layout", "bench").out
    assert "KIR: 2 rough boards, 0.032 m³ bought for" in " ".join(told.split())
    assert "board feet" not in told
