"""Random histories of a whole shop, typed at the program; after every step its sums are redone.

A `History` opens a book of one currency, then types commands that a dice picks: receipts with
discounts, goods in kind, credit notes, issues and returns, offcuts, jobs by parts, by lines and by
one sum, layouts, quotes, changes, payments, invoices, jobs canceled, closed and opened again,
months closed and opened again, and entries taken back in any order. A refusal is an answer like
any other; a traceback, a half entry, or a sum that does not come out is a `Broken`.

After every step that wrote, all rules of `Sums` are asked of the whole book, and the program for
each month and job that the step touched. Posted rows are read anew and compared, the program's own
`check` runs and every month and job is asked for at each tenth step and at the end. A step that
wrote nothing by the file's own count leaves nothing to look at. Connections to the book are kept
open from one command to the next (`kept_open`): what opening costs is no part of the trial.
"""

import random
import shutil
import sqlite3
from collections import Counter, defaultdict
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from history_sums import Row, Sums, opened
from typer.testing import CliRunner

from ledger.book import Book
from ledger.book.check import examine
from ledger.book.tables.ground import Job
from ledger.book.worked_out import WORKED_OUT
from ledger.cli.main import app
from ledger.jobs.payments import balance, outstanding
from ledger.labor.history import work_of_job
from ledger.measures.day import Month
from ledger.measures.money import total
from ledger.reports.roll import roll_between
from ledger.reports.spend import spend_between
from ledger.stock.worth import job_material, offcut_credit
from ledger.upkeep.checks import CHECKS

FIRST = date(2025, 4, 3)
SUPPLIERS = ("Copper Vale Lumber", "Oak", "Pellworth Coatings")
GOODS = ("PLY", "EDGE", "HINGE", "GLUE")
LOOK = 10
"""After so many steps the book is looked at whole."""


STOCK = ("lot", "movement", "receipt", "job_use_tax")
"""The tables whose rows stand in a month's stock and spend, each with its day."""


class Broken(AssertionError):
    """A step after which something does not hold."""


@dataclass(frozen=True)
class Shop:
    """A kind of shop: its money, its units, how it stands to tax."""

    currency: str
    digits: int
    units: str
    sheet: str
    roll: str
    settings: tuple[str, ...]


RATES = ("overhead_year=22000", "pay_year=56000", "helper_cost=24", "helper_billed=40")
SHOPS = {
    "USD": Shop("USD", 2, "inch", "48 in,96 in", "ft", ("tax_rate=6 %", "use_tax_rate=6 %")),
    "EUR": Shop("EUR", 2, "mm", "1250 mm,2500 mm", "m",
                ("tax_standing=vat", "tax_rate=19 %")),
    "JPY": Shop("JPY", 0, "mm", "910 mm,1820 mm", "m",
                ("tax_standing=sales_tax", "tax_rate=10 %", "price_step=100")),
    "KWD": Shop("KWD", 3, "mm", "1220 mm,2440 mm", "m", ("tax_standing=exempt",)),
}  # fmt: skip


class _Kept(sqlite3.Connection):
    """A connection that is put aside where it would be closed, its transaction taken back."""

    address = ""

    def close(self) -> None:
        if self.in_transaction:
            self.rollback()
        _aside[self.address].append(self)


_aside: dict[str, list[_Kept]] = defaultdict(list)


@contextmanager
def kept_open() -> Iterator[None]:
    """Let the program's connections to a book be used again by the next command, as they are."""
    connect = sqlite3.connect

    def again(address: str, **options: Any) -> sqlite3.Connection:
        if not address.endswith("shop.sqlite?mode=rw"):
            return connect(address, **options)
        if _aside[address]:
            return _aside[address].pop()
        made = connect(address, factory=_Kept, **options)
        made.address = address
        return made

    sqlite3.connect = again
    try:
        yield
    finally:
        sqlite3.connect = connect
        for made in (one for some in _aside.values() for one in some):
            sqlite3.Connection.close(made)
        _aside.clear()


class History:
    """One shop's history: a book in a folder of its own, and the dice that make it."""

    def __init__(self, folder: Path, shop: Shop, seed: int, made: Path | None = None) -> None:
        """Open the book, made anew or copied from `made`."""
        self.folder, self.shop, self.dice = folder, shop, random.Random(seed)
        self.path = folder / "shop.sqlite"
        self.day = FIRST
        self.told = Counter[str]()
        self.typed: list[str] = []
        if made is None:
            self._make()
        else:
            shutil.copy(made, self.path)
        self.file = opened(self.path)
        self.sums = Sums(self.file)

    def close(self) -> None:
        """Read no more."""
        self.file.close()

    def _make(self) -> None:
        (self.folder / "goods.csv").write_text(
            "code,name,kind,unit,width,length,thickness,grain,price\n"
            f"PLY,Birch ply,sheet,sheet,{self.shop.sheet},,length,72\n"
            f"EDGE,Edge tape,edging,{self.shop.roll},,,,,1\n"
            "HINGE,Cup hinge,hardware,each,,,,,4\nGLUE,Wood glue,adhesive,bottle,,,,,9\n"
        )
        for words in (
            (
                "new",
                "--shop",
                "Quillhaven Workshop",
                "--currency",
                self.shop.currency,
                "--units",
                self.shop.units,
            ),
            ("shop", "set", *RATES, *self.shop.settings),
            ("material", "load", str(self.folder / "goods.csv")),
            ("sponsor", "add", "Price"),
            ("design", "load", str(self._parts("cabinet"))),
            ("job", "new", "Wall bed", "--design", "cabinet", "--client", "D. Marrow"),
            (
                "receipt",
                "add",
                "PLY",
                "8",
                "70",
                "--and",
                "EDGE 90 at 1",
                "--and",
                "HINGE 30 at 4",
                "--and",
                "GLUE 6 at 9",
                "--from",
                "Oak",
                "--tax",
                "12",
                "--on",
                "2025-04-01",
            ),
        ):
            done = self.type(*words)
            if done.exit_code:
                raise Broken(f"{words}: {done.output}")

    def _parts(self, name: str) -> Path:
        """A parts list of a few parts, of sizes that the dice choose."""
        unit = 1 if self.shop.units == "inch" else 25
        rows = "".join(
            f"{chr(65 + at)}1,{self.dice.randint(1, 4)},{unit * self.dice.randint(8, 60)},"
            f"{unit * self.dice.randint(3, 30)},{self.dice.choice(['any', 'length'])},PLY\n"
            for at in range(self.dice.randint(1, 4))
        )
        path = self.folder / f"{name}.csv"
        path.write_text("id,qty,length,width,grain,material\n" + rows)
        return path

    def type(self, *words: str, keys: str | None = None) -> Any:
        """Run the program in this process, on the history's day."""
        env = {
            "BENCHLEDGER_BOOK": str(self.path), "BENCHLEDGER_TODAY": str(self.day),
            "BENCHLEDGER_NOW": "16:00", "NO_COLOR": "1",
        }  # fmt: skip
        return CliRunner().invoke(app, list(words), input=keys, env=env)

    # --- a step, and what is looked at after it ---

    def step(self) -> str:
        """Type one command that the dice pick, and look at what it left; what it was."""
        if self.dice.random() < 0.2:
            self.day += timedelta(self.dice.choice([1, 2, 5, 9, 20]))
        names = [name for name, (weight, _) in STEPS.items() for _ in range(weight)]
        name = self.dice.choice(names)
        words = STEPS[name][1](self)
        if words is None:
            return f"{name} (nothing to do)"
        self.typed.append(f"{self.day} {' '.join(words)}")
        done = self.type(*words)
        told = "done" if done.exit_code == 0 else "refused"
        self.told[f"{name} {told}"] += 1
        self._answered(words, done)
        self._hold(is_refused=done.exit_code != 0)
        return f"{name} {told}"

    def play(self, steps: int) -> None:
        """Type so many commands, and look at the book whole at times and at the end."""
        with kept_open():
            for at in range(steps):
                self.step()
                if at % LOOK == LOOK - 1 or at == steps - 1:
                    self.look_at_all()

    def _broken(self, what: str) -> Broken:
        tail = "\n".join(self.typed[-12:])
        return Broken(f"{self.shop.currency}: {what}\nafter:\n{tail}")

    def _answered(self, words: tuple[str, ...], done: Any) -> None:
        if done.exception and not isinstance(done.exception, SystemExit):
            raise self._broken(f"{words}: {done.exception!r}") from done.exception
        if done.exit_code and (done.exit_code != 1 or not done.stderr.strip()):
            raise self._broken(f"{words}: exit {done.exit_code}, {done.output}")

    def _hold(self, *, is_refused: bool) -> None:
        before, self.sums = self.sums, self.sums.after(self.file)
        if self.sums is before:
            return
        new = [row["verb"] for row in self.sums.all["deed"][len(before.all["deed"]) :]]
        posted = [verb for verb in new if verb != WORKED_OUT]
        if len(posted) > (0 if is_refused else 1):
            raise self._broken(f"it posted {new}")
        self._compare(before, self.sums.touched(before))

    def look_at_all(self) -> None:
        """Every row is as it was posted, each month and job comes out, and `check` agrees."""
        before, self.sums = self.sums, Sums(self.file)
        every = [(name, row) for name, rows in self.sums.now.items() for row in rows]
        self._compare(before, every)
        with Book(self.path, self.day) as book:
            wrong = [said for finding in examine(book, CHECKS) for said in finding.wrong]
        if wrong:
            raise self._broken(f"check says {wrong}")

    def _compare(self, before: Sums, rows: list[tuple[str, Row]]) -> None:
        """Ask the sums' rules, and the program for the months and jobs of those rows."""
        for fault in self.sums.faults(before):
            raise self._broken(fault)
        months = {row["day"][:7] for name, row in rows if name in STOCK}
        jobs = {row["id"] if name == "job" else row.get("job") for name, row in rows}
        with Book(self.path, self.day) as book:
            for month in sorted(months):
                self._month(book, Month.of(date.fromisoformat(f"{month}-01")))
            for row in self.sums.now["job"]:
                if row["id"] in jobs:
                    self._job(book, row["id"])

    def _month(self, book: Book, month: Month) -> None:
        """The program's month is the month of the plain rows, and closes."""
        for roll, value in zip(
            roll_between(book, month.first, month.last), ("full", "cash"), strict=True
        ):
            own = self.sums.roll(str(month), value)
            columns = {name: amount.minor for name, amount in roll.columns().items()}
            if not roll.closes() or columns != {name: own[name] for name in columns}:
                raise self._broken(f"{month} {value}: {columns}, by its rows {dict(own)}")
        spend, own_spend = spend_between(book, month.first, month.last), self.sums.spend(str(month))
        for name, amount in own_spend.items():
            told = getattr(spend, name)
            said = (
                {p.name: p.amount.minor for p in told} if isinstance(amount, dict) else told.minor
            )
            if said != amount:
                raise self._broken(f"{month} {name}: {said}, by its rows {amount}")
            if isinstance(amount, dict) and sum(amount.values()) != spend.landed.minor:
                raise self._broken(f"{month} {name} does not come to landed")

    def _job(self, book: Book, number: int) -> None:
        """What the program says of a job's money, material and hours is what its rows say."""
        job = book.row(Job, number)
        if job is None:
            raise self._broken(f"job {number} cannot be read")
        paid, own = balance(book, job), self.sums.money(number)
        told = {"asked": paid.asked.minor, "received": paid.received.minor,
                "due": paid.due.minor}  # fmt: skip
        still = sum(one.open.minor for one in outstanding(book, job))
        if told != own or still < max(own["due"], 0):
            raise self._broken(f"{job.number}: {told}, {still} open; by its rows {own}")
        used, racked = job_material(book, number), offcut_credit(book, number)
        worth = [total(getattr(use, name) for use in used) - back
                 for name, back in zip(("full", "cash"), racked, strict=True)]  # fmt: skip
        if tuple(one.minor for one in worth) != self.sums.job_material(number):
            raise self._broken(f"{job.number}: {worth}, {self.sums.job_material(number)}")
        minutes = sum(row.minutes for row in work_of_job(book, number))
        if minutes != self.sums.minutes(number):
            raise self._broken(f"{job.number}: {minutes} minutes")

    # --- what the dice pick from ---

    def amount(self, most: int) -> str:
        """An amount of at most so many whole units of the money, to its last digit."""
        minor = self.dice.randint(1, most * 10**self.shop.digits)
        whole, part = divmod(minor, 10**self.shop.digits)
        mark = "," if self.shop.digits == 3 else "."
        return f"{whole}{mark}{part:0{self.shop.digits}}" if self.shop.digits else str(whole)

    def job(self) -> str | None:
        """The number of a job, most often of a late one."""
        known = [row["number"] for row in self.sums.now["job"]]
        return (
            self.dice.choice(known[-4:] if self.dice.random() < 0.8 else known) if known else None
        )

    def past_day(self) -> str:
        """Today or some day before it."""
        days = self.dice.choice([0, 0, 0, 1, 3, 10, 30])
        return str(max(FIRST, self.day - timedelta(days)))

    def pick(self, rows: list[Any]) -> Any:
        """One of the rows, or None."""
        return self.dice.choice(rows) if rows else None


type Words = tuple[str, ...] | None
type Step = Callable[[History], Words]
STEPS: dict[str, tuple[int, Step]] = {}


def step(name: str, weight: int = 1) -> Callable[[Step], Step]:
    """Note a step under its name, and how often it is picked."""

    def note(make: Step) -> Step:
        STEPS[name] = (weight, make)
        return make

    return note


def of_job(words: Callable[[History, str], Words]) -> Step:
    """A step about a job; without a job there is nothing to do."""

    def make(shop: History) -> Words:
        job = shop.job()
        return None if job is None else words(shop, job)

    return make
