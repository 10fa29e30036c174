"""Whatever is typed, a reader gives a value or a refusal, never a crash."""

from datetime import date

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from ledger.errors import BadValue
from ledger.measures.day import parse_day, parse_month, parse_time
from ledger.measures.duration import parse_duration
from ledger.measures.length import parse_allowance, parse_length, parse_size
from ledger.measures.money import currency
from ledger.measures.quantity import parse_quantity
from ledger.measures.share import parse_share
from ledger.measures.units import unit

TODAY = date(2025, 5, 7)
READERS = {
    "length": lambda text: parse_length(text, None),
    "inches": lambda text: parse_size(text, "inch"),
    "allowance": lambda text: parse_allowance(text, "mm"),
    "dollars": currency("USD").parse,
    "yen": currency("JPY").parse,
    "price": currency("KWD").parse_price,
    "currency": currency,
    "quantity": parse_quantity,
    "duration": parse_duration,
    "day": lambda text: parse_day(text, TODAY),
    "coming day": lambda text: parse_day(text, TODAY, future=True),
    "month": lambda text: parse_month(text, TODAY),
    "time": parse_time,
    "share": parse_share,
    "unit": unit,
}
# Near misses find more than noise does: the signs of all grammars, in any order.
near_misses = st.lists(
    st.sampled_from(
        [*"0123456789", *" -+.,/:'\"%$€½⅞′″x", "in", "ft", "mm", "h", "m", "d", "am", "may", "mon"]
    ),
    max_size=14,
).map("".join)


@pytest.mark.parametrize("reader", READERS.values(), ids=list(READERS))
@settings(max_examples=150, deadline=None)
@given(text=st.one_of(st.text(max_size=70), near_misses))
@example(text="9" * 60)
@example(text="9" * 100_000)
@example(text="1/" + "0" * 50)
@example(text="-9999d")
@example(text="0000-00-00")
@example(text="\x00\x1b[31m")
@example(text="\u202e24 in\u202c")
@example(text="\ud800")
@example(text="🪚 24 in")
@example(text="٢٤")
@example(text="²")
@example(text="=cmd()")
def test_a_reader_gives_a_value_or_a_refusal(reader, text):
    try:
        reader(text)
    except BadValue as refusal:
        sentence = str(refusal)
        assert sentence.endswith((".", "?"))
        assert sentence.isprintable()
        assert len(sentence) < 300
