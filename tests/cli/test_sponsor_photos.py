"""Photos of builds in a sponsor's report: only those marked, with nothing that a camera hides."""

from datetime import date
from io import BytesIO

import pypdfium2
import pypdfium2.raw as pdfium
import pytest
from PIL import Image

from ledger.book import Book
from ledger.jobs.jobs import find_job
from ledger.verbs.photos import BUILD, add_photo

PLACE = 0x8825


def taken(color):
    """A photo as a camera writes it, with the place in it."""
    exif = Image.Exif()
    exif.get_ifd(PLACE)[1] = "N"
    written = BytesIO()
    Image.new("RGB", (640, 480), color).save(written, "JPEG", exif=exif)
    return written.getvalue()


@pytest.fixture
def filmed(begun, tmp_path):
    """A box of a sponsor's sheets, photographed twice, and a job of the shop's own."""
    (tmp_path / "box.csv").write_text("id,qty,length,width,material\nA,2,20,10,PLY34\n", "utf-8")
    run = begun(
        ["new", "--shop", "Quillhaven Workshop"],
        ["material", "load", "--starting"],
        ["job", "new", "Box", "--parts", "box.csv", "--client", "T. Okafor"],
        ["job", "new", "Other", "--work", "repair 3h"],
        ["sponsor", "add", "Brightfell Panels", "--objective", "birch in real furniture"],
        ["sponsor", "receive", "brightfell", "PLY34", "3", "--value", "96.00"],
        ["sponsor", "build", "box", "A plain box"],
        ["stock", "issue", "box", "PLY34", "1", "--on-camera"],
    )
    with Book(tmp_path / "shop.sqlite", date(2025, 5, 2)) as book:
        for job, color in (("box", "red"), ("box", "blue"), ("other", "green")):
            add_photo(book, taken(color), BUILD, job=find_job(book, job), words="for me alone")
    return run


def pictures(path):
    """The middle color of each picture of a PDF."""
    with pypdfium2.PdfDocument(path) as document:
        found = [
            one.get_bitmap().to_pil().convert("RGB")
            for page in document
            for one in page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_IMAGE], max_depth=15)
        ]
    return [image.getpixel((image.width // 2, image.height // 2)) for image in found]


def test_only_the_marked_photo_is_printed_and_says_neither_place_nor_client(
    filmed, tmp_path, pdf_text
):
    report = ["sponsor", "report", "brightfell", "--from", "2025-01-01", "--pdf", "r.pdf"]
    assert filmed(*report).code == 0
    assert pictures(tmp_path / "r.pdf") == []

    said = filmed("sponsor", "note", "brightfell", "Closed, for T. Okafor", "--photo", "2")
    assert said.code == 0, said.err
    assert filmed(*report, "--yes").code == 0
    ((red, _, blue),) = pictures(tmp_path / "r.pdf")
    assert (red < 20, blue > 230) == (True, True)
    text = " ".join(pdf_text(tmp_path / "r.pdf").split())
    assert "A plain box (J-2501), May 2, 2025: Closed, for" in text
    assert "Okafor" not in text
    content = (tmp_path / "r.pdf").read_bytes()
    assert b"Exif" not in content
    assert b"Exif" in taken("blue")


def test_a_photo_of_another_job_or_none_is_refused_with_those_there_are(filmed):
    for number in ("3", "9"):
        refused = filmed("sponsor", "note", "brightfell", "Closed", "--photo", number)
        assert refused.code == 1
        assert f"No photo {number} is of a build" in refused.err
        assert "1 (J-2501" in " ".join(refused.err.split())
