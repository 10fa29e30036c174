"""What a shell offers when one presses Tab, asked as a shell asks it."""

import os
import sqlite3
from pathlib import Path

import pytest
from typer.testing import CliRunner

from ledger.cli.main import app

SAMPLES = Path(__file__).parents[2] / "sample_data"


@pytest.fixture
def tab(shop, tmp_path):
    """What Tab offers after a line, such as `job show be`, on the book of the test."""

    def press(line, book=None, *, lines=False):
        words = f"benchledger {line}"
        environment = {
            "_BENCHLEDGER_COMPLETE": "complete_bash",
            "COMP_WORDS": words,
            "COMP_CWORD": str(words.count(" ")),
            "BENCHLEDGER_BOOK": str(book or tmp_path / "shop.sqlite"),
        }
        ran = CliRunner().invoke(app, [], prog_name="benchledger", env=environment)
        assert (ran.exit_code, ran.stderr) == (0, "")
        return ran.stdout.strip().splitlines() if lines else ran.stdout.split()

    return press


@pytest.fixture(scope="module")
def kept():
    """The bytes of the book that is typed once."""
    return {}


@pytest.fixture
def stocked(shop, tab, tmp_path, kept):
    """What Tab offers on a book with materials and three jobs."""
    path = tmp_path / "shop.sqlite"
    if kept:
        path.write_bytes(kept["book"])
        return tab
    for words in (
        ["new", "--shop", "Quillhaven Workshop"],
        ["material", "load", str(SAMPLES / "materials.csv")],
        ["design", "load", str(SAMPLES / "bed")],
        ["job", "new", "Marrow fold-down bed", "--number", "J-2507", "--design", "bed"],
        ["job", "new", "Bunk-room shelving", "--number", "J-2503"],
        ["job", "new", "Oak shelving", "--number", "J-2504"],
    ):
        said = shop(*words)
        assert said.code == 0, said.err
    kept["book"] = path.read_bytes()
    return tab


@pytest.mark.parametrize(
    "line", ["price ", "hours job ", "job close ", "quote draft ", "hours list ", "stock keep "]
)
def test_numbers_of_jobs_are_offered_the_newest_first(stocked, line):
    assert stocked(line) == ["J-2504", "J-2503", "J-2507"]


def test_a_word_that_means_one_job_only_is_offered_once_it_is_begun(stocked):
    assert stocked("price be") == ["bed"]
    assert stocked("price sh") == []  # two jobs are of shelving
    assert stocked("price j-25") == ["j-2504", "j-2503", "j-2507"]


def test_what_is_offered_is_a_name_the_command_takes(stocked, shop):
    (offered,) = stocked("material show ply3")
    assert offered == "ply34"
    assert shop("material", "show", offered).code == 0


def test_a_clock_takes_a_job_or_an_operation_and_then_an_operation(stocked):
    first = stocked("clock on ")
    assert first[:3] == ["J-2504", "J-2503", "J-2507"]
    assert "sand" in first
    assert set(stocked("clock on bed sp")) == {
        "spindle", "spindles", "spray", "spraying", "springs", "sps", "spr",
    }  # fmt: skip
    assert stocked("hours add bed sand ") == []


def test_stock_is_issued_to_a_job_then_of_a_material_and_a_quantity_is_nobodys_name(stocked):
    assert stocked("stock issue be") == ["bed"]
    assert set(stocked("stock issue bed PLY")) == {"PLY14", "PLY12", "PLY34"}
    assert stocked("stock issue bed PLY34 ") == []
    assert set(stocked("stock count PLY")) == {"PLY14", "PLY12", "PLY34"}


def test_designs_operations_and_settings_are_offered(stocked):
    assert stocked("design show f") == ["fold-down-bed"]
    assert stocked("standards show RI") == ["RIP", "RIPPING"]
    assert stocked("shop set markup_s") == ["markup_sheet=", "markup_supply="]
    assert stocked("shop show kerf") == ["kerf"]


def test_quotes_are_offered_by_number_and_by_job(stocked, tmp_path):
    with sqlite3.connect(tmp_path / "shop.sqlite") as book:
        book.execute("INSERT INTO quote(number, revision, job, deed) VALUES ('Q-2507', 'A', 1, 1)")
    book.close()

    assert stocked("quote show ")[0] == "Q-2507-A"
    assert stocked("quote show b") == ["bunk-room", "bed"]


def test_kits_receipts_and_sponsors_are_offered(stocked, shop):
    for words in (
        ["kit", "add", "Birch wall bed", "--price", "2400"],
        ["kit", "add", "Oak wall bed", "--price", "3100"],
        ["receipt", "add", "PLY34", "1", "96", "--from", "Copper Vale Lumber", "--number", "R-101"],
        ["receipt", "add", "PLY34", "1", "96", "--from", "Copper Vale Lumber", "--number", "R-102"],
        ["receipt", "reverse", "R-101", "--why", "entered twice"],
        ["sponsor", "add", "Brightfell Panels"],
        ["sponsor", "add", "Panels and Edges"],
    ):
        assert shop(*words).code == 0

    assert stocked("kit compare bed ") == ["K-2", "K-1"]
    assert stocked("kit compare bed o") == ["oak"]
    assert stocked("receipt show ") == ["R-102"]
    assert stocked("sponsor receive ") == ["and", "brightfell"]
    assert stocked("sponsor receive p") == []  # two sponsors have panels in their name
    assert set(stocked("sponsor receive brightfell PLY")) == {"PLY14", "PLY12", "PLY34"}


def test_a_receipt_is_offered_its_goods_its_supplier_and_where_they_go(stocked, shop, tmp_path):
    bought = ["receipt", "add", "PLY34", "1", "96", "--from", "Copper Vale Lumber"]
    assert shop(*bought).code == 0

    assert set(stocked("receipt add PLY")) == {"PLY14", "PLY12", "PLY34"}
    assert stocked("receipt add PLY34 1 96 --to ") == [
        "J-2504",
        "J-2503",
        "J-2507",
        "stock",
        "shop",
    ]
    assert stocked("receipt add PLY34 1 96 --from cop", lines=True) == [r"copper\ Vale\ Lumber"]
    assert stocked("material price PLY34 96 --from Nor", lines=True) == []


def test_what_was_taken_back_is_not_offered(stocked, shop):
    shop("undo")

    assert stocked("price ") == ["J-2503", "J-2507"]


@pytest.mark.parametrize(
    "title", ["$(rm x) `ls`", "a'b\"c", "[bold] (x)", "‮gnp", "\x1b[31m", "ab;cd", "a\nb"]
)
def test_a_name_that_a_shell_could_misread_is_not_offered(stocked, shop, title, monkeypatch):
    monkeypatch.setattr("ledger.book.typed.unseen", lambda text: "")  # as in a book of old
    assert shop("job", "new", title, "--number", f"J {title}").code == 0

    for line in ("price ", "price r", "price a", "price J"):
        assert all(set(name) <= set("-0123456789") | _LETTERS for name in stocked(line))


_LETTERS = set("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ")


def test_without_a_book_nothing_is_offered_and_nothing_said(tab, tmp_path):
    assert tab("price ") == []
    assert tab("clock on ", book=tmp_path) == []
    (tmp_path / "notes.txt").write_text("not a book")
    assert tab("material show ", book=tmp_path / "notes.txt") == []
    assert sorted(path.name for path in tmp_path.iterdir()) == ["notes.txt"]


def test_a_book_that_is_written_to_keeps_nobody_waiting(stocked, tmp_path):
    writer = sqlite3.connect(tmp_path / "shop.sqlite", isolation_level=None)
    try:
        writer.execute("BEGIN EXCLUSIVE")
        assert stocked("price ") == []
    finally:
        writer.close()


def test_the_book_named_on_the_line_is_the_one_that_is_read(stocked, tmp_path):
    assert stocked(f"--book {tmp_path}/shop.sqlite price b", book="elsewhere.sqlite") == [
        "bunk-room", "bed",
    ]  # fmt: skip


def test_asking_leaves_the_book_untouched(stocked, tmp_path):
    path = tmp_path / "shop.sqlite"
    os.utime(path, (1, 1))
    before = (path.read_bytes(), path.stat().st_mtime)
    for line in ("price ", "clock on ", "design show ", "quote show "):
        stocked(line)

    assert (path.read_bytes(), path.stat().st_mtime) == before
