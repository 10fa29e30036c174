"""A book with its standards; the invented workshop's five past jobs, as rows and lessons."""

from dataclasses import dataclass
from datetime import date
from fractions import Fraction

import pytest

from ledger.book import Book
from ledger.labor.estimate import standard_hours
from ledger.labor.observations import Lesson
from ledger.labor.standards import load_starting_standards, starting_standards

JOBS = {
    "J-2410": ("Bookcase 72x36x12, 5 shelves", date(2024, 10, 21), 2400, 468),
    "J-2412": ("Media console 64x18x22, mitered wrap, 2 doors", date(2024, 12, 13), 4150, 742),
    "J-2501": ("Desk 60x28x30, 2 drawers, cable tray", date(2025, 2, 7), 3200, 585),
    "J-2503": ("Bunk-room shelving, 6 wall boxes, helper", date(2025, 4, 28), 4650, 1010),
    "J-2504": ("Dining bench 48x15x18, lift lid", date(2025, 5, 2), 1750, 356),
}  # fmt: skip
"""Number: title, day done, price and material in dollars."""

# Operation: (count, hours it took) in each of the five jobs, in the order above.
_HOURS = """
DES 9:4.3 17:5.8 14:5.1 8:3.9 8:4.1
MTG 1:1.4 2:3.3 1:1.4 2:2.8 1:1.4
ADM 1:2.6 1:2.6 1:2.6 1:2.2 1:2.7
PUP 1:1.4 2:3.1 1:1.5 1:1.5 1:1.6
SHT 3:0.9 4:1.1 3:0.9 6:1.4 2:0.8
RIP 11:0.5 15:0.7 12:0.6 24:0.9 8:0.4
XW 4:0.4 14:1.1 8:0.6 6:0.5 4:0.4
XN 24:0.4 26:0.4 30:0.4 60:0.7 18:0.3
RAB 18:0.5 14:0.6 8:0.5 - -
MIL 4:1.0 - 6:1.1 - 3:0.9
EBA - 52:1.2 22:0.6 118:2.0 8:0.4
EBT - 52:0.9 22:0.4 118:1.7 8:0.2
SOL 27:1.7 - 16:1.2 - 14:1.0
PKT 12:0.2 30:0.3 44:0.4 96:0.7 28:0.3
DWL 40:1.1 16:0.6 - - 12:0.5
PIN - 48:0.4 - 192:0.9 -
MIT - 4:2.5 - - -
ASM 15:2.1 18:2.5 20:2.4 36:3.8 12:1.6
DRW - 2:2.3 2:2.3 - -
HWS 4:0.7 14:2.1 9:1.3 6:0.9 4:0.7
SND 92:2.5 104:3.2 70:2.0 168:4.1 44:1.3
SBC 184:1.2 208:1.4 140:0.9 336:2.0 88:0.6
SPR 276:1.4 312:1.5 210:1.0 504:2.1 132:0.6
SPS 3:3.5 3:3.8 3:3.3 3:3.1 3:3.3
PAK 1:0.3 2:0.5 3:0.5 6:0.7 1:0.3
DLV 1.2:1.4 1.6:1.8 1.4:1.6 3:3.3 1:1.2
INS - - - 8:8.5 -
"""


@pytest.fixture
def book(tmp_path, put_book):
    """An inch and dollar book with the starting standards, open on 2025-04-25."""
    path, day = tmp_path / "shop.sqlite", date(2025, 4, 25)
    put_book(path, day, load_starting_standards, currency="USD", units="inch")
    with Book(path, day) as opened:
        yield opened


@dataclass(frozen=True)
class PastWork:
    """What one operation of one past job counted and took."""

    job: str
    operation: str
    driver: Fraction
    minutes: int


@pytest.fixture(scope="session")
def past_work():
    """Every operation of the five jobs."""
    found = []
    for line in _HOURS.split("\n"):
        code, *cells = line.split() or [""]
        for job, cell in zip(JOBS, cells, strict=False):
            driver, mark, hours = cell.partition(":")
            if mark:
                found.append(PastWork(job, code, Fraction(driver), int(Fraction(hours) * 60)))
    return found


@pytest.fixture(scope="session")
def lessons(past_work):
    """The five jobs as lessons, estimated by the starting standards."""
    operations = {row.code: row for row in starting_standards()}
    return [
        Lesson(
            job=work.job,
            day=JOBS[work.job][1],
            operation=work.operation,
            group=operations[work.operation].group,
            estimate=standard_hours(operations[work.operation], work.driver).estimate,
            minutes=work.minutes,
        )
        for work in past_work
    ]
