"""Papers for the shop alone: the buying list to take along, and the cost sheet behind a price."""

import json
import shutil
from datetime import date

import pytest

from ledger.book import Book
from ledger.jobs.buying import buying_list
from ledger.jobs.jobs import find_job
from ledger.jobs.pricing import price_job, range_of
from ledger.measures.quantity import Quantity, show_quantity
from ledger.measures.values import replace
from ledger.papers.buying import buying_paper
from ledger.papers.cost_sheet import cost_sheet_paper
from ledger.papers.engine import print_paper
from ledger.quotes.offer import Maker

SHOP = Maker("Quillhaven Workshop", "", "")
pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def bed(tmp_path_factory, bed_file):
    """The sample bed's buying list, cost sheet and range, on a day when its prices are old."""
    path = tmp_path_factory.mktemp("book") / "shop.sqlite"
    shutil.copyfile(bed_file, path)
    with Book(path, date(2025, 9, 1)) as book:
        job = find_job(book, "J-2507")
        sheet = price_job(book, job)
        return buying_list(book, [job]), sheet, range_of(book, sheet)


def test_the_list_has_a_box_packs_price_and_age_for_every_line(bed, read_back):
    purchases = bed[0]
    text = read_back(buying_paper(purchases, SHOP, "inch", "letter")).text

    assert text.count("☐") == len(purchases.to_buy) > 3
    for line in purchases.to_buy:
        assert f"{line.material} {line.name}" in text
        assert f"{line.price:f} {(purchases.as_of - line.price_day).days} days *" in text
    for words in (
        "Buying list", "J-2507", "its age amount paid", "for the shop alone",
        f"To buy: {purchases.currency.show(purchases.total, symbol=True)}, before freight",
        "* a price older than 90 days", "Not won yet: J-2507."
    ):  # fmt: skip
        assert words.casefold() in text.casefold(), words


def test_what_is_there_already_stands_below(bed, read_back):
    first = replace(bed[0].lines[0], from_stock=Quantity.of(2))
    text = read_back(buying_paper(replace(bed[0], lines=(first,)), SHOP, "inch", "A4")).text

    assert f"Covered already Code What unit covered by {first.material}" in text
    assert f"2 from stock: of {show_quantity(first.need)}" in text


def test_a_list_of_nothing_says_so(bed, read_back):
    empty = replace(bed[0], lines=(), offcuts=())

    assert "Nothing is to be bought." in read_back(buying_paper(empty, SHOP, "mm", "A4")).text


def test_the_cost_sheet_says_in_each_foot_that_it_is_for_the_shop_alone(bed, read_back):
    _, sheet, spread = bed
    printed = read_back(cost_sheet_paper(sheet, spread, SHOP, "letter"))

    assert all("cost sheet, for the shop alone" in page for page in printed.pages)
    show = sheet.currency.show
    for words in (
        f"Price {show(sheet.totals.price, symbol=True)}",
        f"Total {show(sheet.totals.build_up)}",
        f"Total {sum(line.standard for line in sheet.hours)} {sheet.range.p50}",
        f"Typical (half) {spread.p50.hours} {show(spread.p50.cost)}",
        sheet.cautions[0].words[:40],
        *(line.words for line in sheet.lines),
        *(item.words for item in sheet.forgotten),
    ):
        assert words in printed.text, words


@pytest.mark.parametrize("size", ["letter", "A4"])
def test_both_stay_inside_the_margins_and_are_the_same_again(size, bed, read_back, inside_margins):
    purchases, sheet, spread = bed
    for paper in (
        buying_paper(purchases, SHOP, "inch", size), cost_sheet_paper(sheet, spread, SHOP, size),
    ):  # fmt: skip
        assert not inside_margins(read_back(paper))[:5]
        assert print_paper(paper).sha256 == print_paper(paper).sha256


def test_both_are_written_where_they_are_asked_for(begun, tmp_path, pdf_text):
    shop = begun(
        ["new", "--shop", "Hollowbrook", "--currency", "EUR", "--units", "mm"],
        ["shop", "set", "overhead_year=22000", "pay_year=56000"],
        ["job", "new", "Chair repair", "--work", "repair 3h, protect 1"],
    )
    listed = shop("job", "buying-list", "chair", "--pdf", "list.pdf", "--json")
    priced = shop("price", "chair", "--pdf", "cost.pdf", "--json")

    assert (listed.code, priced.code) == (0, 0), priced.err
    assert json.loads(listed.out)["lines"] == []
    assert "Nothing is to be bought." in pdf_text(tmp_path / "list.pdf")
    price = json.loads(priced.out)["totals"]["price"]
    text = pdf_text(tmp_path / "cost.pdf")
    assert f"Price €{price}" in text
    assert "Hardware" not in text
