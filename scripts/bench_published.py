"""List the values that others published, and through which rooms the tests hold them.

    scripts/bench published [--tests]

Read from the tests' own marks: a test that says `Source:` (or “common practice, no source”, “from
memory”) in its docstring or the comment above, or stands in a file whose docstring lists its
sources. Its subject is the first whose words are in its file's name, its own or its source; the
rooms are those of the program that the test and what it calls in its file use. A subject without a
test says why; where neither stands, it ends with 1.
"""

import argparse
import ast
import re
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

TESTS = Path(__file__).parents[1] / "tests"
MARK = re.compile(r"\bSources?( of [\w ]+)?:|common practice, no source|from memory", re.I)

SUBJECTS = (
    ("units, board feet, sheet sizes", "test_units", ""),
    ("densities and weights; lifting", "test_weights", ""),
    ("stock: FIFO and named lots", "test_inventory", ""),
    ("time tickets", "ticket", ""),
    ("job costs and overhead", "test_job_costs", ""),
    ("standard-cost variances", "test_variances", ""),
    ("markup, margin, cost-plus", "test_markup", ""),
    ("make or buy", "test_kit", ""),
    ("sales tax, currencies, rounding", "test_money_rounding|section 324", ""),
    ("papers kept; panels; income in kind", "test_records", ""),
    ("disclosure, consignment", "test_sponsors", ""),
    ("statistics of estimates", "test_statistics|test_random|test_forecast|calibration", ""),
    ("layouts of public instances", "test_layouts", ""),
    ("files: formulas as text, limits, days", "test_files", ""),
    ("safety rules: from which size", "test_safety_rules", ""),
    ("invoices: bank codes, VAT numbers", "invoice|reverse_charge|iban", ""),
    ("stock: LIFO and moving average", "lifo", "cost goes by lot: first in first out, or named"),
    ("break-even in units sold", "break-even in units", "only the break-even rate of an hour is"),
    ("film build, solids, VOC", "film build", "finish follows the can's coverage and coats"),
    ("moisture and movement of wood", "moisture content of", "sizes are the maker's own"),
    ("glue spread, grit, banding length", "glue spread", "nothing published; the shop says it"),
    ("tolerances of panels", "squareness", "thickness is measured, and cut sizes are the maker's"),
    ("sizes of mattresses", "mattress sizes", "each is measured, for a table's may be an inch off"),
    ("fastener sizes and withdrawal", "withdrawal", "screws are counted; no load is ever printed"),
    ("lifting equation", "recommended weight limit", "its load constant is a caution, no limit"),
    ("learning curves", "learning curve", "repeats are a setting, and the shop's own ratios"),
    ("PERT, contingency classes", "pert", "ranges come from past jobs, not from three guesses"),
)  # fmt: skip


class Check(NamedTuple):
    """A test that holds something published: where, its name, what it says of its source, rooms."""

    file: str
    name: str
    source: str
    rooms: tuple[str, ...]


def checks() -> Iterator[Check]:
    """Every test that names where its values come from."""
    for path in sorted(TESTS.rglob("test_*.py")):
        text = path.read_text("utf-8")
        if path.parent.name == "house" or not MARK.search(text):
            continue
        tree, lines = ast.parse(text), text.splitlines()
        whole = ast.get_docstring(tree) or ""
        for node in tree.body:
            if isinstance(node, ast.FunctionDef) and node.name.startswith("test"):
                said = "\n".join([ast.get_docstring(node) or "", _above(node, lines)])
                is_marked = MARK.search(said) or (path.parent.name == "reference" and whole)
                if is_marked:
                    source = said if MARK.search(said) else whole
                    yield Check(path.stem, node.name, source, _rooms(tree, node))


def _above(node: ast.FunctionDef, lines: list[str]) -> str:
    first = min([node.lineno, *(mark.lineno for mark in node.decorator_list)]) - 1
    start = first
    while start and lines[start - 1].startswith("#"):
        start -= 1
    return "\n".join(lines[start:first])


def _rooms(tree: ast.Module, node: ast.FunctionDef) -> tuple[str, ...]:
    """The program's rooms that a test uses, through the functions of its own file too."""
    brought = {
        name.asname or name.name: part.module.split(".")[1]
        for part in tree.body
        if isinstance(part, ast.ImportFrom) and part.module and part.module.startswith("ledger.")
        for name in part.names
    }
    own = {one.name: one for one in tree.body if isinstance(one, ast.FunctionDef | ast.ClassDef)}
    todo: list[ast.AST] = [node]
    used: set[str] = set()
    while todo:
        part = todo.pop()
        words = {one.id for one in ast.walk(part) if isinstance(one, ast.Name)}
        words |= {one.arg for one in ast.walk(part) if isinstance(one, ast.arg)}
        todo += [own[word] for word in words - used if word in own]
        used |= words
    return tuple(sorted({brought[word] for word in used if word in brought}))


def subject_of(check: Check) -> str:
    """The subject that a check belongs to, or nothing."""
    said = f"{check.file} {check.name} {check.source}"
    found = (name for name, words, _ in SUBJECTS if re.search(words, said, re.I))
    return next(found, "")


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description="What others published, and what holds it.")
    parser.add_argument("--tests", action="store_true", help="name the tests too")
    asked = parser.parse_args()
    held: dict[str, list[Check]] = {}
    for check in checks():
        held.setdefault(subject_of(check) or f"(other) {check.file}", []).append(check)
    tested = set(held)
    print(f"{'subject':38} {'tests':>5}  through")
    for name, _, why in SUBJECTS:
        own = held.pop(name, [])
        rooms = ", ".join(sorted({room for check in own for room in check.rooms}))
        print(f"{name:38} {len(own):5}  {rooms if own else f'not computed: {why}'}")
        if asked.tests:
            print("".join(f"{'':6}{check.file}: {check.name}\n" for check in own), end="")
    bare = [name for name, _, why in SUBJECTS if name not in tested and not why]
    for name, own in held.items():
        rooms = ", ".join(sorted({room for check in own for room in check.rooms}))
        print(f"{name:38} {len(own):5}  {rooms}")
    raise SystemExit(bool(bare) and f"Neither a test nor a reason: {', '.join(bare)}")


if __name__ == "__main__":
    main()
