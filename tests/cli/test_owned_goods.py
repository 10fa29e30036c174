"""What is owned already is priced as the list says, and a cent of rounding is no cheaper price."""

import pytest


@pytest.mark.parametrize(("stood_at", "told"), [("9.80", "as planned"), ("8.00", "1.81 lower")])
def test_a_board_in_stock_within_a_cent_of_the_list_is_as_planned(begun, tmp_path, stood_at, told):
    (tmp_path / "list.csv").write_text(
        "code,name,kind,unit,price,thickness,length,width\n"
        "OAK,Oak blank,sheet,sheet,9.8056,20,800,400\n"
    )
    (tmp_path / "parts.csv").write_text(
        "id,qty,length,width,grain,material\nA,1,700 mm,300 mm,length,OAK\n"
    )
    (tmp_path / f"stock-{stood_at}.csv").write_text(
        f"material,quantity,unit,unit_cost,tax\nOAK,1,sheet,{stood_at},paid\n"
    )
    shop = begun(
        ["new", "--shop", "Q", "--currency", "EUR", "--units", "mm"],
        ["shop", "set", "overhead_year=18000", "pay_year=45000"],
        ["material", "load", "list.csv"],
        ["stock", "open", f"stock-{stood_at}.csv"],
        ["material", "price", "OAK", "9.8056"],
        ["job", "new", "Board", "--parts", "parts.csv"],
    )
    explained = " ".join(shop("price", "board", "--explain", "OAK").out.split())
    assert "1 sheet owned already" in explained
    assert shop("stock", "issue", "board", "OAK", "1").code == 0
    said = shop("job", "close", "board", "--price", "300", "--preview")
    assert said.code == 0, said.err
    assert f"Material: prices {told}" in " ".join(said.out.split())
