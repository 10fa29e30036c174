"""What rests on an entry keeps it from being taken back."""

from datetime import date

import pytest

from ledger.errors import NotAllowed
from ledger.sponsors import add_sponsor, agree, disclose
from ledger.sponsors.agreements import Promise
from ledger.sponsors.goods import find_tool, log_tool
from ledger.sponsors.publications import find_publication

TODAY = date(2025, 6, 30)
SAW = {"words": "Track saw", "category": "tool", "unit": "each", "material": None}


def take_back(book, entry):
    book.reverse(entry, "typed wrong")


def test_a_publication_stays_while_its_disclosure_stands(brightfell):
    row = find_publication(brightfell, "link-1")
    told = disclose(brightfell, row, "added to the caption")
    with pytest.raises(NotAllowed, match="one entry rests on it"):
        take_back(brightfell, row.entry)
    take_back(brightfell, told.entry)
    take_back(brightfell, row.entry)


def test_a_publication_goes_with_the_disclosure_of_the_same_entry(brightfell):
    take_back(brightfell, find_publication(brightfell, "link-2").entry)


def test_a_sponsor_stays_while_an_agreement_stands(spring):
    row = add_sponsor(spring, "Tallowgate Ply")
    agreed = agree(spring, "Tallowgate Ply", [Promise("photo", 1, TODAY)])
    with pytest.raises(NotAllowed, match="sponsor agree Tallowgate Ply"):
        take_back(spring, row.entry)
    take_back(spring, agreed.entry)
    take_back(spring, row.entry)


def test_an_objective_said_anew_can_be_taken_back(brightfell):
    take_back(brightfell, add_sponsor(brightfell, "Brightfell Panels", "Another one").entry)


def test_a_tool_stays_while_its_work_is_noted(spring, give):
    lot = give(spring, 1, "480.00", **SAW)
    used = log_tool(spring, find_tool(spring, "Brightfell Panels", "saw"), uses=1)
    with pytest.raises(NotAllowed, match="sponsor tool Track saw"):
        take_back(spring, lot.entry)
    take_back(spring, used.entry)
    take_back(spring, lot.entry)
