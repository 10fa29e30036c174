"""What many tests need: an empty book, and the program run as if typing."""

import fcntl
import importlib.util
import json
import os
import pickle
import shutil
import sqlite3
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from hashlib import sha256
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
from hypothesis import HealthCheck, settings
from typer.testing import CliRunner

from ledger.book import Book, create_book, schema
from ledger.cutting.engine import solver_versions
from ledger.cutting.layout import Layout
from ledger.cutting.problem import Problem
from ledger.cutting.solve import Progress, solve
from ledger.designs.store import save_design
from ledger.jobs.answers import add_cost, set_count
from ledger.jobs.jobs import new_job, set_basis
from ledger.jobs.pricing import price_job
from ledger.labor.standards import load_starting_standards
from ledger.measures.day import DateReader
from ledger.measures.quantity import Quantity
from ledger.stock.materials import materials, save_materials
from ledger.workbooks.readers.design import read_design
from ledger.workbooks.readers.materials import read_materials
from ledger.workbooks.readers.settings import read_settings

# A law of arithmetic holds on a slow machine too; on a build machine the examples are the same ones
# every time.
settings.register_profile(
    "shop",
    deadline=None,
    derandomize="CI" in os.environ,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("shop")

DAY = date(2025, 4, 25)
SAMPLES = Path(__file__).parents[1] / "sample_data"


@pytest.fixture(scope="session")
def run_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder of this run that all its worker processes share."""
    own = tmp_path_factory.getbasetemp()
    return own.parent if "PYTEST_XDIST_WORKER" in os.environ else own


@pytest.fixture(scope="session", autouse=True)
def _laid_out_once(run_folder: Path) -> Iterator[None]:
    """Jobs of the same parts, sheets and saw are laid out once in a run, by the first of its tests.

    So the samples cost their seconds once. `tests/cutting` lays out anew each time, and so does
    every process that a test starts. LEDGER_TEST_LAYOUTS names a folder that several runs share.
    """
    folder = Path(os.environ.get("LEDGER_TEST_LAYOUTS") or run_folder / "layouts")
    folder.mkdir(exist_ok=True)

    def laid(problem: Problem, *, harder: bool = False, progress: Progress | None = None) -> Layout:
        digests = [problem.digest(version) for version in solver_versions()]
        key = sha256(repr((problem, digests, harder)).encode()).hexdigest()
        path = folder / key
        if not path.exists():
            sentences: list[str] = []
            layout = solve(problem, harder=harder, progress=sentences.append)
            written = folder / f"{key}.{os.getpid()}"
            written.write_bytes(pickle.dumps((layout, sentences)))
            written.replace(path)
        layout, sentences = pickle.loads(path.read_bytes())
        for sentence in sentences if progress else ():
            progress(sentence)
        return layout

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("ledger.jobs.plans.solve", laid)
        yield


@pytest.fixture(scope="session", autouse=True)
def _unsynced() -> Iterator[None]:
    """Books of this process leave the disk to the system: waiting for it is a fifth of a run.

    That a finished command outlasts the power is shown by `tests/faults/power.py`, with the
    program's own pragmas; and every process that a test starts has them.
    """
    connect = schema.connect

    def without_waiting(path: Path) -> sqlite3.Connection:
        connection = connect(path)
        connection.execute("PRAGMA synchronous=OFF")
        return connection

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(schema, "connect", without_waiting)
        yield


type PutBook = Callable[..., None]


@pytest.fixture(scope="session")
def put_book(tmp_path_factory: pytest.TempPathFactory) -> PutBook:
    """Put a book at a path: `put_book(path, day, fill, **settings)`; `fill(book)` posts into it.

    One of each sort is made, the others are copies of it, at a fortieth of the time or less.
    """
    made: dict[object, Path] = {}

    def put(path: Path, day: date, fill: Callable[[Book], object] = Book.entries,
            **settings: str) -> None:  # fmt: skip
        sort = (day, fill, tuple(settings.items()))
        if sort not in made:
            first = tmp_path_factory.mktemp("made") / "book.sqlite"
            create_book(first, day, {"shop": "Quillhaven Workshop", **settings})
            with Book(first, day) as book:
                fill(book)
            made[sort] = first
        shutil.copyfile(made[sort], path)

    return put


@pytest.fixture
def book(tmp_path: Path, put_book: PutBook) -> Iterator[Book]:
    """An empty inch and dollar book, open on 2025-04-25."""
    path = tmp_path / "shop.sqlite"
    put_book(path, DAY, currency="USD", units="inch")
    with Book(path, DAY) as opened:
        yield opened


@pytest.fixture
def metric_book(tmp_path: Path, put_book: PutBook) -> Iterator[Book]:
    """An empty millimeter and euro book, open on 2025-04-25."""
    path = tmp_path / "metric.sqlite"
    put_book(path, DAY, currency="EUR", units="mm")
    with Book(path, DAY) as opened:
        yield opened


@pytest.fixture(scope="session")
def bed_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample shop's book on 2025-04-25 with the Marrow bed, priced: its layouts are kept."""
    path = tmp_path_factory.mktemp("bed") / "shop.sqlite"
    make_bed(path)
    return path


def make_bed(path: Path) -> None:
    """Make that book."""
    create_book(path, DAY, {"shop": "Quillhaven Workshop", "currency": "USD", "units": "inch"})
    with Book(path, DAY) as book:
        _put_bed(book)


def _put_bed(book: Book) -> None:
    load_starting_standards(book)
    with book.entry("shop load", ""):
        for name, value in read_settings(SAMPLES / "shop.csv", book.currency, "inch"):
            book.set(name, value)
    save_materials(
        book, read_materials(SAMPLES / "materials.csv", book.currency, "inch", DateReader(DAY))
    )
    design = save_design(book, read_design(SAMPLES / "bed", "inch", materials(book).keys()))
    job = new_job(book, "Marrow fold-down bed", client="D. Marrow", number="J-2507")
    set_basis(book, job, design.key, {})
    add_cost(book, job, "miles", "delivery", Quantity.of(44), Decimal("0.70"))
    for operation, cuts in (("RIP", 33), ("XW", 20), ("XN", 85)):
        set_count(book, job, operation, Quantity.of(cuts), "on the drawn cut plan")
    price_job(book, job)


@pytest.fixture
def pdf_text() -> Callable[[Path], str]:
    """All words of a PDF, on one line."""

    def words(path: Path) -> str:
        with pypdfium2.PdfDocument(path) as document:
            pages = [page.get_textpage().get_text_bounded() for page in document]
        return " ".join(" ".join(pages).replace("\u200b", "").split())

    return words


@dataclass
class Said:
    """What the program said: exit code, facts, notes."""

    code: int
    out: str
    err: str

    def done(self) -> "Said":
        """The same of a command that did what it was asked."""
        assert self.code == 0, self.err
        return self

    def facts(self) -> Any:
        """What it printed as JSON."""
        return json.loads(self.done().out)


def typed(book: Path, words: list[str], *, on: str, at: str = "", keys: str = "") -> Said:
    """What the program says to words typed at a book on a day."""
    from ledger.cli.main import app

    env = {
        "BENCHLEDGER_BOOK": str(book),
        "BENCHLEDGER_TODAY": on,
        "BENCHLEDGER_NOW": at,
        "COLUMNS": "80",
        "NO_COLOR": "1",
    }
    result = CliRunner().invoke(app, words, input=keys or None, env=env, catch_exceptions=False)
    return Said(result.exit_code, result.stdout, result.stderr)


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[..., Said]:
    """The program, typed at: `shop("stock", "list")`, on a book of its own and 2025-04-25.

    `on="2025-05-06"` types on another day, `at="15:40"` at another time.
    """
    monkeypatch.chdir(tmp_path)

    def type_in(*words: str, on: str = "2025-04-25", at: str = "", keys: str = "") -> Said:
        return typed(tmp_path / "shop.sqlite", list(words), on=on, at=at, keys=keys)

    return type_in


@pytest.fixture(scope="session")
def story(run_folder: Path) -> Path:
    """A folder with the book after all that `scripts/demo` types, and its papers: told once."""
    folder = run_folder / "story"
    with (run_folder / "story.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not (folder / "told").exists():
            shutil.rmtree(folder, ignore_errors=True)
            (folder / "papers").mkdir(parents=True)
            _tell_story(folder)
            (folder / "told").touch()
    return folder


def _tell_story(folder: Path) -> None:
    root = SAMPLES.parent
    spec = importlib.util.spec_from_file_location("demo_steps", root / "scripts/demo_steps.py")
    assert spec
    assert spec.loader
    demo_steps = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(demo_steps)
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(folder)
        for day, words in demo_steps.steps(folder / "papers"):
            words = [str(root / w) if w.startswith("sample_data/") else w for w in words]
            said = typed(folder / "shop.sqlite", words, on=day)
            assert said.code == 0, f"{day} {' '.join(words)}\n{said.err}"


@pytest.fixture(scope="session")
def program() -> Iterator[Any]:
    """The program as a process of its own, without paying its imports each time."""
    path = Path(__file__).parent / "faults" / "forks.py"
    spec = importlib.util.spec_from_file_location("forks", path)
    assert spec
    assert spec.loader
    forks = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(forks)
    found = forks.Program()
    yield found
    found.close()


@pytest.fixture(scope="session")
def once() -> dict[object, bytes]:
    """The books of `begun`, by what was typed."""
    return {}


@pytest.fixture
def begun(
    shop: Callable[..., Said],
    tmp_path: Path,
    once: dict[object, bytes],
    request: pytest.FixtureRequest,
) -> Callable[..., Callable[..., Said]]:
    """The program after some commands: `begun([...], [...], on="2025-04-14")`.

    The same commands of one file are typed once; later the book they made is put there again.
    """

    def begin(*commands: list[str], on: str = "2025-04-25") -> Callable[..., Said]:
        key, path = (request.path, on, str(commands)), tmp_path / "shop.sqlite"
        if key not in once:
            for words in commands:
                said = shop(*words, on=on)
                assert said.code == 0, (words, said.err)
            once[key] = path.read_bytes()
        path.write_bytes(once[key])
        return shop

    return begin
