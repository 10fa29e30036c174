"""Starter designs: each one built at many sizes, priced in books of both units, made one's own."""

from datetime import date
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.book import Book, create_book
from ledger.designs.build import build
from ledger.designs.model import Design
from ledger.errors import BadValue, LedgerError, NotAllowed
from ledger.jobs.jobs import new_job
from ledger.jobs.pricing import price_job
from ledger.labor.standards import load_starting_standards
from ledger.measures.length import Length, parse_length, show_length
from ledger.measures.sizes import read_sizes
from ledger.stock.materials import materials
from ledger.verbs.rough import rough_answer
from ledger.verbs.starters import (
    load_starting_materials,
    own_starter,
    rough_starter,
    take_starter,
)
from ledger.workbooks.readers.design import STARTERS, names_of
from ledger.workbooks.readers.starters import starter

DAY = date(2025, 5, 2)
NAMES = names_of(STARTERS)
YEAR = {"overhead_year": "22000", "pay_year": "56000"}
MONEY = {"inch": "USD", "mm": "EUR"}


def shop(path: Path, units: str, **more: str) -> Book:
    """A new book of a shop with its yearly figures."""
    said = {"shop": "Hollowbrook Joinery", "currency": MONEY[units], "units": units, **YEAR, **more}
    create_book(path / "x.sqlite", DAY, said, load_starting_standards)
    return Book(path / "x.sqlite", DAY)


@pytest.mark.slow
@pytest.mark.parametrize("units", ["inch", "mm"])
@pytest.mark.parametrize("name", NAMES)
def test_a_starter_is_priced_at_its_usual_size(tmp_path: Path, name: str, units: str) -> None:
    with shop(tmp_path, units) as book:
        load_starting_materials(book)
        job = new_job(book, name)
        take_starter(book, job, own_starter(book, name), {})
        sheet = price_job(book, job)
    assert sheet.totals.price.minor > 0
    assert sheet.gaps == ()
    assert any("Starting prices of 2025" in words for words in sheet.warnings)


def limits(design: Design, name: str) -> tuple[Length, Length] | None:
    """The least and the most of a plain size that has both."""
    row = next(row for row in design.parameters if row.name == name)
    if not row.minimum.endswith((" in", " mm")):
        return None
    return parse_length(row.minimum, None), parse_length(row.maximum, None)


@pytest.mark.parametrize("units", ["inch", "mm"])
@pytest.mark.parametrize("name", NAMES)
@settings(max_examples=25)
@given(shares=st.lists(st.integers(0, 64), min_size=3, max_size=3))
def test_the_sums_of_a_starter_close_at_any_size_within_its_limits(
    name: str, units: str, shares: list[int]
) -> None:
    design = starter(name, units)
    values = {}
    for row, share in zip(design.parameters[:3], shares, strict=True):
        ends = limits(design, row.name)
        if ends is not None:
            step = Length.of(1, "in").nm // 16 if units == "inch" else 10**6
            length = ends[0].nm + (ends[1].nm - ends[0].nm) * share // 64 // step * step
            values[row.name] = show_length(Length(length), units, suffix=True)
    if name in ("side-table", "dining-table", "bench"):  # the grain runs along the longer side
        sides = (values["length"], values["width"])
        values["length"] = max(sides, key=lambda text: parse_length(text, None))
    built = build(design, values)
    assert all(part.length and part.width for part in built.parts)


def test_sizes_that_do_not_fit_are_refused_with_the_sum_that_fails(tmp_path: Path) -> None:
    with shop(tmp_path, "inch") as book:
        load_starting_materials(book)
        own = own_starter(book, "bookcase")
        with pytest.raises(BadValue, match=r"width is 300 in; .* 192 in"):
            take_starter(book, new_job(book, "Wall"), own, {"width": "300 in"})


def test_an_empty_price_list_is_told_what_it_lacks_and_starting_prices_are_offered(
    tmp_path: Path,
) -> None:
    with shop(tmp_path, "inch") as book:
        with pytest.raises(NotAllowed, match=r"nothing for: .*ply.* material load --starting"):
            own_starter(book, "wall-shelf")
        assert len(load_starting_materials(book)) > 20
        assert load_starting_materials(book) == []
        own = own_starter(book, "wall-shelf", materials={"ply": "PLY12"})
        assert "PLY12" in own.design.materials


def test_starting_prices_are_of_one_currency(tmp_path: Path) -> None:
    refused = pytest.raises(NotAllowed, match="are in USD, and this book is in CAD")
    with shop(tmp_path, "inch", currency="CAD") as book, refused:
        load_starting_materials(book)


def test_a_rough_price_leaves_nothing_in_the_book(tmp_path: Path) -> None:
    with shop(tmp_path, "inch") as book:
        rough = rough_starter(book, "bookcase", read_sizes("8 ft x 7 ft x 12 in", "inch"))
        entries = [entry.verb for entry in book.entries()]
        assert not materials(book)
    assert rough.placed.values == {"width": "96 in", "height": "84 in", "depth": "12 in"}
    assert rough.low < rough.high
    assert "PLY34" in rough.starting
    assert "job rough" not in entries


def test_a_rough_price_names_its_source_in_their_order(tmp_path: Path) -> None:
    with shop(tmp_path, "inch", rough_rates="pulpit=100/ft; bookcase=1/ft") as book:
        assert rough_answer(book, "bookcase 3 ft x 6 ft").source == "starter"
        rate = rough_answer(book, "pulpit 4 ft x 3 ft")
        assert (rate.source, rate.low.minor) == ("rate", 40000)
        assert rough_answer(book, "easel 4 ft x 3 ft", hours=20).source == "hours"
        for words in ("easel 4 ft x 3 ft", "5 foot round table", "round table 5 ft"):
            with pytest.raises(LedgerError, match="--hours 20"):
                rough_answer(book, words)


def test_no_rough_price_is_below_the_minimum_of_the_shop(tmp_path: Path) -> None:
    with shop(tmp_path, "inch", minimum_charge="9000") as book:
        for words in ("bookcase 3 ft x 6 ft", "easel"):
            assert rough_answer(book, words, hours=2).low.minor == 900000


@pytest.mark.parametrize(("inches", "bays"), [(33, 1), (34, 2), (66, 2), (96, 3), (192, 6)])
def test_a_bookcase_has_a_bay_for_every_33_inches(inches: int, bays: int) -> None:
    built = build(starter("bookcase", "inch"), {"width": f"{inches} in"})
    assert built.parameters["bays"] == str(bays)
    assert next(part.quantity for part in built.parts if part.id == "case-A1") == 2 * bays


@pytest.mark.parametrize(
    ("units", "phrase", "name"),
    [
        ("inch", "cabinet 30x34x24", "base-cabinet"),
        ("mm", "cupboards 800x900x600", "base-cabinet"),
        ("inch", "nightstand 20x24x16", "side-table"),
        ("mm", "nightstand 500x600x400", "side-table"),
    ],
)
def test_a_common_word_finds_the_nearest_starter_in_the_order_that_can_be_built(
    tmp_path: Path, units: str, phrase: str, name: str
) -> None:
    with shop(tmp_path, units) as book:
        found = rough_answer(book, phrase).starter
    assert found is not None and found.name == name


def test_a_piece_without_a_starter_is_told_the_words_that_find_one(tmp_path: Path) -> None:
    with shop(tmp_path, "inch") as book, pytest.raises(BadValue) as refused:
        rough_answer(book, "pulpit 4 ft")
    for name in NAMES:
        assert f"{name} (" in str(refused.value)
    assert "cupboard, cabinet)" in str(refused.value)
