"""Papers of composite panels in a job, and a label that is the maker's own word."""

from datetime import date

import pytest

from ledger.errors import NotAllowed
from ledger.jobs.jobs import new_job
from ledger.jobs.panels import label_of, lacking_statement, panel_records
from ledger.measures.length import Length
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.measures.values import replace
from ledger.stock.documents import Document, DocumentLine, Share
from ledger.stock.materials import MaterialRow, save_materials
from ledger.stock.movements import issue
from ledger.stock.receipts import receive

DAY = date(2025, 4, 22)


@pytest.fixture
def job(book):
    """A job in a shop that knows a composite panel and a board."""
    size = {"length": Length.of(96, "in"), "width": Length.of(48, "in")}
    save_materials(book, [
        MaterialRow("PLY34", "Birch ply 3/4", "sheet", "sheet", composite=True, **size),
        MaterialRow("PINE", "Pine boards", "sheet", "sheet", **size),
    ])  # fmt: skip
    return new_job(book, "Marrow fold-down bed", number="J-2507")


def bought(book, material, statement="", sheets=5, document="4711"):
    """Receive sheets of a material with a supplier's statement, or without one."""
    line = DocumentLine(material, "sheet", Quantity.of(sheets), "sheet", Money(9600 * sheets),
                material=material, statement=statement)  # fmt: skip
    receive(book, Document("Copper Vale Lumber", DAY, (line,), document=document))


def taken(book, job, material="PLY34", sheets=2):
    issue(book, job.key, material, Quantity.of(sheets))


def test_a_panels_paper_names_supplier_document_statement_and_how_long_it_is_kept(book, job):
    bought(book, "PLY34", "TPC-9, lot 12, statement on invoice")
    taken(book, job)

    (record,) = panel_records(book, job)

    assert (record.material, record.quantity) == ("PLY34", Quantity.of(2))
    assert (record.supplier, record.statement) == (
        "Copper Vale Lumber", "TPC-9, lot 12, statement on invoice",
    )  # fmt: skip
    assert "4711" in record.document
    assert (record.day, record.keep) == (DAY, date(2028, 4, 22))


def test_a_panel_that_went_back_needs_no_paper_though_a_fee_stays(book, job):
    line = DocumentLine("PLY34", "sheet", Quantity.of(2), "sheet", Money(19200), material="PLY34",
                        shares=(Share("job", Quantity.of(2), job.key),))  # fmt: skip
    (lot,) = receive(book, Document("Copper Vale Lumber", DAY, (line,))).lots
    back = replace(line, net=Money(16000), credit_of=str(lot.key))
    receive(book, Document("Copper Vale Lumber", DAY, (back,), kind="credit"))

    assert panel_records(book, job) == []


def test_only_composite_panels_have_papers(book, job):
    bought(book, "PINE")
    taken(book, job, "PINE")

    assert panel_records(book, job) == []


def test_a_lot_without_a_statement_is_named(book, job):
    bought(book, "PLY34", "statement on invoice", sheets=1)
    bought(book, "PLY34", sheets=5, document="4712")
    taken(book, job, sheets=3)

    assert lacking_statement(panel_records(book, job)) == ["PLY34"]
    with pytest.raises(NotAllowed, match=r"No statement .* PLY34"):
        label_of(book, job, "my words", DAY, confirmed=True)


def test_a_label_has_name_month_and_the_makers_own_words_once_confirmed(book, job):
    bought(book, "PLY34", "statement on invoice")
    taken(book, job)

    label = label_of(book, job, " Panels as their makers state. ", DAY, confirmed=True)

    assert (label.maker, label.made, label.statement) == (
        "Quillhaven Workshop", "04/2025", "Panels as their makers state.",
    )  # fmt: skip


@pytest.mark.parametrize(("words", "confirmed"), [("my words", False), ("", True)])
def test_without_the_makers_words_and_confirmation_there_is_no_label(book, job, words, confirmed):
    bought(book, "PLY34", "statement on invoice")
    taken(book, job)

    with pytest.raises(NotAllowed, match="maker's own word"):
        label_of(book, job, words, DAY, confirmed=confirmed)


def test_a_job_without_panels_has_no_label(book, job):
    with pytest.raises(NotAllowed, match="No composite panel was issued"):
        label_of(book, job, "my words", DAY, confirmed=True)
