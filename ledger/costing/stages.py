"""The stages of the work that parts lists call for, and the gap where one has no hours."""

from collections.abc import Mapping
from dataclasses import dataclass

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


@dataclass(frozen=True, slots=True)
class Gap:
    """A stage without hours, what in the design calls for it, and the command that counts it."""

    what: str
    basis: str
    command: str
    is_price: bool = False
    """It is the price of others' work that is open, and no hours."""

    def sentence(self, job: str) -> str:
        """The gap as it is told before a price, with both ways to close it."""
        if self.is_price:
            return f"No price yet for {self.what}: {self.basis}. When it is in: {self.command}"
        return (
            f"No hours for {self.what}: {self.basis}. Count them: {self.command}"
            f" or say there are none: benchledger job answer {job} {_quoted(self.what)} 0"
        )


def _quoted(words: str) -> str:
    return f'"{words}"' if " " in words else words
