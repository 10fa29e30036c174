"""Hours of a helper whose hour costs nothing are never silent: priced, entered, loaded, closed."""

import json
from decimal import ROUND_HALF_UP, Decimal

import pytest

PARTS = "id,name,qty,length,width,material\nA,Panel,30,24,12,PLY\n"
MATERIALS = """\
code,name,kind,unit,length,width,price,price_day
PLY,Birch ply,sheet,sheet,96,48,72.00,2025-04-01
"""


@pytest.fixture
def built_in(shop, tmp_path):
    """A painted built-in of many sheets, whose delivery takes a helper."""
    (tmp_path / "list.csv").write_text(MATERIALS)
    (tmp_path / "parts.csv").write_text(PARTS)
    for words in (
        ["new", "--shop", "Workshop", "--overhead", "20000", "--pay", "48000"],
        ["material", "load", "list.csv"],
        ["job", "new", "Painted built-in", "--parts", "parts.csv"],
        ["job", "count", "built-in", "delivery", "1"],
    ):  # fmt: skip
        said = shop(*words)
        assert said.code == 0, said.err
    return shop


def hours_priced(facts):
    return {
        row["name"]: Decimal(row["amount"]) for row in facts["build_up"] if "hours" in row["name"]
    }


def test_hours_of_a_helper_that_the_shop_has_not_are_the_owners_and_cost_money(built_in):
    alone = json.loads(built_in("price", "built-in", "--json").out)
    (warning,) = [text for text in alone["warnings"] if "helper" in text]
    assert "are priced as your own" in warning
    assert alone["hours"]["helper"] == "0.00"
    assert alone["hours"]["owner"] == alone["hours"]["estimate"]
    # all of them at the selling rate
    owner = Decimal(alone["hours"]["owner"]) * Decimal(alone["rates"]["selling"])
    assert hours_priced(alone) == {"owner hours": owner.quantize(Decimal("0.01"), ROUND_HALF_UP)}

    built_in("shop", "set", "helper_cost=20", "helper_billed=40")
    helped = json.loads(built_in("price", "built-in", "--json").out)
    assert helped["hours"]["estimate"] == alone["hours"]["estimate"]
    assert Decimal(helped["hours"]["helper"]) > 0
    assert Decimal(helped["totals"]["price"]) < Decimal(alone["totals"]["price"])


def test_a_price_with_a_helper_at_nothing_says_so(built_in):
    built_in("shop", "set", "helper_cost=20")
    facts = json.loads(built_in("price", "built-in", "--json").out)
    (warning,) = [text for text in facts["warnings"] if "helper" in text]
    assert "helper are billed at 0.00" in warning
    built_in("shop", "set", "helper_billed=40")
    facts = json.loads(built_in("price", "built-in", "--json").out)
    assert not [text for text in facts["warnings"] if "helper" in text]


def test_hours_entered_and_closed_at_nothing_say_so(built_in):
    said = built_in("hours", "add", "built-in", "delivery", "2h", "--with", "helper")
    assert "An hour of helper costs 0.00 here" in " ".join(said.err.split())
    assert "0.00" not in built_in("hours", "add", "built-in", "sand", "1h").err
    said = built_in("job", "close", "built-in", "--price", "900")
    assert "2.00 h stand at 0.00" in " ".join(said.err.split())


def test_a_rate_silences_it(built_in):
    built_in("shop", "set", "helper_cost=20", "helper_billed=40")
    said = built_in("hours", "add", "built-in", "delivery", "2h", "--with", "helper")
    assert "costs 0.00" not in said.err
    said = built_in("job", "close", "built-in", "--price", "900")
    assert "helper costs" not in said.err


def test_a_loaded_log_says_it_once(built_in, tmp_path):
    (tmp_path / "log.csv").write_text(
        'day,job,operation,hours,people\n2025-04-24,built-in,delivery,1h,"owner, helper"\n'
        "2025-04-25,built-in,delivery,1h,helper\n2025-04-25,built-in,sand,1h,Robin\n"
    )
    said = built_in("hours", "load", "log.csv")
    assert said.code == 0, said.err
    assert said.err.count("costs 0.00") == 1
    assert "helper and Robin" in " ".join(said.err.split())
