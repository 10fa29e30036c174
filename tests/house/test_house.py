"""The rules of the house in numbers and words: short, documented, finished, exact."""

import ast
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]

TOP_LEVEL = {"README.md", "DEVELOPERS.md", "pyproject.toml", "LICENSE"}
TOP_LEVEL |= {"ledger", "tests", "sample_data", "scripts", "docs"}
MADE_HERE = {"demo", "build", "dist", "benchledger.egg-info", "__pycache__"}  # git leaves these out
EXACT_ROOMS = {"measures", "book", "stock", "quotes", "jobs"}

# Written in halves, so that this page does not break the rule itself.
UNFINISHED = re.compile(r"\b(TO" r"DO|FIX" r"ME|XX" r"X)\b")
ELSEWHERE = re.compile(
    r"trans" r"cript|pypi\.o" r"rg|/(ro" r"ot|wo" r"rk|tm" r"p)/|/(home|Users)/\w"
    r"|\b(TRADE|CHECKS|DESIGN|STYLE|SOLVER) [A-Z]?\d"
    r"|\b(?!README|DEVELOPERS)[A-Z]{3,}\.md\b"
)  # fmt: skip


def lines_are_at_most_100_wide(pages):
    """No line of code is wider than 100."""
    for page in pages:
        for number, line in enumerate(page.text.splitlines() if page.code else (), 1):
            if len(line) > 100:
                yield f"{page.path}:{number}", f"is {len(line)} wide"


def files_have_at_most_400_lines(pages):
    """No file of code is longer than 400 lines."""
    for page in pages:
        count = len(page.text.splitlines())
        if page.code and count > 400:
            yield page.path, f"has {count} lines"


def functions_have_at_most_60_lines(pages):
    """No function is longer than 60 lines, its docstring included."""
    for page in pages:
        for name, node in page.functions.items() if page.python else ():
            count = node.end_lineno - node.lineno + 1
            if count > 60:
                yield f"{page.path}:{name}", f"has {count} lines"


def what_is_public_says_what_it_is(pages):
    """Every module, class and public function of the package opens with a sentence."""
    for page in pages:
        if page.room:
            speakers = {"(module)": page.tree, **page.classes, **public_functions(page)}
            for name, node in speakers.items():
                first = (ast.get_docstring(node) or "").split("\n\n")[0].rstrip()
                if not first:
                    yield f"{page.path}:{name}", "has no docstring"
                elif not first.endswith((".", ":", "?")):
                    yield f"{page.path}:{name}", f"does not open with a sentence: {first!r}"


def public_functions(page):
    """Pick the functions others can call by name; what stands inside a function is its own."""
    return {
        name: node
        for name, node in page.functions.items()
        if "()" not in name
        and not any(step.startswith("_") for step in name.split("."))
        and not any(
            ast.unparse(mark).endswith(("overload", "override", ".setter"))
            for mark in node.decorator_list
        )
    }


def nothing_is_left_for_later(pages):
    """No page carries a note of what is still to be made."""
    for page in pages:
        for found in UNFINISHED.finditer(page.text):
            yield page.path, f"says {found[0]}"


def nothing_points_outside_of_the_project(pages):
    """No page names a machine's folder, a package index or a page that is not in the project."""
    for page in pages:
        for found in ELSEWHERE.finditer(page.text):
            yield page.path, f"says {found[0]}"


def only_the_terminal_prints(pages):
    """Only the command line speaks; every other room returns values."""
    for page in pages:
        for node in ast.walk(page.tree) if page.room not in ("", "cli") else ():
            if isinstance(node, ast.Call) and ast.unparse(node.func) == "print":
                yield f"{page.path}:{node.lineno}", "prints"


SAYING = {"say", "heading", "table", "pairs", "facts", "bar"}


def nothing_is_said_before_it_stands(pages):
    """No command says a fact while the entry it speaks of may still be refused."""
    for page in pages:
        if page.room == "cli":
            for block in ast.walk(page.tree):
                if isinstance(block, ast.With) and any(map(opens_entry, block.items)):
                    for step in block.body:
                        for node in filter(says_fact, ast.walk(step)):
                            yield f"{page.path}:{node.lineno}", "says it inside the entry"


def opens_entry(item):
    return any(
        isinstance(node, ast.Attribute) and node.attr == "entry"
        for node in ast.walk(item.context_expr)
    )


def says_fact(node):
    called = node.func if isinstance(node, ast.Call) else None
    return (
        isinstance(called, ast.Attribute)
        and called.attr in SAYING
        and getattr(called.value, "id", "") == "voice"
    )


def exact_rooms_know_no_floats(pages):
    """No float stands where sums must be exact; it is named only to refuse it, in `isinstance`."""
    for page in pages:
        for node in floats(page.tree) if page.room in EXACT_ROOMS else ():
            yield f"{page.path}:{node.lineno}", f"knows {ast.unparse(node)}"


def floats(node):
    """Walk literals, calls and annotations of floats."""
    if isinstance(node, ast.Call) and ast.unparse(node.func) == "isinstance":
        return
    if isinstance(node, ast.Constant) and isinstance(node.value, float | complex):
        yield node
    if isinstance(node, ast.Name) and node.id in ("float", "complex"):
        yield node
    for child in ast.iter_child_nodes(node):
        yield from floats(child)


ONE_PLACE = "ledger/measures/custom.py"
PARTS_THOUSANDS = re.compile(r",(\.\d+)?[defg]?")


def thousands_are_parted_in_one_place(pages):
    """No number gets a comma between thousands but by `Currency.number`, which asks the book."""
    for page in pages:
        for node in ast.walk(page.tree) if page.room and page.path != ONE_PLACE else ():
            spec = node.format_spec if isinstance(node, ast.FormattedValue) else None
            if spec is not None and PARTS_THOUSANDS.fullmatch(ast.unparse(spec)[2:-1]):
                yield f"{page.path}:{node.lineno}", f"writes {ast.unparse(node)}"


# Each rule with a page that breaks it once, beside something alike that it must let pass.
# fmt: off
BROKEN = {
    lines_are_at_most_100_wide: ("ledger/stock/lots.py", "lot = 1\n" + "x" * 101),
    files_have_at_most_400_lines: ("tests/stock/test_lots.py", "lot = 1\n" * 401),
    functions_have_at_most_60_lines: (
        "ledger/stock/lots.py",
        "class Lot:\n  def draw(self):\n" + "    draw()\n" * 60 + "def short():\n  draw()\n",
    ),
    what_is_public_says_what_it_is: (
        "ledger/stock/lots.py",
        '"""Lots."""\nclass _Lot:\n "A lot."\n def draw(self): ...\ndef draw():\n "Draw"\n',
    ),
    nothing_is_left_for_later: ("scripts/test", "# TO" "DO: the rest\n"),
    nothing_points_outside_of_the_project: ("README.md", "See README.md and /ho" "me/ann/book"),
    only_the_terminal_prints: ("ledger/stock/lots.py", "print(1)\nfinger.print(1)"),
    nothing_is_said_before_it_stands: (
        "ledger/cli/shop.py",
        "with open_shop() as book, book.entry('set'):\n    voice.say('set')\n    voice.note('so')"
        "\nwith open_shop() as book:\n    with book.entry('set'):\n        book.set()"
        "\n    voice.say('set')",
    ),
    thousands_are_parted_in_one_place: (
        "ledger/stock/lots.py", 'said = f"{hours:,.2f}"\nlisted = f"{hours:.2f}, {hours}"\n',
    ),
    exact_rooms_know_no_floats: (
        "ledger/stock/lots.py",
        "if isinstance(price, float):\n    refuse(price)\nhalf: int = 0.5",
    ),
}
# fmt: on


@pytest.mark.parametrize("rule", BROKEN, ids=lambda rule: rule.__name__)
def test_the_house_keeps_its_rules(rule, house):
    house(rule)


@pytest.mark.parametrize("rule", BROKEN, ids=lambda rule: rule.__name__)
def test_each_rule_finds_what_breaks_it_and_nothing_else(rule, page):
    path, text = BROKEN[rule]

    faults = list(rule([page(path, text)]))

    assert len(faults) == 1, faults
    assert faults[0][0].startswith(path)


@pytest.mark.parametrize("half", ["half: float = 1", "half = float(x)", "half = [0.5]", "x = 1j"])
def test_a_float_is_found_as_literal_call_and_annotation(half, page):
    assert list(exact_rooms_know_no_floats([page("ledger/jobs/close.py", half)]))


def test_the_pages_of_the_tree_are_really_read(pages):
    assert {"ledger/__init__.py", "pyproject.toml", "scripts/test"} <= {page.path for page in pages}


def test_the_top_level_holds_nothing_but_the_projects_own_parts():
    found = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}

    assert not found - TOP_LEVEL - MADE_HERE
