"""Photos: written anew without what they hide, beside the book, copied, checked, entered."""

import io
import json

import pytest
from PIL import Image
from playwright.sync_api import expect

from ledger.book.parts import photo_folder
from ledger.book.photos import copy_photos, missing_photos, photo_faults, photo_file
from ledger.book.questions.entries import last_entries
from ledger.book.tables.page import Photo
from ledger.errors import NotAllowed
from ledger.verbs.photos import photos_to_enter


def as_taken(width=800, height=600, orientation=6):
    """A photograph as a phone takes it: lying, with the place in it; its left third is red."""
    picture = Image.new("RGB", (width, height), "white")
    picture.paste("red", (0, 0, width // 3, height))
    exif = Image.Exif()
    exif[0x0112] = orientation
    exif.get_ifd(0x8825).update({1: "N", 2: (48.0, 12.0, 30.0), 3: "E", 4: (16.0, 22.0, 10.0)})
    exif[0x010F] = "Invented Phone"
    content = io.BytesIO()
    picture.save(content, "JPEG", exif=exif)
    return content.getvalue()


def multipart(fields, photo):
    mark = "mark-of-the-parts"
    named = f"--{mark}\r\nContent-Disposition: form-data; name="
    parts = [f'{named}"{name}"\r\n\r\n{value}\r\n'.encode() for name, value in fields.items()]
    head = f'{named}"photo"; filename="a.jpg"\r\n\r\n'
    body = b"".join(parts) + head.encode() + photo + f"\r\n--{mark}--\r\n".encode()
    return body, f"multipart/form-data; boundary={mark}"


def send(page, photo, action="photo", **fields):
    page.keys += 1
    form = {"key": f"key-of-this-photo-{page.keys:06}", "tapped": "0", "sent": "0", **fields}
    body, kind = multipart(form, photo)
    return page.ask("POST", f"/post/{action}", body, Origin=f"http://{page.host}",
                    Content_Type=kind, **page.cookie())  # fmt: skip


def kept(page):
    with page.read() as book:
        return [(row, photo_file(book.path, row.sha256)) for row in book.rows(Photo)]


def test_a_photo_is_kept_upright_and_small_without_what_it_hides(page):
    answer = send(page, as_taken(2400, 1800), about="receipt", words="hinges")

    assert answer.text == "Photo 1 of a receipt is kept; it waits to be entered at the desk."
    ((row, file),) = kept(page)
    content = file.read_bytes()
    assert (row.about, row.words, row.bytes) == ("receipt", "hinges", len(content))
    assert file.stat().st_mode & 0o777 == 0o600
    assert b"Exif" not in content
    assert b"Invented" not in content
    with Image.open(file) as picture:
        assert picture.size == (1200, 1600)
        assert not picture.getexif()
        top, bottom = picture.getpixel((600, 100)), picture.getpixel((600, 1500))
    assert top[1] < 60 < 200 < bottom[1]  # the red third is on top now


@pytest.mark.parametrize("content", [b"no picture", b"<svg/>", as_taken()[:3000], b""])
def test_what_is_no_picture_is_refused_and_leaves_nothing(page, content):
    assert send(page, content, about="receipt").status == 422
    assert kept(page) == []
    assert not photo_folder(page.book).exists()


def test_the_same_photo_sent_twice_is_one_file(page):
    for _ in range(2):
        assert send(page, as_taken(), about="build", job="bed").status == 200
    assert len({file for _, file in kept(page)}) == 1
    assert send(page, as_taken(), about="build").status == 422  # of which job?


def test_a_spoiled_part_carries_its_photo_in_the_same_entry(page):
    send(page, as_taken(), "spoiled", job="bed", part="C1", cause="cut short")

    ((row, _),) = kept(page)
    assert (row.about, row.part, row.words) == ("spoiled", "C1", "cut short")
    with page.read() as book:
        assert last_entries(book, 1)[0][0].id == row.entry


def test_a_receipt_is_entered_from_its_photo_once(page, shop, tmp_path):
    send(page, as_taken(), about="receipt", words="glue")
    page.book.rename(tmp_path / "shop.sqlite")
    photo_folder(page.book).rename(tmp_path / "shop photos")
    (waiting,) = json.loads(shop("receipt", "photos", "--json").out)
    assert (waiting["photo"], waiting["words"], waiting["there"]) == (1, "glue", True)
    words = ["receipt", "add", "GLUE", "1", "15.50", "--from", "Copper Vale Lumber", "--photo", "1"]

    assert shop(*words, "--total", "1").code == 1
    assert "1" in shop("receipt", "photos").out
    assert shop(*words).code == 0
    assert "No photo of a receipt waits" in shop("receipt", "photos").out
    assert "No photo 1 waits" in shop(*words).err
    assert shop("undo").code == 0
    assert len(json.loads(shop("receipt", "photos", "--json").out)) == 1


def test_photos_are_checked_copied_and_missed(page, tmp_path):
    send(page, as_taken(), about="receipt")
    ((row, file),) = kept(page)
    with page.read() as book:
        assert photo_faults(book) == []
        assert copy_photos(book, tmp_path / "copy.sqlite") == 1
        assert copy_photos(book, tmp_path / "copy.sqlite") == 0
        assert photo_file(tmp_path / "copy.sqlite", row.sha256).read_bytes() == file.read_bytes()
        stray = file.with_name("stray.jpg")
        stray.write_bytes(b"x")
        file.write_bytes(b"altered")
        altered, unknown = photo_faults(book)
        assert "not as it was taken" in altered
        assert "no photo of this book" in unknown
        assert missing_photos(book) == ""
        file.unlink()
        assert "missing" in photo_faults(book)[0]
        assert missing_photos(book).startswith("1 photo missing")


def test_backup_restore_check_and_export_know_the_photos(page, shop, tmp_path):
    send(page, as_taken(), about="receipt")
    page.book.rename(tmp_path / "shop.sqlite")
    photo_folder(page.book).rename(tmp_path / "shop photos")

    assert "1 photo" in shop("backup", "copy.sqlite").out
    assert shop("export", "tables").code == 0
    assert len(list((tmp_path / "tables" / "shop photos").glob("*/*.jpg"))) == 1
    assert shop("check").code == 0
    (tmp_path / "away").mkdir()
    assert "1 photo added" in shop("backup", "--to", "away").out
    new = ("--book", "new/bench.sqlite")
    assert "1 photo put back" in shop(*new, "restore", "away").out
    assert shop(*new, "check").code == 0
    for folder in ("shop photos", "copy photos"):
        next((tmp_path / folder).glob("*/*.jpg")).unlink()
    restored = shop("restore", "copy.sqlite")
    assert restored.code == 0
    assert "1 photo missing" in restored.err
    missing = shop("check")
    assert missing.code == 1
    assert "restore" not in missing.err


def test_photos_to_enter_refuses_what_is_none(page):
    from ledger.verbs.photos import require_photo

    send(page, as_taken(), about="build", job="bed")
    with page.read() as book:
        assert photos_to_enter(book) == []
        with pytest.raises(NotAllowed, match="No photo 1 waits"):
            require_photo(book, 1)


def test_a_photo_taken_by_a_phone_waits_without_a_network_and_is_kept(phone, page, tmp_path):
    taken = tmp_path / "taken.jpg"
    taken.write_bytes(as_taken(3000, 2000))
    tab = phone()
    tab.goto(f"http://{page.host}/photo")
    expect(tab.locator("main")).to_have_attribute("data-shown", "1")
    tab.context.set_offline(True)
    tab.get_by_label("Take a photo").set_input_files(taken)
    tab.get_by_label("Words").fill("two boxes of screws")
    tab.get_by_role("button", name="Keep the photo").click()
    expect(tab.locator("#waiting")).to_contain_text("1 waiting", timeout=15_000)
    tab.context.set_offline(False)
    expect(tab.locator("#said")).to_contain_text("Photo 1 of a receipt is kept", timeout=15_000)

    ((row, file),) = kept(page)
    assert row.words == "two boxes of screws"
    with Image.open(file) as picture:
        assert picture.size == (1066, 1600)
        top, bottom = picture.getpixel((500, 100)), picture.getpixel((500, 1500))
    assert top[1] < 60 < 200 < bottom[1]
