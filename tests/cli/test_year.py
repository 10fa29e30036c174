"""`year` as it is typed."""

import json

import pytest
from openpyxl import load_workbook


@pytest.fixture
def book_of_june(shop):
    """The program with a book, a material, and one receipt in May."""

    def type_in(*words):
        return shop(*words, on="2025-06-30")

    type_in("new", "--shop", "Quillhaven Workshop")
    type_in("receipt", "add", "strainers", "2", "9.00", "--category", "supply", "--from",
            "Plainmoor Shop Supply", "--on", "2025-05-08")  # fmt: skip
    return type_in


def test_the_year_is_told_month_by_month(book_of_june):
    said = book_of_june("year", "2025")

    assert said.code == 0
    assert "still running: figures up to 2025-06-30" in said.out
    assert "2025-05  18.00  18.00     0.00   18.00     0.00" in said.out
    assert "2025-07" not in said.out


def test_its_workbook_is_written_into_the_folder(book_of_june, tmp_path):
    said = book_of_june("year", "2025", "--xlsx", "files", "--json")

    workbook = load_workbook(tmp_path / "files" / "2025-year-end.xlsx")
    assert workbook.sheetnames[:3] == ["Summary", "Spend by month", "Roll-forward"]
    assert json.loads(said.out)["spend"]["landed"] == "18.00"


def test_its_workbook_may_be_named_itself(book_of_june, tmp_path):
    (tmp_path / "folder.xlsx").mkdir()
    for name in ("y.xlsx", "y.xlsx", "folder.xlsx"):  # the second time it is written anew
        assert book_of_june("year", "2025", "--xlsx", name).code == 0

    assert load_workbook(tmp_path / "y.xlsx").sheetnames[0] == "Summary"
    assert (tmp_path / "folder.xlsx" / "2025-year-end.xlsx").is_file()


@pytest.mark.parametrize(
    ("words", "file"),
    [
        (["month", "2025-05", "--close", "--xlsx", "may.xlsx"], "may.xlsx"),
        (["export", "tables.zip"], "tables.zip"),
        (["year", "2025", "--xlsx", "y.pdf"], "y.pdf"),
    ],
)
def test_a_folder_is_not_called_like_a_file(book_of_june, tmp_path, words, file):
    said = book_of_june(*words)

    assert (said.code, f"such as {file.split('.')[0]}" in said.err) == (1, True)
    assert not (tmp_path / file).exists()
    assert '"standing": "open"' in book_of_june("month", "2025-05", "--json").out


@pytest.mark.parametrize("text", ["25", "two thousand", "2O25"])
def test_what_is_no_year_is_refused(book_of_june, text):
    said = book_of_june("year", text)

    assert said.code == 1
    assert "is not a year" in said.err


def test_use_tax_of_resale_goods_in_an_improvement_stands_with_their_job(begun, tmp_path):
    """20 at 5.00 bought for resale: 7 % of 100.00 is owed once they are built in."""
    shop = begun(
        ["new", "--shop", "Larkhollow Joinery"],
        ["shop", "set", "tax_rate=7 %"],
        ["material", "load", "--starting"],
        ["job", "new", "Closet", "--price", "900", "--hours", "3"],
        ["job", "tax", "closet", "improvement"],
        ["receipt", "add", "POP44", "20", "5", "--from", "Fern", "--tax-kind", "resale",
         "--to", "closet"],
        on="2026-03-02",
    )  # fmt: skip
    shop("year", "2026", "--xlsx", "y.xlsx", on="2026-03-02")
    heads, row = list(load_workbook(tmp_path / "y.xlsx")["Jobs"].values)[:2]
    found = dict(zip(heads, row, strict=True))
    assert (found["material"], found["use tax beside"]) == (100, 7)
