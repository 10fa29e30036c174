"""What the solver lays as one thing: a single part, or a block of matched parts.

Sequence-matched parts come from one sheet, one beside the other as they will be seen. They are
laid as one block with the kerf between; where a whole group does not fit a sheet it is split into
as few blocks as can be, which then come from consecutive sheets.
"""

from collections import defaultdict
from collections.abc import Iterable

from msgspec import Struct

from ledger.cutting.layout import Placement
from ledger.cutting.problem import CutPart, Problem
from ledger.cutting.slicing import Way, other
from ledger.measures.values import replace


class Member(Struct, frozen=True):
    """One part inside a unit: where it lies in it, and whose copy it is."""

    dx: int
    dy: int
    length: int
    width: int
    part: str
    mark: str


class Unit(Struct, frozen=True):
    """One or several parts that are laid as one; sizes without the kerf around it."""

    length: int
    width: int
    may_turn: bool
    members: tuple[Member, ...]

    def at(self, x_nm: int, y_nm: int, turned: bool) -> tuple[Placement, ...]:
        """Place its parts on a sheet; only a single part is ever turned."""
        return tuple(
            Placement(
                x_nm + member.dx,
                y_nm + member.dy,
                member.width if turned else member.length,
                member.length if turned else member.width,
                member.part,
                member.mark,
                turned,
            )
            for member in self.members
        )

    def rests(self, room_length: int, kerf: int) -> tuple[tuple[int, int, int, int], ...]:
        """Give what remains beside its shorter parts: x and y inside it, length, width."""
        stacked = len(self.members) > 1 and not any(member.dx for member in self.members)
        return tuple(
            (member.length + kerf, member.dy, room_length - member.length - kerf, member.width)
            for member in self.members
            if stacked and room_length - member.length > kerf
        )


def units_of(problem: Problem, way: Way) -> tuple[Unit, ...]:
    """Give all units of a problem; matched parts that allow both are set apart by `way` cuts."""
    units: list[Unit] = []
    groups: defaultdict[str, list[Member]] = defaultdict(list)
    for piece in problem.rows:
        for mark in piece.copies:
            member = _member(piece, mark)
            if piece.group:
                groups[piece.group].append(member)
            else:
                units.append(Unit(member.length, member.width, piece.may_turn, (member,)))
    for members in groups.values():
        units.extend(_blocks(problem, members, way))
    return tuple(units)


def split_groups(problem: Problem, units: Iterable[Unit]) -> tuple[str, ...]:
    """Name the matched groups that do not fit one sheet."""
    blocks: defaultdict[str, int] = defaultdict(int)
    for unit in units:
        blocks[problem.by_id[unit.members[0].part].group] += 1
    return tuple(sorted(group for group, count in blocks.items() if group and count > 1))


def _member(piece: CutPart, mark: str) -> Member:
    return Member(0, 0, piece.cut_length_nm, piece.cut_width_nm, piece.id, mark)


def _blocks(problem: Problem, members: list[Member], way: Way) -> list[Unit]:
    if len({member.length for member in members}) > 1:
        way = "crosscut" if len({member.width for member in members}) == 1 else "rip"
    elif len({member.width for member in members}) > 1:
        way = "rip"
    blocks = _cut_apart(problem, members, way)
    if len(blocks) > 1 and _same_size(members):
        blocks = min(blocks, _cut_apart(problem, members, other(way)), key=len)
    return blocks


def _same_size(members: list[Member]) -> bool:
    return len({(member.length, member.width) for member in members}) == 1


def _cut_apart(problem: Problem, members: list[Member], way: Way) -> list[Unit]:
    """Line members up in as few blocks as fit a sheet."""
    blocks: list[list[Member]] = []
    for member in members:
        if blocks and _fits(problem, _block(problem, [*blocks[-1], member], way)):
            blocks[-1].append(member)
        else:
            blocks.append([member])
    return [_block(problem, block, way) for block in blocks]


def _block(problem: Problem, members: list[Member], way: Way) -> Unit:
    placed: list[Member] = []
    kerf = problem.kerf_nm
    at = 0
    for member in members:
        dx, dy = (0, at) if way == "rip" else (at, 0)
        placed.append(replace(member, dx=dx, dy=dy))
        at += (member.width if way == "rip" else member.length) + kerf
    length = max(member.dx + member.length for member in placed)
    width = max(member.dy + member.width for member in placed)
    alone = len(placed) == 1
    may_turn = alone and problem.by_id[placed[0].part].may_turn
    return Unit(length, width, may_turn, tuple(placed))


def _fits(problem: Problem, unit: Unit) -> bool:
    return any(
        unit.length <= stock.usable_length_nm and unit.width <= stock.usable_width_nm
        for stock in problem.stocks
        if stock.available != 0
    )
