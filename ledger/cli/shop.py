"""`benchledger shop`: the settings."""

from pathlib import Path
from typing import Annotated

import typer

from ledger.cli import complete, voice
from ledger.cli.arguments import AsJson, Columns
from ledger.cli.opened import open_shop
from ledger.measures.spoken import how_many

app = typer.Typer(no_args_is_help=True, help="The shop's settings: rates, markups, saw, taxes.")


@app.command()
def show(
    text: Annotated[
        str,
        typer.Argument(
            help="Only settings with this in name or words.", autocompletion=complete.setting
        ),
    ] = "",
    as_json: AsJson = False,
) -> None:
    """Show the settings, those that were set and the defaults.

    Example: benchledger shop show markup
    """
    from ledger.book.settings import SETTINGS

    with open_shop() as book:
        sought = text.casefold()
        chosen = [
            s
            for s in SETTINGS.values()
            if s.only in ("", book.units) and (sought in s.name or sought in s.words.casefold())
        ]
        values = {s.name: book.setting_text(s.name) for s in chosen}
    if as_json:
        voice.print_json(values)
        return
    voice.table(
        ["setting", "value", "what it is for"],
        [[s.name, values[s.name] or "(not set)", s.words] for s in chosen],
    )


@app.command(name="set")
def set_(
    changes: Annotated[
        list[str],
        typer.Argument(metavar="NAME=VALUE …", autocompletion=complete.new_setting),
    ],
) -> None:
    """Set one or several settings; earlier prices and quotes keep the ones they were made with.

    Example: benchledger shop set selling_rate=73.00 price_step=20
    """
    from ledger.upkeep.settings import change_settings

    pairs = [_split(change) for change in changes]
    with open_shop() as book:
        notes = change_settings(book, pairs, "shop set", " ".join(changes))
        kept = {name: book.setting_text(name) for name, _ in pairs}
    for name, text in kept.items():
        voice.say(f"{name} = {text}")
    voice.note(*notes)


@app.command()
def ask(
    text: Annotated[str, typer.Argument(help="Only settings with this in name or words.")] = "",
) -> None:
    """Go through the settings one by one; enter keeps what holds, the word end stops.

    Example: benchledger shop ask markup
    """
    from ledger.cli.shop_ask import ask_settings
    from ledger.upkeep.settings import change_settings

    with open_shop() as book:
        pairs = ask_settings(book, text)
        notes = change_settings(book, pairs, "shop ask", text) if pairs else []
        kept = {name: book.setting_text(name) for name, _ in pairs}
    for name, value in kept.items():
        voice.say(f"{name} = {value}")
    if not kept:
        voice.say("Nothing was changed.")
    voice.note(*notes)


@app.command()
def template(
    file: Annotated[Path, typer.Argument(help="Where to write it, .xlsx or .csv.")],
) -> None:
    """Write all settings as they hold, to change and load.

    Example: benchledger shop template settings.xlsx
    """
    from ledger.cli.templates import write

    write(file, "shop")


@app.command()
def load(
    file: Annotated[Path, typer.Argument(help="XLSX or CSV with columns name, value.")],
    columns: Columns = None,
) -> None:
    """Set all the settings of a file.

    Example: benchledger shop load sample_data/shop.csv
    """
    from ledger.cli.headings import read_asking
    from ledger.upkeep.settings import change_settings
    from ledger.workbooks.readers.settings import read_settings

    with open_shop() as book:
        rows = read_asking(
            book, "list of settings", columns,
            lambda named: read_settings(file, book.currency, book.units, named),
        )  # fmt: skip
        notes = change_settings(book, rows, "shop load", file.name)
    voice.say(f"{how_many(len(rows), 'setting')} taken from {file.name}.")
    voice.note(*notes)


def _split(change: str) -> tuple[str, str]:
    name, mark, value = change.partition("=")
    if not mark:
        raise typer.BadParameter(f"“{change}” should read NAME=VALUE, for example kerf=1/8")
    name, value = name.strip(), value.strip()
    if name == "backup_to" and value:  # commands run in many folders: each must find the same one
        value = str(Path(value).expanduser().absolute())
    return name, value
