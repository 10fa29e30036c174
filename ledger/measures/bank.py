"""Account numbers for transfers: IBAN (ISO 13616) and BIC (ISO 9362), their check digits tried.

The two digits after the country are worked out over the whole number by ISO 7064, MOD 97-10: one
wrong digit or two that changed places are found.
"""

import re

from ledger.errors import BadValue
from ledger.measures.spoken import quoted

_IBAN = re.compile(r"[A-Z]{2}\d{2}[A-Z0-9]{11,30}")
_BIC = re.compile(r"[A-Z]{4}[A-Z]{2}[A-Z0-9]{2}([A-Z0-9]{3})?")


def parse_iban(text: str) -> str:
    """An IBAN without spaces, in capital letters.

    Raises:
        BadValue: it is none, or its check digits do not fit.

    >>> parse_iban("gb82 west 1234 5698 7654 32")
    'GB82WEST12345698765432'
    >>> parse_iban("GB82 WEST 1234 5698 7654 23")
    Traceback (most recent call last):
    ledger.errors.BadValue: “GB82 WEST 1234 5698 7654 23” is not an IBAN: its check digits do not \
fit. Copy it from your bank once more.
    """
    plain = "".join(text.split()).upper()
    if not (plain.isascii() and _IBAN.fullmatch(plain)):
        raise BadValue(
            f"{quoted(text)} is not an IBAN; it has a country, two digits and the account, such as"
            " GB82 WEST 1234 5698 7654 32."
        )
    turned = plain[4:] + plain[:4]
    if int("".join(str(int(letter, 36)) for letter in turned)) % 97 != 1:
        raise BadValue(
            f"{quoted(text)} is not an IBAN: its check digits do not fit. Copy it from your bank"
            " once more."
        )
    return plain


def show_iban(iban: str) -> str:
    """An IBAN in groups of four, as it is printed.

    >>> show_iban("GB82WEST12345698765432")
    'GB82 WEST 1234 5698 7654 32'
    """
    return " ".join(iban[start : start + 4] for start in range(0, len(iban), 4))


def parse_bic(text: str) -> str:
    """A BIC of eight or eleven characters, in capital letters.

    Raises:
        BadValue: it is none.

    >>> parse_bic("abcd de ff xxx")
    'ABCDDEFFXXX'
    >>> parse_bic("ABCD1")
    Traceback (most recent call last):
    ledger.errors.BadValue: “ABCD1” is not a BIC; it has 8 or 11 letters and digits, such as \
ABCDDEFF.
    """
    plain = "".join(text.split()).upper()
    if not (plain.isascii() and _BIC.fullmatch(plain)):
        raise BadValue(
            f"{quoted(text)} is not a BIC; it has 8 or 11 letters and digits, such as ABCDDEFF."
        )
    return plain
