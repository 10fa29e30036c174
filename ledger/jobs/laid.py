"""To which payments asked for a client's money went, what is open of each, and the tax in it.

Money that comes settles what open invoices and payment requests ask for, the oldest first, and
before it one whose open sum it is to the cent; what is left of it a payment of just that sum that
none asks for yet; then the others in their order. The day decides, on one day the order of entry,
so what comes later moves neither money that was laid nor the tax in it.

What a change takes off lowers what is open of the payments that it is invoiced with, else of the
next ones not asked for yet. Money takes its share of the tax still open of its payment, so the
last of it takes the remainder.
"""

from collections.abc import Iterable, Mapping
from datetime import date
from fractions import Fraction

from msgspec import Struct

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.book.tables.invoices import InvoicedDue, SentInvoice
from ledger.book.tables.jobs import Agreement, ChangeOrder, ChangeState, Due, Payment
from ledger.measures.frozen import read_json
from ledger.measures.money import Money, total

_NONE = Money(0)


class Laid(Struct, frozen=True):
    """Money that went to one payment asked for, and the tax in it; below zero it went back."""

    day: date
    due: int
    amount: Money
    tax: Money


class Filling(Struct, frozen=True):
    """What of a client's money stands on which payment, and what is open of each, by its key.

    `asked_by` names the paper that asks for a payment, the last one where several do.
    """

    open: Mapping[int, Money]
    asked_by: Mapping[int, int]
    standing: tuple[Laid, ...]
    moves: tuple[Laid, ...]

    def tax_by(self, day: date) -> Money:
        """The tax in what had come by the end of a day, that of what went back taken off."""
        return total(move.tax for move in self.moves if move.day <= day)

    def first(self, amount: Money) -> dict[int, tuple[Money, Money]]:
        """How the first money of this amount lies: amount and tax in it by payment asked for."""
        parts: dict[int, tuple[Money, Money]] = {}
        # what went back comes first
        for one in sorted(self.standing, key=lambda one: one.amount > _NONE):
            part = _part(one.tax, min(one.amount, amount), one.amount)
            came, tax = parts.get(one.due, (_NONE, _NONE))
            parts[one.due] = (came + min(one.amount, amount), tax + part)
            amount -= min(one.amount, amount)
        return parts


def lay_money(book: Book, job: Job, day: date | None = None) -> Filling:
    """Lay what a client paid by the end of a day along what was asked for, as it came."""
    laying = Laying()
    for when, _, _, row in _events(book, job):
        if day is not None and when > day:
            break
        if isinstance(row, Due):
            laying.ask(row, when)
        elif isinstance(row, Payment):
            laying.pay(row.amount, when)
        else:
            covers = {one.due for one in book.rows(InvoicedDue, invoice=row.key)}
            laying.write(row, covers, when)
    return laying.filling()


type _Event = tuple[date, int, int, Due | SentInvoice | Payment]


def _events(book: Book, job: Job) -> list[_Event]:
    """What is asked for, papers and money in their order.

    A first agreement asks from the beginning: a deposit may be noted before the quote is accepted.
    """
    since = {row.entry: row.day for row in book.rows(Agreement, job=job.key)[1:]}
    for order in book.rows(ChangeOrder, job=job.key):
        states = book.rows(ChangeState, change_order=order.key, state="approved")
        since |= {row.entry: row.day for row in states}
    events: list[_Event] = [
        (since.get(row.entry, date.min), row.entry, 0, row) for row in book.rows(Due, job=job.key)
    ]
    events += [(row.day, row.entry, 1, row) for row in book.rows(SentInvoice, job=job.key)]
    events += [(row.day, row.entry, 2, row) for row in book.rows(Payment, job=job.key)]
    return sorted(events, key=lambda event: (*event[:3], event[3].key))


class _Paper(Struct):
    """A paper that asks for payments, an invoice by key, a request by name; what of it stands."""

    key: int
    dues: set[int]
    names: set[str]
    stands: Money

    def asks(self, due: Due) -> bool:
        """Whether it asks for a payment."""
        return due.key in self.dues or due.name in self.names


class Laying:
    """The money of one job, laid as it came; money beyond all that is asked for waits in `over`."""

    def __init__(self) -> None:
        self.dues: list[Due] = []
        self.papers: dict[int, _Paper] = {}
        self.standing: list[Laid] = []
        self.moves: list[Laid] = []
        self.over = _NONE

    def ask(self, due: Due, day: date) -> None:
        """One more payment asked for, or a credit; money that waited goes to it."""
        self.dues.append(due)
        self.dues.sort(key=lambda due: due.key)
        self._lay(day, _NONE)
        self._even_out(day)

    def pay(self, amount: Money, day: date) -> None:
        """Money that came, or below zero went back."""
        if amount > _NONE:
            self._lay(day, amount)
        else:
            self._give_back(day, -amount)
        self._even_out(day)

    def write(self, row: SentInvoice, covers: set[int], day: date) -> None:
        """A paper that asks for some payments; a credit note goes to the invoice it corrects."""
        corrected = self.papers.get(row.corrects) if row.corrects else None
        if corrected is not None:
            corrected.dues |= covers
            corrected.stands += row.asked
        elif row.asked > _NONE:
            lines = read_json(row.page)["lines"] if row.kind == "request" else []
            names = {line["name"] for line in lines}
            self.papers[row.key] = _Paper(row.key, set(covers), names, row.asked)
        self._even_out(day)

    def filling(self) -> Filling:
        """What stands now."""
        opened = {key: max(part, _NONE) for key, (part, _) in self._opened().items()}
        return Filling(opened, self._asked_by(), tuple(self.standing), tuple(self.moves))

    def _asked_by(self) -> dict[int, int]:
        """The last paper that asks for each payment; one credited in full asks for none."""
        standing = [paper for paper in self.papers.values() if paper.stands > _NONE]
        return {due.key: paper.key for paper in standing for due in self.dues if paper.asks(due)}

    def _opened(self) -> dict[int, tuple[Money, Money]]:
        """What is open of each payment and the tax in it, what changes take off taken off.

        What they take off of more than is open stays with their own row, below zero.
        """
        opened = {due.key: (due.asked, due.tax) for due in self.dues}
        for one in self.moves:
            part, tax = opened[one.due]
            opened[one.due] = (part - one.amount, tax - one.tax)
        asked_by = self._asked_by()
        for credit in (due for due in self.dues if due.asked < _NONE):
            left, tax = opened[credit.key]
            for key in self._lowered_by(credit, asked_by):
                part, part_tax = opened[key]
                if part <= _NONE or not (left or tax):
                    continue
                left, tax = left + part, tax + part_tax
                opened[key] = (max(left, _NONE), tax if left > _NONE else _NONE)
                if left > _NONE:
                    left, tax = _NONE, _NONE
            opened[credit.key] = (left, tax)
        return opened

    def _lowered_by(self, credit: Due, asked_by: Mapping[int, int]) -> list[int]:
        """The payments from which a credit is taken off, the first ones first."""
        own = asked_by.get(credit.key)

        def place(due: Due) -> int:
            paper = asked_by.get(due.key)
            return 1 if paper is None else 0 if paper == own else 2

        return [due.key for due in sorted(self.dues, key=place) if due.asked > _NONE]

    def _lay(self, day: date, amount: Money) -> None:
        left, self.over = self.over + amount, _NONE
        if not left:
            return
        opened, asked_by = self._opened(), self._asked_by()
        waiting = [
            [due.key for due in self.dues if asked_by.get(due.key) == paper]
            for paper in self.papers
        ]
        exact = [
            keys
            for keys, paper in zip(waiting, self.papers.values(), strict=True)
            if left == min(total(max(opened[key][0], _NONE) for key in keys), paper.stands)
        ]
        for keys in (*exact[:1], *waiting):
            left = self._put(day, left, keys, opened)
        rest = [due.key for due in self.dues]
        left = self._put(day, left, [key for key in rest if opened[key][0] == left][:1], opened)
        self.over = self._put(day, left, rest, opened)

    def _put(
        self, day: date, left: Money, keys: Iterable[int], opened: dict[int, tuple[Money, Money]]
    ) -> Money:
        """Lay money on some payments as far as they are open; give back what is left of it."""
        for key in keys:
            part, part_tax = opened[key]
            amount = min(left, part)
            if amount > _NONE:
                tax = _part(part_tax, amount, part)
                self._move(day, key, amount, tax)
                self.standing.append(self.moves[-1])
                opened[key] = (part - amount, part_tax - tax)
                left -= amount
        return left

    def _give_back(self, day: date, amount: Money) -> None:
        """Take back money beyond what is asked for, then what came in just this sum, or last."""
        amount -= (back := min(self.over, amount))
        self.over -= back
        for key, (part, tax) in self._opened().items():
            if part < _NONE and amount > _NONE:
                back = min(-part, amount)
                self._move(day, key, -back, _part(tax, back, -part))
                self.standing.append(self.moves[-1])
                amount -= back
        while amount > _NONE and (came := [one for one in self.standing if one.amount > _NONE]):
            same = [one for one in came if one.amount == amount]
            last = (same or came)[-1]
            back = min(last.amount, amount)
            tax = _part(last.tax, back, last.amount)
            self._move(day, last.due, -back, -tax)
            place = len(self.standing) - 1 - self.standing[::-1].index(last)
            stays = Laid(last.day, last.due, last.amount - back, last.tax - tax)
            self.standing[place] = stays
            amount -= back

    def _even_out(self, day: date) -> None:
        """Take off tax that no money still to come or to go back can take off."""
        opened = self._opened()
        if not self.over and not any(part for part, _ in opened.values()):
            for key, (_, tax) in opened.items():
                if tax:
                    self._move(day, key, _NONE, tax)

    def _move(self, day: date, key: int, amount: Money, tax: Money) -> None:
        self.moves.append(Laid(day, key, amount, tax))


def _part(tax: Money, amount: Money, whole: Money) -> Money:
    """The tax in a part of a sum."""
    return tax.times(Fraction(amount.minor, whole.minor)) if whole else _NONE
