"""`job close`: costs that were planned and never noted are said, not passed over."""

import json

import pytest


@pytest.fixture
def planned(begun):
    """The program with a job by lines for which kilometers were planned, and a delivery van."""
    return begun(
        ["new", "--shop", "Larkhollow Joinery", "--currency", "EUR", "--units", "mm",
         "--overhead", "14400", "--pay", "42000"],
        ["job", "new", "Cane chair", "--work", "repair 3h"],
        ["job", "add-cost", "chair", "km", "38", "0.55"],
        ["job", "add-cost", "chair", "other", "1", "15", "--note", "consumables"],
    )  # fmt: skip


def test_planned_costs_without_a_note_are_said_on_screen_and_paper(planned, tmp_path, pdf_text):
    close = ("job", "close", "chair", "--price", "300", "--preview")
    words = "Planned 20.90 of km and 15.00 of consumables, none noted"

    assert words in " ".join(planned(*close, "--pdf", "c.pdf").err.split())
    assert words in pdf_text(tmp_path / "c.pdf")
    planned("job", "add-cost", "chair", "km", "40", "0.55", "--actual")
    planned("job", "add-cost", "chair", "other", "1", "12", "--actual")
    assert json.loads(planned(*close, "--json").out)["not_noted"] == []


def test_a_cost_with_words_of_its_own_stands_for_no_planned_one_of_other_words(planned):
    close = ("job", "close", "chair", "--price", "300", "--preview", "--json")
    planned("job", "add-cost", "chair", "other", "1", "6", "--actual", "--note", "shims")
    missing = json.loads(planned(*close).out)["not_noted"]
    planned("job", "add-cost", "chair", "other", "1", "12", "--actual")

    assert {"name": "consumables", "planned": "15.00"} in missing
    # a cost without words may be the consumables
    assert [one["name"] for one in json.loads(planned(*close).out)["not_noted"]] == ["km"]


def test_a_second_bill_of_others_that_never_came_is_said(planned):
    close = ("job", "close", "chair", "--price", "300", "--preview", "--json")
    planned("job", "line", "chair", "outside", "120", "caning")
    planned("job", "line", "chair", "outside", "40", "gilding")
    planned("job", "add-cost", "chair", "outside", "1", "110", "--actual")

    missing = json.loads(planned(*close).out)["not_noted"]
    planned("job", "add-cost", "chair", "outside", "1", "38", "--actual")
    settled = json.loads(planned(*close).out)["not_noted"]

    assert "Outside work: 148.00 noted, 160.00 planned." in planned(*close[:-1]).out
    assert {"name": "outside beyond the 110.00 noted", "planned": "50.00"} in missing
    assert not [one for one in settled if one["name"].startswith("outside")]


def test_the_buying_list_names_work_of_others_until_its_bill_is_noted(begun):
    shop = begun(
        ["new", "--shop", "Larkhollow Joinery", "--currency", "EUR", "--units", "mm"],
        ["material", "load", "--starting"],
        ["job", "new", "Shelf", "--starter", "bookcase"],
        ["job", "line", "shelf", "outside", "120", "glass doors", "--lead", "14"],
        ["job", "add-cost", "shelf", "km", "20", "0.55", "--actual"],
    )
    listed = " ".join(shop("job", "buying-list", "shelf").err.split())
    shop("job", "add-cost", "shelf", "outside", "1", "110", "--actual")

    assert "glass doors 120.00, 14 days" in listed
    assert "glass doors" not in shop("job", "buying-list", "shelf").err


def test_a_line_of_the_list_is_noted_by_its_own_name_and_the_others_stay_open(planned):
    planned("job", "answer", "chair", "parking=12", "samples=35")
    planned("job", "add-cost", "chair", "parking", "1", "14", "--actual", "--note", "two days")

    close = ("job", "close", "chair", "--price", "300", "--preview", "--json")
    noted = {row["name"] for row in json.loads(planned(*close).out)["not_noted"]}
    assert noted == {"km", "consumables", "samples"}


def test_driving_is_planned_as_an_answer_or_as_a_cost_never_as_both(planned):
    assert planned("job", "answer", "chair", "km=22").code == 1
    assert planned("job", "answer", "chair", "km=0").code == 0
    planned("job", "new", "Stool", "--work", "repair 1h")
    planned("job", "answer", "stool", "km=22")
    assert planned("job", "add-cost", "stool", "km", "40", "0.55").code == 1
    assert planned("job", "add-cost", "stool", "km", "40", "0.55", "--actual").code == 0


def test_rework_that_was_planned_is_noted_by_its_hours(planned):
    close = ("job", "close", "chair", "--price", "300", "--preview", "--json")
    planned("job", "answer", "chair", "rework", "40")
    names = [one["name"] for one in json.loads(planned(*close).out)["not_noted"]]
    planned("hours", "add", "chair", "repair", "30m", "--class", "rework", "--cause", "a drip")

    assert "rework" in names
    assert "rework" not in [one["name"] for one in json.loads(planned(*close).out)["not_noted"]]


def test_a_price_rise_that_was_planned_is_noted_by_what_the_material_cost(planned, tmp_path):
    close = ("job", "close", "chair", "--preview")
    (tmp_path / "prices.csv").write_text(
        "code,name,kind,unit,length,width,price\nPLY,Plywood 18,sheet,sheet,2500,1250,60\n"
    )
    planned("material", "load", "prices.csv")
    planned("job", "line", "chair", "use", "PLY", "2")
    planned("job", "answer", "chair", "price rise=25")
    planned("quote", "draft", "chair", "--price", "300")
    planned("quote", "send", "chair")
    planned("quote", "accept", "chair")
    before = json.loads(planned(*close, "--json").out)["not_noted"]
    planned("receipt", "add", "PLY", "2", "72.50", "--from", "Holz Nord", "--to", "chair")
    after = json.loads(planned(*close, "--json").out)["not_noted"]
    said = " ".join(planned(*close).out.split())

    assert {"name": "price rise", "planned": "25.00"} in before
    assert [one["name"] for one in after] == ["km", "consumables"]
    assert "prices 25.00 higher than planned, 25.00 of price rise in the plan" in said


def test_an_answer_that_may_be_meant_as_a_number_is_said_to_be_money(planned):
    said = " ".join(planned("job", "answer", "chair", "meetings=2", "parking=12").err.split())
    priced = planned("job", "answer", "chair", "delivery=120", "admin=2.50", "pick-up=0").err

    assert "books no hours: 2.00 for meetings." in said
    assert said.endswith("benchledger job count J-2501 MTG=2")
    assert priced == ""


def test_a_cost_in_free_words_hides_no_planned_line_that_it_is_not_called_by(begun, pdf_text):
    shop = begun(
        ["new", "--shop", "Larkhollow Joinery", "--currency", "EUR", "--units", "mm",
         "--overhead", "14400", "--pay", "42000"],
        ["job", "new", "Gate", "--work", "repair 20h"],
        ["job", "answer", "gate", "go-back=80"],
        ["quote", "draft", "gate"], ["quote", "send", "gate"], ["quote", "accept", "gate"],
        ["hours", "add", "gate", "repair", "20h", "--yes"],
        ["job", "add-cost", "gate", "other", "1", "6", "--actual", "--note", "shims"],
    )  # fmt: skip
    close = ("job", "close", "gate", "--preview")
    facts = json.loads(shop(*close, "--json").out)
    said = " ".join(shop(*close, "--pdf", "c.pdf").err.split())
    differences = {row["name"]: row["amount"] for row in facts["differences"]}

    # 80.00 was planned for going back, nothing of it noted; the shims' 6.00 were planned nowhere
    assert facts["not_noted"] == [{"name": "go-back", "planned": "80.00"}]
    assert (differences["other costs"], differences["planned costs never booked"]) == (
        "6.00", "-80.00",
    )  # fmt: skip
    assert 'job add-cost J-2501 "go-back" 1 AMOUNT --actual' in said

    shop("job", "add-cost", "gate", "other", "1", "70", "--actual", "--note", "Go-back, by van")
    settled = json.loads(shop(*close, "--json").out)
    # both are beside the plan of 80.00: 6.00 + 70.00 - 80.00
    assert settled["not_noted"] == []
    assert {row["name"]: row["amount"] for row in settled["differences"]}["other costs"] == "-4.00"
