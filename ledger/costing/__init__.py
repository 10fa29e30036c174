"""Costing: from parts, prices and hours to a price, every figure able to say where it came from.

Pure arithmetic over what the rooms below know: `takeoff` turns a build, its layouts and today's
prices into lines; `rates` turns yearly figures into rates an hour; `buildup` adds lines, hours and
other costs up to the price; `markup` keeps markup and margin apart; `forgotten` is the list of
costs that get forgotten, `cautions` the cautions a piece calls for. `sheet.CostSheet` holds it all.
Money is rounded where a line is made, and what is split adds up again.
"""
