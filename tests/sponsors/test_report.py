"""A sponsor's report: the example to the unit and cent, and nothing a sponsor must not see."""

from datetime import date

import pytest

from ledger.book.tables.ground import Job
from ledger.errors import NotAllowed
from ledger.measures.day import Month
from ledger.measures.length import Length
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.reports.sponsor import sponsor_report
from ledger.reports.sponsor_json import sponsor_json
from ledger.reports.sponsor_words import rest_words
from ledger.sponsors import add_sponsor, find_sponsor, in_kind_account
from ledger.sponsors.goods import add_note
from ledger.sponsors.publications import name_build
from ledger.stock import issue, keep_offcuts, put_back, withdraw
from ledger.stock.offcuts import OffcutSize
from ledger.stock.receipts import receipts
from ledger.stock.takeback import reverse_receipt

BRIGHTFELL = "Brightfell Panels"
SHELVES, BED = 1, 2
SPRING = (date(2025, 4, 1), date(2025, 6, 30))
MAY = (date(2025, 5, 1), date(2025, 5, 31))


def prepared(book, text="", name=BRIGHTFELL):
    month = Month(*(int(part) for part in text.split("-"))) if text else None
    first, last = (month.first, month.last) if month else SPRING
    return sponsor_report(book, find_sponsor(book, name), first, last)


def report(book, text="", name=BRIGHTFELL):
    return prepared(book, text, name).report


def q(count):
    return Quantity.of(count)


def test_the_objective_and_what_is_done_of_what_was_promised(brightfell):
    said = report(brightfell)
    assert said.objective == "Show that the panel takes a clean edge"
    assert (said.done_number, said.promised_number) == (3, 3)
    assert (report(brightfell, "2025-05").done_number, len(said.published)) == (1, 3)


@pytest.mark.parametrize(
    ("text", "builds"),
    [("2025-04", [("J-2503", 4, 38400, 0)]), ("2025-05", [("J-2507", 5, 48000, 5)]),
     ("2025-06", [])],
)  # fmt: skip
def test_each_month_says_what_builds_used_and_what_was_on_camera(brightfell, text, builds):
    assert [
        (one.build, one.amount.quantity, one.amount.value, one.on_camera)
        for one in report(brightfell, text).used
    ] == [(build, q(n), Money(value), q(seen)) for build, n, value, seen in builds]


def test_the_damaged_sheet_is_told_with_its_reason(brightfell):
    (one,) = report(brightfell, "2025-04").gone
    assert (one.day, one.what, one.words) == (
        date(2025, 4, 15), "damaged", "corner crushed, reported"
    )  # fmt: skip
    assert (one.amount.quantity, one.amount.value) == (q(-1), Money(-9600))


def test_every_event_carries_what_was_left_after_it(brightfell):
    events = report(brightfell).events
    assert [(one.what, one.balance) for one in events] == [
        ("received", q(12)), ("damaged", q(11)), ("used", q(7)), ("used", q(2)),
    ]  # fmt: skip
    assert [one.balance for one in report(brightfell, "2025-05").events] == [q(2)]


def test_goods_that_were_lent_are_an_event_of_their_own(brightfell, give):
    give(brightfell, 3, kind="borrowed", day="2025-06-02", method="", evidence="")
    (lent,) = report(brightfell, "2025-06").events
    assert (lent.what, lent.balance) == ("lent", q(3))


def test_fair_value_its_basis_and_the_day_are_told_while_goods_last(brightfell):
    for text in ("2025-04", "2025-06"):
        (lot,) = report(brightfell, text).lots
        assert (lot.day, lot.method) == (date(2025, 4, 14), "retail price seen")
        assert lot.amount.value == Money(115200)
    assert report(brightfell, "2025-06").received == ()


def test_use_on_camera_follows_what_came_back_and_what_nobody_noted(brightfell):
    put_back(brightfell, BED, "PLY34", q(1), day=date(2025, 5, 7))
    issue(brightfell, BED, "PLY34", q(2), day=date(2025, 5, 8))
    (one,) = report(brightfell, "2025-05").used
    assert (one.amount.quantity, one.on_camera, one.unsaid) == (q(6), q(4), q(2))


def test_a_build_goes_by_its_public_name(brightfell):
    name_build(brightfell, brightfell.row(Job, BED), "Fold-down bed for Marrow")
    said = prepared(brightfell, "2025-05")
    assert said.report.used[0].build == "Fold-down bed for […] (J-2507)"
    assert any("name was left out" in text for text in said.warnings)


def test_the_owner_is_warned_of_the_post_without_disclosure_and_the_sponsor_reads_it_is_open(
    brightfell,
):
    said = prepared(brightfell)
    (warning,) = said.warnings
    assert "link-1" in warning
    assert "not noted as on camera" in warning
    assert said.report.published[0].disclosed_on is None
    assert prepared(brightfell, "2025-04").warnings == ()


def test_an_objective_that_is_missing_is_asked_for(brightfell):
    add_sponsor(brightfell, BRIGHTFELL, "")
    assert any("No objective" in text for text in prepared(brightfell).warnings)


def test_a_text_that_speaks_of_hours_is_shown_to_the_owner(brightfell):
    add_note(brightfell, BRIGHTFELL, "result", "built in 65 hours")
    assert any("65 hours" in text for text in prepared(brightfell).warnings)


def test_notes_of_the_span_and_the_last_word_on_the_rest(brightfell):
    add_note(brightfell, BRIGHTFELL, "where", "under the stairs", date(2025, 5, 2))
    add_note(brightfell, BRIGHTFELL, "photo", "edge.jpg", date(2025, 5, 2))
    add_note(brightfell, BRIGHTFELL, "code", "14 orders with the code", date(2025, 6, 2))
    may, june = report(brightfell, "2025-05"), report(brightfell, "2025-06")
    assert (may.photos, may.results) == (("edge.jpg",), ())
    assert (june.photos, june.results) == ((), ("14 orders with the code",))
    assert (june.where, report(brightfell, "2025-04").where) == (
        "under the stairs", "in the workshop"
    )  # fmt: skip


def test_offcuts_of_the_sponsors_sheets_alone_are_told_of(brightfell, give):
    size = OffcutSize(Length.of(48, "in"), Length.of(24, "in"))
    keep_offcuts(brightfell, SHELVES, "PLY34", [size], day=date(2025, 4, 20))
    lot = give(brightfell, 1, sponsor="Tallowgate Ply", day="2025-05-02").key
    issue(brightfell, BED, "PLY34", q(1), lot=lot, day=date(2025, 5, 7))
    keep_offcuts(brightfell, BED, "PLY34", [size], day=date(2025, 5, 20))
    assert report(brightfell).offcuts == ("offcut 48 x 24 from J-2503",)
    add_sponsor(brightfell, "Tallowgate Ply", "x")
    assert report(brightfell, name="Tallowgate Ply").offcuts == ()


def test_the_report_and_the_account_say_alike_what_is_left(brightfell):
    size = OffcutSize(Length.of(48, "in"), Length.of(24, "in"))
    keep_offcuts(brightfell, BED, "PLY34", [size], day=date(2025, 5, 20))
    told, books = report(brightfell, "2025-05"), in_kind_account(brightfell, *MAY)
    # two sheets at 96 and an offcut of a quarter of 96, at half of its share
    assert (told.offcuts_value, told.given_left) == (Money(1200), books.closing)
    assert "offcuts kept are worth 12.00" in " ".join(dict(rest_words(told)).values())


def test_an_offcut_that_was_used_is_no_longer_on_the_rack(brightfell):
    size = OffcutSize(Length.of(48, "in"), Length.of(24, "in"))
    (piece,) = keep_offcuts(brightfell, SHELVES, "PLY34", [size], day=date(2025, 4, 20))
    issue(brightfell, BED, "PLY34", q(1), lot=piece.key, day=date(2025, 5, 20))
    assert len(report(brightfell, "2025-04").offcuts) == 1
    assert report(brightfell, "2025-05").offcuts == ()


def test_a_receipt_taken_back_leaves_no_trace_of_value(brightfell, give):
    with brightfell.entry("receipt load", "two of one file"):
        give(brightfell, 3, day="2025-06-02")
        give(brightfell, 1, day="2025-06-03")
    reverse_receipt(brightfell, receipts(brightfell)[1], "never came")
    said = report(brightfell, "2025-06")
    (line,) = said.lines
    assert (line.received.quantity, line.closing.quantity) == (q(1), q(3))
    assert [one.day for one in said.lots] == [date(2025, 4, 14), date(2025, 6, 3)]


def test_a_span_that_ends_before_it_begins_is_refused(brightfell):
    with pytest.raises(NotAllowed, match="to a later one"):
        sponsor_report(brightfell, find_sponsor(brightfell, BRIGHTFELL), *reversed(SPRING))


def test_facts_carry_the_figures_as_text(brightfell):
    facts = sponsor_json(report(brightfell))
    (line,) = facts["statement"]
    assert line["closing"] == {"quantity": "2", "value": "192.00"}
    assert line["used"] == {"quantity": "-9", "value": "-864.00"}
    assert facts["deliverables"] == {
        "promised": 3, "done": 3, "lines": [
            {"kind": "long", "promised": 1, "done": 1, "late": 0, "due": "2025-06-30"},
            {"kind": "post", "promised": 2, "done": 2, "late": 0, "due": "2025-06-30"},
        ],
    }  # fmt: skip
    assert facts["lots"][0]["cash"] == "0.00"


def test_the_report_of_a_sponsor_who_gave_nothing_is_empty_and_made(spring):
    said = report(spring)
    assert (said.lines, said.events, said.lots, said.used, said.tools) == ((), (), (), (), ())
    assert (said.done_number, said.promised_number) == (0, 0)


def test_goods_sent_back_are_told_apart_from_damage(brightfell):
    withdraw(brightfell, "to_supplier", "PLY34", q(2), lot=1, day=date(2025, 6, 2))
    (one,) = report(brightfell, "2025-06").gone
    assert (one.what, one.balance) == ("sent back", q(0))
