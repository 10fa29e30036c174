"""A sponsor's report on paper: their objective first, what was published, and their goods.

It is made of a `SponsorReport`, which has no field for what a sponsor must not see.
"""

from collections.abc import Callable, Sequence
from datetime import date

from ledger.errors import NotAllowed
from ledger.measures.money import Money, total
from ledger.measures.quantity import Quantity, show_quantity
from ledger.measures.spoken import large
from ledger.measures.units import show_count
from ledger.papers.blocks import Account, heading, notes, pairs, photograph, table
from ledger.papers.engine import Paper
from ledger.papers.pictures import file_name, written_anew
from ledger.papers.words import Words, amount, day_words, row
from ledger.quotes.offer import Maker
from ledger.reports.sponsor import Published, SponsorReport
from ledger.reports.sponsor_photos import BuildPhoto
from ledger.reports.sponsor_words import KINDS, camera_words, rest_words, span_words, value_words
from ledger.sponsors.statement import Amount, StatementLine

_COLUMNS = (
    ("opening", "opening"), ("received", "received"), ("used", "used"), ("wasted", "damaged"),
    ("sent_back", "sent back"), ("closing", "closing"),
)  # fmt: skip


def sponsor_paper(report: SponsorReport, maker: Maker, units: str, size: str) -> Paper:
    """The report as its sponsor reads it; `units` say in which order days are written."""

    def day(when: date) -> str:
        return day_words(when, report.currency, units)

    pictures = [_picture(one) for one in report.pictures]
    box = ("Your objective", report.objective) if report.objective else ("", "")
    return Account(
        kind="Report",
        number=span_words(report.first, report.last),
        title=report.sponsor,
        day=report.last,
        maker=maker,
        currency=report.currency,
        foot=report.sponsor,
        below=f"What became of your support, {span_words(report.first, report.last)}",
        box=box,
        big=_big(report),
        blocks=[
            *_published(report, day), *_promised(report, day), *_goods(report),
            *_builds(report, day), *_photos(report, pictures, day), *_rest(report, day),
        ],
        pictures={file_name(number, one): one for number, one in enumerate(pictures)},
    ).paper(size)  # fmt: skip


def _big(report: SponsorReport) -> list[tuple[str, str]]:
    builds = len({one.build for one in report.used})
    promised = f"{report.done_number} of {report.promised_number}"
    return [
        (str(len(report.published)), "published"),
        *([(promised, "promised pieces delivered")] if report.promised else []),
        (str(builds), "build with your goods" if builds == 1 else "builds with your goods"),
    ]


def _published(report: SponsorReport, day: Callable[[date], str]) -> list[Words]:
    if not report.published:
        return []
    columns = ("|Published", "What", "Disclosure")
    rows = [
        row(day(one.day), _what(one), one.how or "to be added") for one in report.published
    ]  # fmt: skip
    return [table(columns, rows)]


def _what(one: Published) -> str:
    shows = f"shows {', '.join(one.builds)}" if one.builds else ""
    return (
        f"{one.title}\n{' · '.join(filter(None, (KINDS[one.kind], one.platform, one.link, shows)))}"
    )


def _promised(report: SponsorReport, day: Callable[[date], str]) -> list[Words]:
    if not report.promised:
        return []
    rows = []
    for one in report.promised:
        late = f", {one.late} late" if one.late else ""
        rows.append(row(KINDS[one.kind], f"{one.done} of {one.number}{late}", day(one.due)))
    whole = f"{report.done_number} of {report.promised_number}"
    rows.append(row("Together", whole, "", look="sum"))
    return [heading("Agreed"), table(("Piece", ">delivered", ">due"), rows)]


def _goods(report: SponsorReport) -> list[Words]:
    """Each kind of goods from the first day to the last, in its unit and at fair value."""
    if not report.lines:
        return []
    rows: list[Words] = []
    for line in report.lines:
        lent = ", on loan" if line.loan else ""
        shown = [_column(line, key) for key, _ in _COLUMNS]
        numbers = [_number(one.quantity) for one in shown]
        values = [_value(report, one.value) for one in shown]
        rows.append(row(f"{line.item} ({line.unit}{lent})", *numbers))
        rows.append(row(f"value, {report.currency.code}", *values))
    if len(report.lines) > 1:
        sums = [total(_column(line, key).value for line in report.lines) for key, _ in _COLUMNS]
        rows.append(row("value together", *(_value(report, one) for one in sums), look="sum"))
    heads = [words for _, words in _COLUMNS]
    return [heading("Your goods"), table(("What", *(f">{head}" for head in heads)), rows)]


def _value(report: SponsorReport, money: Money) -> str:
    return amount(report.currency, money) if money else "–"


def _number(quantity: Quantity) -> str:
    return show_quantity(quantity).replace("-", "−") if quantity else "–"


def _column(line: StatementLine, key: str) -> Amount:
    """A column of the page; what was counted or kept by the shop stands with what was used."""
    moved: Amount = getattr(line, key)
    return moved + line.otherwise if key == "used" else moved


def _builds(report: SponsorReport, day: Callable[[date], str]) -> list[Words]:
    if not (report.used or report.gone):
        return []
    several = len({line.item for line in report.lines}) > 1
    rows = [
        row(f"{one.build}: {one.item}" if several else one.build,
            show_count(one.amount.quantity, one.unit), camera_words(one))
        for one in report.used
    ]  # fmt: skip
    for event in report.gone:
        details = [f"{large(event.what)} on {day(event.day)}"]
        details += [event.item] if several else []
        details += [event.words] if event.words else []
        rows.append(row(": ".join(details), show_count(-event.amount.quantity, event.unit), ""))
    columns = ("Build", ">number", ">on camera")
    return [heading("Where it went"), table(columns, rows)]


def _picture(photo: BuildPhoto) -> bytes:
    try:
        return written_anew(photo.file.read_bytes(), photo.words, as_photo=True)
    except OSError as missing:
        raise NotAllowed(
            f"The photo “{photo.words}” is not beside the book: {photo.file} cannot be read."
        ) from missing


def _photos(
    report: SponsorReport, pictures: Sequence[bytes], day: Callable[[date], str]
) -> list[Words]:
    blocks = []
    for number, (one, content) in enumerate(zip(report.pictures, pictures, strict=True)):
        caption = f"{one.build}, {day(one.day)}: {one.words}"
        blocks.append(photograph(file_name(number, content), f"Photo of {caption}", caption))
    return [heading("Photos"), *blocks] if blocks else []


def _rest(report: SponsorReport, day: Callable[[date], str]) -> list[Words]:
    return [*pairs(rest_words(report)), *notes([value_words(report, day)])]
