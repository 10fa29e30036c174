"""The arithmetic of a design: exact, dimension-checked, read by a small parser of its own.

```
formula   = sum [("<" | "<=" | ">" | ">=" | "==" | "!=") sum]      (comparisons: only inside if)
sum       = product {("+" | "-") product}
product   = factor {("*" | "/") factor}
factor    = "-" factor | "(" formula ")" | function "(" formula {"," formula} ")"
          | measure | number | name
function  = "min" | "max" | "ceil" | "floor" | "round" | "if"
measure   = (number | fraction | mixed) unit                        2.5 in, 1/4 in, 63-11/16 in
unit      = ["sq"] ("in" | "ft" | "mm" | "cm" | "m") and their usual spellings
```
A number without a unit is a plain number. *A fraction that stands right before a unit is one
measure*: `6*1/8 in` is six eighths of an inch, and `63-11/16 in` or `63 11/16 in` is 63.6875 in;
to take something away, write spaces around the minus. Where this could still be read two ways
(`a/3-1/8 in`) it is refused. `ceil`, `floor` and `round` (half-up) go to whole numbers, or to
whole steps of a second value: `floor(bay, 1/16 in)`.

Values are fractions of nanometers to the power 0 (a number), 1 (a length) or 2 (an area). Lengths
and numbers are never added; nothing is rounded here, and Python's own evaluator is never asked.
"""

import re
from collections.abc import Callable, Iterator, Mapping
from fractions import Fraction

from msgspec import Struct

from ledger.designs.tree import Binary, Call, Literal, Measure, Name, Negated, Node
from ledger.errors import BadValue
from ledger.measures.length import NANOMETERS
from ledger.measures.spoken import quoted

LONGEST_FORMULA = 500
MOST_TOKENS = 150
DEEPEST = 40
FUNCTIONS = {"min": (2, 20), "max": (2, 20), "ceil": (1, 2), "floor": (1, 2), "round": (1, 2),
             "if": (3, 3)}  # fmt: skip
"""The functions, and how many values each takes at least and at most."""

UNITS = {
    '"': "in",
    "'": "ft",
    **dict.fromkeys(("inches", "inch", "in"), "in"),
    **dict.fromkeys(("feet", "foot", "ft"), "ft"),
    **dict.fromkeys(("millimeters", "millimetres", "millimeter", "millimetre", "mm"), "mm"),
    **dict.fromkeys(("centimeters", "centimetres", "centimeter", "centimetre", "cm"), "cm"),
    **dict.fromkeys(("meters", "metres", "meter", "metre", "m"), "m"),
}
_SIGNS = str.maketrans("×÷−–”″’′", "*/--\"\"''")
_UNIT = rf"(?P<square>sq\.?[ ]?)?(?P<unit>(?:{'|'.join(u for u in UNITS if u.isalpha())})\b|[\"'])"
_TOKEN = re.compile(
    rf"""\s*(?:
    (?P<measure>(?:(?:(?P<whole>\d+)(?P<join>[ -]))?(?P<over>\d+)/(?P<under>\d+)
        |(?P<decimal>\d+(?:\.\d+)?|\.\d+))[ ]?{_UNIT})
    |(?P<number>\d+(?:\.\d+)?|\.\d+)
    |(?P<name>[a-z_][a-z0-9_]*)
    |(?P<sign><=|>=|==|!=|[-+*/(),<>])
    )""",
    re.VERBOSE | re.ASCII,
)


class _Token(Struct, frozen=True):
    """One word of a formula: its kind, its text and where it stands."""

    kind: str
    text: str
    start: int
    end: int
    groups: Mapping[str, str | None]


def read_formula(text: str) -> Node:
    """Read a formula into a tree, or say what cannot be read.

    >>> read_formula("mattress_width + 2*gap").text
    'mattress_width + 2*gap'
    >>> read_formula("2 * (ply + ")
    Traceback (most recent call last):
    ledger.errors.BadValue: “2 * (ply + ” stops too early; a value is missing at its end.
    >>> read_formula("width/3-1/8 in")
    Traceback (most recent call last):
    ledger.errors.BadValue: In “width/3-1/8 in”, “3-1/8 in” after / may be read two ways; \
write (3-1/8 in), or spaces around the minus.
    >>> read_formula("open(width)")
    Traceback (most recent call last):
    ledger.errors.BadValue: In “open(width)”, “open” is not a function; there is min, \
max, ceil, floor, round, if.
    """
    if len(text) > LONGEST_FORMULA:
        raise BadValue(
            f"{quoted(text)} is longer than {LONGEST_FORMULA} characters; use parameters."
        )
    plain = text.translate(_SIGNS).lower()
    tokens = list(_tokens(text, plain))
    if len(tokens) > MOST_TOKENS:
        raise BadValue(
            f"{quoted(text)} has more than {MOST_TOKENS} words and signs; use parameters."
        )
    return _Parser(text, tokens).whole()


def _tokens(text: str, plain: str) -> Iterator[_Token]:
    place = 0
    end = len(plain.rstrip())
    while place < end:
        match = _TOKEN.match(plain, place)
        if match is None:
            odd = quoted(text[place:].strip()[:1])
            hint = "leave the = out" if odd == "“=”" else "use + - * / ( ) and names"
            raise BadValue(f"In {quoted(text)}, {odd} cannot be read; {hint}.")
        kind = match.lastgroup or ""
        yield _Token(kind, match[kind], match.start(kind), match.end(), match.groupdict())
        place = match.end()
    yield _Token("end", "", end, end, {})


class _Parser:
    """Walks the tokens once, from left to right."""

    def __init__(self, source: str, tokens: list[_Token]) -> None:
        self.said, self.tokens = source, tokens
        self.place = 0
        self.depth = 0

    def whole(self) -> Node:
        node = self.comparison()
        if self.now.kind != "end":
            text = quoted(self.now.text)
            raise self.wrong(f"{text} is not expected there; is a sign or a parenthesis missing?")
        return node

    @property
    def now(self) -> _Token:
        return self.tokens[self.place]

    def wrong(self, sentence: str) -> BadValue:
        return BadValue(f"In {quoted(self.said)}, {sentence}")

    def take(self, *signs: str) -> str | None:
        if self.now.kind == "sign" and self.now.text in signs:
            self.place += 1
            return self.tokens[self.place - 1].text
        return None

    def since(self, start: int) -> str:
        return self.said[start : self.tokens[self.place - 1].end]

    def comparison(self) -> Node:
        start, left = self.now.start, self.sum()
        sign = self.take("<", "<=", ">", ">=", "==", "!=")
        if sign is None:
            return left
        right = self.sum()
        return Binary(self.since(start), sign, left, right)

    def sum(self) -> Node:
        start, left = self.now.start, self.product()
        while sign := self.take("+", "-"):
            right = self.product()
            left = Binary(self.since(start), sign, left, right)
        return left

    def product(self) -> Node:
        start, left = self.now.start, self.factor()
        while sign := self.take("*", "/"):
            self.refuse_two_readings(sign)
            right = self.factor()
            left = Binary(self.since(start), sign, left, right)
        return left

    def refuse_two_readings(self, sign: str) -> None:
        """A measure with a hyphen after * or /, or a fraction after /, might be split."""
        token = self.now
        hyphen = token.groups.get("join") == "-"
        if token.kind != "measure":
            return
        if hyphen or (sign == "/" and token.groups["over"]):
            text = token.text
            other = "spaces around the minus" if hyphen else "the value as a decimal"
            raise self.wrong(
                f"{quoted(text)} after {sign} may be read two ways; write ({text}), or {other}."
            )

    def factor(self) -> Node:
        self.depth += 1
        if self.depth > DEEPEST:
            raise self.wrong(f"parentheses are nested more than {DEEPEST} deep; use parameters.")
        node = self.inner_factor()
        self.depth -= 1
        return node

    def inner_factor(self) -> Node:
        token = self.now
        if self.take("-"):
            inner = self.factor()
            return Negated(self.since(token.start), inner)
        if self.take("("):
            node = self.comparison()
            self.close()
            return node
        if token.kind in ("measure", "number"):
            self.place += 1
            return Literal(self.since(token.start), self.measure(token))
        if token.kind == "name":
            self.place += 1
            return self.named(token)
        if token.kind == "end":
            raise BadValue(f"{quoted(self.said)} stops too early; a value is missing at its end.")
        raise self.wrong(f"a value is missing before {quoted(token.text)}.")

    def close(self) -> None:
        if self.take(")") is None:
            raise self.wrong("a closing parenthesis is missing.")

    def named(self, token: _Token) -> Node:
        if self.take("(") is None:
            return Name(self.since(token.start), token.text)
        if token.text not in FUNCTIONS:
            known = ", ".join(FUNCTIONS)
            raise self.wrong(f"{quoted(token.text)} is not a function; there is {known}.")
        values = [self.comparison()]
        while self.take(","):
            values.append(self.comparison())
        self.close()
        least, most = FUNCTIONS[token.text]
        if not least <= len(values) <= most:
            wanted = f"{least}" if least == most else f"{least} to {most}"
            raise self.wrong(f"{token.text} takes {wanted} values, not {len(values)}.")
        return Call(self.since(token.start), token.text, tuple(values))

    def measure(self, token: _Token) -> Measure:
        groups = token.groups
        if groups["number"]:
            return Measure(Fraction(groups["number"]), 0)
        part = Fraction(groups["decimal"] or 0)
        if groups["over"] and groups["under"]:
            if int(groups["under"]) == 0:
                raise self.wrong(f"{quoted(token.text)} divides by zero.")
            part = Fraction(int(groups["over"]), int(groups["under"]))
        if groups["whole"] and part >= 1:
            raise self.wrong(f"{quoted(token.text)} has a fraction of one or more after a whole.")
        power = 2 if groups["square"] else 1
        size = NANOMETERS[UNITS[groups["unit"] or ""]] ** power
        return Measure((int(groups["whole"] or 0) + part) * size, power)


def evaluate(node: Node, look_up: Callable[[str], Measure]) -> Measure:
    """Work a tree out: first whether its dimensions agree, then its value.

    >>> inch = 25_400_000
    >>> def shelf(name: str) -> Measure:
    ...     return {"width": Measure(Fraction(18 * inch), 1), "n": Measure(Fraction(3), 0)}[name]
    >>> evaluate(read_formula("width - 2 * 23/32 in"), shelf).value / inch
    Fraction(265, 16)
    >>> evaluate(read_formula("if(n > 2, ceil(width / 5 in), 0)"), shelf)
    Measure(value=Fraction(4, 1), power=0)
    >>> evaluate(read_formula("width + 2"), shelf)
    Traceback (most recent call last):
    ledger.designs.tree.UnitMissing: “2” has no unit in “width + 2”: write width + 2 in (or mm).
    >>> evaluate(read_formula("n / (n - 3)"), shelf)
    Traceback (most recent call last):
    ledger.errors.BadValue: “n / (n - 3)” divides by zero.
    """
    power = node.power(look_up)
    return Measure(node.value(look_up), power)
