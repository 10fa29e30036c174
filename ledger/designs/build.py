"""Working a design out for one set of values: every formula of it, and all flaws at once.

`flaws_of` answers the readers, which know where each row stands in a file; `build` refuses with the
flaws in words. A cell that only fails because another one is flawed is not told a second time.
"""

from collections.abc import Mapping

from ledger.designs.built import Build
from ledger.designs.counting import band_lengths, counts_of, figures_of
from ledger.designs.lines import Lines
from ledger.designs.model import Design, Flaw
from ledger.designs.scope import Scope
from ledger.errors import BadValue
from ledger.measures.area import Area


def build(
    design: Design, values: Mapping[str, str] | None = None, units: str | None = None
) -> Build:
    """Work a design out; `values` are parameters set for a job, `units` those of the book.

    Raises:
        NotFound: a value is given for a parameter that the design does not have.
        BadValue: something cannot be built; every flaw is told.

    """
    built, flaws = _work_out(design, values or {}, units or design.units)
    if flaws:
        raise BadValue("\n".join(_told(design, flaw) for flaw in flaws))
    return built


def flaws_of(design: Design) -> tuple[Flaw, ...]:
    """What cannot be built of a design with its own values."""
    return _work_out(design, {}, design.units)[1]


def _work_out(
    design: Design, values: Mapping[str, str], units: str
) -> tuple[Build, tuple[Flaw, ...]]:
    scope = Scope(design, values)
    lines = Lines(design, scope)
    parts, joints, finish = lines.parts(), lines.joints(), lines.finish()
    area = sum((part.finish_area for part in parts), Area(0))
    bands = band_lengths(parts)
    derived = counts_of(parts, joints, finish, bands, area, units)
    scope.add_figures(figures_of(parts, joints, finish, bands, area))
    lines.tags()
    lines.checks()
    built = Build(
        name=design.name,
        title=design.title,
        units=units,
        parameters=scope.shown(units),
        parts=parts,
        joints=joints,
        needs=lines.needs(),
        counts=derived | lines.counts(units),
        finish=finish,
        bands=bands,
        finish_area=area,
        tags=design.tags,
        facts=lines.facts(units),
        carried=lines.carried(),
    )
    return built, tuple(scope.flaws)


def _told(design: Design, flaw: Flaw) -> str:
    if flaw.table in ("parameters", "tags", "checks", "blocks") or not getattr(design, flaw.table):
        return flaw.sentence
    row = getattr(design, flaw.table)[flaw.row]
    known = next(getattr(row, name) for name in _NAMED_BY if hasattr(row, name))
    return f"{flaw.table}, {known}, {flaw.column}: {flaw.sentence}"


_NAMED_BY = ("id", "driver", "material", "name")
