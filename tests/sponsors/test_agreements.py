"""What is promised to a sponsor is counted against what was published for them."""

from datetime import date

import pytest

from ledger.errors import Ambiguous, BadValue, NotAllowed, NotFound
from ledger.measures.day import DateReader
from ledger.measures.money import Money
from ledger.sponsors import add_sponsor, agree, deliverables_due, find_sponsor, publish
from ledger.sponsors.agreements import Promise, count_done, parse_promise, progress, sponsors
from ledger.sponsors.publications import NewPublication

BRIGHTFELL = "Brightfell Panels"
APRIL, JUNE = date(2025, 4, 1), date(2025, 6, 30)


def done(book, until=None):
    return {(one.kind, one.number): one.done for one in progress(book, BRIGHTFELL, until)}


def test_three_of_three_are_done_in_the_example(brightfell):
    assert done(brightfell) == {("long", 1): 1, ("post", 2): 2}
    assert all(one.left == 0 and one.late == 0 for one in progress(brightfell, BRIGHTFELL))
    assert deliverables_due(brightfell) == []


@pytest.mark.parametrize(
    ("until", "expected"),
    [
        (date(2025, 4, 9), {}),
        (date(2025, 4, 30), {("long", 1): 0, ("post", 2): 0}),
        (date(2025, 5, 31), {("long", 1): 0, ("post", 2): 1}),
        (date(2025, 6, 20), {("long", 1): 1, ("post", 2): 1}),
    ],
)
def test_progress_is_told_as_it_stood_on_a_day(brightfell, until, expected):
    assert done(brightfell, until) == expected


def test_what_is_still_to_publish_is_due_in_the_order_of_days(brightfell):
    add_sponsor(brightfell, "Tallowgate Ply")
    agree(brightfell, "Tallowgate Ply", [Promise("photo", 1, date(2025, 7, 5))])
    agree(brightfell, BRIGHTFELL, [Promise("plan", 2, date(2025, 8, 1)), Promise("long", 1, JUNE)])
    due = [(one.sponsor, one.kind, one.left, one.due) for one in deliverables_due(brightfell)]
    assert due == [
        (BRIGHTFELL, "long", 1, JUNE),
        ("Tallowgate Ply", "photo", 1, date(2025, 7, 5)),
        (BRIGHTFELL, "plan", 2, date(2025, 8, 1)),
    ]


def test_a_publication_after_its_day_is_done_and_late(spring):
    agree(spring, BRIGHTFELL, [Promise("long", 1, date(2025, 6, 1))], day=APRIL)
    publish(spring, NewPublication("Late", "long", date(2025, 6, 20), (BRIGHTFELL,), ()))
    (one,) = progress(spring, BRIGHTFELL)
    assert (one.done, one.late, one.left) == (1, 1, 0)


def test_a_publication_of_an_agreement_taken_back_counts_no_more(brightfell):
    agreed = agree(brightfell, BRIGHTFELL, [Promise("plan", 1, JUNE)])
    brightfell.reverse(agreed.entry, "never signed")
    assert ("plan", 1) not in done(brightfell)


def test_a_publication_counts_once_over_all_promises():
    promised = [(APRIL, Promise("post", 1, JUNE)), (APRIL, Promise("post", 2, JUNE))]
    made = [(JUNE, "photo"), (JUNE, "short")]
    assert [len(days) for days in count_done(promised, made)] == [1, 1]


def test_the_narrow_promise_chooses_before_the_wide_one():
    promised = [(APRIL, Promise("post", 2, JUNE)), (APRIL, Promise("short", 1, JUNE))]
    made = [(date(2025, 5, 1), "short"), (date(2025, 5, 2), "photo"), (date(2025, 5, 3), "photo")]
    assert [len(days) for days in count_done(promised, made)] == [2, 1]


def test_what_was_published_before_the_promise_does_not_count():
    promised = [(JUNE, Promise("long", 1, JUNE))]
    assert count_done(promised, [(APRIL, "long")]) == [[]]


def test_a_long_video_is_no_post():
    assert count_done([(APRIL, Promise("post", 1, JUNE))], [(JUNE, "long")]) == [[]]


@pytest.mark.parametrize("text", ["1 long", "x long by 2025-06-30", "0 post by 2025-06-30",
                                  "2 songs by 2025-06-30", "2 post by someday",
                                  "99999 post by 2025-06-30", "² post by 2025-06-30"])  # fmt: skip
def test_a_promise_that_cannot_be_read_is_refused(text):
    with pytest.raises(BadValue):
        parse_promise(text, DateReader(APRIL))


def test_an_agreement_about_nothing_is_refused(spring):
    with pytest.raises(NotAllowed, match="what was agreed"):
        agree(spring, BRIGHTFELL)
    assert agree(spring, BRIGHTFELL, fee=Money(90000)).fee == Money(90000)


def test_what_is_due_before_it_was_agreed_is_refused(spring):
    with pytest.raises(NotAllowed, match="before the agreement"):
        agree(spring, BRIGHTFELL, [Promise("long", 1, APRIL)], day=date(2025, 4, 2))


def test_a_sponsor_is_found_by_part_of_the_name(spring):
    add_sponsor(spring, "Brightwater Tools")
    assert find_sponsor(spring, "panels").name == BRIGHTFELL
    with pytest.raises(Ambiguous):
        find_sponsor(spring, "bright")
    with pytest.raises(NotFound):
        find_sponsor(spring, "Tallowgate")


def test_a_book_without_sponsors_says_how_to_add_one(book):
    with pytest.raises(NotAllowed, match="sponsor add"):
        find_sponsor(book, "Brightfell")


def test_adding_a_sponsor_again_changes_the_objective_alone(spring):
    add_sponsor(spring, "brightfell  panels", "Show the edge")
    assert {name: row.objective for name, row in sponsors(spring).items()} == {
        BRIGHTFELL: "Show the edge"
    }


def test_a_sponsor_without_a_name_is_refused(spring):
    with pytest.raises(BadValue, match="needs a name"):
        add_sponsor(spring, "  ")
