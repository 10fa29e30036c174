"""How a material is shown: its allowance in percent, and what is there in words with a plural."""

import pytest

PRICES = (
    "code,name,kind,unit,price,coverage,coverage_source,allowance,allowance_on\n"
    "ROPE,Sisal rope,hardware,{long},1.20,,,8 %,net\n"
    "OIL,Wiping oil,finish,quart,28,10,data sheet,,\n"
)
SHOPS = {"m": ["--currency", "EUR", "--units", "mm"], "ft": []}


@pytest.mark.parametrize("long", SHOPS)
def test_an_allowance_is_a_percentage_and_quarts_have_a_plural(begun, tmp_path, long):
    (tmp_path / "prices.csv").write_text(PRICES.format(long=long))
    shop = begun(
        ["new", "--shop", "Workshop", *SHOPS[long]],
        ["material", "load", "prices.csv"],
        ["receipt", "add", "OIL", "4", "28", "--from", "Copper Vale"],
    )
    assert "8 % of what is net" in shop("material", "show", "ROPE").out
    assert "4 quarts" in shop("receipt", "show", "R-101").out
