"""What is done at the bench, for every front: the terminal and the page call the same verbs.

A verb takes the open book and plain values or words as they are typed. It posts one entry and
gives back a frozen result: what is said of it stands in fields, never as a sentence; money stands
in a field of its own (`cost`), so that a front which shows none leaves that out. What looks like a
slip raises a `Question`: ask, and call again with `sure=True`. What may take long (laying out
sheets) is worked out by a function of its own before the posting, so that a front may do it with
another open book, and hold the book only while it posts.

    hours.read_target(book, words, kind)                      → Target(job, doing, kind)
    hours.read_people(book, by, helpers)                      → names
    hours.plan_for(book, job, waiting)                        → JobPlan, may lay out sheets
    hours.enter(book, time_entry, plan, sure=)                → PostedHours
    hours.logged(book, job, first=, last=)                    → LoggedDays, with days that lack any
    hours.of_job(book, job, plan)                             → JobHours, each line with its bar
    clock.switch(book, target, moment, plan, people=, part=, note=, sure=) → Switched
    clock.end(book, moment, plan, sure=)                      → Stopped
    stock.issue(book, words, lot=, on=, why=, on_camera=)     → Moved, one of each material
    stock.read_estimate(book, job, differs)                   → Estimated, may lay out sheets
    stock.issue_estimated(book, estimated, on=)               → Moved
    stock.give_back(book, words, lot=, on=, why=)             → Moved
    stock.take_out(book, kind, words, lot=, on=, why=, job=)  → Moved
    stock.send_back(book, words, lot=, on=, why=, job=, others=) → SentBack
    stock.count(book, words, counted, on=)                    → Counted, one of each material
    stock.keep(book, job, material, sizes, on=)               → Kept
"""
