"""The engine: the same bytes every time, each letter of a client's text, faults as sentences."""

import pickle
import re
import shutil
import subprocess
import sys
from datetime import date

import pytest

from ledger.errors import NotAllowed
from ledger.measures.values import replace
from ledger.papers import engine
from ledger.papers.engine import Paper, PaperFault, print_paper, save_paper
from ledger.papers.quote import quote_paper
from ledger.quotes.offer import Maker

NASTY = (
    '#image("/etc/hosts") $x^2$ [a] *b* _i_ @ref <lab> \\ // /* */ -- ... " \' = H',
    '#{panic()} #read("secret") #import "@preview/cetz:0.3.0"',
    "=+-@ ` ~ ~ & < > % $$ #",
    "Łódź, Ağrı, București, Hà Nội, Αθήνα, Київ — €£₽ ½⅛¾ ″′ ×± ≤≥ → ☐ ✓",
    '{"a": [1]} \\u{41} \\n \\\\',
)


@pytest.mark.parametrize("text", NASTY)
def test_each_letter_of_a_clients_text_comes_back_and_nothing_is_evaluated(
    text, offer_of, read_back
):
    paper = quote_paper(offer_of(description=text), None, "letter")

    assert text in read_back(paper).text


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("a\x00b\x01c\x9fd", "abcd"),
        ("gnp\u202e.exe", "gnp.exe"),
        ("\ufeffoak\ue000\ufdd0\ufffe\U0001fffe", "oak"),
        ("half\ud800pair", "halfpair"),
        ("one\u2028two\ttab", "onetwo tab"),
        ("cafe\u0301", "café"),
    ],
)
def test_what_no_font_or_reader_can_show_is_taken_out(text, shown, offer_of, read_back):
    paper = quote_paper(offer_of(description=f"<{text}>"), None, "letter")

    assert f"<{shown}>" in read_back(paper).text


def test_ten_thousand_letters_run_over_pages_and_none_is_lost(offer_of, read_back):
    words = [f"word{number}" for number in range(2000)]

    pdf = read_back(quote_paper(offer_of(description=" ".join(words)), None, "A4"))

    assert len(pdf.pages) > 1
    assert [word for word in pdf.text.split() if word.startswith("word")] == words


def in_a_fresh_process(script, paper):
    given = pickle.dumps(paper)
    return subprocess.run(
        [sys.executable, "-c", script], input=given, capture_output=True, check=True
    ).stdout.decode()


AGAIN = """
import pickle, sys
from ledger.papers.engine import print_paper
print(print_paper(pickle.load(sys.stdin.buffer)).sha256)
"""


def test_a_paper_is_the_same_in_this_process_and_in_a_fresh_one(full_offer):
    paper = quote_paper(full_offer(3), None, "letter")

    assert print_paper(paper).sha256 == print_paper(paper).sha256
    assert in_a_fresh_process(AGAIN, paper).strip() == print_paper(paper).sha256


def test_another_day_word_or_size_makes_other_bytes(offer_of):
    paper = quote_paper(offer_of(), None, "letter")
    others = (
        replace(paper, day=date(2025, 4, 26)),
        replace(paper, title="Other"),
        replace(paper, size="A4"),
    )

    assert len({print_paper(one).sha256 for one in (paper, *others)}) == 4


WATCH = """
import pickle, sys, tempfile, typst
from ledger.papers.engine import print_paper
paper, opened = pickle.load(sys.stdin.buffer), []
tempfile.gettempdir()
watched = {"open", "socket.connect", "subprocess.Popen", "os.system"}
sys.addaudithook(lambda event, about: event in watched and opened.append((event, about[0])))
print_paper(paper)
for event, name in opened:
    print(event, name)
"""


def test_laying_out_opens_no_socket_and_no_file_but_templates_and_fonts(offer_of):
    """Python's own part is watched; that of typst is held by the rules for templates."""
    opened = in_a_fresh_process(WATCH, quote_paper(offer_of(), None, "letter"))

    assert "house.typ" in opened
    for line in opened.splitlines():
        event, name = line.split(" ", 1)
        assert event == "open", line
        of_python = name.startswith((sys.prefix, sys.base_prefix))
        assert of_python or re.search(r"/papers/templates/\w+\.typ$|/benchledger-", name), line


def test_a_letter_that_the_fonts_lack_is_told_with_its_text(offer_of, monkeypatch):
    house = engine._fonts(system=False)
    monkeypatch.setattr(engine, "_fonts", lambda system: house)
    paper = quote_paper(offer_of(title="Bench for 山本"), None, "letter")

    with pytest.raises(NotAllowed, match="in “Bench for 山本” is in no font on this computer"):
        print_paper(paper)


def test_a_font_of_this_computer_is_used_and_said(offer_of, monkeypatch):
    """Where this computer has a font with Hebrew or not: either it is used, or the letter named."""
    paper = quote_paper(offer_of(title="שלום"), None, "letter")

    try:
        printed = print_paper(paper)
    except NotAllowed as refused:
        assert "is in no font" in str(refused)
    else:
        assert printed.fallback


def test_a_fault_of_a_template_names_it_and_writes_nothing(tmp_path):
    paper = Paper("quote", "Bench", "", date(2025, 4, 25), "letter", "", {"shop": "Quill"})

    with pytest.raises(
        PaperFault, match="The paper “quote” could not be laid out; this is a fault"
    ):
        print_paper(paper)


def test_a_number_is_no_word(offer_of):
    paper = quote_paper(offer_of(), None, "letter")

    with pytest.raises(TypeError, match="not int"):
        print_paper(replace(paper, texts={**paper.texts, "title": 5}))


def test_the_file_is_whole_its_owners_alone_and_ends_in_pdf(offer_of, tmp_path):
    printed = print_paper(quote_paper(offer_of(), None, "letter"))
    path = save_paper(printed, tmp_path / "quote.pdf")

    assert path.read_bytes() == printed.content
    assert path.stat().st_mode & 0o777 == 0o600
    assert [one.name for one in tmp_path.iterdir()] == ["quote.pdf"]
    with pytest.raises(NotAllowed, match=r"write for example quote\.pdf"):
        save_paper(printed, tmp_path / "quote.txt")
    with pytest.raises(NotAllowed, match="cannot be written"):
        save_paper(printed, tmp_path / "none" / "quote.pdf")


def test_without_typst_one_sentence_says_so(offer_of, monkeypatch):
    monkeypatch.setitem(sys.modules, "typst", None)

    with pytest.raises(NotAllowed, match="Everything but --pdf works without it"):
        print_paper(quote_paper(offer_of(), None, "letter"))


def test_the_file_says_what_it_is_and_is_tagged(offer_of, read_back):
    paper = quote_paper(offer_of(maker=Maker("Quillhaven", "", "")), None, "A4")
    pdf = read_back(paper)
    content = print_paper(paper).content

    assert pdf.about["Title"] == "Quote Q-1-A: Bench"
    assert pdf.about["Author"] == "Quillhaven"
    assert pdf.document.is_tagged()
    assert b"en-US" in content
    assert [tuple(map(round, size)) for size in pdf.sizes()] == [(595, 842)]


def test_other_commands_start_without_typst():
    script = (
        "import sys; from ledger.cli.main import app; import ledger.cli.quote, ledger.cli.nouns;"
        "import ledger.cli.job_papers, ledger.cli.layout, ledger.cli.price, ledger.verbs.cutting;"
        "print(sorted({'typst', 'segno', 'pypdfium2'} & set(sys.modules)))"
    )
    result = subprocess.run([sys.executable, "-c", script], capture_output=True, check=True)

    assert result.stdout.decode().strip() == "[]"


@pytest.mark.skipif(not shutil.which("qpdf"), reason="qpdf is not installed")
def test_a_checker_of_pdf_finds_no_error(full_offer, tmp_path):
    path = save_paper(print_paper(quote_paper(full_offer(3), None, "A4")), tmp_path / "q.pdf")

    checked = subprocess.run(["qpdf", "--check", path], capture_output=True, check=False)

    assert checked.returncode == 0, checked.stdout + checked.stderr
