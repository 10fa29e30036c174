"""Every list that the program writes to be filled in loads as it stands, and it is what it says."""

import json

import pytest

BOOKS = {
    "inch": ("--currency", "USD", "--units", "inch"),
    "metric": ("--currency", "EUR", "--units", "mm"),
}


@pytest.fixture(params=BOOKS)
def metric(shop, request):
    assert shop("new", "--shop", "Q", *BOOKS[request.param]).code == 0
    return request.param == "metric"


@pytest.mark.parametrize("suffix", ["xlsx", "csv"])
def test_the_price_list_and_what_rests_on_it_load_back(shop, metric, suffix):
    for noun, verb in (("material", "load"), ("stock", "open"), ("shop", "load")):
        written = shop(noun, "template", f"{noun}.{suffix}")
        assert written.code == 0, written.err
        said = shop(noun, verb, f"{noun}.{suffix}")
        assert said.code == 0, said.err
    known = json.loads(shop("material", "list", "--json").out)
    assert {one["kind"] for one in known} == {
        "sheet", "lumber", "edging", "hardware", "fastener", "finish",
    }  # fmt: skip
    units = {one["kind"]: one["unit"] for one in known}
    assert units["lumber"] == ("m³" if metric else "bd ft")
    assert "nothing" in shop("shop", "ask", "kerf", keys="\n").out.casefold()


def test_past_jobs_designs_and_cut_lists_load_back(shop, metric):
    assert shop("material", "template", "prices.xlsx").code == 0
    assert shop("material", "load", "prices.xlsx").code == 0
    assert shop("job", "template", "past.xlsx").code == 0
    said = shop("job", "load", "past.xlsx")
    assert said.code == 0, said.err
    assert said.out.startswith("2 past jobs taken from past.xlsx.")
    assert shop("design", "template", "book.xlsx").code == 0
    assert shop("design", "load", "book.xlsx").code == 0
    assert shop("design", "template", "cuts.csv", "--cut-list").code == 0
    said = shop("design", "load", "cuts.csv")
    assert said.code == 0, said.err
    parts = json.loads(shop("design", "show", "cuts", "--json").out)["parts"]
    assert [part["length_mm"] for part in parts] == (["760", "564"] if metric else ["762", "571.5"])
    assert [part["grain"] for part in parts] == ["length", "any"]


def test_receipts_and_hours_load_back(shop, metric):
    shop("receipt", "template", "r.xlsx")
    assert shop("receipt", "load", "r.xlsx").code == 0
    assert shop("hours", "template", "h.xlsx").code == 0


def test_the_bookcase_takes_the_shops_own_materials(shop, metric, tmp_path):
    (tmp_path / "own.csv").write_text(
        "code,name,kind,unit,length,width,price\nMINE,Poplar ply,sheet,sheet,96 in,48 in,80\n"
    )
    shop("material", "load", "own.csv")
    shop("design", "template", "book.xlsx")
    assert shop("design", "load", "book.xlsx").code == 0
    made = json.loads(shop("design", "show", "bookcase", "--json").out)
    assert {part["material"] for part in made["parts"]} == {"MINE"}
    assert made["needs"] == []


def test_a_template_never_writes_over_a_file(shop, metric, tmp_path):
    (tmp_path / "there.csv").write_text("mine")
    said = shop("material", "template", "there.csv")
    assert (said.code, (tmp_path / "there.csv").read_text()) == (1, "mine")
    assert "several" not in shop("job", "template", "past.csv").out
    assert "write to .xlsx" in shop("job", "template", "past.csv").err
