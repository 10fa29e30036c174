"""What a month and a year say beside material bought: costs without a receipt, what was kept."""

import json

import pytest
from openpyxl import load_workbook

INCH = (
    ["new", "--shop", "Quillhaven"],
    ["shop", "set", "tax_standing=sales_tax", "tax_rate=8.25 %", "mile_rate=0.70"],
)
METRIC = (
    ["new", "--shop", "Lindhof", "--currency", "EUR", "--units", "mm"],
    ["shop", "set", "tax_standing=vat", "tax_rate=19 %", "km_rate=0.70", "decimal=comma"],
)
BOTH = [(INCH, "miles", "8.25", "7.00 %"), (METRIC, "km", "19.00", "7,00 %")]


@pytest.fixture(params=BOTH, ids=["inch", "metric"])
def shop_of(request, begun):
    """A shop, how it calls a distance, the tax on 100 of goods, and 7 % as it writes it."""
    book, driven, tax, other = request.param
    typed = begun(*book, ["job", "new", "Oak cabinet"], on="2025-05-02")
    return typed, driven, tax, other


def told(typed, *words):
    said = typed(*words, on="2025-06-20")
    assert said.code == 0, said.err
    return json.loads(said.out)


def money_of(typed, *words):
    facts = told(typed, *words, "--json")
    return facts["other_costs"]["amount"], facts["kept_by_suppliers"], facts["spend"]["landed"]


def test_costs_without_a_receipt_stand_in_month_and_year_once(shop_of, tmp_path):
    typed, driven, tax, _ = shop_of
    costs = [["outside", "1", "110", "--note", "glazier"], [driven, "44"], ["parking", "1", "6"]]
    for cost in costs:
        assert typed("job", "add-cost", "cabinet", *cost, "--actual", on="2025-05-06").code == 0
    assert typed("job", "add-cost", "cabinet", "fee", "1", "9", on="2025-05-06").code == 0
    typed("job", "add-cost", "cabinet", "outside", "1", "5", "--actual", on="2025-06-02")
    added = typed("receipt", "add", "gilding", "1", "100", "--category", "supply", "--to",
                  "cabinet", "--tax", tax, "--from", "Gilder", on="2025-05-07")  # fmt: skip
    assert added.code == 0
    landed = told(typed, "month", "2025-05", "--json")["spend"]["landed"]

    assert money_of(typed, "month", "2025-05") == ("146.80", "0.00", landed)
    assert money_of(typed, "year", "2025") == ("151.80", "0.00", landed)
    may = told(typed, "month", "2025-05", "--json")["other_costs"]
    assert may["by_kind"] == [
        {"name": "outside work", "amount": "110.00"}, {"name": driven, "amount": "30.80"},
        {"name": "other", "amount": "6.00"},
    ]  # fmt: skip
    assert may["by_job"] == [{"name": "J-2501", "amount": "146.80"}]
    months = told(typed, "year", "2025", "--json")["months"]
    assert [one["other_costs"] for one in months][4:6] == ["146.80", "5.00"]
    for words in (["month", "2025-05"], ["year", "2025"]):
        assert "Other costs of jobs, without a receipt: 1" in typed(*words, on="2025-06-20").out

    typed("month", "2025-05", "--xlsx", "may", "--pdf", "may.pdf", on="2025-06-20")
    typed("year", "2025", "--xlsx", "y.xlsx", "--pdf", "y.pdf", on="2025-06-20")
    for path, amount in (("may/2025-05-accountant.xlsx", 146.80), ("y.xlsx", 151.80)):
        book = load_workbook(tmp_path / path)
        summary = {row[0]: row[1] for row in book["Summary"].iter_rows(values_only=True)}
        assert summary["Other costs of jobs, without a receipt"] == pytest.approx(amount)
        rows = list(book["Other costs of jobs"].iter_rows(min_row=2, values_only=True))
        assert sum(row[5] for row in rows if row[1] == "J-2501") == pytest.approx(amount)


def test_the_papers_have_costs_without_a_receipt(shop_of, tmp_path, pdf_text):
    typed, *_ = shop_of
    typed("job", "add-cost", "cabinet", "outside", "1", "110", "--actual", on="2025-05-06")
    for words in (["month", "2025-05"], ["year", "2025"]):
        assert typed(*words, "--pdf", "p.pdf", on="2025-06-20").code == 0
        text = " ".join(pdf_text(tmp_path / "p.pdf").split())
        assert "Other costs of jobs, without a receipt 110" in text


def test_a_month_of_such_costs_alone_is_not_empty(shop_of):
    typed, *_ = shop_of
    typed("job", "add-cost", "cabinet", "fee", "1", "9", "--actual", on="2025-05-06")
    assert "Nothing was bought" not in typed("month", "2025-05", on="2025-06-20").out
    assert told(typed, "month", "2025-05", "--json")["other_costs"]["amount"] == "9.00"


def test_what_a_supplier_kept_of_goods_sent_back_is_a_figure(shop_of):
    typed, *_ = shop_of
    words = ["receipt", "add", "hinges", "10", "10", "--category", "hardware", "--from", "Ironwell"]
    typed(*words, "--tax", "0", on="2025-05-03")
    typed("receipt", "add", "hinges", "4", "8", "--category", "hardware", "--credit-of", "R-101",
          on="2025-05-20")  # fmt: skip
    assert money_of(typed, "month", "2025-05") == ("0.00", "8.00", "68.00")
    assert money_of(typed, "year", "2025") == ("0.00", "8.00", "68.00")
    said = typed("month", "2025-05", on="2025-06-20").out
    assert "Kept by suppliers of goods sent back from stock: 8" in said
    assert typed("undo", on="2025-05-20").code == 0
    assert money_of(typed, "month", "2025-05")[1] == "0.00"


def test_freight_of_goods_sent_back_is_apart_from_what_the_supplier_kept(shop_of, tmp_path):
    typed, *_ = shop_of
    steps = (
        ["receipt", "add", "hinges", "10", "10", "--category", "hardware", "--from", "Ironwell",
         "--tax", "0", "--freight", "20"],
        ["stock", "send-back", "--lot", "1", "4"],
        ["receipt", "add", "hinges", "4", "8", "--category", "hardware", "--credit-of", "R-101"],
        ["receipt", "add", "hinges", "1", "11", "--category", "hardware", "--credit-of", "R-101"],
    )  # fmt: skip
    for step in steps:
        said = typed(*step, on="2025-05-20")
        assert said.code == 0, said.err
    # 10 × 10 + 20 freight = 12 each. Four stood at 48 and 32 came back: 8 of freight, 8 kept. One
    # at 12, and 11 came back: 1 of its freight of 2 is lost, and nothing was kept.
    for words in (["month", "2025-05"], ["year", "2025"]):
        facts = told(typed, *words, "--json")
        assert (facts["kept_by_suppliers"], facts["freight_lost"]) == ("17.00", "9.00")
        out = " ".join(typed(*words, on="2025-06-20").out.split())
        assert "Kept by suppliers of goods sent back from stock: 8" in out
        assert "Freight lost on goods sent back from stock: 9" in out
    typed("month", "2025-05", "--xlsx", "may", on="2025-06-20")
    summary = load_workbook(tmp_path / "may/2025-05-accountant.xlsx")["Summary"]
    figures = {row[0]: row[1] for row in summary.iter_rows(values_only=True)}
    assert figures["Kept by suppliers of goods sent back from stock"] == pytest.approx(8)
    assert figures["Freight lost on goods sent back from stock"] == pytest.approx(9)
    typed("year", "2025", "--xlsx", "y.xlsx", on="2025-06-20")
    months = load_workbook(tmp_path / "y.xlsx")["Spend by month"].iter_rows(values_only=True)
    (may,) = [row for row in months if row[0] == "2025-05"]
    assert may[-2:] == (8, 9)


def test_tax_of_another_rate_than_the_books_is_remarked_on(shop_of, tmp_path):
    typed, _, tax, other = shop_of

    def note(*words):
        said = typed("receipt", "add", "rags", *words, "--category", "supply", "--from",
                     "Plainmoor", on="2025-05-03")  # fmt: skip
        assert said.code == 0, said.err
        return " ".join(said.err.split())

    assert f"tax is {other} of the taxed goods; the book says" in note("1", "100", "--tax", "7")
    cent_over = f"{float(tax) + 0.01:.2f}"
    for words in (["--tax", tax], ["--tax", cent_over], ["--tax", "0"]):
        assert "tax is" not in note("1", "100", *words)
    assert "tax is" in note("1", "100", "--tax", f"{float(tax) + 0.02:.2f}")
    (tmp_path / "r.csv").write_text(
        "receipt,date,supplier,item,qty,unit_price,amount,tax,tax_paid,category\n"
        "R-900,2025-05-03,Plainmoor,rags,1,100,100,paid,7,supply\n"
    )
    said = typed("receipt", "load", "r.csv", on="2025-05-03")
    assert said.code == 0, said.err
    assert f"tax is {other}" in " ".join(said.err.split())
