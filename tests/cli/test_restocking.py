"""Goods that wait for their credit note, what a supplier kept, and VAT without an invoice."""

import json

import pytest

DAY = "2025-05-06"
PLY = "code,name,kind,unit,length,width,price\nPLY,Plywood,sheet,sheet,{size},70\n"
YEAR = ["shop", "set", "overhead_year=14400", "pay_year=45000"]
INCH = (
    ["new", "--shop", "Quillhaven"],
    YEAR,
    ["shop", "set", "tax_standing=sales_tax", "tax_rate=6 %"],
)
METRIC = (["new", "--shop", "Lindhof", "--currency", "EUR", "--units", "mm"], YEAR,
          ["shop", "set", "tax_standing=vat", "tax_rate=21 %"])  # fmt: skip
BOOKS = [(INCH, "96,48", "15.00", "3.06"), (METRIC, "2440,1220", "52.50", "10.71")]


@pytest.fixture(params=BOOKS, ids=["inch", "metric"])
def box(request, begun, tmp_path):
    """Four sheets at 62.50 bought for a box, freight 10, and the tax that a credit gives back."""
    typed, size, tax, back = request.param
    (tmp_path / "ply.csv").write_text(PLY.format(size=size))
    (tmp_path / "p.csv").write_text("id,qty,length,width,grain,material\nA1,2,40,16,length,PLY\n")
    shop = begun(
        *typed, ["material", "load", "ply.csv"],
        ["job", "new", "Box", "--parts", "p.csv", "--price", "640", "--hours", "12"],
        ["receipt", "add", "PLY", "4", "62.50", "--to", "box", "--freight", "10", "--from", "Yard",
         "--document", "D1", "--tax", tax],
        on=DAY,
    )  # fmt: skip
    return shop, back


def done(shop, *words):
    said = shop(*words, on=DAY)
    assert said.code == 0, said.err
    return " ".join(said.out.split())


def send(shop):
    done(shop, "stock", "send-back", "PLY", "1", "--job", "box")


def credit(shop, back):
    done(shop, "receipt", "add", "PLY", "1", "60", "--discount", "15 %", "--credit-of", "D1",
         "--from", "Yard", "--tax", back)  # fmt: skip


def test_what_was_paid_is_said_with_its_tax_and_without_freight(box):
    shop, back = box
    send(shop)
    # a sheet was 62.50 and a fourth of the tax: 3.75, or 13.125
    paid = {"3.06": "66.25", "10.71": "75.63"}[back]
    assert f"paid for the goods: {paid} with tax" in done(shop, "stock", "list")
    assert f"paid for the goods: {paid} with tax" in done(shop, "today")
    (waits,) = json.loads(done(shop, "today", "--json"))["awaited_credits"]
    assert waits["paid"] == paid


@pytest.mark.parametrize("is_sent_first", [True, False])
def test_a_restocking_fee_is_no_price_at_the_close_out(box, is_sent_first):
    shop, back = box
    steps = [lambda: send(shop), lambda: credit(shop, back)]
    for step in steps if is_sent_first else reversed(steps):
        step()
    said = done(shop, "job", "close", "box")
    # 51.00 of 62.50 came back: 11.50 kept, with the tax that stays a cost 12.19 (66.25 − 54.06);
    # one sheet is planned at 70.00 with its tax, or without where it comes back
    fee = {"3.06": "12.19", "10.71": "11.50"}[back]
    assert f"{fee} kept by suppliers of goods sent back" in said
    price = {"3.06": "prices 11.25 higher", "10.71": "prices as planned"}[back]
    assert price in said
    lines = json.loads(done(shop, "job", "close", "box", "--json"))
    assert lines["freight_lost"] == "2.50"


@pytest.mark.parametrize("option", ["--freight", "--tax"])
def test_a_refused_amount_of_a_credit_note_says_how_a_fee_is_entered(box, option):
    shop, _ = box
    fault = shop("receipt", "add", "PLY", "1", "60", option, "-18.68", "--credit-of", "D1",
                 "--from", "Yard", on=DAY)  # fmt: skip
    assert fault.code == 1
    assert "--discount 18.68" in fault.err
    assert "as a credit note" not in fault.err


def test_a_payment_under_vat_without_an_invoice_is_said_until_it_has_one(box):
    shop, back = box
    done(shop, "job", "pay", "box", "300")
    words = "300.00 came for J-2501 and stands in no invoice"
    is_vat = back == "10.71"
    assert (words in done(shop, "today")) is is_vat
    assert (words in done(shop, "month", "2025-05")) is is_vat
    assert (words in done(shop, "job", "show", "box")) is is_vat
    closing = shop("job", "close", "box", on=DAY)
    assert (words in " ".join(closing.err.split())) is is_vat
    assert (words in done(shop, "today")) is is_vat
    assert words not in done(shop, "month", "2025-04")
    done(shop, "shop", "set", "address=Lind 1", "tax_number=NL1")
    done(shop, "job", "client", "box", "--name", "S. Ames", "--address", "Elm 2")
    written = shop("quote", "invoice", "box", "--supplied", DAY, on=DAY)
    assert written.code == 0, written.err
    assert "stands in no invoice" not in done(shop, "today")
    assert "stands in no invoice" not in done(shop, "month", "2025-05")
    assert "stands in no invoice" not in done(shop, "job", "show", "box")
