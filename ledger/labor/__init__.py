"""Labor: operations and their standards of time, hours as they were worked, what they teach.

An operation's hours follow a count from the parts list (`standards`, `estimate`). Hours are logged
after the fact or by the one clock (`log`, `clock`), by the owner and helpers (`people`), and stand
beside the hours that the job was planned at (`plan`). Closed jobs and past jobs that were loaded
(`past`) are lessons (`history`, `learning`): as log ratios (`observations`) they are pooled into
effects of operations and groups (`effects`) and a level of the shop that may move (`level`), from
which the next job's hours are foretold (`forecast`, `hours_range`). Whether past points held is
told by an exact test (`calibration`, `replay`); the nearest jobs give a rough price (`nearest`).

The door imports nothing, so that an entry of hours starts at once. Outside names, by module:
`standards.standards`, `estimate.standard_hours`, `history.history`, `hours_range.foretell`,
`log.log_hours`, `plan.save_plan`, `past.save_past_jobs`, `nearest.rough_price`.
"""
