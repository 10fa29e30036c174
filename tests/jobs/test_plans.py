"""Layouts are solved once and used again; looking harder keeps the better plan, never a worse."""

from decimal import Decimal

import pytest

from ledger.book.tables.designs import StoredLayout
from ledger.cutting.solve import solve as really_solve
from ledger.designs.model import Design, Parameter, Part
from ledger.designs.store import save_design
from ledger.errors import NotAllowed
from ledger.jobs.assembling import assemble
from ledger.jobs.jobs import basis_of, new_job, set_basis
from ledger.jobs.plans import better_of, rack_for
from ledger.jobs.pricing import price_job, range_of
from ledger.labor.standards import load_starting_standards
from ledger.measures.length import Length
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.measures.values import replace
from ledger.reports.price import price_json
from ledger.stock import issue, keep_offcuts, put_back
from ledger.stock.materials import MaterialRow, save_materials, set_price
from ledger.stock.offcuts import OffcutSize
from ledger.stock.opening import OpeningRow, open_stock

SHEET = {"length": Length.of(96, "in"), "width": Length.of(48, "in")}
PLY = MaterialRow("PLY34", "Birch ply 3/4", "sheet", "sheet", price=Decimal(96), **SHEET)
BOOKCASE = Design(
    name="bookcase", title="Bookcase", units="inch",
    parameters=(Parameter("deep", "11-1/4 in"),),
    parts=(
        Part("A", "Side", "2", "72 in", "deep", "PLY34", handed=True),
        Part("B", "Shelf", "9", "30 in", "deep - 1/4 in", "PLY34"),
    ),
)  # fmt: skip
ONE = Quantity.of(1)


@pytest.fixture
def shelves(book):
    """A bookcase that takes two sheets of ply at 96.00."""
    load_starting_standards(book)
    with book.entry("shop set"):
        book.set("overhead_year", "22000")
        book.set("pay_year", "56000")
    save_materials(book, [PLY])
    return open_job(book, "Bookcase")


def open_job(book, title):
    job = new_job(book, title)
    set_basis(book, job, save_design(book, BOOKCASE).key, {})
    return job


def layout_of(book, job, **more):
    return assemble(book, job, **more).plans["PLY34"].layout


@pytest.fixture
def asked(monkeypatch):
    """How the cutting room was asked; `asked.put(harder=layout)` puts answers in its place."""

    class Asked(list):
        def put(self, **answers):
            self.answers = answers

    heard = Asked()
    heard.put()

    def solve(problem, *, harder=False, progress=None):
        heard.append("harder" if harder else "default")
        return heard.answers.get(heard[-1]) or really_solve(
            problem, harder=harder, progress=progress
        )

    monkeypatch.setattr("ledger.jobs.plans.solve", solve)
    return heard


def facts_of(book, job):
    """The facts of its price."""
    sheet = price_job(book, job)
    return price_json(sheet, range_of(book, sheet))


def wasteful(layout):
    """The same parts, and a sheet more that is not cut."""
    return replace(layout, sheets=(*layout.sheets, replace(layout.sheets[0], placements=())))


def test_a_job_is_laid_out_once_and_its_price_stays_the_same(book, shelves, asked):
    first = facts_of(book, shelves)
    assert facts_of(book, shelves) == first
    assert layout_of(book, shelves) == layout_of(book, shelves)
    assert asked == ["default"]
    assert len(book.worked_out.rows(StoredLayout)) == 1


def test_the_stored_layout_makes_the_price_whatever_the_solver_would_say_now(book, shelves, asked):
    first = facts_of(book, shelves)
    asked.put(default=wasteful(layout_of(book, shelves)))
    assert facts_of(book, shelves) == first


def test_two_books_with_the_same_job_lay_it_out_alike(book, shelves, asked):
    first = layout_of(book, shelves)
    twin = open_job(book, "The same again")
    assert layout_of(book, twin) == first
    assert asked == ["default"], "equal questions are one question"


def test_other_parts_are_laid_out_anew_and_the_old_plan_is_still_known(book, shelves, asked):
    first = layout_of(book, shelves)
    design = basis_of(book, shelves).design
    set_basis(book, shelves, design, {"deep": "14 in"})
    assert layout_of(book, shelves) != first
    set_basis(book, shelves, design, {})
    assert layout_of(book, shelves) == first
    assert asked == ["default", "default"]


def test_at_any_price_a_plan_does_until_its_sheets_or_parts_are_others(book, shelves):
    laid = layout_of(book, shelves)
    book.worked_out.post_all(book.entry, book.post)
    set_price(book, "PLY34", Decimal(99))
    with book.worked_out.only_kept():
        with pytest.raises(NotAllowed, match="not laid out as its job stands now"):
            layout_of(book, shelves)
        assert layout_of(book, shelves, at_any_price=True) == laid
        save_materials(book, [replace(PLY, length=Length.of(120, "in"))])
        with pytest.raises(NotAllowed, match="not laid out as its job stands now"):
            layout_of(book, shelves, at_any_price=True)
        save_materials(book, [PLY])
        set_basis(book, shelves, basis_of(book, shelves).design, {"deep": "12 in"})
        with pytest.raises(NotAllowed, match="not laid out as its job stands now"):
            layout_of(book, shelves, at_any_price=True)


def test_the_cuts_of_the_plan_are_what_the_hours_count(book, shelves):
    made, sheet = assemble(book, shelves), price_job(book, shelves)
    counts = {line.operation: line.driver for line in sheet.hours}
    assert counts["RIP"] == made.cuts.strips > 0
    assert (counts.get("XW", 0), counts.get("XN", 0)) == (
        made.cuts.wide_crosscuts, made.cuts.narrow_crosscuts,
    )  # fmt: skip
    assert counts["SHT"] == len(made.plans["PLY34"].layout.sheets)


def test_the_search_tells_of_which_material_it_is_laying_out(book, shelves):
    told = []
    layout_of(book, shelves, progress=told.append)

    assert told
    assert all(words.startswith("PLY34: ") and len(words) <= 50 for words in told)


def test_looking_harder_stores_a_better_plan_and_every_price_uses_it(book, shelves, asked):
    best = layout_of(book, shelves)
    asked.put(default=wasteful(best))
    set_price(book, "PLY34", Decimal(97))  # another question, with a poor answer at first
    assert len(layout_of(book, shelves).sheets) == 3
    better = layout_of(book, shelves, harder=True)
    assert len(better.sheets) == 2
    assert layout_of(book, shelves) == better
    assert asked == ["default", "default", "harder"]
    assert [row.effort for row in book.worked_out.rows(StoredLayout)] == asked[::-1]


def test_looking_harder_never_stores_a_worse_plan(book, shelves, asked):
    best = layout_of(book, shelves)
    asked.put(harder=wasteful(best))
    assert layout_of(book, shelves, harder=True).sheets == best.sheets
    assert layout_of(book, shelves).sheets == best.sheets


def test_who_looked_harder_once_is_not_asked_again(book, shelves, asked):
    for _ in range(2):
        layout_of(book, shelves, harder=True)
    layout_of(book, shelves)
    assert asked == ["harder"]


def test_a_plan_that_is_as_good_leaves_the_one_on_the_wall_and_sharpens_what_is_proven(
    book, shelves
):
    plan = assemble(book, shelves).plans["PLY34"]
    known = replace(plan.layout, fewest_possible=1, least_cost=9600, proven=False)
    found = replace(known, sheets=tuple(reversed(known.sheets)), fewest_possible=2,
                    least_cost=19200)  # fmt: skip
    best = better_of(plan.problem, known, found)
    assert best.sheets == known.sheets != found.sheets
    assert (best.fewest_possible, best.least_cost, best.proven) == (2, 19200, True)


def test_of_two_plans_at_one_cost_the_one_that_leaves_more_in_one_piece_is_better(book, shelves):
    plan = assemble(book, shelves).plans["PLY34"]
    largest = plan.layout.largest_leftover
    poor = replace(plan.layout, sheets=tuple(
        replace(sheet, leftovers=tuple(rest for rest in sheet.leftovers if rest != largest))
        for sheet in plan.layout.sheets
    ))  # fmt: skip
    for known, found in ((poor, plan.layout), (plan.layout, poor)):
        assert better_of(plan.problem, known, found).sheets == plan.layout.sheets


@pytest.fixture
def offcut(book, shelves):
    """Half a sheet on the rack that another job left over."""
    other = open_job(book, "An earlier job")
    open_stock(book, [OpeningRow("PLY34", Quantity.of(4), Money(38400), Money(38400))])
    issue(book, other.key, "PLY34", ONE)
    return keep_offcuts(book, other.key, "PLY34", [half_a_sheet()])[0].key


def half_a_sheet():
    return OffcutSize(Length.of(95, "in"), Length.of(24, "in"))


def sources(book, job, **more):
    return sorted(sheet.source for sheet in layout_of(book, job, **more).sheets)


def test_a_piece_on_the_rack_is_cut_before_a_new_sheet(book, shelves, offcut):
    assert sources(book, shelves) == ["new", "rack"]


def test_a_piece_that_is_promised_to_another_job_is_not_offered(book, shelves, offcut):
    assert sources(book, shelves, without=[offcut]) == ["new", "new"]


def test_the_plan_stays_when_its_piece_is_taken_from_the_rack(book, shelves, offcut, asked):
    before = layout_of(book, shelves)
    issue(book, shelves.key, None, ONE, lot=offcut)
    assert layout_of(book, shelves) == before
    assert asked == ["default"]
    assert [piece.lot for piece in rack_for(book, open_job(book, "A third job"))] == []
    put_back(book, shelves.key, None, ONE, lot=offcut)
    assert layout_of(book, shelves) == before


def test_the_plan_stays_when_the_job_puts_its_own_leftovers_on_the_rack(book, shelves, offcut):
    before = layout_of(book, shelves)
    issue(book, shelves.key, "PLY34", ONE)
    keep_offcuts(book, shelves.key, "PLY34", [half_a_sheet()])
    assert layout_of(book, shelves) == before
    assert len(rack_for(book, open_job(book, "A third job"))) == 2
