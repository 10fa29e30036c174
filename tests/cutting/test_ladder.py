"""How hard the cutting room looks: wider with leave, and never where it would take minutes."""

from itertools import product

import pytest

from ledger.cutting.engine import Effort, First
from ledger.cutting.ladder import Size, mixing, rungs

SIZES = [
    Size(parts, kinds, fewest)
    for parts, fewest in product((1, 40, 65, 250), (1, 16))
    for kinds in {1, parts // 4 + 1, parts}
]
FIRSTS: tuple[First, ...] = ("any", "rip")


@pytest.mark.parametrize("first", FIRSTS)
@pytest.mark.parametrize("size", SIZES, ids=str)
def test_looking_harder_climbs_every_usual_rung_first(size: Size, first: First) -> None:
    usual, harder = rungs(size, first, harder=False), rungs(size, first, harder=True)

    assert harder[: len(usual)] == usual
    assert len(harder) > len(usual)
    assert len(set(harder)) == len(harder)


@pytest.mark.parametrize("size", SIZES, ids=str)
@pytest.mark.parametrize("harder", [False, True])
def test_a_shop_that_rips_first_is_never_shown_a_sheet_crosscut_first(
    size: Size, harder: bool
) -> None:
    efforts = (*rungs(size, "rip", harder), mixing(size, "rip", harder=harder))

    assert {effort.first for effort in efforts} == {"rip"}


@pytest.mark.parametrize("size", [Size(60, 50, 2), Size(250, 30, 15)], ids=str)
@pytest.mark.parametrize("harder", [False, True])
def test_many_parts_on_a_sheet_are_laid_cut_after_cut(size: Size, harder: bool) -> None:
    efforts = (*rungs(size, "any", harder), mixing(size, "any", harder=harder))

    assert {effort.method for effort in efforts} == {"tree"}


def test_a_mixture_of_first_cuts_is_tried_where_parts_repeat_and_few_share_a_sheet() -> None:
    mixture = Effort("columns", 8, "any")

    assert mixture in rungs(Size(128, 28, 19), "any", harder=False)
    assert mixture not in rungs(Size(100, 95, 23), "any", harder=False)
    assert mixture not in rungs(Size(196, 30, 18), "any", harder=False)


def test_the_larger_the_job_the_narrower_the_usual_search() -> None:
    def widest(size: Size) -> int:
        return max(rung.queue for rung in rungs(size, "any", harder=False))

    assert widest(Size(33, 20, 5)) == 128
    assert widest(Size(100, 90, 20)) == 32
    assert widest(Size(196, 30, 18)) == 8
    assert rungs(Size(250, 200, 10), "any", harder=False) == ()


def test_the_first_search_of_a_mix_is_widened_with_leave() -> None:
    size = Size(40, 20, 5)

    assert mixing(size, "any", harder=False).queue < mixing(size, "any", harder=True).queue
