"""Shared sheets after their issue: parts that change, and offcuts of sheets that were given."""

import json
from decimal import Decimal

BOTH = ("layout", "bookcase", "bench", "--together")


def done(said):
    assert said.code == 0, said.err
    return said


def facts(said):
    return json.loads(done(said).out)


def to_buy(joint_shop, *words):
    """The line of PLY34 on a buying list."""
    told = facts(joint_shop("job", "buying-list", *words, "--json"))
    (line,) = [line for line in told["lines"] if line["material"] == "PLY34"]
    return line


def test_parts_changed_after_the_issue_leave_each_job_its_share_of_the_sheets(joint_shop):
    done(joint_shop("receipt", "add", "PLY34", "4", "96", "--from", "Copper Vale Lumber"))
    done(joint_shop(*BOTH))
    done(joint_shop("stock", "issue", "bench", "PLY34", "1", "--together"))
    done(joint_shop("job", "set", "bench", "--parts", "stool.csv"))
    given = [Decimal(to_buy(joint_shop, job)["given"]) for job in ("bookcase", "bench")]
    assert (sum(given), 0 < given[0] < 1) == (1, True)  # one sheet is there, and no more
    line = to_buy(joint_shop)
    assert (line["need"], line["given"], line["from_stock"]) == ("4", "1", "3")
    said = done(joint_shop("stock", "issue", "bench", "--as-estimated"))
    assert "PLY34: 1 sheet issued" in said.out  # whole sheets leave stock
    line = to_buy(joint_shop, "bookcase")
    assert (Decimal(line["given"]), Decimal(line["from_stock"])) == (given[0], 1 - given[0])


def test_the_credit_of_an_offcut_of_given_sheets_is_no_sheet_used_of_the_sponsor(joint_shop):
    done(joint_shop("sponsor", "add", "Brightfell Panels"))
    done(joint_shop("sponsor", "receive", "brightfell", "PLY34", "2", "--value", "96"))
    done(joint_shop(*BOTH))
    done(joint_shop("stock", "issue", "bench", "PLY34", "2", "--together"))
    done(joint_shop("stock", "keep", "bench", "PLY34", "60x47-1/2"))
    told = facts(joint_shop("sponsor", "report", "brightfell", "--from", "2025-04-01", "--json"))
    used = {row["build"]: (Decimal(row["quantity"]), Decimal(row["value"])) for row in told["used"]}
    assert sum(value for _, value in used.values()) == 192
    assert all(abs(value - 96 * sheets) < Decimal("0.01") for sheets, value in used.values())
    credits = {}
    for job in ("bookcase", "bench"):
        closed = facts(joint_shop("job", "close", job, "--price", "700", "--json"))
        credits[closed["job"]] = Decimal(closed["offcut_credit"])
    (piece,) = facts(joint_shop("stock", "offcuts", "--json"))
    said = done(joint_shop("review", "--from", "2025-04-01", "--to", "2025-04-25")).out
    gone = 192 - Decimal(piece["full"])
    assert sum(credits.values()) == 192 - gone
    assert (
        f"Of the 192.00 of goods in kind {gone} went into jobs closed here, {192 - gone} still lay"
        " in stock on 2025-04-25." in " ".join(said.split())
    )


def test_a_list_of_one_job_says_of_shared_sheets_with_whom_they_are_bought_once(
    joint_shop, tmp_path, pdf_text
):
    done(joint_shop(*BOTH))
    of_one, of_other, of_all = (to_buy(joint_shop, *job) for job in (["bookcase"], ["bench"], []))
    shared = [line["shared_with"] for line in (of_one, of_other, of_all)]
    assert shared == [["J-2508"], ["J-2507"], []]
    assert of_one["buy"] == of_other["buy"] == "1"
    said = done(joint_shop("job", "buying-list", "bench", "--pdf", "bench.pdf"))
    for text in (said.out, pdf_text(tmp_path / "bench.pdf")):
        assert "shared with J-2507, buy" in " ".join(text.split())
        assert "it is on the list of J-2507 too, so buy it once" in " ".join(text.split())


def test_a_credit_note_for_shared_sheets_goes_to_all_that_share_them(joint_shop):
    for price in ("95.01", "97.33"):
        done(joint_shop("receipt", "add", "PLY34", "1", price, "--from", "Copper Vale Lumber"))
    done(joint_shop(*BOTH))
    done(joint_shop("stock", "issue", "bench", "PLY34", "2", "--together"))
    credit = ("receipt", "add", "PLY34", "--from", "Copper Vale Lumber", "--credit-of", "R-101")

    said = done(joint_shop(*credit, "0", "5.00", "--to", "bench"))
    assert "shared with J-2507, and credited to one job alone" in " ".join(said.err.split())
    done(joint_shop("undo"))
    said = done(joint_shop(*credit, "1", "95.01"))
    assert "J-2507, J-2508" in said.out
    assert "shared with" not in said.err

    left = {}
    for job in ("bookcase", "bench"):
        closed = facts(joint_shop("job", "close", job, "--price", "700", "--json"))
        left[job] = Decimal(closed["material"])
    assert (sum(left.values()), left["bookcase"] > left["bench"] > 30) == (Decimal("97.33"), True)


def material_of(joint_shop):
    """What the sheets cost each of the two jobs so far."""
    close = ("--price", "700", "--preview", "--json")
    told = [facts(joint_shop("job", "close", job, *close)) for job in ("bookcase", "bench")]
    return [Decimal(one["material"]) - Decimal(one["offcut_credit"]) for one in told]


def test_a_credit_note_goes_by_the_shares_where_an_offcut_was_kept_before_it(joint_shop):
    done(joint_shop("receipt", "add", "PLY34", "2", "96", "--from", "Copper Vale Lumber"))
    done(joint_shop(*BOTH))
    done(joint_shop("stock", "issue", "bench", "PLY34", "2", "--together"))
    parts = []
    for kept in (False, True):
        if kept:
            done(joint_shop("stock", "keep", "bench", "PLY34", "60x47-1/2"))
        before = material_of(joint_shop)
        done(joint_shop("receipt", "add", "PLY34", "0", "40.00", "--from", "Copper Vale Lumber",
                        "--credit-of", "R-101"))  # fmt: skip
        parts.append([old - new for old, new in zip(before, material_of(joint_shop), strict=True)])
        done(joint_shop("undo"))

    assert parts[0] == parts[1]
    assert sum(parts[0]) == Decimal("40.00")


def test_an_offcut_of_shared_sheets_is_credited_to_a_job_that_is_closed_too(joint_shop):
    done(joint_shop("receipt", "add", "PLY34", "2", "96", "--from", "Copper Vale Lumber"))
    done(joint_shop(*BOTH))
    done(joint_shop("stock", "issue", "bench", "PLY34", "2", "--together"))
    before = material_of(joint_shop)
    done(joint_shop("job", "close", "bookcase", "--price", "700"))
    done(joint_shop("stock", "keep", "bench", "PLY34", "60x47-1/2"))
    credits = [old - new for old, new in zip(before, material_of(joint_shop), strict=True)]
    (piece,) = facts(joint_shop("stock", "offcuts", "--json"))

    assert min(credits) > 0
    assert sum(credits) == Decimal(piece["full"])
