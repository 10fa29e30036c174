"""A receipt typed on the phone: its lines, its photo and its total, and who may type one."""

import pytest
from playwright.sync_api import expect

from ledger.book.tables.page import Photo, ReceiptPhoto
from ledger.book.tables.receipts import Receipt, ReceiptLine
from ledger.measures.money import Money

BOUGHT = {
    "supplier": "Copper Vale Lumber", "document": "A-77", "total": "111.50",
    "item1": "PLY34", "quantity1": "1", "price1": "96.00",
    "item2": "shop rags", "quantity2": "1 pack", "price2": "4.00", "kind2": "supply",
    "item3": "GLUE", "quantity3": "1", "price3": "11.50",
}  # fmt: skip


def posted(page):
    with page.read() as book:
        return [
            (row.number, str(row.day), row.document, row.total)
            for row in book.rows(Receipt)
            if row.document == "A-77"
        ]


def test_lines_that_meet_the_total_are_posted_and_no_amount_is_said(page):
    answer = page.post("receipt", **BOUGHT)

    assert answer.status == 200, answer.text
    assert "of Copper Vale Lumber: 3 lines entered." in answer.text
    assert not any(amount in answer.text for amount in ("96", "111", "4.00"))
    ((number, day, _, paid),) = posted(page)
    assert (day, paid) == ("2025-04-25", Money(11150))
    with page.read() as book:
        lines = book.rows(ReceiptLine)[-3:]
        assert [(row.material, row.words, row.category) for row in lines] == [
            ("PLY34", "Birch ply 3/4 (18 mm) 4x8, A face", "sheet"),
            (None, "shop rags", "supply"),
            ("GLUE", "PVA glue 16 oz", "adhesive"),
        ]
    assert page.post("receipt", **BOUGHT).status == 422  # that document is in the book
    assert number


def test_lines_that_miss_the_total_are_asked_about_and_posted_at_their_sum_if_sure(page):
    wrong = {**BOUGHT, "total": "117.00", "key": "receipt-with-wrong-total"}
    asked = page.post("receipt", **wrong)

    assert asked.status == 409
    assert "111.50" in asked.text
    assert "5.50" in asked.text
    assert posted(page) == []
    assert page.post("receipt", **wrong, sure="1").status == 200
    assert [paid for *_, paid in posted(page)] == [Money(11150)]


@pytest.mark.parametrize(
    ("field", "value", "sentence"),
    [
        ("price2", "", "Say the price of one on line 2."),
        ("item1", "no such board", "no such board"),
        ("quantity3", "a few", "a few"),
        ("total", "", "Say what the document comes to."),
        ("supplier", " ", "Say whom it is from."),
    ],
)
def test_a_field_that_is_wrong_is_named(page, field, value, sentence):
    answer = page.post("receipt", **{**BOUGHT, field: value})

    assert answer.status == 422
    assert sentence in answer.text
    assert posted(page) == []


def test_a_helper_neither_sees_the_form_nor_posts(page):
    ann = {"device": "Ann's phone", "person": "Ann"}

    assert "<form" not in page.facts("receipt", **ann).text
    refused = page.post("receipt", **BOUGHT, **ann)
    assert (refused.status, posted(page)) == (422, [])
    assert "photo" in refused.text


def test_three_lines_and_a_photo_are_typed_on_the_phone_and_put_right(phone, page, tmp_path):
    from PIL import Image

    Image.new("RGB", (800, 600), "white").save(tmp_path / "taken.jpg")
    tab = phone()
    tab.goto(f"http://{page.host}/receipt")
    expect(tab.locator("main")).to_have_attribute("data-shown", "1")
    for number in (1, 2, 3):
        if number > 1:
            tab.get_by_role("button", name="One line more").click()
        for name in ("item", "quantity", "price"):
            tab.locator(f"#{name}{number}").fill(BOUGHT[f"{name}{number}"])
    tab.locator("#kind2").select_option("supply")
    tab.get_by_label("Supplier").fill("Copper Vale Lumber")
    tab.get_by_label("Number of the document").fill("A-77")
    tab.get_by_label("Total").fill("117")
    tab.get_by_role("button", name="Enter the receipt").click()
    expect(tab.locator("#waiting")).to_contain_text("5.50 apart")
    tab.get_by_role("button", name="Change it").click()
    expect(tab.locator("#item3")).to_have_value("GLUE")
    expect(tab.locator("#item4")).to_be_hidden()
    tab.get_by_label("Total").fill("111.50")
    tab.get_by_label("Take a photo").set_input_files(tmp_path / "taken.jpg")
    tab.get_by_role("button", name="Enter the receipt").click()
    expect(tab.locator("#said")).to_contain_text("3 lines and its photo entered", timeout=15_000)

    assert [paid for *_, paid in posted(page)] == [Money(11150)]
    with page.read() as book:
        (photo,), (tie,) = book.rows(Photo), book.rows(ReceiptPhoto)
        assert photo.entry == tie.entry == book.last(Receipt).entry
