"""Money laid along what was asked for as it came: what is open, and the tax in each payment."""

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from ledger.book.tables.invoices import SentInvoice
from ledger.book.tables.jobs import Due
from ledger.jobs.laid import Laying
from ledger.measures.frozen import freeze
from ledger.measures.money import Money, total

DAY = date(2026, 3, 2)


def due(key, price, tax=0, name=""):
    return Due(id=key, job=1, source="", name=name, price=Money(price), tax=Money(tax))


def paper(key, asked, kind="invoice", corrects=None, names=()):
    page = freeze({"lines": [{"name": name} for name in names]})
    return SentInvoice(
        id=key, job=1, number="", day=DAY, asked=Money(asked), schema_number=2, page=page,
        sha256="", kind=kind, corrects=corrects,
    )  # fmt: skip


def asking(*dues):
    laying = Laying()
    for one in dues:
        laying.ask(one, DAY)
    return laying


def opened(laying):
    return [amount.minor for amount in laying.filling().open.values()]


def taxes(laying):
    return [(move.amount.minor, move.tax.minor) for move in laying.moves]


MIXED = (405_500, 24_010), (405_500, 24_010)
"""A contract of 8,110.00, of it 1,250.00 without tax, in halves of 4,295.10."""


def mixed():
    return asking(*(due(key, *part) for key, part in enumerate(MIXED, 1)))


STEPS = st.lists(
    st.one_of(
        st.tuples(st.just("ask"), st.integers(-5000, 9000).filter(bool), st.integers(0, 25)),
        st.tuples(st.just("pay"), st.integers(-4000, 9000).filter(bool), st.just(0)),
        st.tuples(st.just("write"), st.sets(st.integers(0, 11), max_size=3), st.just(0)),
    ),
    max_size=12,
)


@given(STEPS)
def test_open_and_tax_tie_with_what_is_asked_for_and_came(steps):
    laying, dues, came = Laying(), [], 0
    for place, (what, amount, rate) in enumerate(steps):
        if what == "ask":
            dues.append(due(place, amount, amount * rate // 100))
            laying.ask(dues[-1], DAY)
        elif what == "pay":
            paid = max(amount, -came)
            came += paid
            if paid:
                laying.pay(Money(paid), DAY)
        else:
            covers = {one.key for one in dues} & amount
            asked = sum(one.asked.minor for one in dues if one.key in covers)
            laying.write(paper(place, asked), covers, DAY)
        asked = sum(one.asked.minor for one in dues)
        assert sum(opened(laying)) == max(asked - came, 0)
        assert sum(move.amount.minor for move in laying.moves) == came - laying.over.minor
        if came == asked:
            tax = total(one.tax for one in dues)
            assert laying.filling().tax_by(DAY) == tax


def test_money_goes_to_the_open_paper_whose_sum_it_is():
    laying = asking(due(1, 4000), due(2, 4000), due(3, 300), due(4, 200))
    laying.write(paper(1, 4000), {1}, DAY)
    laying.write(paper(2, 300), {3}, DAY)

    laying.pay(Money(300), DAY)
    assert opened(laying) == [4000, 4000, 0, 200]


def test_money_of_another_sum_goes_to_the_oldest_open_paper_first():
    laying = asking(due(1, 4000), due(2, 4000), due(3, 300), due(4, 200))
    laying.write(paper(1, 200), {4}, DAY)
    laying.write(paper(2, 300), {3}, DAY)

    laying.pay(Money(250), DAY)
    assert opened(laying) == [4000, 4000, 250, 0]
    laying.pay(Money(350), DAY)
    assert opened(laying) == [3900, 4000, 0, 0]


def test_without_a_paper_money_of_just_its_sum_is_for_a_change():
    laying = asking(due(1, 4000), due(2, 4000), due(3, 300))

    laying.pay(Money(300), DAY)
    assert opened(laying) == [4000, 4000, 0]
    laying.pay(Money(500), DAY)
    assert opened(laying) == [3500, 4000, 0]


def test_what_is_left_of_a_paper_may_be_just_a_change():
    laying = asking(due(1, 4000), due(2, 4000), due(3, 300))
    laying.write(paper(1, 4000), {1}, DAY)

    laying.pay(Money(4300), DAY)
    assert opened(laying) == [0, 4000, 0]


def test_a_paper_written_later_moves_no_money():
    laying = asking(due(1, 4000), due(2, 4000), due(3, 300))
    laying.pay(Money(250), DAY)
    laying.write(paper(1, 300), {3}, DAY)

    assert opened(laying) == [3750, 4000, 300]


def test_a_payment_request_asks_by_name_and_the_last_paper_for_a_payment_is_its_own():
    laying = asking(due(1, 4000), due(2, 300, name="CO-1: shelf"))
    laying.write(paper(7, 300, "request", names=["CO-1: shelf"]), set(), DAY)
    assert laying.filling().asked_by == {2: 7}

    laying.write(paper(8, 4300), {1, 2}, DAY)
    assert laying.filling().asked_by == {1: 8, 2: 8}
    laying.write(paper(9, -4300, "credit", corrects=8), set(), DAY)
    assert laying.filling().asked_by == {2: 7}


def test_a_credit_lowers_what_no_paper_asks_for_and_leaves_the_tax_of_what_came():
    laying = mixed()
    laying.write(paper(1, 429_510), {1}, DAY)
    laying.ask(due(3, -9_000, -630), DAY)
    assert opened(laying) == [429_510, 419_880, 0]

    laying.pay(Money(429_510), DAY)
    laying.pay(Money(333_978), DAY)
    laying.pay(Money(85_902), DAY)
    # 233.80 of tax in 4,198.80: 3,339.78 of it has 185.97, the last payment the rest
    assert taxes(laying) == [(429_510, 24_010), (333_978, 18_597), (85_902, 4_783)]


def test_an_invoice_that_takes_a_credit_off_asks_for_less():
    laying = mixed()
    laying.ask(due(3, -9_000, -630), DAY)
    laying.ask(due(4, 20_000, 1_400), DAY)
    laying.write(paper(1, 11_770), {3, 4}, DAY)

    assert opened(laying) == [429_510, 429_510, 0, 11_770]
    laying.pay(Money(11_770), DAY)
    assert taxes(laying) == [(11_770, 770)]


def test_a_credit_after_all_has_come_takes_its_tax_when_the_money_goes_back():
    laying = mixed()
    laying.pay(Money(859_020), DAY)
    laying.ask(due(3, -9_000, -630), DAY)
    assert laying.filling().tax_by(DAY) == Money(48_020)

    laying.pay(Money(-4_815), DAY)
    laying.pay(Money(-4_815), DAY)
    assert taxes(laying)[2:] == [(-4_815, -315), (-4_815, -315)]


def test_a_credit_of_all_that_is_open_takes_its_tax_at_once():
    laying = mixed()
    laying.pay(Money(429_510), DAY)
    # 4,014.11 with 280.99 of tax is just the second half, in which are only 240.10
    laying.ask(due(3, -401_411, -28_099), DAY + timedelta(1))

    assert laying.filling().tax_by(DAY) == Money(24_010)
    assert laying.filling().tax_by(DAY + timedelta(1)) == Money(48_020 - 28_099)


def test_a_refund_takes_back_the_payment_of_that_sum_else_the_last_money():
    laying = asking(due(1, 4000, 400), due(2, 300, 30), due(3, 4000, 400))
    for amount in (4400, 330, 1100):
        laying.pay(Money(amount), DAY)

    laying.pay(Money(-330), DAY)
    assert opened(laying) == [0, 330, 3300]
    laying.pay(Money(-1000), DAY)
    assert opened(laying) == [0, 330, 4300]
    assert laying.filling().tax_by(DAY) == Money(400 + 9)


def test_money_beyond_all_that_is_asked_for_waits_for_the_next_payment():
    laying = asking(due(1, 1000, 70))
    laying.pay(Money(1200), DAY)
    assert (opened(laying), laying.over) == ([0], Money(130))

    laying.ask(due(2, 100, 7), DAY)
    assert (opened(laying), laying.over) == ([0, 0], Money(23))
    laying.pay(Money(-130), DAY)
    assert opened(laying) == [0, 107]
