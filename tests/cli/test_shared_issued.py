"""Sheets that jobs share, at the bench page and once they are issued."""

from datetime import UTC, datetime

from ledger.book import Book
from ledger.pages.actions import issue
from ledger.pages.devices import Device
from ledger.pages.posting import Tap


def test_sheets_taken_for_one_job_alone_part_a_joint_plan_and_it_is_said(joint_shop, tmp_path):
    joint_shop("receipt", "add", "PLY34", "3", "96.00", "--from", "Copper Vale Lumber")
    assert joint_shop("layout", "bookcase", "bench", "--together").code == 0
    day = datetime(2025, 4, 28, 9, tzinfo=UTC)
    fields = {"job": "bookcase", "material": "PLY34", "quantity": "1"}
    tap = Tap(Device("Tablet", "owner", day.isoformat(), ""), fields, day)
    with Book(tmp_path / "shop.sqlite", day.date()) as book:
        answer = issue(book, tap).post()

    assert "J-2507 + J-2508 are no longer cut together" in answer
    assert "benchledger" not in answer


def test_a_joint_plan_is_offered_to_be_taken_back_until_its_sheets_are_issued(joint_shop):
    joint_shop("receipt", "add", "PLY34", "3", "96.00", "--from", "Copper Vale Lumber")
    assert "benchledger undo" in joint_shop("layout", "bookcase", "bench", "--together").out
    joint_shop("stock", "issue", "bench", "PLY34", "1", "--together")
    issued = joint_shop("layout", "bookcase", "bench", "--together")

    assert (issued.code, "benchledger undo" in issued.out) == (0, False)
