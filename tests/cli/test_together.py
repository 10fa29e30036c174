"""Jobs that share sheets: laid in one search, each paying its share, priced as if alone."""

import importlib.util
from decimal import Decimal
from pathlib import Path

import pytest

_SPEC = importlib.util.spec_from_file_location(
    "saw_checker", Path(__file__).parents[1] / "cutting" / "saw_checker.py"
)
assert _SPEC is not None
assert _SPEC.loader is not None
checker = importlib.util.module_from_spec(_SPEC)
_SPEC.loader.exec_module(checker)

RATES = ["shop", "set", "overhead_year=22000", "pay_year=56000"]
BOTH = ("layout", "bookcase", "bench", "--together")


def shared(plan):
    """The shares of the one material of a joint plan."""
    (material,) = plan["together"]["materials"]
    return material, material["shares"]


def adds_up(plan):
    """Whether every material's shares come to its cost, none above what a job pays alone."""
    for material in plan["together"]["materials"]:
        for name in ("sheets_cost", "offcuts", "cost"):
            summed = sum(Decimal(share[name]) for share in material["shares"])
            assert summed == Decimal(material[name])
        for share in material["shares"]:
            for name in ("sheets_cost", "cost"):
                assert Decimal(share[name]) <= Decimal(share["alone"][name])
            assert Decimal(share["saved"]) == Decimal(share["alone"]["cost"]) - Decimal(
                share["cost"]
            )
        assert Decimal(material["cost"]) < Decimal(material["alone"]["cost"])
        assert material["sheets"] <= material["alone"]["sheets"]
    return True


def can_be_sawn(plan):
    """Whether the checker that shares no line with the program finds nothing wrong."""
    return all(checker.faults(plan, cuts) == [] for cuts in plan["cut_lists"])


def test_two_jobs_share_a_sheet_and_its_cost(joint_shop):
    plan = joint_shop(*BOTH, "--json").facts()
    material, shares = shared(plan)
    assert (material["material"], material["sheets"], material["alone"]["sheets"]) == (
        "PLY34", 1, 2,
    )  # fmt: skip
    assert [(s["job"], s["alone"]["sheets"]) for s in shares] == [("J-2507", 1), ("J-2508", 1)]
    weights = [Decimal(share["alone"]["cost"]) for share in shares]
    exact = 96 * weights[0] / sum(weights)
    assert abs(Decimal(shares[0]["sheets_cost"]) - exact) < Decimal("0.01")
    assert adds_up(plan)
    assert can_be_sawn(plan)
    marks = {part["mark"] for sheet in plan["sheets"] for part in sheet["placements"]}
    assert marks == {"J-2507 A1", "J-2508 A1"}


def test_three_jobs_share_sheets_in_any_order_alike(joint_shop):
    plan = joint_shop("layout", "stool", "bookcase", "bench", "--together", "--json").facts()
    material, shares = shared(plan)
    assert (material["sheets"], material["alone"]["sheets"], len(shares)) == (2, 3, 3)
    assert adds_up(plan)
    assert can_be_sawn(plan)
    again = joint_shop("layout", "bench", "stool", "bookcase", "--together", "--json").facts()
    assert (again["sheets"], again["together"]["materials"], again["together"]["entry"]) == (
        plan["sheets"], plan["together"]["materials"], plan["together"]["entry"],
    )  # fmt: skip


def test_a_metric_euro_pair(begun, tmp_path):
    lists = {
        "shelf": "A1,4,1500,290,length,BIR18\n",
        "desk": "A1,4,900,290,length,BIR18\nA2,3,700,50,any,BIR18\n",
    }
    prices = (
        "code,name,kind,unit,price,thickness,length,width,density,density_source\n"
        "BIR18,Birch 18,sheet,sheet,89.95,18,2500,1250,680,sheet\n"
    )
    (tmp_path / "prices.csv").write_text(prices)
    for name, rows in lists.items():
        (tmp_path / f"{name}.csv").write_text(f"id,qty,length,width,grain,material\n{rows}")
    joint_shop = begun(
        ["new", "--shop", "Werkstatt Lindenhof", "--currency", "EUR", "--units", "mm"],
        RATES,
        ["material", "load", "prices.csv"],
        ["job", "new", "Shelf", "--parts", "shelf.csv"],
        ["job", "new", "Desk", "--parts", "desk.csv"],
    )
    plan = joint_shop("layout", "shelf", "desk", "--together", "--json").facts()
    material, _ = shared(plan)
    assert (material["sheets"], material["alone"]["sheets"]) == (1, 2)
    assert (material["sheets_cost"], adds_up(plan), can_be_sawn(plan)) == ("89.95", True, True)


def test_a_piece_of_the_rack_is_cut_for_both(joint_shop):
    joint_shop("material", "price", "PLY34", "96").done()
    joint_shop("receipt", "add", "PLY34", "1", "96", "--from", "Copper Vale Lumber").done()
    joint_shop("stock", "issue", "full", "PLY34", "1").done()
    joint_shop("stock", "keep", "full", "PLY34", "36x46").done()
    plan = joint_shop("layout", "bookcase", "bench", "stool", "--together", "--json").facts()
    assert {sheet["source"] for sheet in plan["sheets"]} == {"new", "rack"}
    assert adds_up(plan)
    assert can_be_sawn(plan)


@pytest.mark.parametrize("verb", [("price", "bookcase"), ("layout", "bookcase"),
                                  ("quote", "show", "bookcase")])  # fmt: skip
def test_prices_quotes_and_own_layouts_never_depend_on_a_joint_plan(joint_shop, verb):
    joint_shop("quote", "draft", "bookcase", "--price", "2000").done()
    joint_shop("quote", "draft", "bench", "--price", "900").done()
    before = joint_shop(*verb, "--json").done().out
    joint_shop(*BOTH).done()
    assert joint_shop(*verb, "--json").done().out == before
    joint_shop("quote", "draft", "bookcase", "--price", "2000").done()
    assert joint_shop(*verb, "--json").done().out.replace("-B", "-A") == before


@pytest.mark.parametrize(
    ("first", "words"),
    [
        ([], ["bookcase"]),
        ([], ["bookcase", "bookcase"]),
        ([], ["bookcase", "thin"]),
        ([], ["bench", "full"]),
        ([], ["bookcase", "bench", "thin"]),
        ([["job", "cancel", "bench", "--why", "moved away"]], ["bookcase", "bench"]),
        ([["job", "close", "bench", "--price", "100"]], ["bookcase", "bench"]),
        ([["job", "state", "bench", "ready"]], ["bookcase", "bench"]),
        ([["job", "new", "Repair", "--work", "repair 3h"]], ["bookcase", "repair"]),
        ([["job", "new", "Idea"]], ["bookcase", "idea"]),
        ([["receipt", "add", "PLY34", "1", "96", "--from", "Yard"],
          ["stock", "issue", "bench", "PLY34", "1"]], ["bookcase", "bench"]),
        ([["layout", "bench", "stool", "--together"]], ["bookcase", "bench"]),
        ([["quote", "draft", "bench", "--price", "900"], ["quote", "send", "bench"],
          ["quote", "decline", "bench"]], ["bookcase", "bench"]),
    ],
)  # fmt: skip
def test_what_shares_no_sheets_is_refused_and_posts_nothing(joint_shop, first, words):
    for line in first:
        joint_shop(*line).done()
    for name in set(words):
        joint_shop("layout", name)
    before = joint_shop("check").done().out
    said = joint_shop("layout", *words, "--together")
    assert (said.code, said.out) == (1, "")
    assert said.err.strip()
    assert joint_shop("check").done().out == before


def test_undo_dissolves_it_and_the_jobs_can_be_joined_anew(joint_shop):
    own = joint_shop("layout", "bench", "--json").done().out
    plan = joint_shop(*BOTH, "--json").facts()
    joint_shop("undo").done()
    assert joint_shop("layout", "bench", "--json").done().out == own
    again = joint_shop(*BOTH, "--json").facts()
    assert again["together"]["entry"] > plan["together"]["entry"]
    assert again["together"]["materials"] == plan["together"]["materials"]


@pytest.mark.parametrize(
    "change",
    [
        ["job", "set", "bench", "--parts", "stool.csv"],
        ["shop", "set", "kerf=3/16"],
    ],
)
def test_what_changes_parts_or_saw_makes_it_stale_and_it_is_laid_anew(joint_shop, change):
    first = joint_shop(*BOTH, "--json").facts()["together"]["entry"]
    joint_shop(*change).done()
    plan = joint_shop(*BOTH, "--json").facts()
    assert plan["together"]["entry"] > first
    assert "holds no longer" in plan["together"]["apart"][0]
    assert adds_up(plan)


def test_a_canceled_job_frees_the_other(joint_shop):
    joint_shop(*BOTH).done()
    joint_shop("job", "cancel", "bookcase", "--why", "moved away").done()
    plan = joint_shop("layout", "bench", "stool", "--together", "--json").facts()
    assert "J-2507 is canceled" in plan["together"]["apart"][0]


def test_a_plan_does_not_come_back_once_one_of_its_jobs_is_joined_with_another(joint_shop):
    joint_shop(*BOTH).done()
    joint_shop("job", "set", "bench", "--parts", "stool.csv").done()
    joint_shop("layout", "bookcase", "stool", "--together").done()
    joint_shop("job", "set", "bench", "--parts", "bench.csv").done()
    said = " ".join(joint_shop("layout", "bench").done().err.split())
    assert "J-2507 is cut together with others since" in said
