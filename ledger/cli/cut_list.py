"""`design load` of a plain cut list: its materials found, its sizes fixed as a design."""

import re
from collections.abc import Mapping, Sequence
from pathlib import Path

from ledger.book import Book
from ledger.book.headings import headings_of, remember_headings
from ledger.book.tables.materials import Material
from ledger.cli import voice
from ledger.cli.answers import answered, can_ask
from ledger.cli.headings import read_asking
from ledger.designs.model import Design, Part
from ledger.errors import BadFile, BadValue, Fault
from ledger.measures.length import Length, show_length
from ledger.measures.spoken import how_many
from ledger.stock.matching import match_material
from ledger.workbooks.readers.cut_list import CutList, CutListRow, read_cut_list

MATERIALS = "material of cut lists"
"""The kind under which names of materials are remembered."""

type Named = tuple[str, Length | None]


def cut_list_design(
    book: Book,
    path: Path,
    known: Mapping[str, Material],
    *,
    units: str = "",
    columns: Sequence[str] | None = None,
    named: Sequence[str] | None = None,
) -> Design:
    """A cut list as a design with fixed sizes; what its materials are called is asked once.

    `named` are materials by the names of the list, `NAME=CODE`.

    Raises:
        BadFile: with everything that is wrong in it, and the names that no material answers to.
        BadValue: the units or a named material are none.

    """
    units = units or book.units
    if units not in {"inch", "mm"}:
        raise BadValue(f"--units is inch or mm; not “{units}”.")
    cuts = read_asking(
        book, "cut list", columns, lambda headings: read_cut_list(path, units, headings)
    )
    codes = _materials(book, cuts, known, dict(_pair(text, known) for text in named or []))
    edging = _edging(cuts, known, headings_of(book, MATERIALS))
    voice.note(*cuts.notes)
    stem = path.stem.strip()
    name = re.sub(r"[^a-z0-9]+", "-", stem.casefold()).strip("-") or "cut-list"
    parts = tuple(
        _part(row, known[codes[row.material, row.thickness]], edging) for row in cuts.rows
    )
    return Design(name, stem.replace("_", " ").capitalize(), book.units, parts=parts)


def open_items(design: Design) -> str:
    """What a cut list leaves open, as a sentence with the way to fill it in."""
    lists = {
        "joints": design.joints,
        "banded edges": any(part.banded for part in design.parts),
        "faces and coats of finish": design.finish,
        "hardware and supplies": design.needs,
        "meetings, delivery and installation": design.counts,
    }
    names = [name for name, there in lists.items() if not there]
    return (
        f"Open items, which no cut list says and no price has yet: {', '.join(names)}. Fill them"
        f" in: benchledger design template FILE.xlsx --of {design.name}"
    )


def _part(row: CutListRow, material: Material, edging: str) -> Part:
    is_solid = material.kind == "lumber" and row.thickness is not None
    return Part(
        id=row.id,
        name=row.name,
        quantity=str(row.quantity),
        length=_fixed(row.length),
        width=_fixed(row.width),
        material=material.code,
        thickness=_fixed(row.thickness) if is_solid and row.thickness else "",
        grain=row.grain,
        faces=row.faces,
        banded=row.banded if edging else (),
        edging=edging if row.banded else "",
        note=row.note,
    )


def _fixed(length: Length) -> str:
    """A length that reads back the same."""
    on_tape = (length.inches * 64).denominator == 1
    return show_length(length, "inch", suffix=True) if on_tape else f"{length.mm:f} mm"


def _edging(cuts: CutList, known: Mapping[str, Material], remembered: Mapping[str, str]) -> str:
    """The edging of the list's banded edges: the only one there is, or the one that was named."""
    banded = sum(1 for row in cuts.rows if row.banded)
    codes = [one.code for one in known.values() if one.kind == "edging"]
    named = remembered.get("edging", codes[0] if len(codes) == 1 else "")
    if banded and named in known:
        voice.note(f"Banded edges: taken as {_shown(known[named])}.")
    elif banded:
        which = f" ({', '.join(codes)})" if codes else ", and your price list has none"
        voice.warn(
            f"{how_many(banded, 'line')} with banded edges: the edging is not said{which}, so they"
            ' are left out. Say it: --material "edging=CODE"'
        )
        return ""
    return named if banded else ""


def _pair(text: str, known: Mapping[str, Material]) -> tuple[str, str]:
    name, mark, code = text.rpartition("=")
    if not mark or code.strip() not in known:
        raise BadValue(f"“{text}” should read NAME=CODE, with a code of your price list.")
    return name.strip().casefold(), code.strip()


def _materials(
    book: Book, cuts: CutList, known: Mapping[str, Material], new: dict[str, str]
) -> dict[Named, str]:
    """The material's code for each name and thickness of the list: matched, asked or refused."""
    chosen: dict[Named, str] = {}
    remembered = {**headings_of(book, MATERIALS), **new}
    faults: list[Fault] = []
    for row in cuts.rows:
        wanted = (row.material, row.thickness)
        if wanted in chosen:
            continue
        match = match_material(row.material, row.thickness, known.values())
        spoken = _spoken(row, book.units)
        by_name = remembered.get(row.material.casefold(), "")
        code = remembered.get(spoken.casefold(), by_name)
        if code in known:
            chosen[wanted] = code
        elif match.is_sure:
            chosen[wanted] = match.materials[0].code
            voice.note(f"{spoken}: taken as {_shown(match.materials[0])}.")
        elif can_ask() and match.materials:
            new[spoken.casefold()] = chosen[wanted] = _asked(spoken, match.materials, known)
        else:
            chosen[wanted] = ""
            faults.append(Fault(row.where, _unknown(spoken, match.materials)))
    if faults:
        raise BadFile(faults)
    remember_headings(book, MATERIALS, "", new)
    return chosen


def _spoken(row: CutListRow, units: str) -> str:
    """What a list calls a material: its name with the thickness."""
    thick = show_length(row.thickness, units, suffix=True) if row.thickness else ""
    return " ".join(filter(None, (row.material, thick))) or "no material"


def _shown(material: Material) -> str:
    return f"{material.code} ({material.name})"


def _unknown(spoken: str, likely: Sequence[Material]) -> str:
    if not likely:
        return (
            f"“{spoken}” is no material of your price list, which has nothing to cut from; load"
            " one: benchledger material load FILE"
        )
    names = ", ".join(map(_shown, likely))
    return (
        f"“{spoken}” may be {names}. Say which, and it is remembered:"
        f' --material "{spoken}={likely[0].code}"'
    )


def _asked(spoken: str, likely: Sequence[Material], known: Mapping[str, Material]) -> str:
    voice.note(f"“{spoken}” may be {', '.join(map(_shown, likely))}.")

    def read(text: str) -> str:
        if text not in known:
            raise BadValue(f"“{text}” is no code of your price list.")
        return text

    code = answered(f"Which material is “{spoken}”?", likely[0].code, read)
    if code is None:
        raise BadValue(f"“{spoken}” is not answered; say it with --material.")
    return code
