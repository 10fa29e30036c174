"""What a closed job brought: the price agreed, less a credit note given after closing."""

import json
from decimal import Decimal

import pytest

DAY = "2025-05-20"
INCH = ["new", "--shop", "Quillhaven Workshop"]
METRIC = [*INCH, "--currency", "EUR", "--units", "mm", "--tax", "vat"]
IDENTITY = ["address=Lane 1", "tax_number=EX 1"]
NUMBERS = ("I-2501-1", "I-25-0001")
QUOTED = [
    ["job", "new", "Gate", "--price", "1000", "--hours", "10", "--client", "X"],
    ["quote", "draft", "gate"],
    ["quote", "send", "gate"],
    ["quote", "accept", "gate"],
]


SOLD = [(INCH, QUOTED[:1]), (INCH, QUOTED), (METRIC, QUOTED[:1])]


@pytest.fixture(params=SOLD)
def gate(begun, request):
    """A gate of 1,000.00 and 7 % tax, in one sum or quoted: paid, 10 h in it, closed."""
    new, sold = request.param
    return begun(
        new,
        ["shop", "set", "overhead_year=22000", "pay_year=56000", "tax_rate=7 %", *IDENTITY],
        *sold,
        ["job", "client", "gate", "--address", "Row 2"],
        ["quote", "invoice", "gate", "--rest"],
        ["hours", "add", "gate", "repair", "10h"],
        ["job", "pay", "gate", "1070"],
        ["job", "close", "gate"],
        ["job", "new", "Probe", "--price", "900", "--hours", "10"],
        on=DAY,
    )


def run(shop, *words):
    said = shop(*words, on=DAY)
    assert said.code == 0, (words, said.err)
    return said.out


def credit(shop, amount):
    """Credit so much of the one invoice; under VAT it is numbered by the year."""
    words = [["quote", "credit", one, amount, "--why", "scratch"] for one in NUMBERS]
    assert [shop(*one, on=DAY).code for one in words].count(0) == 1


def told(shop):
    """The price and what an hour earned: shown, beside a price, on the telephone, in the review."""
    shown = {name.strip(): value.strip() for name, _, value in (
        line.partition(":") for line in run(shop, "job", "show", "gate").splitlines()
    )}  # fmt: skip
    price = shown["price"].split(" before")[0]
    assert shown["earned"].split(", ")[0] == price  # all of it: nothing was used
    (near,) = json.loads(run(shop, "price", "probe", "--json"))["near"]
    (rough,) = [row for row in run(shop, "job", "rough", "gate").splitlines() if row[:2] == "J-"]
    (built,) = [row for row in run(shop, "review").splitlines() if row.startswith("built ")]
    hourly = f"{Decimal(near['earned_per_hour']):.2f}"
    assert built.split()[1] == hourly == shown["earned"].split(", ")[1].removesuffix(" an hour")
    assert rough.split()[2:4] == [price, near["hours"]] == [price, "10.00"]
    assert near["price"] == price.replace(",", "")
    return price, hourly


def test_a_credit_after_closing_takes_off_what_the_job_brought(gate):
    """1,070.00 invoiced; of it 107.00 credited, 100.00 before tax."""
    before = told(gate)

    credit(gate, "107")
    credited = told(gate)
    run(gate, "job", "pay", "gate", "107", "--refund")

    assert (before, credited, told(gate)) == (
        ("1,000.00", "100.00"), ("900.00", "90.00"), ("900.00", "90.00")
    )  # fmt: skip


@pytest.mark.parametrize("gate", SOLD[:2], indirect=True)  # under VAT none is undone
def test_a_credit_after_closing_that_is_undone_takes_nothing_off(gate):
    credit(gate, "107")
    assert told(gate) == ("900.00", "90.00")

    run(gate, "undo")

    assert told(gate) == ("1,000.00", "100.00")


def test_a_job_closed_again_has_its_credit_once(gate):
    credit(gate, "107")
    run(gate, "job", "reopen", "gate", "--why", "a hinge")
    run(gate, "job", "close", "gate")
    assert told(gate) == ("900.00", "90.00")

    credit(gate, "53.50")

    assert told(gate) == ("850.00", "85.00")


@pytest.mark.parametrize("gate", SOLD[:2], indirect=True)
def test_a_credit_of_before_closing_that_is_undone_takes_nothing_off(gate):
    run(gate, "job", "reopen", "gate", "--why", "a hinge")
    credit(gate, "107")
    entry = run(gate, "undo", "--list").splitlines()[1].split()[0]
    run(gate, "job", "close", "gate")
    assert told(gate) == ("900.00", "90.00")

    run(gate, "undo", entry)

    assert told(gate) == ("1,000.00", "100.00")


@pytest.mark.parametrize("units", [(), ("--currency", "EUR", "--units", "mm", "--tax", "vat")])
def test_a_quoted_job_is_closed_at_what_was_agreed(begun, units):
    """800.00 was accepted; 900.00 at closing would stand in one account and not in the other."""
    shop = begun(
        ["new", "--shop", "Larkhollow Joinery", "--overhead", "18000", "--pay", "48000", *units],
        ["job", "new", "Gate", "--work", "repair 10h"],
        ["quote", "draft", "gate", "--price", "800"],
        ["quote", "send", "gate"],
        ["quote", "accept", "gate"],
        ["hours", "add", "gate", "repair", "10h"],
    )
    refused = shop("job", "close", "gate", "--price", "900")
    assert (refused.code, "was agreed at 800.00 by Q-" in " ".join(refused.err.split())) == (
        1,
        True,
    )

    assert shop("job", "close", "gate", "--price", "800").code == 0
    assert "earned:  800.00, 80.00 an hour" in shop("job", "show", "gate").out
