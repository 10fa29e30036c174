"""Working a design out for one set of values: every formula of it, and all flaws at once.

`flaws_of` answers the readers, which know where each row stands in a file; `build` refuses with the
flaws in words. A cell that only fails because another one is flawed is not told a second time.
"""

from collections.abc import Mapping

from ledger.designs.built import Build
from ledger.designs.counting import BuiltLists, band_lengths, counts_of, figures_of, with_assumed
from ledger.designs.guide import guide_of
from ledger.designs.joined import in_boxes
from ledger.designs.lines import Lines
from ledger.designs.model import Design, Flaw
from ledger.designs.scope import Scope
from ledger.designs.wood import LIP, ShopWood, as_cut, wide_parts
from ledger.errors import BadValue
from ledger.measures.length import Length
from ledger.measures.values import replace


def build(
    design: Design,
    values: Mapping[str, str] | None = None,
    units: str | None = None,
    wood: ShopWood | None = None,
) -> Build:
    """Work a design out; `values` are parameters set for a job, `units` those of the book.

    `wood` are the shop's boards and ways of its work; without them a part is of lumber only where
    its own line says so, and no panel is more than one strip.

    Raises:
        NotFound: a value is given for a parameter that the design does not have.
        BadValue: something cannot be built; every flaw is told.

    """
    built, flaws = _work_out(design, values or {}, units or design.units, wood or ShopWood())
    if flaws:
        raise BadValue("\n".join(_flaw_words(design, flaw) for flaw in flaws))
    return built


def flaws_of(design: Design) -> tuple[Flaw, ...]:
    """What cannot be built of a design with its own values."""
    return _work_out(design, {}, design.units, ShopWood())[1]


def _work_out(
    design: Design, values: Mapping[str, str], units: str, wood: ShopWood
) -> tuple[Build, tuple[Flaw, ...]]:
    scope = Scope(design, values)
    lines = Lines(design, scope)
    typed = lines.parts(units)
    parts = tuple(as_cut(part, wood) for part in typed)
    lists = with_assumed(
        BuiltLists(
            title=design.title,
            parts=parts,
            joints=lines.joints(units),
            finish=lines.finish(),
            bands=band_lengths(parts, wood, _lip(scope)),
            tags=design.tags,
            fixed=frozenset(count.driver for count in design.counts),
            wood=wood,
        )
    )
    scope.add_figures(figures_of(lists))
    lines.tags()
    lines.checks()
    needs, counted = lines.needs(), lines.counts(units)
    if "drawers" in counted and counted["drawers"].quantity:
        lists = replace(lists, joints=in_boxes(parts, lists.joints))
    built = Build(
        name=design.name,
        title=design.title,
        units=units,
        parameters=scope.shown(units),
        parts=parts,
        joints=lists.joints,
        needs=needs,
        counts=counts_of(lists, needs, units) | counted,
        finish=lists.finish,
        bands=lists.bands,
        finish_area=lists.area,
        tags=design.tags,
        facts=lines.facts(units),
        carried=lines.carried(),
        notes=tuple(wide_parts(typed, parts, units)),
        guide=guide_of(design, scope, [part.id for part in parts], units),
    )
    return built, tuple(scope.flaws)


def _lip(scope: Scope) -> Length:
    """How thick solid edging is: the design's own parameter `lip`, else a quarter inch."""
    lip = scope.length_of("lip")
    return LIP if lip is None else lip


def _flaw_words(design: Design, flaw: Flaw) -> str:
    if flaw.table in ("parameters", "tags", "checks", "blocks") or not getattr(design, flaw.table):
        return flaw.sentence
    row = getattr(design, flaw.table)[flaw.row]
    known = next(getattr(row, name) for name in _NAMED_BY if hasattr(row, name))
    return f"{flaw.table}, {known}, {flaw.column}: {flaw.sentence}"


_NAMED_BY = ("id", "driver", "material", "name", "number", "versions")
