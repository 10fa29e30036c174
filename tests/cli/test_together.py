"""Jobs that share sheets: laid in one search, each paying its share, priced as if alone."""

import importlib.util
import json
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

HEADS = "id,qty,length,width,grain,material\n"
LISTS = {
    "bookcase": "A1,4,60,11,length,PLY34\nB1,1,20,11,any,PLY12\n",
    "bench": "A1,4,34,11,length,PLY34\n",
    "stool": "A1,4,25,11,length,PLY34\n",
    "full": "A1,4,95,11,length,PLY34\n",
    "thin": "A1,1,20,11,any,PLY14\n",
}
PRICES = (
    "code,name,kind,unit,price,thickness,length,width,density,density_source\n"
    "PLY34,Birch ply 3/4,sheet,sheet,96,0.72,96,48,680,sheet\n"
    "PLY12,Birch ply 1/2,sheet,sheet,70,0.47,96,48,680,sheet\n"
    "PLY14,Birch ply 1/4,sheet,sheet,40,0.22,96,48,680,sheet\n"
)
RATES = ["shop", "set", "overhead_year=22000", "pay_year=56000"]
NUMBERS = {"bookcase": "J-2507", "bench": "J-2508", "stool": "J-2509", "full": "J-2510",
           "thin": "J-2511"}  # fmt: skip
BOTH = ("layout", "bookcase", "bench", "--together")


def write_lists(folder, prices=PRICES, lists=LISTS):
    (folder / "prices.csv").write_text(prices)
    for name, rows in lists.items():
        (folder / f"{name}.csv").write_text(HEADS + rows)


@pytest.fixture
def typed(begun, tmp_path):
    """An inch shop with five jobs, nothing in stock."""
    write_lists(tmp_path)
    return begun(
        ["new", "--shop", "Quillhaven Workshop"],
        RATES,
        ["material", "load", "prices.csv"],
        *(
            ["job", "new", name.capitalize(), "--number", number, "--parts", f"{name}.csv",
             "--client", "M. Ortiz"]
            for name, number in NUMBERS.items()
        ),
    )  # fmt: skip


def done(said):
    assert said.code == 0, said.err
    return said


def facts(said):
    return json.loads(done(said).out)


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


def test_two_jobs_share_a_sheet_and_its_cost(typed):
    plan = facts(typed(*BOTH, "--json"))
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


def test_three_jobs_share_sheets_in_any_order_alike(typed):
    plan = facts(typed("layout", "stool", "bookcase", "bench", "--together", "--json"))
    material, shares = shared(plan)
    assert (material["sheets"], material["alone"]["sheets"], len(shares)) == (2, 3, 3)
    assert adds_up(plan)
    assert can_be_sawn(plan)
    again = facts(typed("layout", "bench", "stool", "bookcase", "--together", "--json"))
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
    write_lists(tmp_path, prices, lists)
    typed = begun(
        ["new", "--shop", "Werkstatt Lindenhof", "--currency", "EUR", "--units", "mm"],
        RATES,
        ["material", "load", "prices.csv"],
        ["job", "new", "Shelf", "--parts", "shelf.csv"],
        ["job", "new", "Desk", "--parts", "desk.csv"],
    )
    plan = facts(typed("layout", "shelf", "desk", "--together", "--json"))
    material, _ = shared(plan)
    assert (material["sheets"], material["alone"]["sheets"]) == (1, 2)
    assert (material["sheets_cost"], adds_up(plan), can_be_sawn(plan)) == ("89.95", True, True)


def test_a_piece_of_the_rack_is_cut_for_both(typed):
    done(typed("material", "price", "PLY34", "96"))
    done(typed("receipt", "add", "PLY34", "1", "96", "--from", "Copper Vale Lumber"))
    done(typed("stock", "issue", "full", "PLY34", "1"))
    done(typed("stock", "keep", "full", "PLY34", "36x46"))
    plan = facts(typed("layout", "bookcase", "bench", "stool", "--together", "--json"))
    assert {sheet["source"] for sheet in plan["sheets"]} == {"new", "rack"}
    assert adds_up(plan)
    assert can_be_sawn(plan)


@pytest.mark.parametrize("verb", [("price", "bookcase"), ("layout", "bookcase"),
                                  ("quote", "show", "bookcase")])  # fmt: skip
def test_prices_quotes_and_own_layouts_never_depend_on_a_joint_plan(typed, verb):
    done(typed("quote", "draft", "bookcase", "--price", "2000"))
    done(typed("quote", "draft", "bench", "--price", "900"))
    before = done(typed(*verb, "--json")).out
    done(typed(*BOTH))
    assert done(typed(*verb, "--json")).out == before
    done(typed("quote", "draft", "bookcase", "--price", "2000"))
    assert done(typed(*verb, "--json")).out.replace("-B", "-A") == before


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
def test_what_shares_no_sheets_is_refused_and_posts_nothing(typed, first, words):
    for line in first:
        done(typed(*line))
    for name in set(words):
        typed("layout", name)
    before = done(typed("check")).out
    said = typed("layout", *words, "--together")
    assert (said.code, said.out) == (1, "")
    assert said.err.strip()
    assert done(typed("check")).out == before


def test_undo_dissolves_it_and_the_jobs_can_be_joined_anew(typed):
    own = done(typed("layout", "bench", "--json")).out
    plan = facts(typed(*BOTH, "--json"))
    done(typed("undo"))
    assert done(typed("layout", "bench", "--json")).out == own
    again = facts(typed(*BOTH, "--json"))
    assert again["together"]["entry"] > plan["together"]["entry"]
    assert again["together"]["materials"] == plan["together"]["materials"]


@pytest.mark.parametrize(
    "change",
    [
        ["job", "set", "bench", "--parts", "stool.csv"],
        ["material", "price", "PLY34", "99"],
        ["shop", "set", "kerf=3/16"],
    ],
)
def test_what_changes_parts_prices_or_saw_makes_it_stale_and_it_is_laid_anew(typed, change):
    first = facts(typed(*BOTH, "--json"))["together"]["entry"]
    done(typed(*change))
    plan = facts(typed(*BOTH, "--json"))
    assert plan["together"]["entry"] > first
    assert "holds no longer" in plan["together"]["apart"][0]
    assert adds_up(plan)


def test_a_canceled_job_frees_the_other(typed):
    done(typed(*BOTH))
    done(typed("job", "cancel", "bookcase", "--why", "moved away"))
    plan = facts(typed("layout", "bench", "stool", "--together", "--json"))
    assert "J-2507 is canceled" in plan["together"]["apart"][0]
