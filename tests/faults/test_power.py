"""Power that goes at any write or sync of a commit leaves the book as before it, or as after it."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

POWER = Path(__file__).with_name("power.py")


@pytest.mark.slow
def test_a_cut_at_any_point_leaves_a_sound_book_that_lost_at_most_the_command_under_way(tmp_path):
    """`scripts/bench power` cuts five thousand times."""
    words = [sys.executable, POWER, tmp_path, "--cuts", "96", "--seed", "1", "--commands", "1"]
    done = subprocess.run(words, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    assert told["wrong"] == []
    assert told["rolled_back"] > 20, "some cuts came while a commit was under way"
