"""What a sponsor's report says in words, on paper and in its workbook alike."""

from collections.abc import Callable
from datetime import date

from ledger.measures.day import MONTHS, Month
from ledger.measures.duration import show_minutes
from ledger.measures.quantity import show_quantity
from ledger.reports.sponsor import SponsorReport, Tool, Used

KINDS = {
    "long": "Long video", "short": "Short", "photo": "Photo post", "plan": "Plan",
    "post": "Post (photo or short)",
}  # fmt: skip
"""What is published, as a reader calls it."""


def span_words(first: date, last: date) -> str:
    """A span of days as it is spoken: May 2025, April to June 2025, or the two days.

    >>> span_words(date(2024, 12, 1), date(2025, 1, 31))
    'December 2024 to January 2025'
    >>> span_words(date(2025, 5, 2), date(2025, 5, 31))
    '2025-05-02 to 2025-05-31'
    """
    start, end = Month.of(first), Month.of(last)
    if (first, last) != (start.first, end.last):
        return f"{first} to {last}"
    named = f"{MONTHS[end.month - 1]} {end.year}"
    if start == end:
        return named
    year = "" if start.year == end.year else f" {start.year}"
    return f"{MONTHS[start.month - 1]}{year} to {named}"


def camera_words(used: Used) -> str:
    """How much of what a build took was on camera: all, no, a number, or not noted."""
    if used.unsaid == used.amount.quantity:
        return "not noted"
    seen, all_of_it = used.on_camera, used.amount.quantity
    answer = "no" if not seen else "all" if seen == all_of_it else show_quantity(seen)
    return f"{answer}, {show_quantity(used.unsaid)} not noted" if used.unsaid else answer


def tool_words(tool: Tool) -> str:
    """A tool, whose it is, and what it did."""
    state = ("on loan" if tool.loan else "given") if tool.here else "sent back"
    did = [f"ran {show_minutes(tool.minutes)}"] if tool.minutes else []
    did += [f"uses: {tool.uses}"] if tool.uses else []
    did += [f"blades changed: {tool.blades}"] if tool.blades else []
    return "; ".join([f"{tool.name} ({state})", *did, *(f"fault {one}" for one in tool.faults)])


def offcut_words(report: SponsorReport) -> list[str]:
    """What the offcuts kept are worth beside the closing of the sheets, and both together."""
    if not report.offcuts_value:
        return []
    show = report.currency.show
    return [
        f"The offcuts kept are worth {show(report.offcuts_value)} at fair value, beside the"
        f" closing; together {show(report.given_left)} of what was given is here."
    ]


def rest_words(report: SponsorReport) -> list[tuple[str, str]]:
    """Where the rest is, the tools, results and plans, each under its name."""
    rows = [("Where the rest is", "; ".join([report.where, *report.offcuts]))]
    rows += [("Offcuts", words) for words in offcut_words(report)]
    rows += [("Tool", tool_words(tool)) for tool in report.tools]
    rows += [("Result", words) for words in report.results]
    rows += [("Next planned use", report.next_use)] if report.next_use else []
    rows += [("Photos", ", ".join(report.photos))] if report.photos else []
    has_rest = any(line.closing for line in report.lines)
    return rows if has_rest or len(rows) > 1 else []


def value_words(report: SponsorReport, day_shown: Callable[[date], str] = str) -> str:
    """When the goods came, and how their values were found."""
    ways = dict.fromkeys(
        ", ".join(filter(None, (f"{one.item} of {day_shown(one.day)}", one.method, one.evidence)))
        for one in report.lots
        if not one.loan
    )
    sentence = f" {'; '.join(ways)}." if ways else ""
    is_lent = any(one.loan for one in report.lots)
    lent = " Goods on loan stay yours, at the value you declared." if is_lent else ""
    return f"Values are fair values on the day of receipt; no cash was paid.{sentence}{lent}"
