"""Jobs sold in one sum: what was guessed for them, what they plan, and what they are called."""

import json

import pytest

SHOP = ["shop", "set", "tax_rate=10 %", "contingency=0 %"]
NEW = ["new", "--shop", "Quillhaven Workshop", "--overhead", "21000", "--pay", "52000"]
"""An hour must bring (21,000 + 52,000) ÷ 1,152 = 63.37 to break even."""


@pytest.fixture
def in_one_sum(begun):
    """A US shop with sales tax and the starting prices: glue at 7.50 a bottle."""
    return begun(NEW, SHOP, ["material", "load", "--starting"])


def done(shop, *words):
    said = shop(*words)
    assert said.code == 0, said.err
    return said


def facts(shop, *words):
    return json.loads(done(shop, *words, "--json").out)


def test_what_is_learned_later_moves_no_plan_that_was_agreed(in_one_sum, tmp_path):
    # Three times 30 h guessed and 20 h worked: 10 h at 63.37 = 633.70 less than planned. From the
    # third closed job on a guess of 30 h counts as 30 × 60 ÷ 90 = 20 h, for jobs to come.
    for title in ("Aaa cart", "Bbb cart", "Ccc cart"):
        done(in_one_sum, "job", "new", title, "--price", "2400", "--hours", "30")
        done(in_one_sum, "job", "pay", title, "2640")
        done(in_one_sum, "hours", "add", title, "repair", "12h", "--on", "2025-04-23", "--yes")
        done(in_one_sum, "hours", "add", title, "repair", "8h", "--on", "2025-04-24", "--yes")
        for more in (["--preview"], []):
            assert "633.70 less than planned" in done(in_one_sum, "job", "close", title, *more).out
    done(in_one_sum, "job", "new", "Ddd cart", "--price", "2400", "--hours", "30")
    assert facts(in_one_sum, "price", "ddd")["hours"]["estimate"] == "20.00"
    for title in ("aaa", "bbb", "ccc"):
        assert "633.70 less than planned" in done(in_one_sum, "job", "close", title).out
        assert facts(in_one_sum, "price", title)["hours"]["estimate"] == "30.00"
