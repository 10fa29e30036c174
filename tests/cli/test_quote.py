"""`benchledger quote`, typed: draft, send, accept, check, and what each refusal says."""

import json
import re
from decimal import Decimal
from pathlib import Path

import pytest

SAMPLES = Path(__file__).parents[2] / "sample_data"
DELIVERY = "Delivery, installation and wall fixing=900"


@pytest.fixture
def bed(begun, tmp_path):
    """The program with the sample shop and a small job of two shelves."""
    (tmp_path / "shelves.csv").write_text(
        "id,qty,length,width,grain,material\nA1,2,40,11,length,PLY34\nA2,3,30,11,length,PLY34\n"
    )
    return begun(
        ["new", "--shop", "Quillhaven Workshop"],
        ["shop", "load", str(SAMPLES / "shop.csv")],
        ["material", "load", str(SAMPLES / "materials.csv")],
        ["job", "new", "Marrow shelves", "--parts", "shelves.csv", "--client", "D. Marrow"],
    )


def draft(shop, *more, **on):
    said = shop("quote", "draft", "shelves", "--price", "2000", *more, "--json", **on)
    assert said.code == 0, said.err
    return json.loads(said.out)


def test_a_draft_says_deliverables_tax_and_payments(bed):
    facts = draft(bed, "--deliverable", DELIVERY, "--goods", "Shelves")

    assert facts["quote"] == "Q-2501-A"
    assert facts["deliverables"] == [
        {"name": "Shelves", "pieces": 1, "piece": "1100.00", "amount": "1100.00", "taxed": True},
        {
            "name": "Delivery, installation and wall fixing",
            "pieces": 1,
            "piece": "900.00",
            "amount": "900.00",
            "taxed": False,
        },
    ]
    assert (facts["price"], facts["tax"], facts["to_pay"]) == ("2000.00", "66.00", "2066.00")
    assert [payment["asked"] for payment in facts["payments"]] == ["1033.00", "826.40", "206.60"]


def test_a_draft_is_shown_with_its_reminders_as_notes(bed):
    said = bed("quote", "draft", "shelves", "--deliverable", "Delivery=90")

    assert said.code == 0
    assert "Q-2501-A, draft since 2025-04-25" in said.out
    assert "local law decides" in " ".join(said.err.split())
    assert "right to cancel" not in said.out


def test_a_draft_again_keeps_what_was_said_of_the_first(bed):
    draft(bed, "--deliverable", DELIVERY, "--option", "Lamp=50", "--weeks", "9")

    facts = draft(bed, "--again", "--option", "Lamp=0", "--drawing", "D-8")
    assert "about 9 weeks" in bed("quote", "show", "shelves").out
    plain = draft(bed)

    assert facts["quote"] == "Q-2501-A"
    assert [line["amount"] for line in facts["deliverables"]] == ["1100.00", "900.00"]
    assert facts["options"] == []
    assert "about 9 weeks" not in bed("quote", "show", "shelves").out, "drafted plainly since"
    assert [line["amount"] for line in plain["deliverables"]] == ["2000.00"]


def test_what_the_client_may_add_is_on_the_screen_with_its_tax(bed):
    draft(bed, "--deliverable", DELIVERY, "--option", "Lamp=50")
    (lamp,) = [row.split() for row in bed("quote", "show", "shelves").out.splitlines()
               if "Lamp" in row]  # fmt: skip
    assert lamp == ["Lamp", "50.00", "3.00", "53.00"]
    draft(bed, "--again", "--option", "Lamp=0")
    assert "adds" not in bed("quote", "show", "shelves").out


def test_sending_says_what_was_answered_since_the_draft(bed):
    def priced():
        return json.loads(bed("price", "shelves", "--json").out)["totals"]["price"]

    draft(bed)
    then = priced()
    done = bed("job", "answer", "shelves", "parking", "212")
    assert done.code == 0, done.err
    now = priced()
    said = " ".join(bed("quote", "send", "shelves").err.split())
    assert f"drafted at a price of {Decimal(then):,}" in said
    assert f"makes it {Decimal(now):,}" in said
    assert Decimal(now) - Decimal(then) >= 212
    draft(bed, "--again")
    assert "drafted at a price" not in " ".join(bed("quote", "send", "shelves").err.split())


def test_nothing_can_be_drafted_again_before_it_was_drafted(bed):
    said = bed("quote", "draft", "shelves", "--again")

    assert (said.code, "no quote yet" in said.err) == (1, True)


def test_sending_freezes_the_draft_and_writes_the_file(bed, tmp_path):
    draft(bed)

    said = bed("quote", "send", "shelves", "--xlsx", "quote.xlsx")

    assert said.code == 0, said.err
    assert re.search(r"Q-2501-A is sent.* 2025-05-25: \$2,120\.00", said.out)
    assert (tmp_path / "quote.xlsx").exists()


def test_where_the_file_cannot_be_written_nothing_is_frozen(bed):
    draft(bed)

    said = bed("quote", "send", "shelves", "--xlsx", "no-such-folder/quote.xlsx")

    assert said.code == 1
    assert "cannot be written" in said.err
    assert json.loads(bed("quote", "show", "--json").out)["state"] == "draft"


def test_a_sent_quote_is_written_again_without_a_entry(bed, tmp_path):
    draft(bed)
    bed("quote", "send", "shelves", "--xlsx", "first.xlsx")

    said = bed("quote", "send", "shelves", "--xlsx", "second.xlsx", on="2025-05-02")

    assert said.code == 0
    assert json.loads(bed("quote", "show", "--json").out)["day"] == "2025-04-25"
    assert (tmp_path / "second.xlsx").exists()


def test_a_quote_goes_from_draft_to_accepted_and_the_list_says_so(bed):
    draft(bed)
    bed("quote", "send", "shelves")
    said = bed("quote", "accept", "--by", "signature and deposit", on="2025-04-28")

    assert said.out == (
        "Q-2501-A accepted on 2025-04-28 by signature and deposit. J-2501 is won.\n"
    )
    assert "accepted 2025-04-28" in bed("quote", "list").out


def test_a_quote_that_expires_soon_is_marked(bed):
    draft(bed)
    bed("quote", "send", "shelves")

    assert "left" not in bed("quote", "list", on="2025-05-10").out
    assert "sent, 5 days left" in bed("quote", "list", on="2025-05-20").out
    assert "expired" in bed("quote", "list", on="2025-06-01").out


def test_a_declined_quote_keeps_what_the_client_said(bed):
    draft(bed)
    bed("quote", "send", "shelves")

    said = bed("quote", "decline", "--why", "over budget")

    assert said.out == "Q-2501-A declined on 2025-04-25.\n"


def test_check_reads_every_sent_quote_again(bed):
    draft(bed)
    bed("quote", "send", "shelves")

    facts = json.loads(bed("quote", "check", "--json").out)

    assert [finding["faults"] for finding in facts["quotes"]] == [[]]
    assert len(facts["quotes"][0]["sha256"]) == 64
    assert facts["papers"] == []


def test_a_quote_as_text_is_at_most_72_wide(bed):
    draft(bed, "--describe", "Five shelves of birch plywood, edges banded, satin finish. " * 3)

    said = bed("quote", "text")

    assert "D. Marrow" in said.out
    assert "On acceptance" in said.out
    assert max(len(line) for line in said.out.splitlines()) <= 72


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (["draft", "shelves", "--deliverable", "Delivery"], 2, "should read NAME=VALUE"),
        (["draft", "shelves", "--deliverable", "Delivery=x"], 1, "is not an amount"),
        (["draft", "shelves", "--payments", "50/40"], 1, "does not add up to 100"),
        (["draft", "shelves", "--mattress", "60x80x10 in, 75 lb"], 1, "not made for a mattress"),
        (["draft", "cabinet"], 1, "No job is called “cabinet”"),
        (["show"], 1, "No quote is drafted yet: benchledger quote draft JOB"),
        (["show", "cabinet"], 1, "No quote or job is called “cabinet”"),
        (["send", "shelves"], 1, "has no quote yet"),
    ],
)
def test_what_makes_no_sense_is_refused_in_a_sentence(bed, words, code, says):
    said = bed("quote", *words)

    assert said.code == code
    assert says in " ".join(said.err.replace("│", " ").split())
