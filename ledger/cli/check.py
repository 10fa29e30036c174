"""`benchledger check`: whether the book is sound."""

import typer

from ledger.cli import voice
from ledger.cli.arguments import AsJson
from ledger.cli.opened import book_path, open_shop

app = typer.Typer(help="Check that the book is whole and that everything in it ties.")


@app.command()
def check(as_json: AsJson = False) -> None:
    """Check that the book is whole and that everything in it ties; nothing is changed.

    Example: benchledger check
    """
    from ledger.book import schema
    from ledger.book.check import examine, examine_file
    from ledger.book.rescue import way_back
    from ledger.upkeep.checks import CHECKS, PHOTOS

    schema.require_ours(book_path())
    with voice.wait("Checking the book …"):
        findings = examine_file(book_path())
        is_readable = not any(finding.wrong for finding in findings)
        if is_readable:
            with open_shop() as book:
                findings += examine(book, CHECKS)
    is_sound = not any(finding.wrong for finding in findings)
    if as_json:
        checks = [finding._asdict() for finding in findings]
        voice.print_json({"book": str(book_path()), "sound": is_sound, "checks": checks})
    else:
        voice.table(
            ["what should hold", ""],
            [[name, "\n".join(wrong) or "ok"] for name, wrong in findings],
        )
    if not is_readable:
        voice.note("What was posted was not looked at, for the file itself is not sound.")
    if any(finding.wrong for finding in findings if finding.name != PHOTOS):
        voice.refuse(f"The book is not sound. {way_back(book_path())}")
        raise typer.Exit(1)
    if not is_sound:
        voice.refuse(
            "Every figure of the book is sound, and photos beside it are not as they were taken."
            " Put their files back from the folder of photos beside a backup."
        )
        raise typer.Exit(1)
