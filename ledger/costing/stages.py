"""The stages of the work that parts lists call for, and the gap where one has no hours."""

from collections.abc import Mapping, Sequence

from msgspec import Struct

from ledger.measures.spoken import how_many
from ledger.measures.values import replace

STAGES: Mapping[str, str] = {
    "sheet cutting": "breaking down and cutting sheets",
    "milling": "flattening, thicknessing and ripping rough boards",
    "board cutting": "cutting rough boards to length",
    "banding": "banding edges",
    "joinery": "cutting joints that are neither pocket holes nor dowels",
    "pocket holes": "drilling pocket holes",
    "doweling": "drilling and gluing dowels",
    "gluing up panels": "jointing and gluing strips into panels",
    "shaping edges": "rounding and profiling edges",
    "tapering": "tapering legs",
    "turning": "turning spindles and bowls",
    "solid edging": "gluing on solid edging and flushing it",
    "sanding solid wood": "sanding or scraping solid wood",
    "sanding before paint": "sanding raw sheets before paint",
    "tenons": "cutting mortises and tenons",
    "loose tenons": "cutting loose tenons",
    "laps": "cutting laps",
    "dovetails": "cutting dovetails",
    "frame joints": "cutting frame corners",
    "miters": "cutting mitered wraps",
    "assembly": "putting the parts together",
    "parts held": "how parts are held that no joint names",
    "faces to finish": "which faces get finish",
    "coating": "coats of a finish",
    "sanding": "sanding before the finish",
    "filling": "filling before paint",
    "doors": "hanging doors",
    "lids": "hanging lids",
    "flaps": "hanging flaps",
    "gates": "hanging gates",
    "hatches": "hanging hatches",
    "leaves": "hanging leaves",
    "drawers": "fitting drawers",
    "counted twice": "work that seems counted twice",
    "unused counts": "counts that no operation is timed by",
    "spraying": "spraying the finish",
    "brushing": "brushing the finish",
    "wiping": "wiping the finish on",
    "finished faces": "sanding and finishing",
    "fitting hardware": "fitting hardware",
    "installation": "fitting on site",
    "delivery": "loading and driving",
    "new finish": "a finish where the old one is taken off",
}
"""The stages of the work, as a gap names them and an answer closes them."""


class Gap(Struct, frozen=True):
    """A stage without hours, what in the design calls for it, and the command that counts it.

    `settled` says what else settles it, where no count does.
    """

    what: str
    basis: str
    command: str
    settled: str = ""
    is_recounted: bool = False
    """It is a count made by hand that has grown old: only counting again settles it."""
    is_price: bool = False
    """It is the price of others' work that is open, and no hours."""

    @property
    def is_answerable(self) -> bool:
        """Whether an amount, 0 allowed, settles it."""
        return not (self.is_price or self.is_recounted)

    @property
    def is_left_out(self) -> bool:
        """Whether the price lacks it; a guess, an old count and work counted twice are in it."""
        return self.is_answerable and self.what != "counted twice"

    @property
    def counted(self) -> str:
        """The code of the operation that its command counts, nothing where it counts none."""
        words = self.command.split()
        return words[4] if words[1:3] == ["job", "count"] else ""

    def sentence(self, job: str) -> str:
        """The gap as it is told before a price, with both ways to close it."""
        if self.is_price:
            return f"No price yet for {self.what}: {self.basis}. When it is in: {self.command}"
        none = f"benchledger job answer {job} {_quoted(self.what)} 0"
        if self.settled:
            begun = self.basis[:1].upper() + self.basis[1:]
            way = f"{begun}: {self.settled} ({self.command})."
            return way if self.is_recounted else f"{way} It is right so: {none}"
        return (
            f"No hours for {self.what}: {self.basis}. Count them: {self.command}"
            f" or say there are none: {none}"
        )


def open_words(gaps: Sequence[Gap]) -> str:
    """How many open items there are, as it stands above a price and at a quote.

    >>> open_words([Gap("filling", "", ""), Gap("caning", "40.00 is a guess", "", is_price=True)])
    '2 open items; the price leaves 1 of them out:'
    """
    items, out = len(gaps), sum(gap.is_left_out for gap in gaps)
    if not out:
        return (
            f"{how_many(items, 'open item')}; the price counts {'it' if items == 1 else 'them'} in:"
        )
    which = f"{out} of them" if out < items else "it" if items == 1 else "them"
    return f"{how_many(items, 'open item')}; the price leaves {which} out:"


def of_job(gap: Gap, job: str) -> Gap:
    """An open item whose command names the job; `JOB` stands for it in a list for any job."""
    return replace(gap, command=f"benchledger {gap.command.replace(' JOB ', f' {job} ')}")


def _quoted(words: str) -> str:
    return f'"{words}"' if " " in words else words
