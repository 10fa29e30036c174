"""Each stage of the work that a design lists has hours, or an open item that names the part."""

from collections.abc import Mapping
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.book import Book, create_book
from ledger.book.tables.operations import Operation
from ledger.costing.counted import WorkCounts
from ledger.costing.gaps import find_gaps
from ledger.costing.stages import STAGES
from ledger.costing.woods import shop_wood
from ledger.cutting.sequence import CutCounts
from ledger.designs.build import build
from ledger.designs.model import Coat, Count, Design, Joint, Need, Parameter, Part
from ledger.designs.store import save_design
from ledger.jobs.answers import answer, set_count
from ledger.jobs.estimate import drivers_of
from ledger.jobs.jobs import new_job, set_basis
from ledger.jobs.lines import add_outside
from ledger.jobs.pricing import price_job
from ledger.labor.standards import load_starting_standards, standards
from ledger.measures.length import Length
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.measures.values import replace
from ledger.stock.materials import MaterialRow, materials, save_materials

ROWS = [
    MaterialRow("PLY", "Birch plywood", "sheet", "sheet", length=Length.of(96, "in"),
                width=Length.of(48, "in"), price=Decimal(80)),
    MaterialRow("OAK", "White oak 4/4", "lumber", "bd ft", length=Length.of(96, "in"),
                width=Length.of(7, "in"), thickness=Length.of(1, "in"), price=Decimal(9)),
    MaterialRow("OIL", "Hard oil", "finish", "qt", coverage=Decimal(120),
                coverage_source="the can", price=Decimal(24)),
    MaterialRow("WHITE", "White enamel", "finish", "qt", coverage=Decimal(100),
                coverage_source="the can", price=Decimal(30)),
    MaterialRow("HINGE", "Butt hinge", "hardware", "each", price=Decimal(4)),
    MaterialRow("SLIDE", "Drawer slide 18 in", "hardware", "each", price=Decimal(9)),
]  # fmt: skip

# Which driver times a joint; those of kind other have any of several operations.
JOINERY = {
    "pocket": "pocket_holes", "dowel": "dowels", "tenon": "tenons", "lap": "laps",
    "loose tenon": "loose_tenons", "frame": "frame_corners", "dovetail": "dovetail_width",
}  # fmt: skip


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    """A shop's price list and starting standards."""
    path, day = tmp_path_factory.mktemp("silent") / "shop.sqlite", date(2025, 6, 2)
    create_book(path, day, {"shop": "Bench", "currency": "USD", "units": "inch"})
    with Book(path, day) as book:
        load_starting_standards(book)
        save_materials(book, ROWS)
        return standards(book), materials(book)


@st.composite
def parts(draw):
    return tuple(
        Part(
            f"P{number}", "Piece", str(draw(st.integers(1, 3))), "20 in",
            draw(st.sampled_from(["2 in", "15 in"])), draw(st.sampled_from(["PLY", "OAK"])),
            faces=draw(st.sampled_from([None, 0, 1, 2])),
            joined=draw(st.sampled_from(["", "", "", "loose", "glued on"])),
        )
        for number in range(draw(st.integers(1, 4)))
    )  # fmt: skip


@st.composite
def designs(draw):
    """Parts, joints between some of them, coats or none, and hardware or none."""
    listed = draw(parts())
    ids = st.sampled_from([part.id for part in listed])
    joints = tuple(
        Joint(f"{draw(ids)}-{draw(ids)} at {number}", draw(st.sampled_from(sorted(JOINERY))),
              "2 in", str(draw(st.integers(1, 4))))
        for number in range(draw(st.integers(0, 3)))
    )  # fmt: skip
    coat = st.builds(Coat, st.sampled_from(["OIL", "WHITE"]), st.integers(1, 3),
                     st.sampled_from(["spray", "brush", "wipe"]))  # fmt: skip
    finish = draw(st.lists(coat, max_size=2, unique_by=lambda one: one.material))
    needs = draw(st.sets(st.sampled_from(["HINGE", "SLIDE"])))
    return Design(
        "piece", "Piece", "inch", parts=listed, joints=joints, finish=tuple(finish),
        needs=tuple(Need(code, "4", minutes="5") for code in sorted(needs)),
    )  # fmt: skip


@settings(max_examples=250, deadline=None)
@given(
    design=designs(),
    taken=st.sets(
        st.sampled_from(
            ["MIL", "LUM", "ASM", "SND", "SNS", "BRU", "SPR", "TEN", "DOR", "DRI", "GLU"]
        )
    ),
)
def test_each_stage_has_hours_or_an_open_item_that_names_the_part(shop, design, taken):
    operations, listed = shop
    operations = {code: one for code, one in operations.items() if code not in taken}
    piece = build(design, {}, "inch", shop_wood(listed, Length.of("0.125", "in"), "tenon"))
    sheets = int(any(part.material == "PLY" for part in piece.parts))
    drivers = drivers_of(piece, sheets, CutCounts())
    counts = WorkCounts(operations, drivers, frozenset())
    gaps = find_gaps("J-1", piece, listed, counts, ())
    said = {gap.what: gap.basis for gap in gaps}

    assert said.keys() <= STAGES.keys(), "what cannot be answered"
    for part in piece.parts:
        of_part = [basis for basis in said.values() if part.id in basis]
        if part.is_solid:
            for stage, driver in (("milling", "board_feet"), ("board cutting", "blanks")):
                assert _has_hours(driver, operations, drivers) or part.id in said[stage]
        if not part.is_faces_said:
            assert part.id in said["faces to finish"]
        if sum(one.quantity for one in piece.parts) > 1:
            assert _is_held(part, piece) or of_part, part.id
    for joint in piece.joints:
        driver = JOINERY[joint.kind]
        assert _has_hours(driver, operations, drivers) or _tells(said, joint.kind)
    if sum(one.quantity for one in piece.parts) > 1:
        assert _has_hours("joints", operations, drivers) or "assembly" in said
    if any(part.faces for part in piece.parts):
        _assert_finished(piece, operations, drivers, said)
    for code, stage in (("HINGE", "doors"), ("SLIDE", "drawers")):
        if any(need.material == code for need in piece.needs):
            assert stage in said


def _has_hours(driver: str, operations: Mapping[str, Operation], drivers) -> bool:
    count = drivers.get(driver)
    return bool(count and count.quantity) and any(
        one.driver == driver and (one.minutes or one.setup) for one in operations.values()
    )


def _is_held(part, piece) -> bool:
    ids = " ".join(joint.id for joint in piece.joints if not joint.is_assumed)
    assumed = " ".join(joint.note for joint in piece.joints if joint.is_assumed)
    buttons = piece.counts.get("fitting_minutes")
    assumed += buttons.basis if buttons is not None and buttons.is_assumed else ""
    return bool(part.joined) or part.id in f"{ids} {assumed}"


def _tells(said, kind: str) -> bool:
    return any(kind.split()[-1] in f"{stage} {basis}" for stage, basis in said.items())


def _assert_finished(piece, operations, drivers, said) -> None:
    for coat in piece.finish:
        stages = {"spray": "spraying", "brush": "brushing", "wipe": "wiping"}
        assert _has_hours(coat.method, operations, drivers) or stages[coat.method] in said
        if coat.material == "WHITE":
            assert "filling" in said
    if not piece.finish:
        assert "coating" in said
        return
    for solid, drivers_of_it in ((True, ("sand_solid",)), (False, ("sand", "sand_painted"))):
        if any(part.faces and part.is_solid == solid for part in piece.parts):
            assert any(_has_hours(one, operations, drivers) for one in drivers_of_it) or (
                {"sanding", "sanding solid wood", "sanding before paint"} & said.keys()
            )


def test_a_price_of_others_for_another_size_is_named_until_it_is_asked_again(book: Book, equip):
    equip(book)
    design = Design("shelf", "Shelf", "inch", parameters=(Parameter("width", "36 in"),),
                    parts=(Part("A", "Board", "1", "width", "10 in", "PLY"),))  # fmt: skip
    job = new_job(book, "Shelf")
    version = save_design(book, design).key
    set_basis(book, job, version, {})
    add_outside(book, job, "stone top", Money(48900), is_quoted=True)
    assert price_job(book, job).gaps == ()

    set_basis(book, job, version, {"width": "48 in"})
    (told,) = price_job(book, job).gaps
    assert (
        told.basis == "stone top 489.00 was priced for another size (width as designed, now 48 in)"
    )
    assert (told.is_answerable, told.is_left_out) == (False, False)
    add_outside(book, job, "stone top", Money(52000), is_quoted=True)
    assert price_job(book, job).gaps == ()


def test_a_count_made_for_another_size_is_named_until_it_is_made_again(book: Book, equip):
    equip(book)
    design = Design("shelf", "Shelf", "inch", parameters=(Parameter("width", "30 in"),),
                    parts=(Part("A", "Board", "1", "width", "10 in", "PLY"),))  # fmt: skip
    job = new_job(book, "Shelf")
    version = save_design(book, design).key
    set_basis(book, job, version, {})
    set_count(book, job, "RIP", Quantity.of(3))
    set_count(book, job, "MTG", Quantity.of(1))
    assert price_job(book, job).gaps == ()

    set_basis(book, job, version, {"width": "36 in"})
    (told,) = price_job(book, job).gaps
    assert told.basis == (
        "RIP 3 was counted by hand for another size (width as designed, now 36 in)"
    )
    assert not told.is_answerable

    later = save_design(book, replace(design, title="Wall shelf"), errata="renamed").key
    for other in (later, version):
        set_count(book, job, "RIP", Quantity.of(3))
        assert price_job(book, job).gaps == ()
        set_basis(book, job, other, {"width": "36 in"})
        (told,) = price_job(book, job).gaps
        assert "another version of its design" in told.basis


def test_drawer_boxes_and_dovetails_together_are_asked_about(book: Book, equip):
    equip(book)
    parts = (Part("A", "Side", "2", "12 in", "4 in", "PLY"),
             Part("B", "End", "2", "12 in", "4 in", "PLY"))  # fmt: skip
    design = Design("box", "Box", "inch", parts=parts, counts=(Count("drawers", "1"),),
                    joints=(Joint("A-B", "dovetail", "4 in", "4"),))  # fmt: skip
    job = new_job(book, "Box")
    set_basis(book, job, save_design(book, design).key, {})
    assert [gap.what for gap in price_job(book, job).gaps] == ["counted twice"]
    answer(book, job, "counted twice", Money(0), "a second box of plywood")
    assert price_job(book, job).gaps == ()
