"""`benchledger new`: make a book."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from ledger.cli import opened, voice
from ledger.errors import BadValue

if TYPE_CHECKING:
    from ledger.book import Book

app = typer.Typer(help="Make a book for a workshop.")

_QUESTIONS = {
    "shop": ("Name of the workshop", ""),
    "currency": ("Currency, by its ISO 4217 code; it stays as it is", "USD"),
    "units": ("What a bare number of length means, inch or mm; it stays as it is", "mm"),
    "overhead_year": ("Yearly overhead: rent, insurance, tools and so on (0: said later)", "0"),
    "pay_year": ("Your own yearly pay (0: said later)", "0"),
    "tax_standing": ("How the shop stands to tax: sales_tax, vat or exempt", "vat"),
    "material_tax": ("Tax you pay on purchases and do not get back, such as 19 %", "0 %"),
}
"""What matters from the first day on, in the order it is asked: the question and what is usual."""

_DOLLARS = {"units": "inch", "tax_standing": "sales_tax"}
"""What is usual in the United States; elsewhere millimeters and VAT (or GST) are."""


@app.command()
def new(
    file: Annotated[Path | None, typer.Argument(help="The book's file.")] = None,
    shop: Annotated[
        str | None, typer.Option("--shop", help="Name of the workshop; all is asked without it.")
    ] = None,
    currency: Annotated[str | None, typer.Option(help="ISO 4217 code, for ever.")] = None,
    units: Annotated[str | None, typer.Option(help="inch or mm, for ever.")] = None,
    overhead: Annotated[str | None, typer.Option(help="Yearly overhead.")] = None,
    pay: Annotated[str | None, typer.Option(help="The owner's yearly pay.")] = None,
    tax: Annotated[str | None, typer.Option(help="sales_tax, vat or exempt.")] = None,
    purchase_tax: Annotated[
        str | None, typer.Option(help="Rate of tax on purchases that you do not get back.")
    ] = None,
) -> None:
    """Make a book for a workshop, with the starting standards of time in it.

    Example: benchledger new shop.sqlite --shop "Quillhaven Workshop" --currency USD
    """
    from ledger.book import Book, create_book
    from ledger.book.schema import is_there, taken
    from ledger.labor.standards import load_starting_standards, standards

    path = file or opened.book_path()
    if is_there(path):
        raise taken(path, ", or open that book")
    given = (shop, currency, units, overhead, pay, tax, purchase_tax)
    answers = {name: text for name, text in zip(_QUESTIONS, given, strict=True) if text is not None}
    settings = _settings(answers, asking=shop is None)
    create_book(path, opened.today(), settings, load_starting_standards, opened.moment)
    with Book(path, opened.today(), opened.moment) as book:
        count, code, kind = len(standards(book)), book.currency.code, book.units
        rates, tax_note, usual = _rates(book), _tax_note(book), _usual_words(book)
    voice.say(f"A book for {settings['shop']} stands in {path} ({code}, {kind}).")
    voice.note(usual)
    voice.note(f"{count} starting standards of time are in it; your own hours will correct them.")
    if rates:
        voice.note(rates)
    else:
        figures = "overhead_year=AMOUNT pay_year=AMOUNT"
        voice.note(f"Say your yearly figures: benchledger shop set {figures}")
    if tax_note:
        voice.note(tax_note)
    voice.note("Next comes your price list: benchledger material load FILE (see its --help).")
    voice.note("To look around first: benchledger material load --starting")


def _settings(answers: dict[str, str], *, asking: bool) -> dict[str, str]:
    """The settings of the command line, the others prompted for or left at their defaults.

    Raises:
        BadValue: an answer is not of its setting's kind, or a shop that gets VAT back says a tax
            on purchases that stays a cost.

    """
    settings: dict[str, str] = {}
    for name, (question, elsewhere) in _QUESTIONS.items():
        usual = _DOLLARS.get(name, elsewhere) if settings.get("currency") == "USD" else elsewhere
        if name in answers:
            settings[name] = _kept(name, answers[name], settings)
        elif asking and (name != "material_tax" or settings["tax_standing"] == "exempt"):
            settings[name] = _answered(name, question, usual, settings)
        elif not asking and usual and name != "material_tax":
            settings[name] = _kept(name, usual, settings)
    standing = settings.get("tax_standing")
    if standing == "vat" and settings.get("material_tax", "0").strip("0. %"):
        raise BadValue(
            "A shop that gets VAT back has no tax on purchases that stays a cost: leave"
            " --purchase-tax out. One that gets none back is --tax exempt."
        )
    later = [
        name for name in ("overhead_year", "pay_year") if not settings.get(name, "").strip("0.")
    ]
    kept = {name: text for name, text in settings.items() if name not in later}
    if kept.get("tax_standing") == "exempt":
        kept["list_prices"] = "with_tax"
    return kept


def _answered(name: str, question: str, usual: str, settings: dict[str, str]) -> str:
    """Prompt for a setting until its answer is valid."""
    while True:
        try:
            answer = input(f"{question}{f' [{usual}]' if usual else ''}: ").strip()
            return _kept(name, answer or usual, settings)
        except EOFError:
            sentence = "Say the name of the workshop: benchledger new --shop NAME"
            raise typer.BadParameter(sentence) from None
        except BadValue as wrong:
            voice.refuse(str(wrong))


def _kept(name: str, text: str, settings: dict[str, str]) -> str:
    """The text as the book will keep it.

    Raises:
        BadValue: it is not of the setting's kind.

    """
    from ledger.book.settings import SETTINGS
    from ledger.measures.money import currency

    text = text.strip()
    if name == "shop" and not text:
        raise BadValue("The workshop needs a name, as it should stand on quotes.")
    if name == "currency":
        return currency(text).code
    if name == "units":
        if text.casefold() not in {"inch", "mm"}:
            raise BadValue(f"units is inch or mm; not “{text}”.")
        return text.casefold()
    units = (currency(settings.get("currency", "USD")), settings.get("units", "inch"))
    return SETTINGS[name].keep(text, units)


_CHARGED = {"sales_tax": "sales tax", "vat": "VAT", "exempt": "no tax"}
"""What a shop puts on its prices, by how it stands to tax."""


def _usual_words(book: "Book") -> str:
    """What the book begins with where nothing else was said, and how to change it."""
    words = {
        "kerf": "saw cut {}", "trim": "{} trimmed off a sheet's edges",
        "crosscut_capacity": "miter saw up to {}", "contingency": "contingency {}",
        "payments": "payments {}",
    }  # fmt: skip
    begun = [phrase.format(book.setting_text(name)) for name, phrase in words.items()]
    begun.append(f"{_CHARGED[book.settings.tax_standing]} charged")
    return (
        f"It begins with what is usual: {', '.join(begun)}. Go through all of it:"
        " benchledger shop ask"
    )


def _rates(book: "Book") -> str:
    """What an hour must bring, where overhead and pay were said."""
    from ledger.jobs.shop_rates import rates_of

    if not book.settings.overhead_year or not book.settings.pay_year:
        return ""
    rates, show = rates_of(book), book.currency.show
    return (
        f"An hour must bring {show(rates.break_even)} to break even, and sells for"
        f" {show(rates.selling)}."
    )


def _tax_note(book: "Book") -> str:
    """How prices are taken in a shop that gets no tax back."""
    from ledger.measures.share import show_share
    from ledger.upkeep.settings import exempt_words

    if book.settings.tax_standing != "exempt":
        return ""
    rate = show_share(book.settings.material_tax)
    return (
        f"You get no tax back: prices in your lists are taken with tax; one before tax gets {rate}"
        " put on. Change it: benchledger shop set material_tax=RATE list_prices=before_tax."
        f" {exempt_words(book)}"
    )
