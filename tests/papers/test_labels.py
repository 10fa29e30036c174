"""Labels on stock: every part has one in its place, nothing near an edge, all to be read."""

import shutil
from collections import Counter
from datetime import date

import pypdfium2.raw as pdfium
import pytest

from ledger.book import Book
from ledger.errors import BadValue
from ledger.jobs.jobs import find_job
from ledger.papers.labels import STOCKS, labels_paper
from ledger.verbs.cutting import of_job, pack_of

pytestmark = pytest.mark.slow
MM = 72 / 25.4


@pytest.fixture(scope="module")
def pack(tmp_path_factory, bed_file):
    path = tmp_path_factory.mktemp("book") / "shop.sqlite"
    shutil.copyfile(bed_file, path)
    with Book(path, date(2025, 4, 25)) as book:
        return pack_of(book, of_job(book, find_job(book, "J-2507")))


def outlines(page):
    """Left, top, width and height of the outlines on a page, in mm."""
    high = page.get_height()
    for drawn in page.get_objects(max_depth=15):
        if drawn.type == pdfium.FPDF_PAGEOBJ_PATH:
            width = pdfium.c_float()
            pdfium.FPDFPageObj_GetStrokeWidth(drawn, width)
            left, foot, right, top = drawn.get_bounds()
            line = width.value
            box = (left + line, high - top + line, right - left - 2 * line, top - foot - 2 * line)
            yield tuple(side / MM for side in box)


@pytest.mark.parametrize(
    ("size", "count", "first", "last"),
    [
        ("letter", 30, (4.7625, 12.7, 66.675, 25.4), (144.4625, 241.3, 66.675, 25.4)),
        ("A4", 24, (0, 0.5, 70, 37), (140, 259.5, 70, 37)),
    ],
)
def test_labels_lie_where_the_stock_has_them(size, count, first, last, pack, read_back):
    printed = read_back(labels_paper(pack, "", size, is_proof=True))
    drawn = sorted(outlines(printed.document[0]), key=lambda box: (round(box[1]), box[0]))

    assert len(drawn) == count
    assert drawn[0] == pytest.approx(first, abs=0.1)
    assert drawn[-1] == pytest.approx(last, abs=0.1)


@pytest.mark.parametrize("size", ["letter", "A4"])
def test_nothing_stands_near_an_edge_of_a_label_and_ids_are_large(size, pack, read_back):
    stock = STOCKS[size]
    printed = read_back(labels_paper(pack, "", size))
    for number, (_, high) in enumerate(printed.sizes()):
        for letter in printed.letters(number):
            across, down = letter.left / MM * 1000 - stock.left, (high - letter.top) / MM * 1000
            white = stock.inset - 100  # a letter may stand out of its line by a hair
            assert white <= across % stock.pitch_across
            assert across % stock.pitch_across <= stock.width - white
            assert white <= (down - stock.top) % stock.pitch_down <= stock.height - white
            assert letter.size >= 7.95
    marks = {copy.mark for copy in pack.copies()}
    sizes = [letter.size for letter in printed.letters(0) if letter.sign in "ABC"]
    assert max(map(len, marks)) < 8
    assert max(sizes) >= 14


def test_every_part_has_a_label_that_says_which_way_round(pack, read_back):
    paper = labels_paper(pack, "", "letter")
    labels = [label for page in paper.texts["pages"] for label in page]
    counted = Counter(label["mark"].split("-")[0] for label in labels)
    text = read_back(paper).text

    assert counted == {part.id: part.quantity for part in pack.parts.values()}
    assert len(paper.texts["pages"][0]) == 30
    side = next(label for label in labels if label["mark"] == "A1-L1")
    assert (side["side"], side["lines"]) == (
        "LEFT", ["Cabinet side (1 of 2)", "88 × 16-1/2 × 23/32 in"],
    )  # fmt: skip
    assert side["edge"] == "front edge: the banded one"
    assert text.count("J-2507") == len(labels)


def test_a_begun_sheet_is_used_up_and_a_shift_moves_all(pack):
    begun = labels_paper(pack, "", "letter", first=29).texts["pages"]
    moved = labels_paper(pack, "", "letter", shift_nm=(500_000, -1_000_000)).texts["pages"]

    assert len(begun[0]) == 2
    assert (begun[0][0]["x"], begun[0][0]["y"]) == ("74.613", "241.300")
    assert (moved[0][0]["x"], moved[0][0]["y"]) == ("5.263", "11.700")
    with pytest.raises(BadValue, match="--from is 1 to 30"):
        labels_paper(pack, "", "letter", first=31)


def test_labels_are_written_by_the_layout_with_the_shops_own_shift(begun, tmp_path, pdf_text):
    (tmp_path / "box.csv").write_text("id,qty,length,width,material\nA,2,20,10,PLY34\n", "utf-8")
    shop = begun(
        ["new", "--shop", "Quillhaven Workshop"],
        ["shop", "set", "overhead_year=22000", "pay_year=56000", "label_shift=1/32 in, -1 mm"],
        ["material", "load", "--starting"],
        ["job", "new", "Box", "--parts", "box.csv"],
    )
    said = shop("layout", "box", "--labels", "labels.pdf", "--from", "30")

    assert said.code == 0, said.err
    assert "Print them at 100 %" in said.err
    assert pdf_text(tmp_path / "labels.pdf").count("J-2501") == 2
    assert (
        "label_shift = 0.79375 mm, -1 mm" in shop("shop", "set", "label_shift=1/32 in, -1 mm").out
    )
    for words in (["label_shift=5"], ["label_shift=20 mm, 0 mm"]):
        assert shop("shop", "set", *words).code == 1
    assert shop("layout", "box", "--from", "3").code == 2
