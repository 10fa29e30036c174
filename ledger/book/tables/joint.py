"""Jobs that share sheets: joint layouts, each job's share, and what they took of the sheets."""

from ledger.book.tables.base import Posted, column
from ledger.measures.money import Money


class JointPlan(Posted, table=True):
    """How one material is laid for several jobs; all materials of one entry are one joint plan."""

    __tablename__ = "joint_plan"

    material: str
    layout: str
    question: str
    sheets: int
    new_sheets: int
    sheets_cost: Money = column(Money)
    offcuts: Money = column(Money)
    plan: str


class JointShare(Posted, table=True):
    """What a job pays of a joint plan's sheets and gets of its offcuts, and what it pays alone."""

    __tablename__ = "joint_share"

    joint_plan: int
    job: int
    parts: str
    alone_sheets: int
    alone_sheets_cost: Money = column(Money)
    alone_offcuts: Money = column(Money)
    sheets_cost: Money = column(Money)
    offcuts: Money = column(Money)

    @property
    def alone(self) -> Money:
        """What the job pays alone: what its share is in proportion to."""
        return self.alone_sheets_cost - self.alone_offcuts


class JointIssue(Posted, table=True):
    """A movement by which a job took its share of sheets of a joint plan."""

    __tablename__ = "joint_issue"

    joint_plan: int
    movement: int


class JointOffcut(Posted, table=True):
    """An offcut of a joint plan's sheets, or a movement that passes a part of its credit on."""

    __tablename__ = "joint_offcut"

    joint_plan: int
    lot: int
    movement: int | None = None
