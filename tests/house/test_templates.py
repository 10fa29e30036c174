"""The templates of papers lay out and do nothing else: no network, no file, no clock, no code."""

import re

import pytest

BARRED = re.compile(
    r"@(?:preview|local)|\beval\b|\bplugin\b|\bread\s*\(|datetime\s*\.\s*today|\bsys\b"
    r"|\b(?:csv|yaml|toml|xml|cbor|bibliography)\s*\("
)
IMPORTED = re.compile(r'#(?:import|include)\s*"(?P<what>[^"]*)"')


def templates_only_lay_out(pages):
    """No template reaches beyond its words: to packages, files, the clock, evaluated text."""
    for page in pages:
        if page.path.endswith(".typ"):
            for number, line in enumerate(page.text.splitlines(), 1):
                for match in BARRED.finditer(line):
                    yield f"{page.path}:{number}", f"says {match[0]}"
                for match in IMPORTED.finditer(line):
                    if match["what"] != "house.typ":
                        yield f"{page.path}:{number}", f"imports {match['what']}"


def test_templates_only_lay_out(house, pages):
    assert any(page.path.endswith("templates/house.typ") for page in pages)
    house(templates_only_lay_out)


@pytest.mark.parametrize(
    ("line", "count"),
    [
        ('#import "house.typ": *', 0),
        ("#d.thread // a thread, evaluated nowhere", 0),
        ('#import "@preview/cetz:0.3.0"', 2),
        ('#include "other.typ"', 1),
        ("#eval(d.title)", 1),
        ('#plugin("a.wasm")', 1),
        ('#read("/etc/hosts")', 1),
        ("#datetime.today().display()", 1),
        ('#csv("rows.csv")', 1),
    ],
)
def test_a_template_that_reaches_out_is_found(line, count, page):
    wrong = page("ledger/papers/templates/quote.typ", line)

    assert len(list(templates_only_lay_out([wrong]))) == count
