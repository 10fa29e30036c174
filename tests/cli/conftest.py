"""Books of the sample workshop, made once by typing and copied for each test that wants one."""

import shutil
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

SAMPLES = Path(__file__).parents[2] / "sample_data"

START = (
    ("new", "--shop", "Quillhaven Workshop"),
    ("shop", "load", str(SAMPLES / "shop.csv")),
    ("material", "load", str(SAMPLES / "materials.csv")),
    ("job", "new", "Marrow fold-down bed", "--number", "J-2507"),
)
"""The shop, its prices and its job, nothing in stock yet."""

MAY = (
    *START,
    ("stock", "open", str(SAMPLES / "opening_stock.csv"), "--on", "2025-04-01"),
    ("receipt", "load", str(SAMPLES / "sponsor_receipts.csv")),
    ("receipt", "load", str(SAMPLES / "receipts.csv")),
)
"""The same with opening stock, a sponsor's sheets, and the receipts of May."""

type Shop = Callable[..., Any]


@pytest.fixture(scope="session")
def typed_book(tmp_path_factory: pytest.TempPathFactory) -> Callable[[Sequence[Any]], Path]:
    """A book made by typing some commands on the last of May, each row of commands only once."""
    from ledger.cli.main import app

    made: dict[Sequence[Any], Path] = {}

    def book_of(commands: Sequence[Any]) -> Path:
        if commands not in made:
            path = tmp_path_factory.mktemp("typed") / "shop.sqlite"
            env = {"BENCHLEDGER_BOOK": str(path), "BENCHLEDGER_TODAY": "2025-05-31"}
            for words in commands:
                result = CliRunner().invoke(app, list(words), env=env, catch_exceptions=False)
                assert result.exit_code == 0, f"{words}: {result.stderr}"
            made[commands] = path
        return made[commands]

    return book_of


@pytest.fixture
def started(shop: Shop, typed_book: Callable[..., Path], tmp_path: Path) -> Shop:
    """The program on 2025-05-31, with prices and a job, and nothing in stock."""
    shutil.copy(typed_book(START), tmp_path / "shop.sqlite")
    return lambda *words, on="2025-05-31": shop(*words, on=on)


@pytest.fixture
def stocked(shop: Shop, typed_book: Callable[..., Path], tmp_path: Path) -> Shop:
    """The program on 2025-05-31, with opening stock, a sponsor's sheets and May's receipts."""
    shutil.copy(typed_book(MAY), tmp_path / "shop.sqlite")
    return lambda *words, on="2025-05-31": shop(*words, on=on)


RATES = ["shop", "set", "overhead_year=22000", "pay_year=56000"]


def bench_agreed(begun, tmp_path, new, settings, material):
    """The program with a solid-wood hall bench, oiled, agreed on at 2,000.00."""
    (tmp_path / "bench.csv").write_text(
        "id,qty,length,width,grain,material\nA1,6,1000 mm,80 mm,length,ASH\n"
    )
    (tmp_path / "ash.csv").write_text(
        f"code,name,kind,unit,price,thickness,length,width\nASH,Ash,lumber,{material}\n"
    )
    return begun(
        ["new", "--shop", "Quillhaven Workshop", *new],
        [*RATES, *settings],
        ["material", "load", "ash.csv"],
        ["job", "new", "Hall bench", "--parts", "bench.csv", "--client", "T. Okafor"],
        ["quote", "draft", "bench", "--price", "2000", "--deliverable", "Delivery=200",
         "--describe", "One hall bench in solid ash, oiled"],
        ["quote", "send", "bench"],
        ["quote", "accept", "bench"],
    )  # fmt: skip


@pytest.fixture
def sold(begun, tmp_path):
    """A US shop that charges 6 % of sales tax on the piece."""
    return bench_agreed(begun, tmp_path, [], ["tax_rate=6 %"], "bd ft,7.20,1-1/4,96,6")


@pytest.fixture
def vat(begun, tmp_path):
    """A euro shop registered for VAT, with nothing entered yet of what its invoices must show."""
    return bench_agreed(begun, tmp_path, ["--currency", "EUR", "--units", "mm"],
                 ["tax_standing=vat", "tax_rate=20 %"], "m3,2900.00,30,2500,200")  # fmt: skip


HEADS = "id,qty,length,width,grain,material\n"
LISTS = {
    "bookcase": "A1,4,60,11,length,PLY34\nB1,1,20,11,any,PLY12\n",
    "bench": "A1,4,34,11,length,PLY34\n",
    "stool": "A1,4,25,11,length,PLY34\n",
    "full": "A1,4,95,11,length,PLY34\n",
    "thin": "A1,1,20,11,any,PLY14\n",
}
"""Parts lists: bookcase and bench share one sheet, the stool goes with either, the others not."""

PLIES = (
    "code,name,kind,unit,price,thickness,length,width,density,density_source\n"
    "PLY34,Birch ply 3/4,sheet,sheet,96,0.72,96,48,680,sheet\n"
    "PLY12,Birch ply 1/2,sheet,sheet,70,0.47,96,48,680,sheet\n"
    "PLY14,Birch ply 1/4,sheet,sheet,40,0.22,96,48,680,sheet\n"
)


@pytest.fixture
def joint_shop(begun: Callable[..., Shop], tmp_path: Path) -> Shop:
    """An inch shop with five jobs from J-2507 on, which `LISTS` names, and nothing in stock."""
    (tmp_path / "prices.csv").write_text(PLIES)
    for name, rows in LISTS.items():
        (tmp_path / f"{name}.csv").write_text(HEADS + rows)
    return begun(
        ["new", "--shop", "Quillhaven Workshop"],
        RATES,
        ["material", "load", "prices.csv"],
        *(
            ["job", "new", name.capitalize(), "--number", f"J-{number}", "--parts", f"{name}.csv",
             "--client", "M. Ortiz"]
            for number, name in enumerate(LISTS, start=2507)
        ),
    )  # fmt: skip
