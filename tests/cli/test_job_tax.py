"""A painted built-in as an improvement of real property: untaxed, with use tax on its material."""

import json
from decimal import Decimal

import pytest
from openpyxl import load_workbook

PARTS = "id,qty,length,width,grain,material\nA1,4,80,15,any,MDF\nA2,6,30,14,any,MDF\n"
PRICES = (
    "code,name,kind,unit,length,width,price\nMDF,MDF 3/4,sheet,sheet,97,49,46.35\n"
    "HINGE,Hinge,hardware,each,,,4.15\n"
)
MAY, END = "2025-05-05", "2025-05-31"


@pytest.fixture
def alcove(begun, tmp_path):
    """A shop that charges 6 % sales tax, and a built-in of two sheets that is not answered."""
    (tmp_path / "parts.csv").write_text(PARTS)
    (tmp_path / "prices.csv").write_text(PRICES)
    return begun(
        ["new", "--shop", "Quillhaven Workshop"],
        ["shop", "set", "overhead_year=22000", "pay_year=56000", "tax_rate=6 %"],
        ["material", "load", "prices.csv"],
        ["job", "new", "Alcove built-in", "--parts", "parts.csv"],
        on=MAY,
    )


def facts(shop, *words, on=MAY):
    said = shop(*words, "--json", on=on)
    assert said.code == 0, said.err
    return json.loads(said.out)


def done(shop, *words, on=MAY):
    said = shop(*words, on=on)
    assert said.code == 0, said.err
    return said


def improve(shop):
    return done(shop, "job", "tax", "alcove", "improvement", "--note", "letter of May 2")


def buy(shop, sheets="2", kind="resale", to="alcove"):
    return done(shop, "receipt", "add", "MDF", sheets, "46.35", "--from", "Copper Vale",
                "--to", to, "--tax-kind", kind)  # fmt: skip


def owed(shop, on=END):
    """The use tax owed on the job, the same in the job, the month and the close-out."""
    tax = facts(shop, "job", "tax", "alcove", on=on)["use_tax"]
    month = facts(shop, "month", "2025-05", on=on)
    account = facts(shop, "job", "close", "alcove", "--price", "900", "--preview", on=on)
    assert (month["use_tax_due"], account["use_tax"]) == (tax, tax)
    spend = month["spend"]
    for parts in ("by_supplier", "by_category", "by_job"):
        assert sum(Decimal(part["landed"]) for part in spend[parts]) == Decimal(spend["landed"])
    return tax


def test_price_quote_use_tax_and_close_out_of_an_improvement_agree(alcove):
    improve(alcove)
    price = facts(alcove, "price", "alcove")
    line = next(row for row in price["build_up"] if row["name"].startswith("tax on"))
    quote = facts(alcove, "quote", "draft", "alcove")
    before = Decimal(facts(alcove, "job", "close", "alcove", "--price", "900")["earned"])
    alcove("job", "reopen", "alcove", "--why", "to go on")
    buy(alcove)

    assert line["amount"] == owed(alcove) == "5.56"  # 6 % of 92.70
    assert (quote["tax"], quote["to_pay"], quote["price"]) == ("0.00", "411.00", "411.00")
    account = facts(alcove, "job", "close", "alcove", "--price", "900", on=END)
    assert Decimal(account["earned"]) == before - Decimal("92.70") - Decimal("5.56")
    (row,) = facts(alcove, "month", "2025-05", on=END)["spend"]["by_job"]
    assert row == {"name": "J-2501", "landed": "98.26"}
    assert "No sales tax is added" in alcove("quote", "text", "alcove", on=MAY).out


def test_a_job_that_nobody_answered_stands_as_the_shop_and_is_asked_about(alcove):
    fixed = ["quote", "draft", "alcove", "--deliverable", "Delivery and installation=100"]
    quote = facts(alcove, *fixed)
    buy(alcove)

    assert Decimal(quote["tax"]) > 0
    assert any("job tax J-2501" in warning for warning in quote["warnings"])
    assert facts(alcove, "job", "tax", "alcove")["answered"] is False
    assert owed(alcove) == "0.00"
    done(alcove, "job", "tax", "alcove", "taxable")
    assert not any("job tax" in warning for warning in facts(alcove, *fixed)["warnings"])


def test_a_piece_that_stands_free_is_not_asked_about(alcove):
    warnings = facts(alcove, "quote", "draft", "alcove")["warnings"]
    assert not any("job tax" in warning for warning in warnings)


def test_what_was_issued_before_the_answer_is_caught_up_with(alcove):
    buy(alcove, "4")
    done(alcove, "stock", "return", "alcove", "MDF", "1")
    assert owed(alcove) == "0.00"
    improve(alcove)

    assert owed(alcove) == "8.34"  # 6 % of three sheets
    done(alcove, "job", "tax", "alcove", "taxable")
    assert owed(alcove) == "0.00"
    improve(alcove)
    assert owed(alcove) == "8.34"


def test_goods_that_come_back_take_their_tax_back_to_the_cent(alcove):
    improve(alcove)
    buy(alcove, "4")
    taxes = [owed(alcove)]
    for sheets in ("1", "2", "1"):
        done(alcove, "stock", "return", "alcove", "MDF", sheets)
        taxes.append(owed(alcove))

    assert taxes == ["11.12", "8.34", "2.78", "0.00"]


def test_goods_sent_back_and_credited_owe_nothing(alcove):
    improve(alcove)
    buy(alcove, "2")
    done(alcove, "receipt", "add", "MDF", "1", "46.35", "--from", "Copper Vale", "--credit-of",
         "1", "--to", "alcove")  # fmt: skip

    assert owed(alcove) == "2.78"
    assert alcove("receipt", "reverse", "R-101", "--why", "wrong", on=MAY).code == 1


def test_a_receipt_that_is_reversed_takes_its_tax_along(alcove):
    improve(alcove)
    buy(alcove, "2")
    done(alcove, "receipt", "reverse", "R-101", "--why", "typed twice")

    assert owed(alcove) == "0.00"


def test_an_offcut_on_the_rack_owes_its_tax_with_who_takes_it(alcove):
    improve(alcove)
    buy(alcove, "2")
    done(alcove, "stock", "keep", "alcove", "MDF", "49x48.5")
    # a quarter of the area of two sheets, at half its value: 11.59 of 92.70
    assert owed(alcove) == "4.86"  # 5.56 − 6 % of 11.59, rounded to 0.70

    done(alcove, "job", "new", "Window seat", "--parts", "parts.csv")
    done(alcove, "job", "tax", "window", "improvement")
    done(alcove, "stock", "issue", "window", "1", "--lot", "2")
    assert facts(alcove, "job", "tax", "window")["use_tax"] == "0.70"


@pytest.mark.parametrize(("kind", "tax"), [("resale", "5.56"), ("none", "0.00"), ("use", "0.00")])
def test_only_goods_bought_for_resale_owe_it_once_issued(alcove, kind, tax):
    improve(alcove)
    buy(alcove, "2", kind)

    assert facts(alcove, "job", "tax", "alcove")["use_tax"] == tax


def test_from_stock_as_from_a_receipt(alcove):
    improve(alcove)
    buy(alcove, "5", to="stock")
    assert owed(alcove) == "0.00"
    done(alcove, "stock", "issue", "alcove", "MDF", "2")

    assert owed(alcove) == "5.56"
    (row,) = facts(alcove, "month", "2025-05", on=END)["work_in_progress"]
    assert row["material"] == "98.26"


def test_the_accountants_movements_add_up_to_the_use_tax(alcove, tmp_path):
    improve(alcove)
    buy(alcove, "4")
    done(alcove, "stock", "return", "alcove", "MDF", "1")
    done(alcove, "month", "2025-05", "--xlsx", "may", on=END)

    sheet = load_workbook(tmp_path / "may" / "2025-05-accountant.xlsx")["Movements"]
    table = [list(row) for row in sheet.iter_rows(values_only=True)]
    head = next(at for at, row in enumerate(table) if "use tax" in row)
    column = table[head].index("use tax")
    rows = [row for row in table[head + 1 :] if row[1] == "use tax"]
    assert [round(Decimal(str(row[column])), 2) for row in rows] == [
        Decimal("11.12"), Decimal("-2.78"),
    ]  # fmt: skip


def test_the_buying_list_says_to_pay_tax(alcove):
    improve(alcove)
    found = facts(alcove, "job", "buying-list", "alcove")

    assert (found["jobs"][0]["improvement"], found["tax"], found["total"]) == (
        True, "5.56", "92.70",
    )  # fmt: skip
    assert "resale certificate" in alcove("job", "buying-list", "alcove", on=MAY).err


def test_a_quote_that_was_accepted_keeps_its_tax(alcove):
    done(alcove, "quote", "draft", "alcove", "--price", "1000")
    done(alcove, "quote", "send", "alcove")
    done(alcove, "quote", "accept", "alcove")
    said = improve(alcove)

    assert "60.00 of tax" in said.err
    assert facts(alcove, "job", "pay", "alcove")["asked"] == "1060.00"
    done(alcove, "job", "change", "alcove", "one more shelf", "--price", "100")
    done(alcove, "job", "change", "alcove", "--approved", "CO-1")
    assert facts(alcove, "job", "pay", "alcove")["asked"] == "1166.00"


def test_change_orders_of_an_improvement_ask_for_no_tax(alcove):
    improve(alcove)
    done(alcove, "quote", "draft", "alcove", "--price", "1000", "--option", "Lamp=50")
    done(alcove, "quote", "send", "alcove")
    done(alcove, "quote", "accept", "alcove")
    done(alcove, "job", "change", "alcove", "one more shelf", "--price", "100")
    done(alcove, "job", "change", "alcove", "--approved", "CO-1")

    assert facts(alcove, "job", "pay", "alcove")["asked"] == "1100.00"


def test_an_answer_is_taken_back_only_while_nothing_rests_on_it(alcove):
    improve(alcove)
    assert alcove("undo", on=MAY).code == 0
    assert facts(alcove, "job", "tax", "alcove")["answered"] is False
    buy(alcove)
    improve(alcove)
    entry = str(facts(alcove, "undo", "--list")[0]["entry"])
    done(alcove, "stock", "return", "alcove", "MDF", "1")

    assert alcove("undo", entry, on=MAY).code == 1
    assert alcove("undo", on=MAY).code == 0  # the return
    assert alcove("undo", entry, on=MAY).code == 0
    assert owed(alcove) == "0.00"


def test_an_issue_is_not_taken_back_under_its_use_tax(alcove):
    buy(alcove, "3", to="stock")
    done(alcove, "stock", "issue", "alcove", "MDF", "2")
    entry = str(facts(alcove, "undo", "--list")[0]["entry"])
    improve(alcove)

    assert alcove("undo", entry, on=MAY).code == 1
    assert owed(alcove) == "5.56"


@pytest.mark.parametrize("standing", ["vat", "exempt"])
def test_only_a_shop_that_charges_sales_tax_is_asked(alcove, standing):
    done(alcove, "shop", "set", f"tax_standing={standing}")

    refused = alcove("job", "tax", "alcove", "improvement", on=MAY)
    assert (refused.code, "sales tax" in refused.err) == (1, True)
    assert facts(alcove, "job", "tax", "alcove") == {
        "job": "J-2501", "standing": standing, "answered": True, "use_tax": "0.00", "answers": [],
    }  # fmt: skip


def test_a_closed_job_is_answered_with_the_word_and_its_tax_is_late(alcove):
    buy(alcove)
    done(alcove, "job", "close", "alcove", "--price", "900")
    assert alcove("job", "tax", "alcove", "improvement", on=END).code == 1
    done(alcove, "job", "tax", "alcove", "improvement", "--after-close", on=END)

    (late,) = facts(alcove, "month", "2025-05", on=END)["late_cost"]
    assert (late["use_tax"], late["cost"], late["material"]) == ("5.56", "5.56", "0.00")


def test_what_is_kept_of_a_canceled_improvement_has_its_use_tax(alcove):
    improve(alcove)
    done(alcove, "quote", "draft", "alcove", "--price", "1000")
    done(alcove, "quote", "send", "alcove")
    done(alcove, "quote", "accept", "alcove")
    buy(alcove)

    words = ["job", "cancel", "alcove", "--stage", "after cutting", "--why", "sold"]
    assert facts(alcove, *words)["kept"] == "98.26"
    (row,) = facts(alcove, "month", "2025-05", on=END)["canceled"]
    assert row["cost"] == "98.26"


def test_an_answer_of_taxable_is_not_taken_back_under_goods_issued_since(alcove):
    improve(alcove)
    done(alcove, "job", "tax", "alcove", "taxable")
    entry = str(facts(alcove, "undo", "--list")[0]["entry"])
    buy(alcove)

    assert alcove("undo", entry, on=MAY).code == 1
    assert owed(alcove) == "0.00"


def test_lists_mark_prices_that_have_tax_in_them(alcove):
    """Two sheets at 46.35 with 6 % on each, 49.131: 98.26, of which 5.56 are tax."""
    assert "tax in it" not in done(alcove, "material", "list").out
    assert "before freight and tax" in done(alcove, "job", "buying-list", "alcove").out
    done(alcove, "shop", "set", "material_tax=6 %")
    assert "6 % on 46.35" in done(alcove, "material", "list").out
    told = facts(alcove, "job", "buying-list", "alcove")
    improve(alcove)
    built_in = facts(alcove, "job", "buying-list", "alcove")
    for one in (told, built_in):
        assert (one["total"], one["tax_inside"], one["tax"]) == ("98.26", "5.56", "0.00")
    said = done(alcove, "job", "buying-list", "alcove").out
    assert "5.56 of it is tax" in said
    assert "and tax" not in said


def test_the_tax_on_a_buying_list_is_on_whole_packs(alcove, tmp_path):
    (tmp_path / "screws.csv").write_text(
        "code,name,kind,unit,pack,price\nSCREW,Screw,fastener,each,100,0.05\n"
    )
    done(alcove, "material", "load", "screws.csv")
    done(alcove, "job", "new", "Hang a rail", "--work", "repair 1h", "--use", "SCREW 10")
    done(alcove, "job", "tax", "rail", "improvement")
    found = facts(alcove, "job", "buying-list", "rail")

    assert (found["total"], found["tax"]) == ("5.00", "0.30")


def test_tax_paid_with_the_goods_is_held_against_the_planned_tax_and_no_price(alcove):
    improve(alcove)
    buy(alcove, "1")
    done(alcove, "receipt", "add", "MDF", "1", "46.35", "--from", "Dunmere Sheets",
         "--to", "alcove", "--tax", "2.78")  # fmt: skip
    preview = ("job", "close", "alcove", "--price", "900", "--preview")
    account = facts(alcove, *preview)

    assert (account["material_tax_planned"], account["material_tax"]) == ("5.56", "5.56")
    assert (account["use_tax"], account["variances"]["material_price"]) == ("2.78", "0.00")
    said = done(alcove, *preview).out
    assert "Material: prices as planned; as much used." in said
    assert "Tax on material: 5.56 paid or owed as use tax, 5.56 planned." in said


@pytest.mark.parametrize("standing", ["taxable", "improvement"])
def test_a_job_whose_tax_was_said_is_not_asked_for_it_again(alcove, standing):
    """The tax of its material follows from how the job stands: none, or 6 % as a cost."""
    asked = facts(alcove, "price", "alcove")["forgotten_open"]
    assert "sales tax" in asked

    done(alcove, "job", "tax", "alcove", standing)

    left = facts(alcove, "price", "alcove")["forgotten_open"]
    assert left == [item for item in asked if item != "sales tax"]
    # at no rate the answer has no figure behind it, so it is asked for as before
    done(alcove, "shop", "set", "tax_rate=0 %")
    asked = facts(alcove, "price", "alcove")["forgotten_open"]
    assert "sales tax" in asked
