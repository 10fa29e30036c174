"""Nothing that a client receives tells what only the shop knows: ten kinds of it, cell by cell."""

import random
import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from ledger.book.tables.materials import Supplier
from ledger.costing.sheet import CostSheet
from ledger.designs.model import Count, Design, DesignFact, Need, Part
from ledger.designs.store import save_design
from ledger.jobs.agreement import agreement_of
from ledger.jobs.jobs import client_of, new_job, set_basis
from ledger.jobs.pricing import price_job
from ledger.measures.money import Money
from ledger.papers.engine import print_paper, save_paper
from ledger.papers.invoice import invoice_paper
from ledger.papers.kit import kit_paper_for_client
from ledger.papers.quote import quote_paper
from ledger.papers.variants import variants_paper
from ledger.quotes.answers import accept_quote
from ledger.quotes.billing import write_invoice
from ledger.quotes.draft import Wishes, draft_quote
from ledger.quotes.kit import KitOffer
from ledger.quotes.kits import compare
from ledger.quotes.offer import Maker
from ledger.quotes.revisions import find_quote, offer_of, send_quote
from ledger.quotes.text import offer_text
from ledger.stock.materials import MaterialRow, save_materials
from ledger.workbooks.writers.quote import write_quote

WORDS = {
    "hours": r"\b(person-)?hours?\b|\bman-hours?\b",
    "rates": r"\b(pay|shop|selling|hourly|billed) rate|an hour\b|break-even",
    "markup": r"\bmark-?up\b|\bmargin\b",
    "overhead": r"\boverhead\b",
    "profit": r"\bprofit\b",
    "contingency": r"\bcontingency\b",
    "suppliers": r"\bsuppliers?\b|\bvendor\b",
    "unit costs": r"\bunit (cost|price)\b|\bour cost\b|\bcost sheet\b|\bfull cost\b",
    "sponsors": r"\bsponsor|\bin kind\b|\bFMV\b",
    "helper's pay": r"\bhelpers?\b|\bwages?\b|\bpayroll\b",
    "cut plan": r"\bcut(ting)? plan\b|\bkerf\b|\blayout\b|\byield\b|\bstrips?\b|\bsheets? of\b",
}
DAY = date(2025, 4, 24)
FIGURE = re.compile(r"(?<![\d.,-])\d[\d,]*\.\d+\b")


@dataclass(frozen=True)
class Inside:
    """What only the shop knows of a job: names, and figures that stand nowhere on a quote."""

    names: frozenset[str]
    figures: frozenset[Decimal]


def inside_of(book, sheet: CostSheet, shown: set[Decimal]) -> Inside:
    """The shop's names and figures behind a price; figures that a quote must show are left out."""
    names = {supplier.name for supplier in book.rows(Supplier)} | {"Brightfell"}
    names |= {line.item for line in sheet.lines} | {line.operation for line in sheet.hours}
    return Inside(frozenset(names), frozenset(set(figures_of(sheet)) - shown))


def figures_of(sheet: CostSheet) -> Iterator[Decimal]:
    rates, show = sheet.rates, sheet.currency.decimal
    for rate in (rates.pay, rates.overhead, rates.break_even, rates.selling, rates.helper_cost,
                 rates.helper_billed, rates.selling_by_formula):  # fmt: skip
        yield show(rate)
    totals = sheet.totals
    yield from (totals.estimate_hours, totals.owner_hours)
    for amount in (totals.build_up, totals.full_cost, totals.cash_cost, totals.material_full,
                   totals.material, totals.hardware, totals.earned_per_hour):  # fmt: skip
        yield show(amount)
    for line in sheet.lines:
        yield from (line.unit_cost, show(line.full), show(line.price))
    yield from (line.estimate for line in sheet.hours)
    yield from (show(line.amount) for line in sheet.build_up)


def leaks(values, inside: Inside) -> list[str]:
    """Every value that tells something of the inside."""
    found = []
    for value in values:
        text = str(value)
        found += [f"{kind}: {text}" for kind, sign in WORDS.items() if re.search(sign, text, re.I)]
        found += [f"name {name}: {text}" for name in inside.names if is_said(name, text)]
        if isinstance(value, int | float) and Decimal(str(value)) in inside.figures:
            found.append(f"figure {value}")
        written = FIGURE.findall(value) if isinstance(value, str) else ()
        for figure in written:
            if Decimal(figure.replace(",", "")) in inside.figures:
                found.append(f"figure {figure} in: {text}")
    return found


def is_said(name, text):
    """Whether a name stands in a text as a word of its own."""
    return re.search(rf"(?<!\w){re.escape(name)}(?!\w)", text) is not None


def shown_on(offer) -> set[Decimal]:
    """The figures that a quote has to show."""
    amounts = [offer.price, offer.tax.amount, offer.to_pay]
    amounts += [line.amount for line in offer.deliverables]
    for payment in offer.payments:
        amounts += [payment.price, payment.tax, payment.asked]
    return {offer.currency.decimal(amount) for amount in amounts}


def check_papers(book, job, sheet, offer, cells, folder):
    """Write every paper that this job's client gets and read all of it."""
    client = client_of(book, job)
    inside = inside_of(book, sheet, shown_on(offer))
    assert len(inside.figures) > 10
    papers = [
        save_paper(print_paper(quote_paper(offer, client, "letter")), folder / "quote.pdf"),
        write_quote(offer, client, folder / "quote.xlsx"),
        save_paper(print_paper(variants_paper([offer, offer], "letter")), folder / "v.pdf"),
    ]
    if agreement_of(book, job) is None:
        quote = find_quote(book, job.number)
        send_quote(book, quote)
        accept_quote(book, quote, how="signature")
    for number, rest in enumerate((False, True)):
        invoice = write_invoice(book, job, rest=rest)
        printed = print_paper(invoice_paper(invoice, client, "letter"))
        papers.append(save_paper(printed, folder / f"invoice-{number}.pdf"))
    for paper in papers:
        assert leaks(cells(paper), inside) == [], paper.name
    assert leaks(offer_text(offer, client).splitlines(), inside) == []


def test_the_beds_quote_tells_nothing_of_the_inside(bed_book, bed, bed_sheet, cells, tmp_path):
    wishes = Wishes(extras={"Delivery and installation": Money(90000)}, goods="Bed and towers")
    offer = draft_quote(bed_book, bed, wishes, bed_sheet).offer

    check_papers(bed_book, bed, bed_sheet, offer, cells, tmp_path)


def test_the_clients_page_beside_a_kit_tells_nothing_of_the_inside(
    bed_book, bed, bed_sheet, cells, tmp_path
):
    offer = draft_if_open(bed_book, bed, bed_sheet)
    kit = KitOffer("K-1", "Melamine fold bed", Money(189000), DAY, "a seller", Money(21000),
                   Fraction(6, 100), Decimal(12), 8, "5 years", "gas springs", "", ())  # fmt: skip
    found = compare(bed_book, bed, kit, wage=Money(2000), years=20, plan=Money(1800),
                    sheet=bed_sheet)  # fmt: skip

    paper = kit_paper_for_client(found, Maker("Quillhaven Workshop", "", ""), "letter")
    page = save_paper(print_paper(paper), tmp_path / "kit.pdf")

    inside = inside_of(bed_book, bed_sheet, shown_on(offer))
    # The kit's hours of assembly, and what the client's own hour counts, are the client's to know.
    theirs = ("hours:", "rates:")
    assert [leak for leak in leaks(cells(page), inside) if not leak.startswith(theirs)] == []


def draft_if_open(book, job, sheet):
    if agreement_of(book, job) is None:
        return draft_quote(book, job, Wishes(goods="Bed and towers"), sheet).offer
    return offer_of(book, find_quote(book, job.number))


TAGS = ("wall_fixed", "springs", "spraying", "oil_finish", "composite", "heavy", "children",
        "bunk", "free_standing", "electrical", "high_blade")  # fmt: skip


def random_job(book, number):
    """A job of random parts, needs and tags, its materials at odd prices of odd suppliers."""
    dice = random.Random(number)
    codes = [f"XM{number}{letter}" for letter in "ABC"]
    sheet_row = MaterialRow(
        code=codes[0], name="Panel", kind="sheet", unit="sheet", composite=True,
        length=book_length(96), width=book_length(48), thickness=book_length(0.75),
        price=odd_price(dice), supplier=f"Zandor Timber {number}",
    )  # fmt: skip
    counted = [
        MaterialRow(code=code, name="Fitting", kind=kind, unit="each", price=odd_price(dice),
                    supplier=f"Quimby Fasteners {number}")
        for code, kind in zip(codes[1:], ("hardware", "supply"), strict=True)
    ]  # fmt: skip
    save_materials(book, [sheet_row, *counted])
    parts = tuple(
        Part(f"P{n}", "Panel", str(dice.randint(1, 4)), str(dice.randint(8, 80)),
             str(dice.randint(3, 40)), codes[0], faces=dice.randint(0, 2))
        for n in range(dice.randint(1, 5))
    )  # fmt: skip
    design = Design(
        name=f"piece-{number}", title=f"Piece {number}", units="inch", parts=parts,
        needs=tuple(Need(code, str(dice.randint(1, 9))) for code in codes[1:]),
        counts=(Count("meetings", "1"), Count("jobs", "1"), Count("install", "3.5")),
        tags=frozenset(dice.sample(TAGS, 4)), facts=(DesignFact("overall", "made to measure"),),
    )  # fmt: skip
    job = new_job(book, f"Commission {number}", client=f"Client of {number}")
    set_basis(book, job, save_design(book, design).key, {})
    return job, dice


def book_length(inches):
    from ledger.measures.length import Length

    return Length.of(Decimal(str(inches)), "in")


def odd_price(dice):
    """A price that no sum on a quote is likely to meet."""
    return Decimal(dice.randint(301, 9999)) / 100 + Decimal("0.0037")


@pytest.mark.parametrize("number", range(8))
def test_the_quote_of_a_random_job_tells_nothing_of_the_inside(number, bed_book, cells, tmp_path):
    job, dice = random_job(bed_book, number)
    sheet = price_job(bed_book, job)
    extra = {"Delivery": Money(dice.randint(1000, 5000))} if number % 2 else {}

    offer = draft_quote(bed_book, job, Wishes(extras=extra), sheet).offer

    check_papers(bed_book, job, sheet, offer, cells, tmp_path)


@pytest.mark.parametrize(
    "leak",
    ["65.79 hours", "selling rate 73", "markup 20 %", "overhead", "profit", "contingency 6 %",
     "our supplier", "unit cost", "sponsor", "helper", "cut plan", "Copper Vale Lumber", "PLY34",
     1752.86, 96, "material 1,752.86", 73],
)  # fmt: skip
def test_each_kind_of_inside_knowledge_would_be_found(leak, bed_book, bed_sheet):
    assert leaks([leak], inside_of(bed_book, bed_sheet, set()))


def test_quantities_of_the_inside_are_known_to_the_test(bed_book, bed_sheet):
    inside = inside_of(bed_book, bed_sheet, set())

    assert {"Copper Vale Lumber", "Windlass Bed Fittings", "PLY34", "SND"} <= inside.names
    assert {Decimal(n) for n in ("65.79", "73", "96", "26.88", "1752.86")} <= inside.figures
