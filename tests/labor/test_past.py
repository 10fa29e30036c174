"""Past jobs: loaded whole or not at all, each fault with its place."""

from datetime import date
from decimal import Decimal

import pytest

from ledger.book.questions.labor import loaded_jobs
from ledger.book.tables.ground import Job
from ledger.book.tables.past import PastJob, PastLine
from ledger.errors import BadFile
from ledger.labor.past import (
    PastJobRow,
    PastLineRow,
    guesses,
    loaded_words,
    priced_pieces,
    save_past_jobs,
)
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity


def past_job(number="J-2410", lines=(("sand", 92, 150), ("DES", 9, 258)), **more):
    rows = tuple(
        PastLineRow(operation, Quantity.of(driver), minutes, where=f"row {row}")
        for row, (operation, driver, minutes) in enumerate(lines, 2)
    )
    facts = {"title": "Bookcase 72x36x12, 5 shelves", "done": date(2024, 10, 21), **more}
    facts = {"price": Money(240000), "material": Money(46800), **facts}
    return PastJobRow(number, lines=rows, **facts)


def test_a_past_job_is_kept_with_its_totals_and_lines(book):
    assert save_past_jobs(book, [past_job(rework_minutes=30)]) == 1

    job = book.last(Job)
    kept = book.last(PastJob, job=job.key)
    lines = book.rows(PastLine, job=job.key)
    assert (job.number, job.kind) == ("J-2410", "past")
    assert (kept.price, kept.rework_minutes, kept.done) == (Money(240000), 30, date(2024, 10, 21))
    assert [(line.operation, line.minutes) for line in lines] == [("SND", 150), ("DES", 258)]


def test_what_is_not_known_of_a_job_is_none_and_never_nothing(book):
    rows = [
        past_job("P-1", (), minutes=1290, guessed=1080, rework_minutes=90, price=None,
                 material=None),
        past_job("P-2", (), minutes=2640, guessed=2400, material=None),
        past_job(),
    ]  # fmt: skip
    save_past_jobs(book, rows)

    bench, desk, bookcase = loaded_jobs(book)
    assert (bench.price, bench.material, bench.minutes, bench.worked) == (None, None, 1200, 1290)
    assert (desk.price, desk.material, desk.is_total) == (Money(240000), None, True)
    assert (bookcase.material, bookcase.minutes, bookcase.is_total) == (Money(46800), 408, False)
    assert [one.price for one in priced_pieces(book)] == [None, Money(240000), Money(240000)]
    assert priced_pieces(book)[0].minutes == 1290  # those in all, its rework in them
    pairs = [(job.worked, job.guessed) for job in (bench, desk, bookcase)]
    assert guesses(pairs).words == "Your guesses run 1.13 × (2 jobs)."
    assert guesses(pairs[2:]).words == ""
    assert guesses(pairs).corrected(Decimal("20.00")) == Decimal("20.00")  # two are too few
    assert guesses([*pairs, (690, 600)]).corrected(Decimal("20.00")) == Decimal("22.65")
    total, bare, price, material, billable = loaded_words(rows, 1920)
    assert "total alone: P-1, P-2." in total
    assert bare.startswith("Without counts: P-1, P-2.")
    assert price == "The price is not known, and left out of every mean: P-1."
    assert "material is not known, and left out of every mean: P-1, P-2." in material
    # 21.5 + 44 + 6.8 h
    assert "72.30 h of yours; if they were all, 4 % of a year's 1920 h" in billable
    assert loaded_words([past_job()], 1920) == []


def test_one_bad_line_keeps_all_jobs_out_and_every_fault_is_listed(book):
    jobs = [
        past_job(),
        past_job("J-2411", lines=[("knit", 1, 60), ("sand", 1, 60), ("SND", 1, 60)]),
        past_job("j-2410", where="row 4", done=date(2025, 4, 26)),
    ]

    with pytest.raises(BadFile) as refusal:
        save_past_jobs(book, jobs)

    said = [str(fault) for fault in refusal.value.faults]
    assert [fault.split(":")[0] for fault in said] == ["row 2", "row 4", "row 4", "row 4"]
    assert "knit" in said[0]
    assert "SND twice" in said[1]
    assert "already" in said[2]
    assert "future" in said[3]
    assert book.rows(Job) == []
