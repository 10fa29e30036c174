"""Brightfell's sheets from April to June 2025, as the workshop entered them."""

from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path

import pytest

from ledger.book import Book
from ledger.book.tables.ground import Job, JobState
from ledger.book.tables.stock import Lot
from ledger.measures.length import Length
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.sponsors import add_sponsor, agree, publish
from ledger.sponsors.agreements import Promise
from ledger.sponsors.publications import NewPublication
from ledger.stock import issue, receive, withdraw
from ledger.stock.documents import Document, DocumentLine
from ledger.stock.materials import MaterialRow, save_materials

TODAY = date(2025, 6, 30)
BRIGHTFELL = "Brightfell Panels"
SHEET = {"length": Length.of(96, "in"), "width": Length.of(48, "in")}
SHELVES, BED = 1, 2


def _fill(book: Book) -> None:
    save_materials(book, [MaterialRow("PLY34", "Birch ply 3/4", "sheet", "sheet", **SHEET)])
    add_sponsor(book, BRIGHTFELL, "Show that the panel takes a clean edge")
    with book.entry("job new"):
        marrow = book.client("D. Marrow", "marrow@larkspur.example", "5 Mill Lane, Larkspur")
        for number, client in (("J-2503", None), ("J-2507", marrow)):
            job = book.post(Job(number=number, title=f"{number} title", client=client))
            book.post(JobState(job=job.key, state="open", day=date(2025, 4, 1)))


@pytest.fixture
def spring(tmp_path: Path, put_book: Callable[..., None]) -> Iterator[Book]:
    """A dollar book on 2025-06-30 with birch ply, Brightfell, J-2503 (1) and J-2507 (2)."""
    path = tmp_path / "spring.sqlite"
    put_book(path, TODAY, _fill)
    with Book(path, TODAY) as book:
        yield book


def _give(
    book: Book,
    quantity: int,
    each: str = "96.00",
    *,
    sponsor: str = BRIGHTFELL,
    day: str = "2025-04-14",
    kind: str = "in_kind",
    **more: object,
) -> Lot:
    facts: dict[str, object] = {
        "words": "Birch ply 3/4", "category": "sheet", "unit": "sheet", "material": "PLY34",
        "method": "retail price seen", "evidence": "yard price page saved 2025-04-14",
    }  # fmt: skip
    line = DocumentLine(
        quantity=Quantity.of(quantity),
        net=book.currency.parse(each) * quantity,
        **(facts | more),
    )
    document = Document(sponsor, date.fromisoformat(day), (line,), kind, document=f"note {day}")
    return receive(book, document).lots[0]


@pytest.fixture
def give() -> Callable[..., Lot]:
    """Take goods in: `give(book, 12)` are twelve sheets of Brightfell at 96.00."""
    return _give


@pytest.fixture
def brightfell(spring: Book) -> Book:
    """The worked example: 12 sheets, one damaged, 4 and 5 used, three publications."""
    agree(
        spring, BRIGHTFELL, [Promise("long", 1, TODAY), Promise("post", 2, TODAY)],
        supplies="12 sheets of birch ply 3/4", fee=Money(90000), evidence="e-mail of 2025-04-10",
        day=date(2025, 4, 10),
    )  # fmt: skip
    lot = _give(spring, 12).key
    withdraw(spring, "damage", "PLY34", Quantity.of(1), lot=lot, day=date(2025, 4, 15),
             reason="corner crushed, reported")  # fmt: skip
    issue(spring, SHELVES, "PLY34", Quantity.of(4), day=date(2025, 4, 16), on_camera=False)
    issue(spring, BED, "PLY34", Quantity.of(5), day=date(2025, 5, 6), on_camera=True)
    for day, kind, link, job, said in (
        (date(2025, 5, 20), "photo", "link-1", SHELVES, ""),
        (date(2025, 6, 20), "long", "link-2", BED, "spoken and in the description"),
        (date(2025, 6, 24), "short", "link-3", BED, "on screen"),
    ):
        publish(spring, NewPublication(f"{kind} of {link}", kind, day, (BRIGHTFELL,), (job,), link,
                                    disclosed=said))  # fmt: skip
    return spring
