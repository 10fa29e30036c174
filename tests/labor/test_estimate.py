"""Hours of one operation: set-up and minutes times a count, rounded once, split with the helper."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.labor.estimate import counted_driver, helper_hours, standard_hours, total_hours
from ledger.labor.hours_range import foretell
from ledger.labor.learning import History
from ledger.labor.standards import like, starting_standards
from ledger.measures.rounding import half_up
from ledger.measures.values import replace

OPERATIONS = {row.code: row for row in starting_standards()}

# The hours of the worked fold-down bed: operation, count, hours estimated.
BED = {
    "DES": (20, "4.67"), "MTG": (2, "2.50"), "ADM": (1, "2.00"), "PUP": (2, "2.50"),
    "SHT": (10, "2.00"), "RIP": (33, "1.27"), "XW": (20, "1.17"), "XN": (85, "1.22"),
    "RAB": (28, "0.57"), "MIL": (3, "0.73"), "EBA": (114, "1.69"), "EBT": (114, "1.22"),
    "SOL": (24, "1.45"), "PKT": (106, "0.97"), "DWL": (16, "0.57"), "PIN": (160, "0.92"),
    "ASM": (51, "5.01"), "HWB": (1, "2.75"), "HWS": (14, "2.03"), "SND": (276, "5.69"),
    "SBC": (552, "2.84"), "SPR": (828, "4.14"), "SPS": (3, "2.83"), "PAK": (18, "2.05"),
    "DLV": (Fraction(7, 2), "3.50"), "INS": (Fraction(19, 2), "9.50"),
}  # fmt: skip


def bed_lines():
    return [standard_hours(OPERATIONS[code], Fraction(count)) for code, (count, _) in BED.items()]


def test_each_line_of_the_bed_takes_its_hours():
    assert {line.operation.code: str(line.estimate) for line in bed_lines()} == {
        code: hours for code, (_, hours) in BED.items()
    }


def test_the_bed_takes_65_79_hours_of_which_6_50_are_the_helpers():
    lines = bed_lines()

    assert total_hours(line.estimate for line in lines) == Decimal("65.79")
    helper = total_hours(helper_hours(line.estimate, line.operation) for line in lines)
    assert helper == Decimal("6.50")


def test_a_count_of_nothing_costs_no_set_up():
    line = standard_hours(OPERATIONS["SND"], Fraction(0))

    assert (line.estimate, helper_hours(line.estimate, line.operation)) == (0, 0)


def test_measured_feet_count_as_whole_feet_and_a_typed_count_as_typed():
    banding = OPERATIONS["EBA"]

    measured = standard_hours(banding, Fraction(1144, 10))
    typed = standard_hours(banding, Fraction(1144, 10), entered=True)

    assert measured.driver == 114
    assert typed.driver == Fraction(1144, 10)
    assert measured.estimate == Decimal("1.69")
    assert typed.estimate == Decimal("1.69")
    assert standard_hours(banding, Fraction(1145, 10)).estimate == Decimal("1.70")


@pytest.mark.parametrize(
    ("unit", "measured", "counted"),
    [
        ("ft", "28.2", "28"), ("ft", "28.5", "29"), ("sq ft", "275.5", "276"),
        ("sq ft × coat", "827.4", "827"), ("m", "8.6", "9"), ("m²", "25.64", "25.6"),
        ("m² × gap", "25.65", "25.7"), ("bd ft", "3.1", "3.1"), ("strip", "33", "33"),
    ],
)  # fmt: skip
def test_a_measured_driver_is_rounded_half_up_to_what_its_unit_keeps(unit, measured, counted):
    assert counted_driver(unit, Fraction(measured)) == Fraction(counted)


@given(
    code=st.sampled_from(sorted(OPERATIONS)),
    driver=st.fractions(min_value=0, max_value=2000),
)
def test_the_helper_has_no_more_than_the_line(code, driver):
    line = standard_hours(OPERATIONS[code], driver)

    assert 0 <= helper_hours(line.estimate, line.operation) <= line.estimate


# What the bed's lines come to once five past jobs have taught the shop; HWB never was logged.
TAUGHT = """
DES 6.12 MTG 2.92 ADM 2.52 PUP 3.02 SHT 2.20 RIP 1.27 XW 1.30 XN 1.13 RAB 0.66 MIL 0.80
EBA 2.15 EBT 1.65 SOL 1.60 PKT 0.91 DWL 0.60 PIN 0.88 ASM 5.74 HWB 3.12 HWS 2.03 SND 7.12
SBC 3.35 SPR 3.96 SPS 3.37 PAK 1.95 DLV 4.00 INS 10.71
"""


def test_the_bed_by_what_five_jobs_taught_adds_up_to_its_typical_hours(lessons):
    alone = [
        replace(line, operation=like(line.operation, helper_share=Fraction(0)))
        for line in bed_lines()
    ]
    told = foretell(History(lessons).forecast, alone)

    said = " ".join(f"{code} {hours}" for code, hours in told.typical.items())
    assert said.split() == TAUGHT.split()
    assert total_hours(told.typical.values()) == told.range.work
    assert told.range.work == Decimal("75.08")  # as worked out apart from this code


def test_an_operation_without_history_takes_what_its_group_and_the_shop_run_at(lessons):
    past = History(lessons)
    assert past.learned("HWB").raw is None
    assert half_up(past.used_ratio("HWB", "assembly"), 2) == Decimal("1.14")
