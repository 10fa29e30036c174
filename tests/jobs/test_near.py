"""Own jobs that are closed speak for the next piece as past jobs do that were loaded."""

from collections.abc import Callable, Iterator
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.designs.model import Count, Design, DesignFact, Part
from ledger.designs.store import save_design
from ledger.errors import BadValue
from ledger.jobs.agreed_total import guessed_range, guesses_of
from ledger.jobs.answers import add_cost
from ledger.jobs.closeout import close_job, reopen_job, take_account
from ledger.jobs.jobs import find_job, new_job, set_basis
from ledger.jobs.lines import AgreedTotal, set_total
from ledger.jobs.near import finished_pieces, near_jobs
from ledger.jobs.pricing import price_job
from ledger.labor.log import TimeEntry, log_hours
from ledger.labor.nearest import read_piece, rough_price
from ledger.labor.past import PastJobRow, PastLineRow, save_past_jobs
from ledger.labor.people import set_helper
from ledger.labor.standards import standards
from ledger.measures.length import Length
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.measures.values import replace

DESIGN = Design(
    name="stool", title="Step stool", units="inch", counts=(Count("joints", "10"),),
    parts=(Part("S", "Seat", "1", "16", "12", "PLY"),),
    facts=(DesignFact("overall size", "16 in W × 18 in H × 12 in D"),),
)  # fmt: skip


@pytest.fixture
def closed(
    tmp_path: Path, put_book: Callable[..., None], equip: Callable[[Book], None]
) -> Iterator[Book]:
    """A book whose job of a stool took 2 h, half an hour of it rework, and brought 200.00."""
    path, day = tmp_path / "shop.sqlite", date(2025, 4, 25)
    put_book(path, day, equip)
    with Book(path, day) as book:
        job = new_job(book, "For the Marrow kitchen")
        set_basis(book, job, save_design(book, DESIGN).key, {})
        for minutes, kind in ((90, "work"), (30, "rework")):
            log_hours(book, TimeEntry(job, standards(book)["ASM"], minutes, day, kind), sure=True)
        add_cost(book, job, "miles", "miles", Quantity.of(10), Decimal(1), actual=True)
        account = take_account(book, job, price_job(book, job), Money(18000), Money(2000))
        close_job(book, account)
        yield book


def job_of(book: Book) -> Job:
    """The closed job."""
    return find_job(book, "kitchen")


def test_a_closed_job_is_near_with_what_it_brought_an_hour(closed: Book) -> None:
    another = new_job(closed, "Another stool")
    (near,) = near_jobs(closed, Decimal(3), another)
    assert (near.number, near.price, near.hours) == ("J-2501", Money(20000), Decimal("2.00"))
    assert near.earned_per_hour == Money(9500)  # (200.00 − 10.00 of miles) ÷ 2 h


def test_what_it_brought_is_of_the_owners_hours_alone(closed: Book) -> None:
    set_helper(closed, "Ines", Money(2000), Money(0))
    reopen_job(closed, job_of(closed), "a late hour of the helper")
    helped = TimeEntry(job_of(closed), standards(closed)["ASM"], 60, date(2025, 4, 25),
                       people=("Ines",))  # fmt: skip
    log_hours(closed, helped, sure=True)
    another = new_job(closed, "Another stool")
    sheet = price_job(closed, job_of(closed))
    close_job(closed, take_account(closed, job_of(closed), sheet, Money(18000), Money(2000)))
    (near,) = near_jobs(closed, Decimal(3), another)
    assert near.hours == Decimal("3.00")
    assert near.earned_per_hour == Money(8500)  # (200 − 10 of miles − 20 of Ines) ÷ 2 h


def test_a_job_is_not_held_against_itself(closed: Book) -> None:
    assert near_jobs(closed, Decimal(3), job_of(closed)) == ()


def test_past_and_own_jobs_stand_together_the_nearest_first(closed: Book) -> None:
    line = PastLineRow("sand", Quantity.of(92), 180)
    save_past_jobs(closed, [PastJobRow("J-9", "Stool", date(2024, 1, 2), Money(30000),
                                       Money(0), (line,))])  # fmt: skip
    another = new_job(closed, "Another stool")
    numbers = [near.number for near in near_jobs(closed, Decimal("2.9"), another)]
    assert numbers == ["J-9", "J-2501"]


def test_a_past_job_without_price_or_material_says_nothing_of_an_hour(closed: Book) -> None:
    known = {"price": Money(30000), "material": Money(0)}
    rows = [
        PastJobRow(
            f"J-{name}", "Stool", date(2024, 1, 2), lines=(), minutes=180, **(known | {name: None})
        )
        for name in known
    ]
    rows.append(PastJobRow("J-9", "Stool", date(2024, 1, 2), lines=(), minutes=180, **known))
    save_past_jobs(closed, rows)

    near = near_jobs(closed, Decimal("2.9"), new_job(closed, "Another stool"))
    assert [(one.number, one.hours) for one in near] == [
        ("J-9", Decimal("3.00")), ("J-2501", Decimal("2.00")),
    ]  # fmt: skip


def test_guesses_are_held_against_past_jobs_and_own_ones_sold_by_total(closed: Book) -> None:
    rows = [PastJobRow(f"J-{at}", "Stool", date(2024, 1, 2), None, None, (), minutes=660,
                       guessed=600) for at in range(2)]  # fmt: skip
    save_past_jobs(closed, rows)
    assert guesses_of(closed).words == "Your guesses run 1.10 × (2 jobs)."
    agreed, still_open = AgreedTotal(Money(50000), None, 1200), new_job(closed, "Not agreed yet")
    assert guessed_range(closed, still_open, agreed).p50 == Decimal("20.00")

    day = closed.today
    sold = new_job(closed, "Sold in one sum")
    set_total(closed, sold, Money(50000), 600)
    for minutes, kind in ((660, "work"), (60, "rework")):
        log_hours(closed, TimeEntry(sold, standards(closed)["ASM"], minutes, day, kind), sure=True)
    close_job(closed, take_account(closed, sold, price_job(closed, sold), Money(50000), Money(0)))
    assert guesses_of(closed).words == "Your guesses run 1.13 × (3 jobs)."
    assert guessed_range(closed, still_open, agreed).p50 == Decimal("22.67")
    reopen_job(closed, sold, "one more leg")
    assert guesses_of(closed).jobs == 2


def test_a_rough_price_knows_a_closed_job_by_its_design_and_size(closed: Book) -> None:
    price = rough_price(read_piece("stool 32x18x24", "inch"), finished_pieces(closed))
    (near,) = price.near
    assert price.is_same_kind
    assert near.past.job == "J-2501"
    assert near.scaled == Money(28200)  # four times as large, so 1.41 × the price of a single piece
    assert near.past.minutes == 120  # 90 of work and 30 of rework, as beside a price


@pytest.mark.parametrize(
    "size",
    [
        "34 in W × 38 in D open × 29 in H",
        "34 in W × 38 in D, leaves up × 29 in H",
        "34 in W × 29 in H closed × 38 in D",
        "863.6 mm W × 965.2 mm D open × 736.6 mm H",
        "86.36 cm W × 29 in H × 96.52 cm D",
        "2 ft 10 in W × 38 in D open × 29 in H",
    ],
)
def test_a_size_of_a_design_is_no_number_of_pieces(closed: Book, size: str) -> None:
    table = replace(DESIGN, name="table", title="Game table with two drop leaves",
                    facts=(DesignFact("Overall size", size),))  # fmt: skip
    version = save_design(closed, table).key
    for title, pieces in (("Cards", 1), ("Six stands", 1), ("Four stands", 3)):
        job = new_job(closed, title)
        set_basis(closed, job, version, {}, pieces)
        sheet = price_job(closed, job)
        close_job(closed, take_account(closed, job, sheet, Money(30000), Money(0)))

    made = {one.title: one.piece for one in finished_pieces(closed)}
    # the job's own number of pieces goes before what its title says
    assert [made[title].number for title in ("Cards", "Six stands", "Four stands")] == [1, 6, 3]
    assert made["Cards"].sizes == (Length.of(38, "in"), Length.of(34, "in"), Length.of(29, "in"))

    cards = [one for one in finished_pieces(closed) if one.title == "Cards"]
    (near,) = rough_price(read_piece("game table 34 x 38 x 29 in", "inch"), cards).near
    assert (near.scaled, near.scale) == (Money(30000), 1)
    assert near.reasons == ("also: game, table", "1.00 × its size, so 1.00 × its price")


def test_a_job_that_is_open_again_speaks_no_more(closed: Book) -> None:
    reopen_job(closed, job_of(closed), "the go-back was still to come")
    assert near_jobs(closed, Decimal(3), new_job(closed, "Another stool")) == ()
    with pytest.raises(BadValue, match="No past job"):
        rough_price(read_piece("stool", "inch"), finished_pieces(closed))
