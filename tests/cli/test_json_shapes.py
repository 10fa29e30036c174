"""What other programs read: the JSON of a command has the shape that its function documents.

A shape stands in the docstring of the function that makes it: `Shape: month, currency · spend {net,
paid} · rows [name, landed]`: names, `{}` around the names of an object, `[]` around those of every
row of a list.
"""

import json
import re
from datetime import date, datetime
from pathlib import Path
from shutil import copytree

import pytest

from ledger.book import Book
from ledger.book.photos import keep_photo
from ledger.cli.main import load
from ledger.cli.nouns import NOUNS
from ledger.cutting.record import layout_to_dict
from ledger.pages.devices import pair
from ledger.reports.month import month_json
from ledger.reports.price import price_json
from ledger.reports.today_json import today_json
from ledger.verbs.photos import RECEIPT, add_photo

SHAPES = Path(__file__).parents[2] / "docs" / "json.md"
SAMPLES = Path(__file__).parents[2] / "sample_data"
JUNE = "2025-06-02"

DOCUMENTED = {
    "layout bed": layout_to_dict,
    "price bed": price_json,
    "month 2025-05": month_json,
    "today": today_json,
}

# The least that other programs rely on, whatever a docstring says.
ROLL = {"opening", "received", "issued", "returned", "scrapped", "to_supplier", "own_use",
        "counted", "closing"}  # fmt: skip
PLACE = {"x_mm", "y_mm", "length_mm", "width_mm"}
LEAST = {
    "layout bed": {
        "sheets": [{"material", "source", "length_mm", "width_mm", "trim_mm", "placements",
                    "leftovers"}],
        "sheets.placements": [{"part", "turned", *PLACE}],
        "sheets.leftovers": [{"usable", *PLACE}],
        "totals": [{"material", "sheets", "fewest_possible", "proven", "cost", "yield"}],
        "cuts": {"strips", "wide_crosscuts", "narrow_crosscuts"},
        "": {"sheets", "totals", "cuts", "kerf_mm"},
    },
    "price bed": {
        "": {"job", "currency", "as_of", "lines", "hours", "rates", "totals", "layout"},
        "lines": [{"group", "item", "quantity", "unit", "unit_cost", "full", "cash", "price",
                   "basis"}],
        "hours": {"estimate", "owner", "helper", "p50", "p80", "past_jobs"},
        "rates": {"pay", "break_even", "selling"},
        "totals": {"material_full", "material_cash", "full_cost", "build_up", "price"},
        "price_range": {"p50", "p80", "p95", "past_jobs"},
        "cost_range": {"p50", "p80", "p95", "past_jobs"},
        "layout": [{"material", "sheets", "proven"}],
    },
    "month 2025-05": {
        "": {"month", "spend", "in_kind", "use_tax_due", "stock"},
        "spend": {"net", "tax_paid", "paid", "landed", "by_supplier", "by_category", "by_job"},
        "spend.by_supplier": [{"name", "landed"}],
        "spend.by_category": [{"name", "landed"}],
        "spend.by_job": [{"name", "landed"}],
        "stock": {"full", "cash"},
        "stock.full": ROLL,
        "stock.cash": ROLL,
    },
}  # fmt: skip

MONEY = {
    "net", "tax_paid", "paid", "recoverable", "landed", "in_kind", "use_tax_due", "full", "cash",
    "price", "cost", "least_cost", "amount", "pay", "overhead", "break_even", "selling",
    "helper_cost", "helper_billed", "material_full", "material_cash", "full_cost", "cash_cost",
    "cash_to_spend", "material_in_kind", "material_owned", "material_to_buy", "value_in_kind",
    "value_owned", "rack_full", "rack_cash", "planned_cost", "price_variance", "usage_variance",
    "build_up", "to_pay", "open", "asked", "due_amount", "received", "held", "tax", *ROLL,
}  # fmt: skip
"""Keys whose value, where it is a text, is an amount in the book's currency."""

DAYS = {"as_of", "day", "valid_until", "on", "first", "last", "price_day"}


@pytest.fixture(scope="module")
def kept():
    return {}  # the bytes of the book that is typed once


@pytest.fixture
def typed(shop, tmp_path, kept):
    """The program on 2025-06-02, on a book in which something of everything happened."""
    path = tmp_path / "shop.sqlite"
    (tmp_path / "shelves.csv").write_text(
        "id,qty,length,width,grain,material\nA1,2,40,11,length,PLY34\nA2,3,30,11,length,PLY34\n"
        "A3,1,30,1-1/2,length,BIRCH44\n"
    )
    one_shelf = "id,qty,length,width,grain,material\nA1,1,30,11,length,PLY34\n"
    (tmp_path / "shelf.csv").write_text(f"{one_shelf}A2,1,30,1-1/2,length,BIRCH44\n")
    (tmp_path / "old_jobs").mkdir()
    (tmp_path / "old_jobs" / "jobs.csv").write_text("job,piece,done\nP-1,Box,2025-01-10\n")
    (tmp_path / "old_jobs" / "lines.csv").write_text("job,operation,count,hours\nP-1,RIP,9,60h\n")
    if not kept:
        for version in ("side_table", "side_table_corrected"):
            copytree(SAMPLES / version, tmp_path / "corrected", dirs_exist_ok=True)
        for day, line in STORY:
            said = shop(*line, on=day)
            assert said.code == 0, (line, said.err)
        with Book(path, date.fromisoformat(JUNE)) as book:
            add_photo(book, b"a receipt", RECEIPT, words="lumber")
        kept["book"] = path.read_bytes()
    path.write_bytes(kept["book"])
    keep_photo(path, b"a receipt")
    pair(path, "Tablet", "", date.fromisoformat(JUNE))

    def type_in(*words):
        return shop(*words, on=JUNE, at="17:00")

    return type_in


STORY = [
    ("2025-04-01", ["new", "--shop", "Quillhaven Workshop"]),
    ("2025-04-25", ["shop", "load", str(SAMPLES / "shop.csv")]),
    ("2025-04-25", ["material", "load", str(SAMPLES / "materials.csv")]),
    ("2025-04-25", ["stock", "open", str(SAMPLES / "opening_stock.csv"), "--on", "2025-04-01"]),
    ("2025-04-25", ["design", "load", str(SAMPLES / "bed")]),
    ("2025-04-25", ["job", "new", "Marrow fold-down bed", "--parts", "shelves.csv", "--client",
                    "D. Marrow", "--number", "J-2507"]),
    ("2025-04-25", ["job", "new", "Bunk-room shelving", "--parts", "shelves.csv", "--number",
                    "J-2503"]),
    ("2025-04-25", ["job", "answer", "bed", "storage", "1200", "--note", "a month in a barn"]),
    ("2025-04-25", ["job", "add-cost", "bed", "outside", "1", "1450", "--note", "upholstery"]),
    ("2025-04-25", ["job", "line", "bed", "outside", "120", "caning", "--markup", "15 %"]),
    ("2025-04-25", ["sponsor", "add", "Brightfell Panels"]),
    ("2025-04-25", ["sponsor", "agree", "brightfell", "--deliver", "2 post by 2025-06-30"]),
    ("2025-04-25", ["receipt", "load", str(SAMPLES / "sponsor_receipts.csv")]),
    ("2025-04-25", ["quote", "draft", "bed", "--price", "2000"]),
    ("2025-04-25", ["quote", "send", "bed"]),
    ("2025-04-28", ["quote", "accept", "bed"]),
    ("2025-05-06", ["job", "new", "Hall bench", "--parts", "shelves.csv", "--number", "J-2509"]),
    ("2025-05-06", ["quote", "draft", "hall", "--price", "700"]),
    ("2025-05-06", ["quote", "send", "hall", "--pdf", "hall.pdf"]),
    ("2025-05-06", ["job", "pay", "hall", "100"]),
    ("2025-05-06", ["material", "load", str(SAMPLES / "side_table_materials.csv")]),
    ("2025-05-06", ["design", "load", str(SAMPLES / "side_table")]),
    ("2025-05-06", ["job", "income", "hall", "plans", "24", "--order", "A-1001",
                    "--design", "walnut"]),
    ("2025-05-06", ["design", "load", "corrected"]),
    ("2025-05-13", ["receipt", "load", str(SAMPLES / "receipts.csv")]),
    ("2025-05-19", ["job", "pay", "bed", "1060"]),
    ("2025-05-19", ["job", "change", "bed", "one more shelf", "--price", "120"]),
    ("2025-05-19", ["job", "change", "bed", "--approved", "CO-1"]),
    ("2025-05-19", ["quote", "invoice", "bed", "--for", "before"]),
    ("2025-05-20", ["stock", "issue", "bed", "PLY34", "1", "--on-camera"]),
    ("2025-05-20", ["stock", "keep", "bed", "PLY34", "40x24"]),
    ("2025-05-20", ["stock", "send-back", "PULL8", "1", "--job", "bed", "--why", "bent"]),
    ("2025-05-20", ["material", "price", "PLY34", "99"]),
    ("2025-05-20", ["sponsor", "publish", "brightfell", "Fold-down bed", "--build", "bed",
                    "--link", "link-2"]),
    ("2025-05-19", ["job", "new", "Window seat", "--parts", "shelf.csv", "--number", "J-2515"]),
    ("2025-05-19", ["hours", "add", "window", "sand", "1h"]),
    ("2025-05-20", ["job", "pay", "window", "400"]),
    ("2025-05-20", ["job", "close", "window", "--price", "300"]),
    ("2025-05-20", ["hours", "add", "bed", "sand", "1h"]),
    ("2025-05-20", ["quote", "draft", "bunk", "--price", "900", "--option", "Lamp=50"]),
    ("2025-05-20", ["kit", "add", "Melamine fold bed", "--price", "1890"]),
    ("2025-05-20", ["job", "load", str(SAMPLES / "past_jobs")]),
    ("2025-05-20", ["job", "load", "old_jobs"]),
    ("2025-05-20", ["shop", "set", "stale_days=5"]),
    ("2025-05-20", ["job", "new", "Attic shelf", "--parts", "shelf.csv", "--number", "J-2511"]),
    *(("2025-05-21", line.split()) for line in (
        "quote draft attic --price 650", "quote send attic", "quote accept attic", "quote invoice"
        " attic --rest", "job change attic less --price -50", "job change attic --approved CO-1")),
    ("2025-05-21", ["sponsor", "receive", "brightfell", "Track saw", "1", "--value", "300",
                    "--tool"]),
    ("2025-05-21", ["sponsor", "tool", "brightfell", "track saw", "--hours", "1h30"]),
    ("2025-05-21", ["sponsor", "receive", "brightfell", "Router", "1", "--value", "200",
                    "--tool", "--loan"]),
    ("2025-05-22", ["job", "new", "Porch swing", "--number", "J-2513"]),
    ("2025-05-22", ["job", "pay", "porch", "200"]),
    ("2025-05-22", ["stock", "issue", "porch", "PLY34", "1"]),
    ("2025-05-22", ["layout", "bunk", "hall", "--together"]),
    ("2025-05-23", ["job", "cancel", "porch", "--why", "no porch", "--returnable", "10",
                    "--stage", "before cutting"]),
    ("2025-05-24", ["job", "add-cost", "porch", "fee", "1", "12", "--actual", "--after-close"]),
    ("2025-05-25", ["job", "tax", "bed", "taxable"]),
    ("2025-06-02", ["clock", "on", "bed", "spray", "--at", "0:00"]),
]  # fmt: skip


def refuse_float(text):
    raise AssertionError(f"{text} is a float")


def facts(said):
    assert said.code == 0, said.err
    return json.loads(said.out, parse_float=refuse_float)


# --- documented shapes ---------------------------------------------------------------------


ANY = "…"
"""Stands for names that are the owner's own."""


def shape_of(function):
    """The shape that a docstring documents: names, with the shape of what each holds, or None."""
    text = " ".join(function.__doc__.split())
    return read_shape(text[text.index("Shape:") + 6 :])


def read_shape(text):
    return read_names(iter(re.findall(r"[a-z_0-9]+|[\[\]{}…]", text)))


def read_names(tokens):
    names, name = {}, ""
    for token in tokens:
        if token in "]}":
            break
        if token in "[{":
            inner = read_names(tokens)
            names[name] = [inner] if token == "[" else inner
        else:
            name = token
            names[name] = None
    return names


def compare(found, shape, where=""):
    """What differs between a value and the shape of it, a sentence each."""
    if shape is None:
        return
    if isinstance(shape, list):
        if not isinstance(found, list):
            yield f"{where} is no list"
            return
        for row in found:
            yield from compare(row, shape[0], f"{where}[]")
    elif ANY in shape:
        for row in found.values():
            yield from compare(row, shape[ANY], f"{where}{{}}")
    elif found is not None:
        if set(found) != set(shape):
            yield f"{where}: {sorted(set(found) ^ set(shape))} differ"
        for name in set(found) & set(shape):
            yield from compare(found[name], shape[name], f"{where}.{name}".strip("."))


@pytest.mark.parametrize("line", DOCUMENTED)
def test_the_json_of_a_command_has_the_shape_its_function_documents(typed, line):
    found = facts(typed(*line.split(), "--json"))

    assert list(compare(found, shape_of(DOCUMENTED[line]))) == []


def documented_lines():
    """The shapes that are documented, by command."""
    page = SHAPES.read_text("utf-8")
    block = re.sub(r"\n {4}", " ", page.split("```\n")[1])
    return dict(re.split(r"\s{2}", line, maxsplit=1) for line in block.splitlines())


def test_the_readme_has_the_shape_of_every_command_with_json():
    assert set(documented_lines()) == {*commands_with_json(), *FURTHER}


def lists_of(found, shape, where):
    """Every list that a shape documents, and whether a row of it was seen."""
    if isinstance(shape, list):
        yield where, bool(found)
        for row in found:
            yield from lists_of(row, shape[0], where)
    elif isinstance(shape, dict) and found is not None:
        for name in set(found) & set(shape):
            yield from lists_of(found[name], shape[name], f"{where} {name}")


def test_the_json_of_every_command_is_as_the_readme_says(typed, tmp_path, kept, subtests):
    lists, seen = set(), set()
    for words, written in documented_lines().items():
        (tmp_path / "shop.sqlite").write_bytes(kept["book"])
        with subtests.test(words):
            line = FURTHER.get(words) or LINES.get(words, words.split())
            (shape,) = read_shape(f"all {written}").values()
            found = facts(typed(*line, "--json"))
            assert list(compare(found, shape)) == [], "write its shape anew in docs/json.md"
            lists.update(where for where, _ in lists_of(found, shape, words))
            seen.update(where for where, some in lists_of(found, shape, words) if some)
    assert lists - seen == set(), "a list without a row in the story is held by nothing"


def test_a_key_more_or_less_than_documented_is_found():
    shape = {"a": None, "b": [{"c": None}]}

    assert list(compare({"a": 1, "b": [{"c": 1}]}, shape)) == []
    assert list(compare({"b": []}, shape)) == [": ['a'] differ"]
    assert list(compare({"a": 1, "b": [{"c": 1, "d": 1}]}, shape)) == ["b[]: ['d'] differ"]
    assert list(compare({"a": 1, "b": 1}, shape)) == ["b is no list"]


@pytest.mark.parametrize("line", LEAST)
def test_the_json_has_at_least_the_keys_that_others_rely_on(typed, line):
    found = facts(typed(*line.split(), "--json"))

    for path, least in LEAST[line].items():
        places = [found]
        for name in path.split(".") if path else ():
            places = [place[name] for place in places]
            if any(isinstance(place, list) for place in places):
                places = [row for place in places for row in place]
        assert places, f"{line}: no {path} in the story"
        keys = least[0] if isinstance(least, list) else least
        for place in places:
            assert keys <= set(place), path


# --- every command that prints facts ---------------------------------------------------------


def commands_with_json():
    for noun in NOUNS:
        command = load(noun)
        for verb, one in getattr(command, "commands", {"": command}).items():
            if any("--json" in parameter.opts for parameter in one.params):
                yield f"{noun} {verb}".strip()


LINES = {
    "serve": ["serve", "--devices"], "hours helper": ["hours", "helper"],
    "design show": ["design", "show", "fold-down-bed"],
    "design errata": ["design", "errata", "walnut"], "export": ["export", "tables"],
    "hours add": ["hours", "add", "bed", "sand", "1h"], "hours again": ["hours", "again", "45m"],
    "hours job": ["hours", "job", "bed"], "hours list": ["hours", "list", "--from", "2025-05-01"],
    "job close": ["job", "close", "bed", "--preview"], "job show": ["job", "show", "bed"],
    "job lines": ["job", "lines", "bed"],
    "job cancel": ["job", "cancel", "bed"], "job change": ["job", "change", "bed"],
    "job client": ["job", "client", "bed"], "job pay": ["job", "pay", "bed"],
    "job panels": ["job", "panels", "bed"],
    "job rough": ["job", "rough", "bookcase", "84x40x12", "birch"],
    "job state": ["job", "state", "bed"],
    "job tax": ["job", "tax", "bed"], "kit compare": ["kit", "compare", "bed"],
    "papers": ["papers", "bed", "all-papers"],
    "layout": ["layout", "bed"], "price": ["price", "bed"],
    "material show": ["material", "show", "PLY34"], "month": ["month", "2025-05"],
    "quote draft": ["quote", "draft", "bunk", "--price", "900", "--option", "Lamp=50"],
    "quote show": ["quote", "show", "bunk"], "quote invoice": ["quote", "invoice", "bed", "--rest"],
    "quote credit": ["quote", "credit", "I-2507-1", "--why", "made out to the wrong name"],
    "receipt show": ["receipt", "show", "R-101"], "standards show": ["standards", "show", "sand"],
    "sponsor report": ["sponsor", "report", "brightfell", "--from", "2025-04-01", "--to", JUNE],
    "sponsor account": ["sponsor", "account", "--month", "2025-05"],
    "year": ["year", "2025"],
}  # fmt: skip
"""What is typed for a command that needs more than its own name."""

FURTHER = {
    "sponsor show NAME": ["sponsor", "show", "brightfell"],
    "quote invoice --list": ["quote", "invoice", "--list"],
    "undo --list": ["undo", "--list"],
    "review --explain FIGURE": ["review", "--explain", "commission"],
}
"""Further lines of docs/json.md, and what is typed for them."""

NO_MONEY = {"export", "design show"}
"""Commands whose keys are names of tables or of a design's facts, not of amounts."""


def leaves(value, name=""):
    """Every value of a tree that is neither object nor list, with its key."""
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from leaves(inner, key)
    elif isinstance(value, list):
        for inner in value:
            yield from leaves(inner, name)
    else:
        yield name, value


def test_money_is_decimal_text_and_days_are_iso_in_every_command(typed, tmp_path, kept, subtests):
    seen = set()
    for words in commands_with_json():
        (tmp_path / "shop.sqlite").write_bytes(kept["book"])
        with subtests.test(words):
            for name, value in leaves(facts(typed(*LINES.get(words, words.split()), "--json"))):
                if name in MONEY and words not in NO_MONEY:
                    assert value is None or isinstance(value, str), name
                    assert value is None or re.fullmatch(r"-?\d+\.\d{2,6}|", value), (name, value)
                assert not re.fullmatch(r"-?\d{1,3}(,\d{3})+(\.\d+)?", str(value)), (name, value)
                if name in DAYS and value:
                    date.fromisoformat(value)
                    seen.add(name)
                if name == "since" and value:
                    datetime.fromisoformat(value)
    assert {"as_of", "day", "valid_until"} <= seen
