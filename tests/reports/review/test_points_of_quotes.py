"""What each quote would have asked at other hours: the price that `price` says these need."""

from datetime import date

import pytest

from ledger.book import Book
from ledger.costing.spread import price_range
from ledger.jobs.jobs import find_job
from ledger.jobs.price_rules import rules_of
from ledger.jobs.pricing import price_job
from ledger.jobs.tax import tax_rate_of
from ledger.measures.money import Money
from ledger.reports.review import review
from ledger.reports.review_frozen import read_points
from tests.reports.review.conftest import play

NEW = ["new", "--shop", "Larkhollow Joinery", "--overhead", "21000", "--pay", "52000"]
VAT = [*NEW, "--currency", "EUR", "--units", "mm", "--tax", "vat"]
CARD = ["shop", "set", "card_fee=2.9 %", "card_share=20 %", "contingency=20 %", "price_step=0.01"]
FIXED = [*CARD, "card_fee_fixed=0.30", "tax_rate=19 %", "helper_cost=20", "helper_billed=35"]
CHAIRS = ["job", "new", "Chairs", "--work", "take apart 12, assemble 12, repair 48h"]


def story(new, settings, job):
    """A quote for repaired chairs, partly paid by card."""
    yield "2025-03-02", new
    yield "2025-03-02", settings
    yield "2025-03-02", job
    yield "2025-03-02", ["quote", "draft", "chairs"]
    yield "2025-03-02", ["quote", "send", "chairs"]


@pytest.mark.parametrize(
    ("new", "settings", "job", "at_plan"),
    [
        # 51.38 h × 68.44 = 3,516.45; ÷ (1 − 2.9 % × 20 %)
        (NEW, CARD, CHAIRS, "3536.96"),
        # (3,516.45 + 0.30) ÷ (1 − 2.9 % × 20 % × 1.19), the client paying tax by card as well
        (VAT, FIXED, CHAIRS, "3541.19"),
        # what is agreed is what it was sold for, not what its hours ask
        (NEW, CARD, [*CHAIRS, "--price", "4245"], "3536.96"),
    ],
)
def test_a_quote_asks_at_other_hours_what_these_need_with_their_own_card_fee(
    tmp_path, new, settings, job, at_plan
):
    play(tmp_path / "book.sqlite", story(new, settings, job))
    with Book(tmp_path / "book.sqlite", date(2025, 3, 2)) as book:
        (quote,) = review(book, date(2025, 1, 1), date(2025, 12, 31)).quotes
        chairs = find_job(book, "chairs")
        needed = price_range(price_job(book, chairs), rules_of(book, tax_rate_of(book, chairs)))

    assert quote.points.at_priced == Money(int(at_plan.replace(".", "")))
    assert quote.points.at_priced == needed.standard.price
    assert quote.points.at_typical == needed.p50.price
    assert quote.points.at_safe == needed.p80.price


def test_a_sheet_of_an_earlier_release_has_the_amount_of_its_fee_alone():
    """24.62 of 4,244.36 is 0.58 %, so 51.38 h × 68.44 ask 3,516.45 ÷ 0.994199."""
    points = read_points({
        "totals": {"estimate_hours": "51.38", "owner_hours": "51.38", "helper_hours": "0.00",
                   "build_up": 424436},
        "range": {"p50": "60.79", "p80": "84.24", "p95": "120.59"},
        "rates": {"selling": 6844, "helper_billed": 0},
        "lines": [], "others": [],
        "build_up": [{"name": "owner hours", "amount": 351645},
                     {"name": "contingency", "amount": 70329},
                     {"name": "card fee", "amount": 2462}],
    })  # fmt: skip

    assert points.at_priced == Money(353697)
