"""A painted built-in, typed into a metric euro book: lines of one material told as one need."""

import json
import re
from decimal import Decimal

import pytest

PRICES = """code,name,kind,unit,pack,length,width,thickness,coverage,coverage source,whole,price
MDF19,MDF 19 mm,sheet,sheet,,2800,2070,19,,,,62.00
SCREW,Screws 4x40,fastener,screw,200,,,,,,,0.05
LACQUER,White lacquer,finish,L,,,,,8,the can,yes,27.90
EDGE,Edging 22,edging,m,,,,,,,,0.85
"""
DESIGN = {
    "design": "name,value\nname,built-in\ntitle,Painted built-in\nunits,mm\n",
    "parts": "id,name,quantity,length,width,material,grain,banded,edging,faces,carried\n"
    "A1,Side,2,2400,580,MDF19,any,one long,EDGE,2,carcass\n"
    "A2,Shelf,4,762,560,MDF19,any,one long,EDGE,2,carcass\n"
    "B1,Door,2,2300,395,MDF19,any,all round,EDGE,2,door\n",
    "carried": "name,pieces\ncarcass,1\ndoor,2\n",
    "needs": "material,quantity,basis\nSCREW,60,carcass\nSCREW,24,hinges\nSCREW,12,wall\n"
    "EDGE,2,spare\n",
    "finish": "material,coats,method,area\nLACQUER,2,spray,2 m * 3 m\nLACQUER,1,spray,1 m * 3 m\n",
}


@pytest.fixture
def built_in(begun, tmp_path):
    """The program with the built-in opened as a job, 70 screws given and 10 m of edging owned."""
    (tmp_path / "prices.csv").write_text(PRICES, encoding="utf-8")
    (tmp_path / "design").mkdir()
    for table, text in DESIGN.items():
        (tmp_path / "design" / f"{table}.csv").write_text(text, encoding="utf-8")
    given = ["--in-kind", "retail price seen", "--from", "Brightfell Panels", "--document", "k1"]
    return begun(
        ["new", "--shop", "Quillhaven Workshop", "--currency", "EUR", "--units", "mm"],
        ["shop", "set", "overhead_year=18000", "pay_year=45000"],
        ["material", "load", "prices.csv"],
        ["design", "load", "design"],
        ["job", "new", "Built-in", "--design", "built-in"],
        ["receipt", "add", "SCREW", "70", "0.05", *given],
        ["receipt", "add", "EDGE", "10", "0.85", "--from", "Copper Vale Lumber"],
    )


def test_the_price_tells_in_kind_owned_and_to_buy(built_in):
    facts = json.loads(built_in("price", "--json").out)
    needs = {need["item"]: need for need in facts["needs"]}
    screws = [needs["SCREW"][f"quantity{part}"] for part in ("", "_in_kind", "_owned", "_to_buy")]
    assert screws == ["106", "70", "0", "36"]
    edging = needs["EDGE"]
    assert (edging["quantity_owned"], edging["value_owned"]) == ("10", "8.50")
    totals = facts["totals"]
    assert (totals["material_in_kind"], totals["material_owned"]) == ("3.50", "8.50")
    said = built_in("price").out
    assert "owned 8.50" in said
    (line,) = [line for line in said.splitlines() if line.startswith("to spend")]
    assert totals["cash_to_spend"] in line


def test_all_lines_of_a_material_are_explained(built_in):
    said = built_in("price", "--explain", "SCREW").out
    for words in ("carcass + 10 %", "hinges + 10 %", "wall + 10 %", "4 screws in kind, 22 screws"):
        assert words in said
    assert "left from above" in " ".join(built_in("price", "--explain", "LACQUER").out.split())


def test_each_carried_piece_is_named_in_the_cautions(built_in):
    said = " ".join(json.loads(built_in("price", "--json").out)["cautions"])
    assert "Carcass: weight not known" in said
    assert "Door, each of 2: weight not known" in said


def test_the_shop_pack_says_how_much_edging_all_lines_need(built_in, tmp_path, pdf_text):
    assert built_in("job", "pack", "--pdf", "pack.pdf").code == 0
    charged = json.loads(built_in("price", "--json").out)["needs"]
    (need,) = [one["quantity"] for one in charged if one["item"] == "EDGE"]
    assert f"take {need} m." in pdf_text(tmp_path / "pack.pdf")


def test_planned_freight_is_a_line_of_the_price_and_never_a_cost_as_it_came(built_in):
    assert built_in("job", "add-cost", "Built-in", "freight", "1", "6.00").code == 0
    built = {line["name"]: line for line in json.loads(built_in("price", "--json").out)["build_up"]}
    assert built["freight"]["amount"] == "6.00"
    refused = built_in("job", "add-cost", "Built-in", "freight", "1", "6.00", "--actual")
    assert refused.code == 1
    assert "receipt add" in refused.err


def row_of(said, name):
    """The cells of the line of the screen that starts with a name."""
    (line,) = [line for line in said.splitlines() if line.startswith(f"{name} ")]
    return line[len(name) :].split()


def test_each_figure_below_a_price_says_its_hours(built_in):
    """Built on the standards a price has two bases, told apart in every line."""
    facts, said = json.loads(built_in("price", "--json").out), built_in("price").out
    totals = facts["totals"]
    plain = [cell.replace(",", "") for cell in row_of(said, "standard")]
    assert plain[:2] == [facts["hours"]["estimate"], totals["full_cost"]]
    typical = [cell.replace(",", "") for cell in row_of(said, "typical (half)")]
    for at, name in ((1, "cost_range"), (4, "earned_range"), (5, "price_range")):
        assert typical[at] == facts[name]["p50"]
    price, cost = (float(one) for one in (totals["price"], facts["cost_range"]["p50"]))
    assert float(facts["margin_range"]["p50"]) == pytest.approx((price - cost) / price, abs=1e-4)
    assert float(typical[2]) == pytest.approx(100 * (price - cost) / price, abs=0.05)
    assert "cost to you" not in said
    words = " ".join(said.split())
    prospect = facts["prospect"]
    assert words.count(f"{prospect['paid_hours']} h that it pays for") == 1
    assert "hours it pays for:" not in words
    assert f"{facts['rates']['pay']} an hour up to {prospect['target_hours']} h" in words


def test_a_price_below_the_typical_one_says_so_beside_the_price(built_in):
    asked = built_in("price")
    (told,) = [one for one in json.loads(built_in("price", "--json").out)["warnings"]
               if "below the typical one" in one]  # fmt: skip
    said = " ".join(asked.out.split())
    assert said.index("Price ") < said.index(told) < said.index("This price at")
    assert told not in " ".join(asked.err.split())


def test_near_jobs_are_told_after_overhead_as_the_job_itself_is(built_in, tmp_path):
    (tmp_path / "past").mkdir()
    (tmp_path / "past" / "jobs.csv").write_text(
        "job,piece,done,price,material,helper hours,rework hours,miles and fees,note\n"
        "J-9,Wardrobe,2025-01-10,900,200,0,0,0,\n"
    )
    (tmp_path / "past" / "lines.csv").write_text(
        "job,operation,count,actual hours\nJ-9,ASM,20,10\n"
    )
    loaded = built_in("job", "load", "past")
    assert loaded.code == 0, loaded.err
    record = built_in("standards", "record").out
    assert "No job stands before J-9" in record
    assert "Loaded jobs stand below" in " ".join(record.split())
    facts = json.loads(built_in("price", "--json").out)
    (near,) = facts["near"]
    assert near["earned_per_hour"] == "70.00"
    overhead = float(facts["rates"]["overhead"])
    assert float(near["earned_after_overhead"]) == pytest.approx(70 - overhead)
    assert row_of(built_in("price").out, "J-9")[-1] == near["earned_after_overhead"]


def test_a_job_sold_by_total_tells_its_guess_and_no_range(built_in, tmp_path):
    (tmp_path / "past").mkdir()
    (tmp_path / "past" / "jobs.csv").write_text(
        "job,piece,done,hours,estimated hours\nJ-7,Desk,2025-01-10,24,20\n"
        "J-8,Bar,2025-01-11,24,20\nJ-9,Counter,2025-01-12,60,50\n"
    )
    assert built_in("job", "new", "Shop counter", "--price", "4000", "--hours", "20").code == 0
    plain = json.loads(built_in("price", "shop", "--json").out)["hours"]
    assert (plain["p50"], plain["basis"]) == ("20.00", "a guess of 20.00 h.")

    assert built_in("job", "load", "past").code == 0
    said = built_in("price", "shop").out
    assert "a guess has no range." in " ".join(said.split())
    assert re.search(r"24\.00 h .*guess of 20\.00 h.* 1\.20 ×", said)
    assert "under safe" not in said
    assert row_of(said, "as guessed")[0] == "24.00"
    assert "safe (8 in 10)" not in said


def test_an_explained_line_times_its_factor_is_the_hours_it_becomes(built_in):
    """Two decimals of a factor told hours that no reader could recompute."""
    facts = json.loads(built_in("price", "--json").out)
    line = max(facts["operations"], key=lambda one: float(one["standard"]))
    said = " ".join(built_in("price", "--explain", line["operation"]).out.split())
    factor = re.search(r"counted as (\d+\.\d{3})\b", said)
    assert factor, said
    again = float(line["standard"]) * float(factor[1])
    assert again == pytest.approx(float(line["history"]), abs=0.006)


def test_a_group_of_hours_is_explained_with_its_operations(built_in):
    facts = json.loads(built_in("price", "--json").out)
    said = built_in("price", "--explain", "cutting").out
    (group,) = [one for one in facts["hours"]["groups"] if one["group"] == "cutting"]
    lines = [line for line in facts["operations"] if line["group"] == "cutting"]
    standard = sum(Decimal(line["standard"]) for line in lines)
    head, *rest = said.splitlines()
    assert head == (
        f"cutting: {standard} h by the standards, typical {group['typical']} h, safe by itself"
        f" {group['p80']} h"
    )
    words = " ".join(rest)
    assert len(lines) > 1
    assert all(f"{line['name']}: no job stands" in words for line in lines)
    assert words.count(" h become ") == len(lines)


def test_a_kind_of_little_cost_keeps_its_line_where_it_is_the_only_one(built_in):
    (screws,) = [need for need in json.loads(built_in("price", "--json").out)["needs"]
                 if need["item"] == "SCREW"]  # fmt: skip
    row = row_of(built_in("price").out, "fastener")
    assert row[:2] == ["3", screws["full"]]


def test_the_figures_of_the_screen_are_explained_with_the_jobs_own_numbers(built_in):
    facts = json.loads(built_in("price", "--json").out)
    totals, hours, prospect = facts["totals"], facts["hours"], facts["prospect"]
    figures = {
        "price": totals["build_up"], "cost": totals["full_cost"], "typical": hours["p50"],
        "margin": f"{float(totals['margin']) * 100:.1f} %", "safe": hours["p80"],
        "rework": f"{hours['rework']} h", "target": prospect["target_hours"], "near": "none yet",
    }  # fmt: skip
    for name, figure in figures.items():
        asked = built_in("price", "--explain", name)
        assert asked.code == 0, asked.err
        assert figure in " ".join(asked.out.replace(",", "").split()), (name, asked.out)
    assert built_in("job", "answer", "Built-in", "rework", "25").code == 0
    said = built_in("price", "--explain", "rework").out
    assert "25.00" in said
    assert f"{hours['rework']} h" in " ".join(said.split())


@pytest.mark.parametrize(
    "kind", [[], ["--currency", "EUR", "--units", "mm", "--tax", "vat"]], ids=["dollars", "euros"]
)
def test_planned_freight_is_to_spend_until_all_goods_are_here(begun, tmp_path, kind):
    """By hand: 40 pins at 2.50, 10 caps at 1.00, freight 24.00 planned."""
    (tmp_path / "pins.csv").write_text(
        "code,name,kind,unit,price\nPIN,Pins,hardware,each,2.50\nCAP,Caps,hardware,each,1.00\n"
    )
    typed = begun(
        ["new", "--shop", "Quillhaven Workshop", *kind],
        ["shop", "set", "overhead_year=18000", "pay_year=45000"],
        ["material", "load", "pins.csv"],
        ["job", "new", "Gate", "--work", "repair 8h", "--use", "PIN 40", "--use", "CAP 10"],
        ["job", "add-cost", "gate", "freight", "1", "24"],
    )

    def spent():
        totals = json.loads(typed("price", "gate", "--json").out)["totals"]
        said = " ".join(typed("price", "gate").out.split())
        return totals["cash_to_spend"], "freight 24.00 taken as paid" in said

    assert spent() == ("134.00", False)
    for code, number, price, left in (
        ("PIN", "40", "2.50", ("34.00", False)), ("CAP", "10", "1.00", ("0.00", True)),
    ):  # fmt: skip
        said = typed("receipt", "add", code, number, price, "--tax", "0", "--from", "Plainmoor",
                     "--to", "gate")  # fmt: skip
        assert said.code == 0, said.err
        assert spent() == left


@pytest.mark.parametrize(
    ("new", "size", "expected"),
    [
        # 4 shelves × 2 faces × 4 sq ft = 32; (10 + 0.6 × 32) ÷ 60, for clear (10 + 1.2 × 32) ÷ 60
        (
            [],
            ("48 in", "12 in"),
            {"CABPAINT": ("SNB", "32.00", "0.49"), "OIL": ("SND", "32.00", "0.81")},
        ),
        # 8 × 0.36 = 2.88 m², shown to a tenth; a square meter is 10.764 sq ft
        (
            ["--currency", "EUR", "--units", "mm"],
            ("1200 mm", "300 mm"),
            {"CABPAINT": ("SNB", "2.90", "0.48"), "OIL": ("SND", "2.90", "0.79")},
        ),
    ],
    ids=["inch", "metric"],
)
def test_fiberboard_under_paint_is_sanded_for_paint_and_under_oil_to_be_seen(
    begun, tmp_path, new, size, expected
):
    unit, board = ("mm", "2800,2070,18") if new else ("inch", "97,49,3/4")
    (tmp_path / "prices.csv").write_text(
        "code,name,kind,unit,length,width,thickness,coverage,coverage source,price\n"
        f"MDF,Fiberboard,sheet,sheet,{board},,,60\n"
        "CABPAINT,Cabinet paint,finish,L,,,,9,the can,24\nOIL,Oil,finish,L,,,,9,the can,24\n"
    )
    shop = begun(
        ["new", "--shop", "Quillhaven Workshop", *new],
        ["shop", "set", "overhead_year=18000", "pay_year=45000"],
        ["material", "load", "prices.csv"],
    )
    length, width = size
    for coat, (code, area, hours) in expected.items():
        (tmp_path / coat).mkdir()
        for table, text in {
            "design": f"name,value\nname,{coat}\ntitle,Shelves\nunits,{unit}\n",
            "parts": "id,name,quantity,length,width,material,faces,joined\n"
            f"S,Shelf,4,{length},{width},MDF,2,loose\n",
            "finish": f"material,coats,method\n{coat},2,brush\n",
        }.items():
            (tmp_path / coat / f"{table}.csv").write_text(text)
        shop("design", "load", coat)
        shop("job", "new", f"In {coat}", "--design", coat)
        facts = json.loads(shop("price", f"In {coat}", "--json").out)
        sanded = [one for one in facts["operations"] if one["operation"] in ("SND", "SNB")]
        assert [(one["operation"], one["driver"], one["estimate"]) for one in sanded] == [
            (code, area, hours)
        ]
