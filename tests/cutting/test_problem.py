"""A question to the cutting room is refused in a sentence where it has no answer."""

import pytest

from ledger.cutting.problem import CutPart, Problem, Stock, check_problem, mm, show_mm
from ledger.errors import BadValue, LedgerError, NotAllowed
from ledger.measures.values import replace

MM = 1_000_000


def sheet(length: int = 2440, width: int = 1220, **facts: object) -> Stock:
    """One kind of new sheet, sizes in millimeters."""
    values = {"source": "new", "trim_nm": 6 * MM, "cost": 9600} | facts
    return Stock(length_nm=length * MM, width_nm=width * MM, **values)  # type: ignore[arg-type]


def piece(length: int = 600, width: int = 300, **facts: object) -> CutPart:
    """One row of a parts list, sizes in millimeters."""
    values = {"id": "A1", "name": "Side"} | facts
    return CutPart(length_nm=length * MM, width_nm=width * MM, **values)  # type: ignore[arg-type]


def problem(*pieces: CutPart, stocks: tuple[Stock, ...] | None = None, kerf: int = 3) -> Problem:
    """One material's problem with a kerf in millimeters."""
    return Problem("PLY", pieces, (sheet(),) if stocks is None else stocks, kerf * MM)


def refusal(asked: Problem) -> str:
    """Give the sentence with which a problem is refused."""
    with pytest.raises(LedgerError) as caught:
        check_problem(asked)
    return str(caught.value)


def test_a_problem_that_can_be_answered_is_let_through() -> None:
    check_problem(problem(piece(), piece(2428, 1208, id="B", marks=("B-L",))))


def test_a_part_larger_than_any_sheet_is_refused_with_the_way_and_by_how_much() -> None:
    said = refusal(problem(piece(2500, 1300)))

    assert "72 mm too long and 92 mm too wide" in said
    assert "A1 Side" in said


def test_a_part_that_may_turn_is_measured_the_way_it_nearly_fits() -> None:
    said = refusal(problem(piece(1210, 2400, may_turn=True)))

    assert "2 mm too wide" in said
    assert "too long" not in said


def test_the_trim_counts_against_a_part_of_the_full_sheet_size() -> None:
    said = refusal(problem(piece(2440, 1220)))

    assert "12 mm too long and 12 mm too wide" in said


def test_a_part_that_fits_only_across_the_grain_is_refused_as_such() -> None:
    said = refusal(problem(piece(1000, 2000)))

    assert "only across the grain" in said


def test_a_part_is_laid_across_where_it_may_turn() -> None:
    check_problem(problem(piece(1000, 2000, may_turn=True)))


def test_oversize_counts_against_the_sheet() -> None:
    said = refusal(problem(piece(2428, 100, extra_length_nm=5 * MM)))

    assert "5 mm too long" in said


def test_a_sheet_without_a_price_is_refused() -> None:
    said = refusal(problem(piece(), stocks=(sheet(cost=None, label="birch ply"),)))

    assert "birch ply" in said
    assert "no price" in said


def test_a_kerf_wider_than_a_part_is_refused() -> None:
    assert "kerf" in refusal(problem(piece(600, 2)))


NONSENSE = {
    "no length": (problem(piece(0, 300)), "more than 0"),
    "negative width": (problem(piece(600, -300)), "more than 0"),
    "no copies": (problem(piece(quantity=0)), "0 times"),
    "id twice": (problem(piece(), piece()), "stands twice"),
    "marks too many": (problem(piece(marks=("A1-L", "A1-R"))), "2 marks"),
    "strange edge": (problem(piece(banded=("L3",))), "no edge L3"),
    "other material": (problem(piece(material="MDF")), "MDF"),
    "negative oversize": (problem(piece(extra_width_nm=-1)), "oversize"),
    "no stock": (problem(piece(), stocks=()), "no sheet"),
    "rack empty": (problem(piece(), stocks=(sheet(copies=0),)), "no sheet"),
    "negative copies": (problem(piece(), stocks=(sheet(copies=-1),)), "-1 times"),
    "sheet of nothing": (problem(piece(), stocks=(sheet(0, 1220),)), "more than 0"),
    "negative trim": (problem(piece(), stocks=(sheet(trim_nm=-1),)), "trim"),
    "all trim": (problem(piece(), stocks=(sheet(trim_nm=700 * MM),)), "leaves nothing"),
    "negative cost": (problem(piece(), stocks=(sheet(cost=-1),)), "less than nothing"),
    "negative kerf": (problem(piece(), kerf=-1), "kerf"),
}


@pytest.mark.parametrize(("asked", "word"), NONSENSE.values(), ids=NONSENSE)
def test_nonsense_is_refused_in_a_sentence(asked: Problem, word: str) -> None:
    said = refusal(asked)

    assert word in said
    assert said.endswith(".")


def test_what_is_missing_is_told_apart_from_what_is_mistyped() -> None:
    with pytest.raises(NotAllowed):
        check_problem(problem(piece(2500, 300)))
    with pytest.raises(BadValue):
        check_problem(problem(piece(0, 300)))


def test_sizes_are_said_in_the_readers_own_words() -> None:
    with pytest.raises(NotAllowed, match="72 steps too long"):
        check_problem(problem(piece(2500, 300)), show=lambda nm: f"{nm // MM} steps")


def test_the_digest_does_not_depend_on_the_order_of_the_rows() -> None:
    rows = (piece(id="A"), piece(500, 200, id="B"), piece(id="C"))
    stocks = (sheet(), sheet(800, 400, source="rack", copies=1))

    first = Problem("PLY", rows, stocks, 3 * MM).digest("1")
    second = Problem("PLY", rows[::-1], stocks[::-1], 3 * MM).digest("1")

    assert first == second


def test_the_digest_changes_with_anything_that_decides_the_layout() -> None:
    asked = problem(piece())
    others = [
        problem(piece(601)),
        problem(piece(quantity=2)),
        problem(piece(may_turn=True)),
        problem(piece(group="fronts")),
        problem(piece(), kerf=4),
        problem(piece(), stocks=(sheet(cost=1),)),
        replace(asked, rip_first=True),
        replace(asked, usable_length_nm=1),
    ]

    digests = {asked.digest("1"), asked.digest("2")} | {other.digest("1") for other in others}

    assert len(digests) == len(others) + 2


def test_the_digest_does_not_change_with_a_name_or_an_edge() -> None:
    assert problem(piece()).digest("1") == problem(piece(name="Top", banded=("L1",))).digest("1")


def test_millimeters_are_written_exactly() -> None:
    assert [mm(15_875_000), mm(3_175_000), mm(-500_000), mm(0), mm(1)] == [
        "15.875",
        "3.175",
        "-0.5",
        "0",
        "0.000001",
    ]
    assert show_mm(6_350_000) == "6.35 mm"
