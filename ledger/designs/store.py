"""Designs in the book: one numbered version after another under a name, each whole and unchanged.

A design is kept as canonical JSON (sorted keys, no spaces), so that equal designs are equal texts
and a version's digest says whether anything changed. `SCHEMA` is the number of the newest form:
form 2 names what is carried by itself, form 3 closing sums and sub-assemblies (their rows written
out, so that no later version of one moves a design that has it), form 4 how parts are shaped,
joined and fitted, form 5 which are cut later, form 6 steps and corrections of a plan, form 7 of
which parts nothing says what gets finish, form 8 the sizes of joints. A
design that names nothing of it is kept in the form that it needs, so that it stays the same text as
ever.
"""

import hashlib
from collections.abc import Mapping

from ledger.book import Book
from ledger.book.tables.designs import DesignVersion
from ledger.book.tables.ground import Job
from ledger.designs.corrections import require_earlier
from ledger.designs.model import Design, Joint, Need, Part
from ledger.errors import BadValue, BookTrouble, NotAllowed, NotFound
from ledger.measures.chosen import choose
from ledger.measures.frozen import canonical, is_default, read_json, thaw

SCHEMA = 8
_SINCE: Mapping[type, Mapping[str, int]] = {
    Design: {"carried": 2, "checks": 3, "blocks": 3, "plan": 6, "steps": 6, "corrections": 6},
    Part: {"carried": 2, "shaped": 4, "tapers": 4, "joined": 4, "sanded": 4, "later": 5},
    Need: {"minutes": 4},
    Joint: {"sizes": 8},
}
"""The form since which a field is written; a form lacks all fields of later ones."""


def to_json(design: Design) -> str:
    """The canonical text of a design: equal designs give equal texts."""
    form = schema_of(design)
    lacking = {
        kind: {name for name, since in names.items() if since > form}
        for kind, names in _SINCE.items()
    }
    return canonical(design, lacking, in_ascii=False)


def schema_of(design: Design) -> int:
    """The number of the form in which a design is kept: the oldest that has all its fields."""
    rows = (design, *design.parts, *design.needs, *design.joints)
    forms = [
        since
        for row in rows
        for name, since in _SINCE[type(row)].items()
        if not is_default(row, name)
    ]
    unsaid = any(part.faces is None for part in design.parts)
    return max([7 if unsaid else 1, *forms])


def from_json(text: str, schema: int = SCHEMA) -> Design:
    """The design of a canonical text.

    Raises:
        BookTrouble: the text is of a form that this program does not know, or is no design.

    """
    if schema > SCHEMA:
        raise BookTrouble(f"This design was kept by a newer program (form {schema}, not {SCHEMA}).")
    try:
        return thaw(Design, read_json(text), exact=True)
    except BadValue as wrong:
        raise BookTrouble(f"A design kept in the book does not read as one ({wrong}).") from wrong


def designs(book: Book) -> dict[str, DesignVersion]:
    """The newest version of every design of the library, by its name.

    A job's own parts list stands under the job's number; it is no design of the library.
    """
    own = {job.number for job in book.rows(Job)}
    return {name: row for name, row in _newest(book).items() if name not in own}


def _newest(book: Book) -> dict[str, DesignVersion]:
    newest = {row.name: row for row in book.rows(DesignVersion)}
    return dict(sorted(newest.items()))


def versions(book: Book, name: str) -> list[DesignVersion]:
    """All versions of the design of that name or unambiguous part of it, oldest first."""
    return book.rows(DesignVersion, name=_find(book, name).name)


def save_design(book: Book, design: Design, errata: str = "") -> DesignVersion:
    """Post a design as the next version of its name; an unchanged one is not posted again.

    `errata` says what the new version puts right; a first version needs none, and further
    corrections in the design say it themselves.

    Raises:
        NotAllowed: the design changed and nothing says why, or a correction is of no older version.

    """
    body = to_json(design)
    digest = hashlib.sha256(body.encode()).hexdigest()
    last = book.last(DesignVersion, name=design.name)
    if last is not None and last.digest == digest:
        return last
    number = last.version + 1 if last else 1
    require_earlier(design, number)
    if last is not None and not errata.strip():
        further = [row for row in design.corrections if row not in design_of(last).corrections]
        errata = " ".join(row.right for row in further)
    if last is not None and not errata.strip():
        differs = f"{design.name} differs from its version {last.version}"
        raise NotAllowed(f"{differs}; say what was changed and why: --errata TEXT")
    with book.entry("design load", f"{design.name} version {number}"):
        row = DesignVersion(
            name=design.name,
            version=number,
            title=design.title,
            errata=errata.strip(),
            schema_number=schema_of(design),
            body=body,
            digest=digest,
        )
        return book.post(row)


def find_version(book: Book, name: str, version: int | None = None) -> DesignVersion:
    """The newest version of a design, or the numbered one.

    Raises:
        NotFound: no design has that name or part of it, or it has no such version.
        Ambiguous: several have it.

    """
    newest = _find(book, name)
    if version is None or version == newest.version:
        return newest
    older = book.last(DesignVersion, name=newest.name, version=version)
    if older is None:
        known = [str(row.version) for row in versions(book, newest.name)]
        raise NotFound(f"version of {newest.name}", str(version), known)
    return older


def load_version(book: Book, key: int) -> tuple[DesignVersion, Design]:
    """The version of that row number, as a job's basis keeps it, and its design.

    Raises:
        BookTrouble: the book has no such row.

    """
    row = book.row(DesignVersion, key)
    if row is None:
        raise BookTrouble(f"The book names a design version {key} that it does not have.")
    return row, design_of(row)


def design_of(row: DesignVersion) -> Design:
    """The design that a version keeps."""
    return from_json(row.body, row.schema_number)


def _find(book: Book, name: str) -> DesignVersion:
    sought = name.strip().casefold()
    exact = [row for row in _newest(book).values() if sought == row.name.casefold()]
    none = "There is no design yet; load one: benchledger design load FOLDER"
    return choose("design", name, exact or designs(book).values(),
                  lambda row: [row.name, row.title], if_none=none)  # fmt: skip
