"""`benchledger material`: materials and their dated prices."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from ledger.cli import complete, voice
from ledger.cli.arguments import AsJson, Columns
from ledger.cli.opened import open_shop
from ledger.measures.length import show_length
from ledger.measures.plain import plain_fields
from ledger.measures.share import show_share
from ledger.measures.spoken import how_many, with_article
from ledger.measures.values import replace

if TYPE_CHECKING:
    from ledger.book.tables.materials import Material
    from ledger.stock.prices import CostPrice

app = typer.Typer(no_args_is_help=True, help="Materials and their dated prices.")


@app.command()
def load(
    file: Annotated[Path | None, typer.Argument(help="A price list, XLSX or CSV.")] = None,
    supplier: Annotated[
        str,
        typer.Option(
            "--from",
            help="Whose list it is, where no column says.",
            autocompletion=complete.supplier,
        ),
    ] = "",
    columns: Columns = None,
    starting: Annotated[
        bool, typer.Option("--starting", help="Starting prices (2025, not your own) instead.")
    ] = False,
) -> None:
    """Take a price list into the book: all of it, or nothing and a list of what is wrong.

    Columns are known by usual headings in any order; code, name, kind, unit, price, and of a sheet
    length and width are the most. What a dealer's list leaves unsaid is taken from its words, and
    told. Another size of a sheet is a further row of the same code: it goes by CODE/SIZE. To fill
    one in: benchledger material template FILE

    Example: benchledger material load sample_data/materials.csv
    """
    from ledger.cli.headings import read_asking
    from ledger.stock.materials import save_materials
    from ledger.workbooks.readers.materials import read_materials

    if starting:
        _load_starting()
    if file is None and not starting:
        raise typer.BadParameter("Name the file of your price list, or say --starting.")
    if file is None:
        return
    notes: list[str] = []
    with open_shop() as book:
        rows = read_asking(
            book, "price list", columns,
            lambda named: read_materials(
                file, book.currency, book.units, book.dates, named, notes
            ),
            supplier,
        )  # fmt: skip
        if supplier:
            rows = tuple(replace(row, supplier=row.supplier or supplier) for row in rows)
        changed, priced = save_materials(book, rows)
    voice.say(
        f"{file.name}: {how_many(len(rows), 'line')} read, {how_many(changed, 'material')}"
        f" and {how_many(priced, 'price')} new or changed."
    )
    voice.note(*notes)


@app.command()
def template(
    file: Annotated[Path, typer.Argument(help="Where to write it, .xlsx or .csv.")],
) -> None:
    """Write a price list to fill in, with an example of each usual kind.

    Example: benchledger material template prices.xlsx
    """
    from ledger.cli.templates import write

    write(file, "material")


def _load_starting() -> None:
    """Take the starting price list, and say that it is not the shop's own."""
    from ledger.verbs.starters import load_starting_materials

    with open_shop() as book:
        codes = load_starting_materials(book)
    listed = f": {', '.join(codes)}" if codes else ", for your list has them all"
    voice.say(f"{how_many(len(codes), 'material')} at starting prices{listed}.")
    voice.warn(
        "They are invented, of the level of 2025, and not your own: check each before you quote,"
        " with: benchledger material price CODE AMOUNT"
    )


@app.command(name="list")
def list_(
    text: Annotated[str, typer.Argument(help="Only those with this in code, name or kind.")] = "",
    as_json: AsJson = False,
) -> None:
    """List materials with today's price, old prices marked.

    Example: benchledger material list birch
    """
    from ledger.stock.materials import materials
    from ledger.stock.prices import current_price

    sought = text.casefold()
    with open_shop() as book:
        stale = book.settings.stale_days
        rows = [
            (m, current_price(book, m.code))
            for m in materials(book).values()
            if sought in f"{m.code} {m.name} {m.kind}".casefold()
        ]
        today = book.today
    if as_json:
        voice.print_json([_json(material, price) for material, price in rows])
        return
    if not rows and not text:
        voice.note("No material is in the book yet; start with: benchledger material load FILE")
        return
    is_taxed = any(price is not None and not price.is_untaxed for _, price in rows)
    heads = ["code", "material", "kind", "unit", ">price", "of"]
    voice.table(
        [*heads, *(["tax in it"] if is_taxed else [])],
        [
            [
                *(m.code, m.name, m.kind, m.unit),
                *(_priced(price, (today - price.day).days > stale) if price else ("none", "")),
                *([_tax_in(price)] if is_taxed else []),
            ]
            for m, price in rows
        ],
    )


@app.command()
def show(
    code: Annotated[
        str,
        typer.Argument(help="Code, or any part of code or name.", autocompletion=complete.material),
    ],
    as_json: AsJson = False,
) -> None:
    """Show one material and all its prices.

    Example: benchledger material show PLY34
    """
    from ledger.stock.materials import find_material, supplier_names
    from ledger.stock.prices import all_prices

    with open_shop() as book:
        material = find_material(book, code)
        prices = all_prices(book, material.code)
        suppliers = supplier_names(book)
        units = book.units
    if as_json:
        payload = _json(material, prices[-1] if prices else None)
        voice.print_json(payload | {"prices": [[str(p.day), str(p.amount)] for p in prices]})
        return
    voice.heading(f"{material.code}  {material.name}")
    voice.pairs(_described(material, units))
    voice.table(
        ["from", ">price", "supplier", "seen"],
        [[str(p.day), str(p.amount), suppliers.get(p.supplier or 0, ""), p.source] for p in prices],
    )
    if any(p.tax for p in prices):
        voice.say("The tax that stays a cost is in these prices (setting material_tax).")


@app.command()
def price(
    code: Annotated[
        str,
        typer.Argument(help="Code, or any part of code or name.", autocompletion=complete.material),
    ],
    amount: Annotated[str, typer.Argument(help="Price of one stock unit.")],
    supplier: Annotated[
        str | None,
        typer.Option("--from", help="Supplier.", autocompletion=complete.supplier),
    ] = None,
    on: Annotated[str, typer.Option(help="From which day on.")] = "today",
    taxed: Annotated[
        bool | None,
        typer.Option("--with-tax/--before-tax", help="Its tax is in it; else as your lists are."),
    ] = None,
) -> None:
    """Note a new price; earlier prices, and quotes made with them, stay.

    Example: benchledger material price PLY34 98.00 --from "Copper Vale Lumber" --on yesterday
    """
    from ledger.stock.materials import find_material, set_price
    from ledger.stock.prices import current_price, price_jump, to_note

    with open_shop() as book:
        material = find_material(book, code)
        before = current_price(book, material.code)
        value = book.currency.parse_price(amount)
        day = book.dates.read(on)
        noted = to_note(book, value, included=taxed)
        set_price(book, material.code, noted, supplier=supplier, day=day)
        jump = price_jump(book, material.unit, noted, before)
        now = current_price(book, material.code, day)
        cost = now.amount if now else value
    was = f" (before: {before.amount} of {before.day})" if before else ""
    noted_as = f" ({value} as noted)" if value != cost else ""
    voice.say(
        f"{material.code} {material.name}: {cost} {with_article(material.unit)}{noted_as}"
        f" from {day}{was}."
    )
    if jump:
        voice.warn(jump)


def _priced(price: "CostPrice", is_stale: bool) -> list[str]:
    return [str(price.amount), f"{price.day}{' (old)' if is_stale else ''}"]


def _tax_in(price: "CostPrice | None") -> str:
    """What tax is in a price: the rate put on what was noted, or what was noted with it."""
    if price is None or price.is_untaxed:
        return ""
    return "as noted" if price.tax is None else f"{show_share(price.tax)} on {price.noted}"


def _json(material: "Material", price: "CostPrice | None") -> dict[str, object]:
    return {
        **plain_fields(material, "code name kind unit pack"),
        "price": str(price.amount) if price else None,
        "price_day": str(price.day) if price else None,
        "price_before_tax": str(price.noted) if price and price.tax is not None else None,
    }


def _described(material: "Material", units: str) -> dict[str, str]:
    payload: dict[str, str] = plain_fields(material, "kind unit pack")
    for name in ("length", "width", "thickness"):
        value = getattr(material, name)
        if value is not None:
            payload[name] = show_length(value, units, suffix=True)
    if material.coverage is not None:
        payload["coverage"] = f"{material.coverage} ({material.coverage_source})"
    if material.density is not None:
        payload["density"] = f"{material.density} kg/m³ ({material.density_source})"
    if material.allowance is not None:
        payload["allowance"] = (
            f"{show_share(material.allowance)} of what is {material.allowance_on}"
        )
    if material.kind == "lumber":
        payload["grade"] = material.grade or "not said"
        payload["bought"] = "by tally, in whole board feet" if material.by_tally else "whole boards"
    if material.surfaced is not None:
        payload["surfaced to"] = show_length(material.surfaced, units, suffix=True)
    if material.note:
        payload["note"] = material.note
    return payload
