"""`shop`: the settings, as they are typed."""

import json
from pathlib import Path

import pytest

SAMPLES = Path(__file__).parents[2] / "sample_data"


@pytest.fixture(autouse=True)
def a_book(shop):
    assert shop("new", "--shop", "Quillhaven Workshop").code == 0


def test_several_settings_are_set_at_once_and_said_as_they_are_kept(shop):
    said = shop("shop", "set", "kerf=.125in", "profit=0.08", "price_step=20")
    assert said.code == 0
    assert said.out == "kerf = 1/8 in\nprofit = 8 %\nprice_step = 20.00\n"


def test_one_wrong_setting_sets_none(shop):
    said = shop("shop", "set", "kerf=3 mm", "profit=many")
    assert (said.code, said.out) == (1, "")
    assert "profit: “many” is not a share" in said.err
    assert json.loads(shop("shop", "show", "kerf", "--json").out) == {"kerf": "1/8 in"}


def test_all_that_is_wrong_is_said_at_once(shop):
    said = shop("shop", "set", "tax_rate=6", "kerf=3 mm", "helper_billd=40")
    assert (said.code, said.out) == (1, "")
    told = said.err.splitlines()
    assert [line.split(":")[0].strip() for line in told[1:3]] == ["tax_rate", "helper_billd"]
    assert "helper_billed" in said.err
    assert json.loads(shop("shop", "show", "kerf", "--json").out) == {"kerf": "1/8 in"}


def test_a_folder_of_copies_that_is_not_there_is_set_with_a_note(shop, tmp_path):
    missing = shop("shop", "set", f"backup_to={tmp_path / 'stick'}")
    assert (missing.code, " ".join(missing.err.split()).count("not there")) == (0, 1)
    assert json.loads(shop("shop", "show", "backup_to", "--json").out) == {
        "backup_to": str(tmp_path / "stick")
    }


def test_a_wrong_name_gets_the_nearest(shop):
    said = shop("shop", "set", "krf=3 mm")
    assert (said.code, said.out) == (1, "")
    assert said.err.startswith("No setting is called “krf”. Nearest: kerf")


@pytest.mark.parametrize("name", ["currency", "units"])
def test_what_is_chosen_once_stays(shop, name):
    said = shop("shop", "set", f"{name}=EUR")
    assert said.code == 1
    assert f"{name} is chosen" in said.err


@pytest.mark.parametrize("words", [[], ["kerf"], ["--kerf", "3mm"]])
def test_a_mistyped_setting_ends_with_2_and_says_how_it_reads(shop, words):
    said = shop("shop", "set", *words)
    assert said.code == 2
    assert "Usage:" in said.err


def test_settings_are_found_by_part_of_their_name_or_words(shop):
    out = shop("shop", "show", "saw cut").out
    assert "kerf" in out
    assert "profit" not in out
    assert len(json.loads(shop("shop", "show", "markup", "--json").out)) >= 10


def test_a_text_setting_may_hold_anything(shop):
    text = "=cmd()[bold]“quoted”=\U0001fab5"
    assert shop("shop", "set", f"address={text}").code == 0
    assert json.loads(shop("shop", "show", "address", "--json").out)["address"] == text
    assert text in shop("shop", "show", "address").out.replace("\n", "")


def test_the_settings_are_asked_one_by_one_and_only_what_changes_is_set(shop):
    said = shop("shop", "ask", "markup on", keys="25 %\n\nmany\n12 %\nend\n")
    assert (said.code, said.out) == (0, "markup_sheet = 25 %\nmarkup_edging = 12 %\n")
    assert "markup_edging: “many” is not a share" in said.err
    made = json.loads(shop("shop", "show", "markup", "--json").out)
    assert [made[f"markup_{kind}"] for kind in ("sheet", "lumber", "edging", "hardware")] == [
        "25 %", "20 %", "12 %", "15 %",
    ]  # fmt: skip


def test_settings_that_are_fixed_are_not_asked(shop):
    said = shop("shop", "ask", "book", keys="\n" * 20)
    assert said.out == "Nothing was changed.\n"
    assert "currency" not in said.err
    assert "backup_key" not in said.err


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ("rip_capacity=10 in", "the fence opens less than the least edge"),
        ("carry_alone=0 lb", "nothing could be carried"),
        ("carry_alone=heavy", "write for example 50 lb or 23 kg"),
        ("fence_ratio=0 %", "more than 0 %"),
    ],
)
def test_tools_that_make_no_sense_are_refused_with_why(shop, change, why):
    said = shop("shop", "set", change)
    assert (said.code, why in " ".join(said.err.split())) == (1, True)
    assert json.loads(shop("shop", "show", "rip_capacity", "--json").out) == {
        "rip_capacity": "30 in"
    }


def test_a_rail_shorter_than_any_sheet_is_refused(shop):
    assert shop("material", "load", str(SAMPLES / "materials.csv")).code == 0
    said = shop("shop", "set", "rail_cut=40 in")
    assert (said.code, "shorter than any sheet" in " ".join(said.err.split())) == (1, True)
    assert shop("shop", "set", "rail_cut=48 in").code == 0


def test_a_saw_cut_wider_than_any_blade_is_refused(shop):
    shop("new", "--shop", "Quillhaven Workshop")
    said = shop("shop", "set", "kerf=12 in")
    assert (said.code, said.err.split(" ")[0]) == (1, "kerf")
    assert shop("shop", "set", "kerf=1/2 in").code == 0
