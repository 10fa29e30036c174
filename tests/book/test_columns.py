"""Exact values come back from the file as they went in."""

from datetime import date
from decimal import Decimal
from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import Column, MetaData, Table, create_engine, func, select

from ledger.book import columns
from ledger.measures.length import Length
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity

WHOLE = st.integers(-(2**63), 2**63 - 1)
DECIMALS = st.decimals(allow_nan=False, allow_infinity=False)

TABLE = Table(
    "kept",
    MetaData(),
    Column("money", columns.MoneyColumn),
    Column("length", columns.LengthColumn),
    Column("quantity", columns.QuantityColumn),
    Column("decimal", columns.DecimalColumn),
    Column("share", columns.ShareColumn),
    Column("day", columns.DayColumn),
)
SQL = (
    "CREATE TABLE kept (money INTEGER, length INTEGER, quantity INTEGER, decimal TEXT, share TEXT,"
    " day TEXT) STRICT"
)


def kept_rows(rows):
    engine = create_engine("sqlite://")
    with engine.connect() as connection:
        connection.exec_driver_sql(SQL)
        connection.execute(TABLE.insert(), rows)
        found = [row._asdict() for row in connection.execute(select(TABLE))]
        raw = connection.exec_driver_sql("SELECT * FROM kept").all()
        earliest = connection.scalar(select(func.min(TABLE.c.day)))
    engine.dispose()
    return found, raw, earliest


@settings(deadline=None)
@given(
    money=WHOLE.map(Money),
    length=WHOLE.map(Length),
    quantity=WHOLE.map(Quantity),
    decimal=DECIMALS,
    share=st.fractions(),
    day=st.dates(),
)
def test_every_exact_value_comes_back_as_it_went_in(**row):
    (found,), _, _ = kept_rows([row])
    assert found == row
    assert str(found["decimal"]) in (str(row["decimal"]), f"{row['decimal']:f}")


def test_nothing_stays_nothing():
    row = dict.fromkeys(TABLE.c.keys())
    (found,), _, _ = kept_rows([row])
    assert found == row


def test_values_are_written_so_that_any_other_program_can_read_them():
    row = {
        "money": Money(698_000),
        "length": Length(3_175_000),
        "quantity": Quantity(3_100_000),
        "decimal": Decimal("5.4E-2"),
        "share": Fraction(3, 50),
        "day": date(2025, 4, 25),
    }
    _, (raw,), _ = kept_rows([row])
    assert tuple(raw) == (698_000, 3_175_000, 3_100_000, "0.054", "3/50", "2025-04-25")


@settings(deadline=None, max_examples=25)
@given(st.lists(st.dates(), min_size=1))
def test_days_sort_as_text_as_they_do_in_the_calendar(days):
    empty = dict.fromkeys(TABLE.c.keys())
    _, _, earliest = kept_rows([empty | {"day": day} for day in days])
    assert earliest == min(days)
