"""A canceled job from its cancellation to zero: what is kept, what goes back, who still owes."""

import json
from datetime import date

import pytest

from ledger.book import Book
from ledger.reports.wip import states_on

PARTS = "id,qty,length,width,grain,material\nA1,2,1000,400,length,PLY\n"
PRICES = "code,name,kind,unit,length,width,price\nPLY,Plywood 18,sheet,sheet,2500,1250,60\n"
MAY, JUNE = "2025-05-06", "2025-06-02"


@pytest.fixture
def bench(begun, tmp_path):
    """A hall bench in a metric euro shop with VAT: agreed at 1,000 and 190 of tax, 595 paid."""
    (tmp_path / "parts.csv").write_text(PARTS)
    (tmp_path / "prices.csv").write_text(PRICES)
    return begun(
        ["new", "--shop", "Atelier Nord", "--currency", "EUR", "--units", "mm"],
        ["shop", "set", "overhead_year=22000", "pay_year=56000", "tax_standing=vat",
         "tax_rate=19 %"],
        ["material", "load", "prices.csv"],
        ["job", "new", "Hall bench", "--parts", "parts.csv"],
        ["quote", "draft", "bench", "--price", "1000"],
        ["quote", "send", "bench"],
        ["quote", "accept", "bench"],
        ["job", "pay", "bench", "595"],
        ["receipt", "add", "PLY", "2", "60", "--from", "Holz Nord", "--to", "bench",
         "--tax", "22.80"],
        ["job", "state", "bench", "material ordered"],
        on=MAY,
    )  # fmt: skip


def facts(shop, *words, on=JUNE):
    said = shop(*words, "--json", on=on)
    assert said.code == 0, said.err
    return json.loads(said.out)


AS = ("--kept-as", "compensation")
"""Under VAT it is said as what a sum is kept; compensation bears none."""


def cancel(shop, *words, on=JUNE):
    words = words if {"--tax", "--kept-as"} & set(words) else (*words, *AS)
    return facts(shop, "job", "cancel", "bench", "--why", "moved", *words, on=on)


def standing(shop, on=JUNE):
    """What is open of the job, the same from `job pay`, `today` and `month`."""
    paid = facts(shop, "job", "pay", "bench", on=on)
    now = paid["canceled"]
    today = facts(shop, "today", on=on)["to_settle"]
    (row,) = facts(shop, "month", on[:7], on=on)["canceled"]
    assert (row["back"], row["owed"]) == (now["back"], now["owed"])
    settled = (now["back"], now["owed"]) == ("0.00", "0.00")
    assert [one["job"] for one in today] == ([] if settled else ["J-2501"])
    assert all((one["back"], one["owed"]) == (now["back"], now["owed"]) for one in today)
    assert facts(shop, "today", on=on)["payments"] == []
    return now["back"], now["owed"], paid["due"]


def test_a_helper_with_a_rate_of_their_own_is_kept_at_that_rate(bench):
    bench("shop", "set", "helper_cost=20", "helper_billed=36", on=MAY)
    bench("hours", "helper", "Jonas", "--cost", "19.80", "--billed", "34", on=MAY)
    bench("hours", "add", "bench", "ASM", "2h", "--by", "Jonas", on=MAY)
    bench("hours", "add", "bench", "ASM", "1h", "--by", "Max", on=MAY)
    asked = bench("job", "cancel", "bench", "--stage", "after cutting", *AS, "--json", on=JUNE)

    assert json.loads(asked.out)["kept"] == "224.00"  # 120 of material, 2 × 34 and 1 × 36


def test_a_canceled_job_does_not_stand_as_done(bench, tmp_path):
    cancel(bench, "--why", "moves away", "--stage", "after cutting")
    with Book(tmp_path / "shop.sqlite", date.fromisoformat(JUNE)) as book:
        assert states_on(book, book.today) == {"J-2501": "canceled"}


def test_refunds_bring_a_canceled_job_to_zero(bench):
    done = cancel(bench, "--stage", "after cutting")
    assert (done["kept"], done["back"], done["owed"]) == ("120.00", "475.00", "0.00")
    assert standing(bench) == ("475.00", "0.00", "-475.00")

    assert bench("job", "pay", "bench", "400", "--refund", on=JUNE).code == 0
    assert standing(bench) == ("75.00", "0.00", "-75.00")
    assert bench("job", "pay", "bench", "75", "--refund", "--by", "card", on=JUNE).code == 0
    assert standing(bench) == ("0.00", "0.00", "0.00")
    assert "settled" in bench("job", "pay", "bench", on=JUNE).out


def test_a_refund_before_the_cancellation_leaves_less_to_go_back(bench):
    bench("job", "pay", "bench", "500", "--refund", on=MAY)
    done = cancel(bench, "--stage", "after cutting")

    assert (done["back"], done["owed"]) == ("0.00", "25.00")
    assert standing(bench) == ("0.00", "25.00", "25.00")
    bench("job", "pay", "bench", "25", on=JUNE)
    assert standing(bench) == ("0.00", "0.00", "0.00")


def test_no_more_goes_back_than_the_cancellation_left(bench):
    cancel(bench, "--stage", "after cutting")
    refused = bench("job", "pay", "bench", "475.01", "--refund", on=JUNE)

    assert (refused.code, "475.00" in refused.err, "--kept" in refused.err) == (1, True, True)
    assert standing(bench) == ("475.00", "0.00", "-475.00")


def test_no_more_goes_back_than_ever_came(bench):
    assert bench("job", "pay", "bench", "596", "--refund", on=JUNE).code == 1


def test_another_sum_agreed_on_since_is_settled_instead(bench):
    cancel(bench, "--stage", "after cutting")
    bench("job", "pay", "bench", "475", "--refund", on=JUNE)
    again = facts(bench, "job", "cancel", "bench", "--kept", "100", "--why", "goodwill", *AS)

    assert (again["kept"], again["back"]) == ("100.00", "20.00")
    assert standing(bench) == ("20.00", "0.00", "-20.00")
    assert (
        bench("job", "cancel", "bench", "--kept", "1190.01", "--why", "x", *AS, on=JUNE).code == 1
    )


def test_a_cancellation_that_is_undone_asks_for_the_price_again(bench):
    cancel(bench, "--stage", "after cutting")
    assert bench("undo", on=JUNE).code == 0

    now = facts(bench, "job", "pay", "bench")
    assert (now["canceled"], now["due"], now["held"]) == (None, "595.00", "595.00")
    assert facts(bench, "today")["to_settle"] == []
    assert facts(bench, "month", "2025-06")["canceled"] == []


def test_a_refund_outlives_a_cancellation_that_is_undone(bench):
    cancel(bench, "--stage", "after cutting")
    entry = str(facts(bench, "undo", "--list")[0]["entry"])
    bench("job", "pay", "bench", "475", "--refund", on=JUNE)
    assert bench("undo", entry, on=JUNE).code == 0

    now = facts(bench, "job", "pay", "bench")
    assert (now["received"], now["due"], now["held"]) == ("120.00", "1070.00", "120.00")


def test_what_was_in_progress_is_the_cost_of_the_canceled_job_to_the_cent(bench):
    bench("hours", "add", "bench", "rip", "95m", "--on", MAY, on=MAY)
    (open_,) = facts(bench, "month", "2025-05", on="2025-05-31")["work_in_progress"]
    before = facts(bench, "month", "2025-05", on="2025-05-31")
    cancel(bench, "--stage", "after cutting")
    june = facts(bench, "month", "2025-06")
    (row,) = june["canceled"]

    assert june["work_in_progress"] == []
    assert (row["cost"], row["material"]) == (open_["cost"], "120.00")
    assert float(row["kept"]) - float(row["cost"]) == pytest.approx(float(row["result"]))
    assert facts(bench, "month", "2025-05") == before | {"standing": "open"}


def test_the_tax_counted_before_goes_out_with_the_cancellation(bench):
    assert facts(bench, "month", "2025-05")["tax_collected"] == "95.00"
    cancel(bench, "--stage", "after cutting", "--tax", "19.16")
    june = facts(bench, "month", "2025-06")

    assert june["canceled"][0]["kept"] == "139.16"
    assert june["tax_collected"] == "-75.84"
    assert facts(bench, "month", "2025-05")["tax_collected"] == "95.00"


def test_a_finished_job_keeps_its_price_and_the_tax_in_it(bench):
    bench("job", "state", "bench", "ready", on=JUNE)
    done = cancel(bench, "--kept-as", "work")

    assert (done["kept"], done["tax"], done["owed"]) == ("1190.00", "190.00", "595.00")
    assert standing(bench) == ("0.00", "595.00", "595.00")


@pytest.mark.parametrize("sign", ["hours", "sheets"])
def test_before_cutting_is_questioned_where_something_looks_cut(bench, sign):
    if sign == "hours":
        entry = str(facts(bench, "undo", "--list", on=MAY)[1]["entry"])  # the sheets
        assert bench("undo", entry, on=MAY).code == 0
        bench("hours", "add", "bench", "rip", "95m", "--on", MAY, on=MAY)
    refused = bench("job", "cancel", "bench", "--why", "moved", *AS, on=JUNE)

    assert refused.code == 1
    assert ("1.58 h" if sign == "hours" else "2 sheets of PLY") in refused.err
    assert facts(bench, "job", "state", "bench")["state"] == "material ordered"
    done = cancel(bench, "--stage", "before cutting")
    assert done["stage"] == "before cutting"


def test_hours_of_design_are_no_sign_of_cutting(bench):
    entry = str(facts(bench, "undo", "--list", on=MAY)[1]["entry"])
    assert bench("undo", entry, on=MAY).code == 0
    bench("hours", "add", "bench", "design", "2h", "--on", MAY, on=MAY)

    assert facts(bench, "job", "cancel", "bench")["doubts"] == []
    assert cancel(bench)["stage"] == "before cutting"


def test_what_lies_on_the_rack_again_is_not_kept_of_the_client(bench):
    before = cancel(bench, "--stage", "after cutting")
    assert bench("undo", on=JUNE).code == 0
    assert (
        bench("stock", "keep", "bench", "PLY", "1200x1000", "--factory", "none", on=JUNE).code == 0
    )
    after = cancel(bench, "--stage", "after cutting")
    assert (before["kept"], after["kept"]) == ("120.00", "108.48")  # 120 × 1.2 ÷ 6.25 ÷ 2 = 11.52
    (row,) = facts(bench, "month", "2025-06")["canceled"]
    assert (row["material"], row["back"]) == ("108.48", "486.52")


INCH = ("new", "--shop", "Larkhollow", "--overhead", "21000", "--pay", "52000")
METRIC = (*INCH, "--currency", "EUR", "--units", "mm", "--tax", "vat")


@pytest.mark.parametrize("new", [INCH, METRIC], ids=["inch", "mm"])
def test_what_an_early_stage_does_not_ask_for_stands_in_the_account_with_its_figure(begun, new):
    """1 h of design, 0.5 h at the bench, 50.00 of caning, a fee of 5.00, a can of oil of 24.00."""
    shop = begun(
        list(new),
        ["job", "new", "Stool", "--price", "400"],
        ["hours", "add", "stool", "admin", "1h"],
        ["hours", "add", "stool", "repair", "30m"],
        ["job", "add-cost", "stool", "other", "1", "50", "--note", "caning", "--actual"],
        ["job", "add-cost", "stool", "fee", "1", "5", "--note", "bank", "--actual"],
    )

    def account(*words):
        said = shop("job", "cancel", "stool", *words)
        assert said.code == 0, said.err
        return [" ".join(line.split()) for line in said.out.splitlines()]

    stage = "--stage", "before the deposit"
    dry = account(*stage)
    shop("receipt", "add", "oil", "1", "24", "--category", "finish", "--from", "Copper Vale",
         "--to", "stool", "--tax", "0")  # fmt: skip
    designed, done = account("--stage", "before material"), account(*stage, "--why", "moved")

    borne = ["hours 1.50 h, not asked for 0.00", "other costs 50.00, which the shop bears 0.00",
             "fees 5.00, which the shop bears 0.00", "kept 0.00"]  # fmt: skip
    assert [line for line in dry if line in borne] == borne
    assert [line for line in done if line in borne] == borne
    assert "material 24.00, which stays the shop's 0.00" in done
    assert "other costs as it came 50.00" in designed
    assert "hours 0.50 h, not asked for 0.00" in designed
    assert facts(shop, "job", "show", "stool")["canceled"]["kept"] == "0.00"
