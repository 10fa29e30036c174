"""What stands on each screen: facts read from the book at once, rendered after it is closed.

No money, no client, no sponsor's agreement; a helper's device sees no other people's hours.
"""

import re
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from datetime import timedelta
from decimal import Decimal
from functools import partial
from html import unescape
from typing import Any

from markupsafe import Markup

from ledger.book import Book
from ledger.book.names import known_names
from ledger.book.questions.entries import last_of_device
from ledger.book.questions.labor import NamedOperation, WorkedOn, named_operations, worked_on_last
from ledger.book.questions.progress import has_sponsors, open_jobs, reopened_jobs
from ledger.book.tables.ground import Job
from ledger.cutting.drawing import bare_svg
from ledger.errors import NotAllowed
from ledger.jobs.answers import to_give_out
from ledger.jobs.jobs import find_job, state_words
from ledger.jobs.lines import is_known, is_work_order
from ledger.labor.clock import Running, running, shop_zone
from ledger.labor.log import CLASSES, CONTENT_TASKS, name_of
from ledger.labor.standards import GROUPS
from ledger.measures.duration import show_minutes
from ledger.measures.length import Length, show_length
from ledger.measures.quantity import Quantity
from ledger.measures.rounding import half_up_whole
from ledger.measures.spoken import how_many
from ledger.measures.units import show_count
from ledger.measures.zone import Zone
from ledger.pages.devices import Device
from ledger.pages.receipt_form import LINES
from ledger.pages.site import Site
from ledger.stock.documents import CATEGORIES
from ledger.stock.materials import materials
from ledger.stock.rack_pieces import rack
from ledger.stock.worth import value_on
from ledger.verbs import hours
from ledger.verbs.cutting import SheetToCut, sheets_to_cut

PAIRS = 6
"""Buttons of what was worked on last."""

DAYS = 7
"""Days back for which own hours are listed."""

type Facts = dict[str, Any]
type Screen = Callable[[Book, Site, Device, Mapping[str, str]], Facts]


def now_facts(book: Book, site: Site, device: Device, query: Mapping[str, str]) -> Facts:
    """What the clock is on, what it may be put on by one tap, and what was entered last."""
    clock, operations = running(book), named_operations(book)
    is_own = clock is not None and (not device.is_helper or clock.people == (device.person,))
    last = last_of_device(book, device.name)
    return {
        "clock": clock and {
            "is_own": is_own,
            "job": clock.job and {"number": clock.job.number, "title": clock.job.title},
            "what": _activity_words(operations, name_of(clock.activity)),
            "since": f"{clock.began:%H:%M}",
            "day": "" if clock.began.date() == book.today else str(clock.began.date()),
            "lasted": _lasted(clock, shop_zone(book), site),
        },
        "pairs": [_pair(operations, row) for row in worked_on_last(book, PAIRS)],
        "last": last and {"entry": last.entry, "words": last.words},
        **_choices(book, operations),
    }  # fmt: skip


def _lasted(clock: Running, zone: Zone, site: Site) -> str:
    return show_minutes(max(0, clock.minutes(zone, site.time.local_now(zone))))


def _pair(operations: Sequence[NamedOperation], row: WorkedOn) -> dict[str, str]:
    return {
        "job": row.number or hours.SHOP,
        "title": row.title or "for the shop",
        "what": row.activity,
        "words": _activity_words(operations, row.activity),
        "class": row.kind,
        "kind": "" if row.kind in {"work", "shop"} else row.kind.replace("_", " "),
    }


def _activity_words(operations: Sequence[NamedOperation], activity: str) -> str:
    if activity in GROUPS:
        return GROUPS[activity].words
    return next((one.name for one in operations if one.code == activity), activity)


def _choices(book: Book, operations: Sequence[NamedOperation] = ()) -> Facts:
    """What a form can choose from: open jobs, operations by group, classes."""
    groups = [
        (group, [row for row in operations if row.group == group.name]) for group in GROUPS.values()
    ]
    return {
        "today": str(book.today),
        "jobs": open_jobs(book, book.today),
        "groups": [(group, rows) for group, rows in groups if rows],
        "tasks": CONTENT_TASKS,
        "classes": [(kind, kind.replace("_", " ")) for kind in CLASSES if kind != "shop"],
        "shop": hours.SHOP,
    }


def hours_facts(book: Book, site: Site, device: Device, query: Mapping[str, str]) -> Facts:
    """The form for hours from memory, and the device's person's own hours of the last days."""
    logged = hours.logged(book, first=book.today - timedelta(days=DAYS - 1), last=book.today)
    operations = named_operations(book)
    own = [
        {"day": row.day, "job": logged.number(row) or "shop", "minutes": show_minutes(row.minutes),
         "what": _activity_words(operations, row.activity),
         "kind": "" if row.kind in {"work", "shop"} else row.kind.replace("_", " ")}
        for row in logged.rows
        if device.person in row.people.split(", ")
    ]  # fmt: skip
    gaps = [] if device.is_helper else [str(day) for day in logged.gaps if day != book.today]
    return {"own": own[::-1], "gaps": gaps, **_choices(book, operations)}


def material_facts(book: Book, site: Site, device: Device, query: Mapping[str, str]) -> Facts:
    """The forms by which material is taken, given back and kept."""
    known = sorted(materials(book).values(), key=lambda row: row.code)
    on_hand: Counter[str] = Counter()
    for lot in value_on(book):
        if lot.material and lot.source not in {"offcut", "borrowed"}:
            on_hand[lot.material] += lot.quantity.millionths
    choices = [
        {"code": row.code, "is_sheet": row.kind == "sheet",
         "words": f"{row.code} {row.name}, {_on_hand(on_hand[row.code], row.unit)}"}
        for row in known
    ]  # fmt: skip
    pieces = [
        f"{one.label}: {one.material}, {show_length(one.length, book.units)} ×"
        f" {show_length(one.width, book.units)}"
        for one in rack(book)
    ]
    return {"materials": choices, "rack": pieces, "units": book.units, **_choices(book)}


def _on_hand(millionths: int, unit: str) -> str:
    return f"{show_count(Quantity(millionths), unit)} on hand" if millionths else "none on hand"


def receipt_facts(book: Book, site: Site, device: Device, query: Mapping[str, str]) -> Facts:
    """The form for a receipt with its lines; a helper's device has none."""
    if device.is_helper:
        return {"may_enter": False}
    return {
        "may_enter": True,
        "suppliers": [one.name for one in known_names(book.path, "supplier")],
        "materials": sorted(materials(book).values(), key=lambda row: row.code),
        "kinds": CATEGORIES,
        "count": LINES,
        **_choices(book),
    }


def jobs_facts(book: Book, site: Site, device: Device, query: Mapping[str, str]) -> Facts:
    """The jobs that are open, each with its state as it is read."""
    jobs, reopened = open_jobs(book, book.today), reopened_jobs(book, book.today)
    return {
        "jobs": [
            job._replace(state=state_words(job.state, is_reopened=job.number in reopened))
            for job in jobs
        ]
    }


def job_facts(book: Book, site: Site, device: Device, query: Mapping[str, str]) -> Facts:
    """The hours of a job: what was planned and what was worked, as lengths of bars in percent.

    Raises:
        NotFound: there is no such job.
    """
    job = find_job(book, query.get("job", ""))
    if device.is_helper:
        return {"job": job, "lines": None, "has_plan": _has_cut_plan(book, job)}
    worked = hours.of_job(book, job, hours.plan_for(book, job))
    longest = max((max(_minutes(one.planned), one.minutes) for one in worked.lines), default=0)
    lines = [
        {
            "name": one.name,
            "planned": _width(_minutes(one.planned), longest),
            "within": _width(_within(one), longest),
            "over": _width(one.minutes - _within(one), longest),
            "words": _line_words(one),
        }
        for one in worked.lines
    ]
    return {
        "job": job,
        "lines": lines,
        "has_plan": _has_cut_plan(book, job),
        "in_all": _line_words(hours.HoursLine("", "", worked.planned, worked.minutes)),
        "left": show_minutes(worked.left) if worked.planned else "",
        "others": [f"{what}: {show_minutes(done)}" for what, done in worked.others.items()],
    }


def _has_cut_plan(book: Book, job: Job) -> bool:
    """Whether parts of sheets are to be cut; without a design there are none."""
    if not is_known(book, job) or is_work_order(book, job):
        return False
    try:
        return bool(sheets_to_cut(book, job))
    except NotAllowed:
        return True  # the plan's own screen says what is missing


def _minutes(planned: Decimal | None) -> int:
    return half_up_whole((planned or Decimal(0)) * 60)


def _within(line: hours.HoursLine) -> int:
    """The minutes that lie within the plan; without one, all."""
    return min(line.minutes, _minutes(line.planned)) if line.planned else line.minutes


def _width(minutes: int, longest: int) -> str:
    """A bar's length in percent of the longest, to a tenth."""
    return f"{minutes * 100 / longest:.1f}" if longest else "0"


def _line_words(line: hours.HoursLine) -> str:
    worked = show_minutes(line.minutes) if line.minutes else "not logged"
    if line.left is None:
        return f"{worked}, not planned"
    planned = show_minutes(_minutes(line.planned))
    if not line.minutes:
        return f"{planned} planned, not logged"
    over = f", {show_minutes(-line.left)} over" if line.left < 0 else ""
    return f"{worked} of {planned}{over}"


def plan_facts(book: Book, site: Site, device: Device, query: Mapping[str, str]) -> Facts:
    """The cut plan of a job as it is kept; its drawings are made after the book is closed.

    Raises:
        NotAllowed: nothing is laid out for the job as it stands now.
    """
    job, units = find_job(book, query.get("job", "")), book.units
    return {
        "job": job,
        "sheets": [
            {
                "material": one.problem.material,
                "name": one.name,
                "number": one.number,
                "of": len(one.layout.sheets),
                "offcut": _offcut_words(one, units),
                "layout": one.layout.digest,
                "left": one.left,
                "marks": [(mark, one.cut[mark], count) for mark, count in one.marks.items()],
                "drawing": partial(_drawing, one, units),
            }
            for one in sheets_to_cut(book, job)
        ],
    }


def _offcut_words(sheet: SheetToCut, units: str) -> str:
    """Which piece of the rack is to be taken for it; empty where it is a new one."""
    laid = sheet.laid
    if laid.source != "rack":
        return ""
    sizes = (show_length(Length(side), units) for side in (laid.length_nm, laid.width_nm))
    return f"From the rack: {laid.label}, {' × '.join(sizes)}."


_PART = re.compile(r'data-part=(?:"([^"]*)"|\'([^\']*)\')')


def _drawing(sheet: SheetToCut, units: str) -> Markup:
    """The drawing of a sheet; as many parts of a mark as are cut are of the class `cut`."""
    drawn = bare_svg(
        sheet.problem, sheet.layout, sheet.number, lambda size: show_length(Length(size), units),
        units_per_mm=0.4, name=sheet.name, pad=16,
    )  # fmt: skip
    left = Counter(sheet.cut)

    def marked(part: re.Match[str]) -> str:
        mark = unescape(part[1] or part[2])
        left[mark] -= 1
        return f'{part[0]} class="{"cut" if left[mark] >= 0 else "part"}"'

    return Markup(_PART.sub(marked, drawn.svg))


def due_facts(book: Book, site: Site, device: Device, query: Mapping[str, str]) -> Facts:
    """What is due: promises to sponsors (the owner's device alone), and the lead days of others."""
    promises = []
    if has_sponsors(book) and not device.is_helper:
        from ledger.sponsors import deliverables_due

        promises = [
            {"day": one.due, "is_late": one.due < book.today,
             "words": f"{how_many(one.left, one.kind)} for {one.sponsor}"}
            for one in deliverables_due(book)
        ]  # fmt: skip
    jobs = book.rows_of(Job, [row.job for row in open_jobs(book, book.today)])
    lead = [
        f"{job.number}: {line.name} takes {how_many(line.lead_days, 'day')}"
        for job in jobs
        for line in to_give_out(book, job)
        if line.lead_days
    ]
    return {"promises": promises, "lead": lead}


SCREENS: Mapping[str, tuple[str, Screen]] = {
    "now": ("Now", now_facts),
    "hours": ("Hours", hours_facts),
    "material": ("Material", material_facts),
    "jobs": ("Jobs", jobs_facts),
    "job": ("Job", job_facts),
    "plan": ("Cut plan", plan_facts),
    "spoiled": ("Spoiled", hours_facts),
    "receipt": ("Receipt", receipt_facts),
    "photo": ("Photo", lambda book, site, device, query: _choices(book)),
    "due": ("Due", due_facts),
}
"""The screens by the name in their address: title and what gathers its facts."""

OF_A_JOB = frozenset({"job", "plan"})
"""Screens that are reached from the list of jobs, not from the row of screens."""
