"""The shop pack on paper, landscape: what is cut first, station by station, sheet by sheet, lists.

Break-down of all sheets comes first, then a page for each station, which is the order of work; the
pages of the sheets are the map. Each page says in its head what it belongs to.
"""

from collections.abc import Callable, Iterator, Sequence

from ledger.cutting.apart import Cut
from ledger.cutting.lines import CutLine, Station, comes_off, cut_lines, stations, stays
from ledger.cutting.sequence import cut_list, cut_notes
from ledger.jobs.plans import MaterialLayout
from ledger.labor.estimate import total_hours
from ledger.measures.spoken import how_many
from ledger.measures.units import count_shown, show_count
from ledger.measures.values import replace
from ledger.papers.engine import Paper
from ledger.papers.sheet_pages import board_blocks, sheet_block
from ledger.papers.words import BOX, Words, as_written, cut, day_words, footer
from ledger.reports.price_words import guess_words
from ledger.reports.shop_pack import Pack, PackPart

SHORT = 4
"""A station of so few lines needs no page of its own: it follows on the one before it."""

BREAK = 8
"""Letters after which a long id may go on in the next line of its column."""

_CUT_HEADS = ("", "Cut", "Set to", "How", "Of", "Comes off", "Stays")
type CutsOf = Callable[[int], tuple[Cut, ...]]

_OWN_PACKS = (
    "Edging, hardware, finish, hours and cautions stand in each job's own shop pack. Hours and"
    " prices are those of its own layout: a quote never depends on another job."
)

_FENCED = ("table saw", "miter saw", "sled")


def shop_pack_paper(pack: Pack, shop: str, size: str) -> Paper:
    """The shop pack of a job as it hangs on the wall; a work order has lists alone."""
    sections = _Sections(pack, size)
    return Paper(
        template="shop_pack",
        title=f"Shop pack {pack.sheet.job}: {pack.sheet.title}",
        author=shop,
        day=pack.sheet.as_of,
        size=size,
        footer=footer(pack.sheet.job, pack.sheet.title, shop),
        texts={"sections": as_written(list(sections.all()), pack.sheet.currency)},
        drawings=sections.drawings,
    )


class _Sections:
    """The sections of a pack, each of one or more pages under one head."""

    def __init__(self, pack: Pack, size: str) -> None:
        self.pack = pack
        self.size = size
        self.drawings: dict[str, str] = {}
        self.lists = [(plan, cut_list(plan.problem, plan.layout)) for plan in pack.own_plans]

    def all(self) -> Iterator[Words]:
        """Every section in the order of work."""
        if self.lists or self.pack.shared:
            yield from self._breakdown()
        for plan, made in self.lists:
            later = [one for one in stations(made.cuts) if not one.is_breakdown]
            yield from self._stations(plan, later)
            yield from self._sheets(plan, made.of_sheet)
        for board in self.pack.boards:
            plan = MaterialLayout(board.problem, board.layout)
            blocks = board_blocks(self.pack, plan, self.size, self.drawings)
            yield self._section("Rough boards", blocks, plan)
        yield from self._lists()

    def _lists(self) -> Iterator[Words]:
        if not self.pack.made.build.parts:
            yield self._section("Work order", self._together())
            return
        yield self._section("Parts list", [self._parts()])
        if self.pack.together:
            yield self._section("Each job's own pack", [self._words(_OWN_PACKS)])
            return
        if bands := self._bands():
            yield self._section("Edging", [self._words(self._over()), bands])
        if lines := self._others():
            yield self._section("Hardware and finish", [lines])
        yield self._section("Hours", self._hours())
        if self.pack.sheet.cautions:
            yield self._section("Cautions of the shop", [self._cautions()])

    def _together(self) -> list[Words]:
        """The lists of a work order one below the other: as a rule they fill one page."""
        words, hours, typical = self._hours("Hours")
        blocks: list[Words] = []
        if lines := self._others("Hardware and finish"):
            blocks.append(lines)
        blocks += [hours, *map(self._words, self.pack.notes), words, typical]
        if self.pack.sheet.cautions:
            blocks.append(self._cautions("Cautions of the shop"))
        return blocks

    def _section(
        self,
        place: str,
        blocks: Sequence[Words],
        plan: MaterialLayout | None = None,
        lines: Sequence[str] = (),
        number: str = "",
    ) -> dict[str, Words]:
        """A section under its head; `number` says which sheet of how many, where it is one."""
        sheet = self.pack.sheet
        day = day_words(sheet.as_of, sheet.currency, sheet.units)
        units = "inches" if sheet.units == "inch" else "millimeters"
        words = [f"All sizes in {units}"]
        if plan:
            words = [cut(self.pack.material(plan.problem.material), 60), *lines, *words]
            words.append(self._saw(plan))
            day = f"{day} · plan {plan.layout.digest[:6]}" if plan.layout.digest else day
        return {
            "job": cut(f"{sheet.job} {sheet.title}", 60),
            "place": number or place,
            "facts": " · ".join(words),
            "day": day,
            "heading": place,
            "blocks": list(blocks),
        }

    def _saw(self, plan: MaterialLayout) -> str:
        trims = {laid.trim_nm for laid in plan.layout.sheets if laid.factory}
        trim = ", ".join(self.pack.show(nm) for nm in sorted(trims))
        words = f"Kerf {self.pack.show(plan.problem.kerf_nm)}"
        return f"{words}, trim {trim}" if any(trims) else words

    def _breakdown(self) -> Iterator[Words]:
        """What stands first: warnings in a frame, then the break-down of all sheets."""
        reach = self.pack.reach.nm if self.pack.reach else None
        notes = [
            f"{plan.problem.material}: {words}"
            for plan, _ in self.lists
            for words in cut_notes(plan.problem, plan.layout, reach)
        ]
        notes += [
            f"{code} is cut together with {others}: sheets and cuts stand in the shop pack of these"
            " jobs together, and here only which parts are on which sheet."
            for code, others in self.pack.shared.items()
        ]
        rows: list[Words] = []
        for plan, made in self.lists:
            heavy = [one for one in stations(made.cuts) if one.is_breakdown]
            if heavy:
                sheets = how_many(len(plan.layout.sheets), "sheet")
                words = f"{self.pack.material(plan.problem.material)}: {sheets}"
                rows.append(_group(words, self._digest(plan)))
            for station in heavy:
                rows += self._cut_rows(station)
        blocks: list[Words] = [
            self._words(
                "Sheets are broken down first; then one station after another, over all sheets."
                " Write the label and an arrow along the grain on each piece as it falls. The"
                " manual of the saw stands above this list."
            )
        ]
        if notes:
            blocks.append({"kind": "frame", "lines": notes})
        if rows:
            blocks.append({"kind": "table", "look": "cuts", "heads": _CUT_HEADS, "rows": rows})
        section = self._section("Break down, sheet by sheet", blocks)
        if len(self.lists) == 1:
            section = self._section("Break down, sheet by sheet", blocks, self.lists[0][0])
        else:
            kerfs = dict.fromkeys(self._saw(plan) for plan, _ in self.lists)
            section["facts"] = " · ".join([str(section["facts"]), *kerfs])
        yield section

    def _digest(self, plan: MaterialLayout) -> str:
        return f"plan {plan.layout.digest[:6]}" if plan.layout.digest else ""

    def _stations(self, plan: MaterialLayout, later: Sequence[Station]) -> Iterator[Words]:
        """A page for each station; a short one stands below the one before it in its round."""
        pages: list[list[Station]] = []
        for station in later:
            is_short = len(cut_lines(station.cuts)) <= SHORT
            if pages and is_short and _round(pages[-1][-1]) == _round(station):
                pages[-1].append(station)
            else:
                pages.append([station])
        for page in pages:
            blocks: list[Words] = []
            for place, station in enumerate(page):
                name = station.name if place else ""
                rows = self._cut_rows(station)
                blocks.append(
                    {"kind": "table", "look": "cuts", "heads": _CUT_HEADS, "rows": rows,
                     "name": name}
                )  # fmt: skip
            yield self._section(f"{plan.problem.material}: {page[0].name}", blocks, plan)

    def _cut_rows(self, station: Station) -> list[Words]:
        rows: list[Words] = []
        setting = None
        for line in cut_lines(station.cuts):
            rows.append(_row(self._cut_row(line, setting)))
            setting = None if line.first.trims else line.first.setting_nm
        return rows

    def _cut_row(self, line: CutLine, setting: int | None) -> Sequence[str]:
        made, show = line.first, self.pack.show
        how: list[str] = [made.aid]
        if made.tool in _FENCED and not made.trims:
            how.insert(0, "same" if made.setting_nm == setting else "set")
        count = f" ×{len(line.cuts)}" if len(line.cuts) > 1 else ""
        return (
            BOX, f"{line.numbers}{count}", "" if made.trims else show(made.setting_nm),
            ", ".join(filter(None, how)), line.of, comes_off(line, show), stays(line, show),
        )  # fmt: skip

    def _sheets(self, plan: MaterialLayout, cuts_of: CutsOf) -> Iterator[Words]:
        many = len(plan.layout.sheets)
        for number, laid in enumerate(plan.layout.sheets, start=1):
            source = f"rack {laid.label}" if laid.source == "rack" else "new sheet"
            lines = [source, self.pack.size(laid.length_nm, laid.width_nm)]
            drawn = sheet_block(self.pack, plan, number, cuts_of(number), self.size, self.drawings)
            name = f"Sheet {number} of {many}"
            only = replace(plan, layout=replace(plan.layout, sheets=(laid,)))
            place = f"{plan.problem.material} · {name}"
            yield self._section("", [drawn], only, lines, place)

    def _parts(self) -> Words:
        rows: list[Words] = []
        before: tuple[str, int | None] | None = None
        for part in self.pack.part_rows():
            if before != (part.material, part.sheet):
                before = (part.material, part.sheet)
                stock = "boards" if part.sheet is None else f"sheet {part.sheet}"
                if others := self.pack.shared.get(part.material):
                    stock += f" shared with {others}"
                rows.append(_group(f"{self.pack.material(part.material)}, {stock}"))
            rows.append(_row(_part_cells(part)))
        heads = ("", "Pieces", "Id", "Part", "Length", "Width", "Thick", "Banded", "Note")
        return {"kind": "table", "look": "parts", "heads": heads, "rows": rows}

    def _over(self) -> str:
        over = self.pack.show_unit(self.pack.band_over.nm)
        return f"A band is cut about {over} longer than its edge and trimmed after."

    def _words(self, words: str) -> Words:
        return {"kind": "words", "words": words}

    def _bands(self) -> Words:
        rows: list[Words] = []
        before = ""
        for band in self.pack.band_rows():
            if band.material != before:
                before = band.material
                words = self.pack.material(before)
                rows.append(_group(f"{words}: {self.pack.need(before)}"))
            rows.append(
                _row((BOX, _broken(band.mark), band.name, band.edge, str(band.bands), band.is_long,
                      band.cut_to, f"{band.sum}"))
            )  # fmt: skip
        heads = ("", "Id", "Part", "Edge", "Bands", "Edge is", "Cut to", f"Total {self.pack.unit}")
        return rows and {"kind": "table", "look": "bands", "heads": heads, "rows": rows}

    def _others(self, name: str = "") -> Words:
        rows: list[Words] = []
        lines = sorted(self.pack.other_lines(), key=lambda line: line.kind)
        before = ""
        for line in lines:
            if line.kind != before:
                before = line.kind
                rows.append(_group(before.capitalize()))
            quantity = show_count(line.quantity, line.unit)
            rows.append(_row((BOX, _broken(line.item), line.words, quantity, line.basis)))
        heads = ("", "Code", "What", "Quantity", "For")
        return rows and {
            "kind": "table",
            "look": "others",
            "heads": heads,
            "rows": rows,
            "name": name,
        }

    def _hours(self, name: str = "") -> list[Words]:
        sheet = self.pack.sheet
        rows: list[Words] = []
        for line in sheet.hours:
            count = f"{count_shown(line.real_count, line.unit):f} {line.unit}"
            helper = f"{line.helper}" if line.helper else ""
            rows.append(
                _row((line.operation, line.name, count, f"{line.estimate}", helper, "", "", ""))
            )
        hours = total_hours(line.estimate for line in sheet.hours)
        helped = total_hours(line.helper for line in sheet.hours)
        if rows:
            summed = ("", "Total", "", f"{hours}", f"{helped or ''}", "", "", "")
            rows.append(_row(summed, look="sum"))
        heads = ("Code", "Operation", "Count", "Hours", "Helper", "Actual", "Day, who", "Note")
        behind = how_many(sheet.range.jobs, "past job")
        return [
            self._words(
                "Hours are person-hours. Write the actual ones here and enter them afterwards."
                f" {sheet.repeating}".rstrip()
                + (" They are those of its own layout." if self.pack.shared else "")
            ),
            {"kind": "table", "look": "hours", "heads": heads, "rows": rows, "name": name},
            self._words(
                f"Typically {sheet.range.p50} h with rework; 8 such jobs in 10 stay under"
                f" {sheet.range.p80} h ({behind} behind this)."
                if sheet.hours
                else guess_words(sheet)
            ),
        ]

    def _cautions(self, name: str = "") -> Words:
        rows = [_row((BOX, one.about, one.words)) for one in self.pack.sheet.cautions]
        heads = ("", "About", "Caution for this job")
        return {"kind": "table", "look": "cautions", "heads": heads, "rows": rows, "name": name}


def _round(station: Station) -> int:
    """Which round of cuts a station is of: the second is measured at the case."""
    return station.cuts[0].round


def _broken(mark: str) -> str:
    """An id that may break where it would run out of its column."""
    if len(mark) <= BREAK:
        return mark
    return "\u200b".join(mark[at : at + BREAK] for at in range(0, len(mark), BREAK))


def _part_cells(part: PackPart) -> Sequence[str]:
    return (
        BOX, str(part.pieces), _broken(part.mark), part.name, part.length, part.width, part.thick,
        part.edges, part.note,
    )  # fmt: skip


def _row(cells: Sequence[str], look: str = "") -> Words:
    return {"cells": list(cells), "look": look}


def _group(words: str, *more: str) -> Words:
    """A row across the table that says what the following ones are about."""
    return {"cells": [" · ".join(filter(None, (words, *more)))], "look": "group"}
