"""Pictures for papers: read from a file and written anew, turned upright, without what it hides.

A photograph carries where and when it was taken, with which camera; none of that may leave the
shop. So its pixels alone are kept.
"""

from io import BytesIO
from pathlib import Path

from ledger.errors import NotAllowed

MOST_BYTES = 2_000_000
LONGEST = 2400
"""Pixels of the longer side: more than a page can show at 200 to the inch."""

_FORMATS = ("JPEG", "PNG")
_QUALITIES = (88, 75, 60, 45)


def picture(path: Path) -> bytes:
    """A JPEG or PNG, upright, at most 2 MB, with nothing in it but its pixels.

    Raises:
        NotAllowed: the file is not there, or is no picture of these kinds.
    """
    from PIL import Image, ImageOps, UnidentifiedImageError

    try:
        with Image.open(path, formats=_FORMATS) as opened:
            is_drawing = opened.format == "PNG"
            upright = ImageOps.exif_transpose(opened).convert("RGB")
    except FileNotFoundError as missing:
        raise NotAllowed(f"The picture {path} is not there.") from missing
    except (UnidentifiedImageError, Image.DecompressionBombError, OSError) as wrong:
        raise NotAllowed(f"{path} is no picture that can be read: take a JPEG or PNG.") from wrong
    upright.thumbnail((LONGEST, LONGEST))
    pixels = Image.new("RGB", upright.size)
    pixels.paste(upright)
    content = BytesIO()
    if is_drawing:
        pixels.save(content, "PNG", optimize=True)
        if content.tell() <= MOST_BYTES:
            return content.getvalue()
    for quality in _QUALITIES:
        content = BytesIO()
        pixels.save(content, "JPEG", quality=quality, optimize=True)
        if content.tell() <= MOST_BYTES:
            return content.getvalue()
    raise NotAllowed(f"{path} comes to more than 2 MB however it is written; make it smaller.")


def file_name(number: int, content: bytes) -> str:
    """How a picture is called inside a paper: by its place, with the ending of its kind."""
    return f"picture-{number}.{'png' if content.startswith(b'\x89PNG') else 'jpg'}"
