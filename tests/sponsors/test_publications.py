"""What was published, for whom, and whether it says what came free."""

from datetime import date

import pytest

from ledger.book import close_month
from ledger.book.tables.ground import Job
from ledger.errors import Ambiguous, BadValue, NotAllowed, NotFound
from ledger.measures.day import Month
from ledger.measures.length import Length
from ledger.measures.quantity import Quantity
from ledger.sponsors import disclose, publish, undisclosed
from ledger.sponsors.publications import (
    NewPublication,
    disclosures,
    find_publication,
    name_build,
    public_name,
)
from ledger.stock import issue, keep_offcuts, put_back
from ledger.stock.offcuts import OffcutSize

BRIGHTFELL = "Brightfell Panels"
SHELVES, BED = 1, 2
DAY = date(2025, 6, 24)


def test_the_photo_post_without_disclosure_is_warned_of_and_no_other(brightfell):
    (one,) = undisclosed(brightfell)
    assert (one.publication.link, one.sponsor, one.job) == ("link-1", BRIGHTFELL, SHELVES)
    assert (one.quantity, one.on_camera) == (Quantity.of(4), Quantity(0))


def test_each_item_carries_the_day_and_way_of_its_disclosure(brightfell):
    told = {one.publication.link: (one.day, one.how) for one in disclosures(brightfell)}
    assert told == {
        "link-1": (None, ""),
        "link-2": (date(2025, 6, 20), "spoken and in the description"),
        "link-3": (DAY, "on screen"),
    }


def test_a_disclosure_noted_later_ends_the_warning(brightfell):
    disclose(brightfell, find_publication(brightfell, "link-1"), "added to the caption")
    assert undisclosed(brightfell) == []


def test_a_sponsor_who_is_shown_but_not_named_is_warned_of_too(brightfell, give):
    lot = give(brightfell, 2, sponsor="Tallowgate Ply", day="2025-05-02")
    issue(brightfell, SHELVES, "PLY34", Quantity.of(1), lot=lot.key, day=date(2025, 5, 3))
    assert {one.sponsor for one in undisclosed(brightfell)} == {BRIGHTFELL, "Tallowgate Ply"}
    assert [one.sponsor for one in undisclosed(brightfell, "tallowgate ply")] == ["Tallowgate Ply"]


def test_an_offcut_of_free_sheets_in_a_published_build_counts(brightfell):
    size = OffcutSize(Length.of(48, "in"), Length.of(24, "in"))
    (piece,) = keep_offcuts(brightfell, BED, "PLY34", [size], day=date(2025, 5, 30))
    with brightfell.entry("job new"):
        stool = brightfell.post(Job(number="J-2508", title="Stool")).key
    issue(brightfell, stool, "PLY34", Quantity.of(1), lot=piece.key, day=date(2025, 6, 2))
    publish(brightfell, NewPublication("Stool", "short", DAY, (), (stool,)))
    assert (BRIGHTFELL, stool) in {(one.sponsor, one.job) for one in undisclosed(brightfell)}


def test_goods_that_all_came_back_are_not_in_the_build(brightfell):
    put_back(brightfell, SHELVES, "PLY34", Quantity.of(4), day=date(2025, 5, 30))
    (one,) = undisclosed(brightfell)
    assert (one.job, one.item) == (None, "")  # it was still made for the sponsor


def test_a_build_of_bought_goods_for_nobody_needs_no_disclosure(spring, give):
    give(spring, 2, kind="bought")
    issue(spring, BED, "PLY34", Quantity.of(2))
    publish(spring, NewPublication("Shop tour", "long", DAY, (), (BED,)))
    assert disclosures(spring) == []


def test_a_publication_taken_back_is_no_longer_counted(brightfell):
    row = find_publication(brightfell, "link-1")
    brightfell.reverse(row.entry, "typed twice")
    assert undisclosed(brightfell) == []


def test_a_link_is_noted_once(brightfell):
    with pytest.raises(NotAllowed, match="link-2 is noted already"):
        publish(brightfell, NewPublication("Again", "long", DAY, (), (), "link-2"))


@pytest.mark.parametrize(
    ("change", "error", "words"),
    [
        ({"title": " "}, BadValue, "needs a title"),
        ({"kind": "song"}, BadValue, "plan.$"),
        ({"kind": "post"}, BadValue, "A post that was promised is a photo or a short"),
        ({"day": date(2025, 7, 1)}, NotAllowed, "future"),
        ({"disclosed": "spoken", "disclosed_on": date(2025, 6, 1)}, NotAllowed, "was published on"),
    ],
)
def test_a_publication_that_cannot_be_is_refused_whole(spring, change, error, words):
    said = {"title": "Bed", "kind": "long", "day": DAY, "sponsors": (), "jobs": (BED,)} | change
    with pytest.raises(error, match=words):
        publish(spring, NewPublication(**said))
    assert disclosures(spring) == []


def test_a_closed_month_takes_no_more_publications(spring):
    close_month(spring, Month(2025, 5))
    with pytest.raises(NotAllowed, match="closed"):
        publish(spring, NewPublication("Bed", "long", date(2025, 5, 20), (), ()))


def test_a_disclosure_says_how(brightfell):
    with pytest.raises(BadValue, match="how"):
        disclose(brightfell, find_publication(brightfell, "link-1"), " ")


def test_a_publication_is_found_by_link_or_title(brightfell):
    assert find_publication(brightfell, "long of").link == "link-2"
    with pytest.raises(Ambiguous):
        find_publication(brightfell, "link-")
    with pytest.raises(NotFound):
        find_publication(brightfell, "nothing")


def test_a_build_goes_by_its_number_until_it_has_a_public_name(brightfell):
    job = brightfell.row(Job, BED)
    assert public_name(brightfell, BED) == "J-2507"
    name_build(brightfell, job, "Fold-down bed")
    assert public_name(brightfell, BED) == "Fold-down bed (J-2507)"
    with pytest.raises(BadValue):
        name_build(brightfell, job, "")
