"""What the forms of the page do: each reads its fields, calls a verb, and answers in a sentence.

No sentence has money in it, nor a client: they stand on a screen in the shop, and go over its
network as they are.
"""

from collections.abc import Mapping
from functools import partial

from ledger.book import Book
from ledger.book.journal import CUT
from ledger.book.tables.ground import Job
from ledger.book.tables.operations import Operation
from ledger.errors import BadValue, NotAllowed
from ledger.jobs.income import add_spoiled
from ledger.jobs.jobs import find_job
from ledger.jobs.lines import is_known
from ledger.labor.clock import require_running, running
from ledger.labor.log import TimeEntry, name_of, read_class
from ledger.labor.standards import Group
from ledger.measures.duration import parse_duration, show_minutes
from ledger.measures.money import Money
from ledger.measures.rounding import half_up_whole
from ledger.measures.spoken import how_many
from ledger.measures.units import show_count
from ledger.pages.posting import Action, PreparedEntry, Tap, read_whole
from ledger.pages.receipt_form import receipt
from ledger.verbs import clock, hours, offcuts, stock
from ledger.verbs.cutting import cut_parts
from ledger.verbs.joint import ended_joint_plan
from ledger.verbs.photos import RECEIPT, SPOILED, add_photo


def _target(book: Book, tap: Tap) -> hours.Target:
    words = [tap.required("job", "which job"), tap.required("what", "what is done")]
    return hours.read_target(book, words, read_class(tap.field("class") or "work"))


def clock_on(book: Book, tap: Tap) -> PreparedEntry:
    """Start the clock at the tap; what was running stops."""
    target = _target(book, tap)
    plan = hours.plan_for(book, _job_that_stops(book, tap))
    moment = tap.at.replace(second=0, microsecond=0)

    def post() -> str:
        switched = clock.switch(
            book, target, moment, plan, people=(tap.device.person,), sure=tap.is_sure
        )
        stopped = f"{_stopped_words(switched.stopped)} " if switched.stopped else ""
        return f"{stopped}The clock is on {_named(target)} since {moment:%H:%M}."

    return PreparedEntry("clock on", target.words, post)


def _named(target: hours.Target) -> str:
    """A target by the name of what is done, its code beside it, as lists of the desk have it."""
    done, number = target.activity, target.job.number if target.job else "the shop:"
    if isinstance(done, Operation):
        return f"{number} {done.name} ({done.code})"
    return f"{number} {name_of(done)}"


def clock_off(book: Book, tap: Tap) -> PreparedEntry:
    """Stop the clock at the tap."""
    require_running(book)
    plan = hours.plan_for(book, _job_that_stops(book, tap))
    moment = tap.at.replace(second=0, microsecond=0)
    end = partial(clock.end, book, moment, plan, sure=tap.is_sure)
    return PreparedEntry("clock off", f"{moment:%H:%M}", lambda: _stopped_words(end()))


def _job_that_stops(book: Book, tap: Tap) -> Job | None:
    """The job whose clock runs; a helper may not stop one that others started."""
    before = running(book)
    if before is None:
        return None
    if tap.device.is_helper and before.people != (tap.device.person,):
        raise NotAllowed(
            "The shop has one clock, and it runs for somebody else. Note your hours under Hours."
        )
    return before.job


def _stopped_words(stopped: clock.Stopped) -> str:
    if stopped.hours is None:
        return "It ran for less than a minute; nothing was entered."
    return _hours_words(stopped.hours)


def _hours_words(posted: hours.PostedHours) -> str:
    """What was entered, and where its job stands; no word of what an hour costs."""
    target = posted.job.number if posted.job else "The shop"
    split = ", split by the estimate" if posted.is_split else ""
    words = f"{target} {posted.what}: {show_minutes(posted.minutes)} on {posted.day}{split}."
    if posted.beside and posted.beside.planned:
        planned = show_minutes(half_up_whole(posted.beside.planned * 60))
        words += f" So far {show_minutes(posted.beside.minutes)} of {planned}."
    return words


def add_hours(book: Book, tap: Tap) -> PreparedEntry:
    """Enter hours from memory."""
    target = _target(book, tap)
    time_entry = TimeEntry(
        job=target.job,
        activity=target.activity,
        minutes=parse_duration(tap.required("duration", "how long, such as 1h45")),
        day=tap.day(book),
        kind=target.kind,
        people=(tap.device.person,),
        part=tap.field("part"),
        cause=tap.field("cause"),
        note=tap.field("note"),
    )
    plan = hours.plan_for(book, target.job)
    needs_shares = isinstance(target.activity, Group) and plan.hours is None
    if needs_shares and target.job and is_known(book, target.job):
        raise NotAllowed(
            f"{target.job.number} has no hours worked out yet by which to split a group. Say which"
            f" operation it was, or lay it out first: benchledger layout {target.job.number}"
        )
    enter = partial(hours.enter, book, time_entry, plan, sure=tap.is_sure)
    return PreparedEntry("hours add", time_entry.words, lambda: _hours_words(enter()))


def _item_words(tap: Tap) -> list[str]:
    quantity = tap.required("quantity", "how much")
    return [tap.required("job", "which job"), tap.required("material", "which material"),
            *quantity.split()]  # fmt: skip


def issue(book: Book, tap: Tap) -> PreparedEntry:
    """Take material to a job."""
    words, day = _item_words(tap), str(tap.day(book))

    def post() -> str:
        job, moved = stock.issue(book, words, on=day)
        sentences = [_moved_words(job, moved, "taken to"), *stock.over_estimate(book, job, moved)]
        if ended := ended_joint_plan(book, job, [one.item for one in moved]):
            sentences.append(
                f"{ended.names} are no longer cut together: each goes by its own layout."
            )
        return " ".join(sentences)

    return PreparedEntry("stock issue", " ".join(words), post)


def give_back(book: Book, tap: Tap) -> PreparedEntry:
    """Put back what a job did not use."""
    words, day = _item_words(tap), str(tap.day(book))
    return PreparedEntry(
        "stock return", " ".join(words),
        lambda: _moved_words(*stock.give_back(book, words, on=day), "back from"),
    )  # fmt: skip


def _moved_words(job: Job, moved: tuple[stock.Moved, ...], how: str) -> str:
    return " ".join(
        f"{one.item}: {show_count(one.quantity, one.unit)} {how} {job.number},"
        f" {show_count(one.left, one.unit)} left."
        for one in moved
    )


def keep(book: Book, tap: Tap) -> PreparedEntry:
    """Put offcuts of a job on the rack."""
    job, material = tap.required("job", "which job"), tap.required("material", "which material")
    sizes = tap.required("sizes", "their sizes, such as 95-1/2x15-11/16").split()
    day = str(tap.day(book))

    def post() -> str:
        kept = offcuts.keep(book, job, material, sizes, on=day)
        small = f"; {kept.too_small} too small to keep" if kept.too_small else ""
        pieces = how_many(len(kept.pieces), "piece")
        return f"{kept.material}: {pieces} of {kept.jobs} on the rack{small}."

    return PreparedEntry("stock keep", f"{job} {material} {' '.join(sizes)}", post)


def spoiled(book: Book, tap: Tap) -> PreparedEntry:
    """Note a spoiled part with its cause, and the hours of making it again if they are known."""
    job = find_job(book, tap.required("job", "which job"))
    part, cause = tap.required("part", "which part"), tap.required("cause", "what happened")
    day, again = tap.day(book), None
    if tap.field("duration"):
        fields = {**tap.fields, "class": "rework"}
        again = add_hours(book, Tap(tap.device, fields, tap.at))

    def post() -> str:
        if tap.photo:
            add_photo(book, tap.photo, SPOILED, job=job, part=part, words=cause, day=day)
        add_spoiled(book, job, Money(0), cause, part=part, day=day)
        worked = f" {again.post()}" if again else " No hours are noted for making it again."
        return f"{job.number}: part {part} spoiled, {cause}. Its cost has no figure yet.{worked}"

    return PreparedEntry("job spoiled", f"{job.number} {part} {cause}", post)


def photo(book: Book, tap: Tap) -> PreparedEntry:
    """Keep a photo of a receipt, which the desk enters, or of a build."""
    about, words = tap.field("about") or RECEIPT, tap.field("words")
    if not tap.photo:
        raise BadValue("Take a photo first.")
    job = find_job(book, tap.field("job")) if tap.field("job") else None

    def post() -> str:
        row = add_photo(book, tap.photo, about, job=job, words=words, day=tap.at.date())
        if about == RECEIPT:
            return f"Photo {row.key} of a receipt is kept; it waits to be entered at the desk."
        return f"Photo {row.key} of {job.number if job else ''} is kept."

    return PreparedEntry("photo", f"{about} {job.number if job else ''} {words}".strip(), post)


def cut(book: Book, tap: Tap) -> PreparedEntry:
    """Note that parts of one sheet are cut: a line each of mark and number, as they were tapped."""
    job, lines = find_job(book, tap.required("job", "which job")), tap.required("parts", "which")
    sheet, parts = tap.whole("sheet"), [_part(line) for line in lines.splitlines()]

    def post() -> str:
        on_sheet = cut_parts(book, job, tap.field("layout"), sheet, parts)
        counts = [f"{mark}, {number} of {on_sheet.marks[mark]}" for mark, number in parts]
        return f"{on_sheet.problem.material} {on_sheet.name} {sheet}: {'; '.join(counts)} cut."

    return PreparedEntry(CUT, f"{job.number} {', '.join(lines.splitlines())}", post)


def _part(line: str) -> tuple[str, int]:
    mark, _, number = line.strip().rpartition(" ")
    return mark, read_whole(number, "The number of a part")


ACTIONS: Mapping[str, Action | None] = {
    "clock-on": clock_on,
    "clock-off": clock_off,
    "hours": add_hours,
    "issue": issue,
    "give-back": give_back,
    "keep": keep,
    "spoiled": spoiled,
    "photo": photo,
    "cut": cut,
    "receipt": receipt,
    "undo": None,
}
"""The forms by the name in their address; None takes the device's last entry back."""
