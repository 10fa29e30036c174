"""Headings of the owner's files: named by an option, asked for at a terminal, remembered."""

import json

import pytest

LIST = "SKU;Bezeichnung;Kind;Unit;Preis;Lager\nMDF18;MDF 18 mm;supply;sheet;31,50;12\n"
NAMED = ["--columns", "Bezeichnung=name", "--columns", "Preis=price", "--columns", "Lager=-"]


@pytest.fixture(autouse=True)
def book(shop, tmp_path):
    assert shop("new", "--shop", "Werkstatt", "--currency", "EUR").code == 0
    (tmp_path / "dealer.csv").write_text(LIST)


def price(shop):
    return json.loads(shop("material", "list", "--json").out)[0]["price"]


def test_a_heading_nobody_knows_is_refused_with_how_to_name_it(shop):
    said = shop("material", "load", "dealer.csv")
    assert (said.code, said.out) == (1, "")
    assert "dealer.csv line 1, column Bezeichnung: " in said.err
    assert "it is remembered: --columns" in said.err
    assert said.err.count("Say what a heading means") == 1


def test_a_heading_that_was_named_is_remembered_for_that_source_alone(shop, tmp_path):
    first = shop("material", "load", "dealer.csv", "--from", "Nord Holz", *NAMED)
    assert first.code == 0
    assert "Preis means price" in " ".join(first.err.split())
    assert price(shop) == "31.50"
    (tmp_path / "dealer.csv").write_text(LIST.replace("31,50", "33,00"))
    again = shop("material", "load", "dealer.csv", "--from", "nord holz")
    assert (again.code, price(shop)) == (0, "33.00")
    assert "Remembered" not in again.err
    assert shop("material", "load", "dealer.csv", "--from", "Other Dealer").code == 1


def test_a_supplier_said_once_stands_with_every_price(shop):
    shop("material", "load", "dealer.csv", "--from", "Nord Holz", *NAMED)
    assert "Nord Holz" in shop("material", "show", "MDF18").out


def test_at_a_terminal_a_heading_is_asked_once(shop, monkeypatch):
    monkeypatch.setattr("ledger.cli.headings.can_ask", lambda: True)
    said = shop("material", "load", "dealer.csv", keys="name\nwhat\nprice\n-\n")
    assert said.code == 0, said.err
    assert "“what” is none of the columns" in said.err
    assert price(shop) == "31.50"
    assert shop("material", "load", "dealer.csv").code == 0


def test_a_wrong_option_is_refused(shop):
    said = shop("material", "load", "dealer.csv", "--columns", "Preis")
    assert (said.code, "should read HEADING=COLUMN" in said.err) == (1, True)
    said = shop("material", "load", "dealer.csv", "--columns", "Preis=cheap", *NAMED[:2])
    assert (said.code, "column Preis: No column" in said.err) == (1, True)
