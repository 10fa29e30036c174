"""Work that the parts call for and that has no hours is told, until a count or an answer speaks."""

from decimal import Decimal
from fractions import Fraction

import pytest

from ledger.book import Book
from ledger.book.tables.operations import Operation
from ledger.costing.counted import WorkCounts
from ledger.costing.gaps import find_gaps
from ledger.designs.built import Build, BuiltCoat
from ledger.designs.model import Coat, Count, Design, Joint, Need, Part
from ledger.designs.store import save_design
from ledger.errors import NotFound
from ledger.jobs.answers import answer, set_count
from ledger.jobs.jobs import new_job, set_basis
from ledger.jobs.pricing import price_job, range_of
from ledger.labor.standards import add_operation, load_starting_standards
from ledger.measures.length import Length
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.measures.values import replace
from ledger.quotes.draft import Wishes, draft_quote
from ledger.reports.price import price_json
from ledger.stock.materials import MaterialRow, save_materials

FOOT = Length.of(12, "in")


def table(unit, top, leg, *counts):
    """A table of solid cherry, oiled by hand: a top of four boards, four legs in two joints each.

    The boards of the top are `top` long and wide, the legs `leg`; `counts` are fixed beside one
    job.
    """
    return Design(
        name="table", title="Cherry table", units=unit,
        parts=(
            Part("T", "Top board", "4", *top, "CHERRY", faces=2),
            Part("L", "Leg", "4", *leg, "CHERRY", faces=2),
        ),
        joints=(Joint("J", "other", leg[1], "8"),),
        needs=(Need("CLIP", "8"),),
        counts=(Count("jobs", "1"), *counts),
        finish=(Coat("OIL", 3, "brush"),),
    )  # fmt: skip


def price_list(unit, solid, finish):
    """Rough boards 1-1/4 in or 32 mm thick, oil by the can, table clips."""
    size = {"inch": ("96", "8", "1.25", "in"), "mm": ("2500", "200", "32", "mm")}[unit]
    length, width, thickness = (Length.of(Decimal(n), size[3]) for n in size[:3])
    return [
        MaterialRow("CHERRY", "Cherry boards", "lumber", solid, length=length, width=width,
                    thickness=thickness, price=Decimal("9.50")),
        MaterialRow("OIL", "Hard oil", "finish", finish, coverage=Decimal(12),
                    coverage_source="the can", price=Decimal(24)),
        MaterialRow("CLIP", "Table clip", "hardware", "each", price=Decimal("0.90")),
    ]  # fmt: skip


def priced(book, design, rows):
    save_materials(book, rows)
    job = new_job(book, "Table")
    set_basis(book, job, save_design(book, design).key, {})
    return job


@pytest.fixture
def inch_job(book: Book, equip):
    """The table in an inch book: tops 47 × 5-3/4 in, legs 28 × 2-3/4 in.

    It counts its solid work itself, and has none of it but the edging that it says it has not.
    """
    equip(book)
    own = Count("solid_edge", "0")
    return priced(book, table("inch", ("47 in", "5-3/4 in"), ("28 in", "2-3/4 in"), own),
                  price_list("inch", "bd ft", "can"))  # fmt: skip


def gaps(book, job):
    return {gap.what: gap for gap in price_job(book, job).gaps}


def test_a_solid_table_oiled_by_hand_tells_every_stage_without_hours(book, inch_job):
    """By hand: tops 4 × 48 × 6 in, legs 4 × 29 × 3 in, in 5/4: 10 and 3.02 bd ft."""
    told = gaps(book, inch_job)
    assert list(told) == ["milling", "board cutting", "joinery", "fitting hardware"]
    assert told["milling"].basis.startswith("13.1 bd ft")
    assert told["milling"].command == f"benchledger job count {inch_job.number} MIL 13.1"
    assert told["board cutting"].command.endswith("XN 16")
    assert told["fitting hardware"].command.endswith("HWS 8")


def test_a_design_that_counts_no_solid_work_gets_it_counted(book, equip):
    """By hand: 13.02 bd ft of blanks, 8 of them; faces 19.3 and edges 4.6 sq ft, three coats."""
    equip(book)
    job = priced(book, table("inch", ("47 in", "5-3/4 in"), ("28 in", "2-3/4 in")),
                 price_list("inch", "bd ft", "can"))  # fmt: skip
    assert list(gaps(book, job)) == ["joinery", "fitting hardware"]
    counted = {line.operation: line.driver for line in price_job(book, job).hours}
    assert [counted[code] for code in ("MIL", "LUM", "BRU", "SNS")] == [13, 8, 72, 24]


def test_a_count_closes_a_gap_with_hours_and_a_zero_without(book, inch_job):
    before = price_job(book, inch_job).totals.estimate_hours
    set_count(book, inch_job, "MIL", Quantity.of(Decimal("13.1")))
    assert "milling" not in gaps(book, inch_job)
    sheet = price_job(book, inch_job)
    assert sheet.totals.estimate_hours > before
    set_count(book, inch_job, "XN", Quantity.of(0))
    assert "board cutting" not in gaps(book, inch_job)
    assert price_job(book, inch_job).totals.estimate_hours == sheet.totals.estimate_hours


def test_an_answer_of_zero_closes_a_gap_and_costs_nothing(book, inch_job):
    before = price_job(book, inch_job)
    for what in [gap.what for gap in before.gaps]:
        answer(book, inch_job, what, Money(0))
    after = price_job(book, inch_job)
    assert after.gaps == ()
    assert after.totals == before.totals
    with pytest.raises(NotFound):
        answer(book, inch_job, "no such work", Money(0))


def test_gaps_stand_in_the_facts_and_warn_at_a_draft(book, inch_job):
    sheet = price_job(book, inch_job)
    told = price_json(sheet, range_of(book, sheet))["gaps"]
    assert [gap["what"] for gap in told] == [gap.what for gap in sheet.gaps]
    warnings = draft_quote(book, inch_job, Wishes()).warnings
    assert warnings[0].startswith(f"{len(told)} open items")
    assert warnings[1 : len(told) + 1] == sheet.gap_lines
    assert all(gap.command in line for gap, line in zip(sheet.gaps, warnings[1:], strict=False))


def test_a_metric_book_counts_in_its_own_units(metric_book, equip):
    """By hand: tops 4 × 1025.4 × 126.35 mm and legs 4 × 525.4 × 66.35 mm, 32 mm: 0.021 m³."""
    book = metric_book
    equip(book)
    design = table("mm", ("1000", "120"), ("500", "60"), Count("solid_edge", "0"))
    rows = price_list("mm", "m³", "L")
    told = gaps(book, priced(book, design, rows))
    assert told["milling"].basis.startswith("0.022 m³")
    assert told["milling"].command.endswith("MIL 0.022")
    job = priced(book, replace(design, name="counted", counts=()), rows)
    counted = {line.operation: line.driver for line in price_job(book, job).hours}
    assert counted["MIL"] == Fraction("0.021")
    # faces 2 × 4 × (1.0 × 0.12 + 0.5 × 0.06) = 1.2 m², edges 0.342 m² of 25.65 mm, three coats
    assert counted["BRU"] == Fraction("4.6")


def test_a_sheet_job_with_pocket_holes_has_none_until_it_is_fixed_to_a_wall(book, equip):
    equip(book)
    design = Design(
        name="box", title="Box", units="inch",
        parts=(Part("A", "Side", "4", "20 in", "10 in", "PLY"),),
        joints=(Joint("J", "pocket", "10 in", "4"),), counts=(Count("jobs", "1"),),
    )  # fmt: skip
    job = priced(book, design, [])
    assert gaps(book, job) == {}
    fixed = replace(design, tags=frozenset({"wall_fixed"}))
    set_basis(book, job, save_design(book, fixed, "fixed to a wall").key, {})
    assert list(gaps(book, job)) == ["installation", "delivery"]
    set_count(book, job, "INS", Quantity.of(3))
    assert list(gaps(book, job)) == ["delivery"]
    answer(book, job, "delivery", Money(0))
    assert gaps(book, job) == {}


def test_parts_without_joints_have_no_hours_for_putting_them_together(book, equip):
    equip(book)
    parts = (Part("A", "Shelf", "3", "20 in", "10 in", "PLY"),)
    job = priced(book, Design(name="set", title="Shelves", units="inch", parts=parts), [])
    assert gaps(book, job)["assembly"].command.endswith("ASM 2")


def test_of_many_parts_four_are_named_and_the_rest_are_counted(book, equip):
    equip(book)
    parts = tuple(Part(name, "Shelf", "1", "20 in", "10 in", "PLY") for name in "ABCDEF")
    job = priced(book, Design(name="set", title="Shelves", units="inch", parts=parts), [])
    assert gaps(book, job)["assembly"].basis.endswith(
        "A Shelf, B Shelf, C Shelf, D Shelf and 2 more"
    )


@pytest.mark.parametrize("method", ["spray", "brush", "wipe"])
def test_what_is_to_be_sprayed_is_told_where_no_operation_counts_it(method):
    finish = (BuiltCoat("OIL", 2, method),)
    made = Build("p", "P", "inch", {}, (), (), (), {}, finish, (), FOOT * FOOT * 3)
    told = {
        gap.what: gap for gap in find_gaps("J-1", made, {}, WorkCounts({}, {}, frozenset()), ())
    }
    named = {"spray": "spraying", "brush": "brushing", "wipe": "wiping"}
    assert told.keys() & set(named.values()) == {named[method]}
    assert "6 sq ft" in told[named[method]].basis


def test_solid_stock_is_charged_to_the_hundredth_of_a_board_foot(book, equip):
    """Boards of 100 × 7 × 1 in hold 4.861111 bd ft each; two are 9.72."""
    equip(book)
    rows = price_list("inch", "bd ft", "can")
    odd = replace(rows[0], length=Length.of(100, "in"), width=Length.of(7, "in"),
                  thickness=Length.of(1, "in"))  # fmt: skip
    job = priced(
        book, table("inch", ("47 in", "5-3/4 in"), ("28 in", "2-3/4 in")), [odd, *rows[1:]]
    )
    line = next(line for line in price_job(book, job).lines if line.item == "CHERRY")
    assert line.quantity.decimal == line.quantity.decimal.quantize(Decimal("0.01"))
    assert line.full == book.currency.money(line.quantity.decimal * Decimal("9.50"))


@pytest.mark.parametrize("metric", [False, True])
@pytest.mark.parametrize(
    ("part", "title", "asked", "code"),
    [
        ("Lid", "Hall bench", "lids", "DRI"),
        ("Flap", "Wall table", "flaps", "DRI"),
        ("Rail", "Garden gate", "gates", "DRI"),
        ("Door", "Cupboard with a lid", "doors", "DOR"),
        ("Front", "Cupboard", "doors", "DOR"),
    ],
)
def test_what_hangs_on_hinges_is_asked_about_by_its_name(
    book, metric_book, metric, part, title, asked, code
):
    at, unit = (metric_book, "m³") if metric else (book, "bd ft")
    load_starting_standards(at)
    hinge = MaterialRow("HINGE", "Butt hinge", "hardware", "each", price=Decimal(4))
    oak = replace(price_list("mm" if metric else "inch", unit, "L")[0], code="OAK")
    design = Design(
        name="bench", title=title, units="mm", needs=(Need("HINGE", "2"),),
        counts=(Count("fittings", "2"),),
        parts=(Part("T", part, "1", "900 mm", "180 mm", "OAK", faces=0, joined="hardware"),
               Part("L", "Side", "2", "400 mm", "180 mm", "OAK", faces=0, joined="glued on")),
    )  # fmt: skip
    with at.entry("shop set"):
        at.set("overhead_year", "22000")
        at.set("pay_year", "56000")
    job = priced(at, design, [oak, hinge])
    (gap,) = price_job(at, job).gaps
    assert (gap.what, gap.counted) == (asked, code)
    assert "door is hung" in gap.basis or asked != "doors"
    assert not gap.basis.endswith("no door is hung") or asked == "doors"
    answer(at, job, "doors", Money(0))  # as it was asked about before
    assert price_job(at, job).gaps == ()
    again = priced(at, replace(design, name="second"), [])
    set_count(at, again, code, Quantity.of(1))
    assert price_job(at, again).gaps == ()


@pytest.mark.parametrize(
    ("quantity", "words"),
    [("1", "1 joint that is neither a pocket hole nor a dowel"),
     ("8", "8 joints that are neither pocket holes nor dowels")],
)  # fmt: skip
def test_one_joint_is_said_in_the_singular(book, equip, quantity, words):
    equip(book)
    design = table("inch", ("47 in", "5-3/4 in"), ("28 in", "2-3/4 in"))
    design = replace(design, joints=(replace(design.joints[0], quantity=quantity),))
    job = priced(book, design, price_list("inch", "bd ft", "can"))
    assert gaps(book, job)["joinery"].basis == words


def test_joints_that_an_operation_of_the_shops_own_cuts_are_in_the_hours(book, inch_job):
    """No open item asks for them then, and neither does the list of what gets forgotten."""
    add_operation(book, Operation(
        code="JNT", name="Cut joints", group="joinery", driver="", unit="joint",
        minutes=Decimal(4), setup=Decimal(0), helper_share=Fraction(0)))  # fmt: skip
    set_count(book, inch_job, "JNT", Quantity.of(8))
    assert "joinery" not in gaps(book, inch_job)
    asked = {item.item: item.answer for item in price_job(book, inch_job).forgotten}
    assert asked["joinery"] == "in the hours"


@pytest.mark.parametrize(
    ("group", "unit", "asked"),
    [("assembly", "m", "standards add JNT"), ("assembly", "joint", "standards add JNT"),
     ("joinery", "m", "standards add JNT"), ("joinery", "joint", "job count J-1 OWN 8")],
)  # fmt: skip
def test_only_an_own_operation_that_counts_joints_is_offered_for_them(
    book, inch_job, group, unit, asked
):
    """Winding rope by the meter has nothing to do with joints; to count it as 8 would lose it."""
    add_operation(book, Operation(
        code="OWN", name="Own work", group=group, driver="", unit=unit,
        minutes=Decimal(4), setup=Decimal(0), helper_share=Fraction(0)))  # fmt: skip
    command = gaps(book, inch_job)["joinery"].command.replace(inch_job.number, "J-1")
    assert command.startswith(f"benchledger {asked}")
    if gaps(book, inch_job)["joinery"].counted:
        set_count(book, inch_job, "OWN", Quantity.of(8))
        assert "joinery" not in gaps(book, inch_job)


def test_hinges_by_the_pair_are_told_by_the_pair(book, inch_job):
    """A butt hinge is sold so; by the piece it is told by the piece."""
    for unit, words in (("pair", "2 pairs of hinges, and"), ("each", "2 hinges, and")):
        hinge = MaterialRow(f"H{unit}", "Butt hinge", "hardware", unit, price=Decimal(8))
        save_materials(book, [hinge])
        design = table("inch", ("47 in", "5-3/4 in"), ("28 in", "2-3/4 in"))
        hung = replace(design, needs=(Need(hinge.code, "2"),))
        set_basis(book, inch_job, save_design(book, hung, unit).key, {})
        assert gaps(book, inch_job)["doors"].basis.startswith(words)


@pytest.mark.parametrize("metric", [False, True])
def test_hinges_with_minutes_of_their_own_hang_a_leaf_but_no_door(book, metric_book, metric):
    at, unit = (metric_book, "m³") if metric else (book, "bd ft")
    load_starting_standards(at)
    hinge, slide, runner = (
        MaterialRow(code, name, "hardware", "each", price=Decimal(4))
        for code, name in (("HINGE", "Drop-leaf hinge"), ("SLIDE", "Leaf support slide"),
                           ("RUN", "Full extension slide"))
    )  # fmt: skip
    oak = replace(price_list("mm" if metric else "inch", unit, "L")[0], code="OAK")
    with at.entry("shop set"):
        at.set("overhead_year", "22000")
        at.set("pay_year", "56000")
    save_materials(at, [oak, hinge, slide, runner])
    number = iter(range(9))

    def asked(part: str, *needs: Need, counts: tuple[Count, ...] = ()) -> dict[str, str]:
        design = Design(
            name=f"piece {next(number)}", title="Piece", units="mm", needs=needs, counts=counts,
            parts=(Part("T", part, "1", "900 mm", "180 mm", "OAK", faces=0, joined="hardware"),
                   Part("L", "Side", "2", "400 mm", "180 mm", "OAK", faces=0, joined="glued on")),
        )  # fmt: skip
        return {gap.what: gap.basis for gap in price_job(at, priced(at, design, [])).gaps}

    timed, untimed = Need("HINGE", "6", minutes="20"), Need("HINGE", "6")
    assert asked("Leaf", timed, Need("SLIDE", "4", minutes="15")) == {}
    assert asked("Leaf", untimed, Need("SLIDE", "4"))["leaves"].startswith("6 hinges, and no leaf")
    assert asked("Leaf", timed, Need("HINGE", "2"))["leaves"].startswith("2 hinges, and no leaf")
    # a design that counts its fittings itself counts no minutes of them
    own = asked("Leaf", timed, counts=(Count("fittings", "1"),))
    assert own["leaves"].startswith("6 hinges, and no leaf")
    assert asked("Door", timed)["doors"] == (
        "6 hinges, and no door is hung, which is apart from the minutes of its hinges"
    )
    assert asked("Box", Need("RUN", "2", minutes="15"))["drawers"] == (
        "2 drawer slides, and no drawer is fitted, which is apart from the minutes of its"
        " drawer slides"
    )
