"""What may be a slip in a receipt: the same paper again, thousands, more than a job needs."""

import pytest

EURO = ["new", "--shop", "Lindhof", "--currency", "EUR", "--units", "mm"]
PRICES = (
    "code,name,kind,unit,length,width,thickness,price\nPLY18,Birch 18,sheet,sheet,2500,1250,18,88\n"
)


def receipt(shop, *words, supplier="Dovecote Panels"):
    said = shop("receipt", "add", *words, "--from", supplier, "--tax", "0")
    assert said.code == 0, said.err
    return " ".join(said.err.split())


@pytest.fixture
def lindhof(begun, tmp_path):
    """A metric euro shop with one price."""
    (tmp_path / "prices.csv").write_text(PRICES)
    return begun(EURO, ["material", "load", "prices.csv"])


def test_a_point_read_as_one_of_thousands_is_said_where_the_screen_writes_points(lindhof):
    said = receipt(lindhof, "PLY18", "9.375", "28.16", "--unit", "m2")
    assert "9.375 was read as 9375. Where 9.375 is meant" in said
    assert "type 9,375" in said
    assert "was read as" not in receipt(lindhof, "PLY18", "9,375", "28.16", "--unit", "m2")
    assert lindhof("shop", "set", "decimal=comma").code == 0
    assert "was read as" not in receipt(lindhof, "PLY18", "9.375", "28.16", "--unit", "m2")


@pytest.mark.parametrize(
    ("first", "second", "supplier", "is_said"),
    [
        ([], [], "Dovecote Panels", True),
        (["--document", "A-1"], [], "Dovecote Panels", True),
        (["--document", "A-1"], ["--document", "A-2"], "Dovecote Panels", False),
        ([], [], "Elmgate Timber", False),
    ],
)
def test_a_paper_that_nothing_tells_from_another_is_said(lindhof, first, second, supplier, is_said):
    assert " too." not in receipt(lindhof, "PLY18", "2", "88", *first)
    said = receipt(lindhof, "PLY18", "2", "88", *second, supplier=supplier)
    assert ("R-101 is of Dovecote Panels, 2025-04-25 and 176.00 too." in said) == is_said
    assert " too." not in receipt(lindhof, "PLY18", "1", "88", supplier=supplier)


def test_a_receipt_taken_back_is_no_other_paper(lindhof):
    receipt(lindhof, "PLY18", "2", "88")
    assert lindhof("undo").code == 0
    assert " too." not in receipt(lindhof, "PLY18", "2", "88")


def test_goods_for_a_job_beyond_its_estimate_are_said(joint_shop):
    assert joint_shop("layout", "bench").code == 0
    first = receipt(joint_shop, "PLY34", "1", "96", "--to", "bench")
    assert "more than the estimate" not in first
    said = receipt(joint_shop, "PLY34", "2", "96", "--to", "bench")
    assert "J-2508, PLY34: 2 sheets more than the estimate's 1 sheet." in said
