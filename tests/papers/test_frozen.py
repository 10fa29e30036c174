"""Papers that were sent come again: the same bytes, the same words, or a word on what differs."""

import json

import pytest

from ledger.book.tables.printed import PrintedRecord
from ledger.measures.values import replace
from ledger.papers.engine import print_paper
from ledger.papers.frozen import SAME_BYTES, compare
from ledger.papers.quote import quote_paper


def printed_again(shop):
    result = shop("quote", "check", "--json")
    assert result.code == 0, result.err
    return {row["paper"]: row["printed_again"] for row in json.loads(result.out)["papers"]}


@pytest.fixture
def sent(drafted):
    """A US shop whose quote and deposit invoice were printed when they were sent."""
    for words in (
        ["send", "bench", "--pdf", "q.pdf"],
        ["accept", "bench"],
        ["invoice", "bench", "--pdf", "i.pdf"],
        ["credit", "I-2501-1", "--why", "wrong name", "--pdf", "c.pdf"],
    ):
        result = drafted("quote", *words)
        assert result.code == 0, result.err
    return drafted


def test_what_was_sent_is_printed_again_with_the_same_bytes(sent):
    assert printed_again(sent) == dict.fromkeys(("Q-2501-A", "I-2501-1", "I-2501-2"), SAME_BYTES)


def test_another_size_of_paper_since_makes_no_other_bytes(sent):
    sent("shop", "set", "paper=A4")

    assert set(printed_again(sent).values()) == {SAME_BYTES}


def test_a_client_who_moved_changes_no_paper_that_was_sent(sent, pdf_text, tmp_path):
    """A paper keeps whom it was sent to."""
    before = (tmp_path / "q.pdf").read_bytes()
    changed = sent("job", "change", "bench", "a shelf", "--price", "50", "--pdf", "co.pdf")
    assert changed.code == 0, changed.err
    sent("job", "client", "bench", "--name", "Tobias Okafor", "--address", "9 New Street")

    assert set(printed_again(sent).values()) == {SAME_BYTES}
    sent("quote", "send", "bench", "--pdf", "q.pdf")
    assert (tmp_path / "q.pdf").read_bytes() == before
    sent("job", "change", "bench", "--again", "CO-1", "--pdf", "again.pdf")
    assert (tmp_path / "again.pdf").read_bytes() == (tmp_path / "co.pdf").read_bytes()
    assert "New Street" not in sent("quote", "text", "bench").out


def test_a_client_whose_details_were_taken_out_is_on_no_paper(sent):
    assert sent("job", "redact", "bench", "--yes").code == 0

    again = printed_again(sent)
    assert again["Q-2501-A"].startswith("other words: the client's details were changed")
    assert "Okafor" not in sent("quote", "text", "bench").out


def test_a_quote_sent_anew_goes_to_the_client_as_they_are_then(drafted):
    for words in (
        ["quote", "send", "bench"], ["undo"],
        ["job", "client", "bench", "--address", "9 New Street"], ["quote", "send", "bench"],
    ):  # fmt: skip
        result = drafted(*words)
        assert result.code == 0, (words, result.err)

    shown = drafted("quote", "text", "bench").out
    assert "T. Okafor" in shown
    assert "9 New Street" in shown


def test_a_paper_that_cannot_be_printed_sends_nothing(drafted):
    result = drafted("quote", "send", "bench", "--pdf", "nowhere/q.pdf")

    assert result.code == 1
    assert "cannot be written" in result.err
    shown = json.loads(drafted("quote", "show", "bench", "--json").out)
    assert shown["state"] == "draft"


def test_a_draft_is_printed_as_a_draft_and_not_kept(drafted, pdf_text, tmp_path):
    assert drafted("quote", "show", "bench", "--pdf", "d.pdf").code == 0

    assert "Draft, not an offer yet" in pdf_text(tmp_path / "d.pdf")
    drafted("quote", "send", "bench", "--pdf", "q.pdf")
    assert "Draft, not" not in pdf_text(tmp_path / "q.pdf")
    assert list(printed_again(drafted)) == ["Q-2501-A"]


def test_what_differs_is_named(offer_of):
    paper = quote_paper(offer_of(), None, "letter")
    first = print_paper(paper)
    kept = PrintedRecord(
        quote=1, size="letter", engine=first.engine, template=first.template, words=first.words,
        sha256=first.sha256,
    )  # fmt: skip

    def later(_paper):
        return replace(first, content=b"later")

    assert compare(kept, paper, print_paper) == SAME_BYTES
    assert compare(kept, replace(paper, title="Else"), print_paper).startswith("other words")
    assert "another kind of computer" in compare(kept, paper, later)
    kept.template = "0" * 64
    assert "in another layout" in compare(kept, paper, later)
    kept.engine = "typst 0.15.0"
    assert "another version (typst 0.15.0 then)" in compare(kept, paper, later)
    kept.fallback = True
    assert "in a font of the computer" in compare(kept, paper, later)
