"""Papers together ask for what is open of a job, whatever came and was changed between them."""

import pytest

from ledger.jobs.payments import balance, receive
from ledger.quotes.billing import write_invoice
from ledger.quotes.credits import write_credit
from ledger.quotes.invoice import find_paper
from tests.quotes.test_billing import agreed, change, usd


@pytest.fixture
def bench(book):
    """A bench agreed on in halves of 1,159.40, tax in them."""
    return agreed(book, "Ash hall bench", "1980", "220", "118.80")


def test_the_last_invoice_does_not_ask_for_what_one_before_still_waits_for(book, bench):
    write_invoice(book, bench)
    receive(book, bench, usd("1259.40"), "check")  # 100 more than asked for, held for what follows
    change(book, bench, "200")

    extra = write_invoice(book, bench, which="CO-1")
    last = write_invoice(book, bench, rest=True)

    # 1,159.40 of the second half less 100; 212 of the change stand on its own invoice
    assert (extra.to_pay, last.to_pay) == (usd("212"), usd("1059.40"))
    assert extra.to_pay + last.to_pay == balance(book, bench).due
    assert last.left == usd("212")


def test_what_was_credited_of_an_invoice_is_no_longer_waited_for(book, bench):
    write_invoice(book, bench)
    write_credit(book, find_paper(book, "I-2509-1"), "a scratch", amount=usd("159.40"))
    receive(book, bench, usd("1000"), "check")

    assert write_invoice(book, bench, rest=True).to_pay == balance(book, bench).due


def test_a_request_for_the_rest_asks_for_all_that_is_open(book, bench):
    receive(book, bench, usd("1159.40"), "check")
    change(book, bench, "200")

    asked = [write_invoice(book, bench, rest=rest, request=True) for rest in (False, True)]

    assert [page.to_pay for page in asked] == [usd("1159.40"), usd("1371.40")]
    assert asked[1].left == usd("0")
