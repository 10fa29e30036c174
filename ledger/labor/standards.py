"""Operations and their standards of time: the starting set, and how an operation is named.

A standard is set-up minutes plus minutes for each unit of a driver that comes from the parts list:
hours follow counts and lengths, not the price of a piece. The starting numbers are *common
practice, no source*: one experienced person, hobby-size machines. The shop's own hours correct
them (`ledger.labor.learning`). An operation belongs to a group, which may be logged as a whole.
"""

import re
from collections.abc import Callable, Container, Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

from msgspec import Struct

from ledger.book import Book
from ledger.book.tables.operations import Operation, OperationMark
from ledger.errors import Ambiguous, BadValue, NotAllowed, NotFound
from ledger.measures.rounding import half_up, trimmed
from ledger.measures.spoken import how_many

_METRIC: Mapping[str, tuple[str, Fraction]] = {
    "ft": ("m", Fraction(3048, 10_000)),
    "sq ft": ("m²", Fraction(3048, 10_000) ** 2),
    "bd ft": ("m³", Fraction(254, 10_000) ** 3 * 144),
    "in": ("cm", Fraction(254, 100)),
}
"""Units of the starting standards in a millimeter book, and how much of them one inch unit is."""

CODE = re.compile(r"[A-Z0-9]{2,6}")

_FACTS = [name for name in Operation.model_fields if name not in {"id", "entry"}]


class Group(Struct, frozen=True):
    """Operations that are often done, and logged, in one go."""

    name: str
    words: str
    spoken: tuple[str, ...]


GROUPS: dict[str, Group] = {
    group.name: group
    for group in (
        Group("office", "office", ("desk", "office work")),
        Group("cutting", "cutting", ("cut", "cuts", "saw", "sawing")),
        Group("edging", "edging", ("edges",)),
        Group("joinery", "joinery", ("joints", "join")),
        Group("assembly", "assembly", ("put together",)),
        Group("finish", "finish", ("finishing",)),
        Group("out_of_shop", "out of shop", ("out", "site", "on site")),
    )
}
"""The groups of operations by name."""


def load_starting_standards(book: Book) -> int:
    """Post the starting standards that the book does not have yet; give back how many."""
    return len(load_lacking_standards(book))


def load_lacking_standards(book: Book) -> list[str]:
    """Post the starting standards that the book does not have yet; give back their codes.

    Words that name an operation of the shop's own already stay with it.
    """
    known = standards(book)
    taken = {name for row in known.values() for name in names_of(row)}
    fresh = [
        _with_free_words(row, taken)
        for row in starting_standards(metric=book.units == "mm")
        if row.code not in known and not {row.code.casefold(), row.name.casefold()} & taken
    ]
    if fresh:
        with book.entry("standards load", f"{len(fresh)} starting standards"):
            for row in fresh:
                book.post(row)
    return [row.code for row in fresh]


def _with_free_words(row: Operation, taken: Container[str]) -> Operation:
    """A starting standard without the spoken words that are taken."""
    words = [word for word in spoken_words(row) if word.casefold() not in taken]
    if len(words) < len(spoken_words(row)):
        row.spoken = ", ".join(words)
    return row


def starting_standards(*, metric: bool = False) -> list[Operation]:
    """The starting standards as rows that are not posted, in the book's kind of units."""
    import csv  # with `resources`, for a new book only: an entry of hours does without them
    from importlib import resources

    page = (resources.files("ledger.labor") / "standards.csv").read_text(encoding="utf-8")
    return [_operation(line, metric=metric) for line in csv.DictReader(page.splitlines())]


def metric_minutes(unit: str, minutes: Decimal) -> tuple[str, Decimal]:
    """A standard in inch units as a millimeter book has it: its unit and the minutes of one.

    >>> metric_minutes("sq ft × coat", Decimal("1.0"))
    ('m² × coat', Decimal('10.76'))
    >>> metric_minutes("joint", Decimal(18))
    ('joint', Decimal('18'))
    """
    measure, mark, per = unit.partition(" × ")
    if measure not in _METRIC:
        return unit, minutes
    name, size = _METRIC[measure]
    return f"{name}{mark}{per}", trimmed(half_up(Fraction(minutes) / size, 2))


def _operation(line: dict[str, str], *, metric: bool) -> Operation:
    unit, minutes = line["unit"], Decimal(line["minutes"])
    if metric:
        unit, minutes = metric_minutes(unit, minutes)
    values: dict[str, Any] = line | {
        "unit": unit,
        "minutes": minutes,
        "setup": Decimal(line["setup"]),
        "helper_share": Fraction(line["helper_share"]),
    }
    return Operation(**values)


def standards(book: Book) -> dict[str, Operation]:
    """The standards in force by code, in the order of the work."""
    latest = {row.code: row for row in book.rows(Operation)}
    order = list(GROUPS)
    return dict(sorted(latest.items(), key=lambda item: order.index(item[1].group)))


def has_helper(book: Book) -> bool:
    """Whether the shop has a helper: an hour of one costs something, or is billed at something."""
    return bool(book.settings.helper_cost or book.settings.helper_billed)


def staffed(book: Book) -> dict[str, Operation]:
    """The standards as this shop works them: without a helper every hour is the owner's.

    A helper's part at no rate would stand in a price at nothing.
    """
    known = standards(book)
    if has_helper(book):
        return known
    return {
        code: like(row, helper_share=Fraction(0)) if row.helper_share else row
        for code, row in known.items()
    }


def like(operation: Operation, **changes: Any) -> Operation:
    """An operation with some of its facts changed, not posted."""
    return Operation(**{name: getattr(operation, name) for name in _FACTS} | changes)


def set_standard(book: Book, operation: Operation, **changes: Any) -> Operation:
    """Post an operation's standard with some of its facts changed; estimates from now on use it.

    Raises:
        BadValue: minutes or set-up are negative.
        NotAllowed: a word it is to answer to already stands for another, or for a group.
    """
    values = {name: getattr(operation, name) for name in _FACTS} | changes
    if min(values["minutes"], values["setup"]) < 0:
        raise BadValue("Minutes of a standard are zero or more.")
    changed = Operation(**values)
    others = [row for row in standards(book).values() if row.code != operation.code]
    _require_own_names(changed, others)
    words = " ".join(f"{name}={value}" for name, value in changes.items())
    with book.entry("standards set", f"{operation.code} {words}"):
        return book.post(changed)


def add_operation(book: Book, operation: Operation) -> Operation:
    """Post an operation of the shop's own, with its standard.

    Raises:
        BadValue: its code is none, it has no unit, or its minutes are negative.
        NotFound: its driver is none.
        NotAllowed: its code, its name or a word of it already stands for another, or for a group.

    """
    from ledger.designs.model import DRIVERS  # here, for an entry of hours does without designs

    if not CODE.fullmatch(operation.code):
        raise BadValue(
            f"“{operation.code}” is no code; take two to six capitals or digits, such as CRW."
        )
    if operation.driver and operation.driver not in DRIVERS:
        raise NotFound("driver", operation.driver, DRIVERS, are_all=True)
    if not operation.unit or min(operation.minutes, operation.setup) < 0:
        raise BadValue("A standard is minutes of zero or more for a unit, as 12 for a motif.")
    _require_own_names(operation, standards(book).values())
    with book.entry("standards add", f"{operation.code} {operation.name}"):
        return book.post(operation)


def save_standards(book: Book, rows: Sequence[Operation]) -> list[Operation]:
    """Post a shop's own standards, new operations and changed ones, in one entry; give them back.

    What stands in the book just so is not posted again. What an operation learned stays, for it is
    known by its code.

    Raises:
        NotAllowed: a word of one stands for another, or for a group.
    """
    known = standards(book)
    after = known | {row.code: row for row in rows}
    for row in rows:
        _require_own_names(row, [one for one in after.values() if one.code != row.code])
    changed = [
        row
        for row in rows
        if row.code not in known
        or any(getattr(known[row.code], name) != getattr(row, name) for name in _FACTS)
    ]
    if changed:
        with book.entry("standards load", how_many(len(changed), "standard")):
            return [book.post(row) for row in changed]
    return []


def set_mark(book: Book, operation: Operation, day: date, words: str = "") -> None:
    """Learn an operation afresh from a day on: a new machine, another way of working.

    Raises:
        NotAllowed: the day lies in the future.
    """
    if day > book.today:
        raise NotAllowed(f"{day} lies in the future; a mark is set on a day up to {book.today}.")
    with book.entry("standards mark", f"{operation.code} {day} {words}".strip()):
        book.post(OperationMark(operation=operation.code, day=day, words=words))


def find_operation(book: Book, text: str, *, is_repair: bool = False) -> Operation:
    """The operation of that code, name or spoken word, or of any unambiguous part of them.

    Of a repair a word for a service and for another operation means the service.

    Raises:
        NotFound: nothing answers; the nearest names are offered.
        Ambiguous: several answer.

    """
    known = standards(book)
    services = [row for row in _exact(known.values(), text.strip().casefold()) if is_service(row)]
    return services[0] if is_repair and services else choose_operation(known, text)


def is_service(operation: Operation) -> bool:
    """Whether it is work on what is there already: a repair, a call at the client's."""
    return operation.stage == "service"


def find_operation_or_group(
    book: Book, text: str, estimated: Callable[[], Container[str]] = frozenset
) -> Operation | Group:
    """The operation or group of that name; an exact operation wins, then an exact group.

    A word that fits several operations means the one of them that is among those `estimated`,
    which is asked only then.

    Raises:
        NotFound: nothing answers; the nearest names are offered.
        Ambiguous: several answer.

    """
    known = standards(book)
    sought = text.strip().casefold()
    group = _group_called({sought})
    if group and not _exact(known.values(), sought):
        return group
    return _estimated_one(known.values(), sought, estimated) or choose_operation(known, text)


def _estimated_one(
    known: Iterable[Operation], sought: str, estimated: Callable[[], Container[str]]
) -> Operation | None:
    """The one estimated operation among several that a word fits; none for a code or a name.

    Raises:
        Ambiguous: several estimated ones fit, and the word is only that of one not estimated, or
            names a step of one and is only a spoken word of another.
    """
    begins = re.compile(rf"\b{re.escape(sought)}") if sought else None
    exact = _exact(known, sought)
    fitting = [
        row for row in known if row in exact or (begins and begins.search(_spoken_words(row)))
    ]
    is_named = any(sought in (row.code.casefold(), row.name.casefold()) for row in fitting)
    if is_named or len(fitting) < 2:
        return None
    codes = estimated()
    among = [row for row in fitting if row.code in codes]
    spaced = sought.replace("-", " ")
    step = re.compile(rf"(?:^|[&,:] ){re.escape(spaced)}\b")
    meant, steps = exact, [row for row in among if step.search(_spaced(row))]
    is_other_step = steps and not any(spaced in _spaced(row) for row in meant)
    if len(among) > 1 and (is_other_step or any(row not in among for row in meant)):
        raise Ambiguous("operation of its estimate", sought, _listed(among))
    return among[0] if len(among) == 1 else None


def _listed(rows: Iterable[Operation]) -> list[str]:
    return [f"{row.code} ({row.name})" for row in rows]


def find_group(text: str) -> Group:
    """The group of that name or word.

    Raises:
        NotFound: nothing answers; the groups are listed.

    """
    group = _group_called({text.strip().casefold()})
    if group is None:
        raise NotFound("group", text, [one.words for one in GROUPS.values()], are_all=True)
    return group


def choose_operation(known: Mapping[str, Operation], text: str) -> Operation:
    """Find an operation among those given, as `find_operation` does.

    Raises:
        NotFound: nothing answers; the nearest names are offered.
        Ambiguous: several answer.

    """
    sought = text.strip().casefold()
    matches = _exact(known.values(), sought)
    if not matches and sought:
        # Only from the beginning of a word: "sing" is a slip of "sand", not the end of "closing".
        begins = re.compile(rf"\b{re.escape(sought)}")
        matches = [row for row in known.values() if begins.search(_spoken_words(row))]
    if len(matches) == 1:
        return matches[0]
    if matches:
        raise Ambiguous("operation", text, _listed(matches))
    words = [word for row in known.values() for word in spoken_words(row)]
    groups = [group.words for group in GROUPS.values()]
    raise NotFound("operation", text, [*known, *words, *groups])


def spoken_words(operation: Operation) -> list[str]:
    """The words by which an operation is named at the bench."""
    return [word.strip() for word in operation.spoken.split(",") if word.strip()]


def _exact(known: Iterable[Operation], sought: str) -> list[Operation]:
    """The operations of that name, and the service counted in what is another's name: a visit."""
    named = [row for row in known if sought in names_of(row)]
    return [
        row for row in known if row in named or (named and is_service(row) and row.unit == sought)
    ]


def names_of(operation: Operation) -> set[str]:
    """Code, name and spoken words of an operation, in small letters."""
    words = (operation.code, operation.name, *spoken_words(operation))
    return {word.casefold() for word in words}


def _group_called(words: set[str]) -> Group | None:
    return next(
        (one for one in GROUPS.values() if words & {one.name, one.words, *one.spoken}), None
    )


def _require_own_names(operation: Operation, others: Iterable[Operation]) -> None:
    """Check that no word of an operation stands for another, or for a group."""
    words = names_of(operation)
    for row in others:
        if words & names_of(row):
            raise NotAllowed(
                f"{row.code} {row.name} already exists; change it with: "
                f"benchledger standards set {row.code}"
            )
    group = _group_called(words)
    if group:
        raise NotAllowed(f"There is a group {group.words} already; take another word.")


def _spaced(operation: Operation) -> str:
    return operation.name.casefold().replace("-", " ")


def _spoken_words(operation: Operation) -> str:
    return f"{operation.code}\n{operation.name}\n{operation.spoken}".casefold()
