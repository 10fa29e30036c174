"""What frozen values have beside their fields."""

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    # What is replaced is checked, its names and types, in the standard library's function alone.
    from dataclasses import replace as replace
else:
    from msgspec.structs import replace as replace

NEVER_WRITTEN: Final = "never written"
"""Marks a field, in `Annotated`, that is no part of a page."""

WRITTEN_IF_OTHER: Final = "written if other"
"""Marks a field, in `Annotated`, that came later: at its default it is not kept in pages."""
