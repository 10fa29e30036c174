"""Two sponsors in one job: neither reads of the client, the price, the hours or the other one."""

import json
import random
import re
import zipfile
from datetime import date
from decimal import Decimal

import pytest

from ledger.book.tables.materials import Supplier
from ledger.book.tables.sponsors import Sponsor
from ledger.cli.sponsor_shown import the_report
from ledger.errors import NotAllowed
from ledger.measures.quantity import Quantity
from ledger.papers.engine import print_paper, save_paper
from ledger.papers.sponsor import sponsor_paper
from ledger.quotes.offer import Maker
from ledger.reports.sponsor import sponsor_report
from ledger.reports.sponsor_json import sponsor_json
from ledger.sponsors import add_sponsor, agree, publish
from ledger.sponsors.agreements import Promise
from ledger.sponsors.goods import add_note, find_tool, log_tool
from ledger.sponsors.publications import NewPublication, name_build
from ledger.stock import issue, receive, withdraw
from ledger.stock.documents import Document, DocumentLine
from ledger.workbooks.writers.sponsor import write_sponsor

BRIGHTFELL, TALLOWGATE = "Brightfell Panels", "Tallowgate Ply Mill"
FIRST, LAST = date(2025, 4, 1), date(2025, 4, 25)
WORDS = r"\b(hours?|man-hours?|client|customer|quote|mark-?up|margin|profit|overhead|payroll)\b"
CLIENT = ("Marrow", "Calloway", "Quarry Row", "ines@", "555-0142")


@pytest.fixture(scope="module")
def shared(bed_book, bed):
    """The bed with sheets of two sponsors and a saw on loan; every text says what it must not."""
    with bed_book.entry("client"):
        details = "ines@calloway.example, 555-0142", "12 Quarry Row, Larkspur"
        bed_book.client("Ines Calloway", *details)
    for name, code, each in ((BRIGHTFELL, "PLY34", 9600), (TALLOWGATE, "PLY12", 7200)):
        other = TALLOWGATE if name == BRIGHTFELL else BRIGHTFELL
        add_sponsor(bed_book, name, f"Be seen in the Marrow bed beside {other}")
        agree(bed_book, name, [Promise("long", 1, LAST)], day=FIRST)
        lot = _sheets(bed_book, name, code, 6, each)
        reason = f"dropped at 12 Quarry Row on a pack of {other.split()[0].lower()}"
        withdraw(bed_book, "damage", code, Quantity.of(1), lot=lot, day=date(2025, 4, 15),
                 reason=reason)  # fmt: skip
        issue(bed_book, bed.key, code, Quantity.of(4), lot=lot, day=date(2025, 4, 16),
              on_camera=True)  # fmt: skip
        for kind in ("photo", "next", "where", "code", "result"):
            add_note(bed_book, name, kind, f"{kind}/marrow-bed_{other.replace(' ', '')}.jpg")
            add_note(bed_book, name, kind, f"{kind} for Ines Calloway and {other}, 555-0142")
    _saw(bed_book)
    name_build(bed_book, bed, f"Mrs. Marrow's bed ({BRIGHTFELL}, {TALLOWGATE})")
    publish(
        bed_book,
        NewPublication(f"The Marrow bed with {BRIGHTFELL} and {TALLOWGATE}", "long", LAST,
                    (BRIGHTFELL, TALLOWGATE), (bed.key,), "https://v.example/calloway-marrow",
                    disclosed="sheets of Brightfell and Tallowgate were free"),
    )  # fmt: skip
    return bed_book


def _sheets(book, name, code, count, each):
    line = DocumentLine(
        words=f"{code} sheets for D. Marrow", category="sheet", quantity=Quantity.of(count),
        unit="sheet", net=book.currency.money(Decimal(each * count) / 100), material=code,
        method="retail price seen", evidence="price page of Copper Vale Lumber",
    )  # fmt: skip
    document = Document(name, date(2025, 4, 14), (line,), "in_kind", document=f"{name} for Marrow")
    return receive(book, document).lots[0].key


def _saw(book):
    line = DocumentLine(words="Track saw", category="tool", quantity=Quantity.of(1), unit="each",
                net=book.currency.money(480))  # fmt: skip
    receive(book, Document(BRIGHTFELL, date(2025, 4, 14), (line,), "borrowed"))
    log_tool(book, find_tool(book, BRIGHTFELL, "saw"), minutes=95,
             fault="stuck in Tallowgate's ply at Marrow's")  # fmt: skip


def inside_of(book, sheet, sponsor):
    """The names and figures that this sponsor must not read."""
    names = {row.name for row in book.rows(Supplier)} | {row.name for row in book.rows(Sponsor)}
    names |= {name.split()[0] for name in names}
    own = {sponsor, sponsor.split()[0]}
    totals, rates, show = sheet.totals, sheet.rates, sheet.currency.decimal
    amounts = (totals.price, totals.build_up, totals.full_cost, totals.material_full,
               totals.material_cash, rates.pay, rates.overhead, rates.break_even, rates.selling,
               *(line.amount for line in sheet.build_up))  # fmt: skip
    figures = {show(amount) for amount in amounts} | {totals.estimate_hours, totals.owner_hours}
    figures |= {line.estimate for line in sheet.hours if line.estimate % 1}
    return names - own | set(CLIENT), figures


def leaks(values, names, figures):
    """Every value that tells something of what only the shop knows."""
    found = []
    for value in values:
        text = str(value)
        found += [name for name in names if name.casefold() in text.casefold()]
        found += re.findall(WORDS, text, re.IGNORECASE)
        numbers = re.findall(r"\d[\d,]*\.\d+", text.replace("_", " "))
        found += [n for n in numbers if Decimal(n.replace(",", "")) in figures]
        if isinstance(value, int | float) and Decimal(str(value)) in figures:
            found.append(text)
    return found


def prepared(book, name):
    return sponsor_report(book, book.last(Sponsor, name=name), FIRST, LAST)


def unasked(texts, said):
    """The texts without what the owner is asked about before anything is written."""
    for doubt in said.doubts:
        texts = [str(text).replace(doubt.text, "") for text in texts]
    return texts


@pytest.mark.parametrize("name", [BRIGHTFELL, TALLOWGATE])
def test_the_workbook_tells_nothing_of_client_price_hours_or_the_other(
    name, shared, bed_sheet, cells, tmp_path
):
    said = prepared(shared, name)
    file = write_sponsor(said.report, tmp_path / "report.xlsx")
    names, figures = inside_of(shared, bed_sheet, name)
    assert [doubt.where for doubt in said.doubts] == ["link"]
    with pytest.raises(NotAllowed, match="calloway-marrow"):
        said.require_answered(yes=False)
    said.require_answered(yes=True)
    values = unasked(cells(file), said)
    assert len(values) > 60
    assert leaks(values, names, figures) == []
    with zipfile.ZipFile(file) as archive:
        parts = [archive.read(part).decode("utf-8", "replace") for part in archive.namelist()]
    parts = unasked(parts, said)
    assert [n for n in names for part in parts if n.casefold() in part.casefold()] == []


@pytest.mark.parametrize("name", [BRIGHTFELL, TALLOWGATE])
def test_the_paper_tells_nothing_either(name, shared, bed_sheet, cells, tmp_path):
    said = prepared(shared, name)
    paper = sponsor_paper(said.report, Maker("Quillhaven Workshop", "", ""), "inch", "letter")
    file = save_paper(print_paper(paper), tmp_path / "report.pdf")
    # A line of the page may end within a name, so all words are read as one text too.
    values = cells(file)
    together = " ".join(str(value) for value in values)
    assert len(values) > 40
    assert leaks(unasked([*values, together], said), *inside_of(shared, bed_sheet, name)) == []


@pytest.mark.parametrize("name", [BRIGHTFELL, TALLOWGATE])
def test_the_screen_and_the_facts_tell_nothing_either(name, shared, bed_sheet, capsys, monkeypatch):
    monkeypatch.setenv("COLUMNS", "400")  # a link stands in one line
    prepared_report = prepared(shared, name)
    report = prepared_report.report
    names, figures = inside_of(shared, bed_sheet, name)
    the_report(report, as_json=False)
    the_report(report, as_json=True)
    said = capsys.readouterr().out
    assert "384.00" in said or "288.00" in said
    assert leaks(unasked(said.splitlines(), prepared_report), names, figures) == []
    facts = unasked([json.dumps(sponsor_json(report))], prepared_report)
    assert leaks(facts, names, figures) == []


def test_each_sponsor_reads_of_the_own_goods_alone(shared):
    for name, code in ((BRIGHTFELL, "PLY34"), (TALLOWGATE, "PLY12")):
        report = prepared(shared, name).report
        sheets = [line for line in report.lines if line.unit == "sheet"]
        assert [line.item.split()[0] for line in sheets] == [code]
        assert [one.amount.quantity for one in report.used] == [Quantity.of(4)]


def test_what_was_left_out_is_shown_to_the_owner_alone(shared):
    warnings = "\n".join(prepared(shared, BRIGHTFELL).warnings)
    assert "Marrow" in warnings
    assert TALLOWGATE in warnings


@pytest.mark.parametrize("number", range(6))
def test_random_names_stay_out_of_random_texts(number, shared, bed, cells, tmp_path):
    dice = random.Random(number)
    syllables = ("gar", "fen", "wick", "holt", "mere", "dun", "ash", "bry", "lox", "tav")
    client, rival = ("".join(dice.sample(syllables, 3)).title() for _ in range(2))
    add_sponsor(shared, f"{rival} Clamps")
    with shared.entry("client"):
        shared.client(f"{client[0]}. {client}", f"{client}@mail.example")
    forms = (client, client.upper(), f"{client}s", f"{client}'s", f"i_{client.lower()}bench.jpg",
             f"{rival} Clamps", rival.lower(),
             f"https://{rival.lower()}clamps.example")  # fmt: skip
    for form in forms:
        add_note(shared, BRIGHTFELL, dice.choice(("photo", "result", "next")), f"a {form} b")
    said = prepared(shared, BRIGHTFELL)
    file = write_sponsor(said.report, tmp_path / "report.xlsx")
    assert leaks(unasked(cells(file), said), {client, rival}, set()) == []


@pytest.mark.parametrize(
    "leak",
    ["Marrow bed", "photo/marrow.jpg", "12 Quarry Row", "Tallowgate", "Copper Vale Lumber",
     "for 67.71", "the client", "4 hours"],
)  # fmt: skip
def test_each_kind_of_leak_would_be_found(leak, shared, bed_sheet):
    assert leaks([leak], *inside_of(shared, bed_sheet, BRIGHTFELL))


def test_the_price_and_the_hours_would_be_found_as_text_and_as_number(shared, bed_sheet):
    names, figures = inside_of(shared, bed_sheet, BRIGHTFELL)
    price = bed_sheet.currency.decimal(bed_sheet.totals.price)
    hours = bed_sheet.totals.estimate_hours
    for leak in (f"{price:,}", float(price), f"{hours} h", float(hours)):
        assert leaks([leak], names, figures)
