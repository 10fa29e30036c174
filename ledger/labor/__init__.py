"""Labor: operations and their standards of time, hours as they were worked, what they teach.

An operation's hours follow a count from the parts list (`standards`, `estimate`). Hours are logged
after the fact or by the one clock (`log`, `clock`), by the owner and helpers (`people`), and stand
beside the hours that the job was planned at (`plan`). Closed jobs and past jobs that were loaded
(`past`) are lessons (`history`); they teach a ratio an operation and the range of the next job's
hours (`learning`, `statistics`); the nearest of them give a rough price (`nearest`).

Outside names: `standards`, `estimate_line`, `history`, `predict`, `log_hours`, `save_plan`,
`save_past_jobs`, `rough_price`; the values they take and give stand in their modules.
"""

from ledger.labor.estimate import estimate_line
from ledger.labor.history import history
from ledger.labor.learning import predict
from ledger.labor.log import log_hours
from ledger.labor.nearest import rough_price
from ledger.labor.past import save_past_jobs
from ledger.labor.plan import save_plan
from ledger.labor.standards import standards

__all__ = [
    "estimate_line",
    "history",
    "log_hours",
    "predict",
    "rough_price",
    "save_past_jobs",
    "save_plan",
    "standards",
]
