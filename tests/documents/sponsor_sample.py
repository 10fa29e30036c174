"""A report for an invented sponsor, with what a test changes."""

from datetime import date
from decimal import Decimal

from ledger.measures.money import Money, currency
from ledger.measures.quantity import Quantity
from ledger.reports.sponsor import (
    Event,
    Published,
    SponsorGoodsReceived,
    SponsorReport,
    Tool,
    Used,
)
from ledger.sponsors.agreements import Progress
from ledger.sponsors.statement import Amount, StatementLine

PLY, BED = "Birch ply 3/4", "Fold-down bed (J-2507)"


def sheets(count, value):
    return Amount(Quantity.of(Decimal(str(count))), Money(round(value * 100)))


def a_report(**change):
    facts = {
        "sponsor": "Brightfell Panels",
        "shop": "Quillhaven Workshop",
        "first": date(2025, 4, 1),
        "last": date(2025, 6, 30),
        "currency": currency("USD"),
        "objective": "Show a clean edge",
        "lines": (
            StatementLine(PLY, "sheet", False, (1,), Amount(), sheets(12, 1152), sheets(-9, -864),
                          sheets(-1, -96)),
        ),
        "lots": (
            SponsorGoodsReceived(date(2025, 4, 14), PLY, "sheet", sheets(12, 1152), False,
                                 "retail price seen", "price page", "note 771"),
        ),
        "used": (Used(BED, PLY, "sheet", sheets(9, 864), Quantity.of(5), Quantity.of(0)),),
        "events": (
            Event(date(2025, 4, 14), "received", PLY, "sheet", sheets(12, 1152), Quantity.of(12),
                  "", "note 771"),
            Event(date(2025, 4, 15), "damaged", PLY, "sheet", sheets(-1, -96), Quantity.of(11),
                  "", "corner crushed"),
            Event(date(2025, 5, 6), "used", PLY, "sheet", sheets(-9, -864), Quantity.of(2), BED,
                  ""),
        ),
        "tools": (Tool("Track saw", True, True, 95, 14, 1, ("2025-05-07: guard sticks",)),),
        "published": (
            Published(date(2025, 5, 20), "photo", "Boxes", "", "link-1", (BED,), None, ""),
            Published(date(2025, 6, 20), "long", "=SUM(1)", "Tube", "https://v.example/2", (BED,),
                      date(2025, 6, 20), "spoken"),
        ),
        "promised": (Progress("Brightfell Panels", "long", 1, date(2025, 6, 30), 1, 0),
                     Progress("Brightfell Panels", "post", 2, date(2025, 6, 30), 1, 1)),
        "where": "sheet rack",
        "offcuts": ("offcut 40 x 24",),
        "offcuts_value": Money(0),
        "next_use": "bedside boxes",
        "photos": ("edge.jpg",),
        "pictures": (),
        "results": ("14 orders with the code",),
    }  # fmt: skip
    return SponsorReport(**(facts | change))
