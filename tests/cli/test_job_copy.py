"""A job copied for somebody else, on the newest version of its design."""

import json
from pathlib import Path

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
    assert "Counts made by hand were left out" in said.err
    facts = json.loads(shop("job", "show", "alder", "--json").out)
    assert facts["parameters"]["mattress_width"].startswith("54")
