"""Rough prices of several pieces, by the shop's own rates, and beyond a starter's limits."""

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from ledger.book import Book, create_book
from ledger.errors import BadValue
from ledger.jobs.shop_rates import rates_of
from ledger.labor.nearest import PricedPiece, read_piece, rough_price
from ledger.labor.standards import load_starting_standards
from ledger.measures.money import Money
from ledger.verbs.rough import RoughAnswer, rough_answer

DAY = date(2025, 5, 2)
BEYOND = "built-in 9 ft wide, 8 ft high, 16 in deep"
RATES = "chair=700/piece; dining chair=800/piece; pew=300/ft"


def priced(tmp_path: Path, phrase: str, hours: str = "", **settings: str) -> RoughAnswer:
    """The rough price of a shop without past jobs."""
    said = {"shop": "Hollowbrook Joinery", "currency": "USD", "units": "inch",
            "overhead_year": "22000", "pay_year": "56000", "rough_rates": RATES,
            **settings}  # fmt: skip
    create_book(tmp_path / "x.sqlite", DAY, said, load_starting_standards)
    with Book(tmp_path / "x.sqlite", DAY) as book:
        return rough_answer(book, phrase, Decimal(hours) if hours else None)


@pytest.mark.parametrize(
    ("phrase", "price"),
    [
        ("chair", 70000),
        ("six chairs", 420000),
        ("6 chairs", 420000),
        ("chairs x 6", 420000),
        ("a pair of chairs 18x20x32", 140000),
        ("six dining chairs in white oak", 480000),
        ("oak dining chair", 80000),
        ("two pews 10 ft wide", 600000),
    ],
)
def test_a_rate_is_by_its_words_and_times_the_pieces(
    tmp_path: Path, phrase: str, price: int
) -> None:
    answer = priced(tmp_path, phrase)
    assert (answer.source, answer.low, answer.high) == ("rate", Money(price), Money(price))


def test_a_refusal_proposes_a_rate_of_what_was_asked_beside_those_there_are(tmp_path: Path) -> None:
    with pytest.raises(BadValue) as refused:
        priced(tmp_path, "two garden gates in oak")
    assert f'set "rough_rates={RATES}; garden gate=900/piece".' in str(refused.value)


def test_hours_are_of_all_pieces_together(tmp_path: Path) -> None:
    answer = priced(tmp_path, "two garden gates", "90")
    assert answer.basis.startswith("90 h for all 2 together at ")
    with Book(tmp_path / "x.sqlite", DAY) as book:
        hour = rates_of(book).selling
    assert Money(0) <= answer.low - hour.times(Decimal(90)) < Money(200)


def test_hours_that_another_source_outdoes_are_still_said(tmp_path: Path) -> None:
    notes = priced(tmp_path, "six chairs", "90").notes
    assert len(notes) == 1
    assert notes[0].startswith("By your own hours it would be ")


def test_beyond_a_limit_the_own_rate_comes_first_then_hours(tmp_path: Path) -> None:
    rated = priced(tmp_path, BEYOND, "60", rough_rates="built-in=900/ft")
    assert (rated.source, rated.low) == ("rate", Money(810000))  # 9 ft
    assert "height is 96 in, at most 95 in" in rated.notes[0]
    (tmp_path / "x.sqlite").unlink()
    assert priced(tmp_path, BEYOND, "60").source == "hours"


@pytest.mark.parametrize(
    ("phrase", "size", "limit", "words"),
    [
        (BEYOND, "8 ft", "95 in", "height is 96 in, at most 95 in. Priced at the limit"),
        ("bench 8 in long", "8 in", "18 in", "length is 8 in, at least 18 in. Priced at the limit"),
    ],
)
def test_beyond_a_limit_without_either_the_price_is_that_of_the_limit(
    tmp_path: Path, phrase: str, size: str, limit: str, words: str
) -> None:
    beyond = priced(tmp_path, phrase)
    (tmp_path / "x.sqlite").unlink()
    at_limit = priced(tmp_path, phrase.replace(size, limit))

    assert (beyond.low, beyond.high) == (at_limit.low, at_limit.high)
    assert words in beyond.notes[0]
    assert not any("beyond" in note for note in at_limit.notes)
    assert at_limit.notes[0].endswith("helper_cost=AMOUNT helper_billed=AMOUNT")


def test_two_of_a_starter_cost_less_than_twice_one(tmp_path: Path) -> None:
    one = priced(tmp_path, "bench 4 ft long")
    (tmp_path / "x.sqlite").unlink()
    two = priced(tmp_path, "two benches 4 ft long")

    assert one.low < two.low < one.low * 2
    assert two.piece.number == 2


def test_a_starter_says_its_wood_and_finish_and_where_another_wood_is_asked_for(
    tmp_path: Path,
) -> None:
    oak = priced(tmp_path, "oak bench 4 ft long")
    (tmp_path / "x.sqlite").unlink()
    walnut = priced(tmp_path, "walnut bench 4 ft long")

    assert oak.starter and walnut.starter and oak.low == walnut.low
    assert oak.starter.made_of == walnut.starter.made_of
    assert [name.split()[0] for name in oak.starter.made_of] == ["White", "White", "Wiping"]
    assert not any("oak" in note for note in oak.notes)
    assert [note.partition(" ")[0] for note in walnut.notes if "oak" in note] == ["Walnut"]


@pytest.mark.parametrize(
    ("phrase", "said"),
    [
        ("birch bookcase 8 ft by 7 ft, painted", True),
        ("bookcase 8 ft by 7 ft, clear lacquer", False),
        ("built-in 8 ft by 7 ft, painted", False),  # its starter is primed and enameled
    ],
)
def test_a_painted_piece_priced_with_a_clear_finish_says_so(
    tmp_path: Path, phrase: str, said: bool
) -> None:
    notes = " ".join(priced(tmp_path, phrase).notes)
    clear = "Paint is asked for, and the finish in this price is clear: Waterborne satin topcoat."
    assert (clear in notes, "Primer, paint and their hours are not in it" in notes) == (said, said)


def test_a_past_price_of_six_is_a_sixth_for_one() -> None:
    past = PricedPiece(
        "J-1", "Six chairs", DAY, Money(600000), 3600, read_piece("Six chairs", "inch")
    )
    one, two = (rough_price(read_piece(words, "inch"), [past]) for words in ("chair", "2 chairs"))

    assert (one.middle, one.minutes) == (Money(100000), (600, 600))
    assert (two.middle, two.minutes) == (Money(200000), (1200, 1200))
    assert "6 made then, now 2, at so much each" in two.near[0].reasons
