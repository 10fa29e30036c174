"""Papers read back: their words, where each letter stands, and pages full of everything."""

import ctypes
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Any

import pypdfium2
import pypdfium2.raw as pdfium
import pytest

from ledger.jobs.agreement import Ask
from ledger.measures.money import Money, currency
from ledger.papers.engine import Paper, print_paper
from ledger.quotes.offer import (
    Clause,
    Maker,
    Offer,
    Option,
    QuoteDeliverable,
    QuoteFact,
    Tax,
)

ZERO = Money(0)


@dataclass(frozen=True)
class Letter:
    """A letter of a page: its place in points from the left and the foot, its size and color."""

    sign: str
    left: float
    foot: float
    right: float
    top: float
    size: float
    color: tuple[int, ...]


class ReadBack:
    """A PDF as its reader sees it."""

    def __init__(self, content: bytes) -> None:
        self.document = pypdfium2.PdfDocument(content)

    @property
    def pages(self) -> list[str]:
        """The words of each page, without the marks at which long words may break."""
        return [
            page.get_textpage().get_text_bounded().replace("\u200b", "").replace("\r\n", "\n")
            for page in self.document
        ]

    @property
    def text(self) -> str:
        """All words on one line."""
        return " ".join(" ".join(self.pages).split())

    @property
    def about(self) -> dict[str, Any]:
        """Title, author and the rest of what the file says of itself."""
        return self.document.get_metadata_dict()

    def sizes(self) -> list[tuple[float, float]]:
        """Width and height of each page in points."""
        return [page.get_size() for page in self.document]

    def letters(self, number: int) -> list[Letter]:
        """The letters of a page that can be seen."""
        text = self.document[number].get_textpage()
        letters = []
        for place in range(text.count_chars()):
            sign = text.get_text_range(place, 1)
            if sign.strip("\u200b\r\n \ufffe"):
                size = pdfium.FPDFText_GetFontSize(text, place)
                parts = [ctypes.c_uint() for _ in range(4)]
                pdfium.FPDFText_GetFillColor(text, place, *parts)
                color = tuple(part.value for part in parts[:3])
                letters.append(Letter(sign, *text.get_charbox(place), size, color))
        return letters


@pytest.fixture
def read_back() -> Callable[[Paper], ReadBack]:
    """Lay a paper out and read it back."""
    return lambda paper: ReadBack(print_paper(paper).content)


@pytest.fixture
def inside_margins() -> Callable[[ReadBack], list[str]]:
    """Letters nearer to an edge of the paper than printers print, too small, or not black.

    A printer without gray makes dots of all else; from 12 pt on they can be read.
    """

    def outside(paper: ReadBack, side: float = 0.5 * 72, foot: float = 0.25 * 72) -> list[str]:
        faults = []
        for number, (width, height) in enumerate(paper.sizes()):
            for letter in paper.letters(number):
                within = side <= letter.left and letter.right <= width - side
                if not (within and foot <= letter.foot and letter.top <= height - foot):
                    faults.append(f"page {number + 1}: {letter}")
                elif letter.size < 7.95:
                    faults.append(f"page {number + 1}: {letter} is too small")
                elif letter.size < 11.95 and any(letter.color):
                    faults.append(f"page {number + 1}: {letter} is not black")
        return faults

    return outside


type MakeOffer = Callable[..., Offer]


@pytest.fixture
def offer_of() -> MakeOffer:
    """Make the emptiest quote that can be sent, with what a test changes."""
    return _offer


@pytest.fixture
def full_offer() -> MakeOffer:
    """Make a quote with everything that a quote can say, at length, of so many lines."""
    return _full


def _offer(**changed: Any) -> Offer:
    usd = currency("USD")
    plain: dict[str, Any] = {
        "number": "Q-1",
        "revision": "A",
        "day": date(2025, 4, 25),
        "valid_until": date(2025, 5, 25),
        "currency": usd,
        "units": "inch",
        "maker": Maker("", "", ""),
        "client": None,
        "title": "Bench",
        "description": "",
        "facts": (),
        "drawing": "",
        "sample": "",
        "deliverables": (),
        "options": (),
        "included": (),
        "tax": Tax("exempt", Fraction(0), ZERO, ZERO, ""),
        "payments": (),
        "lead_weeks": 0,
        "revisions": 0,
        "assumptions": (),
        "exclusions": (),
        "cautions": (),
        "clauses": (),
        "acceptance": "",
    }
    return Offer(**plain | changed)


def _full(lines: int = 24) -> Offer:
    price = Money(123456789)
    return _offer(
        maker=Maker(
            "W" * 60, "12 Old Mill Lane | Larkspur Falls | ME 04099", "bench@quill.example"
        ),
        title="A very long title of a piece " * 10,
        description="Beds and towers. " * 600,
        facts=tuple(QuoteFact(f"Fact {n}", "words " * 30) for n in range(9)),
        drawing="D-1 rev 3",
        sample="S-4",
        deliverables=tuple(
            QuoteDeliverable(f"Part {n} " + "of the whole " * n, price, taxed=True)
            for n in range(1, lines + 1)
        ),
        options=tuple(Option(f"Option {n}", price, Money(100)) for n in range(4)),
        included=("Drawing", "X" * 400),
        tax=Tax("sales_tax", Fraction(6, 100), price, Money(7407407), "Sales tax 6 %"),
        payments=tuple(Ask(f"Stage {n}", price, Money(99)) for n in range(5)),
        lead_weeks=6,
        revisions=2,
        assumptions=tuple(f"We assume {n} " + "and more " * 12 for n in range(14)),
        exclusions=tuple(f"Without {n}" for n in range(20)),
        cautions=("Mind the wall. " * 9,) * 4,
        clauses=tuple(Clause(f"Clause {n}", "The words of it. " * 12) for n in range(6)),
        acceptance="Accepted as it stands. " * 5,
    )


@pytest.fixture
def drafted(begun, tmp_path):
    """A US shop with a quote for a solid-wood hall bench, not sent yet."""
    (tmp_path / "bench.csv").write_text(
        "id,qty,length,width,grain,material\nA1,6,39,3-1/8,length,ASH\n"
    )
    (tmp_path / "ash.csv").write_text(
        "code,name,kind,unit,price,thickness,length,width\nASH,Ash,lumber,bd ft,7.20,1-1/4,96,6\n"
    )
    return begun(
        ["new", "--shop", "Quillhaven Workshop"],
        ["shop", "set", "overhead_year=22000", "pay_year=56000", "tax_rate=6 %"],
        ["material", "load", "ash.csv"],
        ["job", "new", "Hall bench", "--parts", "bench.csv", "--client", "T. Okafor"],
        ["quote", "draft", "bench", "--price", "2000", "--deliverable", "Delivery=200"],
    )
