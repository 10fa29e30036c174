"""A shop's own standards from a file: taken whole, or every bad line told."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

HEAD = "code,name,group,driver,unit,minutes,setup,helper_share,remark,spoken,stage,source\n"
OWN = Path(__file__).parents[1] / "jobs" / "pieces" / "own_standards.csv"


def test_own_standards_take_the_place_of_the_starting_ones(shop: Callable[..., Any]) -> None:
    shop("new", "--shop", "Quillhaven Workshop")
    first = shop("standards", "load", str(OWN))
    assert (first.code, first.out) == (0, "18 standards of 36 are new or changed.\n")
    assert shop("standards", "load", str(OWN)).out == "0 standards of 36 are new or changed.\n"
    tenon = json.loads(shop("standards", "show", "TEN", "--json").out)
    assert (tenon["minutes"], tenon["setup"], tenon["stage"]) == ("18", "30", "join")


def test_a_book_in_millimeters_takes_feet_as_meters(shop: Callable[..., Any]) -> None:
    shop("new", "--shop", "Tischlerei Quill", "--currency", "EUR", "--units", "mm")
    assert shop("standards", "load", str(OWN)).code == 0
    glue = json.loads(shop("standards", "show", "GLU", "--json").out)
    assert (glue["unit"], glue["minutes"]) == ("m", "13.12")  # 4 ÷ 0.3048


def test_bad_lines_are_told_and_nothing_is_taken(shop: Callable[..., Any], tmp_path: Path) -> None:
    shop("new", "--shop", "Quillhaven Workshop")
    lines = (
        "TEN,Tenons,joinery,tenonz,joint,18,30,0,,,join,own",
        "X,One letter,joinery,,joint,1,0,0,,,,",
        "NEW,Anew,benchwork,,joint,-1,0,0,,,,",
    )
    (tmp_path / "own.csv").write_text(HEAD + "\n".join(lines) + "\n")
    said = shop("standards", "load", "own.csv")
    told = " ".join(said.err.split())
    assert said.code != 0
    assert all(word in told for word in ("tenonz", "no code", "benchwork", "line 4"))
    (tmp_path / "own.csv").write_text(HEAD + "NEW,Anew,joinery,,joint,1,0,0,,sand,,\n")
    assert "SND" in shop("standards", "load", "own.csv").err
    assert "NEW" not in shop("standards", "list", "--json").out
