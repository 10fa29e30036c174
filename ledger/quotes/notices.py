"""What the maker is reminded of before a quote goes out: warnings, never rules.

Where law is touched the local law is named as the authority: the book cannot know which applies.
"""

from fractions import Fraction

from ledger.costing.sheet import CostSheet
from ledger.jobs.assembling import ORDERS
from ledger.jobs.tax import is_untaxed
from ledger.measures.rounding import half_up
from ledger.measures.share import show_share
from ledger.quotes.offer import Offer
from ledger.quotes.terms import is_fitted

DEPOSIT_IN_US = (
    "Some places cap the deposit where a piece counts as home improvement (a tenth of the price,"
    " a third of it, with exceptions for special orders); local law decides whether yours does."
)
DEPOSIT = "Some places limit what may be asked before the work; local law decides."
CANCEL = (
    "A contract signed at the client's home or at a distance may carry a right to cancel or"
    " withdraw{time}. A piece made to measure may be excepted, and the client must be told so. Do"
    " not order or cut before it has lapsed; local law decides."
)
CANCEL_WORK = (
    "A contract signed at the client's home or at a distance may carry a right to cancel or"
    " withdraw{time}. Do not begin before it has lapsed; local law decides."
)
CANCEL_TIME = {"USD": " (three business days for many home sales)", "EUR": " (14 days in the EU)"}
"""How long such a right usually lasts, where the currency says in which law the shop works."""
LICENSE_IN_US = (
    "Fixing a piece to a building may need a contractor's license, and may change how it is taxed;"
    " ask the licensing board and the tax office of the place."
)
LICENSE = (
    "Fixing a piece to a building may be the work of a registered trade, and may change how it is"
    " taxed; ask the trade's authority and the tax office of the place."
)
SURCHARGE = (
    "A surcharge for paying by card is limited or forbidden in some places and by card networks;"
    " local law and your card contract decide."
)
NO_CARD_FEE = (
    "No card fee is set, so by card it comes to the same sum, and what the card company keeps is"
    " yours to bear. Else take this paper back, benchledger undo, set the fee, benchledger shop set"
    ' card_fee="RATE %" card_fee_fixed=AMOUNT, and write it again.'
)
NO_REACH = (
    "The page does not say how the client reaches you:"
    ' benchledger shop set contact="TELEPHONE, E-MAIL" address="YOUR ADDRESS"'
)
NO_WORDS = (
    "The page does not say what the piece is; draft it again with"
    ' --describe "ONE SENTENCE ON WOOD, FINISH AND FITTINGS"'
)
NO_TAX = (
    "The page asks for no tax, as the shop's tax_rate is 0 %. Where you must charge it:"
    ' benchledger shop set tax_rate="6 %" (your own rate)'
)
TAX_OPEN = (
    "Fixed to a building, this piece may be an improvement of real property: then no sales tax is"
    " charged, and you pay the tax on its material. The page charges it as the shop does, for it is"
    " not answered yet: benchledger job tax {job} taxable, or improvement. Local law decides."
)


def notices(
    offer: Offer,
    sheet: CostSheet,
    *,
    asks_card_fee: bool,
    is_tax_answered: bool = True,
    is_hung_by_client: bool = False,
) -> tuple[str, ...]:
    """The reminders that this offer calls for.

    `is_tax_answered` says that it needs no answer how the job stands to sales tax,
    `is_hung_by_client` that the shop does not fix the piece to the wall it is made for.
    """
    show, code = offer.currency.show, offer.currency.code
    first = offer.payments[0].price
    is_fixed = any(caution.about == "wall fixing" for caution in sheet.cautions)
    fixed = is_fixed and not is_hung_by_client
    paragraphs = []
    if not (offer.maker.contact or offer.maker.address):
        paragraphs.append(NO_REACH)
    is_order = sheet.design in ORDERS
    if not offer.description and not is_order:
        paragraphs.append(NO_WORDS)
    if not is_untaxed(offer.tax.standing) and not offer.tax.rate:
        paragraphs.append(NO_TAX)
    if not is_tax_answered and (fixed or any(is_fitted(line.name) for line in offer.deliverables)):
        paragraphs.append(TAX_OPEN.format(job=sheet.job))
    if fixed and first.minor * 10 > offer.price.minor:
        percent = half_up(Fraction(100 * first.minor, offer.price.minor), 1)
        share = show_share(Fraction(percent) / 100)
        paragraphs.append(
            f"The first payment is {share} of the price."
            f" {DEPOSIT_IN_US if code == 'USD' else DEPOSIT}"
        )
    if first < sheet.totals.material_full:
        paragraphs.append(
            f"The first payment of {show(first)} does not cover material and hardware of"
            f" {show(sheet.totals.material_full)}."
        )
    cancel = CANCEL_WORK if is_order else CANCEL
    paragraphs.append(cancel.format(time=CANCEL_TIME.get(code, "")))
    if fixed:
        paragraphs.append(LICENSE_IN_US if code == "USD" else LICENSE)
    if asks_card_fee:
        paragraphs.append(SURCHARGE)
    return tuple(paragraphs)
