"""Labels for every single part, on common label stock: which part, which way round, from where.

Sizes of the stock are whole micrometers. A sheet that printers draw a little beside its place is
put right by the setting `label_shift`; nothing stands nearer to a label's edge than its inset.
"""

from collections.abc import Iterator

from msgspec import Struct

from ledger.errors import BadValue
from ledger.papers.engine import Paper
from ledger.papers.words import A4, LETTER, Words, cut
from ledger.reports.shop_pack import Copy, Pack, front_edge


class LabelStock(Struct, frozen=True):
    """A sheet of labels: how many across and down, and all sizes in micrometers.

    `left` and `top` are where the first label begins, `inset` what stays white inside each.
    """

    name: str
    across: int
    down: int
    width: int
    height: int
    left: int
    top: int
    pitch_across: int
    pitch_down: int
    inset: int

    @property
    def count(self) -> int:
        """Labels on one sheet."""
        return self.across * self.down

    def place(self, number: int) -> tuple[int, int]:
        """Where a label begins, from left and top; they are counted row by row from 0."""
        row, column = divmod(number, self.across)
        return self.left + column * self.pitch_across, self.top + row * self.pitch_down


STOCKS = {
    # makers' templates for the common sheet of 30: 2-5/8 × 1 in
    LETTER: LabelStock("letter, 30 labels of 2-5/8 × 1 in", 3, 10, 66_675, 25_400, 4_763, 12_700,
                       69_850, 25_400, 3_175),
    # template data of gLabels 3.4.1 for the common sheet of 24, set in the middle of the paper;
    # printers leave 4 to 5 mm of its edge white
    A4: LabelStock("A4, 24 labels of 70 × 37 mm", 3, 8, 70_000, 37_000, 0, 500, 70_000, 37_000,
                   5_000),
}  # fmt: skip
"""The stock that fits each size of paper."""

LONGEST_MARK, LONGEST_NAME = 24, 46
"""So many letters of an id and of a line of words are printed."""


def labels_paper(
    pack: Pack,
    shop: str,
    size: str,
    *,
    first: int = 1,
    shift_nm: tuple[int, int] = (0, 0),
    is_proof: bool = False,
) -> Paper:
    """A label for every part of a job, begun at the `first` free one of a sheet.

    All is moved by the shift, to the right and downward. A proof has the outlines of the labels,
    to be held against the stock.

    Raises:
        BadValue: the sheet has no such label.
    """
    stock = STOCKS[size]
    if not 1 <= first <= stock.count:
        raise BadValue(f"--from is 1 to {stock.count}: a sheet is {stock.name}; not {first}.")
    copies = list(pack.copies())
    numbers = range(first - 1, first - 1 + len(copies))
    pages: list[list[Words]] = [[] for _ in range(numbers.stop // stock.count + 1)]
    for number, copy in zip(numbers, copies, strict=True):
        page, at = divmod(number, stock.count)
        pages[page].append({**_place(stock, at, shift_nm), **_words(pack, copy)})
    outlines: list[Words] = []
    if is_proof:
        outlines += [_place(stock, at, shift_nm) for at in range(stock.count)]
    return Paper(
        template="labels",
        title=f"Labels {pack.sheet.job}: {pack.sheet.title}",
        author=shop,
        day=pack.sheet.as_of,
        size=size,
        footer="",
        texts={
            "width": _mm(stock.width),
            "height": _mm(stock.height),
            "inset": _mm(stock.inset),
            "outlines": outlines,
            "pages": [page for page in pages if page],
        },
    )


def _place(stock: LabelStock, at: int, shift_nm: tuple[int, int]) -> dict[str, Words]:
    across, down = stock.place(at)
    return {"x": _mm(across + shift_nm[0] // 1000), "y": _mm(down + shift_nm[1] // 1000)}


def _mm(micrometers: int) -> str:
    whole, rest = divmod(abs(micrometers), 1000)
    return f"{'-' if micrometers < 0 else ''}{whole}.{rest:03}"


def _words(pack: Pack, copy: Copy) -> dict[str, Words]:
    part = copy.part
    size = pack.size(part.length.nm, part.width.nm)
    if part.thickness:
        size = f"{pack.show(part.length.nm)} × {pack.size(part.width.nm, part.thickness.nm)}"
    count = f" ({copy.number} of {part.quantity})" if part.quantity > 1 else ""
    return {
        "mark": cut(copy.mark, LONGEST_MARK),
        "side": copy.side,
        "job": pack.job_of(copy.mark),
        "place": cut(copy.place, LONGEST_NAME),
        "lines": list(_lines(f"{cut(part.name, LONGEST_NAME - len(count))}{count}", size)),
        "edge": front_edge(part),
    }


def _lines(*words: str) -> Iterator[str]:
    return (cut(line, LONGEST_NAME) for line in words if line)
