"""The root command: options that every command has, lazy nouns, refusals as sentences."""

import gc
import importlib
import os
import re
import sys
from functools import cache
from pathlib import Path
from typing import Annotated, Any

import typer
from typer.core import TyperCommand, TyperGroup

from ledger import __version__
from ledger.cli import opened, voice
from ledger.cli.nouns import NOUNS
from ledger.errors import NONSENSE, BookChanged, BookDamaged, LedgerError


class Nouns(TyperGroup):
    """The root group: a noun's module is imported only when that noun is used."""

    def __init__(self, **attributes: Any) -> None:
        super().__init__(**attributes)
        for noun, (_, words) in NOUNS.items():
            self.add_command(TyperCommand(noun, help=words))

    def resolve_command(self, ctx: Any, args: list[str]) -> tuple[Any, Any, list[str]]:
        """Load the noun that was asked for; help and completion of the others load nothing."""
        noun, command, rest = super().resolve_command(ctx, args)
        if noun in NOUNS:
            command = load(noun)
        return noun, command, rest

    def invoke(self, ctx: Any) -> Any:
        """Run the command; a refusal becomes its sentence and exit code 1."""
        try:
            answer = super().invoke(ctx)
            sys.stdout.flush()
        except BookChanged:
            raise  # `run` begins again
        except LedgerError as refusal:
            voice.refuse(_with_way_back(refusal))
            raise typer.Exit(1) from refusal
        except typer.TyperException as mistyped:  # it may repeat what was typed
            mistyped.message = voice.shown(mistyped.message) + _minus_words(mistyped.message)
            raise
        except (KeyboardInterrupt, typer.Abort):
            voice.refuse(_STOPPED)
            raise typer.Exit(130) from None
        except BrokenPipeError:
            # The reader of our output went away (`| head`): nothing is wrong with the book.
            _let_go_of_stdout()
            raise typer.Exit(0) from None
        except NONSENSE as trouble:
            damage = _damage_behind()
            if not damage:
                raise
            voice.refuse(damage)
            raise typer.Exit(1) from trouble
        return answer


def _with_way_back(refusal: LedgerError) -> str:
    """The refusal's text; of a damaged book also which copy of it is sound."""
    if not isinstance(refusal, BookDamaged):
        return str(refusal)
    from ledger.book.rescue import way_back

    return f"{refusal} {way_back(opened.book_path())}"


def _damage_behind() -> str:
    """The damage in the book's rows that made a command fail; empty where there is none."""
    from ledger.book.rescue import damage_of, way_back

    damage = damage_of(opened.book_path())
    return damage and f"{damage} {way_back(opened.book_path())}"


def _minus_words(message: str) -> str:
    """What to write where a number below zero was read as an option; else nothing.

    >>> _minus_words("No such option: --onn")
    ''
    """
    if not re.fullmatch(r"No such option: -[\d.,]", message):
        return ""
    return (
        ". A number below zero is no option: what went back to a client is noted by"
        " job pay JOB AMOUNT --refund; goods credited by receipt add … --credit-of RECEIPT, their"
        " quantity without a minus; elsewhere write it after --"
    )


def _let_go_of_stdout() -> None:
    """Let what is still to be written to stdout lead nowhere, so that it fails no second time."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


_STANDS = "What the command posted stands: benchledger undo --list"
_STOPPED = "Stopped. The book is whole: what this command posts is posted as a whole or not at all."


@cache
def load(noun: str) -> Any:
    """The noun's command group, made once; a noun that is a command itself is its only command."""
    module, attribute = NOUNS[noun][0].split(":")
    application: typer.Typer = getattr(importlib.import_module(module), attribute)
    application.rich_markup_mode = None  # plain help: names from the trade are never markup
    group = typer.main.get_group(application)
    for one in group.commands.values():  # told whole in the list of verbs, not cut at its edge
        one.short_help = " ".join((one.help or "").partition("\n\n")[0].split())
    names = list(group.commands)
    command: Any = group.commands[noun] if names == [noun] else group
    command.name = noun
    return command


app = typer.Typer(
    cls=Nouns,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    context_settings={"help_option_names": ["--help", "-h"]},
)


def _show_version(wanted: bool) -> None:
    if wanted:
        voice.say(f"Bench Ledger {__version__}")
        raise typer.Exit


@app.callback()
def root(
    book: Annotated[
        Path | None,
        typer.Option("--book", help="The book's file.", envvar="BENCHLEDGER_BOOK"),
    ] = None,
    version: Annotated[
        bool, typer.Option("--version", help="Say the version.", callback=_show_version)
    ] = False,
) -> None:
    """Bench Ledger: what a workshop's jobs cost, and what they should be sold for."""
    opened.choose(book)


def main() -> None:
    """Run the command line.

    What is imported makes no garbage, so the search for some begins only once the book is open;
    and what is left at the end goes with the process, unless a native module wants to tidy up. A
    short command takes a third less time so.
    """
    gc.disable()
    _open_streams()
    try:
        run([_as_text(word) for word in sys.argv[1:]])
    except KeyboardInterrupt:
        voice.refuse(_STOPPED)
        sys.exit(130)
    finally:
        if "packingsolver" not in sys.modules:
            gc.freeze()


def _open_streams() -> None:
    """Give a command that was started without a stream one that leads nowhere."""
    for name in ("stdin", "stdout", "stderr"):
        if getattr(sys, name) is None:
            nowhere = os.open(os.devnull, os.O_RDWR)
            setattr(sys, name, os.fdopen(nowhere, "r" if name == "stdin" else "w"))


def run(words: list[str]) -> None:
    """Run one command line, from the start again if another command posted while it was reading.

    Commands say what they did once it is posted, so nothing is said twice; a question that was
    answered at the terminal may have to be asked again, and why is said.
    """
    for turn in range(_TRIES):
        opened.hold_from_the_start(turn >= _FREELY)
        try:
            app(words, prog_name="benchledger")
        except OSError as trouble:
            if trouble.filename is not None:  # a file's trouble is told where the file is known
                raise
            _let_go_of_stdout()
            voice.refuse(f"The answer could not be written out ({trouble.strerror}). {_STANDS}")
            sys.exit(1)
        except BookChanged:
            pass
        finally:
            opened.hold_from_the_start(False)
        if sys.stdin.isatty():
            voice.note("Another command changed the book meanwhile; this one begins again.")
    voice.refuse("Other commands keep changing the book; nothing was posted. Try again.")
    sys.exit(1)


_TRIES = 20
"""How often a command line begins again before it gives up."""

_FREELY = 3
"""Tries in which a command reads without keeping others from writing; a slow one needs more."""


def _as_text(word: str) -> str:
    """A typed word; in a poor locale, what was typed in UTF-8 is read as what it is."""
    try:
        return os.fsencode(word).decode("utf-8")
    except UnicodeDecodeError:
        return word
