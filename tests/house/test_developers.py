"""The contributor's guide stays true: what it names is there, and its map shows every room."""

import re
from pathlib import Path

ROOT = Path(__file__).parents[2]
GUIDE = (ROOT / "DEVELOPERS.md").read_text("utf-8")


def test_every_path_the_guide_names_is_there():
    named = set(re.findall(r"`((?:ledger|tests|scripts)/[\w./-]*)`", GUIDE))

    assert named
    assert not sorted(path for path in named if not (ROOT / path).exists())


def test_every_room_stands_on_the_map():
    rooms = {door.parent.name for door in ROOT.glob("ledger/*/__init__.py")}

    assert rooms
    assert not sorted(room for room in rooms if f"{room}/ " not in GUIDE)


def test_the_guide_stays_short():
    words = re.findall(r"^\| [a-z]", GUIDE.split("## Words")[1], re.MULTILINE)

    assert len(words) <= 40
    assert len(GUIDE.splitlines()) <= 180
