"""`benchledger layout JOB JOB --together`: jobs that share sheets, and what each pays of them."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from ledger.cli import voice
from ledger.cli.layout_shown import JobFiles, LayoutView, draw_sheets, show_all
from ledger.cli.opened import open_shop
from ledger.cutting.record import layout_to_dict
from ledger.measures.plain import plain_fields, plain_rows
from ledger.measures.spoken import how_many

if TYPE_CHECKING:
    from ledger.book import Book
    from ledger.costing.shared import SheetCost
    from ledger.jobs.together import JointLayout, JointMaterial
    from ledger.measures.money import Currency

HOURS = (
    "Hours and prices of each job stay those of its own layout, for a quote never depends on"
    " another job."
)


def lay_jobs(names: Sequence[str], harder: bool, files: JobFiles, *, as_json: bool) -> None:
    """Lay jobs together, write what is asked for, keep the joint plan, and say it."""
    from ledger.jobs.jobs import find_job
    from ledger.jobs.together import keep_together, lay_together

    with open_shop() as book, voice.wait("Laying out the sheets …") as tell:
        laid = lay_together(
            book, [find_job(book, name) for name in names], harder=harder, progress=tell
        )
        view = _view(book, laid)
        _put_files(book, laid, view, files)
        is_new = laid.entry is None
        if harder and not is_new:
            voice.note(f"It is kept. To search longer: benchledger undo {laid.entry}, then again.")
        laid = keep_together(book, laid)
        if as_json:
            record = layout_to_dict(view.plans, view.digits, with_cuts=True)
            voice.print_json(record | {"together": _json(laid, book.currency)})
            return
        show_all(view)
        for words in laid.not_shared:
            voice.note(words)
        for one in laid.materials:
            _show_shares(one, book.currency)
        voice.note(HOURS)
        since = "Kept" if is_new else f"Kept since {laid.day}"
        back = f"Take it back: benchledger undo {laid.entry}"
        after = "Sheets of it are issued." if laid.are_issued else back
        voice.say(f"{since}: {laid.names} are cut together. {after}")


def _put_files(book: "Book", laid: "JointLayout", view: LayoutView, files: JobFiles) -> None:
    """Write the shop pack, cut list, labels and drawings that are asked for."""
    if files.svg:
        draw_sheets(view, files.svg)
    if files.pdf or files.xlsx or files.labels:
        from ledger.cli.job_papers import write_labels, write_pack
        from ledger.verbs.cutting import joint_pack

        pack = joint_pack(book, laid)
        write_pack(book, pack, files.pdf, files.xlsx)
        if files.labels:
            write_labels(book, pack, files.labels, first=files.first, is_proof=files.proof)


def _view(book: "Book", laid: "JointLayout") -> LayoutView:
    from ledger.stock.materials import NO_GRAIN, materials

    known = materials(book)
    shared = [one.problem.material for one in laid.materials]
    thick = {code: known[code].thickness for code in shared if code in known}
    return LayoutView(
        [(one.problem, one.layout) for one in laid.materials],
        book.units,
        book.currency.digits,
        laid.names,
        book.settings.saw_reach,
        day=str(book.today),
        thick={code: length for code, length in thick.items() if length},
        plain={code for code in thick if known[code].grain == NO_GRAIN},
    )


def _show_shares(one: "JointMaterial", currency: "Currency") -> None:
    """Say what the sheets cost together, and what each job pays and saves."""
    sharing, show = one.sharing, currency.show
    together, counts = sharing.together, [str(share.alone.sheets) for share in sharing.shares]
    kept = f" less {show(together.offcuts)} for usable offcuts" if together.offcuts else ""
    voice.say()
    voice.say(
        f"{one.problem.material}: {how_many(together.sheets, 'sheet')} together (alone"
        f" {' + '.join(counts)}), {show(together.sheets_cost)}{kept}; each job's share is in"
        " proportion to its cost alone."
    )
    rows = [
        [share.job, *map(show, (share.alone.cost, share.sheets_cost, share.offcuts, share.cost,
                                share.saved))]
        for share in sharing.shares
    ]  # fmt: skip
    alone = sharing.alone.cost
    sums = (alone, together.sheets_cost, together.offcuts, together.cost, alone - together.cost)
    heads = (">alone", ">of the sheets", ">of the offcuts", ">share", ">saved")
    voice.table([one.problem.material, *heads], rows, footer=["together", *map(show, sums)])


def _json(laid: "JointLayout", currency: "Currency") -> dict[str, Any]:
    return {
        "jobs": plain_rows(laid.jobs, "job=number title"),
        "entry": laid.entry,
        "since": laid.day and laid.day.isoformat(),
        "materials": [
            {
                "material": one.problem.material,
                **_cost_json(one.sharing.together, currency),
                "alone": _cost_json(one.sharing.alone, currency),
                "shares": [
                    {"job": share.job, "alone": _cost_json(share.alone, currency)}
                    | plain_fields(share, "sheets_cost offcuts cost saved", currency)
                    for share in one.sharing.shares
                ],
            }
            for one in laid.materials
        ],
        "apart": list(laid.not_shared),
        "hours": HOURS,
    }


def _cost_json(costs: "SheetCost", currency: "Currency") -> dict[str, Any]:
    return plain_fields(costs, "sheets sheets_cost offcuts cost", currency)
