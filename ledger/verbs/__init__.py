"""What is done at the bench, for every front: the terminal and the page call the same verbs.

A verb takes the open book and plain values or words as they are typed. It posts one entry and
gives back a frozen result whose fields say what happened; sentences are made by the fronts. Money
stands in a field of its own (`cost`), so that a front which shows none leaves that out. What looks
like a slip raises a `Question`: ask, and call again with `sure=True`. What may take long (laying
out sheets) is worked out by a function of its own before the posting, so that a front may do it
with another open book, and hold the book only while it posts.

    hours.read_target(book, words, kind, line=)       → Target, of `bed spray` or `shop sweeping`
    hours.read_people(book, by, helpers)              → names
    hours.plan_for(book, job, waiting)                → JobPlan; may lay out sheets
    hours.enter(book, time_entry, plan, sure=)        → PostedHours
    hours.enter_several(book, entries, sure=)         → PostedHours of each, in one entry
    hours.logged(book, job, first=, last=)            → LoggedDays, days without any among them
    hours.of_job(book, job, plan)                     → JobHours, line by line
    clock.switch(book, target, moment, plan, people=, part=, note=, sure=)   → Switched
    clock.end(book, moment, plan, sure=)              → Stopped
    stock.issue(book, words, lot=, on=, why=)         → the job, and Moved, one of each material,
                                                        several in one entry
    stock.read_estimate(book, job, differs)           → EstimatedNeeds; may lay out sheets
    stock.issue_estimated(book, estimate, on=)        → Moved
    stock.give_back(book, words, lot=, on=, why=)     → the job, and Moved
    stock.take_out(book, kind, words, lot=, on=, why=, job=)                 → Moved
    stock.send_back(book, words, lot=, on=, why=, job=, others=)             → GoodsSent
    shared_sheets.issue_together(book, words, on=)    → SharedMove, each job's part of shared sheets
    shared_sheets.give_back_together(book, words, on=)         → SharedMove
    stock.count(book, rows, words=, on=)              → Counted, one of each material
    offcuts.keep(book, job, material, sizes, on=)     → KeptPieces
    receipt.add(book, TypedReceipt(lines=, supplier=, total=, …)) → ReceiptNow
    receipt.read(book, receipt)                       → ReceiptNow, where its goods went
    cutting.sheets_to_cut(book, job)                  → SheetToCut, what is cut of each sheet
    cutting.cut_parts(book, job, digest, sheet, parts)        → SheetToCut
    basis.set_basis(book, job, design, values, parts, pieces) → what boards lack; also is_made_so
    sponsor.take_in(book, name, given, day)           → PostedReceipt, goods in kind or on loan
    photos.add_photo(book, content, about, job=, …)   → Photo, kept beside the book
    photos.photos_to_enter(book)                      → photos of receipts that wait for the desk
    cutting.of_job(book, job, progress=)              → JobLayouts: sheets, boards; may lay out
    cutting.pack_of(book, laid)                       → Pack, what the shop pack tells
    cutting.joint_pack(book, laid)                    → Pack of jobs that are cut together
    papers.of_job(book, job)                          → each paper of a job, or why it has none
    starters.own_starter(book, name, wish, materials)  → OwnStarter, its materials and why these
    starters.take_starter(book, job, own, values)      → what boards lack
    starters.load_starting_materials(book)             → the new codes
    rough.rough_answer(book, phrase, hours)            → RoughAnswer; may lay out sheets

What is short enough stands in the rooms below: `labor.clock.running` and `moment_of` for the clock,
`labor.log.last_entry` for hours to be entered again, `jobs.income.add_spoiled` for what rework
spoiled, `book.questions.entries.last_entries` and `upkeep.undo.take_back`, `reports.today` for what
is open and due, and `book.copies.copy_once_a_day` before the first posting of a day.
"""
