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
        ["shop", "set", "kerf=3/16"],
    ],
)
def test_what_changes_parts_or_saw_makes_it_stale_and_it_is_laid_anew(typed, change):
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


# --- at the bench ---


@pytest.fixture
def bought(typed):
    """Bookcase and bench are cut together, and their sheets are there from two purchases."""
    done(typed("receipt", "add", "PLY34", "1", "95.01", "--from", "Copper Vale Lumber"))
    done(typed("receipt", "add", "PLY34", "3", "97.33", "--from", "Copper Vale Lumber"))
    done(typed(*BOTH))
    return typed


def material_of(typed, job):
    """What the close-out of a job says of its material, offcuts and what was shared."""
    told = facts(typed("job", "close", job, "--price", "700", "--json"))
    done(typed("undo"))
    return told


def worth(typed):
    told = facts(typed("stock", "value", "--json"))
    return Decimal(told["full"])


def test_sheets_are_issued_once_and_paid_by_their_shares(bought):
    before = worth(bought)
    done(bought("stock", "issue", "bench", "PLY34", "1", "--together"))
    told = [material_of(bought, job) for job in ("bookcase", "bench")]
    _, shares = shared(facts(bought(*BOTH, "--json")))
    paid = [Decimal(one["material"]) for one in told]
    assert (sum(paid), before - worth(bought)) == (Decimal("95.01"), Decimal("95.01"))
    weights = [Decimal(share["alone"]["cost"]) for share in shares]
    for mine, weight in zip(paid, weights, strict=True):
        assert abs(mine - Decimal("95.01") * weight / sum(weights)) < Decimal("0.01")
    assert [list(one["cut_together"]) for one in told] == [["J-2508"], ["J-2507"]]
    for one in told:
        ply = next(row for row in one["materials"] if row["item"] == "PLY34")
        assert list(one["cut_together"].values()) == [ply["usage_variance"]]
        assert Decimal(ply["usage_variance"]) < 0


def test_rework_after_cutting_stays_with_its_own_job(bought):
    done(bought("stock", "issue", "bench", "PLY34", "1", "--together"))
    before = [material_of(bought, job) for job in ("bookcase", "bench")]
    done(bought("stock", "issue", "bench", "PLY34", "1"))
    after = [material_of(bought, job) for job in ("bookcase", "bench")]
    assert after[0] == before[0]
    assert Decimal(after[1]["material"]) == Decimal(before[1]["material"]) + Decimal("97.33")
    assert after[1]["cut_together"] == before[1]["cut_together"]


def test_a_shared_sheet_comes_back_from_both(bought):
    before = worth(bought)
    done(bought("stock", "issue", "bench", "PLY34", "2", "--together"))
    said = bought("stock", "return", "bench", "PLY34", "1")
    assert (said.code, "--together" in said.err) == (1, True)
    done(bought("stock", "return", "bookcase", "PLY34", "1", "--together"))
    assert before - worth(bought) == Decimal("95.01")
    said = bought("stock", "return", "bookcase", "PLY34", "2", "--together")
    assert said.code == 1
    done(bought("stock", "return", "bookcase", "PLY34", "1", "--together"))
    assert worth(bought) == before


def test_what_is_issued_is_undone_before_its_plan(bought):
    entry = facts(bought(*BOTH, "--json"))["together"]["entry"]
    before = worth(bought)
    done(bought("stock", "issue", "bench", "PLY34", "1", "--together"))
    said = bought("undo", str(entry))
    assert (said.code, "rests on it" in said.err) == (1, True)
    done(bought("undo"))
    assert worth(bought) == before
    done(bought("undo", str(entry)))
    said = bought("stock", "issue", "bench", "PLY34", "1", "--together")
    assert (said.code, "is not cut together" in said.err) == (1, True)


def test_the_credit_of_a_shared_offcut_goes_by_the_same_shares(bought):
    done(bought("stock", "issue", "bench", "PLY34", "2", "--together"))
    paid = [Decimal(material_of(bought, job)["material"]) for job in ("bookcase", "bench")]
    stock = worth(bought)
    done(bought("stock", "keep", "bench", "PLY34", "60x47-1/2", "35x47-1/2"))
    pieces = facts(bought("stock", "offcuts", "--json"))
    credit = sum(Decimal(piece["full"]) for piece in pieces)
    assert worth(bought) == stock + credit
    told = [material_of(bought, job) for job in ("bookcase", "bench")]
    assert [Decimal(one["material"]) for one in told] == paid
    own = [Decimal(one["offcut_credit"]) for one in told]
    assert (len(pieces), sum(own)) == (2, credit)
    assert all(
        abs(mine - credit * part / sum(paid)) < Decimal("0.02")
        for mine, part in zip(own, paid, strict=True)
    )
    said = bought("stock", "keep", "bookcase", "PLY34", "95x47", "95x47")
    assert (said.code, "The jobs that share it" in said.err) == (1, True)
    done(bought("undo"))
    assert worth(bought) == stock
    assert "ok" in done(bought("check")).out


@pytest.mark.parametrize(
    "words",
    [
        ["bench", "PLY34", "1/2", "--together"],
        ["bench", "PLY34", "9", "--together"],
        ["bench", "PLY12", "1", "--together"],
        ["stool", "PLY34", "1", "--together"],
    ],
)
def test_what_is_not_shared_is_not_issued_together(bought, words):
    before = worth(bought)
    said = bought("stock", "issue", *words)
    assert (said.code, said.out) == (1, "")
    assert said.err.strip()
    assert worth(bought) == before


def test_a_plan_that_holds_no_longer_is_not_issued(bought):
    done(bought("job", "cancel", "bookcase", "--why", "moved away"))
    said = bought("stock", "issue", "bench", "PLY34", "1", "--together")
    assert (said.code, "J-2507 is canceled" in said.err) == (1, True)


def test_shared_sheets_are_of_one_owner(bought):
    done(bought("sponsor", "add", "Brightfell Panels"))
    done(bought("sponsor", "receive", "brightfell", "PLY34", "2", "--value", "192"))
    said = bought("stock", "issue", "bench", "PLY34", "5", "--together")
    assert (said.code, "Brightfell Panels’s and" in said.err or "one owner" in said.err) == (
        1,
        True,
    )


def test_what_is_estimated_leaves_out_what_is_shared(bought):
    done(bought("receipt", "add", "PLY12", "1", "70", "--from", "Copper Vale Lumber"))
    said = done(bought("stock", "issue", "bookcase", "--as-estimated"))
    assert "PLY12: 1 sheet" in said.out
    assert "PLY34" not in said.out
    assert "--together" in said.err
    done(bought("stock", "issue", "bookcase", "PLY34", "1", "--together"))
    said = done(bought("stock", "issue", "bench", "--as-estimated"))
    assert "has all that its estimate says" in said.out


def test_once_issued_new_prices_change_nothing_but_changed_parts_are_said(bought):
    done(bought("stock", "issue", "bench", "PLY34", "1", "--together"))
    entry = facts(bought(*BOTH, "--json"))["together"]["entry"]
    done(bought("material", "price", "PLY34", "120"))
    assert facts(bought(*BOTH, "--json"))["together"]["entry"] == entry
    done(bought("job", "set", "bench", "--parts", "stool.csv"))
    said = bought(*BOTH)
    assert (said.code, "took sheets of it already" in said.err) == (1, True)
