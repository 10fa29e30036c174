"""The code on an invoice that a banking app reads: account, amount and reference of a transfer.

Source: European Payments Council, EPC069-12, version 2.1: UTF-8, error level M, no more than
331 bytes (QR version 13), euro alone, 0.01 to 999,999,999.99; no more than 70 letters of a name
and 140 of a text.
"""

import io
from decimal import Decimal

from ledger.measures.bank import parse_iban
from ledger.measures.money import Money
from ledger.papers.words import clean, cut
from ledger.quotes.invoice import Invoice
from ledger.quotes.paper_words import reference_of

CODE = "transfer.svg"
"""The drawing's name in a template."""

LEAST, MOST = Decimal("0.01"), Decimal("999999999.99")
LONGEST_NAME, LONGEST_TEXT = 70, 140


def transfer_code(invoice: Invoice) -> str:
    """The drawing of the code for what is still to be paid; nothing where there can be none.

    It is drawn for a euro account and an amount that a transfer may have.

    Raises:
        BadValue: the check digits of the account do not fit.
    """
    due = invoice.currency.decimal(invoice.to_pay)
    name = cut(clean(invoice.maker.name), LONGEST_NAME)
    is_payable = invoice.currency.code == "EUR" and LEAST <= due <= MOST
    if not (invoice.iban and name and is_payable and invoice.to_pay > Money(0)):
        return ""
    from segno import helpers

    code = helpers.make_epc_qr(
        name=name,
        iban=parse_iban(invoice.iban),
        amount=due,
        bic=invoice.bic or None,
        text=cut(clean(reference_of(invoice)), LONGEST_TEXT),
        encoding=1,
    )
    drawing = io.BytesIO()
    code.save(drawing, kind="svg", border=4, xmldecl=False)
    return drawing.getvalue().decode()
