"""A job copied for somebody else, on the newest version of its design."""

import json
from pathlib import Path

import pytest

SAMPLES = Path(__file__).parents[2] / "sample_data"


def test_a_copy_stands_on_the_design_with_what_differs(begun):
    shop = begun(
        ["new", "--shop", "Quillhaven Workshop"],
        ["shop", "load", str(SAMPLES / "shop.csv")],
        ["material", "load", str(SAMPLES / "materials.csv")],
        ["design", "load", str(SAMPLES / "bed")],
        ["job", "new", "Marrow fold-down bed", "--design", "fold-down-bed", "--number", "J-2507"],
        ["job", "count", "bed", "RIP", "33"],
    )

    said = shop("job", "copy", "J-2507", "Alder bed", "--set", "mattress_width=54 in")

    assert said.code == 0, said.err
    assert said.out.endswith("Alder bed is open.\n")
    assert "fold-down-bed version 1" in said.err
    told = " ".join(said.err.split())
    assert "Counts made by hand were left out, since its sizes differ: RIP 33 (strip)." in told
    assert "Count again: benchledger job count J-" in told
    facts = json.loads(shop("job", "show", "alder", "--json").out)
    assert facts["parameters"]["mattress_width"].startswith("54")


PAINTED = {
    "design": "name,value\nname,case\ntitle,Painted case\nunits,mm\n",
    "parts": "id,name,quantity,length,width,thickness,material,faces,joined\n"
    "A1,Side,2,600,300,18,{ply},2,glued on\nA2,Top,2,400,300,18,{ply},2,glued on\n",
    "finish": "material,coats,method\nENAMEL,2,brush\n",
    "tags": "tag\npainted\n",
}


@pytest.mark.parametrize(
    ("new", "ply"),
    [((), "PLY34"), (("--currency", "EUR", "--units", "mm"), "PLY18")],
)
def test_a_word_for_hours_means_what_a_copy_that_was_never_priced_has(begun, tmp_path, new, ply):
    (tmp_path / "case").mkdir()
    for table, text in PAINTED.items():
        (tmp_path / "case" / f"{table}.csv").write_text(text.format(ply=ply))
    shop = begun(
        ["new", "--shop", "Workshop", "--overhead", "20000", "--pay", "48000", *new],
        ["material", "load", "--starting"],
        ["job", "new", "Oiled table", "--starter", "side-table"],
        ["design", "load", "case"],
        ["job", "new", "Painted case", "--design", "case"],
        ["job", "copy", "table", "Second"],
        ["job", "copy", "case", "Third"],
    )
    refused = shop("hours", "add", "second", "sand", "45m")
    assert refused.code == 1 and "SNS" in refused.err and "SND" not in refused.err
    shop("hours", "add", "second", "sand solid", "45m").done()
    assert shop("hours", "add", "second", "sand", "45m").err == refused.err  # now it has a plan
    shop("hours", "add", "third", "sand", "45m").done()
    booked = [row["what"] for row in shop("hours", "list", "--json").facts()]
    assert booked == ["SNS", "SNB"]
