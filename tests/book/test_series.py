"""The dated series: which copies stay, what a copy holds, and a book brought back from it."""

import shutil
from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.book import Book, backup, sealed, series
from ledger.book.check import examine_file
from ledger.book.photos import (
    bring_photos_back,
    copy_photos,
    keep_photo,
    missing_photos,
    photo_faults,
    photo_file,
    photo_folder,
)  # fmt: skip
from ledger.book.tables.materials import Supplier
from ledger.book.tables.page import Photo
from ledger.errors import BadValue, BookTrouble, NotAllowed

DAY = date(2025, 4, 25)
WORDS = "four unrelated words do"


def post(book, name):
    with book.entry("supplier add", name):
        book.post(Supplier(name=name))


def names(path):
    with Book(path, DAY) as book:
        return [row.name for row in book.rows(Supplier)]


@pytest.fixture
def away(tmp_path):
    folder = tmp_path / "carried away"
    folder.mkdir()
    return folder


def days_in(folder):
    return [copy.day for copy in series.copies_in(folder)]


def test_a_year_of_copies_leaves_days_weeks_and_months():
    last = date(2025, 12, 31)
    kept = series.kept_days(last - timedelta(days=n) for n in range(365))
    by_hand = {date(2025, 12, d) for d in (31, 30, 29, 28, 27, 26, 25)}  # seven days
    by_hand |= {date(2025, 12, d) for d in (31, 28, 21, 14, 7)}  # Sundays end an ISO week
    ends = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30)
    by_hand |= {date(2025, month, day) for month, day in enumerate(ends, start=1)}
    assert kept == by_hand


@given(st.sets(st.dates(date(2020, 1, 1), date(2030, 1, 1)), max_size=60))
def test_the_rotation_keeps_the_latest_and_thins_the_same_way_twice(days):
    kept = series.kept_days(days)
    assert kept <= days
    assert len(kept) <= 7 + 5 + 12
    assert set(sorted(days)[-7:]) <= kept
    assert series.kept_days(kept) == kept


def test_a_series_that_grows_day_by_day_keeps_what_one_thinning_would(tmp_path, book, away):
    days = [date(2025, 1, 3) + timedelta(days=5 * n) for n in range(24)]
    for day in days:
        series.add_copy(book.path, away, day)
    assert set(days_in(away)) == series.kept_days(days)


def test_a_copy_is_a_whole_book_readable_by_its_owner_alone(book, away):
    post(book, "one")
    copy = series.add_copy(book.path, away, DAY)
    assert copy.name == "shop 2025-04-25.sqlite"
    assert names(copy) == ["one"]
    assert copy.stat().st_mode & 0o777 == 0o600


def test_a_second_copy_of_the_day_takes_the_place_of_the_first(book, away):
    series.add_copy(book.path, away, DAY)
    post(book, "two")
    copy = series.add_copy(book.path, away, DAY)
    assert names(copy) == ["two"]
    assert [file.name for file in away.iterdir()] == [copy.name]


def test_other_files_and_other_books_in_the_folder_are_left_alone(book, away):
    others = ["shop.sqlite", "other 2019-01-01.sqlite", "shop 2019-13-01.sqlite", "letter 2019.txt"]
    for name in others:
        (away / name).write_text("not ours to remove")
    for n in range(30):
        series.add_copy(book.path, away, DAY + timedelta(days=n))
    assert all((away / name).read_text() == "not ours to remove" for name in others)


def test_no_folder_is_a_refusal_and_so_is_the_books_own(book, away):
    with pytest.raises(BookTrouble, match="is not there"):
        series.add_copy(book.path, away / "none", DAY)
    with pytest.raises(NotAllowed, match="another disk"):
        series.add_copy(book.path, book.path.parent, DAY)


def test_a_damaged_book_leaves_the_last_good_copy(book, away):
    good = series.add_copy(book.path, away, DAY)
    before = good.read_bytes()
    book.close()
    book.path.write_bytes(book.path.read_bytes()[:4096] + b"\xff" * 40_000)
    with pytest.raises(BookTrouble):
        series.add_copy(book.path, away, DAY)
    assert good.read_bytes() == before
    assert [file.name for file in away.iterdir()] == [good.name]


def test_whether_a_copy_is_due_follows_the_setting_the_folder_and_the_day(book, away):
    assert series.off_site(book) is None
    assert not series.is_due(book)
    with book.entry("shop set"):
        book.set("backup_to", str(away))
    assert series.is_due(book)
    assert series.off_site(book) == series.OffSite(away, True, None)
    series.add_copy(book.path, away, book.today)
    assert not series.is_due(book)
    away.rename(away.with_name("unplugged"))
    assert not series.is_due(book)
    assert series.off_site(book) == series.OffSite(away, False, book.today)


def test_a_path_that_depends_on_where_one_stands_is_no_folder_for_copies(book):
    with book.entry("shop set"), pytest.raises(BadValue, match="whole path"):
        book.set("backup_to", "copies")


# --- encrypted -----------------------------------------------------------------------------


@pytest.fixture(scope="module")
def made_key(tmp_path_factory):
    """A key and its file; locking one by a passphrase is slow on purpose."""
    return sealed.make_key(tmp_path_factory.mktemp("key"), "shop", WORDS)


@pytest.fixture
def locked(book, away, made_key):
    """An encrypted copy and its key's file."""
    post(book, "Copper Vale Lumber")
    key, file = made_key
    return series.add_copy(book.path, away, DAY, key), Path(shutil.copy2(file, away))


@pytest.mark.slow
def test_an_encrypted_copy_tells_nothing_and_opens_with_the_passphrase(tmp_path, away, locked):
    copy, key_file = locked
    assert b"Copper Vale" not in copy.read_bytes()
    assert b"AGE-SECRET-KEY" not in key_file.read_bytes()
    assert {copy.stat().st_mode & 0o777, key_file.stat().st_mode & 0o777} == {0o600}
    assert sorted(file.name for file in tmp_path.iterdir() if file.is_file()) == ["shop.sqlite"]
    sealed.decrypt(copy, tmp_path / "opened.sqlite", sealed.unlock(away, WORDS))
    assert names(tmp_path / "opened.sqlite") == ["Copper Vale Lumber"]


@pytest.mark.slow
def test_a_wrong_passphrase_a_missing_key_and_a_damaged_copy_are_told_apart(tmp_path, away, locked):
    copy, key_file = locked
    target = tmp_path / "opened.sqlite"
    with pytest.raises(BookTrouble, match="does not open the key"):
        sealed.unlock(away, "not the words at all")
    keys = sealed.unlock(away, WORDS)
    copy.write_bytes(copy.read_bytes()[:-100])
    with pytest.raises(BookTrouble, match="cannot be decrypted"):
        sealed.decrypt(copy, target, keys)
    key_file.unlink()
    with pytest.raises(BookTrouble, match="No key stands in"):
        sealed.unlock(away, WORDS)


def test_a_short_passphrase_is_refused_and_leaves_no_key(away):
    with pytest.raises(BadValue, match="12 characters"):
        sealed.make_key(away, "shop", "short")
    assert list(away.iterdir()) == []


def test_a_book_comes_back_on_an_empty_machine_with_all_its_rows(tmp_path, book, away):
    post(book, "one")
    copy = series.add_copy(book.path, away, DAY)
    path = tmp_path / "new machine" / "shop.sqlite"
    assert backup.restore(path, copy, DAY) is None
    assert names(path) == ["one"]
    assert all(finding.wrong == [] for finding in examine_file(path))


# --- photos --------------------------------------------------------------------------------

TWO = (b"a photo of hinges" * 900, b"a photo of a receipt" * 900)


@pytest.fixture
def with_photos(book, away):
    """The book with two photos, and the series' folder set."""
    with book.entry("photo"):
        for content in TWO:
            digest = keep_photo(book.path, content)
            book.post(Photo(sha256=digest, bytes=len(content), day=DAY, about="receipt"))
    with book.entry("shop set"):
        book.set("backup_to", str(away))
    return book


def photos_in(folder):
    return sorted(file for file in folder.glob("shop photos/*/*") if file.is_file())


def test_photos_stand_once_beside_all_copies_of_a_series(with_photos, away, tmp_path):
    told = []
    series.add_if_due(with_photos, told.append)
    first = {file: file.stat().st_mtime_ns for file in photos_in(away)}
    assert len(first) == 2
    series.add_copy(with_photos.path, away, DAY + timedelta(days=1))
    assert copy_photos(with_photos, away / "shop.sqlite") == 0
    assert {file: file.stat().st_mtime_ns for file in photos_in(away)} == first
    assert {file.stat().st_mode & 0o777 for file in first} == {0o600}
    assert told == []

    shutil.rmtree(photo_folder(with_photos.path))
    altered = photo_file(with_photos.path, next(iter(first)).stem)
    altered.parent.mkdir(parents=True)
    altered.write_bytes(b"altered")
    copy = series.copies_in(away)[0].path
    assert bring_photos_back(with_photos, series.photos_beside(copy), []) == 2
    assert photo_faults(with_photos) == []


def test_a_disk_pulled_out_in_the_middle_leaves_no_half_photo(with_photos, away, monkeypatch):
    copied, whole = [], shutil.copyfile

    def pulled_out(source, target):
        if copied:
            Path(target).write_bytes(b"half")
            raise OSError(5, "Input/output error")
        copied.append(whole(source, target))

    monkeypatch.setattr(shutil, "copyfile", pulled_out)
    told = []
    series.add_if_due(with_photos, told.append)
    assert len(photos_in(away)) == 1
    (words,) = told
    assert "lacks photos" in words
    assert series.off_site(with_photos) == series.OffSite(away, True, DAY)

    monkeypatch.undo()
    photos_in(away)[0].write_bytes(b"what a disk keeps of a file that it did not finish"[:9])
    assert copy_photos(with_photos, away / "shop.sqlite") == 2
    assert {file.read_bytes() for file in photos_in(away)} == set(TWO)


def test_an_altered_photo_is_told_and_the_others_are_copied(with_photos, away):
    file = photo_file(with_photos.path, with_photos.rows(Photo)[0].sha256)
    file.write_bytes(b"altered")
    told = []
    series.add_if_due(with_photos, told.append)
    assert "not as it was taken" in told[0]
    assert [file.read_bytes() for file in photos_in(away)] == [TWO[1]]


@pytest.mark.slow
def test_encrypted_photos_tell_nothing_and_come_back_but_for_the_damaged(
    with_photos, away, made_key
):
    key, key_file = made_key
    shutil.copy2(key_file, away)
    assert copy_photos(with_photos, away / "shop.sqlite", key) == 2
    assert copy_photos(with_photos, away / "shop.sqlite", key) == 0
    damaged, _ = files = photos_in(away)
    assert all(file.suffix == ".age" and b"photo" not in file.read_bytes() for file in files)
    damaged.write_bytes(damaged.read_bytes()[:-5])
    shutil.rmtree(photo_folder(with_photos.path))
    keys = sealed.unlock(away, WORDS)
    assert bring_photos_back(with_photos, away / "shop photos", keys) == 1
    assert missing_photos(with_photos).startswith("1 photo missing")
