"""Jobs that share sheets: what the sheets cost together, and what each job pays of them.

A job's share is what the sheets cost together × what it pays alone ÷ what all pay alone. What it
pays alone is its own layout at the same prices less the credit of its usable offcuts. So none pays
more than alone as long as they cost less together; by area of parts many would.
"""

from collections.abc import Mapping
from fractions import Fraction

from msgspec import Struct

from ledger.cutting.layout import Layout
from ledger.measures.money import Money, split, total


class SheetCost(Struct, frozen=True):
    """What the sheets of a layout cost, and the credit of the usable offcuts that it leaves."""

    sheets: int
    sheets_cost: Money
    offcuts: Money

    @property
    def cost(self) -> Money:
        """The sheets less the credit of their offcuts."""
        return self.sheets_cost - self.offcuts


class JobShare(Struct, frozen=True):
    """One job's share: what it would pay alone, and what it pays of sheets and offcuts."""

    job: str
    alone: SheetCost
    sheets_cost: Money
    offcuts: Money

    @property
    def cost(self) -> Money:
        """What it pays: of the sheets, less its part of the offcuts."""
        return self.sheets_cost - self.offcuts

    @property
    def saved(self) -> Money:
        """What it pays less than alone."""
        return self.alone.cost - self.cost


class Sharing(Struct, frozen=True):
    """What the sheets of one material cost together, and each job's share; they add up to it."""

    together: SheetCost
    shares: tuple[JobShare, ...]

    @property
    def alone(self) -> SheetCost:
        """What all jobs pay where each is cut alone."""
        return SheetCost(
            sum(share.alone.sheets for share in self.shares),
            total(share.alone.sheets_cost for share in self.shares),
            total(share.alone.offcuts for share in self.shares),
        )

    @property
    def is_worth_it(self) -> bool:
        """Whether sheets and cost are less together, and no job pays more than alone.

        That holds with the offcuts and, until they are put on the rack, without them.
        """
        alone = self.alone
        return (
            self.together.sheets <= alone.sheets
            and self.together.sheets_cost < alone.sheets_cost
            and self.together.cost < alone.cost
            and all(
                share.cost <= share.alone.cost and share.sheets_cost <= share.alone.sheets_cost
                for share in self.shares
            )
        )


def sheet_cost(layout: Layout, offcut_value: Fraction) -> SheetCost:
    """What a layout costs; an offcut is worth a share of what its area cost, as on the rack."""
    area = sum(sheet.area for sheet in layout.sheets)
    kept = sum(rest.area for sheet in layout.sheets for rest in sheet.leftovers if rest.usable)
    cost = Money(layout.cost)
    credit = cost.times(Fraction(kept, area or 1) * offcut_value)
    return SheetCost(len(layout.sheets), cost, credit)


def share_out(together: SheetCost, alone: Mapping[str, SheetCost]) -> Sharing:
    """Share a cost in proportion to what the jobs pay alone, to the cent by largest remainder.

    Where nothing costs anything alone, all pay alike.
    """
    weights = [one.cost.minor for one in alone.values()]
    if not any(weights):
        weights = [1] * len(weights)
    parts = zip(split(together.sheets_cost, weights), split(together.offcuts, weights), strict=True)
    return Sharing(
        together,
        tuple(
            JobShare(job, one, sheets, offcuts)
            for (job, one), (sheets, offcuts) in zip(alone.items(), parts, strict=True)
        ),
    )
