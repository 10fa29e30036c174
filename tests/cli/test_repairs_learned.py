"""A shop of repairs: its own hours reach the price of its next repair, and no other work's."""

import json

import pytest

EUROS = ("--currency", "EUR", "--units", "mm", "--tax", "vat")


@pytest.fixture
def repairs(begun):
    """A metric euro shop that has closed no job yet, at 54.00 an hour."""
    new = ["new", "--shop", "Quillhaven Workshop", "--overhead", "15600", "--pay", "42000", *EUROS]
    return begun(new, on="2026-03-02")


def repaired(shop, number, *minutes_on):
    """Open a repair of 10 h, log hours on it and close it."""
    day, title = f"2026-03-{number + 2:02}", f"Alpha {number}"
    assert shop("job", "new", title, "--work", "repair 10h", on=day).code == 0
    assert shop("hours", "add", title, *minutes_on, on=day).code == 0
    said = shop("job", "close", title, "--price", "700", on=day)
    assert said.code == 0, said.err
    return said.out


def priced(shop, work, title="Next"):
    shop("job", "new", title, "--work", work, on="2026-03-20")
    return json.loads(shop("price", title, "--json", on="2026-03-20").out)


def test_before_the_first_repair_the_standards_price_it(repairs):
    sheet = priced(repairs, "repair 10h")
    # 10.00 + 0.50 of admin, × 54.00 × 1.06 = 601.02
    assert (sheet["hours"]["from"], sheet["totals"]["build_up"]) == ("standards", "601.02")
    assert sheet["hours"]["past_jobs"] == 0


def test_hours_of_repairs_price_the_next_repair(repairs):
    for number in range(1, 5):
        repaired(repairs, number, "repair", "12h", "ads", "30m")
    sheet = priced(repairs, "repair 10h")
    hours = sheet["hours"]
    assert (hours["from"], hours["past_jobs"]) == ("history", 4)
    # each took 12 h of 10, and its admin as long as the standard says
    by_line = {line["operation"]: line["estimate"] for line in sheet["operations"]}
    assert by_line == {"ADS": "0.53", "RPR": "12.06"}
    # 12.59 h, with 3 % of rework 12.96 h, × 54.00 × 1.06 = 741.83
    assert (hours["estimate"], sheet["totals"]["build_up"]) == ("12.96", "741.83")


def test_repairs_alone_price_no_other_work(repairs):
    repaired(repairs, 1, "repair", "12h", "ads", "30m")
    sheet = priced(repairs, "assemble 40, repair 3h")
    # 4.00 of 7.50 h are work that no job taught
    assert (sheet["hours"]["from"], sheet["hours"]["past_jobs"]) == ("standards", 0)
    mostly = priced(repairs, "assemble 20, repair 3h", "Another")
    assert (mostly["hours"]["from"], mostly["hours"]["past_jobs"]) == ("history", 1)


def test_what_repairs_count_as_is_told_alike_before_any_other_work_is_known(repairs):
    said = " ".join(repaired(repairs, 1, "repair", "20h", "--yes").split())
    # 2.00 counts as 1.36: where 73 % of the weight is still at 1.14, e^(.73 ln 1.14 + .27 ln 2)
    # is 1.33, and the mean of hours lies above their middle
    assert "Repair 13.60 h instead of 10.00 h: it ran × 2.00 over 1 job" in said
    assert "counted as 1.360" in repairs("standards", "show", "RPR", on="2026-03-20").out
    (row,) = [line for line in repairs("standards", "list", on="2026-03-20").out.splitlines()
              if line.startswith("RPR")]  # fmt: skip
    assert row.split()[-3:] == ["2.00", "1", "1.360"]


def test_a_repair_known_by_its_total_alone_teaches_nothing(repairs, tmp_path):
    folder = tmp_path / "past"
    folder.mkdir()
    (folder / "jobs.csv").write_text(
        "job,piece,done,price,material,hours\nP-1,Repair of a chair,2026-01-05,300,10,13\n"
    )
    (folder / "lines.csv").write_text("job,operation,count,hours\nP-1,RPR,10,\n")
    assert repairs("job", "load", str(folder), on="2026-03-02").code == 0
    sheet = priced(repairs, "repair 10h")
    assert (sheet["hours"]["from"], sheet["hours"]["past_jobs"]) == ("standards", 0)
