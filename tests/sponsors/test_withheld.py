"""What must not be read by a sponsor is taken out of every text."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.book.questions.sponsors import WithheldNames, names_in_book
from ledger.sponsors.withheld import MARK, Withheld, withheld_from

NAMES = WithheldNames(
    people=("D. Marrow", "Wu", "Anna Birch"),
    details=("5 Mill Lane, Larkspur Falls", "marrow@larkspur.example"),
    companies=("Brightfell Panels", "Copper Vale Lumber", "Tallowgate Ply",
               "Windlass Bed Fittings"),
    materials=("Birch ply 3/4", "Bed slat"),
)  # fmt: skip


@pytest.fixture
def clean():
    return withheld_from("Brightfell Panels", "Quillhaven Workshop", NAMES).clean


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Bed for D. Marrow", f"Bed for {MARK}"),
        ("the MARROWS' bed", f"the {MARK}' bed"),
        ("photos/marrowbed.jpg", f"photos/{MARK}bed.jpg"),
        ("delivered to Mill Lane, 5 Mill Lane", f"delivered to Mill Lane, {MARK}"),
        ("called Wu today", f"called {MARK} today"),
        ("glued with Tallowgate ply", f"glued with {MARK}"),
        ("tallowgate-ply.example", f"{MARK}.example"),
        ("edges from Copper Vale", f"edges from {MARK}"),
        ("Windlass fittings", f"{MARK} fittings"),
        ("Anna's bed", f"{MARK}'s bed"),
    ],
)
def test_names_are_left_out_however_they_are_written(clean, text, expected):
    assert clean(text) == expected


@pytest.mark.parametrize(
    "text",
    ["Birch ply 3/4, a bed with lumber edges", "Brightfell Panels", "tomarrow", "Quillhaven",
     "wurst", ""],
)  # fmt: skip
def test_words_of_the_trade_and_the_sponsors_own_name_stay(clean, text):
    assert clean(text) == text


def test_the_owner_is_told_what_was_left_out_and_what_speaks_of_money_or_hours():
    held = withheld_from("Brightfell Panels", "Quillhaven Workshop", NAMES)
    for text in ("Marrow bed", "Marrow bed", "a bed in 65 hours", "for $6,980", "2 sheets"):
        held.clean(text)
    assert held.texts_with_names == ["Marrow bed"]
    assert held.doubtful == ["a bed in 65 hours", "for $6,980"]


def test_nothing_to_withhold_leaves_texts_alone():
    assert Withheld(()).clean("Marrow bed") == "Marrow bed"


def test_the_book_knows_whom_to_withhold(brightfell, give):
    give(brightfell, 1, sponsor="Tallowgate Ply", day="2025-06-02")
    names = names_in_book(brightfell)
    assert names.people == ("D. Marrow",)
    assert names.details == ("5 Mill Lane, Larkspur", "marrow@larkspur.example")
    assert set(names.companies) >= {"Brightfell Panels", "Tallowgate Ply"}


@settings(max_examples=200)
@given(before=st.text(max_size=20), after=st.text(max_size=20))
def test_no_name_stands_free_in_any_text(before, after):
    held = withheld_from("Brightfell Panels", "Quillhaven Workshop", NAMES)
    cleaned = held.clean(f"{before} Marrow {after}").casefold()
    assert " marrow " not in cleaned
    assert held.texts_with_names


SHOWN = frozenset({"D. Marrow"})


def held_for(*people, shown=SHOWN, materials=("Red oak 4/4",)):
    names = WithheldNames(
        people=("D. Marrow", *people), details=(), companies=(), materials=materials
    )
    return withheld_from("Brightfell Panels", "Quillhaven Workshop", names, shown)


@pytest.mark.parametrize(
    "text",
    [
        "Two-minute tour of the workshop",
        "may the oak be brown",
        "Red oak 4/4, two boards",
        "the tomarrow shelf",
        "Émarrow",
    ],
)
def test_ordinary_words_stay_whole_and_are_not_asked_about(text):
    held = held_for(
        "Ann Tour", "May Brown", "Oak", shown={"D. Marrow", "Ann Tour", "May Brown", "Oak"}
    )
    assert held.clean(text) == text
    assert held.doubts == []


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("Oak shelf, part one", "Oak"),
        ("delivered in May", "May"),
        ("a marrow bed", "marrow"),
        ("for Harbor", "Harbor"),
        ("https://v.example/d-marrow-bed?t=2", "marrow"),
        ("see www.v.example/themarrowbed", "marrow"),
    ],
)
def test_what_may_be_a_name_stays_and_is_asked_about(text, word):
    held = held_for("May Brown", "Oak", "Ned Harbor", shown={"D. Marrow", "May Brown", "Oak"})
    assert held.clean(text, "title") == text
    assert [(one.word, one.text, one.where) for one in held.doubts] == [(word, text, "title")]


def test_the_whole_name_of_any_client_is_left_out():
    held = held_for("May Brown", "Ned Harbor")
    assert held.clean("for may brown, then Ned Harbor's desk") == f"for {MARK}, then {MARK}'s desk"
    assert held.doubts == []


def test_a_link_is_never_changed():
    held = held_for()
    link = "https://v.example/marrow/D.%20Marrow"
    assert held.clean(f"The Marrow bed: {link}") == f"The {MARK} bed: {link}"
    assert [one.word.casefold() for one in held.doubts] == ["marrow"]
