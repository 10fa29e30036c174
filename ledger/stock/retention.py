"""How long the papers of composite panels are kept, and what a receipt of panels still lacks."""

from datetime import date

from ledger.book.tables.ground import Material

PANEL_YEARS = 3


def keep_until(day: date, years: int = PANEL_YEARS) -> date:
    """The last day papers of that day are kept; from 29 February it is the first of March.

    >>> str(keep_until(date(2025, 5, 5))), str(keep_until(date(2024, 2, 29)))
    ('2028-05-05', '2027-03-01')
    """
    try:
        return day.replace(year=day.year + years)
    except ValueError:
        return date(day.year + years, 3, 1)


def panel_note(material: Material, statement: str, day: date) -> str:
    """What to look at again when composite panels come without the supplier's statement."""
    if not material.composite or statement.strip():
        return ""
    return (
        f"{material.code} {material.name}: no compliance statement of the supplier is noted. Ask"
        f" for it and keep it with the receipt at least until {keep_until(day)}; what the law asks"
        " of you, the authority says."
    )
