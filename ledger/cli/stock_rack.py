"""The offcut rack on the command line: `stock offcuts`, `stock keep`."""

import re
from collections.abc import Sequence

from ledger.book import Book
from ledger.cli import voice
from ledger.cli.opened import open_shop
from ledger.errors import BadValue
from ledger.jobs.jobs import find_job
from ledger.measures.length import parse_size, show_length
from ledger.measures.money import total
from ledger.measures.spoken import how_many
from ledger.stock.materials import find_material
from ledger.stock.offcuts import OffcutSize, keep_offcuts, rack


def list_rack(material: str, *, as_json: bool) -> None:
    """Show the pieces on the rack."""
    with open_shop() as book:
        code = find_material(book, material).code if material else None
        pieces = rack(book, code)
        units, currency = book.units, book.currency
    if as_json:
        voice.print_json(
            [
                {
                    "lot": piece.lot,
                    "material": piece.material,
                    "length_mm": str(piece.length.mm),
                    "width_mm": str(piece.width.mm),
                    "full": str(currency.decimal(piece.full)),
                    "cash": str(currency.decimal(piece.cash)),
                    "day": piece.day.isoformat(),
                }
                for piece in pieces
            ]
        )
        return
    voice.table(
        [("lot", "right"), "material", ("length", "right"), ("width", "right"), ("full", "right"),
         ("cash", "right"), "since"],
        [
            [str(p.lot), p.material, show_length(p.length, units), show_length(p.width, units),
             currency.show(p.full), currency.show(p.cash), str(p.day)]
            for p in pieces
        ],
    )  # fmt: skip


def keep(job: str, material: str, sizes: Sequence[str], on: str) -> None:
    """Put a job's leftovers on the rack."""
    with open_shop() as book:
        chosen = find_job(book, job)
        code = find_material(book, material).code
        pieces = [_piece(book, size) for size in sizes]
        kept = keep_offcuts(book, chosen.key, code, pieces, day=book.dates.read(on))
        credit = book.currency.show(total(lot.full for lot in kept))
    count = how_many(len(kept), "piece")
    voice.say(f"{code}: {count} on the rack, {credit} back to {chosen.number}.")
    if len(kept) < len(pieces):
        voice.note(f"{len(pieces) - len(kept)} below the threshold of the shop are left out.")


def _piece(book: Book, text: str) -> OffcutSize:
    sizes = [size for size in re.split("[x×]", text) if size.strip()]
    if len(sizes) != 2:
        raise BadValue(f"“{text}” should be length x width, for example 95-1/2x15-11/16")
    length, width = (parse_size(size, book.units) for size in sizes)
    return OffcutSize(length, width)
