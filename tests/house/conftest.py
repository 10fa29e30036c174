"""What the rules of the house look at: the pages of the tree, and the few exceptions to a rule.

A rule is a generator over pages that yields (place, what is wrong there). `house(rule)` asks it of
the whole tree; `page(path, text)` makes one that is wrong on purpose, so that no rule falls asleep.
"""

import ast
import io
import tokenize
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]

# What may break a rule, as {("name_of_the_rule", "place"): "the reason"}. An exception that is no
# longer needed fails the rule too.
EXCEPTIONS: dict[tuple[str, str], str] = {}

FOLDERS = ("ledger", "tests", "scripts", "sample_data", ".ci")
TEXTS = {
    "",
    ".py",
    ".sh",
    ".sql",
    ".md",
    ".toml",
    ".txt",
    ".csv",
    ".json",
    ".typ",
    ".html",
    ".css",
    ".js",
}


@dataclass(frozen=True)
class Page:
    """One text file of the tree, by its path from the top."""

    path: str
    text: str

    @property
    def python(self) -> bool:
        """Whether it is a Python module."""
        return self.path.endswith(".py")

    @property
    def code(self) -> bool:
        """Whether it is code of any kind."""
        shell = self.path.startswith(("scripts/", ".ci/"))
        return self.python or shell or self.path.endswith((".sql", ".typ", ".css", ".js"))

    @property
    def room(self) -> str:
        """The room of the package it stands in, or nothing outside of the package."""
        steps = self.path.removesuffix(".py").split("/")
        return steps[1] if self.python and steps[0] == "ledger" else ""

    @property
    def module(self) -> str:
        """The dotted name under which it is imported."""
        return self.path.removesuffix(".py").removesuffix("/__init__").replace("/", ".")

    @cached_property
    def tree(self) -> ast.Module:
        """Its syntax tree."""
        return ast.parse(self.text, self.path)

    @cached_property
    def comments(self) -> dict[int, str]:
        """Its comments by line."""
        tokens = tokenize.generate_tokens(io.StringIO(self.text).readline)
        return {token.start[0]: token.string for token in tokens if token.type == tokenize.COMMENT}

    @cached_property
    def functions(self) -> dict[str, ast.FunctionDef | ast.AsyncFunctionDef]:
        """All its functions by dotted name, in the order in which they stand."""
        found = _definitions(self.tree)
        return {name: node for name, node in found if not isinstance(node, ast.ClassDef)}

    @cached_property
    def classes(self) -> dict[str, ast.ClassDef]:
        """All its classes by dotted name."""
        found = _definitions(self.tree)
        return {name: node for name, node in found if isinstance(node, ast.ClassDef)}


type Definition = ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef
type Rule = Callable[[Iterable[Page]], Iterator[tuple[str, str]]]


def _definitions(node: ast.AST, above: str = "") -> Iterator[tuple[str, Definition]]:
    """Walk functions and classes; what stands inside a function is named with `()`."""
    for child in ast.iter_child_nodes(node):
        if isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef):
            yield f"{above}{child.name}", child
            yield from _definitions(child, f"{above}{child.name}().")
        elif isinstance(child, ast.ClassDef):
            yield f"{above}{child.name}", child
            yield from _definitions(child, f"{above}{child.name}.")
        else:
            yield from _definitions(child, above)


@pytest.fixture(scope="session")
def pages() -> list[Page]:
    """Every text file that belongs to the project."""
    files = [path for path in ROOT.iterdir() if path.is_file() and path.suffix in {".md", ".toml"}]
    for folder in FOLDERS:
        files += (path for path in (ROOT / folder).rglob("*") if path.is_file())
    return [
        Page(path.relative_to(ROOT).as_posix(), path.read_text("utf-8"))
        for path in sorted(files)
        if path.suffix in TEXTS and "__pycache__" not in path.parts and ".min." not in path.name
    ]


@pytest.fixture(scope="session")
def page() -> type[Page]:
    """The maker of a page that is not in the tree."""
    return Page


@pytest.fixture(scope="session")
def house(pages: list[Page]) -> Callable[[Rule], None]:
    """Ask a rule of the whole tree and fail with everything that breaks it."""

    def ask(rule: Rule) -> None:
        excused = {place for name, place in EXCEPTIONS if name == rule.__name__}
        faults = list(rule(pages))
        broken = [f"{place} {what}" for place, what in faults if place not in excused]
        assert not broken, "\n".join([rule.__doc__ or rule.__name__, *broken])
        idle = excused - {place for place, _ in faults}
        assert not idle, f"{rule.__name__}: no exception is needed any more for {sorted(idle)}"

    return ask
