"""What clients, plan buyers and the bench get by commands, read for what only the shop knows.

The shop's names are ordinary words, as names are: its supplier is Board, a sponsor Panel, another
client Sheet.
"""

import re
import shutil
from functools import partial
from pathlib import Path

import pytest

from ledger.book import Book
from ledger.jobs.jobs import find_job
from ledger.jobs.pricing import price_job
from ledger.quotes.revisions import find_quote, offer_of
from tests.conftest import DAY, SAMPLES, typed
from tests.documents.test_audience import Inside, figures_of, leaks, shown_on

OTHERS = {"Board", "Panel", "Sheet"}
KIT = ("kit", "add", "Melamine fold bed", "--price", "1890", "--from", "a page", "--on", str(DAY))


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("typed")


@pytest.fixture(scope="module")
def say(folder, bed_file):
    """The sample bed in a shop of such names: two quotes of it, the second accepted."""
    shutil.copyfile(bed_file, folder / "shop.sqlite")
    say = partial(_said, folder)
    say("material", "price", "PLY34", "101.37", "--from", "Board")
    say("sponsor", "add", "Panel")
    say("job", "new", "Attic rail", "--price", "412.37", "--client", "Sheet")
    say("quote", "draft", "Attic")
    say("quote", "draft", "bed", "--deliverable", "Delivery and installation=900")
    say("quote", "send", "bed")
    say("quote", "draft", "bed", "--price", "9000")
    say("quote", "send", "bed")
    say("quote", "accept", "bed")
    say(*KIT)
    return say


def _said(folder: Path, *words: str) -> str:
    """What the program says to a command; where it names files, they are in the folder."""
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(folder)
        said = typed(folder / "shop.sqlite", list(words), on=str(DAY))
    assert said.code == 0, said.err
    return said.out


@pytest.fixture(scope="module")
def sheet(say, folder):
    """The bed's cost sheet."""
    return cost_sheet(folder, "bed")


def cost_sheet(folder, job):
    with Book(folder / "shop.sqlite", DAY) as book:
        return price_job(book, find_job(book, job))


@pytest.fixture(scope="module")
def inside(sheet, folder):
    """What only the shop knows of the bed, but for what its quotes show."""
    with Book(folder / "shop.sqlite", DAY) as book:
        offers = [offer_of(book, find_quote(book, name)) for name in ("Q-2507-A", "Q-2507-B")]
    shown = {figure for offer in offers for figure in shown_on(offer)}
    items = {line.item for line in sheet.lines} | {line.operation for line in sheet.hours}
    return Inside(frozenset(OTHERS | items), frozenset(set(figures_of(sheet)) - shown))


def odd(figures):
    """The amounts among figures that no size, count or page is likely to meet."""
    return frozenset(figure for figure in figures if figure > 20 and figure * 2 % 1)


def as_one(values):
    """The lines of a paper, and all of it as one text: a name may be parted by a line's end."""
    return [*values, " ".join(str(value) for value in values)]


@pytest.mark.parametrize("paper", ["variants", "request", "again"])
def test_a_clients_further_papers_tell_nothing_of_the_inside(paper, say, inside, folder, cells):
    pdf = folder / f"{paper}.pdf"
    words = {
        "variants": ("quote", "variants", "Q-2507-A", "Q-2507-B"),
        "request": ("quote", "invoice", "bed", "--request"),
        "again": ("quote", "send", "Q-2507-B"),
    }[paper]
    say(*words, "--pdf", str(pdf))

    values = as_one(cells(pdf))
    assert len(values) > 20
    assert leaks(values, inside) == []


def test_a_quote_as_text_tells_nothing_of_the_inside(say, inside):
    assert leaks(as_one(say("quote", "text", "bed").splitlines()), inside) == []


def test_no_client_reads_another_clients_price_beside_the_own(say, folder):
    said = typed(folder / "shop.sqlite", ["quote", "variants", "Q-2507-A", "Attic", "--pdf",
                                          str(folder / "both.pdf")], on=str(DAY))  # fmt: skip

    assert said.code == 1
    assert "different clients" in said.err
    assert not (folder / "both.pdf").exists()


def test_a_plan_buyer_reads_neither_the_clients_name_nor_the_price_beside_a_kit(
    say, inside, folder, cells
):
    say("kit", "compare", "bed", "--wage", "20", "--plan", "18", "--builder-pdf", "builder.pdf")

    values = as_one(cells(folder / "builder.pdf"))
    assert any("Fold-down bed with two shelf towers: build it" in str(value) for value in values)
    buyers = Inside(inside.names | {"Marrow", "9,000.00", "9,540.00"}, inside.figures)
    allowed = ("hours:", "rates:")  # of the builder's own work
    assert [leak for leak in leaks(values, buyers) if not leak.startswith(allowed)] == []
    assert not re.search("your (wall|mattress)|who made it", " ".join(map(str, values)))


@pytest.mark.parametrize("paper", ["shop-pack.pdf", "labels.pdf", "cuts.xlsx", "pack.xlsx"])
def test_what_lies_at_the_bench_tells_no_money_and_no_names(
    paper, say, sheet, inside, folder, cells
):
    say("papers", "bed", "papers")
    say("layout", "bed", "--xlsx", "papers/cuts.xlsx")
    say("job", "pack", "bed", "--xlsx", "papers/pack.xlsx")

    values = as_one(cells(folder / "papers" / paper))
    planned = {sheet.totals.estimate_hours, sheet.totals.owner_hours}
    money = odd(inside.figures) - planned
    assert len(money) > 10
    names = frozenset({"Copper Vale Lumber", "Windlass Bed Fittings", "D. Marrow", "Panel"})
    found = leaks(values, Inside(names, money))
    # Hours that are planned, a helper's too, and whose papers to keep.
    theirs = ("hours:", "cut plan:", "helper's pay:", "suppliers:")
    assert [leak for leak in found if not leak.startswith(theirs)] == []


@pytest.fixture(scope="module")
def sold(tmp_path_factory):
    """Orders of a side table's plan with a fault, sold by a shop that built one for Sheet."""
    folder = tmp_path_factory.mktemp("sold")
    for version in ("first", "corrected"):
        for source in ("side_table", f"side_table_{version}"):
            shutil.copytree(SAMPLES / source, folder / version, dirs_exist_ok=True)
    say = partial(_said, folder)
    say("new", "--shop", "Quillhaven Workshop")
    say("shop", "set", "overhead_year=22315", "pay_year=56017", "helper_cost=24.13")
    say("material", "load", str(SAMPLES / "side_table_materials.csv"))
    say("material", "price", "WAL44", "12.37", "--from", "Board")
    say("sponsor", "add", "Panel")
    say("design", "load", "first")
    say("job", "new", "Mrs. Sheet's table", "--design", "side", "--client", "Sheet")
    for order, leg in (("A-1", "1-3/8 in"), ("A-2", "1-1/2 in")):
        say("job", "income", "table", "plans", "24.37", "--fee", "1.93", "--order", order, "--set",
            f"leg={leg}")  # fmt: skip
    say("design", "load", "corrected")
    secrets = frozenset(OTHERS | {"24.37", "22.44", "1.93"})
    return say, folder, Inside(secrets, odd(figures_of(cost_sheet(folder, "table"))))


@pytest.mark.parametrize(
    "words", [("errata", "side", "--order", "A-1"), ("plan", "side", "--pictures", "first")]
)
def test_a_plan_and_its_corrections_tell_a_buyer_nothing_of_the_inside(words, sold, cells):
    say, folder, inside = sold
    say("design", *words, "--pdf", "plan.pdf")

    finish = "after a quarter of an hour"
    values = [str(v).replace(finish, "") for v in as_one(cells(folder / "plan.pdf"))]
    assert len(values) > 50
    found = leaks(values, Inside(inside.names | {"A-1", "A-2"}, inside.figures))
    theirs = ("hours:", "cut plan:")  # a finish dries for hours
    assert [leak for leak in found if not leak.startswith(theirs)] == []


def test_what_is_written_to_who_holds_a_faulty_plan_names_no_other_order(sold):
    say, _, inside = sold
    letters = say("design", "errata", "side").split("To write to ")[1:]

    assert len(letters) == 2
    for letter in letters:
        lines = letter.splitlines()[1:]
        assert lines[0].startswith("You have my plan")
        assert leaks(as_one(lines), Inside(inside.names | {"A-1", "A-2"}, inside.figures)) == []
