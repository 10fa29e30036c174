"""Surfaced lumber under its surfaced thickness is told when a design meets the price list."""

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
