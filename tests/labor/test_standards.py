"""Operations: the starting standards, and the many ways in which one is named."""

from decimal import Decimal

import pytest

from ledger.designs.model import DRIVERS
from ledger.errors import Ambiguous, NotFound
from ledger.labor.standards import (
    GROUPS,
    find_operation,
    find_operation_or_group,
    load_starting_standards,
    spoken_words,
    standards,
    starting_standards,
)


@pytest.fixture
def shop_book(book):
    return book


def test_a_new_book_gets_every_starting_standard_and_no_second_set(metric_book):
    codes = [row.code for row in starting_standards()]

    assert load_starting_standards(metric_book) == len(codes) >= 28
    assert load_starting_standards(metric_book) == 0
    assert sorted(standards(metric_book)) == sorted(codes)


def test_every_standard_stands_in_a_known_group():
    assert {row.group for row in starting_standards()} == set(GROUPS)


def test_every_standard_is_counted_by_a_driver_that_designs_know():
    unknown = {row.code: row.driver for row in starting_standards() if row.driver not in DRIVERS}

    assert unknown == {}, "no design could count them: name the driver in ledger/designs/model.py"


def test_no_spoken_word_names_two_operations_or_an_operation_and_a_group():
    words = [word for row in starting_standards() for word in {row.code, *spoken_words(row)}]
    words += [word for group in GROUPS.values() for word in {group.words, *group.spoken}]

    assert sorted(words) == sorted(set(words))


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("SND", "SND"), ("snd", "SND"), ("Sand raw", "SND"), ("sand", "SND"), ("sanding", "SND"),
        ("spray", "SPR"), ("booth", "SPS"), ("install", "INS"), ("scuff", "SBC"), ("mechan", "HWB"),
        (" rip ", "RIP"), ("glue up", "ASM"), ("drawer", "DRW"), ("invoice", "ADM"),
    ],
)  # fmt: skip
def test_an_operation_is_found_by_code_name_spoken_word_or_part_of_them(shop_book, text, code):
    assert find_operation(shop_book, text).code == code


@pytest.mark.parametrize(
    ("estimated", "code"),
    [({"EBT"}, "EBT"), ({"EBA", "SND"}, "EBA"), ({"EBA", "EBT"}, ""), ((), "")],
)
def test_of_several_that_a_word_fits_the_one_that_is_estimated_is_meant(shop_book, estimated, code):
    def found():
        return find_operation_or_group(shop_book, "edge ban", lambda: estimated).code

    if code:
        assert found() == code
    else:
        with pytest.raises(Ambiguous, match="EBA"):
            found()


def test_a_word_of_what_is_not_estimated_is_asked_about_where_several_estimated_ones_fit(shop_book):
    with pytest.raises(Ambiguous, match=r"SNS .* SNV") as refused:
        find_operation_or_group(shop_book, "sand", lambda: {"SNS", "SNV"})
    assert "SND" not in str(refused.value)
    for estimated, code in (({"SND", "SNS", "SNV"}, "SND"), ({"SNS"}, "SNS"), ((), "SND")):
        chosen = find_operation_or_group(shop_book, "sand", lambda codes=estimated: codes)
        assert chosen.code == code


@pytest.mark.parametrize(
    ("text", "estimated", "code"),
    [
        ("glue up", {"ASM", "GLU"}, ""), ("glue up", {"GLU", "SND"}, "GLU"),
        ("glue up", {"ASM", "SND"}, "ASM"), ("glue up", (), "ASM"), ("glue-up", {"ASM", "GLU"}, ""),
        ("panels", {"ASM", "GLU"}, "GLU"),
        ("tape", {"EBA", "VEN"}, ""), ("tape", {"EBA", "TPR"}, "EBA"),
        ("paint", {"BRU", "SNB"}, "BRU"), ("coat", {"SPR", "BRU"}, "SPR"),
    ],
)  # fmt: skip
def test_words_that_name_a_step_of_one_and_are_spoken_of_another_are_asked_about(
    shop_book, text, estimated, code
):
    def found():
        return find_operation_or_group(shop_book, text, lambda: estimated).code

    if code:
        assert found() == code
    else:
        with pytest.raises(Ambiguous, match=r"which operation of its estimate\?"):
            found()


@pytest.mark.parametrize(
    ("text", "group"),
    [
        ("cutting", "cutting"),
        ("cut", "cutting"),
        ("finish", "finish"),
        ("out of shop", "out_of_shop"),
    ],
)
def test_a_group_answers_to_its_name(shop_book, text, group):
    found = find_operation_or_group(shop_book, text)

    assert found == GROUPS[group]


def test_an_operation_named_exactly_wins_over_a_group(shop_book):
    found = find_operation_or_group(shop_book, "band")

    assert found.code == "EBA"


def test_a_part_that_several_operations_have_is_refused_with_their_names(shop_book):
    with pytest.raises(Ambiguous, match=r"EBA .* EBT"):
        find_operation(shop_book, "edge ban")


@pytest.mark.parametrize("text", ["snading", "", "  ", "knit"])
def test_a_word_nothing_answers_to_is_refused(shop_book, text):
    with pytest.raises(NotFound, match="No operation is called"):
        find_operation_or_group(shop_book, text)


def test_a_mistyped_word_gets_the_nearest_ones(shop_book):
    with pytest.raises(NotFound, match="sanding"):
        find_operation(shop_book, "snading")


def test_a_metric_book_has_its_standards_per_meter(metric_book):
    load_starting_standards(metric_book)
    metric = standards(metric_book)

    assert (metric["EBA"].unit, metric["EBA"].minutes) == ("m", Decimal("2.62"))
    assert (metric["SND"].unit, metric["SND"].minutes) == ("m²", Decimal("12.92"))
    assert (metric["SPR"].unit, metric["SPR"].minutes) == ("m² × coat", Decimal("3.23"))
    assert (metric["RIP"].unit, metric["RIP"].minutes) == ("strip", Decimal("2"))
    # 8 min a board foot of 2.359737E-03 m³ (NIST SP 811, from memory)
    assert (metric["MIL"].unit, metric["MIL"].minutes) == ("m³", Decimal("3390.21"))


def test_every_standard_says_what_it_does_to_the_piece_and_who_says_how_long() -> None:
    stages = {"office", "prepare", "cut", "mill", "edge", "join", "shape", "assemble", "fit",
              "surface", "coat", "deliver", "service"}  # fmt: skip
    assert {row.stage for row in starting_standards()} == stages
    assert all(row.source for row in starting_standards())


@pytest.mark.parametrize("text", ["sing", "anding", "rip)"])
def test_the_end_of_a_word_names_no_operation(shop_book, text):
    with pytest.raises(NotFound):
        find_operation(shop_book, text)
