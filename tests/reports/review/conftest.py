"""An invented year of a workshop: seven jobs, five quotes, a sponsor, plans, a rack."""

import shutil
from datetime import date

import pytest
from typer.testing import CliRunner

from ledger.book import Book

PRICES = (
    "code,name,kind,unit,length,width,thickness,price\n"
    "PLY34,Birch plywood,sheet,sheet,96,48,0.72,80\n"
    "GLUE,Hide glue,adhesive,bottle,,,,7.50\n"
)
SHOP = ["shop", "set", "overhead_year=22000", "pay_year=56000", "selling_rate=73",
        "lead_weeks=6", "helper_cost=25"]  # fmt: skip


def quoted(job, sent, *, weeks="6"):
    yield sent, ["quote", "draft", job, "--weeks", weeks]
    yield sent, ["quote", "send", job]


def year_story(prices):
    """The year as (day, what is typed)."""
    yield "2025-01-02", ["new", "--shop", "Larkhollow Joinery"]
    yield "2025-01-02", SHOP
    yield "2025-01-02", ["material", "load", prices]
    yield "2025-01-02", ["sponsor", "add", "Brightfell Panels"]
    yield from _oak()
    yield from _lost()
    yield from _chair()
    yield from _ash()
    yield from _waiting()


def _oak():
    """J-2501: won after 5 days, in time, 2 h of rework, a helper, three sheets, one offcut kept."""
    yield "2025-01-10", ["job", "new", "Oak bookcase", "--price", "2400", "--hours", "30h"]
    yield from quoted("J-2501", "2025-01-10")
    yield "2025-01-15", ["quote", "accept", "J-2501"]
    yield "2025-01-15", ["job", "pay", "J-2501", "1200"]
    yield "2025-01-20", ["receipt", "add", "PLY34", "10", "80", "--from", "Copper Vale Lumber",
                         "--tax-kind", "resale"]  # fmt: skip
    yield "2025-01-27", ["stock", "issue", "J-2501", "PLY34", "3"]
    yield "2025-01-31", ["hours", "add", "J-2501", "assemble", "12h", "--on", "2025-01-29"]
    yield "2025-02-14", ["hours", "add", "J-2501", "assemble", "8h", "--on", "2025-02-10"]
    yield "2025-02-14", ["hours", "add", "J-2501", "sand", "10h", "--on", "2025-02-12"]
    yield "2025-02-14", ["hours", "add", "J-2501", "sand", "4h", "--by", "Ines",
                         "--on", "2025-02-12"]  # fmt: skip
    yield "2025-02-14", ["hours", "add", "J-2501", "assemble", "2h", "--class", "rework",
                         "--cause", "measure", "--on", "2025-02-13"]  # fmt: skip
    yield "2025-02-14", ["stock", "keep", "J-2501", "PLY34", "48x48"]
    yield "2025-02-20", ["job", "state", "J-2501", "installed"]
    yield "2025-02-28", ["job", "close", "J-2501"]


def _lost():
    """J-2502 and J-2503 declined, one with a reason; J-2504 never answered."""
    yield "2025-02-03", ["job", "new", "Pine bookcase", "--price", "1800", "--hours", "20h"]
    yield from quoted("J-2502", "2025-02-03")
    yield "2025-02-17", ["quote", "decline", "J-2502", "--why", "over budget"]
    yield "2025-03-03", ["job", "new", "Media console", "--price", "3000", "--hours", "30h"]
    yield from quoted("J-2503", "2025-03-03")
    yield "2025-03-12", ["quote", "decline", "J-2503"]
    yield "2025-03-20", ["job", "new", "Walnut side table", "--price", "900", "--hours", "10h"]
    yield from quoted("J-2504", "2025-03-20")


def _chair():
    """J-2505: a repair by lines, without a quote, closed at a price."""
    yield "2025-04-01", ["job", "new", "Cane chair", "--work", "repair 3h", "--use", "GLUE 2"]
    yield "2025-04-02", ["receipt", "add", "GLUE", "4", "7.50", "--from", "Harrow Street Hardware",
                         "--tax-kind", "resale"]  # fmt: skip
    yield "2025-04-03", ["stock", "issue", "J-2505", "GLUE", "2"]
    yield "2025-04-04", ["hours", "add", "J-2505", "repair", "4h"]
    yield "2025-04-08", ["job", "close", "J-2505", "--price", "400"]


def _ash():
    """J-2506: sponsored, late, an offcut of the rack used, a change that took longer than sold."""
    yield "2025-04-10", ["job", "new", "Ash bookcase", "--price", "2600", "--hours", "24h"]
    yield from quoted("J-2506", "2025-04-10", weeks="4")
    yield "2025-04-14", ["quote", "accept", "J-2506"]
    yield "2025-04-14", ["job", "pay", "J-2506", "1300"]
    yield "2025-04-15", ["sponsor", "receive", "Brightfell", "PLY34", "4", "--value", "90"]
    yield "2025-05-05", ["receipt", "add", "PLY34", "5", "88", "--from", "Copper Vale Lumber",
                         "--tax-kind", "resale"]  # fmt: skip
    yield "2025-05-05", ["stock", "issue", "J-2506", "PLY34", "2", "--lot", "4"]
    yield "2025-05-05", ["stock", "issue", "J-2506", "1", "--lot", "2"]
    yield "2025-05-06", ["hours", "add", "J-2506", "assemble", "16h", "--yes"]
    yield "2025-05-07", ["hours", "add", "J-2506", "sand", "8h"]
    yield "2025-05-08", ["job", "change", "J-2506", "one more shelf", "--price", "150",
                         "--hours", "1", "--days", "2"]  # fmt: skip
    yield "2025-05-08", ["job", "change", "J-2506", "--approved", "CO-1"]
    yield "2025-05-09", ["hours", "add", "J-2506", "assemble", "3h", "--class", "change order"]
    yield "2025-05-10", ["hours", "add", "J-2506", "filming", "5h"]
    yield "2025-05-11", ["hours", "add", "shop", "cleaning", "6h"]
    yield "2025-05-24", ["job", "state", "J-2506", "installed"]
    yield "2025-05-26", ["job", "close", "J-2506"]
    yield "2025-06-02", ["sponsor", "publish", "Brightfell", "A bookcase of ash", "--kind", "long",
                         "--build", "J-2506", "--link", "link-1", "--disclosed",
                         "said at the start"]  # fmt: skip
    yield "2025-06-10", ["job", "income", "J-2506", "sponsor fee", "300"]
    yield "2025-07-01", ["job", "income", "J-2506", "plans", "500", "--fee", "40"]


def _waiting():
    """J-2507: won and installed, never closed, without hours; some sheets spoiled in the rain."""
    yield "2025-08-01", ["job", "new", "Pine shelf", "--price", "500", "--hours", "6h"]
    yield from quoted("J-2507", "2025-08-01")
    yield "2025-08-04", ["quote", "accept", "J-2507"]
    yield "2025-09-01", ["job", "state", "J-2507", "installed"]
    yield "2025-09-02", ["stock", "scrap", "PLY34", "1", "--why", "wet in the rain"]


def canceled_story():
    """J-2501 canceled, 900 of 1500 kept; J-2502 under way."""
    yield "2025-02-03", ["new", "--shop", "Larkhollow Joinery"]
    yield "2025-02-03", SHOP
    for number, piece in enumerate(("Wall bed", "Oak shelf"), 2501):
        job = f"J-{number}"
        yield "2025-02-03", ["job", "new", piece, "--price", "3000", "--hours", "40h"]
        yield from quoted(job, "2025-02-03")
        yield "2025-02-04", ["quote", "accept", job]
        yield "2025-02-05", ["job", "pay", job, "1500"]
        yield "2025-02-10", ["hours", "add", job, "assemble", "7h"]
    yield "2025-02-11", ["hours", "add", "J-2501", "assemble", "2h", "--by", "Ines"]
    yield "2025-02-20", ["job", "cancel", "J-2501", "--stage", "after cutting", "--kept", "900",
                         "--why", "moved away"]  # fmt: skip
    yield "2025-02-21", ["job", "pay", "J-2501", "600", "--refund"]


def planned_story(prices):
    """J-2501 quoted by its lines and built: dearer sheets, an offcut, a helper, nothing of glue."""
    yield "2025-03-03", ["new", "--shop", "Larkhollow Joinery"]
    yield "2025-03-03", [*SHOP, "mile_rate=0.70"]
    yield "2025-03-03", ["material", "load", prices]
    yield "2025-03-03", ["job", "new", "Ash cabinet"]
    for line in ("repair 10h", "sand 60", "use PLY34 4", "use GLUE 2"):
        yield "2025-03-03", ["job", "line", "J-2501", *line.split()]
    yield "2025-03-03", ["job", "add-cost", "J-2501", "miles", "40"]
    yield from quoted("J-2501", "2025-03-03")
    yield "2025-03-05", ["quote", "accept", "J-2501"]
    yield "2025-03-05", ["job", "pay", "J-2501", "500", "--by", "card", "--fee", "14"]
    yield "2025-03-10", ["receipt", "add", "PLY34", "10", "84", "--from", "Copper Vale Lumber",
                         "--freight", "20", "--tax-kind", "resale"]  # fmt: skip
    yield "2025-03-11", ["stock", "issue", "J-2501", "PLY34", "5"]
    yield "2025-03-12", ["hours", "add", "J-2501", "repair", "12h"]
    yield "2025-03-13", ["hours", "add", "J-2501", "repair", "2h", "--by", "Ines"]
    yield "2025-03-14", ["hours", "add", "J-2501", "repair", "1h", "--class", "rework",
                         "--cause", "measure"]  # fmt: skip
    yield "2025-03-14", ["job", "spoiled", "J-2501", "16.66", "--part", "C1", "--note", "a side"]
    yield "2025-03-17", ["job", "change", "J-2501", "a drawer", "--price", "100", "--hours", "1"]
    yield "2025-03-17", ["job", "change", "J-2501", "--approved", "CO-1"]
    yield "2025-03-18", ["hours", "add", "J-2501", "repair", "1h30", "--class", "change order"]
    yield "2025-03-18", ["stock", "keep", "J-2501", "PLY34", "48x48"]
    yield "2025-03-18", ["job", "add-cost", "J-2501", "miles", "100", "--actual"]
    yield "2025-03-20", ["job", "close", "J-2501"]


def play(path, story):
    """Type a story into a book that is not there yet."""
    from ledger.cli.main import app

    runner = CliRunner()
    for day, words in story:
        env = {"BENCHLEDGER_BOOK": str(path), "BENCHLEDGER_TODAY": day, "NO_COLOR": "1"}
        result = runner.invoke(app, list(words), env=env, catch_exceptions=False)
        assert result.exit_code == 0, (day, words, result.stderr)


@pytest.fixture(scope="session")
def year_file(tmp_path_factory):
    """The book of the invented year."""
    folder = tmp_path_factory.mktemp("year")
    prices = folder / "prices.csv"
    prices.write_text(PRICES)
    play(folder / "year.sqlite", year_story(str(prices)))
    return folder / "year.sqlite"


@pytest.fixture
def year_book(year_file, tmp_path):
    """The invented year, open on 2026-01-05."""
    with Book(shutil.copy(year_file, tmp_path / "year.sqlite"), date(2026, 1, 5)) as book:
        yield book


@pytest.fixture
def canceled_book(tmp_path):
    """The book of a job canceled and a job under way, open on 2026-01-05."""
    play(tmp_path / "two.sqlite", canceled_story())
    with Book(tmp_path / "two.sqlite", date(2026, 1, 5)) as book:
        yield book


@pytest.fixture
def late_book(tmp_path):
    """The book of a canceled job to which a fee and two hours came afterwards."""
    late = [
        ["job", "add-cost", "J-2501", "fee", "1", "33", "--actual", "--after-close"],
        ["hours", "add", "J-2501", "assemble", "1h", "--after-close"],
        ["hours", "add", "J-2501", "assemble", "1h", "--by", "Ines", "--after-close"],
    ]
    later = [("2025-02-25", words) for words in late]
    play(tmp_path / "late.sqlite", [*canceled_story(), *later])
    with Book(tmp_path / "late.sqlite", date(2026, 1, 5)) as book:
        yield book


@pytest.fixture(scope="session")
def planned_file(tmp_path_factory):
    """The book of one job with a plan of all its costs."""
    folder = tmp_path_factory.mktemp("planned")
    (folder / "prices.csv").write_text(PRICES)
    play(folder / "planned.sqlite", planned_story(str(folder / "prices.csv")))
    return folder / "planned.sqlite"


@pytest.fixture
def planned_book(planned_file, tmp_path):
    """The job with a plan, open on 2026-01-05."""
    with Book(shutil.copy(planned_file, tmp_path / "planned.sqlite"), date(2026, 1, 5)) as book:
        yield book
