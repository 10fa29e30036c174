"""`backup`, `restore`, `check`, `export` and the copy of each day, as they are typed."""

import json
import sqlite3
from contextlib import closing

import pytest


@pytest.fixture(autouse=True)
def a_book(shop):
    assert shop("new", "--shop", "Quillhaven Workshop").code == 0


def kerf(shop):
    return json.loads(shop("shop", "show", "kerf", "--json").out)["kerf"]


def test_a_copy_is_made_restored_and_what_it_replaced_is_kept(shop, tmp_path):
    shop("shop", "set", "kerf=1 mm")
    assert "A verified copy of" in shop("backup", "copy.sqlite").out
    shop("shop", "set", "kerf=2 mm")
    said = shop("restore", "copy.sqlite")
    assert said.code == 0
    assert "2 of 2025-04-25, shop set kerf=1 mm" in said.out
    assert "shop.replaced-2025-04-25.sqlite" in said.out.replace("\n", "")
    assert kerf(shop) == "1 mm"
    assert shop("--book", "shop.replaced-2025-04-25.sqlite", "shop", "show", "kerf").code == 0


def test_a_backup_over_an_existing_file_is_refused(shop, tmp_path):
    (tmp_path / "copy.sqlite").write_text("a letter")
    said = shop("backup", "copy.sqlite")
    assert (said.code, said.out) == (1, "")
    assert "copy.sqlite exists already" in said.err
    assert (tmp_path / "copy.sqlite").read_text() == "a letter"


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("none.sqlite", "There is no copy at none.sqlite."),
        ("letter.txt", "letter.txt is not a book of Bench Ledger; nothing was changed in it."),
        (".", ". holds no dated copy; name the copy in it."),
    ],
)
def test_what_is_no_copy_is_not_restored(shop, tmp_path, name, says):
    (tmp_path / "letter.txt").write_text("a letter")
    said = shop("restore", name)
    assert (said.code, said.out, said.err.strip()) == (1, "", says)
    assert kerf(shop) == "1/8 in"


def test_a_sound_book_is_said_to_be_sound_line_by_line(shop):
    said = shop("check")
    assert said.code == 0
    lines = said.out.splitlines()[1:]
    assert len(lines) >= 9
    assert all(line.rstrip().endswith("ok") for line in lines)
    facts = json.loads(shop("check", "--json").out)
    assert facts["sound"] is True
    assert all(check["wrong"] == [] for check in facts["checks"])


def test_a_book_that_was_tampered_with_is_said_to_be_unsound(shop, tmp_path):
    with closing(sqlite3.connect(tmp_path / "shop.sqlite")) as connection:
        connection.executescript("DROP TRIGGER deed_is_never_changed; UPDATE deed SET who = 'x'")
    said = shop("check")
    assert said.code == 1
    assert "row 1 of deed is not" in " ".join(said.out.split())
    assert "benchledger restore FILE" in said.err
    assert json.loads(shop("check", "--json").out)["sound"] is False


def test_a_sentence_of_a_room_is_shown_beside_its_check(shop, monkeypatch):
    from ledger.upkeep import checks as upkeep

    checks = [("Nothing is on fire", lambda book: ["The shop is on fire."])]
    monkeypatch.setattr(upkeep, "CHECKS", checks)
    said = shop("check")
    assert said.code == 1
    assert "Nothing is on fire" in said.out
    assert "The shop is on fire." in said.out


def test_a_book_that_is_not_there_is_said(shop):
    for words in (["check"], ["backup", "x"], ["export", "x"], ["undo"], ["shop", "show"]):
        said = shop("--book", "none.sqlite", *words)
        assert (said.code, said.out.replace("\n", "")[:20]) in {
            (1, ""),
            (1, "what should hold    "),
        }


def test_every_table_is_exported_and_counted(shop, tmp_path):
    facts = json.loads(shop("export", "tables", "--json").out)
    assert facts["rows"]["deed"] == 1
    assert {path.stem for path in (tmp_path / "tables").iterdir()} == set(facts["rows"])
    said = shop("export", "tables")
    assert said.code == 1
    assert "tables is not empty" in said.err


def test_the_first_posting_of_a_day_keeps_a_copy(shop, tmp_path):
    shop("shop", "show", on="2025-04-26")
    assert not (tmp_path / "copies").exists()
    for day in ("2025-04-26", "2025-04-26", "2025-04-27"):
        shop("shop", "set", "kerf=1 mm", on=day)
    names = sorted(path.name for path in (tmp_path / "copies").iterdir())
    assert names == ["shop 2025-04-26.sqlite", "shop 2025-04-27.sqlite"]
    shop("restore", "copies/shop 2025-04-26.sqlite")
    assert kerf(shop) == "1/8 in"


def test_a_daily_copy_that_fails_does_not_keep_the_posting_back(shop, tmp_path):
    (tmp_path / "copies").write_text("not a folder")
    said = shop("shop", "set", "kerf=1 mm")
    assert said.code == 0
    assert "No copy of the book" in said.err
    assert kerf(shop) == "1 mm"


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("none.sqlite", "There is no book at none.sqlite."),
        (".", ". is a folder; name the book's file in it."),
        ("letter.txt", "letter.txt is not a book of Bench Ledger"),
        ("empty", "empty is not a book of Bench Ledger"),
        ("newer.sqlite", "Install the newer Bench Ledger; nothing was changed in the book."),
    ],
)
@pytest.mark.parametrize("command", ["check", "today", "shop set kerf=1/8"])
def test_what_is_no_book_is_said_to_be_what_it_is(shop, tmp_path, command, name, says):
    (tmp_path / "letter.txt").write_text("a letter")
    (tmp_path / "empty").touch()
    shop("backup", "newer.sqlite")
    with closing(sqlite3.connect(tmp_path / "newer.sqlite")) as newer:
        newer.execute("PRAGMA user_version=99")
    said = shop("--book", name, *command.split())
    assert (said.code, said.out) == (1, "")
    assert says in said.err
    assert "Restore" not in said.err


def test_an_export_into_a_file_says_that_it_is_one(shop, tmp_path):
    (tmp_path / "letter.txt").write_text("a letter")
    said = shop("export", "letter.txt")
    assert (said.code, "letter.txt is a file" in said.err) == (1, True)


# --- the dated series ----------------------------------------------------------------------


@pytest.fixture
def away(shop, tmp_path):
    """The folder of the series, set in the book; the setting itself was the day's first entry."""
    folder = tmp_path / "away"
    folder.mkdir()
    assert shop("shop", "set", f"backup_to={folder}").code == 0
    return folder


def copies_of(folder):
    return sorted(path.name for path in folder.iterdir())


def test_the_first_entry_of_a_day_adds_a_copy_after_it_stands(shop, away):
    assert copies_of(away) == ["shop 2025-04-25.sqlite"]
    shop("shop", "set", "kerf=1 mm", on="2025-04-26")
    shop("shop", "set", "kerf=2 mm", on="2025-04-26")
    assert copies_of(away) == ["shop 2025-04-25.sqlite", "shop 2025-04-26.sqlite"]
    shop("restore", str(away))
    assert kerf(shop) == "1 mm"


def test_a_question_or_a_refused_entry_adds_none(shop, away):
    shop("shop", "show", on="2025-04-26")
    assert shop("shop", "set", "kerf=many", on="2025-04-26").code == 1
    assert copies_of(away) == ["shop 2025-04-25.sqlite"]


def test_a_folder_that_is_not_there_stops_nothing_and_today_says_how_old_the_copy_is(shop, away):
    away.rename(away.with_name("unplugged"))
    answer = shop("shop", "set", "kerf=1 mm", on="2025-04-30")
    assert (answer.code, answer.err) == (0, "")
    assert "5 days old" in " ".join(shop("today", on="2025-04-30").out.split())
    off_site = json.loads(shop("today", "--json", on="2025-04-30").out)["off_site"]
    assert off_site == {"folder": str(away), "is_there": False, "last": "2025-04-25"}
    assert shop("backup", "--to", str(away)).code == 1


def test_a_copy_that_cannot_be_written_is_a_note_and_the_entry_stands(shop, away, monkeypatch):
    from ledger.book import series
    from ledger.errors import BookTrouble

    def refuse(*_):
        raise BookTrouble("The stick is full.")

    monkeypatch.setattr(series, "add_copy", refuse)
    answer = shop("shop", "set", "kerf=1 mm", on="2025-04-26")
    assert answer.code == 0
    assert "The stick is full." in answer.err
    assert kerf(shop) == "1 mm"


def test_a_relative_folder_is_kept_with_its_whole_path(shop, tmp_path):
    (tmp_path / "near").mkdir()
    shop("shop", "set", "backup_to=near")
    assert json.loads(shop("shop", "show", "backup_to", "--json").out) == {
        "backup_to": str(tmp_path / "near")
    }


def test_backup_wants_one_thing_at_a_time(shop, away):
    assert shop("backup").code == 2
    assert shop("backup", "copy.sqlite", "--to", str(away)).code == 2
    assert shop("backup", "--encrypt", "--to", str(away)).code == 2


def test_two_books_in_one_folder_ask_which(shop, away):
    shop("--book", "second.sqlite", "new", "--shop", "Second")
    shop("--book", "second.sqlite", "backup", "--to", str(away))
    answer = shop("restore", str(away))
    assert answer.code == 1
    assert "second 2025-04-25.sqlite" in answer.err


@pytest.mark.slow
def test_an_encrypted_series_brings_the_book_back_on_an_empty_machine(shop, away):
    words = "four unrelated words do\n"
    assert shop("backup", "--encrypt", keys="short\n").code == 1
    answer = shop("backup", "--encrypt", keys=words)
    assert answer.code == 0
    assert "shop 2025-04-25.sqlite" in answer.err, "the copy from before is named"
    shop("shop", "set", "kerf=2 mm", on="2025-04-26")
    assert "shop 2025-04-26.sqlite.age" in copies_of(away)
    new = ("--book", "new machine/shop.sqlite")
    assert shop(*new, "restore", str(away), keys="not the words\n").code == 1
    answer = shop(*new, "restore", str(away), keys=words)
    assert answer.code == 0
    assert json.loads(shop(*new, "shop", "show", "kerf", "--json").out)["kerf"] == "2 mm"
    assert copies_of(away.parent / "new machine") == ["shop.sqlite"]
