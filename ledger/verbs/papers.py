"""Every paper that a job has, by its state: one list of all papers by name, for whoever asks."""

from collections.abc import Callable, Iterator, Mapping
from functools import cached_property
from itertools import count

from msgspec import Struct

from ledger.book import Book
from ledger.book.questions.sponsors import given_lots, given_moves
from ledger.book.tables.ground import Job
from ledger.costing.sheet import CostSheet
from ledger.errors import LedgerError, NotAllowed
from ledger.jobs.buying import DONE, buying_list
from ledger.jobs.changes import changes, has_own_paper
from ledger.jobs.jobs import SHUT, state_of, state_words
from ledger.jobs.pricing import price_job, range_of
from ledger.measures.letters import file_name
from ledger.papers.buying import buying_paper
from ledger.papers.change import change_paper
from ledger.papers.close_out import close_out_paper
from ledger.papers.cost_sheet import cost_sheet_paper
from ledger.papers.engine import Paper
from ledger.papers.frozen import reader_of
from ledger.papers.invoice import invoice_paper
from ledger.papers.labels import labels_paper
from ledger.papers.quote import quote_paper
from ledger.papers.shop_pack import shop_pack_paper
from ledger.papers.sponsor import sponsor_paper
from ledger.papers.words import paper_size
from ledger.quotes.change_page import read_change
from ledger.quotes.invoice import papers, read_invoice
from ledger.quotes.offer import Maker
from ledger.quotes.revisions import revisions, standing
from ledger.quotes.wording import maker
from ledger.reports.closeout import account_of
from ledger.reports.shop_pack import Pack
from ledger.reports.sponsor import sponsor_report
from ledger.reports.still_to_buy import with_promised
from ledger.sponsors.agreements import sponsors
from ledger.verbs.cutting import of_job as layouts_of
from ledger.verbs.cutting import pack_with


class NamedPaper(Struct, frozen=True):
    """A paper of a job under the name of its file, without the ending."""

    name: str
    paper: Paper


class MissingPaper(Struct, frozen=True):
    """A paper that a job does not have, and why or what would make it."""

    name: str
    why: str


class _Papers:
    """What the papers of one job are made of, each worked out once."""

    def __init__(self, book: Book, job: Job) -> None:
        self.book = book
        self.job = job
        self.size = paper_size(book)

    @cached_property
    def maker(self) -> Maker:
        return maker(self.book)

    @cached_property
    def sheet(self) -> CostSheet:
        return price_job(self.book, self.job)

    @cached_property
    def pack(self) -> Pack:
        return pack_with(self.book, layouts_of(self.book, self.job), self.sheet)

    def quotes(self) -> Iterator[NamedPaper]:
        known = revisions(self.book, self.job)
        if not known:
            raise NotAllowed(f"none is drafted: benchledger quote draft {self.job.number}")
        for quote in known:
            now = standing(self.book, quote)
            is_draft = now.state == "draft"
            reader = reader_of(self.book, self.job, quote=quote.key)
            paper = quote_paper(now.offer, reader, self.size, is_draft=is_draft)
            yield NamedPaper(f"quote-{quote.name}{'-draft' if is_draft else ''}", paper)

    def changes(self) -> Iterator[NamedPaper]:
        for change in changes(self.book, self.job):
            if has_own_paper(change.order):
                continue
            page = read_change(self.book, change.order)
            reader = reader_of(self.book, self.job, change_order=change.order.key)
            yield NamedPaper(f"change-order-{page.number}", change_paper(page, reader, self.size))

    def invoices(self) -> Iterator[NamedPaper]:
        requests = count(1)
        for row in papers(self.book, self.job):
            page = read_invoice(row)
            reader = reader_of(self.book, self.job, invoice=row.key)
            is_request = not page.number
            name = f"payment-request-{next(requests)}" if is_request else f"invoice-{page.number}"
            yield NamedPaper(name, invoice_paper(page, reader, self.size))

    def cost_sheet(self) -> Iterator[NamedPaper]:
        spread = range_of(self.book, self.sheet)
        paper = cost_sheet_paper(self.sheet, spread, self.maker, self.size)
        yield NamedPaper("cost-sheet", paper)

    def buying(self) -> Iterator[NamedPaper]:
        state = state_of(self.book, self.job)
        if state in DONE:
            raise NotAllowed(f"the job is {state_words(state)}: nothing is bought for it any more")
        purchases = with_promised(self.book, buying_list(self.book, [self.job]))
        paper = buying_paper(purchases, self.maker, self.book.units, self.size)
        yield NamedPaper("buying-list", paper)

    def shop_pack(self) -> Iterator[NamedPaper]:
        yield NamedPaper("shop-pack", shop_pack_paper(self.pack, self.maker.name, self.size))

    def labels(self) -> Iterator[NamedPaper]:
        if not self.pack.parts:
            raise NotAllowed("the job has no parts")
        shift = self.book.settings.label_shift
        yield NamedPaper(
            "labels", labels_paper(self.pack, self.maker.name, self.size, shift_nm=shift)
        )

    def close_out(self) -> Iterator[NamedPaper]:
        if state_of(self.book, self.job) not in SHUT:
            command = f"benchledger job close {self.job.number} --preview --pdf FILE"
            raise NotAllowed(f"the job is not closed; as it stands now: {command}")
        account = account_of(self.book, self.job)
        yield NamedPaper("close-out", close_out_paper(account, self.maker, self.size))

    def kit(self) -> Iterator[NamedPaper]:
        command = f"benchledger kit compare {self.job.number} --wage AMOUNT --pdf FILE"
        raise NotAllowed(f"it asks what an hour of one's own is worth: {command}")

    def sponsors(self) -> Iterator[NamedPaper]:
        """The report of each sponsor whose goods are in the job, from their first day to today."""
        for sponsor in sponsors(self.book).values():
            lots = given_lots(self.book, sponsor.name, self.book.today)
            moves = given_moves(self.book, sponsor.name, self.book.today)
            if self.job.key not in {move.job for move in moves}:
                continue
            first = min(lot.day for lot in lots)
            prepared = sponsor_report(self.book, sponsor, first, self.book.today)
            if prepared.doubts:
                command = f'benchledger sponsor report "{sponsor.name}" --pdf FILE'
                raise NotAllowed(f"words in it may be a client's name; see: {command}")
            paper = sponsor_paper(prepared.report, self.maker, self.book.units, self.size)
            yield NamedPaper(f"sponsor-{file_name(sponsor.name)}", paper)


PAPERS: Mapping[str, Callable[[_Papers], Iterator[NamedPaper]]] = {
    "quotes": _Papers.quotes,
    "change orders": _Papers.changes,
    "invoices": _Papers.invoices,
    "cost sheet": _Papers.cost_sheet,
    "buying list": _Papers.buying,
    "shop pack": _Papers.shop_pack,
    "labels": _Papers.labels,
    "close-out": _Papers.close_out,
    "kit comparison": _Papers.kit,
    "sponsor's report": _Papers.sponsors,
}
"""All papers of a job by name, in the order in which a job comes to have them."""

_NONE = {"sponsor's report": "no sponsor's goods are in it"}


def of_job(book: Book, job: Job) -> Iterator[NamedPaper | MissingPaper]:
    """Every paper of a job as it stands, and those that it does not have with the reason.

    May lay out sheets.
    """
    made = _Papers(book, job)
    for name, make in PAPERS.items():
        given = 0
        try:
            for paper in make(made):
                given += 1
                yield paper
        except LedgerError as refusal:
            yield MissingPaper(name, str(refusal).rstrip("."))
        else:
            if not given:
                yield MissingPaper(name, _NONE.get(name, "none were written"))
