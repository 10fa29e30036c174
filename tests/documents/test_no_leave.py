"""The program never gives leave: no safe load, no rating, and never that something complies."""

import ast
import re
from pathlib import Path

import pytest

from ledger.book.settings import SETTINGS

ROOT = Path(__file__).parents[2] / "ledger"
NEVER = re.compile(
    r"\bcompl(y|ies|iant)\b|\bsafe (load|limit|weight|to (hang|lift|spray))"
    r"|\bsafely (hold|carr|support|lift)|\b(can|will|may) (hold|carry|bear|support) \d"
    r"|\brated (for|to|at) \d|\bworking load\b|\bpull-?out (strength|load)\b"
    r"|\b(meets|satisfies|passes|conforms to) (the |all )?(code|standard|rule|requirement|law)",
    re.IGNORECASE,
)


def spoken_texts(path: Path) -> list[str]:
    """Every text in a module that might be printed: its strings, docstrings left out."""
    tree = ast.parse(path.read_text("utf-8"))
    silent = {
        id(node.body[0].value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef)
        and node.body
        and isinstance(node.body[0], ast.Expr)
    }
    return [
        node.value
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in silent
    ]


@pytest.mark.parametrize(
    "path", sorted(ROOT.rglob("*.py")), ids=lambda path: path.relative_to(ROOT).as_posix()
)
def test_no_module_can_say_that_something_is_safe_rated_or_complies(path):
    assert [text for text in spoken_texts(path) if NEVER.search(text)] == []


def test_no_wording_to_start_from_says_so_either():
    assert [s.name for s in SETTINGS.values() if NEVER.search(f"{s.default} {s.words}")] == []


@pytest.mark.parametrize(
    "leave",
    ["This piece complies with 16 CFR 1261.", "safe load: 90 lb", "anchors will hold 80 lb",
     "rated for 150 lb", "it meets the code", "TSCA Title VI compliant", "safe to spray here"],
)  # fmt: skip
def test_a_sentence_that_gives_leave_would_be_found(leave):
    assert NEVER.search(leave)
