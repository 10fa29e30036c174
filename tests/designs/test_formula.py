"""Formulas are exact, keep lengths and numbers apart, and refuse what may be read two ways."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.designs.cells import is_plain, read_cell
from ledger.designs.formula import DEEPEST, LONGEST_FORMULA, evaluate, read_formula
from ledger.designs.tree import Measure, names_in
from ledger.errors import BadValue, LedgerError, NotFound

INCH = 25_400_000
NAMES = {
    "w": Measure(Fraction(60 * INCH), 1),
    "ply": Measure(Fraction(23 * INCH, 32), 1),
    "n": Measure(Fraction(9), 0),
    "face": Measure(Fraction(144 * INCH**2), 2),
}


def look_up(name: str) -> Measure:
    """A few names of every kind."""
    if name not in NAMES:
        raise NotFound("parameter", name, NAMES)
    return NAMES[name]


def inches(text: str) -> Fraction:
    """A formula that comes to a length, in inches."""
    found = evaluate(read_formula(text), look_up)
    assert found.power == 1
    return found.value / INCH


def number(text: str) -> Fraction:
    """A formula that comes to a number."""
    found = evaluate(read_formula(text), look_up)
    assert found.power == 0
    return found.value


def refusal(text: str) -> str:
    """The sentence with which a formula is refused."""
    with pytest.raises(LedgerError) as caught:
        evaluate(read_formula(text), look_up)
    return str(caught.value)


@pytest.mark.parametrize(
    ("text", "right"),
    [
        ("1/4 in", Fraction(1, 4)),
        ("2.5 in", Fraction(5, 2)),
        ("63-11/16 in", Fraction(1019, 16)),
        ("63 11/16 in", Fraction(1019, 16)),
        ('63-11/16"', Fraction(1019, 16)),
        ("2 ft", Fraction(24)),
        ("254 mm", Fraction(10)),
        ("2.54 cm + 0.0254 m", Fraction(2)),
        ("6*1/8 in", Fraction(3, 4)),
        ("w - 63-11/16 in", Fraction(-59, 16)),
        ("w + 2*1/2 in + 2*ply", Fraction(999, 16)),
        ("w − 2 × ply", Fraction(60) - Fraction(23, 16)),
        ("-ply", Fraction(-23, 32)),
        ("(w - n*ply) / (n - 1)", (60 - 9 * Fraction(23, 32)) / 8),
        ("W - PLY", 60 - Fraction(23, 32)),
        ("face / w", Fraction(144, 60)),
        ("face / 1 sq ft * 1 in", Fraction(1)),
        ("w - 10 in - 5 in", Fraction(45)),
        ("w / 2 / 3", Fraction(10)),
    ],
)
def test_a_formula_comes_to_an_exact_length(text: str, right: Fraction) -> None:
    assert inches(text) == right


@pytest.mark.parametrize(
    ("text", "right"),
    [
        ("w / ply", Fraction(60 * 32, 23)),
        ("ceil(w / 7 in)", Fraction(9)),
        ("floor(-1/2)", Fraction(-1)),
        ("round(5/2)", Fraction(3)),
        ("round(-5/2)", Fraction(-3)),
        ("min(n, 4, 7)", Fraction(4)),
        ("max(n, 4)", Fraction(9)),
        ("if(w > 5 ft, n, 1)", Fraction(1)),
        ("if(w >= 5 ft, n, 1)", Fraction(9)),
        ("if(n == 9, if(n != 9, 1, 2), 3)", Fraction(2)),
        ("face / 1 sq ft", Fraction(1)),
        ("3-1/2", Fraction(5, 2)),
    ],
)
def test_a_formula_comes_to_an_exact_number(text: str, right: Fraction) -> None:
    assert number(text) == right


def test_rounding_a_length_needs_a_step_and_goes_to_it() -> None:
    assert inches("floor(9.316 in, 1/16 in)") == Fraction(149, 16)
    assert inches("ceil(9.316 in, 1/16 in)") == Fraction(150, 16)
    assert inches("round(9.35 in, 1/8 in)") == Fraction(75, 8)
    assert "needs a step for a length" in refusal("floor(w)")
    assert "a step of more than zero" in refusal("floor(w, 0 in)")


@pytest.mark.parametrize(
    ("text", "inch", "metric"),
    [
        ("ceil(face)", 1, 1),
        ("ceil(40 * face / 12)", 4, 1),  # 40 sq ft, 3.716 m²: 3.33 and 0.31 once by 12
        ("floor(w * w - face)", 24, 2),  # 25 sq ft less one: 24 sq ft, 2.23 m²
    ],
)
def test_an_area_is_rounded_as_the_refusal_says(text: str, inch: int, metric: int) -> None:
    said = refusal(text)
    assert f"“{text}” needs a step for an area; write for example " in said
    offered = said.partition("for example ")[2].rstrip(".").split(", or in metric ")
    assert [number(one) for one in offered] == [inch, metric]


def test_a_length_is_rounded_as_the_refusal_says() -> None:
    offered = refusal("ceil(w / 7)").partition("for example ")[2].rstrip(".")
    assert inches(offered) == Fraction(138, 16)  # 60/7 in are 137.1 sixteenths


def test_a_branch_that_is_not_taken_is_not_worked_out_but_its_kind_is_checked() -> None:
    assert number("if(n > 0, 1, 1 / (n - 9))") == 1
    assert "mixes a number and a length" in refusal("if(n > 0, 1, w)")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("w + 2", "“2” has no unit in “w + 2”: write w + 2 in (or mm)."),
        ("24 - 1/2 in", "write 24 in - 1/2 in (or mm)"),
        ("w > 3", "write w > 3 in (or mm)"),
        ("w * face", "multiplies a length by an area, which measures nothing here"),
        ("n / w", "divides a number by a length, which measures nothing here"),
        ("w > ply", ""),
        ("(w > ply) + 1", "is a comparison; it may only stand first in an if"),
        ("if(n, 1, 2)", "needs a comparison first"),
        ("w - n", "“n” has no unit in “w - n”"),
        ("face - w", "mixes an area and a length"),
        ("min(w, 3)", "mixes a number and a length"),
        ("n / (n - 9)", "divides by zero"),
        ("1/0 in", "divides by zero"),
        ("63-17/16 in", "has a fraction of one or more after a whole"),
        ("pli", "No parameter is called “pli”. Nearest: ply."),
        ("w/3-1/8 in", "may be read two ways; write (3-1/8 in), or spaces around the minus"),
        ("w*3-1/8 in", "may be read two ways"),
        ("w/1/8 in", "may be read two ways; write (1/8 in), or the value as a decimal"),
        ("w w", "“w” is not expected there; is a sign or a parenthesis missing?"),
        ("3 furlongs", "“furlongs” is not expected there"),
        ("2 +", "stops too early; a value is missing at its end"),
        ("", "stops too early"),
        ("(w", "a closing parenthesis is missing"),
        ("w)", "“)” is not expected there"),
        ("* w", "a value is missing before “*”"),
        ("=w", "“=” cannot be read; leave the = out"),
        ("w ** 2", "a value is missing before “*”"),
        ("w[0]", "“[” cannot be read"),
        ("w.__class__", "“.” cannot be read"),
        ("open(w)", "“open” is not a function; there is min, max, ceil, floor, round, if."),
        ("ceil()", "a value is missing before “)”"),
        ("min(w)", "min takes 2 to 20 values, not 1"),
        ("if(w > ply, w)", "if takes 3 values, not 2"),
        ("1" * (LONGEST_FORMULA + 1), f"longer than {LONGEST_FORMULA} characters"),
        ("(" * 60 + "w" + ")" * 60, f"nested more than {DEEPEST} deep"),
        ("+".join(["n"] * 100), "more than 150 words and signs"),
        ("*".join(["99999999999999999999"] * 20), "too large or too fine"),
        ("1 / 99999999999999999999 / 99999999999999999999 / 99999999999", "too large or too fine"),
    ],
)
def test_what_cannot_be_meant_is_refused_with_a_sentence(text: str, said: str) -> None:
    if said:
        assert said in refusal(text)
    else:
        assert evaluate(read_formula(text), look_up).power == -1


def test_a_plain_cell_is_read_as_it_is_spoken_not_as_arithmetic() -> None:
    assert read_cell("3-1/2").value(look_up) == Fraction(7, 2)
    assert read_cell("63-11/16", "inch").value(look_up) == Fraction(1019, 16) * INCH
    assert read_cell("4' 6-1/2\"").value(look_up) == Fraction(109, 2) * INCH
    assert read_cell("2½", "inch").value(look_up) == Fraction(5, 2) * INCH
    assert read_cell("622", "mm").value(look_up) == 622_000_000
    assert not is_plain("w") and not is_plain("24 - 1/2") and is_plain("24-1/2 inches")


@pytest.mark.parametrize("text", ["24-3/2", "1 2 3", "1,234", "..", "-5", "4 4 in", "12/"])
def test_a_plain_cell_that_is_no_value_is_refused(text: str) -> None:
    with pytest.raises(BadValue):
        read_cell(text, "inch")


def test_names_are_found_once_each_in_the_order_of_reading() -> None:
    assert names_in(read_formula("if(b > a, c + -b, min(d, e*a))")) == ["b", "a", "c", "d", "e"]


@st.composite
def sums(draw: st.DrawFn, depth: int = 3) -> tuple[str, Fraction]:
    """A formula over numbers and its value by Python's own fractions."""
    if depth == 0 or draw(st.booleans()):
        whole = draw(st.integers(0, 99))
        return f"{whole}", Fraction(whole)
    (left, one), (right, two) = draw(sums(depth - 1)), draw(sums(depth - 1))
    sign = draw(st.sampled_from("+-*/" if two else "+-*"))
    worth = {"+": one + two, "-": one - two, "*": one * two}.get(sign)
    return f"({left} {sign} {right})", one / two if worth is None else worth


@given(sums())
def test_arithmetic_agrees_with_fractions(case: tuple[str, Fraction]) -> None:
    text, worth = case
    assert number(text) == worth


@given(st.text(alphabet="wnply0123456789 .-+*/()<>=,\"'in½sqft", max_size=40))
def test_any_text_is_worked_out_or_refused_in_a_sentence(text: str) -> None:
    for bare in (None, "inch", "mm"):
        try:
            evaluate(read_cell(text, bare), look_up)
        except LedgerError as wrong:
            assert str(wrong).endswith((".", "?"))
