"""What `benchledger sponsor` says: sponsors as they stand, a report, the accountant's side."""

from datetime import date
from typing import Any

from ledger.book import Book
from ledger.book.tables.sponsors import Sponsor
from ledger.cli import voice
from ledger.errors import NotAllowed
from ledger.measures.day import Month, parse_month
from ledger.measures.duration import show_minutes
from ledger.measures.money import Currency, Money
from ledger.measures.plain import plain, plain_fields, plain_rows
from ledger.measures.quantity import show_quantity
from ledger.measures.units import show_count
from ledger.reports.sponsor import SponsorReport, Used
from ledger.reports.sponsor_json import sponsor_json
from ledger.reports.sponsor_words import offcut_words
from ledger.sponsors.account import InKindAccount
from ledger.sponsors.agreements import agreements, progress, published_for, sponsors
from ledger.sponsors.goods import held
from ledger.sponsors.publications import disclosure_of, undisclosed
from ledger.sponsors.statement import Amount

_NO_CASH = Money(0)


def the_span(book: Book, month: str, since: str, until: str) -> tuple[date, date]:
    """The first and last day that were asked for; the month just ended where none was.

    Raises:
        NotAllowed: a month and days at once.
    """
    if month and (since or until):
        raise NotAllowed("Say either a month, or a first and a last day: --from DAY --to DAY")
    if since or until:
        last = book.dates.read(until, future=True) if until else book.today
        return (book.dates.read(since) if since else Month.of(last).first), last
    chosen = parse_month(month, book.today) if month else Month.of(book.today).previous()
    return chosen.first, chosen.last


def all_sponsors(book: Book, *, as_json: bool) -> None:
    """Say every sponsor with what is still due to them."""
    rows: list[tuple[Sponsor, int, int, int]] = []
    for sponsor in sponsors(book).values():
        promised = progress(book, sponsor.name)
        rows.append((sponsor, sum(one.done for one in promised),
                     sum(one.number for one in promised),
                     len(undisclosed(book, sponsor.name))))  # fmt: skip
    if as_json:
        voice.print_json(
            [
                {"sponsor": sponsor.name, "objective": sponsor.objective, "done": done,
                 "promised": number, "undisclosed": silent}
                for sponsor, done, number, silent in rows
            ]
        )  # fmt: skip
        return
    if not rows:
        voice.note("There is no sponsor yet: benchledger sponsor add NAME")
        return
    voice.table(
        ["sponsor", ">done", ">undisclosed", "objective"],
        [
            [sponsor.name, f"{done} of {number}", str(silent), sponsor.objective]
            for sponsor, done, number, silent in rows
        ],
    )


def one_sponsor(book: Book, sponsor: Sponsor, *, as_json: bool) -> None:
    """Say all there is of one sponsor, for the owner's eyes."""
    payload = _json(book, sponsor)
    if as_json:
        voice.print_json(payload)
        return
    voice.heading(sponsor.name)
    voice.pairs({"objective": sponsor.objective or "none noted yet"})
    for one in payload["agreements"]:
        written = f" ({one['evidence']})" if one["evidence"] else ""
        supplies = one["supplies"] or "none noted"
        voice.say(f"Agreed {one['day']}{written}: supplies: {supplies}; fee {one['fee']}")
    blocks: list[tuple[str, list[str], list[list[str]]]] = [
        ("Nothing is promised.", ["promised", ">done", "due"],
         [[one["kind"], f"{one['done']} of {one['promised']}", one["due"]]
          for one in payload["deliverables"]]),
        ("Nothing of theirs is in the shop.",
         ["in the shop", ">left", "unit", "lot", "since", ""],
         [[one["item"], one["left"], one["unit"], str(one["lot"]), one["since"],
           "lent" if one["loan"] else "given"] for one in payload["goods"]]),
        ("Nothing is published.", ["published", "kind", "title", "disclosed"],
         [[one["day"], one["kind"], one["title"], one["disclosed_on"] or "not noted"]
          for one in payload["publications"]]),
    ]  # fmt: skip
    for none, columns, rows in blocks:
        if rows:
            voice.table(columns, rows)
        else:
            voice.say(none)


def _json(book: Book, sponsor: Sponsor) -> dict[str, Any]:
    name = sponsor.name
    return {
        "sponsor": name,
        "objective": sponsor.objective,
        "agreements": plain_rows(
            agreements(book, name), "day supplies fee evidence", book.currency
        ),
        "deliverables": plain_rows(progress(book, name), "kind promised=number done due"),
        "goods": [
            plain_fields(one, "item=lot.words left unit=lot.unit lot=lot.lot since=lot.day")
            | {"loan": one.lot.source == "borrowed"}
            for one in held(book, name)
        ],
        "publications": [
            {**plain_fields(row, "day kind title link"),
             "disclosed_on": str(disclosed.day) if disclosed else None,
             "how": disclosed.how if disclosed else ""}
            for row in published_for(book, name)
            for disclosed in [disclosure_of(book, row)]
        ],
    }  # fmt: skip


def the_report(report: SponsorReport, *, as_json: bool) -> None:
    """Say a report as the sponsor will read it."""
    if as_json:
        voice.print_json(sponsor_json(report))
        return
    voice.heading(f"{report.sponsor}, {report.first} to {report.last}")
    voice.say(report.objective or "(no objective noted)")
    voice.say(
        f"Promised and done: {report.done_number} of {report.promised_number}"
        if report.promised_number
        else f"Nothing was promised up to {report.last}."
    )
    if report.published:
        voice.table(
            ["published", "kind", "title", "link", "disclosed"],
            [[str(one.day), one.kind, one.title, one.link,
              str(one.disclosed_on) if one.disclosed_on else "not noted"]
             for one in report.published],
        )  # fmt: skip
    _say_goods(report)
    for tool in report.tools:
        where = ("lent" if tool.loan else "given") if tool.here else "sent back"
        details = [show_minutes(tool.minutes), f"{tool.uses} uses", f"{tool.blades} blades"]
        voice.say(f"Tool {tool.name} ({where}): {', '.join([*details, *tool.faults])}")
    if any(line.closing for line in report.lines) or report.offcuts:
        left = "; ".join([report.where, *report.offcuts])
        voice.say(f"What is left stands {left}.")
    voice.say_all(offcut_words(report))
    if report.next_use:
        voice.say(f"Next: {report.next_use}")
    shown = [*report.photos, *(f"of {one.build}: {one.words}" for one in report.pictures)]
    voice.say_all((*report.results, *(f"photo {name}" for name in shown)))


def _say_goods(report: SponsorReport) -> None:
    def shown(amount: Amount) -> str:
        return f"{show_quantity(amount.quantity)} / {report.currency.show(amount.value)}"

    for line in report.lines:
        voice.table(
            [f"<{line.item} ({line.unit}{', on loan' if line.loan else ''})", ">number", ">value"],
            [
                [name, show_quantity(amount.quantity), report.currency.show(amount.value)]
                for name, amount in (
                    ("opening", line.opening), ("received", line.received), ("used", line.used),
                    ("damaged or wasted", line.wasted), ("sent back", line.sent_back),
                    ("counted or kept", line.otherwise),
                )
                if amount or name in ("opening", "received", "used")
            ],
            footer=["closing", show_quantity(line.closing.quantity),
                    report.currency.show(line.closing.value)],
        )  # fmt: skip
    for one in report.used:
        amount = show_count(one.amount.quantity, one.unit)
        worth = report.currency.show(one.amount.value)
        voice.say(f"{one.build}: {amount} of {one.item} used, worth {worth}; {_seen(one)}.")
    for event in report.gone:
        voice.say(f"{event.day} {event.what}: {event.item} {shown(-event.amount)}; {event.words}")


def _seen(one: Used) -> str:
    """How much of what a build used was on camera, as far as that was noted."""
    if one.unsaid == one.amount.quantity:
        return "whether on camera was not noted"
    whole = one.on_camera == one.amount.quantity
    how_much = "all" if whole else show_quantity(one.on_camera) if one.on_camera else "none"
    unsaid = f", not noted for {show_quantity(one.unsaid)}" if one.unsaid else ""
    return f"{how_much} of it on camera{unsaid}"


def the_account(account: InKindAccount, currency: Currency, *, as_json: bool) -> None:
    """Say the accountant's side of free goods."""
    sums = {
        "opening": account.opening, "income in kind": account.received,
        "used, an expense": -account.used, "damaged or lost": -account.lost,
        "sent back": -account.sent_back, "kept or given away": -account.own_use,
        "closing": account.closing,
    }  # fmt: skip
    if as_json:
        voice.print_json(_account_json(account, currency))
        return
    voice.heading(f"Free goods at fair value, {account.first} to {account.last}")
    voice.table(
        ["day", "", "goods", ">number", ">value", "shown by"],
        [
            [str(row.day), row.place.replace("_", " "), f"{row.item}, {row.sponsor}",
             show_quantity(row.quantity), currency.show(row.value),
             row.evidence if row.place == "received" else f"{row.job} {row.words}".strip()]
            for row in account.rows
        ],
    )  # fmt: skip
    voice.table(["", ">value"], [[name, currency.show(sums[name])] for name in sums])
    for tool in account.tools:
        voice.say(f"Tool kept: {tool.item}, {currency.show(tool.value)}")
    for loan in account.loans:
        worth = currency.show(loan.declared)
        voice.say(f"On loan, not ours: {show_quantity(loan.left)} {loan.words} of {loan.sponsor},"
                  f" declared {worth}")  # fmt: skip
    voice.say(account.note)


def _account_json(account: InKindAccount, currency: Currency) -> dict[str, Any]:
    return {
        **plain_fields(account, "first last"),
        "sums": plain_fields(
            account, "opening received used lost sent_back own_use closing", currency
        ),
        "rows": [
            plain_fields(row, "day what=place sponsor item quantity unit value", currency)
            | {"cash": plain(_NO_CASH, currency)}
            | plain_fields(row, "job method evidence document")
            for row in account.rows
        ],
        "tools": plain_rows(account.tools, "item sponsor since=day value", currency),
        "loans": plain_rows(
            account.loans, "item=words sponsor since=day quantity=left declared", currency
        ),
        "note": account.note,
    }
