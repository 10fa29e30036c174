"""Materials, suppliers and dated prices: what a thing is, and what it costs on a day."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction

from msgspec import Struct

from ledger.book import Book, require_open_day
from ledger.book.questions.numbers import supplier_called
from ledger.book.tables.materials import Material, Price, Supplier
from ledger.measures.chosen import choose
from ledger.measures.length import Length
from ledger.measures.lumber import dressed
from ledger.measures.quantity import Quantity
from ledger.measures.spoken import how_many
from ledger.stock.prices import Noted, current_price, to_note

KINDS = (
    "sheet", "lumber", "edging", "hardware", "fastener", "finish", "adhesive", "abrasive", "supply",
)  # fmt: skip
"""The kinds of material; each has its own markup and its own rule of take-off."""


NO_GRAIN = "none"
"""What the price list says of a sheet that may be cut either way."""

GRADES = {
    "FAS": "FAS", "F1F": "F1F", "selects": "selects", "select": "selects",
    "No. 1": "No. 1", "No. 1 Common": "No. 1", "1 Common": "No. 1", "1C": "No. 1",
    "No. 2A": "No. 2A", "2A": "No. 2A", "No. 2B": "No. 2B", "2B": "No. 2B",
    "S4S": "S4S", "panel": "panel", "edge-glued panel": "panel",
}  # fmt: skip
"""Grades of lumber by what they are called, hardwood grades as the NHLA names them."""


ONE = Quantity(1_000_000)


class MaterialRow(Struct, frozen=True):
    """One line of a price list: the material and, where it says so, its price.

    `taxed` says whether the price has its tax in it; None: as the shop's lists are.
    """

    code: str
    name: str
    kind: str
    unit: str
    pack: Quantity = ONE
    length: Length | None = None
    width: Length | None = None
    thickness: Length | None = None
    grain: str | None = None
    density: Decimal | None = None
    density_source: str | None = None
    coverage: Decimal | None = None
    coverage_source: str | None = None
    allowance: Fraction | None = None
    allowance_on: str | None = None
    whole: bool = False
    by_tally: bool = False
    grade: str = ""
    surfaced: Length | None = None
    composite: bool = False
    note: str = ""
    price: Decimal | None = None
    supplier: str | None = None
    price_day: date | None = None
    price_source: str = ""
    taxed: bool | None = None


_FACTS = [name for name in MaterialRow.__struct_fields__ if name in Material.model_fields]


def materials(book: Book) -> dict[str, Material]:
    """Every material by its code, as it is known now, in the order of codes."""
    latest = {row.code: row for row in book.rows(Material)}
    return dict(sorted(latest.items()))


def find_material(book: Book, text: str) -> Material:
    """The material of that code or name, or of any unambiguous part of one.

    Raises:
        NotFound: nothing answers; the nearest codes and names are offered.
        Ambiguous: several answer.

    """
    return MaterialFinder(book).find(text)


class MaterialFinder:
    """The price list as it stands, read once for all the names of a file."""

    def __init__(self, book: Book) -> None:
        self._known = materials(book)
        self._exact: dict[str, list[Material]] = {}
        for material in self._known.values():
            for name in {material.code.casefold(), material.name.casefold()}:
                self._exact.setdefault(name, []).append(material)

    def find(self, text: str) -> Material:
        """One material, see `find_material`."""
        sought = text.strip().casefold()
        exact = self._exact.get(sought, [])
        if len(exact) == 1:
            return exact[0]
        return choose(
            "material",
            text,
            self._known.values(),
            lambda row: [row.code, row.name],
            lambda row: f"{row.code} ({row.name})",
            if_none="The price list is empty; load yours: benchledger material load FILE",
        )


def post_longer(book: Book, material: Material, length: Length) -> Material:
    """Post a material once more with boards of another length."""
    facts = {name: getattr(material, name) for name in _FACTS}
    return book.post(Material(**(facts | {"length": length})))


def dressed_to(material: Material) -> Length | None:
    """How thick a board of the material ends: as it comes surfaced, else as it is flattened.

    What is thinner than flattening takes off is used as it comes.
    """
    if material.surfaced is not None or material.thickness is None:
        return material.surfaced
    ends = dressed(material.thickness.nm)
    return Length(ends) if ends > 0 else material.thickness


def supplier_names(book: Book) -> dict[int, str]:
    """Every supplier's name by its row's number, also of those named by an entry taken back."""
    return dict(book.query("SELECT id, name FROM supplier"))


def supplier_named(book: Book, name: str) -> int:
    """The row's number of the supplier of that name, made inside the entry under way where new.

    A supplier's row holds the name alone, so it serves also where the entry that first said it was
    taken back.
    """
    sought = name.strip()
    known = supplier_called(book, sought)
    return book.post(Supplier(name=sought)).key if known is None else known


def save_materials(book: Book, rows: Sequence[MaterialRow]) -> tuple[int, int]:
    """Post what is new or changed in a price list; give back how many materials and prices.

    A material that stands in the book just so, and a price that is the current one already, are
    not posted again: loading a list twice changes nothing.
    """
    known = materials(book)
    counts = [0, 0]
    with book.entry("material load", how_many(len(rows), "line")):
        for row in rows:
            values = {name: getattr(row, name) for name in _FACTS}
            old = known.get(row.code)
            if old is None or any(getattr(old, name) != value for name, value in values.items()):
                book.post(Material(**values))
                counts[0] += 1
            counts[1] += _save_price(book, row)
    return counts[0], counts[1]


def _save_price(book: Book, row: MaterialRow) -> int:
    if row.price is None:
        return 0
    day = row.price_day or book.today
    noted = to_note(book, row.price, included=row.taxed)
    current = current_price(book, row.code, day)
    known = Noted(current.noted, current.tax) if current and current.day == day else None
    if known == noted:
        return 0
    _post_price(book, row.code, noted, row.supplier, day, row.price_source)
    return 1


def set_price(
    book: Book,
    code: str,
    price: Noted | Decimal,
    *,
    supplier: str | None = None,
    day: date | None = None,
    source: str = "",
) -> Price:
    """Post the price of one stock unit from a day on (today if none is said).

    A bare amount is before tax or with it as the shop's lists are.

    Raises:
        NotAllowed: the day lies in the future or in a closed month.

    """
    noted = price if isinstance(price, Noted) else to_note(book, price)
    with book.entry("material price", f"{code} {noted.amount}"):
        return _post_price(book, code, noted, supplier, day or book.today, source)


def _post_price(
    book: Book, code: str, noted: Noted, supplier: str | None, day: date, source: str
) -> Price:
    """Post a price inside the entry under way."""
    row = Price(
        material=code,
        supplier=supplier_named(book, supplier) if supplier else None,
        day=require_open_day(book, day),
        amount=noted.amount,
        source=source,
        tax_rate=noted.tax_rate or Fraction(0),
        with_tax=noted.tax_rate is None,
    )
    return book.post(row)
