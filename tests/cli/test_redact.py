"""`benchledger job redact`: a client's details leave the book, and nothing else does."""

import json

import pytest

NAME = "Somebody of Old Mill Lane"


@pytest.fixture
def asked(shop):
    """The program with two jobs of one client and one of nobody."""
    assert shop("new", "--shop", "Quillhaven Workshop").code == 0
    for number in ("J-1", "J-2"):
        assert shop("job", "new", "A stool", "--number", number, "--client", NAME).code == 0
    assert shop("job", "new", "A shelf", "--number", "J-3").code == 0
    return shop


def test_nothing_is_taken_out_before_it_is_said_to_be_right(asked):
    said = asked("job", "redact", "J-1")
    assert (said.code, said.out) == (1, "")
    assert f"{NAME} would be taken out" in said.err
    assert "benchledger job redact J-1 --yes" in said.err.replace("\n", " ")


def test_the_details_are_gone_from_every_job_and_the_jobs_stand(asked, tmp_path):
    assert NAME.encode() in (tmp_path / "shop.sqlite").read_bytes()
    said = asked("job", "redact", "J-1", "--yes")
    assert (said.code, "J-1 is Client 1" in said.out) == (0, True)
    assert "Copies of the book" in said.err
    assert NAME.encode() not in (tmp_path / "shop.sqlite").read_bytes()
    assert [row["number"] for row in json.loads(asked("job", "list", "--json").out)] == [
        "J-1", "J-2", "J-3",
    ]  # fmt: skip
    assert "2025-04-25" in asked("job", "redact", "J-2", "--yes").err


def test_what_was_taken_out_is_not_brought_back(asked):
    asked("job", "redact", "J-1", "--yes")
    said = asked("undo")
    assert said.code == 1
    assert "took a client's details out; they are gone." in said.err


def test_a_job_of_nobody_has_nothing_to_take_out(asked):
    assert "J-3 has no client" in asked("job", "redact", "J-3", "--yes").err
