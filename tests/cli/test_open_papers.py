"""Papers that are not paid: the day they were due and how late that is, wherever money is shown."""

import json

import pytest
from icalendar import Calendar

GATE = [
    ["job", "new", "Gate", "--work", "repair 20h"],
    ["job", "client", "gate", "--name", "A. Ortlieb", "--address", "Gasse 1"],
    ["quote", "draft", "gate", "--price", "1200"], ["quote", "send", "gate"],
    ["quote", "accept", "gate"], ["quote", "invoice", "gate"],
]  # fmt: skip


@pytest.fixture
def owed(begun):
    """The program with a deposit of half of 1,200.00 invoiced on 2025-04-25, 14 days to pay."""
    begin = ["new", "--shop", "Larkhollow Joinery", "--units", "inch", "--overhead", "14400",
             "--pay", "42000"]  # fmt: skip
    return begun(begin, *GATE)


def test_an_unpaid_invoice_is_named_with_its_day_and_how_late_it_is(owed, tmp_path):
    # due 2025-04-25 + 14 days = 05-09; on 06-03 that is 22 + 3 = 25 days ago; 600.00 - 100.00 open
    owed("job", "pay", "gate", "100")
    late = {"invoice": "I-2501-1", "kind": "Deposit invoice", "due": "2025-05-09", "days_late": 25,
            "open": "500.00"}  # fmt: skip
    facts = {
        name: json.loads(owed(*words, "--json", on="2025-06-03").out)
        for name, words in {
            "today": ("today",), "pay": ("job", "pay", "gate"), "list": ("quote", "invoice",
            "--list"),
        }.items()
    }  # fmt: skip

    assert facts["today"]["invoices"] == [{"job": "J-2501"} | late]
    assert facts["pay"]["invoices"] == [late]
    assert facts["list"][0].items() >= late.items()
    for words in (("today",), ("job", "pay", "gate"), ("quote", "invoice", "--list")):
        assert "2025-05-09, 25 days late" in " ".join(owed(*words, on="2025-06-03").out.split())
    owed("today", "--ics", "due.ics")
    (event,) = Calendar.from_ical((tmp_path / "due.ics").read_bytes()).walk("VEVENT")
    assert (str(event["dtstart"].dt), "I-2501-1" in event["summary"]) == ("2025-05-09", True)


def test_what_is_paid_or_credited_waits_no_more(owed):
    assert "late" not in owed("today", on="2025-05-09").out
    owed("job", "pay", "gate", "600")
    assert json.loads(owed("today", "--json", on="2025-06-03").out)["invoices"] == []
    owed("undo")
    owed("quote", "credit", "I-2501-1", "600", "--why", "written to the wrong address")
    assert json.loads(owed("today", "--json", on="2025-06-03").out)["invoices"] == []


def test_a_last_cent_is_waited_for(owed):
    owed("job", "pay", "gate", "599.99")
    (late,) = json.loads(owed("today", "--json", on="2025-06-03").out)["invoices"]
    assert late["open"] == "0.01"


def test_a_payment_request_waits_until_the_final_invoice_asks_for_it(begun):
    shop = begun(
        ["new", "--shop", "Larkhollow Joinery", "--currency", "EUR", "--units", "mm", "--tax",
         "vat", "--overhead", "14400", "--pay", "42000"],
        ["shop", "set", "address=Weg 1, Linz", "tax_number=ATU1", "tax_rate=20 %"],
        *GATE,
    )  # fmt: skip
    # 1,200.00 and 20 % VAT are 1,440.00, half of it on acceptance
    (asked,) = json.loads(shop("today", "--json").out)["invoices"]
    assert (asked["kind"], asked["open"], asked["due"]) == (
        "Payment request", "720.00", "2025-05-09",
    )  # fmt: skip
    shop("quote", "invoice", "gate", "--supplied", "2025-05-12", on="2025-05-12")
    (final,) = json.loads(shop("today", "--json", on="2025-05-12").out)["invoices"]
    assert (final["kind"], final["open"], final["due"]) == ("Invoice", "1440.00", "2025-05-26")


def test_what_a_change_takes_off_goes_with_the_next_payment_as_the_refusal_says(owed):
    owed("job", "change", "gate", "no latch", "--price", "-200")
    owed("job", "change", "gate", "--approved", "CO-1")

    refused = owed("quote", "invoice", "gate", "--for", "CO-1")
    assert refused.err.rstrip().endswith("benchledger quote invoice J-2501")
    # the second half of 1,200.00 less 200.00
    assert json.loads(owed("quote", "invoice", "gate", "--json").out)["asked"] == "400.00"


def test_an_exempt_shop_elsewhere_is_one_of_small_business(begun):
    shop = begun(["new", "--shop", "Werkraum", "--currency", "EUR", "--units", "mm", "--tax",
                  "exempt"])  # fmt: skip
    assert "small business" in json.loads(shop("shop", "show", "--json").out)["wording_exempt"]


def test_a_payment_without_an_amount_says_that_nothing_was_noted(owed):
    said = owed("job", "pay", "gate", "--by", "card")

    assert "No payment was noted" in said.err
    assert "benchledger job pay J-2501 600.00 --by card" in " ".join(said.err.split())
    assert json.loads(owed("job", "pay", "gate", "--json").out)["received"] == "0.00"
    assert "No payment" not in owed("job", "pay", "gate").err
    assert "No payment" not in owed("job", "pay", "gate", "600", "--by", "card").err
