"""An empty book: every list that has nothing to show yet says what comes first."""

import pytest


@pytest.fixture
def empty(shop):
    assert shop("new", "--shop", "Quillhaven Workshop").code == 0
    return shop


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("material list", "No material is in the book yet; start with: benchledger material load"),
        ("design list", "No design is in the book yet; start with: benchledger design template"),
        ("receipt list", "No receipt is in the book yet: benchledger receipt add"),
        ("quote list", "No quote is drafted yet: benchledger quote draft JOB"),
        ("kit list", "There is no kit yet: benchledger kit add"),
        ("sponsor show", "There is no sponsor yet: benchledger sponsor add"),
    ],
)
def test_a_list_with_nothing_in_it_says_how_to_begin(empty, words, said):
    shown = empty(*words.split())
    assert (shown.code, shown.out) == (0, "")
    assert said in " ".join(shown.err.split())
    assert empty(*words.split(), "--json").out.strip() == "[]"


@pytest.mark.parametrize(
    ("words", "next_"),
    [
        ("material price PLY34 72", "benchledger material load FILE"),
        ("job show shelf", "benchledger job new TITLE"),
        ("design show bookcase", "benchledger design load FOLDER"),
        ("sponsor receive brightfell PLY34 2", "benchledger sponsor add"),
    ],
)
def test_a_name_in_a_list_with_nothing_in_it_is_refused_with_how_to_begin(empty, words, next_):
    said = empty(*words.split())
    assert said.code == 1
    assert next_ in " ".join(said.err.split())


def test_a_tool_that_no_sponsor_gave_is_refused_with_how_to_take_it_in(empty):
    assert empty("sponsor", "add", "Brightfell Panels").code == 0
    said = empty("sponsor", "tool", "brightfell", "track saw", "--hours", "1h30")
    assert (said.code, "benchledger sponsor receive" in said.err) == (1, True)


def test_a_new_book_says_what_to_do_next(shop):
    told = " ".join(shop("new", "--shop", "Quillhaven Workshop").err.split())
    assert "overhead_year=AMOUNT pay_year=" in told
    assert "benchledger material load FILE" in told


def test_a_month_before_the_book_points_to_the_one_that_is_running(shop):
    assert shop("new", "--shop", "Quillhaven Workshop", on="2025-04-25").code == 0
    said = shop("month", on="2025-04-25")
    assert "begins after this month" in said.out
    assert "benchledger month 2025-04" in said.err


def test_a_template_names_the_materials_that_the_price_list_lacks(empty):
    said = empty("design", "template", "bookcase.xlsx")
    assert "is written to bookcase.xlsx" in " ".join(said.out.split())
    assert "EDGE78, PLY34, PSCREW, SATIN, STAIN" in said.err


def test_a_parts_list_without_its_columns_is_told_of_each_once(empty, tmp_path):
    (tmp_path / "parts.csv").write_text("name,qty\nSide,2\n")
    said = empty("job", "new", "Shelf", "--parts", str(tmp_path / "parts.csv"))
    assert said.err.startswith("4 things are wrong")
    lacking = [line.split("; there is")[0] for line in said.err.splitlines()[1:]]
    assert lacking == [
        f"  parts.csv: The column {name} is missing"
        for name in ("id", "length", "width", "material")
    ]
