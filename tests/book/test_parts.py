"""What a killed command left unfinished goes with the next opening of the book."""

import os

import pytest

from ledger.book import Book, parts


@pytest.fixture
def dead():
    """The number of a process that is no more."""
    child = os.fork()
    if not child:
        os._exit(0)
    os.waitpid(child, 0)
    return child


def left(folder, name, process):
    part = folder / f".{name}.{process}.part"
    part.write_text("a client's details")
    return part


def test_what_dead_processes_left_beside_the_book_and_its_copies_goes(book, dead):
    (book.path.parent / "copies").mkdir()
    litter = [left(book.path.parent, "shop.sqlite", dead), left(book.path.parent, "x.xlsx", dead)]
    litter += [left(book.path.parent / "copies", "shop 2025-04-25.sqlite", dead)]
    journal = litter[0].with_name(f"{litter[0].name}-journal")
    journal.touch()
    tables = book.path.parent / f".tables.{dead}.part"
    tables.mkdir()
    (tables / "client.csv").touch()
    with Book(book.path, book.today):
        assert [path for path in (*litter, journal, tables) if path.exists()] == []


def test_what_a_running_process_makes_stays_and_so_do_other_files(book, dead):
    mine = left(book.path.parent, "x.xlsx", os.getppid())
    others = [book.path.parent / name for name in (".letter.part", f".x.{dead}.parts", "x.1.part")]
    for other in others:
        other.touch()
    with Book(book.path, book.today):
        assert all(path.exists() for path in (mine, *others))


def test_what_was_being_made_elsewhere_is_swept_by_the_note_beside_the_book(book, tmp_path, dead):
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    innocent = elsewhere / "letter.txt"
    innocent.touch()
    child = os.fork()
    if not child:
        parts.note_in(book.path.parent)
        with parts.part_of(elsewhere / "month.xlsx") as part:
            part.write_text("a client's details")
            os._exit(0)  # as a kill would: nothing is tidied up
    os.waitpid(child, 0)
    (note,) = book.path.parent.glob(".benchledger.*.parts")
    with note.open("a") as file:
        file.write(f"{innocent}\n{elsewhere}/.x.{dead}9.part\n")
    assert len(list(elsewhere.iterdir())) == 2
    with Book(book.path, book.today):
        assert list(elsewhere.iterdir()) == [innocent]
        assert not note.exists()


def test_a_part_that_is_done_leaves_neither_itself_nor_a_note(book, tmp_path):
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    parts.note_in(book.path.parent)
    with parts.part_of(elsewhere / ("long" * 60)) as part:
        part.mkdir()
        assert len(list(book.path.parent.glob(".benchledger.*.parts"))) == 1
    assert list(elsewhere.iterdir()) == []
    assert list(book.path.parent.glob(".benchledger*")) == []
