"""The review's material as tables and sentences: spend, prices, waste, the rack, sponsors."""

from collections.abc import Callable, Sequence
from fractions import Fraction

from ledger.measures.grouped import grouped
from ledger.measures.money import Money, total
from ledger.measures.rounding import half_up
from ledger.measures.spoken import how_many
from ledger.measures.units import show_count
from ledger.reports.review import MaterialReview, Review
from ledger.reports.review_figures import Part, Remark, ReviewBlock, ReviewRow, ReviewTable, percent
from ledger.reports.review_material import PriceChange, RackOfPeriod, Spending, SponsorGoods
from ledger.reports.review_read_result import LOST

MOST_PRICES = 10


def material_block(one: Review) -> ReviewBlock:
    """Spend, price changes, waste, the rack, sponsors' goods."""
    material, show = one.material, one.currency.show
    changed = [(row, change) for row in material.prices if (change := row.change) is not None]
    tables = [
        _spent("suppliers", "Spend by supplier, with freight and tax", material.by_supplier),
        _spent("categories", "Spend by category, with freight and tax", material.by_category),
        _months(material.by_category, show),
        ReviewTable("prices", "Prices of what most was spent on, a unit before tax and freight",
                    ("material", "spent", "bought", "first", "last", "change"),
                    tuple(_price(one, *row) for row in changed), ("spent",), MOST_PRICES),
        _wasted(material),
        _rack(material.rack),
        _sponsors(material.sponsors),
    ]  # fmt: skip
    remarks = []
    if not material.by_supplier:
        remarks.append(Remark("Nothing was bought in this time."))
    once = [row.landed for row in material.prices if row.change is None]
    if once:
        remarks.append(
            Remark(f"Bought once in these days, so without a change of price:"
                   f" {how_many(len(once), 'material')}, {show(total(once))}.")
        )  # fmt: skip
    rack = material.rack
    if rack.used:
        unknown = (
            f" {how_many(rack.unknown, 'piece')} of materials without a sheet size not counted."
        )
        remarks.append(
            Remark(f"The rack stood in for {rack.sheets} whole sheets by area,"
                   f" {show(rack.used_value)} at the value it carried."
                   + (unknown if rack.unknown else ""))
        )  # fmt: skip
    filled = tuple(table for table in tables if table.rows)
    return ReviewBlock("material", "Material", filled, tuple(remarks))


def _wasted(material: MaterialReview) -> ReviewTable:
    """What was thrown away, damaged or spoiled in rework, and in which line of the result it is."""
    lost = [(row.kind, row.words or row.category, row.job, row.full) for row in material.scrapped]
    lost += [
        (f"rework of {row.part}" if row.part else "rework", row.words, row.job, row.full)
        for row in material.spoiled
    ]
    rows = [
        ReviewRow(f"{words} ({how})", (f"material of {job}" if job else "material lost", full),
                  (Part(job or "no job", how, full),))
        for how, words, job, full in lost
    ]  # fmt: skip
    if len(rows) > 1:
        parts = tuple(part for row in rows for part in row.parts)
        whole = total(full for *_, full in lost)
        rows.append(ReviewRow("all of it", ("", whole), parts, is_sum=True))
    heads = ("what", "counted in", "worth")
    title = "Thrown away, damaged or spoiled"
    return ReviewTable("scrapped", title, heads, tuple(rows), ("worth",))


def _sponsors(sponsors: Sequence[SponsorGoods]) -> ReviewTable:
    """What each sponsor gave beside the content hours; one row of builds without any sponsor."""
    rows = []
    for one in sponsors if any(one.giver for one in sponsors) else ():
        hours, of = half_up(one.minutes / 60, 2), one.giver or "no sponsor"
        named = (("goods in kind", one.fair), ("sponsor fees", one.fee), ("content hours", hours))
        parts = tuple(Part(of, words, value) for words, value in named if value)
        cells = (one.fair, one.fee, one.gave, hours, one.hour, one.cost)
        if parts:
            name = one.giver or "builds of no sponsor"
            rows.append(ReviewRow(name, cells, parts, exact={3: one.minutes / 60}))
    heads = ("sponsor", "goods, fair value", "fee", "together", "content h", "an hour",
             "hours at break-even")  # fmt: skip
    title = "What sponsors gave beside your content hours on their builds"
    adds = tuple(head for head in heads[1:] if head != "an hour")
    return ReviewTable("sponsors", title, heads, tuple(rows), adds)


def _spent(key: str, title: str, spending: Sequence[Spending]) -> ReviewTable:
    whole = total(one.amount for one in spending)
    rows = [
        ReviewRow(one.name, (one.amount, percent(Fraction(one.amount.minor, whole.minor))
                             if whole else ""),
                  tuple(Part(month, one.name, amount) for month, amount in one.by_month))
        for one in spending
    ]  # fmt: skip
    if len(rows) > 1:
        parts = tuple(part for row in rows for part in row.parts)
        rows.append(ReviewRow(f"all {key}", (whole, ""), parts, is_sum=True))
    return ReviewTable(key, title, ("", "spent", "share"), tuple(rows), ("spent",))


def _months(spending: Sequence[Spending], show: Callable[[Money], str]) -> ReviewTable:
    months: dict[str, list[Part]] = {}
    for one in spending:
        for month, amount in one.by_month:
            months.setdefault(month, []).append(Part(one.name, "spent", amount))
    rows = []
    for month, parts in sorted(months.items()):
        amounts = [part.value for part in parts if isinstance(part.value, Money)]
        words = ", ".join(
            f"{part.of} {show(amount)}" for part, amount in zip(parts, amounts, strict=True)
        )
        rows.append(ReviewRow(month, (total(amounts), words), tuple(parts)))
    return ReviewTable("months", "Spend by month", ("month", "spent", "on"), tuple(rows))


def _price(one: Review, change: PriceChange, rise: Fraction) -> ReviewRow:
    unit = change.last.unit

    def shown(price: Fraction) -> str:
        return f"{half_up(price / 10**one.currency.digits, max(2, one.currency.digits)):f}/{unit}"

    parts = tuple(
        Part(line.day.isoformat(), f"{line.supplier}, {show_count(line.quantity, line.unit)}",
             line.net)
        for line in dict.fromkeys((change.first, change.last))
    )  # fmt: skip
    percents = half_up(rise * 100, 1)
    words = f"{percents:+f} %" if percents else "none"
    cells = (change.landed, f"{change.purchases} ×", shown(change.first.unit_net),
             shown(change.last.unit_net), words)  # fmt: skip
    return ReviewRow(change.material, cells, parts)


def _rack(rack: RackOfPeriod) -> ReviewTable:
    """The pieces by what became of them; those that left for no job by how they left."""
    gone = grouped(rack.gone, lambda piece: LOST.get(piece.kind, piece.kind.replace("_", " ")))
    named = {"put on the rack": rack.kept, "used from it": rack.used, "sold": rack.sold, **gone}
    rows = [
        ReviewRow(name, (len(pieces), total(p.full for p in pieces)),
                  tuple(Part(p.job or "no job", p.material, p.full) for p in pieces))
        for name, pieces in named.items()
        if pieces
    ]  # fmt: skip
    return ReviewTable("rack", "Offcuts", ("", "pieces", "value they carried"), tuple(rows))
