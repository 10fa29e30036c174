"""Random histories of taps, cut lines, lost answers and killed servers: each kept entry once."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

HISTORIES = Path(__file__).with_name("histories.py")


@pytest.mark.slow
def test_each_kept_entry_is_in_the_book_once_or_on_the_phone_with_its_reason(bed_file):
    words = [sys.executable, HISTORIES, "--times", "12", "--browser", "0", "--book", bed_file]
    done = subprocess.run(words, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)

    assert told["wrong"] == []
    assert told["posted"] > 30
    for way in ("never arrives", "answer lost", "sent twice", "server killed"):
        assert told[way] > 0
    assert told["on the phone, refused"] > 0
