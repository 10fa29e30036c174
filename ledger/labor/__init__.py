"""Labor: operations and their standards of time, hours as they were worked, what they teach.

An operation's hours follow a count from the parts list (`standards`, `estimate`). Hours are logged
after the fact or by the one clock (`log`, `clock`), by the owner and helpers (`people`), and stand
beside the hours that the job was planned at (`plan`). Closed jobs and past jobs that were loaded
(`past`) are lessons (`history`); they teach a ratio an operation and the range of the next job's
hours (`learning`, `statistics`); the nearest of them give a rough price (`nearest`).

The door imports nothing, so that an entry of hours starts at once. Outside names, by module:
`standards.standards`, `estimate.estimate_line`, `history.history`, `learning.predict`,
`log.log_hours`, `plan.save_plan`, `past.save_past_jobs`, `nearest.rough_price`.
"""
