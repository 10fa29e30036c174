"""Sheets that jobs share: bought, issued and paid once for all, each job by its share."""

import json
import re
from datetime import date
from decimal import Decimal

import pytest

from ledger.book import Book
from ledger.book.tables.page import CutPart
from ledger.jobs.jobs import find_job
from ledger.verbs.cutting import cut_parts, sheets_to_cut

BOTH = ("layout", "bookcase", "bench", "--together")


def done(said):
    assert said.code == 0, said.err
    return said


def facts(said):
    return json.loads(done(said).out)


def shared(plan):
    """The shares of the one material of a joint plan."""
    (material,) = plan["together"]["materials"]
    return material, material["shares"]


@pytest.fixture
def bought(joint_shop):
    """Bookcase and bench are cut together, and their sheets are there from two purchases."""
    done(joint_shop("receipt", "add", "PLY34", "1", "95.01", "--from", "Copper Vale Lumber"))
    done(joint_shop("receipt", "add", "PLY34", "3", "97.33", "--from", "Copper Vale Lumber"))
    done(joint_shop(*BOTH))
    return joint_shop


def material_of(joint_shop, job):
    """What the close-out of a job says of its material, offcuts and what was shared."""
    told = facts(joint_shop("job", "close", job, "--price", "700", "--json"))
    done(joint_shop("undo"))
    return told


def worth(joint_shop):
    told = facts(joint_shop("stock", "value", "--json"))
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


def test_two_materials_are_shared_each_by_its_own_shares(joint_shop, tmp_path):
    lists = {"shelf": "A1,4,60,11", "table": "A1,4,34,11"}
    for name, row in lists.items():
        rows = f"{row},length,PLY34\nB1,2,{row.split(',')[2]},20,length,PLY12\n"
        (tmp_path / f"{name}.csv").write_text(f"id,qty,length,width,grain,material\n{rows}")
        done(joint_shop("job", "new", name, "--parts", f"{name}.csv"))
    plan = facts(joint_shop("layout", "shelf", "table", "--together", "--json"))
    assert [one["material"] for one in plan["together"]["materials"]] == ["PLY34", "PLY12"]
    for code, price in (("PLY34", "96"), ("PLY12", "70")):
        done(joint_shop("receipt", "add", code, "1", price, "--from", "Copper Vale Lumber"))
        done(joint_shop("stock", "issue", "table", code, "1", "--together"))
    for at, job in enumerate(("shelf", "table")):
        told = material_of(joint_shop, job)
        shares = [one["shares"][at] for one in plan["together"]["materials"]]
        assert [row["cost"] for row in told["materials"]] == [
            share["sheets_cost"] for share in shares
        ]
        saved = sum(Decimal(row["usage_variance"]) for row in told["materials"])
        (amount,) = told["cut_together"].values()
        assert abs(Decimal(amount) - saved) < Decimal("0.02")


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


def test_jobs_joined_anew_after_all_came_back_save_it_once(bought):
    done(bought("stock", "issue", "bench", "PLY34", "1", "--together"))
    before = material_of(bought, "bench")
    done(bought("stock", "return", "bench", "PLY34", "1", "--together"))
    done(bought("job", "set", "bench", "--parts", "stool.csv"))
    done(bought("layout", "bookcase", "bench", "--together"))
    done(bought("job", "set", "bench", "--parts", "bench.csv"))
    done(bought(*BOTH))
    done(bought("stock", "issue", "bench", "PLY34", "1", "--together"))
    after = material_of(bought, "bench")
    assert (after["material"], after["cut_together"]) == (
        before["material"], before["cut_together"],
    )  # fmt: skip


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
    month = facts(bought("month", "2025-04", "--json"))
    assert Decimal(month["stock"]["full"]["returned"]) == credit
    assert Decimal(month["stock"]["full"]["issued"]) == sum(paid)
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
    told = " ".join(said.err.split())
    assert (said.code, "of your own and Brightfell Panels’s stock" in told) == (1, True)


def test_what_is_estimated_leaves_out_what_is_shared(bought):
    done(bought("receipt", "add", "PLY12", "1", "70", "--from", "Copper Vale Lumber"))
    said = done(bought("stock", "issue", "bookcase", "--as-estimated"))
    assert "PLY12: 1 sheet" in said.out
    assert "PLY34" not in said.out
    assert "--together" in said.err
    done(bought("stock", "issue", "bookcase", "PLY34", "1", "--together"))
    said = done(bought("stock", "issue", "bench", "--as-estimated"))
    assert "has all that its estimate says" in said.out


def test_once_issued_new_prices_change_nothing_but_changed_parts_are_said(bought, tmp_path):
    done(bought("stock", "issue", "bench", "PLY34", "1", "--together"))
    entry = facts(bought(*BOTH, "--json"))["together"]["entry"]
    done(bought("material", "price", "PLY34", "120"))
    assert facts(bought(*BOTH, "--json"))["together"]["entry"] == entry
    rows = "id,qty,length,width,grain,material\nA1,4,{},11,length,PLY34\n"
    for long in (25, 33):  # their fingerprints lie on either side of that of 34
        (tmp_path / "bench.csv").write_text(rows.format(long))
        done(bought("job", "set", "bench", "--parts", "bench.csv"))
        said = bought(*BOTH)
        assert (said.code, "took sheets of it already" in said.err) == (1, True)


def test_sheets_bought_for_one_job_alone_part_a_joint_plan_and_it_is_said(bought):
    words = ["receipt", "add", "PLY34", "1", "97.33", "--from", "Copper Vale Lumber"]
    glue = ["receipt", "add", "glue", "1", "9.00", "--category", "adhesive", "--to", "bookcase"]
    assert "holds no longer" not in done(bought(*words)).err
    said = done(bought(*words, "--to", "bookcase"))
    assert "J-2507 took PLY34 for itself" in " ".join(said.err.split())
    assert "holds no longer" not in done(bought(*glue)).err


def test_a_share_that_stands_issued_is_said_in_hundredths_of_a_sheet(bought):
    done(bought("stock", "issue", "bench", "PLY34", "1", "--together"))
    said = bought("job", "cancel", "bench", "--why", "moved away")
    (share,) = re.findall(r"yet ([\d.]+) sheet of PLY34", " ".join(said.err.split()))
    assert (said.code, len(share)) == (1, len("0.35"))
    assert 0 < Decimal(share) < 1


# --- what is to be bought ---


def to_buy(joint_shop, *words):
    """The one line of PLY34 on a buying list, and the groups of jobs that share sheets."""
    told = facts(joint_shop("job", "buying-list", *words, "--json"))
    (line,) = [line for line in told["lines"] if line["material"] == "PLY34"]
    return line, told["cut_together"]


def test_what_is_shared_is_one_need_in_whole_sheets(joint_shop):
    alone, _ = to_buy(joint_shop)
    done(joint_shop(*BOTH))
    line, groups = to_buy(joint_shop)
    assert (Decimal(alone["need"]) - Decimal(line["need"]), line["packs"]) == (
        1, int(line["need"]),
    )  # fmt: skip
    assert {"job": "J-2507 + J-2508", "need": "1"} in line["jobs"]
    assert [row["job"] for row in line["jobs"]].count("J-2507") == 0
    assert groups == [
        {"material": "PLY34", "sheets": 1,
         "jobs": [{"job": "J-2507", "alone": 1}, {"job": "J-2508", "alone": 1}]}
    ]  # fmt: skip
    own, _ = to_buy(joint_shop, "bench")
    assert (own["need"], own["jobs"]) == ("1", [{"job": "J-2507 + J-2508", "need": "1"}])


def test_goods_that_came_cover_the_one_need_and_once_issued_it_is_gone(bought):
    line, _ = to_buy(bought, "bench")
    assert (line["short"], line["from_stock"]) == ("0", "1")
    done(bought("stock", "issue", "bench", "PLY34", "1", "--together"))
    for job, number in (("bench", "J-2508"), ("bookcase", "J-2507")):
        line, groups = to_buy(bought, job)
        assert (line["given"], line["short"], groups) == ("1", "0", [])
        assert line["jobs"] == [{"job": number, "need": "1"}]


def test_a_plan_that_holds_no_longer_is_said_and_each_job_buys_its_own(joint_shop):
    alone, _ = to_buy(joint_shop, "bench")
    done(joint_shop(*BOTH))
    done(joint_shop("job", "cancel", "bookcase", "--why", "moved away"))
    line, groups = to_buy(joint_shop, "bench")
    assert (line["need"], groups) == (alone["need"], [])
    assert "holds no longer" in done(joint_shop("job", "buying-list", "bench")).err


def test_a_piece_of_the_rack_is_promised_to_the_jobs_that_share_it(joint_shop):
    done(joint_shop("receipt", "add", "PLY34", "1", "96", "--from", "Copper Vale Lumber"))
    done(joint_shop("stock", "issue", "full", "PLY34", "1"))
    done(joint_shop("stock", "keep", "full", "PLY34", "36x46"))
    done(joint_shop("layout", "bookcase", "bench", "stool", "--together"))
    told = facts(joint_shop("job", "buying-list", "--json"))
    assert told["offcuts"] == [
        {"job": "J-2507 + J-2508 + J-2509", "material": "PLY34", "lot": 2}
    ]  # fmt: skip


def test_today_counts_what_is_shared_once(joint_shop):
    for job in ("bookcase", "bench"):
        done(joint_shop("quote", "draft", job, "--price", "2000"))
        done(joint_shop("quote", "send", job))
        done(joint_shop("quote", "accept", job))
    before = facts(joint_shop("today", "--json"))["to_buy"]
    assert [(row["job"], row["quantity"]) for row in before if row["material"] == "PLY34"] == [
        ("J-2507", "1"), ("J-2508", "1"),
    ]  # fmt: skip
    done(joint_shop(*BOTH))
    now = facts(joint_shop("today", "--json"))["to_buy"]
    assert [(row["job"], row["quantity"]) for row in now if row["material"] == "PLY34"] == [
        ("J-2507 + J-2508", "1")
    ]
    done(joint_shop("receipt", "add", "PLY34", "1", "96", "--from", "Copper Vale Lumber"))
    for issued in (False, True):
        if issued:
            done(joint_shop("stock", "issue", "bench", "PLY34", "1", "--together"))
        left = facts(joint_shop("today", "--json"))["to_buy"]
        assert not [row for row in left if row["material"] == "PLY34"]


# --- at the saw ---


def test_the_shop_pack_and_labels_of_both_call_each_part_by_its_job(joint_shop, tmp_path, pdf_text):
    done(joint_shop(*BOTH, "--pdf", "pack.pdf", "--labels", "labels.pdf", "--xlsx", "cuts.xlsx",
                    "--svg", "drawn"))  # fmt: skip
    pack, labels = pdf_text(tmp_path / "pack.pdf"), pdf_text(tmp_path / "labels.pdf")
    assert "J-2507 + J-2508 cut together" in pack
    assert "Each job's own pack" in pack
    for mark in ("J-2507 A1", "J-2508 A1"):
        assert mark in pack
        assert labels.count(mark) == 4
        assert mark in (tmp_path / "drawn" / "PLY34-01.svg").read_text()


def test_a_jobs_own_pack_says_which_of_its_parts_are_on_shared_sheets(
    joint_shop, tmp_path, pdf_text
):
    done(joint_shop(*BOTH))
    said = done(joint_shop("layout", "bookcase", "--pdf", "own.pdf", "--labels", "labels.pdf"))
    assert "benchledger layout J-2507 J-2508 --together" in said.err
    pack = pdf_text(tmp_path / "own.pdf")
    assert "PLY34 is cut together with J-2508" in pack
    assert "sheet 1 shared with J-2508" in pack
    assert "PLY34 · Sheet" not in pack
    assert "PLY12 · Sheet 1 of 1" in pack
    assert "PLY34 sheet 1 shared with J-2508" in pdf_text(tmp_path / "labels.pdf")
    done(joint_shop("undo"))
    done(joint_shop("layout", "bookcase", "--pdf", "own.pdf"))
    assert "PLY34 · Sheet 1 of 1" in pdf_text(tmp_path / "own.pdf")


def test_parts_of_a_shared_sheet_are_ticked_off_once_from_either_job(joint_shop, tmp_path):
    done(joint_shop(*BOTH))
    with Book(tmp_path / "shop.sqlite", date(2025, 4, 25)) as book:
        jobs = [find_job(book, name) for name in ("bookcase", "bench")]
        first = sheets_to_cut(book, jobs[0])[0]
        assert first.marks == {"J-2507 A1": 4, "J-2508 A1": 4}
        digest = first.layout.digest
        cut_parts(book, jobs[0], digest, 1, [("J-2507 A1", 1), ("J-2508 A1", 1)])
        cut_parts(book, jobs[1], digest, 1, [("J-2508 A1", 1), ("J-2508 A1", 2)])
        rows = book.rows(CutPart)
        assert [(row.job, row.mark, row.number) for row in rows] == [
            (jobs[0].key, "J-2507 A1", 1), (jobs[1].key, "J-2508 A1", 1),
            (jobs[1].key, "J-2508 A1", 2),
        ]  # fmt: skip
        for job in jobs:
            assert sheets_to_cut(book, job)[0].left == 5


def test_a_job_whose_parts_are_cut_shares_no_sheets_any_more(joint_shop, tmp_path):
    done(joint_shop("layout", "bench"))
    with Book(tmp_path / "shop.sqlite", date(2025, 4, 25)) as book:
        bench = find_job(book, "bench")
        cut_parts(book, bench, sheets_to_cut(book, bench)[0].layout.digest, 1, [("A1", 1)])
    said = joint_shop(*BOTH)
    assert (said.code, "parts of J-2508 are cut already" in said.err) == (1, True)


@pytest.mark.parametrize(
    "words",
    [
        ["job", "cancel", "bench", "--why", "moved away"],
        ["job", "set", "bench", "--parts", "stool.csv"],
        ["quote", "decline", "bench"],
        ["stock", "issue", "bench", "PLY34", "1"],
    ],
)
def test_what_takes_a_joint_plan_apart_says_so(bought, words):
    done(bought("quote", "draft", "bench", "--price", "900"))
    done(bought("quote", "send", "bench"))
    assert "holds no longer" in done(bought(*words)).err
    done(bought("layout", "bookcase", "stool", "--together"))


def test_what_is_kept_is_not_searched_again(joint_shop):
    first = facts(joint_shop(*BOTH, "--json"))
    said = done(joint_shop(*BOTH, "--harder", "--json"))
    assert json.loads(said.out) == first
    assert "To search longer: benchledger undo" in said.err
