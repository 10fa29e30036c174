"""The pieces on the offcut rack, as layouts try them before a new sheet."""

from datetime import date

from msgspec import Struct

from ledger.book import Book
from ledger.book.questions.stock import rack_lots
from ledger.book.tables.stock import Lot
from ledger.measures.fields import made_of
from ledger.measures.length import Length
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity

PIECE = Quantity(1_000_000)
"""One piece: the quantity of its lot."""


class RackPiece(Struct, frozen=True):
    """A piece on the rack: a lot of its own, with what it charges to the job that takes it."""

    lot: int
    material: str
    length: Length
    width: Length
    thickness: Length | None
    full: Money
    cash: Money
    day: date
    factory_edges: str = ""

    @classmethod
    def of_lot(cls, lot: Lot) -> "RackPiece | None":
        """The piece that a lot is, None where it has no size."""
        if lot.material is None or lot.length is None or lot.width is None:
            return None
        return made_of(cls, lot, lot=lot.key)

    @property
    def label(self) -> str:
        """What the piece is marked with on the rack and in layouts."""
        return f"lot {self.lot}"


def rack(book: Book, material: str | None = None) -> list[RackPiece]:
    """The pieces on the rack now, of one material or of all, the oldest first."""
    lots = (book.row(Lot, number) for number in rack_lots(book, material))
    pieces = (RackPiece.of_lot(lot) for lot in lots if lot is not None)
    return [piece for piece in pieces if piece is not None]
