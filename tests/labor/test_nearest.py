"""A rough price for the telephone: nearest past jobs, scaled by size, with reasons."""

from datetime import date

import pytest

from ledger.errors import BadValue
from ledger.labor.nearest import PricedPiece, read_piece, rough_price, scaled_words
from ledger.measures.money import Money
from ledger.measures.values import replace

PAST = {
    "J-2410": ("Bookcase 72x36x12, 5 shelves", 2400),
    "J-2412": ("Media console 64x18x22, mitered wrap, 2 doors, 2 drawers", 4150),
    "J-2501": ("Desk 60x28x30, 2 drawers, cable tray", 3200),
    "J-2503": ("Bunk-room shelving, 6 wall boxes, helper", 4650),
    "J-2504": ("Dining bench 48x15x18, lift lid", 1750),
}


def past(titles=PAST):
    return [
        PricedPiece(number, title, date(2025, 1, 1), Money(price * 100), 1800,
                    read_piece(title, "inch"))
        for number, (title, price) in titles.items()
    ]  # fmt: skip


def rough(text, **more):
    return rough_price(read_piece(text, "inch"), past(**more))


def scaled(price):
    return [near.scaled for near in price.near]


def test_the_same_piece_costs_what_it_cost():
    price = rough("bookcase 72x36x12")

    assert [near.past.job for near in price.near] == ["J-2410"]
    assert price.middle == Money(240000)
    assert (price.low, price.high) == (Money(204000), Money(276000))


def test_casework_four_times_as_large_has_more_bays_and_costs_twice_as_much():
    price = rough("bookcase 144x72x12")

    assert price.middle == Money(480000)
    assert "4.00 × its size, so 2.00 × its price" in price.near[0].reasons


def test_a_single_piece_four_times_as_large_has_no_more_parts():
    price = rough("desk 120x56x30")

    assert price.middle == Money(451200)
    assert "4.00 × its size, so 1.41 × its price" in price.near[0].reasons


def test_the_order_of_the_sizes_does_not_matter():
    assert rough("desk 28x30x60").middle == rough("desk 60x28x30").middle == Money(320000)


def test_several_jobs_of_a_kind_span_the_range():
    price = rough("console or desk with drawers 60x20x28")

    assert price.is_same_kind
    assert {near.past.job for near in price.near} == {"J-2412", "J-2501"}
    assert (price.low, price.high) == (min(scaled(price)), max(scaled(price)))
    assert price.low < price.middle < price.high


def test_a_piece_of_no_known_kind_is_told_from_the_nearest_sizes_and_says_so():
    price = rough("aquarium stand 48x15x18")

    assert not price.is_same_kind
    assert price.near[0].past.job == "J-2504"
    assert "another kind of piece" in price.near[0].reasons


def test_another_kind_of_piece_stands_in_up_to_eight_times_its_size():
    bench = {"J-2504": ("Dining bench 48x15x18", 1750)}
    for size in ("6x15x18", "384x15x18"):
        assert rough(f"aquarium stand {size}", titles=bench).near
    for size in ("5x15x18", "390x15x18"):
        with pytest.raises(BadValue, match="No range"):
            rough(f"aquarium stand {size}", titles=bench)


def test_another_material_is_named_as_a_reason():
    titles = {"J-1": ("Bench oak 48x15x18", 1750), "J-2": ("Bench birch 48x15x18", 1500)}

    price = rough("bench walnut 48x15x18", titles=titles)

    assert {near.reasons[-1] for near in price.near} == {"but of oak", "but of birch"}


def test_without_any_past_job_there_is_no_rough_price():
    with pytest.raises(BadValue, match="benchledger job load"):
        rough("bench", titles={})


@pytest.mark.parametrize(
    ("text", "millimeters"),
    [
        ("Bed 60 x 80 in", ["2032", "1524"]),
        ("Cabinet 1800x900x350 mm", ["1800", "900", "350"]),
        ("Shelf 1.8x0.9 m", ["1800", "900"]),
        ("Six boxes", []),
        ("Top 24-1/2x20", ["622.3", "508"]),
    ],
)
def test_sizes_are_read_from_a_description_from_large_to_small(text, millimeters):
    assert [str(size.mm) for size in read_piece(text, "inch").sizes] == millimeters


def test_a_job_without_a_price_has_its_hours_to_say_only():
    told = past({"J-1": ("Bench oak 48x15x18", 1500), "J-2": ("Bench oak 48x15x18", 9900)})
    jobs = [told[0], replace(told[1], price=None, minutes=2400)]

    price = rough_price(read_piece("bench 96x15x36", "inch"), jobs)
    assert scaled(price) == [Money(211500)]  # four times as large, so 1.41 ×
    assert (price.minutes, price.timed, price.unpriced) == ((2538, 3384), 2, ("J-2",))
    with pytest.raises(BadValue, match="No past job with a price"):
        rough_price(read_piece("bench", "inch"), jobs[1:])


@pytest.mark.parametrize("text", ["chair", "chair 18x20x32"])
def test_a_piece_that_nothing_compares_with_has_no_range(text):
    built_in = PricedPiece(
        "J-1", "Wall of cupboards 120x96x16", date(2024, 5, 1), Money(343000), 3000,
        read_piece("Wall of cupboards 120x96x16", "inch"),
    )  # fmt: skip
    unsized = replace(built_in, job="J-2", piece=read_piece("Cupboards", "inch"))
    with pytest.raises(BadValue, match="No range"):
        rough_price(read_piece(text, "inch"), [built_in, unsized])


def test_what_a_piece_has_so_many_of_is_not_its_kind():
    assert read_piece("bookcase with 5 shelves", "inch").words == {"bookcase"}
    assert read_piece("6 chairs", "inch").words == {"chair"}


@pytest.mark.parametrize(
    ("text", "titles", "words"),
    [
        ("desk 66x36x30", {"J-1": ("Desk 60x28x30", 3200)}, "scaled by size"),
        ("desk 66x36x30", {"J-1": ("Desk, oak", 3200)}, "not scaled by size"),
        ("desk", {"J-1": ("Desk 60x28x30", 3200)}, "not scaled by size"),
        ("desk 66x36x30", {"J-1": ("Desk 60x28x30", 3200), "J-2": ("Desk, oak", 3000)},
         "scaled by size where it is known"),
    ],
)  # fmt: skip
def test_what_was_scaled_is_said_of_just_that(text, titles, words):
    assert scaled_words(read_piece(text, "inch"), rough(text, titles=titles).near) == words


@pytest.mark.parametrize(
    "title",
    ["Round table 51 dia x 30", "Table, round, 51 in across, 30 high", "Table Ø51 in x 30",
     "Round table 51 dia. x 30 in", "51 in diameter × 30 in H table"],
)  # fmt: skip
def test_a_diameter_is_a_length_and_a_width(title):
    price = rough("round table 51 x 51 x 30", titles={"J-1": (title, 2555)})

    assert scaled(price) == [Money(255500)]
    assert price.near[0].reasons[1] == "1.00 × its size, so 1.00 × its price"
    # 2 × in both: four times as large, so the fourth root of it
    assert scaled(rough("table 102 dia x 30", titles={"J-1": (title, 2000)})) == [Money(282000)]


@pytest.mark.parametrize(("size", "now"), [("51 x 30", 2), ("51 wide", 1)])
def test_sizes_of_different_numbers_are_not_compared(size, now):
    """Length by height, or a length alone, of a table is no part of its length × width × height."""
    price = rough(f"table {size}", titles={"J-1": ("Table 60x40x30", 2555)})

    assert scaled(price) == [Money(255500)]
    words = f"its size is not comparable (3 sizes then, {now} now), so its price as it was"
    assert price.near[0].reasons[1] == words
    assert scaled_words(read_piece(f"table {size}", "inch"), price.near) == "not scaled by size"
    with pytest.raises(BadValue, match="No range"):  # nor by another kind of piece
        rough(f"pulpit {size}", titles={"J-1": ("Table 60x40x30", 2555)})


def test_a_piece_of_the_same_starter_design_is_of_the_kind_where_none_has_its_name():
    titles = {"J-1": ("Window wall of library cases", 8400), "J-2": ("Dining bench", 1750)}

    price = rough("bookcase 126x93x12", titles=titles)

    assert (price.is_same_kind, scaled(price)) == (True, [Money(840000)])
    assert price.near[0].reasons[0] == "also: bookcase"
    named = rough("bookcase 126x93x12", titles={**titles, "J-3": ("Bookcase", 2400)})
    assert [near.past.job for near in named.near] == ["J-3"]
