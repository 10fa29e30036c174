"""Cost that came to jobs after they were closed or canceled, as facts for other programs."""

from typing import Any

from ledger.jobs.late import LateCost
from ledger.measures.money import Currency, Money


def late_json(row: LateCost, currency: Currency) -> dict[str, Any]:
    """What came to a job after it was closed, as facts: money as decimal strings."""

    def money(amount: Money) -> str:
        return str(currency.decimal(amount))

    return {
        "job": row.job.number,
        "state": row.job.state,
        "since": row.job.day.isoformat(),
        "material": money(row.material),
        "material_cash": money(row.material_cash),
        "use_tax": money(row.use_tax),
        "helpers": money(row.helpers),
        "owner_minutes": row.owner_minutes,
        "owner": money(row.owner),
        "other": money(row.other),
        "cost": money(row.cost),
    }
