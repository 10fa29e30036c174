"""A sponsor's report on paper: the objective first, words and figures, nothing out of place."""

import sys
from datetime import date
from pathlib import Path

import pypdfium2
import pytest

from ledger.measures.quantity import Quantity
from ledger.papers.engine import print_paper
from ledger.papers.sponsor import sponsor_paper
from ledger.quotes.offer import Maker
from ledger.reports.sponsor import SponsorGoodsReceived, Used
from ledger.reports.sponsor_words import camera_words
from ledger.sponsors.statement import Amount, StatementLine

sys.path.insert(0, str(Path(__file__).parent))  # this folder is no package
from sponsor_sample import BED, PLY, a_report, sheets

SHOP = Maker("Quillhaven Workshop", "", "")


def read(size="letter", **change):
    """The words of each page of the report, a page on one line."""
    content = print_paper(sponsor_paper(a_report(**change), SHOP, "inch", size)).content
    pages = pypdfium2.PdfDocument(content)
    words = (page.get_textpage().get_text_bounded().replace("\u200b", "") for page in pages)
    return [" ".join(text.split()) for text in words]


@pytest.mark.parametrize("size", ["letter", "A4"])
def test_the_report_is_one_page_with_the_objective_before_all_else(size):
    (text,) = read(size)

    assert "Brightfell Panels What became of your support, April to June 2025" in text
    assert text.index("Your objective Show a clean edge") < text.index("promised pieces delivered")
    for words in (
        "Opening".casefold(), f"{PLY} (sheet) – 12 −9 −1 – 2", "– 1,152.00 −864.00 −96.00 – 192.00",
        f"{BED} 9 sheets 5", "1 of 2, 1 late", "Damaged on April 15, 2025: corner crushed 1 sheet",
        "sheet rack; offcut 40 x 24", "bedside boxes", "edge.jpg", "14 orders with the code",
        "Track saw (on loan); ran 1h35; uses: 14; blades changed: 1;",
        "to be added", "retail price seen, price page", "no cash was paid", "Together 2 of 3",
    ):  # fmt: skip
        assert words in text, words


def test_what_was_counted_stands_with_what_was_used_so_that_the_page_closes():
    line = StatementLine(PLY, "sheet", False, (1,), Amount(), sheets(12, 1152), sheets(-9, -864),
                         otherwise=sheets(-1, -96))  # fmt: skip
    assert f"{PLY} (sheet) – 12 −10 – – 2" in read(lines=(line,))[0]


@pytest.mark.parametrize(
    ("on_camera", "unsaid", "said"),
    [(9, 0, "all"), (0, 0, "no"), (0, 9, "not noted"), (5, 2, "5, 2 not noted")],
)
def test_the_camera_is_told_in_words(on_camera, unsaid, said):
    used = Used(BED, PLY, "sheet", sheets(9, 864), Quantity.of(on_camera), Quantity.of(unsaid))
    assert camera_words(used) == said


def test_two_kinds_of_goods_are_named_at_each_build_and_added_up():
    saw = StatementLine("Track saw", "each", True, (2,), Amount(), sheets(1, 480))
    (text,) = read(lines=(*a_report().lines, saw))
    assert f"{BED}: {PLY} 9 sheets" in text
    assert "value together – 1,632.00 −864.00 −96.00 – 672.00" in text


def test_goods_on_loan_are_said_to_stay_the_sponsors():
    lot = SponsorGoodsReceived(
        date(2025, 4, 14), "Track saw", "each", sheets(1, 480), True, "", "", ""
    )
    assert "Goods on loan stay yours" in read(lots=(lot,))[0]


def test_an_empty_report_is_a_page_too():
    empty = dict.fromkeys(
        ("lines", "lots", "used", "events", "tools", "published", "promised", "offcuts", "photos",
         "results"), ()
    )  # fmt: skip
    (text,) = read(objective="", next_use="", **empty)
    assert "Your objective" not in text
    assert "promised" not in text


def test_a_long_report_repeats_its_heads_and_loses_nothing():
    used = tuple(
        Used(f"Build {n} " + "with a long name " * 6, PLY, "sheet", sheets(9, 864), Quantity.of(5),
             Quantity.of(0))
        for n in range(90)
    )  # fmt: skip
    pages = read(used=used)
    of_builds = [page for page in pages if "with a long name" in page]
    assert len(of_builds) > 2
    assert all("on camera" in page for page in of_builds)
    assert "Build 89" in of_builds[-1]


def test_a_report_has_the_same_bytes_twice():
    paper = sponsor_paper(a_report(), SHOP, "inch", "A4")
    assert print_paper(paper).sha256 == print_paper(paper).sha256
