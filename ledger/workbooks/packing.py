"""A workbook packed into its bytes, cleanly also where the disk is full."""

import gc
import io
import sys
import tempfile
import traceback
from pathlib import Path

from openpyxl import Workbook


def packed(workbook: Workbook, folder: Path) -> bytes:
    """The file's bytes, packed in memory: an archive that a full disk cuts off cannot be closed.

    The library writes each sheet into a temporary file first; these lie in the folder meanwhile,
    where they are swept if the command is killed.

    Raises:
        OSError: the folder cannot be written.
    """
    packed, usual = io.BytesIO(), tempfile.tempdir
    tempfile.tempdir = str(folder)
    try:
        workbook.save(packed)
    except OSError as trouble:
        _let_go_of(trouble)
        raise OSError(trouble.errno, trouble.strerror) from None
    finally:
        tempfile.tempdir = usual
    return packed.getvalue()


def _let_go_of(trouble: OSError) -> None:
    """Close what was half written when a disk was full; that fails too, and says nothing new."""
    usual, sys.unraisablehook = sys.unraisablehook, lambda _: None
    try:
        traceback.clear_frames(trouble.__traceback__)
        trouble.__traceback__ = None
        gc.collect()
    finally:
        sys.unraisablehook = usual
