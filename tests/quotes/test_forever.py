"""Over random histories: a sent quote reads the same for ever, and one revision at most is live."""

import tempfile
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

from hypothesis import Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from ledger.book import Book, create_book
from ledger.book.tables.quotes import QuotePage, QuoteState
from ledger.costing.buildup import PriceRules, build_price
from ledger.costing.rates import Year, hourly
from ledger.costing.sheet import CostLine, CostSheet
from ledger.designs.model import Design, Part
from ledger.designs.store import save_design
from ledger.errors import NotAllowed
from ledger.jobs.jobs import new_job, set_basis
from ledger.labor.hours_range import HoursRange
from ledger.measures.money import Money, currency
from ledger.measures.quantity import Quantity
from ledger.quotes.answers import accept_quote, decline_quote
from ledger.quotes.check import check_quotes
from ledger.quotes.draft import Wishes, draft_quote
from ledger.quotes.quote_rules import REVERSAL_RULES
from ledger.quotes.revisions import offer_of, revisions, send_quote, standings
from ledger.stock.materials import set_price

USD = currency("USD")
DAY = date(2025, 4, 25)
SETTINGS = {"tax_rate": "9 %", "payments": "30/70", "validity_days": "5", "shop": "Another name",
            "wording_care": "Dust it.", "tax_standing": "vat"}  # fmt: skip


def sheet_of(price: int) -> CostSheet:
    """A cost sheet of one material at a price."""
    amount = Money(price)
    line = CostLine("material", "PLY34", "Ply", "sheet", Quantity.of(1), Quantity.of(1), "sheet",
                    USD.decimal(amount), amount, amount, amount, "one sheet")  # fmt: skip
    year = Year(USD.money(22000), USD.money(56000), 1920, Fraction(60, 100), Fraction(8, 100))
    rates = hourly(year, selling=None, helper_cost=Money(0), helper_billed=Money(0),
                   mile=Decimal(0))  # fmt: skip
    rules = PriceRules({"sheet": Fraction(1, 5)}, Fraction(0), Fraction(0), Money(1), Money(0))
    priced = build_price([line], [], [], rates, rules, USD)
    hours = HoursRange(Decimal(0), Decimal(0), Decimal(0), 0)
    return CostSheet("J-2501", "Shelf", DAY, USD, "inch", "shelf version 1", "standards",
                     priced.lines, (), (), rates, priced.build_up, priced.totals,
                     hours)  # fmt: skip


class QuotesForEver(RuleBasedStateMachine):
    """Drafts, sends, answers, days that pass, and everything behind a quote that changes."""

    @initialize()
    def open_shop(self):
        """Make a book with one job."""
        self.folder = tempfile.TemporaryDirectory()
        self.path = Path(self.folder.name) / "shop.sqlite"
        create_book(self.path, DAY, {"shop": "Quillhaven Workshop"})
        self.book = Book(self.path, DAY)
        design = Design("shelf", "Shelf", "inch", parts=(Part("A1", "Board", "1", "9", "9", "P"),))
        self.job = new_job(self.book, "Shelf")
        set_basis(self.book, self.job, save_design(self.book, design).key, {})
        self.sent = {}

    def teardown(self):
        """Close the book."""
        if hasattr(self, "book"):
            self.book.close()
            self.folder.cleanup()

    def last(self):
        """Give the last revision, or None."""
        of_job = revisions(self.book, self.job)
        return of_job[-1] if of_job else None

    @rule(price=st.integers(min_value=100, max_value=10**7))
    def draft(self, price):
        """Draft the next revision at a price."""
        try:
            draft_quote(self.book, self.job, Wishes(), sheet_of(price))
        except NotAllowed as refused:
            assert "was accepted" in str(refused)

    @precondition(lambda self: self.last() is not None)
    @rule()
    def send(self):
        """Send the last revision, if it is a draft."""
        quote = self.last()
        try:
            send_quote(self.book, quote)
        except NotAllowed:
            return
        page = self.book.last(QuotePage, quote=quote.key)
        self.sent[quote.key] = (quote, page.page, offer_of(self.book, quote))

    @precondition(lambda self: self.last() is not None)
    @rule(yes=st.booleans())
    def answer(self, yes):
        """Let the client answer, if it waits for one."""
        try:
            if yes:
                accept_quote(self.book, self.last(), how="letter")
            else:
                decline_quote(self.book, self.last())
        except NotAllowed:
            pass

    @rule(name=st.sampled_from(sorted(SETTINGS)), price=st.integers(1, 99999))
    def change_what_is_behind(self, name, price):
        """Change a setting and a price."""
        with self.book.entry("shop set", name):
            self.book.set(name, SETTINGS[name])
        set_price(self.book, "PLY34", Decimal(price) / 100)

    @rule(days=st.integers(min_value=1, max_value=40))
    def let_days_pass(self, days):
        """Open the book on a later day."""
        today = self.book.today + timedelta(days=days)
        self.book.close()
        self.book = Book(self.path, today)

    @precondition(lambda self: self.last() is not None)
    @rule(data=st.data())
    def take_a_state_back(self, data):
        """Undo the last state of any revision, if nothing rests on it."""
        quote = data.draw(st.sampled_from(revisions(self.book, self.job)), label="revision")
        state = self.book.last(QuoteState, quote=quote.key)
        if state is None or state.state in {"draft", "superseded"}:
            return
        try:
            self.book.reverse(state.entry, "mistake", REVERSAL_RULES)
        except NotAllowed:
            return
        if state.state == "sent":
            self.sent.pop(quote.key)

    @invariant()
    def every_sent_quote_reads_as_it_was_sent(self):
        """Read every page that was ever sent again."""
        for quote, page, offer in getattr(self, "sent", {}).values():
            assert self.book.last(QuotePage, quote=quote.key).page == page
            assert offer_of(self.book, quote) == offer
        if hasattr(self, "book"):
            assert all(not finding.faults for finding in check_quotes(self.book))

    @invariant()
    def at_most_one_revision_is_live(self):
        """Count the revisions that stand."""
        if hasattr(self, "book"):
            states = [now.state for now in standings(self.book)]
            assert states.count("sent") + states.count("accepted") <= 1
            assert states.count("draft") <= 1


TestQuotesForEver = QuotesForEver.TestCase
TestQuotesForEver.settings = settings(
    max_examples=8,
    stateful_step_count=15,
    deadline=None,
    phases=(Phase.explicit, Phase.reuse, Phase.generate),  # a short history needs no shrinking
)
