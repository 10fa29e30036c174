"""An offcut keeps its factory edges, and the next plan trims those and no others."""

import pytest

from ledger.cutting.sequence import cut_list
from ledger.designs.model import Design, Part
from ledger.designs.store import save_design
from ledger.errors import BadValue, NotAllowed
from ledger.jobs.assembling import assemble
from ledger.jobs.jobs import new_job, set_basis
from ledger.measures.length import Length
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.stock import issue, rack, withdraw
from ledger.stock.opening import OpeningRow, open_stock
from ledger.stock.rack_pieces import PIECE
from ledger.upkeep.undo import take_back
from ledger.verbs import offcuts


@pytest.fixture
def panel(book, equip):
    """A job of one large panel: what falls beside it reaches to the far edge of the sheet."""
    equip(book)
    open_stock(book, [OpeningRow("PLY", Quantity.of(2), Money(16000), Money(16000))])
    job = job_of(book, "Panel", Part("A", "Panel", "1", "95-1/2 in", "20 in", "PLY"))
    assemble(book, job)
    issue(book, job.key, "PLY", Quantity.of(1))
    return job


def job_of(book, title, *parts):
    design = Design(name=title.casefold(), title=title, units="inch", parts=parts)
    job = new_job(book, title)
    set_basis(book, job, save_design(book, design).key, {})
    return job


def cut_next(book, *parts):
    """The plan of a job that takes the piece from the rack."""
    plan = assemble(book, job_of(book, "Shelf", *parts)).plans["PLY"]
    (sheet,) = plan.layout.sheets
    assert sheet.source == "rack"
    return sheet, cut_list(plan.problem, plan.layout).cuts


SHELF = Part("B", "Shelf", "1", "95-1/2 in", "10 in", "PLY")


def edges_of(kept):
    return [piece.factory_edges for piece in kept.pieces]


@pytest.mark.parametrize("typed", ["95-1/2x27-3/8", "95-3/4x27-5/8"])
def test_an_offcut_of_the_plan_keeps_its_factory_edges_however_it_is_measured(book, panel, typed):
    kept = offcuts.keep(book, "Panel", "PLY", [typed])
    (piece,) = rack(book)
    size = (Length.of("95.5", "in"), Length.of("27.375", "in"))
    assert kept.pieces == (offcuts.KeptPiece(piece.lot, *size, "far right"),)
    assert (piece.length, piece.width) == (Length.of("95.5", "in"), Length.of("27.375", "in"))


def test_a_factory_edge_is_trimmed_when_the_piece_is_cut_next_and_a_cut_one_is_not(book, panel):
    offcuts.keep(book, "Panel", "PLY", ["95-1/2x27-3/8"])
    sheet, cuts = cut_next(book, SHELF)
    trim = book.settings.trim.nm
    assert sheet.factory == ("far", "right")
    assert (sheet.length_nm, sheet.width_nm) == tuple(
        Length.of(size, "in").nm for size in ("95.75", "27.625")
    )
    assert trim == Length.of("0.25", "in").nm
    # the part is as long as the piece is good: its raw right end gets a cut of its own
    assert [(cut.size_nm, cut.way) for cut in cuts if cut.of.right == sheet.length_nm][-1] == (
        Length.of("95.5", "in").nm, "crosscut",
    )  # fmt: skip
    assert not any(cut.trim for cut in cuts)


def test_edges_that_are_typed_stand_inside_a_size_measured_over_all(book, panel):
    offcuts.keep(book, "Panel", "PLY", ["60x24"], factory="near, left")
    (piece,) = rack(book)
    assert piece.factory_edges == "near left"
    assert (piece.length, piece.width) == (Length.of("59.75", "in"), Length.of("23.75", "in"))
    _, cuts = cut_next(book, Part("B", "Shelf", "1", "59-3/4 in", "10 in", "PLY"))
    assert [cut.trim for cut in cuts if cut.trim] == ["near", "left"]


def test_of_a_piece_without_known_edges_nothing_is_trimmed(book, panel):
    assert edges_of(offcuts.keep(book, "Panel", "PLY", ["60x24"])) == [""]
    sheet, cuts = cut_next(book, Part("B", "Shelf", "1", "60 in", "10 in", "PLY"))
    assert (sheet.trim_nm, len(cuts)) == (0, 1)


def test_two_offcuts_of_one_size_are_found_once_each(book, panel):
    sizes = ["95-1/2x27-3/8", "95-1/2x27-3/8"]
    issue(book, panel.key, "PLY", Quantity.of(1))
    assert edges_of(offcuts.keep(book, "Panel", "PLY", sizes)) == ["far right", ""]


def test_a_piece_of_the_plan_is_kept_once_and_again_only_after_undo(book, equip):
    equip(book)
    open_stock(book, [OpeningRow("PLY", Quantity.of(1), Money(8000), Money(8000))])
    job = job_of(book, "Wide", Part("A", "Panel", "1", "95-1/2 in", "30 in", "PLY"))
    assemble(book, job)
    issue(book, job.key, "PLY", Quantity.of(1))
    over_all, inner = "95-3/4x17-5/8", "95-1/2x17-3/8"  # twice 17-3/8 of 48 would pass by area
    with pytest.raises(NotAllowed, match="leaves 1 piece of PLY of"):
        offcuts.keep(book, "Wide", "PLY", [inner, over_all])
    assert not rack(book)

    (piece,) = offcuts.keep(book, "Wide", "PLY", [inner]).pieces
    for size in (inner, over_all):
        with pytest.raises(NotAllowed, match=f"kept already as lot {piece.lot}"):
            offcuts.keep(book, "Wide", "PLY", [size])
    take_back(book, None, "mismeasured")
    assert edges_of(offcuts.keep(book, "Wide", "PLY", [over_all])) == ["far right"]
    withdraw(book, "scrap", None, PIECE, lot=rack(book)[0].lot, reason="split")
    with pytest.raises(NotAllowed, match="kept already"):  # it was there, and is gone
        offcuts.keep(book, "Wide", "PLY", [inner])
    assert edges_of(offcuts.keep(book, "Wide", "PLY", ["30x17-3/8"])) == [""]
    assert edges_of(offcuts.keep(book, "Wide", "PLY", ["40x17-3/8"], factory="none")) == ["none"]


@pytest.mark.parametrize("edges", ["front", "far, none", ","])
def test_an_edge_that_no_piece_has_is_refused(book, panel, edges):
    with pytest.raises(BadValue, match="near, far, left or right"):
        offcuts.keep(book, "Panel", "PLY", ["60x24"], factory=edges)
