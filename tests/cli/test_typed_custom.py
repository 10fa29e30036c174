"""Dates and amounts as people write them, typed and by the file, in dollars and in euros."""

import json
from datetime import date, time, timedelta
from pathlib import Path

import pytest
from openpyxl import Workbook

MATERIALS = """\
code,name,kind,unit,pack,length,width,price,price_day
EICHE,Eiche massiv,lumber,bd ft,1,,,9.50,2025-04-01
LEIM,Leim,adhesive,each,1,,,7.5,2025-04-01
"""


@pytest.fixture
def euros(shop, tmp_path):
    """A metric euro book with two materials and a job."""
    assert shop("new", "--shop", "Werkstatt", "--currency", "EUR", "--units", "mm").code == 0
    (tmp_path / "list.csv").write_text(MATERIALS, "utf-8")
    for words in (["material", "load", "list.csv"], ["job", "new", "Esstisch"]):
        said = shop(*words)
        assert said.code == 0, said.err
    return shop


@pytest.fixture
def dollars(shop, tmp_path):
    """An inch and dollar book with the same."""
    assert shop("new", "--shop", "Workshop").code == 0
    (tmp_path / "list.csv").write_text(MATERIALS, "utf-8")
    for words in (["material", "load", "list.csv"], ["job", "new", "Dining table"]):
        said = shop(*words)
        assert said.code == 0, said.err
    return shop


def book_of(path: Path, rows: list[list[object]]) -> Path:
    """A workbook of one sheet."""
    paper = Workbook()
    for row in rows:
        paper.active.append(row)
    paper.active.title = "receipts"
    paper.save(path)
    return path


def test_a_euro_book_takes_its_own_dates_and_amounts_and_says_the_date_in_words(euros):
    said = euros("receipt", "add", "EICHE", "1.200", "1.200,50", "--from", "Sägewerk", "--total",
                 "1.440.600,00", "--on", "13.05.2025", on="2025-05-20")  # fmt: skip
    assert said.code == 0, said.err
    assert "Dates were read" not in said.err
    facts = json.loads(euros("receipt", "show", "R-101", "--json").out)
    assert (facts["day"], facts["total"]) == ("2025-05-13", "1440600.00")
    assert facts["lines"][0]["quantity"] == "1200"


def test_a_dollar_book_takes_its_own(dollars):
    said = dollars("receipt", "add", "EICHE", "1,200", "1,200.50", "--from", "Sawmill", "--total",
                   "1,440,600.00", "--on", "5/13/2025", on="2025-05-20")  # fmt: skip
    assert said.code == 0, said.err
    assert "Dates were read" not in said.err
    facts = json.loads(dollars("receipt", "show", "R-101", "--json").out)
    assert (facts["day"], facts["total"]) == ("2025-05-13", "1440600.00")


def test_what_json_says_may_be_typed_again(euros):
    euros("receipt", "add", "LEIM", "2", "1.200,50", "--from", "Sägewerk", "--on", "13.05.2025",
          on="2025-05-20")  # fmt: skip
    first = json.loads(euros("receipt", "show", "R-101", "--json").out)
    line = first["lines"][0]
    said = euros("receipt", "add", line["material"], line["quantity"], line["unit_price"],
                 "--total", first["total"], "--on", first["day"], on="2025-05-20")  # fmt: skip
    assert said.code == 0, said.err
    assert "Dates were read" not in said.err
    again = json.loads(euros("receipt", "show", "R-102", "--json").out)
    assert again["lines"][0] | {"lot": 1} == line
    assert again["total"] == first["total"]


def test_the_setting_decides_where_the_shop_writes_otherwise(dollars):
    assert dollars("shop", "set", "decimal_mark=comma", "dates=day_first").code == 0
    said = dollars("receipt", "add", "LEIM", "2", "1.200,50", "--from", "Sawmill", "--total",
                   "2.401", "--on", "13/5/2025", on="2025-05-20")  # fmt: skip
    assert said.code == 0, said.err
    assert json.loads(dollars("receipt", "show", "R-101", "--json").out)["day"] == "2025-05-13"
    assert dollars("shop", "set", "decimal_mark=", "dates=iso").code == 0
    said = dollars("receipt", "add", "LEIM", "2", "1,200", "--on", "5/6/2025", on="2025-05-20")
    assert said.code == 1
    assert "5 June 2025 or 6 May 2025" in said.err


@pytest.mark.parametrize("code", ["CAD", "CHF"])
def test_where_nothing_decides_both_readings_are_shown(shop, code):
    assert shop("new", "--shop", "Atelier", "--currency", code, "--units", "mm").code == 0
    said = shop("receipt", "add", "glue", "2", "1,200", "--category", "supply", "--from", "Yard")
    assert said.code == 1
    assert "may be 1200 or 1.200" in said.err


def test_yearly_figures_of_a_new_book_may_have_their_thousands_parted(shop):
    assert shop("new", "--shop", "A", "--overhead", "22,000", "--pay", "56,000").code == 0
    facts = json.loads(shop("shop", "show", "_year", "--json").out)
    assert (facts["overhead_year"], facts["pay_year"]) == ("22000.00", "56000.00")


def test_settings_read_back_as_they_were_set_whatever_the_mark_is(euros):
    assert euros("shop", "set", "price_step=1.000", "helper_cost=1.234,5").code == 0
    facts = json.loads(euros("shop", "show", "--json").out)
    assert (facts["price_step"], facts["helper_cost"]) == ("1000.00", "1234.50")
    assert euros("shop", "set", *(f"{name}={facts[name]}" for name in ("price_step",))).code == 0


def test_a_price_with_three_decimals_is_kept_and_read_back_as_it_was_said(euros, tmp_path):
    assert euros("shop", "set", "km_rate=1,234").code == 0
    assert euros("job", "add-cost", "esstisch", "km", "10").out == "J-2501: km 12.34, planned.\n"
    book_of(
        tmp_path / "shop.xlsx",
        [["name", "value"], ["km_rate", 2.345], ["price_step", 1000], ["kerf", 3.175]],
    )
    assert euros("shop", "load", "shop.xlsx").code == 0
    assert euros("job", "add-cost", "esstisch", "km", "10").out == "J-2501: km 23.45, planned.\n"
    facts = json.loads(euros("shop", "show", "--json").out)
    assert (facts["km_rate"], facts["price_step"]) == ("2.345", "1000.00")
    assert facts["kerf"] == "1/8 in"


CSV = """\
receipt;day;supplier;item;category;quantity;unit_price;goes_to
R-1;13.05.2025;Holzhof;Schrauben;fastener;1.000;0,054;stock
R-2;2025-05-12;Holzhof;Platten;sheet;2;1.200,50;stock
"""


def test_a_file_is_read_as_the_book_is_written_and_its_dates_are_said_back(euros, tmp_path):
    (tmp_path / "may.csv").write_text(CSV, "utf-8")
    said = euros("receipt", "load", "may.csv", on="2025-05-20")
    assert said.code == 0, said.err
    totals = {row["receipt"]: row["total"]
              for row in json.loads(euros("receipt", "list", "--json").out)}  # fmt: skip
    assert totals == {"R-1": "54.00", "R-2": "2401.00"}


def test_a_file_that_mixes_the_orders_is_refused_whole(dollars, tmp_path):
    text = CSV.replace(";0,054", ";0.054").replace("1.200,50", "1,200.50").replace("1.000", "1,000")
    mixed = text.replace("13.05.2025", "5/6/2025").replace("2025-05-12", "13/5/2025")
    (tmp_path / "may.csv").write_text(mixed, "utf-8")
    said = dollars("receipt", "load", "may.csv", on="2025-05-20")
    assert said.code == 1
    assert "“13/5/2025” has no month 13" in said.err
    assert json.loads(dollars("receipt", "list", "--json").out) == []


def test_numbers_that_a_workbook_keeps_as_numbers_are_never_read_by_a_mark(euros, tmp_path):
    rows = [["receipt", "day", "supplier", "item", "category", "quantity", "unit_price"],
            ["R-1", date(2025, 5, 13), "Holzhof", "Leisten", "lumber", 1.234, 2.345]]  # fmt: skip
    book_of(tmp_path / "may.xlsx", rows)
    said = euros("receipt", "load", "may.xlsx", on="2025-05-20")
    assert said.code == 0, said.err
    line = json.loads(euros("receipt", "show", "R-1", "--json").out)["lines"][0]
    assert (line["quantity"], line["net"]) == ("1.234", "2.89")


@pytest.mark.parametrize("number", ["", "R-1"])
def test_true_dates_of_a_workbook_are_days_of_receipts(dollars, tmp_path, number):
    rows = [["receipt", "day", "supplier", "item", "category", "quantity", "unit_price"],
            [number, date(2025, 5, 13), "Yard", "rags", "supply", 1, 4],
            [number and "R-1", None, None, "gloves", "safety", 1, 6]]  # fmt: skip
    book_of(tmp_path / "may.xlsx", rows)
    said = dollars("receipt", "load", "may.xlsx", on="2025-05-20")
    assert said.code == 0, said.err
    rows = json.loads(dollars("receipt", "list", "--json").out)
    assert [(row["day"], row["total"]) for row in rows] == [("2025-05-13", "10.00")]


def test_true_dates_of_a_workbook_are_days_of_hours_and_past_jobs_and_prices(dollars, tmp_path):
    day = date(2025, 4, 24)
    book_of(tmp_path / "hours.xlsx",
            [["day", "job", "operation", "hours"], [day, "J-2501", "sand", "1h"]])  # fmt: skip
    assert dollars("hours", "load", "hours.xlsx").code == 0
    found = json.loads(dollars("hours", "list", "--json").out)
    assert [row["day"] for row in found] == ["2025-04-24"]
    paper = Workbook()
    paper.active.title = "jobs"
    for row in (["job", "title", "done", "price", "material"],
                ["P-1", "Bench 48 × 18 × 16", day, 900, 200.5]):  # fmt: skip
        paper.active.append(row)
    lines = paper.create_sheet("lines")
    for row in (["job", "operation", "driver", "hours"], ["P-1", "SND", 40, 2.5]):
        lines.append(row)
    paper.save(tmp_path / "past.xlsx")
    assert dollars("job", "load", "past.xlsx").code == 0
    book_of(tmp_path / "list.xlsx", [["code", "name", "kind", "unit", "price", "price_day"],
            ["WAX", "Wax", "finish", "each", 12.345, day]])  # fmt: skip
    said = dollars("material", "load", "list.xlsx")
    assert said.code == 0, said.err
    facts = json.loads(dollars("material", "show", "WAX", "--json").out)
    assert (facts["price"], facts["price_day"]) == ("12.345", "2025-04-24")


def test_times_that_a_workbook_keeps_as_times_are_read_where_a_time_belongs(dollars, tmp_path):
    day = date(2025, 4, 24)
    book_of(tmp_path / "hours.xlsx", [["day", "job", "operation", "hours", "from", "part"],
            [day, "J-2501", "sand", time(1, 30), time(8, 5), None],
            [day, "J-2501", "mill", timedelta(hours=2, minutes=45), None, None]])  # fmt: skip
    said = dollars("hours", "load", "hours.xlsx")
    assert said.code == 0, said.err
    found = json.loads(dollars("hours", "list", "--json").out)
    assert [row["minutes"] for row in found] == [90, 165]
    assert "08:05–09:35" in dollars("hours", "list").out
    book_of(tmp_path / "wrong.xlsx", [["day", "job", "operation", "hours", "part"],
            [day, "J-2501", "sand", time(1, 30, 20), None],
            [day, "J-2501", "sand", "1h", time(3, 4)]])  # fmt: skip
    said = dollars("hours", "load", "wrong.xlsx")
    assert said.err.count("A spreadsheet made a time of this cell") == 2


def test_opening_stock_by_the_workbook_holds_numbers_and_text(euros, tmp_path):
    book_of(tmp_path / "open.xlsx", [["material", "quantity", "unit_cost"], ["EICHE", 1.125, 9.5],
            ["LEIM", "1.000", "0,5"]])  # fmt: skip
    said = euros("stock", "open", "open.xlsx", "--on", "25.04.2025")
    assert said.code == 0, said.err
    lots = {lot["material"]: lot["quantity"]
            for lot in json.loads(euros("stock", "list", "--json").out)}  # fmt: skip
    assert lots == {"EICHE": "1.125", "LEIM": "1000"}


@pytest.mark.parametrize("text", ["13.5.", "13.05.", "13/5", "13 may"])
def test_a_euro_book_takes_a_day_without_its_year_day_first(euros, text):
    said = euros("hours", "add", "esstisch", "sand", "1h", "--on", text, on="2025-05-20")
    assert said.code == 0, said.err
    listed = euros("hours", "list", "--from", "2025-05-01", "--json", on="2025-05-20").out
    (row,) = json.loads(listed)
    assert row["day"] == "2025-05-13"


@pytest.mark.parametrize("text", ["5/3", "may 3", "5/3/2025"])
def test_a_dollar_book_takes_a_day_without_its_year_month_first(dollars, text):
    said = dollars("hours", "add", "dining", "sand", "1h", "--on", text, on="2025-05-20")
    assert said.code == 0, said.err
    assert ("May 3, 2025" in " ".join(said.err.split())) is ("/" in text)
    listed = dollars("hours", "list", "--from", "2025-05-01", "--json", on="2025-05-20").out
    (row,) = json.loads(listed)
    assert row["day"] == "2025-05-03"
