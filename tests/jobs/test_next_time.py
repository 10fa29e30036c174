"""What a closed job says of the next estimate: where its own hours do not draw it, what does."""

from decimal import Decimal

from ledger.jobs.next_time import NextTime


def said(ran, ratio, published="0"):
    one = NextTime("Repair", Decimal("20.00"), Decimal("22.43"), Decimal(ran), Decimal(ratio), 1,
                   Decimal(published))  # fmt: skip
    return one.words


def test_hours_under_the_standard_that_still_get_more_say_what_draws_them_there():
    # 0.98 of the standard, and 1.12 of it from now on: not its own hours, but the published figure
    assert "a published figure still has 84 % of the weight" in said("0.98", "1.12", "84")
    assert "the shop's other work" in said("0.98", "1.12")
    assert "a published figure" in said("1.10", "1.12", "84")


def test_hours_between_the_standard_and_what_was_run_need_no_other_reason():
    for ran, ratio in (("0.80", "0.95"), ("1.30", "1.12"), ("1.12", "1.12")):
        assert said(ran, ratio, "84").endswith(f"counted from now on as × {ratio}.")
