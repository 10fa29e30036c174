"""Designs: parametric parts lists, and the concrete piece that one set of values makes of them.

A `Design` (`model`) is what the maker keeps in a spreadsheet: parameters with limits, parts,
joints, hardware and supplies, counts, finish, what the piece contains and what a quote says of it.
Sizes and counts may be plain values or arithmetic over parameters (`cells`, `formula`, `tree`):
exact, checked in dimension, and never Python's `eval`. `build` works a design out for one set of
values (`scope` the names, `row` and `lines` the tables, `counting` what follows from them by the
rules of thumb in `counting_rules`, `closing` what its sums must come to) and gives a `Build`
(`built`): sizes in nanometers and the counts that drive labor. `expanding` writes sub-assemblies
out, `metric` turns inches into round millimeters; `words` and `kinds` make the starter designs in
`starters/` a book's own. `store` keeps designs in the book, one numbered
version after another; old jobs keep theirs. `example` is a small bookcase to start from.

Outside names: `model.Design` and its rows, `build.build`, `build.flaws_of`, `built.Build`,
`store.save_design`, `store.load_design`. Only `store` reaches the book.
"""
