"""Cost that came to jobs after they were closed or canceled, as facts for other programs."""

from typing import Any

from ledger.jobs.late import LateCost
from ledger.measures.money import Currency
from ledger.measures.plain import plain_fields


def late_json(row: LateCost, currency: Currency) -> dict[str, Any]:
    """What came to a job after it was closed, as facts: money as decimal strings."""
    names = (
        "job=job.number state=job.state since=job.day"
        " material material_cash use_tax helpers owner_minutes owner other cost"
    )
    return plain_fields(row, names, currency)
