"""What the schema itself refuses: each named rule with the row that breaks it."""

import re
import sqlite3
from importlib import resources

import pytest

REVERSAL = {"id": 2, "reverses": 1, "why": "typed twice"}
BROKEN = [
    ("deed_reverses_an_earlier_one", "deed", REVERSAL | {"reverses": 2}),
    ("deed_reverses_an_earlier_one", "deed", REVERSAL | {"reverses": 3}),
    ("deed_says_why", "deed", REVERSAL | {"why": None}),
    ("deed_says_why", "deed", REVERSAL | {"why": " "}),
    ("material_pack_is_positive", "material", {"pack": 0}),
    ("material_sizes_are_positive", "material", {"length": 0}),
    ("material_sizes_are_positive", "material", {"width": -1}),
    ("material_sizes_are_positive", "material", {"thickness": 0}),
    ("material_allowance_says_on_what", "material", {"allowance": "1/10"}),
    ("material_allowance_says_on_what", "material", {"allowance_on": "net"}),
    ("material_allowance_on", "material", {"allowance": "1/10", "allowance_on": "used"}),
    ("material_coverage_has_a_source", "material", {"coverage": "400"}),
    ("material_density_has_a_source", "material", {"density": "680"}),
    ("material_kind", "material", {"kind": "wood"}),
    ("material_sheet_has_a_size", "material", {"width": None}),
    ("material_flags", "material", {"whole": 2}),
    ("material_flags", "material", {"composite": -1}),
    ("design_version_counts_from_one", "design_version", {"version": 0}),
    ("job_kind", "job", {"kind": "hobby"}),
    ("job_count_occasion", "job_count", {"occasion": "guessed"}),
    ("job_count_is_not_negative", "job_count", {"driver": -1}),
    ("job_cost_occasion", "job_cost", {"occasion": "guessed"}),
    ("job_cost_kind", "job_cost", {"kind": "rent"}),
    ("month_state_is_known", "month_state", {"state": "ajar"}),
]
FILES = ("0001_ground.sql",)
"""The files whose rules stand in the table above."""


@pytest.mark.parametrize(
    ("rule", "table", "change"),
    [pytest.param(*case, id=f"{case[0]}-{number}") for number, case in enumerate(BROKEN)],
)
def test_a_named_rule_refuses_the_row_that_breaks_it(filled, put, sample_rows, rule, table, change):
    row = sample_rows[table] | change
    with pytest.raises(sqlite3.IntegrityError, match=f"CHECK constraint failed: {rule}$"):
        put(filled, table, row)


def test_every_rule_has_a_row_that_breaks_it():
    folder = resources.files("ledger.book") / "migrations"
    named = {
        rule
        for file in FILES
        for rule in re.findall(r"CONSTRAINT (\w+)\s+CHECK", (folder / file).read_text("utf-8"))
    }
    assert named == {rule for rule, _, _ in BROKEN}


def test_a_row_that_breaks_no_rule_is_taken(filled, put, sample_rows):
    put(filled, "deed", sample_rows["deed"] | REVERSAL)
    for table, row in sample_rows.items():
        if table != "deed":
            put(filled, table, row)


def test_a_row_that_refers_to_nothing_is_refused(filled, put, sample_rows):
    for table, name in (("price", "supplier"), ("job", "client"), ("job_basis", "design")):
        with pytest.raises(sqlite3.IntegrityError, match="FOREIGN KEY"):
            put(filled, table, sample_rows[table] | {name: 99})
