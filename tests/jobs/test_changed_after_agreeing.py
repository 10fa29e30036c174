"""A job made otherwise than it was quoted: what is still to buy, and what its hours teach."""

from decimal import Decimal

import pytest

from ledger.book.tables.quotes import Quote
from ledger.designs.model import Design, Joint, Need, Part
from ledger.designs.store import save_design
from ledger.jobs.agreement import price_that_stands
from ledger.jobs.answers import counts_of
from ledger.jobs.assembling import assemble
from ledger.jobs.closeout import close_job
from ledger.jobs.jobs import basis_of, new_job, set_basis
from ledger.jobs.pricing import price_job
from ledger.measures.quantity import Quantity
from ledger.quotes.answers import accept_quote
from ledger.quotes.draft import Wishes, draft_quote
from ledger.quotes.revisions import send_quote
from ledger.reports.closeout import account_lines, account_of
from ledger.reports.review_read import QuotesOfBook, closed_work
from ledger.reports.still_to_buy import still_to_buy
from ledger.stock.materials import MaterialRow, save_materials


@pytest.fixture
def stands(book, equip):
    """Two planter stands, quoted and accepted in a shop that charges no tax."""
    equip(book)
    with book.entry("shop set"):
        book.set("tax_standing", "exempt")
    save_materials(book, [MaterialRow("SCREW", "Screws", "fastener", "each", price=Decimal("0.1"))])
    parts = (Part("A1", "Side", "4", "24 in", "16 in", "PLY", faces=2),)
    design = Design("stand", "Stand", "inch", (), parts, (Joint("A1-A1", "other", "24 in", "4"),),
                    (Need("SCREW", "20"),))  # fmt: skip
    job = new_job(book, "Planter stands", client="E. Brandt")
    set_basis(book, job, save_design(book, design).key, {}, 2)
    draft_quote(book, job, Wishes())
    quote = book.last(Quote, job=job.key)
    send_quote(book, quote)
    accept_quote(book, quote, how="e-mail")
    return job


def lacking(book, job):
    return {row.material: row.quantity for row in still_to_buy(book, [job])}


def test_what_is_made_otherwise_now_is_bought_and_learned_as_it_is_made(book, stands):
    assert lacking(book, stands)["SCREW"] == Quantity.of(44)  # 2 × 20 and 10 %

    set_basis(book, stands, basis_of(book, stands).design, {}, 1)
    assemble(book, stands)  # laid out

    assert lacking(book, stands)["SCREW"] == Quantity.of(22)
    assert price_that_stands(book, stands).startswith("Q-2501-A stands at ")
    account = account_of(book, stands)
    assert account_lines(account)[0].name == "price"
    now = price_job(book, stands).totals.estimate_hours
    assert (account.agreed_hours, account.planned_hours > now) == (now, True)
    close_job(book, account)
    (closed,) = closed_work(book, book.today, book.today, QuotesOfBook(book))
    assert closed.hours.planned == now  # the review compares with what is still agreed
    assert counts_of(book, stands, "built")["ASM"].driver == Quantity.of(4)


def test_what_is_made_as_quoted_is_learned_as_planned(book, stands):
    account = account_of(book, stands)
    assert account.agreed_hours is None
    close_job(book, account)

    built = counts_of(book, stands, "built")["ASM"]
    assert built.words.startswith("as planned") and built.driver > Quantity.of(4)
