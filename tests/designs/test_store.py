"""Designs stand in the book as numbered versions, whole, and an unchanged one is not kept twice."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.designs.example import example
from ledger.designs.model import Coat, Count, Design, DesignFact, Joint, Need, Parameter, Part
from ledger.designs.store import (
    design_of,
    designs,
    find_version,
    from_json,
    load_version,
    save_design,
    to_json,
    versions,
)
from ledger.errors import Ambiguous, BookTrouble, NotAllowed, NotFound
from ledger.measures.values import replace

CASE = example("inch")
TALLER = replace(
    CASE, parameters=(replace(CASE.parameters[0], value="40 in"), *CASE.parameters[1:])
)


def test_what_is_loaded_is_what_was_saved(book: Book) -> None:
    row = save_design(book, CASE)

    assert (row.name, row.version, row.title) == ("bookcase", 1, "Open bookcase")
    assert design_of(find_version(book, "bookcase")) == CASE
    assert load_version(book, row.key) == (row, CASE)


def test_an_unchanged_design_makes_no_new_version(book: Book) -> None:
    first = save_design(book, CASE)
    entries = len(book.entries())

    assert save_design(book, replace(CASE)).key == first.key
    assert len(book.entries()) == entries


def test_a_changed_design_is_the_next_version_and_says_what_it_puts_right(book: Book) -> None:
    first = save_design(book, CASE)
    second = save_design(book, TALLER, "wider by 4 in")

    assert (second.version, second.errata) == (2, "wider by 4 in")
    assert design_of(find_version(book, "bookcase")) == TALLER
    assert design_of(find_version(book, "bookcase", 1)) == CASE
    assert load_version(book, first.key)[1] == CASE
    assert [row.version for row in versions(book, "book")] == [1, 2]
    assert save_design(book, CASE, "back to 36 in").version == 3


def test_a_design_that_names_nothing_carried_stays_the_text_it_was(book: Book) -> None:
    plain = replace(CASE, carried=(), parts=tuple(replace(p, carried="") for p in CASE.parts))
    row = save_design(book, plain)

    assert "carried" not in row.body
    assert (row.schema_number, save_design(book, CASE, "one piece").schema_number) == (1, 2)
    assert design_of(find_version(book, "bookcase", 1)) == plain


def test_a_change_that_says_nothing_is_refused(book: Book) -> None:
    save_design(book, CASE)
    with pytest.raises(NotAllowed, match="differs from its version 1"):
        save_design(book, TALLER, "  ")
    assert len(versions(book, "bookcase")) == 1


def test_a_design_is_found_by_any_part_of_its_name_or_title(book: Book) -> None:
    save_design(book, CASE)
    save_design(book, replace(CASE, name="bookcase-wide", title="Wide bookcase"))

    assert find_version(book, "open").name == "bookcase"
    assert find_version(book, "BOOKCASE").name == "bookcase"
    assert list(designs(book)) == ["bookcase", "bookcase-wide"]
    with pytest.raises(Ambiguous, match="bookcase-wide"):
        find_version(book, "book")
    with pytest.raises(NotFound, match="Nearest: bookcase"):
        find_version(book, "boockase")
    with pytest.raises(NotFound, match=r"version of bookcase .*“7”"):
        find_version(book, "bookcase", 7)


def test_a_jobs_own_parts_list_is_no_design_of_the_library(book: Book) -> None:
    save_design(book, replace(CASE, name="fold-down-bed", title="Fold-down bed"))
    with book.entry("job new"):
        book.post(Job(number="J-2501", title="Bed for a doll"))
    own = save_design(book, replace(CASE, name="J-2501", title="Bed for a doll"))

    assert find_version(book, "bed").name == "fold-down-bed"
    assert list(designs(book)) == ["fold-down-bed"]
    assert find_version(book, "J-2501") == own  # by its own number it still answers


def test_a_form_this_program_does_not_know_is_refused() -> None:
    with pytest.raises(BookTrouble, match="form 99"):
        from_json(to_json(CASE), 99)


@pytest.mark.parametrize("spoiled", ['"lenght":', '"length":[],"x":'])
def test_a_text_with_a_field_that_no_design_has_is_refused(spoiled: str) -> None:
    text = to_json(CASE).replace('"length":', spoiled, 1)
    with pytest.raises(BookTrouble, match="does not read as one"):
        from_json(text)


def test_a_row_the_book_does_not_have_is_refused(book: Book) -> None:
    with pytest.raises(BookTrouble, match="design version 12"):
        load_version(book, 12)


TEXT = st.text(max_size=12)
EDGES = st.lists(st.sampled_from(["L1", "L2", "W1", "W2"]), unique=True).map(tuple)
DESIGNS = st.builds(
    Design,
    name=TEXT,
    title=TEXT,
    units=st.sampled_from(["inch", "mm"]),
    parameters=st.lists(st.builds(Parameter, TEXT, TEXT, TEXT, TEXT, TEXT), max_size=2).map(tuple),
    parts=st.lists(
        st.builds(
            Part,
            TEXT,
            TEXT,
            TEXT,
            TEXT,
            TEXT,
            TEXT,
            banded=EDGES,
            faces=st.integers(0, 2),
            handed=st.booleans(),
            note=TEXT,
        ),
        max_size=2,
    ).map(tuple),
    joints=st.lists(st.builds(Joint, TEXT, TEXT, TEXT, TEXT), max_size=2).map(tuple),
    needs=st.lists(st.builds(Need, TEXT, TEXT, TEXT), max_size=2).map(tuple),
    counts=st.lists(st.builds(Count, TEXT, TEXT, TEXT), max_size=2).map(tuple),
    finish=st.lists(
        st.builds(Coat, TEXT, st.integers(1, 9), tint_share=st.fractions(0, 1)), max_size=2
    ).map(tuple),
    tags=st.frozensets(TEXT, max_size=3),
    facts=st.lists(st.builds(DesignFact, TEXT, TEXT), max_size=2).map(tuple),
    note=TEXT,
)


@given(DESIGNS)
def test_the_canonical_text_keeps_everything(design: Design) -> None:
    assert from_json(to_json(design)) == design
    assert to_json(from_json(to_json(design))) == to_json(design)


def test_equal_designs_have_equal_texts_whatever_the_order_of_their_tags() -> None:
    one = replace(CASE, tags=frozenset(["wall_fixed", "heavy", "long"]))
    two = replace(CASE, tags=frozenset(["long", "wall_fixed", "heavy"]))
    assert to_json(one) == to_json(two)
    assert Coat("S", 1, tint_share=Fraction(1, 3)) == from_json(
        to_json(replace(CASE, finish=(Coat("S", 1, tint_share=Fraction(1, 3)),)))
    ).finish[0]  # fmt: skip
