"""Published checks name where their numbers come from."""

import ast
import re

NAMED = re.compile(r"\bsources?\b|common practice|from memory", re.IGNORECASE)


def published_checks_name_their_source(pages):
    """Each check in tests/reference names its source in a docstring or a comment at its cases."""
    for page in pages:
        if page.python and page.path.startswith("tests/reference/"):
            begin = 0
            for name, node in page.functions.items():
                if name.split(".")[-1].startswith("test"):
                    notes = [ast.get_docstring(node) or ""]
                    lines = range(begin + 1, node.end_lineno + 1)
                    notes += (page.comments[line] for line in lines if line in page.comments)
                    if not NAMED.search("\n".join(notes)):
                        yield f"{page.path}:{name}", "names no source"
                begin = max(begin, node.end_lineno)


def test_published_checks_name_their_source(house):
    house(published_checks_name_their_source)


CHECKS = '''
# Source: the handbook's table 4.
CASES = [1, 2]

@parametrize("case", CASES)
def test_with_a_comment_above_its_cases(case): ...

class TestRules:
    def test_with_a_docstring(self):
        """Common practice, no source."""

def test_without(source): ...
'''


def test_only_a_check_without_docstring_or_comment_is_found(page):
    checks = page("tests/reference/test_handbook.py", CHECKS)

    assert list(published_checks_name_their_source([checks])) == [
        ("tests/reference/test_handbook.py:test_without", "names no source")
    ]
