"""Lines of work and material as they are typed: "take apart 72, assemble 72, call-out 1"."""

import re
from collections.abc import Iterable, Sequence

from msgspec import Struct

from ledger.book import Book
from ledger.book.tables.counts import JobLine
from ledger.book.tables.ground import Job
from ledger.errors import BadValue
from ledger.jobs.lines import WORK, add_use, add_work, lines_of
from ledger.labor.standards import find_operation, is_service, names_of, standards
from ledger.measures.duration import parse_duration
from ledger.measures.quantity import Quantity, parse_quantity
from ledger.measures.units import unit_or_none
from ledger.stock.materials import find_material, materials
from ledger.stock.purchase import stock_quantity

_BETWEEN = re.compile(r"\s*(?:;|,(?!\d))\s*")
AMOUNT = re.compile(r"[0-9½¼¾⅓⅔.]")
"""How a word begins that is an amount."""

_HOURS = re.compile(r"(?:h|hr|hrs|hours?|m|min|mins|minutes?)", re.IGNORECASE)
_MORE_TIME = re.compile(r"[0-9]{1,2} ?(?:m|min|mins|minutes?)", re.IGNORECASE)


class TypedLine(Struct, frozen=True):
    """What was typed of one line: the name, the amount as text, and what follows as a note."""

    name: str
    amount: str
    rest: tuple[str, ...]


def items(text: str) -> list[str]:
    """The items of a list that commas part; a comma inside a number parts nothing.

    >>> items("take apart 72, repair 1,5; protect 6")
    ['take apart 72', 'repair 1,5', 'protect 6']
    """
    return [part for part in _BETWEEN.split(text.strip()) if part]


_WORK = "“repair 3h” or “assemble 12”."


def read_typed(words: Sequence[str], example: str = _WORK) -> TypedLine:
    """Words as a name, the first amount behind it, and the rest; `example` is such a line.

    Raises:
        BadValue: there is no name, or no amount.

    >>> read_typed(["take", "apart", "72", "seat", "rails"])
    TypedLine(name='take apart', amount='72', rest=('seat', 'rails'))
    >>> read_typed(["repair", "2", "h", "30m"])
    TypedLine(name='repair', amount='2 h 30m', rest=())
    """
    parts = [part for word in words for part in word.split()] if len(words) == 1 else list(words)
    start = next((at for at, part in enumerate(parts) if at and AMOUNT.match(part)), 0)
    if not start:
        lacks = "no name before the amount" if parts and AMOUNT.match(parts[0]) else "no amount"
        raise BadValue(f"“{' '.join(parts)}” says {lacks}; write for example {example}")
    end = start + 1
    while end < len(parts) and (_HOURS.fullmatch(parts[end]) or _MORE_TIME.fullmatch(parts[end])):
        end += 1
    amount = " ".join(parts[start:end]).rstrip(",")
    return TypedLine(" ".join(parts[:start]), amount, tuple(parts[end:]))


def is_line(words: Sequence[str]) -> bool:
    """Whether words are just a name and an amount, as a line is and hardly a note.

    >>> is_line(["sand", "4"]), is_line(["rails", "of", "6", "chairs"]), is_line(["seat", "rail"])
    (True, False, False)
    """
    has_amount = any(AMOUNT.match(word) for word in words[1:])
    return has_amount and not AMOUNT.match(words[0]) and not read_typed(words).rest


def count_or_minutes(book: Book, amount: str) -> tuple[Quantity | None, int]:
    """An amount of work: a bare number is a count, a number of hours or minutes a duration.

    Raises:
        BadValue: it is neither.
    """
    if not any(letter.isalpha() or letter in ":'" for letter in amount):
        return parse_quantity(amount, book.currency.decimal_mark), 0
    return None, parse_duration(amount, longest=60 * 1000)


def add_typed_work(
    book: Book, job: Job, words: Sequence[str], note: str = "", *, beside: Iterable[str] = ()
) -> JobLine:
    """Post one line of work as it was typed; `beside` are the names typed along with it."""
    typed = read_typed(words)
    operation = find_operation(book, typed.name, is_repair=_is_repair(book, job, beside))
    count, minutes = count_or_minutes(book, typed.amount)
    return add_work(
        book, job, operation, count=count, minutes=minutes, words=note or " ".join(typed.rest)
    )


def _is_repair(book: Book, job: Job, beside: Iterable[str]) -> bool:
    """Whether a service is among the lines of a job, or among the names typed with one."""
    known = standards(book)
    if any(is_service(known[line.name]) for line in lines_of(book, job, WORK)):
        return True
    named = {name.strip().casefold() for name in beside}
    return any(is_service(row) and not named.isdisjoint(names_of(row)) for row in known.values())


def add_typed_use(book: Book, job: Job, words: Sequence[str], note: str = "") -> JobLine:
    """Post material used as it was typed, in its stock unit, one that turns into it, or in packs.

    Raises:
        BadValue: the unit is of another kind than the material's, or it has no pack size.
    """
    known = [one.code for one in materials(book).values() if one.kind == "adhesive"]
    priced = f"benchledger job add-cost {job.number} other 1 14.50 --note cane"
    example = f"“{(known or ['GLUE'])[0]} 2”, a name or code of your price list"
    typed = read_typed(words, f"{example}. What is not in it has a price of its own: {priced}")
    material = find_material(book, typed.name)
    quantity = parse_quantity(typed.amount, book.currency.decimal_mark)
    rest = list(typed.rest)
    if rest and (named := unit_or_none(rest[0])):
        quantity = stock_quantity(material, quantity, named)
        rest = rest[1:]
    return add_use(book, job, material.code, quantity, note or " ".join(rest))


def add_typed(book: Book, job: Job, work: Sequence[str], uses: Sequence[str]) -> None:
    """Post lists of work and of material as they were typed, in one entry.

    Raises:
        BadValue: behind an item stands what may be a further one.
    """
    for item in (item for text in (*work, *uses) for item in items(text)):
        line = read_typed([item])
        if is_line(line.rest):
            first, more = f"{line.name} {line.amount}", " ".join(line.rest)
            raise BadValue(
                f"“{more}” stands behind an item and may be a further one; part them by a comma:"
                f" “{first}, {more}”. A note is typed with its line: benchledger job line"
                f' JOB {first} --note "{more}"'
            )
    with book.entry("job line", f"{job.number} {' '.join((*work, *uses))}"):
        typed = [item for text in work for item in items(text)]
        names = [read_typed([item]).name for item in typed]
        for item in typed:
            add_typed_work(book, job, [item], beside=names)
        for text in uses:
            for item in items(text):
                add_typed_use(book, job, [item])
