"""A sent quote reads the same for ever: the bytes, their digest, and reading them again."""

import hashlib
import json
import sqlite3
from datetime import date
from pathlib import Path

import pytest

from ledger.book import Book
from ledger.book.clients import redact_client
from ledger.book.tables.quotes import QuoteBasis, QuotePage
from ledger.costing.sheet import CostSheet, SheetsLaid
from ledger.designs.store import save_design
from ledger.errors import BadValue
from ledger.measures.frozen import freeze, read_json, thaw
from ledger.measures.money import Money
from ledger.quotes import snapshot
from ledger.quotes.check import check_quotes
from ledger.quotes.draft import Wishes, draft_quote
from ledger.quotes.revisions import send_quote, standing
from ledger.quotes.snapshot import read_offer


@pytest.fixture
def sent(book, job, sheet):
    """The Marrow quote, drafted and sent."""
    wishes = Wishes(extras={"Delivery and installation": Money(90000)})
    quote = draft_quote(book, job, wishes, sheet).quote
    send_quote(book, quote)
    return quote


def test_the_kept_digest_is_the_sha_256_of_the_kept_bytes(book, sent):
    page = book.last(QuotePage, quote=sent.key)

    assert page.sha256 == hashlib.sha256(page.page).hexdigest()
    assert json.loads(page.page)["deliverables"][0]["amount"] == 608000


def test_reading_a_page_and_freezing_it_again_gives_the_same_bytes(book, sent):
    page = book.last(QuotePage, quote=sent.key)

    assert freeze(read_offer(page.page, page.schema_number)) == page.page


def test_the_cost_basis_of_the_day_stands_apart_from_the_page(book, sent, sheet):
    basis = book.last(QuoteBasis, quote=sent.key)

    assert thaw(CostSheet, json.loads(basis.basis)) == sheet
    assert b"selling" not in book.last(QuotePage, quote=sent.key).page


def test_a_cost_basis_frozen_before_a_figure_was_kept_still_reads(sheet):
    said = read_json(freeze(sheet))
    del said["prospect"], said["range"]["groups"], said["range"]["basis"]

    read = thaw(CostSheet, said)
    assert (read.totals, read.range.p80, read.range.basis) == (sheet.totals, sheet.range.p80, "")


def test_later_prices_rates_wordings_and_designs_change_no_sent_quote(book, job, sent):
    before = standing(book, sent).offer
    with book.entry("shop set", ""):
        for name, value in {
            "tax_rate": "9 %", "selling_rate": "120", "payments": "100", "shop": "Other name",
            "wording_care": "None.", "validity_days": "1",
        }.items():  # fmt: skip
            book.set(name, value)
    from ledger.designs.model import Design

    save_design(book, Design("fold-bed", "Something else", "inch"), errata="all new")

    with Book(book.path, date(2025, 5, 20)) as later:
        assert standing(later, sent).offer == before
        assert [finding.faults for finding in check_quotes(later)] == [()]


def test_a_clients_details_stand_in_no_frozen_byte_and_can_be_redacted(book, job, sent):
    page, basis = book.last(QuotePage, quote=sent.key), book.last(QuoteBasis, quote=sent.key)
    assert b"D. Marrow" not in page.page + basis.basis

    with book.entry("client redact", ""):
        redact_client(book, job.client)

    assert check_quotes(book)[0].faults == ()


def test_a_page_of_another_program_version_checks(book, sent, monkeypatch):
    monkeypatch.setattr("ledger.quotes.revisions.__version__", "9.9")

    assert check_quotes(book)[0].faults == ()


def break_into(path: Path, table: str, statement: str) -> None:
    """Change a posted row behind the program's back, triggers and all."""
    trigger = f"{table}_is_never_changed"
    with sqlite3.connect(path) as connection:
        sql = connection.execute(
            "SELECT sql FROM sqlite_master WHERE name = ?", (trigger,)
        ).fetchone()[0]
        connection.execute(f"DROP TRIGGER {trigger}")
        connection.execute(statement)
        connection.execute(sql)
    connection.close()


def test_a_page_changed_from_outside_is_found(book, sent):
    changed = "UPDATE quote_page SET page = CAST(replace(page, '608000', '508000') AS BLOB)"
    break_into(book.path, "quote_page", changed)

    (finding,) = check_quotes(book)

    assert check_quotes(book, sent) == [finding]
    assert finding.name == "Q-2507-A"
    assert "its bytes are not those that were sent" in finding.faults
    assert "the payments do not add up to the price" in finding.faults


def test_a_basis_changed_from_outside_is_found(book, sent):
    changed = "UPDATE quote_basis SET basis = CAST(replace(basis, '7300', '8300') AS BLOB)"
    break_into(book.path, "quote_basis", changed)

    assert check_quotes(book)[0].faults == (
        "the bytes of its cost basis are not those that were kept",
    )


def test_bytes_that_are_no_page_are_refused_in_a_sentence():
    with pytest.raises(BadValue, match="not a frozen page"):
        read_offer(b"\xff\x00", snapshot.SCHEMA)
    with pytest.raises(BadValue, match=r"does not read as an? Offer"):
        read_offer(b'{"number":"Q-1"}', snapshot.SCHEMA)


def test_a_page_of_a_newer_program_is_left_alone():
    with pytest.raises(BadValue, match="Install the newer Bench Ledger"):
        read_offer(b"{}", snapshot.SCHEMA + 1)


def test_equal_values_are_equal_bytes():
    assert freeze({"b": 1, "a": 2}) == freeze({"a": 2, "b": 1}) == b'{"a":2,"b":1}'


def test_a_float_has_no_frozen_form():
    with pytest.raises(TypeError, match="float has no frozen form"):
        freeze({"price": 1.5})


def test_sheets_that_were_kept_before_their_proof_had_words_read_and_keep_their_bytes():
    kept = (
        b'{"fewest_possible":5,"material":"PLY","net_area":"115","proven":true,"sheet_yield":"1/2"'
        b',"sheets":5}'
    )
    assert freeze(thaw(SheetsLaid, read_json(kept))) == kept
