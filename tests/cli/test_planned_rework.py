"""Rework that a price pays for is in the plan of a job, quoted or sold in one sum."""

import json
import re

import pytest

JOBS = (
    "job,piece,done,price,material,rework hours\n"
    "P-1,Ten chairs,2025-02-03,900,10,0.5\nP-2,Six chairs,2025-03-03,600,10,0\n"
)
LINES = "job,operation,count,hours\nP-1,ASM,120,15\nP-2,ASM,72,8\n"
SHOP = ["new", "--shop", "Quillhaven Workshop", "--overhead", "15600", "--pay", "42000"]
DAY = "2025-06-02"


@pytest.fixture(
    params=[
        ("--currency", "USD", "--units", "inch", "--tax", "sales_tax"),
        ("--currency", "EUR", "--units", "mm", "--tax", "vat"),
    ],
    ids=["dollars", "euros"],
)
def twins(begun, tmp_path, request):
    """One repair of 10 h sold for 800.00, its twin quoted; each took 11.50 h at 50.00."""
    (tmp_path / "past").mkdir()
    (tmp_path / "past" / "jobs.csv").write_text(JOBS)
    (tmp_path / "past" / "lines.csv").write_text(LINES)
    shop = begun(
        [*SHOP, *request.param],
        ["job", "load", "past"],
        ["job", "new", "Beta", "--work", "repair 10h", "--price", "800"],
        ["job", "new", "Gamma", "--work", "repair 10h"],
        ["quote", "draft", "gamma"], ["quote", "send", "gamma"], ["quote", "accept", "gamma"],
        *(["hours", "add", title, "repair", "11h", "ads", "30m", "--on", day]
          for title, day in (("beta", "2025-05-30"), ("gamma", "2025-06-02"))),
        on=DAY,
    )  # fmt: skip
    return lambda *words: shop(*words, on=DAY)


def above_plan(shop, title):
    said = shop("job", "close", title, "--preview")
    assert said.code == 0, said.err
    return re.search(r"In all it cost (.*?) than planned", said.out).group(1)


def test_twins_are_held_beside_one_plan(twins):
    sheet = json.loads(twins("price", "gamma", "--json").out)["hours"]
    assert (sheet["history"], sheet["rework"], sheet["estimate"]) == ("12.34", "0.29", "12.63")
    # 12.63 h less 11.50 h, at 50.00
    assert above_plan(twins, "beta") == above_plan(twins, "gamma") == "56.50 less"


def test_what_was_learned_since_takes_no_rework_out_of_the_plan(twins):
    twins("job", "new", "Slow", "--work", "repair 10h", "--price", "900")
    twins("hours", "add", "slow", "repair", "13h", "--on", "2025-05-28", "--yes")
    twins("job", "close", "slow")
    now = json.loads(twins("price", "beta", "--json").out)["hours"]
    assert now["estimate"] != "12.63"
    assert above_plan(twins, "gamma") == "56.50 less"
    # its 0.29 h of rework are told by today's share of it, to 0.01 h at 50.00
    assert above_plan(twins, "beta") in {"56.00 less", "56.50 less", "57.00 less"}


def test_the_review_tells_what_an_hour_was_planned_to_bring_alike(twins):
    priced = json.loads(twins("price", "gamma", "--json").out)
    for title in ("beta", "gamma"):
        assert twins("job", "close", title).code == 0
    said = twins("review", "--from", DAY, "--to", DAY).out
    planned = dict(re.findall(r"^(J-\d+) +[\d.]+ +([\d.]+)  ", said, re.M))
    # 800.00 ÷ 12.63, and the quoted price of 723.00 ÷ 12.63
    assert priced["totals"]["price"] == "723.00"
    assert planned == {"J-2501": "63.34", "J-2502": "57.24"}
    # 11.50 h of work for 12.34 h and 0.29 h of rework; the parts add up to the whole
    why = " ".join(said.split()).replace("\N{MINUS SIGN}", "-")
    assert why.count("11.50 h for 12.63 planned: work -0.84, rework planned -0.29") == 2
