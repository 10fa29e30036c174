"""Designs: parametric parts lists, and the concrete piece that one set of values makes of them.

A `Design` (`model`) is what the maker keeps in a spreadsheet: parameters with limits, parts,
joints, hardware and supplies, counts, finish, what the piece contains and what a quote says of it.
Sizes and counts may be arithmetic over parameters (`formula`), exact, dimension-checked, and never
Python's `eval`. `build` works a design out for one set of values and gives a `Build` (`built`):
sizes in nanometers and the counts that drive labor, by the rules of thumb in `rules`. `store`
keeps designs in the book, one numbered version after another; old jobs keep theirs.

Outside names: `model.Design` and its rows, `build.build`, `build.flaws_of`, `built.Build`,
`store.save_design`, `store.load_design`. Only `store` reaches the book.
"""
