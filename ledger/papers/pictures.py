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
    try:
        content = path.read_bytes()
    except FileNotFoundError as missing:
        raise NotAllowed(
            f"The picture {path} is not there; name its folder: --pictures FOLDER"
        ) from missing
    except OSError as wrong:
        raise NotAllowed(f"{path} is no picture that can be read: take a JPEG or PNG.") from wrong
    return written_anew(content, str(path))


def written_anew(
    content: bytes, name: str, longest: int = LONGEST, *, as_photo: bool = False
) -> bytes:
    """A picture's bytes, written anew as `picture` says; `as_photo` always as a JPEG.

    Raises:
        NotAllowed: it is no picture of these kinds; it is called by `name`.
    """
    from PIL import Image, ImageOps, UnidentifiedImageError

    try:
        with Image.open(BytesIO(content), formats=_FORMATS) as opened:
            is_drawing = opened.format == "PNG" and not as_photo
            opened.draft("RGB", (longest, longest))
            upright = ImageOps.exif_transpose(opened).convert("RGB")
    except (
        UnidentifiedImageError, Image.DecompressionBombError, Image.DecompressionBombWarning,
        OSError, ValueError, SyntaxError,
    ) as wrong:  # fmt: skip
        raise NotAllowed(f"{name} is no picture that can be read: take a JPEG or PNG.") from wrong
    upright.thumbnail((longest, longest))
    pixels = Image.new("RGB", upright.size)
    pixels.paste(upright)
    written = BytesIO()
    if is_drawing:
        pixels.save(written, "PNG", optimize=True)
        if written.tell() <= MOST_BYTES:
            return written.getvalue()
    for quality in _QUALITIES:
        written = BytesIO()
        pixels.save(written, "JPEG", quality=quality, optimize=True)
        if written.tell() <= MOST_BYTES:
            return written.getvalue()
    raise NotAllowed(f"{name} comes to more than 2 MB however it is written; make it smaller.")


def file_name(number: int, content: bytes) -> str:
    """How a picture is called inside a paper: by its place, with the ending of its kind."""
    return f"picture-{number}.{'png' if content.startswith(b'\x89PNG') else 'jpg'}"
