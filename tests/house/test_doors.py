"""The doors between the rooms: few names, no dead module, every noun of the command line loads."""

import ast
import re
from importlib import import_module

import pytest

from ledger.cli.nouns import NOUNS

STARTS = {"ledger", "ledger.__main__", "ledger.cli"}  # what the program itself begins with


def doors_show_at_most_eight_names(pages):
    """A room's door shows at most eight names; without `__all__` all that it imports counts."""
    for page in pages:
        shown = shown_names(page.tree) if page.room and page.path.endswith("/__init__.py") else ()
        if len(shown) > 8:
            yield page.path, f"shows {len(shown)} names: {', '.join(shown)}"


def shown_names(tree):
    """Read what a package's `__init__` offers to the rest of the house."""
    found = []
    for node in tree.body:
        match node:
            case ast.Assign(targets=[ast.Name(id="__all__")]):
                return ast.literal_eval(node.value)
            case ast.Import() | ast.ImportFrom():
                found += [alias.asname or alias.name for alias in node.names]
            case ast.FunctionDef() | ast.ClassDef():
                found.append(node.name)
    return [name for name in found if not name.startswith("_")]


def no_module_is_dead(pages):
    """Every module is imported by another one, is a noun of the command line, or a start."""
    modules = [page for page in pages if page.room]
    alive = STARTS.union(*(noun_modules(page) for page in modules))
    for page in modules:
        alive |= imported_names(page.tree) - {page.module}
    for page in modules:
        if page.module not in alive:
            yield page.path, "is imported nowhere"


def imported_names(tree):
    """Collect the dotted names a module asks for, with the packages on the way to them."""
    asked = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            asked |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            asked |= {f"{node.module}.{alias.name}" for alias in node.names}
    steps = [name.split(".") for name in asked]
    return {".".join(name[:count]) for name in steps for count in range(1, len(name) + 1)}


def noun_modules(page):
    """Collect the modules that the command line's list gives as "module:attribute"."""
    found = re.findall(r'"(ledger(?:\.\w+)+):\w+"', page.text)
    return set(found) if page.module == "ledger.cli.nouns" else set()


def test_doors_show_at_most_eight_names(house):
    house(doors_show_at_most_eight_names)


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("__all__ = ['a', 'b', 'c', 'd', 'e', 'f', 'g', 'h']", 0),
        ("__all__ = ['a', 'b', 'c', 'd', 'e', 'f', 'g', 'h', 'i']", 1),
        ("from lots import a, b, c, d, e, f, g, h, _i", 0),
        ("from lots import a, b, c, d, e, f, g, h\ndef i(): ...", 1),
    ],
)
def test_a_ninth_name_at_a_door_is_found(text, count, page):
    faults = list(doors_show_at_most_eight_names([page("ledger/stock/__init__.py", text)]))

    assert len(faults) == count


def test_no_module_is_dead(house):
    house(no_module_is_dead)


def test_a_module_that_only_names_itself_is_dead(page):
    nouns = page("ledger/cli/nouns.py", 'NOUNS = {"stock": ("ledger.cli.stock:app", "Lots.")}')
    lots = page("ledger/stock/lots.py", "import ledger.stock.lots")
    command = page("ledger/cli/stock.py", "from ledger.cli import nouns")

    assert list(no_module_is_dead([nouns, lots, command])) == [
        ("ledger/stock/lots.py", "is imported nowhere")
    ]


def test_every_noun_of_the_command_line_loads_and_has_its_line_of_help():
    for noun, (place, help_text) in NOUNS.items():
        module, attribute = place.split(":")
        assert hasattr(import_module(module), attribute), noun
        assert help_text.endswith("."), noun
