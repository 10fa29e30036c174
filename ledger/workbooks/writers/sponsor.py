"""A sponsor's report: one page to forward, and behind it the statement line by line.

The writer is handed a `SponsorReport`, which has no field for what a sponsor must not see.
"""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path

from openpyxl.styles import Alignment
from openpyxl.workbook import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from ledger.measures.day import MONTHS, Month
from ledger.measures.duration import show_minutes
from ledger.measures.quantity import Quantity, show_quantity
from ledger.measures.units import show_count
from ledger.reports.sponsor import SponsorReport
from ledger.sponsors.statement import Amount, StatementLine
from ledger.workbooks.paper import Look, Value, add_sheet, money_format, new_workbook, save
from ledger.workbooks.writers.page import (
    FIGURE,
    GRAY,
    GRAY_RIGHT,
    HEAD,
    HEAD_RIGHT,
    INK,
    NAME,
    SMALL,
    TEXT,
    Page,
)
from ledger.workbooks.writers.rows import HEADING_ROW, Rows, count_format, padded

WIDTHS = (13, 13, 13, 13, 13, 13, 13)

_TITLE = Look(size=12, color="8A7B66", wrap=True)
_BOX = Look(size=12, fill="F3EFE7", wrap=True)
_BOX_NAME = Look(bold=True, size=9, color="8A7B66", fill="F3EFE7")
_BIG = Look(bold=True, size=22, color=INK)
_CLOSE = replace(FIGURE, bold=True)

_COLUMNS = (
    ("opening", "opening"),
    ("received", "received"),
    ("used", "used"),
    ("wasted", "damaged"),
    ("sent_back", "sent back"),
    ("closing", "closing"),
)
_KINDS = {
    "long": "Long video", "short": "Short", "photo": "Photo post", "plan": "Plan",
    "post": "Post (photo or short)",
}  # fmt: skip


def write_sponsor(report: SponsorReport, path: Path) -> Path:
    """Write the sponsor's workbook."""
    workbook = new_workbook(f"Report for {report.sponsor}", report.shop, report.last)
    _first_page(workbook, report)
    _statement(workbook, report)
    _publications(workbook, report)
    _deliverables(workbook, report)
    _photos(workbook, report)
    return save(workbook, path, private=True)


def _first_page(workbook: Workbook, report: SponsorReport) -> None:
    sheet = add_sheet(workbook, "Report", WIDTHS)
    page = Page(sheet, WIDTHS)
    page.span(1, 5, report.sponsor, NAME)
    page.span(6, 7, report.shop, GRAY_RIGHT)
    page.end()
    page.line(f"What became of your support, {_span(report.first, report.last)}", _TITLE, space=8)
    if report.objective:
        page.line("YOUR OBJECTIVE", _BOX_NAME)
        page.line(report.objective, _BOX, space=10)
    _figures(page, report)
    _page_published(page, report)
    _page_promised(page, report)
    _page_goods(page, report)
    _page_builds(page, report)
    _page_rest(page, report)
    sheet.page_setup.fitToHeight = 1
    sheet.print_area = f"A1:G{page.row - 1}"


def _span(first: date, last: date) -> str:
    """A span of days as it is spoken: May 2025, April to June 2025, or the two days."""
    start, end = Month.of(first), Month.of(last)
    if (first, last) != (start.first, end.last):
        return f"{first} to {last}"
    named = f"{MONTHS[end.month - 1]} {end.year}"
    if start == end:
        return named
    year = "" if start.year == end.year else f" {start.year}"
    return f"{MONTHS[start.month - 1]}{year} to {named}"


def _day(day: date) -> str:
    """A day as it is read in a letter."""
    return f"{day.day} {MONTHS[day.month - 1][:3]} {day.year}"


def _figures(page: Page, report: SponsorReport) -> None:
    """The few numbers that a reader in a hurry takes along."""
    builds = len({one.build for one in report.used})
    cells = [
        (str(len(report.published)), "published"),
        (f"{report.done_number} of {report.promised_number}", "promised pieces delivered"),
        (str(builds), "build with your goods" if builds == 1 else "builds with your goods"),
    ]
    places = ((1, 2), (3, 5), (6, 7))
    for (first, last), (number, _) in zip(places, cells, strict=True):
        page.span(first, last, number, _BIG)
    page.end()
    for (first, last), (_, words) in zip(places, cells, strict=True):
        page.span(first, last, words, GRAY)
    page.end(12)


def _page_published(page: Page, report: SponsorReport) -> None:
    if not report.published:
        return
    page.line("Published", HEAD, space=2)
    for one in report.published:
        page.span(1, 1, _day(one.day), GRAY)
        page.span(2, 7, one.title, replace(TEXT, bold=True))
        page.end()
        shows = f"shows {', '.join(one.builds)}" if one.builds else ""
        where = " · ".join(filter(None, (_KINDS[one.kind], one.platform, one.link, shows)))
        page.span(2, 7, where, SMALL)
        page.end()
        page.span(2, 7, f"disclosure: {one.how or 'to be added'}", SMALL)
        page.end(4)
    page.gap(9)


def _page_promised(page: Page, report: SponsorReport) -> None:
    if not report.promised:
        return
    for first, last, words, look in ((1, 3, "Agreed", HEAD), (4, 5, "delivered", HEAD_RIGHT),
                                     (6, 7, "due", HEAD_RIGHT)):  # fmt: skip
        page.span(first, last, words, look)
    page.end(2)
    for one in report.promised:
        late = f", {one.late} late" if one.late else ""
        page.span(1, 3, _KINDS[one.kind], TEXT)
        page.span(4, 5, f"{one.done} of {one.number}{late}", FIGURE)
        page.span(6, 7, _day(one.due), FIGURE)
        page.end(2)
    page.gap(9)


def _page_goods(page: Page, report: SponsorReport) -> None:
    if not report.lines:
        return
    for column, words in enumerate(("Your goods", *(words for _, words in _COLUMNS)), 1):
        page.span(column, column, words, HEAD if column == 1 else HEAD_RIGHT)
    page.end(2)
    for line in report.lines:
        lent = ", on loan" if line.loan else ""
        page.line(f"{line.item} ({line.unit}{lent})", replace(TEXT, bold=True))
        for name in ("number", f"value, {report.currency.code}"):
            page.span(1, 1, name, GRAY)
            for column, (key, _) in enumerate(_COLUMNS, 2):
                value, shape = _figure(report, _column(line, key), number=name == "number")
                page.span(column, column, value, _CLOSE if key == "closing" else FIGURE, shape)
            page.end(1)
        page.gap(3)
    page.gap(6)


def _column(line: StatementLine, key: str) -> Amount:
    """A column of the page; what was counted or kept by the shop stands with what was used."""
    amount: Amount = getattr(line, key)
    return amount + line.otherwise if key == "used" else amount


def _figure(report: SponsorReport, amount: Amount, *, number: bool) -> tuple[Value, str]:
    if number:
        value = amount.quantity.decimal
        return value, _quiet(count_format(value))
    return report.currency.decimal(amount.value), _quiet(padded(money_format(report.currency)))


def _quiet(shape: str) -> str:
    """The number format with a dash for nothing."""
    return f"{shape};-{shape};–_)"


def _page_builds(page: Page, report: SponsorReport) -> None:
    if not (report.used or report.gone):
        return
    for first, last, words, look in (
        (1, 4, "Where it went", HEAD), (5, 5, "number", HEAD_RIGHT),
        (6, 7, "on camera", HEAD_RIGHT),
    ):  # fmt: skip
        page.span(first, last, words, look)
    page.end(2)
    several = len({line.item for line in report.lines}) > 1
    for one in report.used:
        page.span(1, 4, f"{one.build}: {one.item}" if several else one.build, TEXT)
        page.span(5, 5, show_count(one.amount.quantity, one.unit), FIGURE)
        page.span(6, 7, _seen(one.on_camera, one.unsaid, one.amount.quantity), FIGURE)
        page.end(2)
    for event in report.gone:
        details = [f"{event.what.capitalize()} on {_day(event.day)}"]
        details += [event.item] if several else []
        details += [event.words] if event.words else []
        page.span(1, 4, ": ".join(details), TEXT)
        page.span(5, 5, show_count(-event.amount.quantity, event.unit), FIGURE)
        page.end(2)
    page.gap(9)


def _seen(on_camera: Quantity, unsaid: Quantity, used: Quantity) -> str:
    if unsaid == used:
        return "not noted"
    answer = "no" if not on_camera else "all" if on_camera == used else show_quantity(on_camera)
    return f"{answer}, {show_quantity(unsaid)} not noted" if unsaid else answer


def _page_rest(page: Page, report: SponsorReport) -> None:
    rows = [("Where the rest is", "; ".join([report.where, *report.offcuts]))]
    rows += [("Tool", _tool_words(report, number)) for number in range(len(report.tools))]
    rows += [("Result", words) for words in report.results]
    rows += [("Next planned use", report.next_use)] if report.next_use else []
    rows += [("Photos", ", ".join(report.photos))] if report.photos else []
    if any(line.closing for line in report.lines) or len(rows) > 1:
        for name, words in rows:
            page.span(1, 2, name, GRAY)
            page.span(3, 7, words, TEXT)
            page.end(3)
        page.gap(6)
    page.line(_value_words(report), SMALL)


def _tool_words(report: SponsorReport, number: int) -> str:
    tool = report.tools[number]
    state = ("on loan" if tool.loan else "given") if tool.here else "sent back"
    did = [f"ran {show_minutes(tool.minutes)}"] if tool.minutes else []
    did += [f"uses: {tool.uses}"] if tool.uses else []
    did += [f"blades changed: {tool.blades}"] if tool.blades else []
    return "; ".join([f"{tool.name} ({state})", *did, *(f"fault {one}" for one in tool.faults)])


def _value_words(report: SponsorReport) -> str:
    """When the goods came, and how their values were found."""
    ways = dict.fromkeys(
        ", ".join(filter(None, (f"{one.item} of {_day(one.day)}", one.method, one.evidence)))
        for one in report.lots if not one.loan
    )  # fmt: skip
    sentence = f" {'; '.join(ways)}." if ways else ""
    lent = " Goods on loan stay yours, at the value you declared." if any(
        one.loan for one in report.lots) else ""  # fmt: skip
    return f"Values are fair values on the day of receipt; no cash was paid.{sentence}{lent}"


def _statement(workbook: Workbook, report: SponsorReport) -> None:
    widths = (12, 18, 32, 10, 10, 12, 10, 38, 30)
    rows = Rows(add_sheet(workbook, "Statement", widths, landscape=True, headings=3), widths)
    rows.title("Statement", f"{report.sponsor}, {_span(report.first, report.last)}")
    code = report.currency.code
    rows.headings(
        ("day", "event", "goods", "unit", "number", f"value {code}", "left", "build", "remark"),
        (5, 6, 7),
    )
    for line in report.lines:
        _statement_line(rows, report, line, "opening", report.first)
    for event in report.events:
        _add(rows, report,
             (event.day, event.what, event.item, event.unit, event.amount, event.balance,
              event.build, event.words))  # fmt: skip
    for line in report.lines:
        _statement_line(rows, report, line, "closing", report.last)


def _statement_line(
    rows: Rows, report: SponsorReport, line: StatementLine, name: str, day: date
) -> None:
    amount: Amount = getattr(line, name)
    lent = "on loan" if line.loan else ""
    _add(rows, report, (day, name, line.item, line.unit, amount, amount.quantity, "", lent))


def _add(
    rows: Rows,
    report: SponsorReport,
    cells: tuple[date, str, str, str, Amount, Quantity, str, str],
) -> None:
    day, what, item, unit, amount, left, build, words = cells
    number, value = amount.quantity.decimal, report.currency.decimal(amount.value)
    values = (day, what, item, unit, number, value, left.decimal, build, words)
    row = rows.add(
        values,
        ("General", "General", "General", "General", count_format(number),
         padded(money_format(report.currency)), count_format(left.decimal)),
    )  # fmt: skip
    _left(rows, row, values)


def _table(
    workbook: Workbook,
    title: str,
    columns: Sequence[tuple[str, float]],
    cells: Sequence[Sequence[Value]],
    figures: Sequence[int] = (),
) -> Worksheet:
    widths = [width for _, width in columns]
    rows = Rows(add_sheet(workbook, title, widths, landscape=True, headings=3), widths)
    rows.title(title)
    rows.headings([name for name, _ in columns], figures)
    for values in cells:
        _left(rows, rows.add(values), values)
    return rows.sheet


def _left(rows: Rows, row: int, values: Sequence[Value]) -> None:
    """Days stand left, beside the text they belong to."""
    for column, value in enumerate(values, 1):
        if isinstance(value, date):
            rows.sheet.cell(row, column).alignment = Alignment(horizontal="left", vertical="top")


def _publications(workbook: Workbook, report: SponsorReport) -> None:
    columns = (("day", 12), ("kind", 14), ("title", 36), ("platform", 16), ("link", 30),
               ("builds shown", 30), ("disclosed", 12), ("how", 30))  # fmt: skip
    sheet = _table(
        workbook, "Publications", columns,
        [(one.day, _KINDS[one.kind], one.title, one.platform, one.link, ", ".join(one.builds),
          one.disclosed_on or "not noted", one.how) for one in report.published],
    )  # fmt: skip
    for row, one in enumerate(report.published, HEADING_ROW + 1):
        if one.link.startswith(("https://", "http://")):
            sheet.cell(row, 5).hyperlink = one.link


def _deliverables(workbook: Workbook, report: SponsorReport) -> None:
    columns = (("kind", 26), ("promised", 12), ("delivered", 12), ("late", 10), ("due", 14))
    _table(
        workbook, "Deliverables", columns,
        [(_KINDS[one.kind], one.number, one.done, one.late, one.due) for one in report.promised],
        (2, 3, 4),
    )  # fmt: skip


def _photos(workbook: Workbook, report: SponsorReport) -> None:
    if report.photos:
        _table(workbook, "Photos", (("file name", 60),), [(name,) for name in report.photos])
