"""Taking from a sponsor's own lots, their tools, and notes for their report."""

from datetime import date

import pytest

from ledger.errors import Ambiguous, BadValue, NotAllowed, NotFound
from ledger.measures.quantity import Quantity
from ledger.sponsors.goods import (
    add_note,
    choose_lots,
    find_tool,
    held,
    last_note,
    log_tool,
    notes,
    tools,
)
from ledger.stock import withdraw

BRIGHTFELL = "Brightfell Panels"
MAY, JUNE = (date(2025, 5, 1), date(2025, 5, 31)), (date(2025, 6, 1), date(2025, 6, 30))
SAW = {"words": "Track saw", "category": "tool", "unit": "each", "material": None}


def q(count):
    return Quantity.of(count)


def test_only_the_sponsors_own_lots_are_taken_oldest_first(spring, give):
    first = give(spring, 2, day="2025-04-14").key
    give(spring, 5, sponsor="Tallowgate Ply", day="2025-04-15")
    last = give(spring, 4, day="2025-04-16").key
    assert choose_lots(spring, BRIGHTFELL, "PLY34", q(3)) == [(first, q(2)), (last, q(1))]
    assert choose_lots(spring, BRIGHTFELL, "birch", q(1)) == [(first, q(1))]


def test_more_than_the_sponsor_has_there_is_refused(brightfell):
    with pytest.raises(NotAllowed, match="2 sheets of Birch ply 3/4; 3 cannot"):
        choose_lots(brightfell, BRIGHTFELL, "PLY34", q(3))
    with pytest.raises(NotAllowed, match="more than zero"):
        choose_lots(brightfell, BRIGHTFELL, "PLY34", q(0))


def test_an_item_the_sponsor_did_not_give_is_refused(brightfell, give):
    with pytest.raises(NotFound):
        choose_lots(brightfell, BRIGHTFELL, "walnut", q(1))
    give(brightfell, 1, day="2025-06-02", **SAW)
    give(brightfell, 1, day="2025-06-03", **(SAW | {"words": "Birch jig"}))
    with pytest.raises(Ambiguous):
        choose_lots(brightfell, BRIGHTFELL, "birch", q(1))


def test_what_is_held_is_told_as_it_stood_on_a_day(brightfell):
    assert [one.left for one in held(brightfell, BRIGHTFELL, date(2025, 4, 30))] == [q(7)]
    assert [one.left for one in held(brightfell, BRIGHTFELL)] == [q(2)]
    withdraw(brightfell, "to_supplier", "PLY34", q(2), lot=1)
    assert held(brightfell, BRIGHTFELL) == []


def test_a_tools_work_is_added_up_over_the_span(spring, give):
    give(spring, 1, "480.00", kind="borrowed", day="2025-05-02", method="", evidence="", **SAW)
    saw = find_tool(spring, BRIGHTFELL, "saw")
    log_tool(spring, saw, day=date(2025, 5, 6), minutes=90, uses=14)
    log_tool(spring, saw, day=date(2025, 5, 7), minutes=30, blades=1, fault="guard sticks")
    log_tool(spring, saw, day=date(2025, 6, 1), uses=3)
    (may,) = tools(spring, BRIGHTFELL, *MAY)
    assert (may.minutes, may.uses, may.blades) == (120, 14, 1)
    assert may.faults == ("2025-05-07: guard sticks",)
    assert (may.lot.source, may.left) == ("borrowed", q(1))
    (june,) = tools(spring, BRIGHTFELL, *JUNE)
    assert (june.minutes, june.uses, june.faults) == (0, 3, ())


def test_a_tool_sent_back_is_told_of_once_more_and_then_gone(spring, give):
    lot = give(spring, 1, "480.00", day="2025-04-02", **SAW).key
    withdraw(spring, "to_supplier", None, q(1), lot=lot, day=date(2025, 5, 9))
    assert [one.left for one in tools(spring, BRIGHTFELL, *MAY)] == [q(0)]
    assert tools(spring, BRIGHTFELL, *JUNE) == []
    with pytest.raises(NotFound):
        find_tool(spring, BRIGHTFELL, "saw")


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({}, "what the tool did"),
        ({"minutes": -5, "uses": 1}, "zero or more"),
        ({"uses": 1, "day": date(2025, 4, 1)}, "came on 2025-04-14"),
        ({"uses": 1, "day": date(2025, 7, 1)}, "future"),
    ],
)
def test_a_tool_entry_that_says_nothing_or_cannot_be_is_refused(spring, give, change, words):
    give(spring, 1, "480.00", **SAW)
    saw = find_tool(spring, BRIGHTFELL, "saw")
    with pytest.raises((BadValue, NotAllowed), match=words):
        log_tool(spring, saw, **change)


def test_notes_stand_in_the_order_of_days_and_the_last_of_a_kind_counts(spring):
    add_note(spring, BRIGHTFELL, "next", "second", date(2025, 6, 2))
    add_note(spring, BRIGHTFELL, "next", "first", date(2025, 5, 2))
    add_note(spring, BRIGHTFELL, "photo", "edge.jpg", date(2025, 6, 3))
    assert [row.words for row in notes(spring, BRIGHTFELL, *JUNE)] == ["second", "edge.jpg"]
    assert last_note(spring, BRIGHTFELL, "next", date(2025, 5, 31)) == "first"
    assert last_note(spring, BRIGHTFELL, "next", date(2025, 6, 30)) == "second"
    assert last_note(spring, BRIGHTFELL, "where", date(2025, 6, 30)) == ""


@pytest.mark.parametrize(("kind", "words"), [("song", "x"), ("photo", " ")])
def test_a_note_has_words_and_a_kind_that_is_known(spring, kind, words):
    with pytest.raises(BadValue):
        add_note(spring, BRIGHTFELL, kind, words)
