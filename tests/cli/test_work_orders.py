"""Lines typed and taken back, several answers in one entry, a total agreed, invoiced and paid."""

import json
import re
from decimal import Decimal

import pytest

SHOP = ["shop", "set", "overhead_year=22000", "pay_year=56000", "selling_rate=73"]
REPAIR = ["standards", "add", "RPR", "Repair", "--group", "assembly", "--minutes", "60", "--unit",
          "hour"]  # fmt: skip


@pytest.fixture
def repairs(begun, tmp_path):
    """A new book that repairs by the hour and has a price for glue."""
    (tmp_path / "prices.csv").write_text(
        "code,name,kind,unit,price\nGLUE,Hide glue,adhesive,bottle,7.50\n"
    )
    shop = begun(
        ["new", "--shop", "Quillhaven Workshop"], SHOP,
        ["material", "load", str(tmp_path / "prices.csv")],
    )  # fmt: skip
    if "RPR" not in shop("standards", "list").out:
        assert shop(*REPAIR).code == 0
    return shop


def lines_of(shop, job):
    return json.loads(shop("job", "lines", job, "--json").out)["lines"]


def test_lines_are_typed_listed_and_taken_back(repairs):
    said = repairs("job", "new", "Chair", "--work", "repair 3h, protect 1", "--use", "GLUE 2")
    assert said.code == 0, said.err
    assert repairs("job", "line", "chair", "repair", "30m", "--note", "seat rail").code == 0
    assert repairs("job", "line", "chair", "outside", "120", "caning", "--lead", "14").code == 0
    said = repairs("job", "line", "chair", "--back", "2")
    assert said.out == "J-2501: taken back: PAK Protect & load, 1 piece.\n"
    found = lines_of(repairs, "chair")
    assert [(one["what"], one["quantity"], one["taken_back"]) for one in found] == [
        ("RPR", "3", False), ("PAK", "1", True), ("GLUE", "2", False), ("RPR", "0.5", False),
        ("caning", None, False),
    ]  # fmt: skip
    assert (found[4]["amount"], found[4]["lead_days"], found[4]["quoted"]) == ("120.00", 14, False)


def test_material_from_packs_is_typed_by_the_piece_or_by_the_pack(repairs, tmp_path):
    """10 + 2 × 50 discs at 0.45 are 49.50; 3 packs are bought for them."""
    (tmp_path / "discs.csv").write_text(
        "code,name,kind,unit,pack,price\nDISC,Sanding disc,abrasive,each,50,0.45\n"
    )
    repairs("material", "load", "discs.csv")
    said = repairs("job", "new", "Chair", "--work", "repair 3h", "--use", "DISC 10")
    assert said.code == 0, said.err
    said = repairs("job", "line", "chair", "use", "DISC", "2", "packs", "for the seats")
    assert said.out == "J-2501: DISC, 100 from packs of 50; its note: for the seats.\n"
    assert "DISC, 10 from packs of 50" in repairs("job", "lines", "chair").out

    lines = json.loads(repairs("price", "chair", "--json").out)["lines"]
    assert [(one["quantity"], one["full"]) for one in lines] == [("10", "4.50"), ("100", "45.00")]
    (bought,) = json.loads(repairs("job", "buying-list", "chair", "--json").out)["lines"]
    assert (bought["need"], bought["packs"], bought["amount"]) == ("110", 3, "67.50")

    refused = repairs("job", "line", "chair", "use", "GLUE", "2", "packs")
    assert (refused.code, "has no pack size" in refused.err) == (1, True)


def test_a_kind_is_typed_as_the_list_of_lines_shows_it(repairs):
    assert repairs("job", "new", "Chair", "--work", "repair 3h").code == 0
    assert repairs("job", "line", "chair", "material", "GLUE", "2").code == 0
    assert repairs("job", "line", "chair", "others", "120", "caning", "--lead", "14").code == 0
    assert repairs("job", "line", "chair", "material pick-up", "1").code == 0
    shown = [(one["kind"], one["what"]) for one in lines_of(repairs, "chair")]
    assert shown == [("work", "RPR"), ("use", "GLUE"), ("outside", "caning"), ("work", "PUP")]


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["repair"], "says no amount"),
        (["repair", "0"], "Say how much of RPR"),
        (["use", "GLUE", "2", "gal"], "gal"),
        (["material", "14.50", "cane webbing"], "“14.50 cane webbing” says no name"),
        (["outside", "0", "caning"], "has a price and a name"),
        (["gild", "3"], "gild"),
    ],
)
def test_a_line_that_makes_no_sense_is_refused(repairs, words, sentence):
    assert repairs("job", "new", "Chair", "--work", "protect 1").code == 0
    said = repairs("job", "line", "chair", *words)
    assert said.code == 1
    assert sentence in said.err
    assert len(lines_of(repairs, "chair")) == 1


def test_a_wrong_line_opens_no_job(repairs):
    assert repairs("job", "new", "Chair", "--work", "repair 3h, gild 2").code == 1
    assert "Chair" not in repairs("job", "list").out


def test_several_answers_and_counts_are_one_entry(repairs):
    assert repairs("job", "new", "Chair", "--work", "repair 3h").code == 0
    said = repairs("job", "answer", "chair", "samples=0", "parking=12", "card fee=0")
    assert said.out == "J-2501: samples 0.00, parking 12.00, card fee 0.00.\n"
    said = repairs("job", "count", "chair", "band=30", "RIP=4")
    assert "EBA Edge band, apply, counted by the ft: 30" in said.out
    assert "counted by the strip: 4" in said.out
    assert repairs("undo").code == 0
    assert repairs("undo").code == 0
    answered = json.loads(repairs("job", "show", "chair", "--json").out)["answers"]
    assert answered == []


def test_one_wrong_answer_posts_none(repairs):
    assert repairs("job", "new", "Chair", "--work", "repair 3h").code == 0
    assert repairs("job", "answer", "chair", "samples=0", "gadgets=12").code == 1
    assert json.loads(repairs("job", "show", "chair", "--json").out)["answers"] == []


def test_a_job_by_total_goes_to_a_paid_invoice_without_a_quote(repairs):
    assert repairs("job", "new", "Gate", "--price", "850", "--hours", "9").code == 0
    sheet = json.loads(repairs("price", "gate", "--json").out)
    assert (sheet["totals"]["price"], sheet["hours"]["estimate"]) == ("850.00", "9.00")
    assert repairs("job", "pay", "gate", "850").code == 0  # before the invoice
    said = repairs("quote", "invoice", "gate")
    assert said.code == 0, said.err
    assert "agreed  " in said.out
    assert "to pay now (paid in full)" in said.out
    assert repairs("hours", "add", "gate", "assemble", "8h").code == 0
    account = json.loads(repairs("job", "close", "gate", "--json").out)
    assert (account["price"], account["unpaid"]) == ("850.00", "0.00")


def test_a_freight_answer_of_nothing_takes_the_shops_share_off(repairs):
    assert repairs("shop", "set", "freight=10 %").code == 0
    assert repairs("job", "new", "Chair", "--work", "repair 3h", "--use", "GLUE 10").code == 0
    names = lambda: [one["name"] for one in json.loads(  # noqa: E731
        repairs("price", "chair", "--json").out)["build_up"]]  # fmt: skip
    assert "freight" in names()
    assert repairs("job", "answer", "chair", "freight", "0").code == 0
    assert "freight" not in names()


def test_today_names_work_of_others_until_it_is_priced_and_as_long_as_it_takes_days(repairs):
    def others():
        return json.loads(repairs("today", "--json").out)["others"]

    assert repairs("job", "new", "Chair", "--work", "repair 3h").code == 0
    repairs("job", "line", "chair", "outside", "120", "caning", "--lead", "14")
    said = repairs("today").out
    assert "J-2501: caning takes 14 days" in said
    repairs("job", "line", "chair", "outside", "130", "caning", "--quoted")
    assert others() == [
        {"job": "J-2501", "what": "caning", "amount": "130.00", "lead_days": 14, "quoted": True}
    ]
    repairs("job", "add-cost", "chair", "outside", "1", "130", "--actual")
    assert others() == []
    repairs("undo")
    assert repairs("job", "state", "chair", "ready").code == 0
    assert others() == []


def test_a_foretold_day_says_that_the_days_of_others_are_not_in_it(repairs):
    repairs("job", "new", "Gate", "--price", "850", "--hours", "9")
    repairs("job", "line", "gate", "outside", "120", "galvanizing", "--lead", "14")
    repairs("job", "pay", "gate", "100")
    assert "14 days that others need" in " ".join(repairs("job", "show", "gate").out.split())
    repairs("job", "add-cost", "gate", "outside", "1", "120", "--actual")
    assert "others need" not in repairs("job", "show", "gate").out


def test_a_job_by_total_is_held_against_the_hours_that_were_guessed(repairs):
    repairs("job", "new", "Other", "--work", "repair 3h")
    assert repairs("job", "close", "other", "--price", "200").code == 0  # its lines have no hours
    repairs("job", "new", "Drawer", "--price", "285", "--hours", "3")

    paid = repairs("job", "pay", "drawer", "285", "--by", "check")
    added = repairs("hours", "add", "drawer", "repair", "3h", "--on", "today")
    closed = repairs("job", "close", "drawer")

    assert "agreed price  285.00        0.00" in paid.out
    assert "Nothing is agreed" not in paid.err
    assert "job 3h of 3h guessed" in added.out
    assert "3.00 worked, 3.00 guessed (× 1.00)" in closed.out
    assert "Longest over" not in closed.out
    assert "J-2501" not in closed.out


def test_a_payment_before_a_quote_is_accepted_agrees_on_no_total(repairs):
    repairs("job", "new", "Drawer", "--work", "repair 3h", "--price", "285")
    assert repairs("quote", "draft", "drawer").code == 0

    assert "agreed for J-2501 yet" in repairs("job", "pay", "drawer", "100").err


def test_a_word_that_fits_several_operations_is_the_estimated_one_of_the_job(repairs):
    repairs("job", "new", "Drawer", "--work", "repair 3h, sand solid 2h")
    repairs("job", "new", "Panel", "--work", "sand 2h, sand solid 2h")

    assert "J-2501 Admin of a repair" in repairs("hours", "add", "drawer", "admin", "20m").out
    assert "J-2501 Sand or scrape solid" in repairs("hours", "add", "drawer", "sand", "20m").out
    assert "J-2501 Repair: 3h" in repairs("hours", "add", "drawer", "repair", "3h").out
    assert "J-2502 Sand raw" in repairs("hours", "add", "panel", "sand", "20m").out


def test_a_close_out_says_what_was_run_at_and_what_that_counts_as(repairs):
    repairs("job", "new", "Drawer", "--work", "repair 3h")
    repairs("hours", "add", "drawer", "repair", "3h10")
    repairs("hours", "add", "drawer", "admin", "30m")

    closed = " ".join(repairs("job", "close", "drawer", "--price", "282").out.split())
    shown = " ".join(repairs("standards", "show", "repair").out.split())

    assert "Repair 3.49 h instead of 3.00 h" in closed
    assert "ran × 1.06 over 1 job" in closed
    assert "now on as × 1.16" in closed
    assert re.search(r"ran 1\.06 × .*1 job; counted as 1\.162: 3\.00 h", shown)


@pytest.mark.parametrize("new", [(), ("--currency", "EUR", "--units", "mm")])
def test_a_line_is_taken_by_the_word_of_its_list_or_refused_with_one_of_its_kind(begun, new):
    shop = begun(
        ["new", "--shop", "Workshop", "--overhead", "20000", "--pay", "48000", *new],
        ["material", "load", "--starting"],
        ["job", "new", "Chair", "--work", "repair 3h"],
    )
    before = shop("price", "chair", "--json").facts()["hours"]["estimate"]
    assert "RPR Repair, 1 hour" in shop("job", "line", "chair", "work", "repair", "1h").done().out
    after = shop("price", "chair", "--json").facts()["hours"]["estimate"]
    assert Decimal(after) - Decimal(before) == 1
    refused = shop("job", "line", "chair", "material", "14.50", "cane")
    assert refused.code == 1
    assert "repair" not in refused.err and "job add-cost J-2501 other 1 14.50" in refused.err
    assert "no name" in refused.err and "no amount" in shop("job", "line", "chair", "use", "x").err
    assert "repair 3h" in shop("job", "line", "chair", "work").err


@pytest.mark.parametrize(("new", "unit"), [
    ([], "bd ft"), (["--currency", "EUR", "--units", "mm"], "m³"),
])  # fmt: skip
def test_a_small_count_is_shown_with_the_places_that_it_has(begun, new, unit):
    """So much wood is milled in minutes, but its set-up is not nothing: the count isn't either."""
    shop = begun(
        ["new", "--shop", "Quillhaven Workshop", *new],
        ["shop", "set", "overhead_year=22000", "pay_year=56000"],
        ["job", "new", "Mill a strip", "--work", "MIL 0.0027"],
    )
    said = shop("price", "mill", "--all").out
    assert re.search(rf"MIL +Mill solid stock +0\.0027 +{unit} ", said)


@pytest.mark.parametrize("new", [[], ["--currency", "EUR", "--units", "mm", "--tax", "vat"]])
def test_a_visit_of_a_repair_is_a_service_call_and_else_is_asked(begun, new):
    """A service is counted in visits; the word is also that of a meeting, of 75 minutes."""
    shop = begun(["new", "--shop", "Larkhollow Joinery", *new])

    assert shop("job", "new", "Chair", "--work", "visit 2, repair 3h").code == 0
    lines = shop("job", "lines", "chair", "--json").facts()["lines"]
    assert [(row["what"], row["quantity"]) for row in lines] == [("SVC", "2"), ("RPR", "3")]
    assert "SVC Service call: there, look, back, 1 visit" in shop("job", "line", "chair", "visit",
                                                                  "1").out  # fmt: skip
    assert "nothing is packed, fetched or visited" not in shop("price", "chair").out
    assert "Service call" in shop("hours", "add", "chair", "visit", "1h").out

    asked = shop("job", "new", "Desk", "--work", "visit 1, sand 3")
    assert (asked.code, "MTG (" in asked.err, "SVC (" in asked.err) == (1, True, True)
    assert shop("job", "new", "Bench", "--work", "measure 1, sand 3").code == 0
    assert "Client meeting" in shop("hours", "add", "bench", "visit", "1h").out
    assert shop("job", "line", "bench", "visit", "1").code == 1


def test_what_has_an_amount_behind_a_line_is_no_note_without_a_word(begun):
    """4 h of sanding, or of a slip, would be in no price."""
    shop = begun(["new", "--shop", "Larkhollow Joinery"], ["job", "new", "Chairs"])

    for typed in (["repair", "2h", "nosuch", "3"], ["repair", "2h,", "nosuch", "3h,", "sand", "4"]):
        asked = shop("job", "line", "chairs", *typed)
        assert (asked.code, "No operation is called “nosuch”" in asked.err) == (1, True)
    for typed in ("repair 2h sand 4", "repair 2h nosuch 4h, protect 1"):
        asked = shop("job", "new", "Desk", "--work", typed)
        assert (asked.code, "part them by a comma: “repair 2h, " in asked.err) == (1, True)
    asked = shop("job", "new", "Desk", "--work", "repair 2h", "--use", "GLUE 2 DISC5 10")
    assert (asked.code, "part them by a comma: “GLUE 2, DISC5 10”" in asked.err) == (1, True)
    assert lines_of(shop, "chairs") == []

    note = ["rails", "of", "6", "chairs"]
    assert shop("job", "line", "chairs", "repair", "2h", *note).code == 0
    assert lines_of(shop, "chairs")[0]["note"] == "rails of 6 chairs"
