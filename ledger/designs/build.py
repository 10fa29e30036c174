"""Working a design out: every formula of it for one set of values, all flaws at once."""

from collections.abc import Mapping

from ledger.designs.built import Build
from ledger.designs.model import Design


def build(design: Design, values: Mapping[str, str], units: str | None = None) -> Build:
    """The concrete piece that the values make of the design."""
    raise NotImplementedError
