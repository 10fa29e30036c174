"""Random histories of a shop: after every step, everything ties to the cent."""

import functools
import re
import tempfile
from datetime import date, timedelta
from pathlib import Path

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from ledger.book import Book, create_book
from ledger.book.questions.stock import quantity_on, still_out
from ledger.book.references import rests_on_what_stands
from ledger.book.tables.ground import Job, JournalEntry
from ledger.book.tables.receipts import ReceiptLine, ReceiptShare
from ledger.book.tables.stock import Lot, Movement
from ledger.errors import NotAllowed
from ledger.measures.day import Month
from ledger.measures.length import Length
from ledger.measures.money import Money, total
from ledger.measures.quantity import Quantity
from ledger.reports.roll import roll_between
from ledger.reports.spend import spend_between
from ledger.stock import count, issue, keep_offcuts, put_back, receive, value_on, withdraw
from ledger.stock.documents import Document, DocumentLine, Share
from ledger.stock.materials import MaterialRow, save_materials
from ledger.stock.movements import send_back
from ledger.stock.offcuts import OffcutSize
from ledger.stock.opening import OpeningRow, open_stock
from ledger.stock.receipts import receipts
from ledger.stock.stock_rules import REVERSAL_RULES, faults
from ledger.stock.takeback import reverse_receipt

FIRST = date(2025, 4, 1)
TODAY = date(2025, 6, 30)
CODES = ["PLY12", "EDGE78"]
EARLY = st.sampled_from([0, 20, 45]).map(lambda days: FIRST + timedelta(days))
DAYS = st.sampled_from([20, 45, 60, 75, 90]).map(lambda days: FIRST + timedelta(days))
QUANTITIES = st.integers(1, 12_000_000).map(Quantity)
PERCENTS = st.sampled_from([1, 7, 25, 33, 50, 66, 100, 100, 101])
JOBS = st.sampled_from([1, 2])
MONTHS = [Month(2025, 4), Month(2025, 5), Month(2025, 6)]

WITHDRAWALS = ("scrap", "damage", "to_supplier", "own_use", "giveaway")


@functools.cache
def opened() -> bytes:
    """Two materials in stock and two jobs, made once."""
    size = {"length": Length.of(96, "in"), "width": Length.of(48, "in")}
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "shop.sqlite"
        create_book(path, TODAY, {"shop": "Quillhaven Workshop", "tax_rate": "6 %"})
        with Book(path, TODAY) as book:
            save_materials(book, [
                MaterialRow("PLY12", "Birch ply 1/2", "sheet", "sheet", **size),
                MaterialRow("EDGE78", "Edge tape", "edging", "ft"),
            ])  # fmt: skip
            with book.entry("job new"):
                for number in ("J-1", "J-2"):
                    book.post(Job(number=number, title=number))
            open_stock(book, [
                OpeningRow("PLY12", Quantity.of(4), Money(28801), Money(28801)),
                OpeningRow("PLY12", Quantity.of(3), Money(20000), Money(0), sponsor="Brightfell"),
                OpeningRow("EDGE78", Quantity(7_333_333), Money(167), Money(167)),
            ], day=FIRST)  # fmt: skip
        return path.read_bytes()


class Shop(RuleBasedStateMachine):
    """A shop that buys, uses, returns, scraps, counts, and takes things back."""

    @initialize()
    def open_book(self):
        """Open a book with two materials and two jobs."""
        self.folder = tempfile.TemporaryDirectory()
        path = Path(self.folder.name) / "shop.sqlite"
        path.write_bytes(opened())
        self.book = Book(path, TODAY)

    def teardown(self):
        """Close the book."""
        if hasattr(self, "book"):
            self.book.close()
            self.folder.cleanup()

    def some(self, code, percent, held=None):
        """A share of what is on hand, now and then a little more than all of it."""
        whole = quantity_on(self.book, code, TODAY) if held is None else held
        return Quantity(max(1, whole.millionths * percent // 100))

    def tries(self, entry, *arguments, **more):
        """Do it if the rules allow it; a refusal must leave no trace, which the invariants see."""
        try:
            entry(self.book, *arguments, **more)
        except NotAllowed as refusal:
            assert re.search(r"(\.|TEXT|FILE|\)|undo \d+|--lot \d+)$", str(refusal))

    @rule(code=st.sampled_from(CODES), quantity=QUANTITIES, net=st.integers(0, 50_000), day=EARLY,
          tax=st.sampled_from(["resale", "use", "none"]), freight=st.integers(0, 900),
          place=st.sampled_from(["stock", "stock", "job", "shop"]),
          kind=st.sampled_from(["bought", "bought", "bought", "in_kind"]))  # fmt: skip
    def receive_goods(self, code, quantity, net, day, tax, freight, place, kind):
        """Goods come in, bought or in kind."""
        category = "sheet" if code == "PLY12" else "edging"
        share = Share(place, quantity, 1 if place == "job" else None)
        goods = DocumentLine(
            "goods",
            category,
            quantity,
            "each",
            Money(net),
            material=code,
            tax_kind=tax,
            shares=(share,),
            method="usual buying price",
        )
        way = DocumentLine("freight", "freight", Quantity.of(1), "each", Money(freight))
        lines = (goods, way) if freight and kind == "bought" else (goods,)
        self.tries(receive, Document("Copper Vale Lumber", day, lines, kind=kind))

    @rule(code=st.sampled_from(CODES), percent=PERCENTS, day=DAYS, job=JOBS)
    def issue_goods(self, code, percent, day, job):
        """A job draws from the oldest lots."""
        self.tries(issue, job, code, self.some(code, percent), day=day)

    @rule(pick=st.integers(0, 50), percent=PERCENTS, day=DAYS, job=JOBS)
    def return_goods(self, pick, percent, day, job):
        """A job gives back of what it took, on the day it took it or later."""
        outs = [out for out in still_out(self.book, job, TODAY) if out.quantity]
        if outs:
            out = outs[pick % len(outs)]
            quantity = self.some(out.material, percent, out.quantity)
            self.tries(put_back, job, None, quantity, lot=out.lot, day=max(day, out.day))

    @rule(code=st.sampled_from(CODES), percent=PERCENTS, day=DAYS,
          kind=st.sampled_from(WITHDRAWALS), job=st.sampled_from([None, 1]))  # fmt: skip
    def withdraw_goods(self, code, percent, day, kind, job):
        """Scrap, damage, back to the supplier, own use, a giveaway."""
        quantity = self.some(code, percent)
        self.tries(withdraw, kind, code, quantity, day=day, reason="broken", job=job)

    @rule(code=st.sampled_from(CODES), percent=st.integers(80, 120), day=DAYS)
    def count_goods(self, code, percent, day):
        """Stock is counted on some day, a little less or more than the book says."""
        held = quantity_on(self.book, code, day)
        counted = self.some(code, percent, held)
        self.tries(count, code, counted, day=day, reason="counted twice")

    @rule(job=JOBS, width=st.integers(12, 48), length=st.integers(24, 96))
    def rack_offcut(self, job, width, length):
        """A job puts a leftover on the rack."""
        self.tries(keep_offcuts, job, "PLY12", [OffcutSize(Length.of(length, "in"),
                                                      Length.of(width, "in"))])  # fmt: skip

    @rule(pick=st.integers(0, 50), job=JOBS)
    def take_offcut(self, pick, job):
        """A job takes a piece from the rack."""
        racked = self.book.rows(Lot, source="offcut")
        if racked:
            self.tries(issue, job, None, Quantity.of(1), lot=racked[pick % len(racked)].key)

    @rule(pick=st.integers(0, 50), percent=st.sampled_from([0, 40, 100]), job=st.booleans(),
          net=st.integers(0, 3_000))  # fmt: skip
    def credit_note(self, pick, percent, job, net):
        """A supplier credits goods of a lot that stand in stock or went to a job."""
        lots = self.book.rows(Lot, source="receipt")
        if lots:
            lot = lots[pick % len(lots)]
            quantity = Quantity(lot.quantity.millionths * percent // 100)
            shares = (Share("job", quantity, 1),) if job else ()
            sent = DocumentLine(
                "sent back",
                lot.category,
                quantity,
                lot.unit,
                Money(net),
                shares=shares,
                material=lot.material,
                credit_of=str(lot.key),
            )
            self.tries(receive, Document("Copper Vale Lumber", TODAY, (sent,), kind="credit"))

    @rule(code=st.sampled_from(CODES), quantity=QUANTITIES, job=st.sampled_from([None, 1, 2]),
          others=st.booleans(), day=DAYS)  # fmt: skip
    def send_back_to_the_supplier(self, code, quantity, job, others, day):
        """Goods go back, out of stock or from a job, before their credit note or after it."""
        self.tries(send_back, code, quantity, job=job, others=others, day=day)

    @rule(pick=st.integers(0, 50))
    def take_receipt_back(self, pick):
        """A receipt is taken back."""
        known = receipts(self.book)
        if known:
            self.tries(reverse_receipt, known[pick % len(known)], "entered twice")

    @rule(back=st.integers(0, 30))
    def undo(self, back):
        """An entry of the stock room is undone, not always the last one."""
        entries = [entry for entry in self.book.entries(40) if is_undoable(self.book, entry)]
        if entries:
            entry = entries[back % len(entries)]
            self.tries(lambda book: book.reverse(entry.id, "a mistake", REVERSAL_RULES))

    @invariant()
    def lots_tie(self):
        """On every day no lot is below zero, and what is kept as on hand is what was posted."""
        assert faults(self.book) + rests_on_what_stands(self.book) == []
        for held in value_on(self.book):
            assert held.quantity.millionths >= 0
            assert held.full >= held.cash >= Money(0)
            assert held.quantity, "a value without goods"

    @invariant()
    def quantities_and_values_close(self):
        """What came in is what left and what is on hand, to the millionth and to the cent."""
        lots, moves = self.book.rows(Lot), self.book.rows(Movement)
        held = value_on(self.book)
        for name in ("quantity", "full", "cash"):
            came = [getattr(row, name) for row in [*lots, *moves]]
            there = [getattr(row, name) for row in held]
            assert sum(map(whole, came)) == sum(map(whole, there)), name

    @invariant()
    def months_roll_forward(self):
        """Each month closes in full value and cash, and the next one opens with it."""
        before = None
        for month in MONTHS:
            for view in roll_between(self.book, month.first, month.last):
                assert view.closes(), (month, view)
            full, cash = roll_between(self.book, month.first, month.last)
            if before is not None:
                assert (full.opening, cash.opening) == before
            before = (full.closing, cash.closing)
        held = value_on(self.book, TODAY)
        assert before == (total(h.full for h in held), total(h.cash for h in held))

    @invariant()
    def spend_is_the_same_however_it_is_told_apart(self):
        """Landed by supplier, by category and by job come to landed, and to paid and use tax."""
        for month in MONTHS:
            spend = spend_between(self.book, month.first, month.last)
            assert spend.landed == spend.paid + spend.use_tax - spend.recoverable
            for split in (spend.by_supplier, spend.by_category, spend.by_job):
                assert total(part.amount for part in split) == spend.landed

    @invariant()
    def shares_make_up_their_lines(self):
        """What went to jobs, stock and the shop is what the lines came to."""
        landed = total(line.landed for line in self.book.rows(ReceiptLine))
        assert total(share.landed for share in self.book.rows(ReceiptShare)) == landed


def whole(value):
    """The whole number inside a quantity or an amount."""
    return value.millionths if isinstance(value, Quantity) else value.minor


def is_undoable(book: Book, entry: JournalEntry) -> bool:
    """Whether an entry is of the stock room, stands, and is no reversal itself."""
    is_stock = entry.verb.startswith(("stock", "receipt"))
    return is_stock and entry.reverses is None and book.is_in_force(entry.id or 0)


TestShop = Shop.TestCase
TestShop.settings = settings(
    max_examples=12, stateful_step_count=20, deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)  # fmt: skip
