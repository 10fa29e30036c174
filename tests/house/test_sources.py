"""Published checks name where their numbers come from."""

import ast
import re

NAMED = re.compile(r"\bsources?\b|common practice|from memory", re.IGNORECASE)
LISTED = re.compile(r"^- ([^,:;.(]{4,})", re.MULTILINE)  # "- ISO 4217, list one: the digits …"


def published_checks_name_their_source(pages):
    """A check in tests/reference names its source: in its docstring, a comment or at its cases.

    "Source: …", "common practice, no source" and "from memory" name it, and so does the name of
    a work that the page's own docstring lists.
    """
    for page in pages:
        if page.python and page.path.startswith("tests/reference/"):
            listed = [name.strip() for name in LISTED.findall(ast.get_docstring(page.tree) or "")]
            cases = notes_at_cases(page)
            for name, node in page.functions.items():
                if name.split(".")[-1].startswith("test"):
                    used = {part.id for part in ast.walk(node) if isinstance(part, ast.Name)}
                    said = [ast.get_docstring(node) or "", comments(page, node)]
                    said = "\n".join(said + [cases[case] for case in used & cases.keys()])
                    if not NAMED.search(said) and not any(work in said for work in listed):
                        yield f"{page.path}:{name}", "names no source"


def notes_at_cases(page):
    """Collect the comments at each table of cases, by the table's name."""
    return {
        target.id: comments(page, node)
        for node in page.tree.body
        if isinstance(node, ast.Assign)
        for target in node.targets
        if isinstance(target, ast.Name)
    }


def comments(page, node):
    """Join the comments that stand in a definition and right above it, decorators included."""
    first = min([node.lineno, *(mark.lineno for mark in getattr(node, "decorator_list", []))])
    while first - 1 in page.comments:
        first -= 1
    lines = range(first, node.end_lineno + 1)
    return "\n".join(page.comments[line] for line in lines if line in page.comments)


def test_published_checks_name_their_source(house):
    house(published_checks_name_their_source)


CHECKS = '''"""Checks.

- Planing Handbook, 1998: the tables.
"""
# Source: a leaflet of 1950.
LEAFLET = [1, 2]
# Planing Handbook, table 4.
TABLE = [1, 2]
BARE = [1, 2]  # two numbers

@parametrize("case", LEAFLET)
def test_with_a_comment_at_its_cases(case): ...

def test_with_the_name_of_a_listed_work(): assert TABLE

class TestRules:
    def test_with_a_docstring(self):
        """Common practice, no source."""

# From memory.
def test_with_a_comment_above(): ...

def test_without(source): assert BARE
'''


def test_only_a_check_whose_source_is_named_nowhere_is_found(page):
    checks = page("tests/reference/test_handbook.py", CHECKS)

    assert list(published_checks_name_their_source([checks])) == [
        ("tests/reference/test_handbook.py:test_without", "names no source")
    ]
