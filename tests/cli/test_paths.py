"""No name out of the book or a file leads a file out of the folder that was named."""

import pytest

NAMES = ("../../outside", "/outside", "..\\..\\outside", "..", "a/b/c", "x" * 300, "CON\x00")


def inside(folder, tmp_path):
    """The files below the folder; whatever stands elsewhere was there before."""
    found = [path for path in tmp_path.rglob("*") if path.is_file()]
    strays = [path for path in found if folder not in path.parents]
    assert {path.name for path in strays} <= {"parts.csv", "shop.sqlite", "shop 2025-05-31.sqlite"}
    return [path for path in found if folder in path.parents]


@pytest.mark.parametrize("name", NAMES[:-1])
def test_a_material_names_its_drawing_and_no_other_folder(shop, tmp_path, name):
    (tmp_path / "parts.csv").write_text(f'id,qty,length,width,material\nA,1,30,12,"{name}"\n')
    said = shop("layout", "--parts", "parts.csv", "--sheet", "48x96in", "--units", "inch",
                "--svg", "drawings")  # fmt: skip
    assert said.code in {0, 1}, said.err
    if said.code == 0:
        assert len(inside(tmp_path / "drawings", tmp_path)) == 1


@pytest.mark.parametrize("name", NAMES[:-1])
def test_a_sponsor_names_its_file_of_the_month_and_no_other_folder(started, tmp_path, name):
    assert started("sponsor", "add", name).code == 0
    given = started("sponsor", "receive", name, "PLY34", "2", "--value", "96", "--evidence", "x")
    assert given.code == 0, given.err
    said = started("month", "2025-05", "--xlsx", "papers")
    assert said.code == 0, said.err
    assert len(inside(tmp_path / "papers", tmp_path)) == 2


def test_a_name_that_no_file_could_bear_is_refused_or_tamed(shop, tmp_path):
    assert shop("new", "--shop", "Quillhaven Workshop").code == 0
    said = shop("--book", f"{tmp_path}/{NAMES[-1]}", "today")
    assert said.code in {1, 2}
    assert "Traceback" not in said.err
