"""What an audience gets is the same whatever the shop keeps to itself, played through the commands.

One story is typed in shops that differ in the ten kinds of inside knowledge: hours, rates, markup,
overhead, profit, contingency, suppliers, costs, sponsors, helpers, and for the client the cut plan.
Names are ordinary words on purpose: looked for in a paper, “Oak” or “Price” would be found
on every page, and a leak of them by no search. A paper that differs by a letter tells something.
"""

import json
import re
import sys
from contextlib import closing
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from urllib.parse import urlencode

import openpyxl
import pytest
from typer.testing import CliRunner

from ledger.cli.main import app
from ledger.pages.screens import SCREENS

sys.path.insert(0, str(Path(__file__).parents[1] / "faults"))
from fuzz_page import PageDesk

DAY = "2025-05-06"
DIGEST = re.compile(r"\b[0-9a-f]{64}\b")
"""Which layout a form is about: a digest of its inputs, the sheet's cost among them."""
NOW = datetime(2025, 5, 6, 16, 0, tzinfo=UTC)


FORMS = {
    "hours": {"what": "sand", "duration": "10m", "sure": "1"},
    "issue": {"material": "PLY", "quantity": "1"},
    "spoiled": {"part": "A1", "cause": "split"},
}
"""What the helper taps."""


@dataclass(frozen=True)
class Story:
    """What differs between shops; the client's own paper may say the last line only."""

    supplier: str = "Oak"
    other_sponsor: str = "Panel"
    helper: str = "Hand"
    other_client: str = "Table"
    rates: tuple[str, ...] = ("overhead_year=22317", "pay_year=56123", "profit=8 %",
        "contingency=7 %", "helper_cost=26.88", "helper_billed=42", "markup_sheet=21 %",
        "markup_hardware=19 %")  # fmt: skip
    costs: tuple[str, str] = ("71.30", "4.15")
    minutes: tuple[int, ...] = (95, 30)
    kerf: str = "1/8 in"
    sponsor: str = "Price"
    client: tuple[str, str, str] = ("Stain", "12 Quarry Row", "900")


BASE = Story()
OTHER_INSIDE = Story(
    supplier="Sheet", other_sponsor="Finish", helper="Page", other_client="Total",
    rates=("overhead_year=31011", "pay_year=48000", "profit=11 %", "contingency=8 in 10",
           "helper_cost=19.20", "helper_billed=55", "markup_sheet=33 %", "markup_hardware=41 %"),
    costs=("58.20", "6.90"), minutes=(410, 15),
)  # fmt: skip
FOR_CLIENT = replace(OTHER_INSIDE, sponsor="Edge", kerf="3/32 in")
FOR_OTHERS = replace(OTHER_INSIDE, client=("Drawer", "3 Mill Lane", "1240"))


def written(folder: Path, story: Story) -> dict[str, object]:
    """Play the story in a folder; what each audience got, by the name of its file."""
    folder.mkdir()
    for name, content in tables(story).items():
        (folder / name).parent.mkdir(exist_ok=True)
        (folder / name).write_text(content)
    env = {"BENCHLEDGER_BOOK": str(folder / "shop.sqlite"), "BENCHLEDGER_TODAY": DAY,
           "BENCHLEDGER_NOW": "16:00"}  # fmt: skip
    said: dict[str, object] = {}
    for words in commands(story, folder):
        done = CliRunner().invoke(app, words, env=env)
        assert done.exit_code == 0, (words, done.output)
        if "--json" in words:
            said[" ".join(words[:2])] = json.loads(done.stdout)
    for path in sorted(folder.glob("out/*")):
        said[path.name] = cells_of(path) if path.suffix == ".xlsx" else path.read_bytes()
    page = PageDesk(folder / "shop.sqlite", story.helper, NOW)
    with closing(page):
        for screen in SCREENS:
            status, words = page.send("GET", f"/facts/{screen}", "job=J-2501")
            said[f"page {screen}"] = status, DIGEST.sub("", words)
        for action, fields in FORMS.items():
            form = {"job": "J-2501", "key": f"key-of-the-form-{action:_>8}", "tapped": "0"}
            body = urlencode(form | {"sent": "0"} | fields).encode()
            said[f"tap {action}"] = page.send("POST", f"/post/{action}", body=body)
    return said


def tables(story: Story) -> dict[str, str]:
    """The files that are loaded."""
    sheet, hinge = story.costs
    return {
        "goods.csv": "code,name,kind,unit,width,length,grain,price,supplier\n"
        f"PLY,Birch ply,sheet,sheet,48 in,96 in,length,{sheet},{story.supplier}\n"
        f"HINGE,Cup hinge,hardware,each,,,,{hinge},{story.supplier}\n",
        "box/design.csv": "name,value\nname,box\ntitle,A box\nunits,inch\n",
        "box/parts.csv": "id,part,qty,length,width,grain,material,joined\n"
        "A1,Side,2,30 in,12 in,any,PLY,loose\nB1,Shelf,3,20 in,11 in,length,PLY,loose\n",
        "box/needs.csv": "material,qty,why\nHINGE,4,two a door\n",
        "box/plan.csv": "name,words\nfor,a box for a hall\ncaution,Wear eye protection.\n",
        "box/steps.csv": 'number,words,parts\n1,Cut the sides,A1\n2,Screw it together,"A1, B1"\n',
        "out/.keep": "",
    }


def commands(story: Story, folder: Path) -> list[list[str]]:
    """What is typed, in order; files for others go to `out`."""
    name, address, price = story.client
    out = f"{folder}/out"
    long, short = story.minutes
    return [
        ["new", "--shop", "Quillhaven Workshop"],
        ["shop", "set", *story.rates, f"kerf={story.kerf}", "tax_rate=6 %", "lead_weeks=5"],
        ["material", "load", f"{folder}/goods.csv"],
        ["sponsor", "add", story.sponsor, "--objective", "Seen in real furniture"],
        ["sponsor", "add", story.other_sponsor],
        ["sponsor", "agree", story.sponsor, "--deliver", "2 photo by 2025-06-30"],
        ["sponsor", "receive", story.sponsor, "PLY", "3", "--value", "96", "--document", "77"],
        ["sponsor", "receive", story.other_sponsor, "HINGE", "9", "--value", story.costs[1]],
        ["receipt", "add", "PLY", "2", story.costs[0], "--from", story.supplier],
        ["design", "load", f"{folder}/box"],
        ["job", "new", "Hall box", "--design", "box", "--client", name],
        ["job", "client", "J-2501", "--address", address],
        ["job", "new", "Reglue", "--work", f"repair {long}m", "--client", story.other_client],
        ["quote", "draft", "J-2501", "--price", price, "--deliverable", "Delivery=60",
         "--option", "Lining=45", "--describe", "One box"],
        ["quote", "show", "J-2501", "--pdf", f"{out}/draft.pdf", "--json"],
        ["quote", "send", "J-2501", "--pdf", f"{out}/quote.pdf", "--xlsx", f"{out}/quote.xlsx"],
        ["quote", "accept", "J-2501"],
        ["quote", "invoice", "J-2501", "--pdf", f"{out}/deposit.pdf", "--json"],
        ["job", "pay", "J-2501", "100"],
        ["job", "change", "J-2501", "one more shelf", "--price", "80", "--pdf", f"{out}/co.pdf"],
        ["job", "change", "J-2501", "--approved", "CO-1"],
        ["stock", "issue", "J-2501", "PLY", "1", "--lot", "1", "--on-camera"],
        ["hours", "add", "J-2501", "sand", "60m", "--by", story.helper, "--yes"],
        ["hours", "add", "J-2501", "assemble", f"{long}m", "--yes"],
        ["hours", "add", "J-2501", "assemble", f"{short}m", "--class", "rework", "--yes"],
        ["kit", "add", "Melamine box", "--price", "150", "--assembly", "2"],
        ["kit", "compare", "J-2501", "--pdf", f"{out}/kit.pdf"],
        ["job", "state", "J-2501", "installed"],
        ["quote", "invoice", "J-2501", "--rest", "--pdf", f"{out}/rest.pdf"],
        ["quote", "credit", "I-2501-2", "20", "--why", "a scratch", "--pdf", f"{out}/credit.pdf"],
        ["sponsor", "build", "J-2501", "A box for a hall"],
        ["sponsor", "publish", story.sponsor, "A hall box", "--kind", "photo", "--build",
         "J-2501", "--disclosed", "said at the start"],
        ["sponsor", "report", story.sponsor, "--from", DAY, "--yes", "--json", "--pdf",
         f"{out}/sponsor.pdf", "--xlsx", f"{out}/sponsor.xlsx"],
        ["design", "plan", "box", "--pdf", f"{out}/plan.pdf"],
        ["today", "--ics", f"{out}/due.ics"],
    ]  # fmt: skip


def cells_of(path: Path) -> list[object]:
    """Every cell of a workbook, sheet by sheet."""
    book = openpyxl.load_workbook(path)
    cells = [(sheet.title, cell) for sheet in book for row in sheet for cell in row]
    return [(title, cell.coordinate, cell.value) for title, cell in cells if cell.value is not None]


@pytest.fixture(scope="module")
def shops(tmp_path_factory):
    """What the three shops gave out: as it is, with another inside, with another client too."""
    place = tmp_path_factory.mktemp("shops")
    stories = enumerate((BASE, FOR_CLIENT, FOR_OTHERS))
    return [written(place / str(at), story) for at, story in stories]


CLIENTS = ("draft.pdf", "quote show", "quote.pdf", "quote.xlsx", "deposit.pdf", "quote invoice",
           "co.pdf", "kit.pdf", "rest.pdf", "credit.pdf")  # fmt: skip
HELPERS = (*(f"page {name}" for name in SCREENS), *(f"tap {name}" for name in FORMS))
OTHERS = ("sponsor report", "sponsor.pdf", "sponsor.xlsx", "plan.pdf", "due.ics")


@pytest.mark.parametrize("name", CLIENTS)
def test_what_the_client_gets_does_not_change_with_what_the_shop_keeps_to_itself(shops, name):
    base, other, another_client = shops
    assert other[name] == base[name]
    assert another_client[name] != base[name], "it says what is theirs"


@pytest.mark.parametrize("name", HELPERS)
def test_a_helpers_page_does_not_change_with_client_money_sponsors_or_others_hours(shops, name):
    base, another_saw, other = shops
    assert other[name] == base[name]
    assert name == "page plan" or another_saw[name] == base[name]
    assert base[name][0] == 200


@pytest.mark.parametrize("name", OTHERS)
def test_what_sponsors_and_plan_buyers_get_does_not_change_with_client_price_or_hours(shops, name):
    base, another_sponsor, other = shops
    assert other[name] == base[name]
    if name not in ("plan.pdf",):
        assert another_sponsor[name] != base[name], "it says what is theirs"
