"""What the lines of a document really cost: discounts, freight and taxes put where they belong.

Landed = net + freight + tax paid + use tax owed − tax that can be recovered. Whatever a document
says once for all its lines is split by their value with the largest remainder, so that the lines
always add up to the document again. Pure arithmetic.

What is bought for resale although it never becomes part of a piece.

A resale certificate covers what is sold on; what the shop uses up itself is usually taxed when it
is bought (common practice in the United States, no source; each state has its own law).
"""

from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct

from ledger.book import Book
from ledger.errors import NotAllowed
from ledger.measures.money import Currency, Money, sales_tax, split, total
from ledger.measures.rounding import half_up
from ledger.measures.share import show_share
from ledger.measures.values import replace
from ledger.stock.documents import BEAR_TAX, ZERO, Document, DocumentLine
from ledger.stock.prices import is_tax_inside


class UseTax(Struct, frozen=True):
    """The rate of use tax, the currency that rounds it, and whether each line rounds for itself."""

    rate: Fraction
    currency: Currency
    by_line: bool = False


def land(
    document: Document, use_tax: UseTax, purchase_rate: Fraction = Fraction(0)
) -> list[DocumentLine]:
    """Landed cost: allocate a document's discount, freight and taxes to its lines of goods.

    `purchase_rate` is the tax that the shop usually pays: a document whose tax is that rate of its
    goods alone has no tax on its freight.

    Raises:
        NotAllowed: the document's own figures cannot be put on any line.
    """
    # the discount first, since tax is on what is left; freight last, since it brings its own tax
    taxed = [
        replace(line, own_tax=line.tax_paid + line.use_tax - line.recoverable)
        for line in _with_use_tax(
            _with_tax(_with_discount(document), document.tax, purchase_rate), use_tax
        )
    ]
    freight = [line for line in taxed if line.category == "freight"]
    goods = [line for line in taxed if line.category != "freight"]
    if not freight or not goods:
        return taxed
    return _with_freight(goods, freight)


def _with_discount(document: Document) -> list[DocumentLine]:
    goods = [line.net if line.category != "freight" else ZERO for line in document.lines]
    if document.discount and document.discount > total(goods):
        raise NotAllowed("The document's discount is more than its goods come to.")
    pieces = _spread(document.discount, goods)
    return [
        replace(line, net=line.net - piece, discount=line.discount + piece)
        for line, piece in zip(document.lines, pieces, strict=True)
    ]


def _with_tax(lines: Sequence[DocumentLine], tax: Money, rate: Fraction) -> list[DocumentLine]:
    """Spread the document's tax over the lines that bear tax, and tell what can be recovered."""
    bears = [line.net if line.tax_kind in BEAR_TAX else ZERO for line in lines]
    of_goods = [
        ZERO if line.category == "freight" else net for line, net in zip(lines, bears, strict=True)
    ]
    off_goods, off_all = (abs(tax - total(nets).times(rate)).minor for nets in (of_goods, bears))
    if off_goods <= 1 < off_all:
        bears = of_goods
    if tax and not any(bears):
        raise NotAllowed(
            "The document has tax, but none of its lines is marked as taxed: paid, or recoverable"
            " where it comes back."
        )
    spread = [
        replace(line, tax_paid=line.tax_paid + piece)
        for line, piece in zip(lines, _spread(tax, bears), strict=True)
    ]
    return [
        replace(line, recoverable=line.tax_paid) if line.tax_kind == "recoverable" else line
        for line in spread
    ]


def _with_use_tax(lines: Sequence[DocumentLine], use_tax: UseTax) -> list[DocumentLine]:
    nets = [line.net if line.tax_kind == "use" else ZERO for line in lines]
    if use_tax.by_line:
        owed = [sales_tax(net, use_tax.rate, use_tax.currency) for net in nets]
    else:
        owed = _spread(sales_tax(total(nets), use_tax.rate, use_tax.currency), nets)
    return [replace(line, use_tax=tax) for line, tax in zip(lines, owed, strict=True)]


def _with_freight(
    goods: Sequence[DocumentLine], freight: Sequence[DocumentLine]
) -> list[DocumentLine]:
    nets = [line.net for line in goods]
    weights = nets if any(nets) else [Money(1)] * len(goods)
    charge = _spread(total(line.net for line in freight), weights)
    paid = _spread(total(line.tax_paid for line in freight), weights)
    back = _spread(total(line.recoverable for line in freight), weights)
    owed = _spread(total(line.use_tax for line in freight), weights)
    return [
        replace(
            line,
            freight=charge[at],
            tax_paid=line.tax_paid + paid[at],
            recoverable=line.recoverable + back[at],
            use_tax=line.use_tax + owed[at],
        )
        for at, line in enumerate(goods)
    ]


def _spread(amount: Money, weights: Sequence[Money]) -> list[Money]:
    if not amount:
        return [ZERO] * len(weights)
    return split(amount, [weight.minor for weight in weights])


def rate_note(lines: Sequence[DocumentLine], rates: Sequence[Fraction]) -> str:
    """What to look at where the tax of landed lines is at none of the book's rates; else nothing.

    The tax may stand on goods alone or on their freight too, and each line may be rounded.
    """
    taxed = [line for line in lines if line.tax_paid]
    goods, tax = total(line.net for line in taxed), total(line.tax_paid for line in taxed)
    bases = (goods, goods + total(line.freight for line in taxed))
    usual = [rate for rate in rates if rate]
    if not (usual and goods.minor > 0) or any(
        abs(tax.minor - base.minor * rate) <= max(len(taxed), 1) for base in bases for rate in usual
    ):
        return ""
    share = half_up(Fraction(tax.minor * 100, goods.minor), 2)
    return (
        f"tax is {share} % of the taxed goods; the book says {show_share(usual[0])}. Where the"
        " paper says so, leave it; else take it back, benchledger undo, and enter it again."
    )


def beside_price_note(book: Book, lines: Sequence[DocumentLine]) -> str:
    """That tax which stays a cost of landed lines is in no price noted of them; else nothing."""
    borne = [line.tax_paid + line.use_tax - line.recoverable for line in lines if line.material]
    tax = total(borne)
    if not tax or is_tax_inside(book):
        return ""
    usual = ""
    if book.settings.tax_standing != "vat":
        usual = (
            " Where you pay tax on all you buy and get none back, let it be put on your prices:"
            " benchledger shop set material_tax=RATE"
        )
    return (
        f"tax of {book.currency.show(tax)} is a cost of these goods alone, and not in the prices"
        f" noted in the price list.{usual}"
    )


_USED_UP = {
    "abrasive": "abrasives are",
    "supply": "supplies are",
    "blade": "blades are",
    "safety": "safety gear is",
    "tool": "tools are",
}
"""The categories that a shop uses itself, as a sentence begins of them."""


def resale_note(line: DocumentLine) -> str:
    """What to look at again where a line is marked as bought for resale; usually nothing."""
    if line.tax_kind != "resale" or line.category not in _USED_UP:
        return ""
    return (
        f"{line.words} is marked as bought for resale, but {_USED_UP[line.category]} usually used"
        " up in the shop and no part of the piece. As a rule a resale certificate does not cover"
        " that, and use tax is owed (tax kind use); your adviser and local law decide."
    )
