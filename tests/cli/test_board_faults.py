"""Lumber that can not give a part as it is dressed is told, and the ways out with it."""

import json

import pytest

PARTS = {
    "inch": "id,part,qty,length,width,material,thickness\nR,Rail,3,40 in,2 in,POP,3/4 in\n",
    "mm": "id,part,qty,length,width,material,thickness\nR,Rail,3,1000 mm,50 mm,POP,20 mm\n",
}
SHOPS = {
    "inch": ([], "bd ft,4.10,3/4,96,6", "1", "9/16 in"),
    "mm": (["--currency", "EUR", "--units", "mm"], "m3,900,20,2500,200", "25", "15.2 mm"),
}


@pytest.mark.parametrize("units", SHOPS)
def test_a_job_says_which_part_and_board_do_not_go_together_and_the_way_out(begun, tmp_path, units):
    new, material, nominal, ends = SHOPS[units]
    (tmp_path / "parts.csv").write_text(PARTS[units])
    heads = "code,name,kind,unit,price,thickness,length,width\n"
    (tmp_path / "thin.csv").write_text(f"{heads}POP,Poplar S4S,lumber,{material}\n")
    kind, price, _, length, width = material.split(",")
    (tmp_path / "nominal.csv").write_text(
        f"{heads}POP,Poplar S4S,lumber,{kind},{price},{nominal},{length},{width}\n"
    )
    shop = begun(
        ["new", "--shop", "Quillhaven Workshop", *new],
        ["shop", "set", "overhead_year=22000", "pay_year=56000"],
        ["material", "load", "thin.csv"],
    )
    early = shop("job", "new", "Rails", "--parts", "parts.csv")
    assert early.code == 0, early.err
    refused = shop("price", "rails")
    assert refused.code != 0
    for said in (early, refused):
        told = " ".join(said.err.split())
        assert "R Rail" in told
        assert "POP Poplar S4S" in told
        assert f"give POP {nominal} " in told
        assert ends in told

    assert shop("material", "load", "nominal.csv").code == 0
    assert shop("price", "rails").code == 0
    again = shop("job", "set", "rails", "--parts", "parts.csv")
    assert (again.code, again.err) == (0, "")


@pytest.mark.parametrize(
    ("new", "thickness", "material", "ends", "amount"),
    [
        # one board of 2.5 m × 200 mm × 35 mm is 0.0175 m³ at 900.00; of 96 × 6 × 1-1/4 in 5 bd ft
        (SHOPS["mm"][0], "30 mm", "m3,900,35,2500,200", "28.7 mm", "15.75"),
        ([], "1-1/8 in", "bd ft,4.10,1-1/4,96,6", "1 in", "20.50"),
    ],
    ids=["mm", "inch"],
)
def test_a_shop_that_dresses_less_off_its_boards_says_so_in_its_price_list(
    begun, tmp_path, new, thickness, material, ends, amount
):
    parts = PARTS["mm" if new else "inch"].replace("20 mm" if new else "3/4 in", thickness)
    (tmp_path / "parts.csv").write_text(parts)
    heads = "code,name,kind,unit,price,thickness,length,width"
    (tmp_path / "rough.csv").write_text(f"{heads}\nPOP,Poplar,lumber,{material}\n")
    (tmp_path / "own.csv").write_text(
        f"{heads},surfaced to\nPOP,Poplar,lumber,{material},{thickness}\n"
    )
    shop = begun(
        ["new", "--shop", "Quillhaven Workshop", *new],
        ["shop", "set", "overhead_year=22000", "pay_year=56000"],
        ["material", "load", "rough.csv"],
        ["job", "new", "Rails", "--parts", "parts.csv"],
    )
    refused = " ".join(shop("price", "rails").err.split())
    assert f"ends at {ends} once it is dressed" in refused
    assert f"Where you dress POP to {thickness}, say so in the price list: column" in refused
    assert f"surfaced to, {thickness}." in refused

    assert shop("material", "load", "own.csv").code == 0
    (line,) = json.loads(shop("price", "rails", "--json").out)["lines"]
    assert line["full"] == amount


def test_no_board_is_dressed_to_more_than_it_is_thick(begun, tmp_path):
    (tmp_path / "parts.csv").write_text(PARTS["mm"].replace("20 mm", "36 mm"))
    (tmp_path / "rough.csv").write_text(
        "code,name,kind,unit,price,thickness,length,width\nPOP,Poplar,lumber,m3,900,35,2500,200\n"
    )
    shop = begun(
        ["new", "--shop", "Quillhaven Workshop", *SHOPS["mm"][0]],
        ["shop", "set", "overhead_year=22000", "pay_year=56000"],
        ["material", "load", "rough.csv"],
        ["job", "new", "Thick rails", "--parts", "parts.csv"],
    )
    refused = " ".join(shop("price", "rails").err.split())
    assert "take 45 mm" in refused
    assert "Where you dress" not in refused
