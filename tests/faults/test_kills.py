"""Killing the program at any instant loses at most the command under way, never half of it.

A few kills each time; `scripts/bench kills` does the same by the thousand.
"""

import json
import subprocess
import sys
from pathlib import Path

import pytest

KILLS = Path(__file__).with_name("kills.py")


def found(what, folder, *words):
    done = subprocess.run(
        [sys.executable, KILLS, what, folder, *words], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


@pytest.mark.slow
def test_kills_at_any_instant_leave_a_sound_book_and_no_half_entry(tmp_path):
    said = found("kill", tmp_path, "--times", "50", "--seed", "1", "--look", "5")
    assert said["wrong"] == []
    # How many end before their kill comes is the machine's affair; some must not.
    assert said["killed"] > 0
    assert 5 <= said["missing"] <= 45, "some were killed before their entry stood, some after"
    assert said["left"] == []


@pytest.mark.slow
def test_what_killed_commands_left_unfinished_goes_with_the_next_opening(tmp_path):
    said = found("litter", tmp_path, "--times", "45", "--seed", "1")
    assert said["unfinished"] > 5, "some were killed while they wrote"
    assert said["left"] == []


@pytest.mark.slow
def test_eight_processes_posting_at_once_lose_and_double_nothing(tmp_path):
    said = found("crowd", tmp_path, "--processes", "8", "--times", "1")
    assert said["commands"] == 48
    assert said["deeds"] == said["commands"] - said["failed"]
    assert sum(said["by_command"].values()) == said["deeds"]
    assert said["wrong"] == []
    assert said["failed"] <= 4, "a command that was disturbed gets its turn"


@pytest.mark.slow
def test_a_restore_while_two_processes_post_loses_no_entry(tmp_path):
    said = found("swap", tmp_path, "--times", "3")
    assert (said["wrong"], said["tracebacks"]) == ([], 0)
    assert said["books"] == 4
    assert said["posted"] > 0
