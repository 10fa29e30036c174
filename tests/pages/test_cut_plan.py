"""A cut plan tapped off: counted by mark, once however often it is tapped, taken back."""

import re

from playwright.sync_api import expect

from ledger.book.questions.entries import last_in_force
from ledger.book.tables.labor import Work
from ledger.book.tables.page import CutPart
from ledger.jobs.jobs import find_job
from ledger.verbs.cutting import sheets_to_cut


def sheet_of(page, number=0):
    with page.read() as book:
        return sheets_to_cut(book, find_job(book, "bed"))[number]


def cut(page, mark="B5", number="1", **more):
    sheet = sheet_of(page)
    fields = {"job": "bed", "layout": sheet.layout.digest, "sheet": "1", "mark": mark,
              "number": number, **more}  # fmt: skip
    return page.post("cut", **fields)


def parts(page):
    with page.read() as book:
        return [(row.mark, row.number) for row in book.rows(CutPart)]


def test_a_part_is_counted_once_whoever_taps_it(page):
    assert cut(page).text == "PLY34 sheet 1: B5, 1 of 7 cut."
    assert cut(page, device="Other tablet").status == 200
    assert cut(page, number="2").status == 200

    assert parts(page) == [("B5", 1), ("B5", 2)]
    assert (sheet_of(page).cut["B5"], sheet_of(page).left) == (2, sheet_of(page, 0).left)
    for wrong in ({"number": "8"}, {"number": "0"}, {"mark": "Z9"}, {"layout": "0" * 64}):
        assert cut(page, **wrong).status == 422


def test_the_desk_passes_over_taps_and_the_device_takes_its_own_back(page):
    page.post("hours", job="bed", what="SND", duration="30m")
    cut(page)
    with page.read() as book:
        assert last_in_force(book) == book.rows(Work)[-1].entry
    number = re.search(r'name="entry" value="(\d+)"', page.facts("now").text)[1]
    assert page.post("undo", entry=number).status == 200
    assert parts(page) == []


def test_without_a_kept_layout_the_page_says_to_lay_it_out_first(page):
    with page.read() as book, book.entry("shop set", "kerf"):
        book.set("kerf", "5/32")
    answer = page.ask("GET", "/facts/plan?job=bed", **page.cookie())

    assert answer.status == 422
    assert "Lay it out first: benchledger layout" in answer.text


def test_parts_are_tapped_off_in_the_drawing_and_below_it(phone, page):
    tab = phone(viewport={"width": 1024, "height": 768}, is_mobile=False)
    tab.goto(f"http://{page.host}/plan#J-2507")
    expect(tab.locator("main")).to_have_attribute("data-shown", "1")
    sheet = tab.get_by_label("PLY34 sheet 1")
    large = next(iter(sheet_of(page).marks))
    sheet.locator(f'rect[data-part="{large}"]').first.click()
    expect(tab.locator("#said")).to_contain_text(f"{large}, 1 of")
    expect(sheet.locator(f'rect.cut[data-part="{large}"]')).to_have_count(1)
    for count in ("1 of 7", "2 of 7"):
        sheet.get_by_role("button", name="B5").click()
        expect(tab.locator("#said")).to_contain_text(f"B5, {count}")
        tab.wait_for_timeout(1100)

    assert parts(page) == [(large, 1), ("B5", 1), ("B5", 2)]
    ids = tab.evaluate("[...document.querySelectorAll('[id]')].map(one => one.id)")
    assert len(ids) == len(set(ids))


def test_taps_without_a_network_are_all_counted(phone, page):
    tab = phone()
    tab.goto(f"http://{page.host}/plan#J-2507")
    expect(tab.locator("main")).to_have_attribute("data-shown", "1")
    button = tab.get_by_label("PLY34 sheet 1").get_by_role("button", name="B5")
    tab.context.set_offline(True)
    for count in (1, 2, 3):
        button.click()
        expect(button).to_contain_text(f"{count} of 7")
        tab.wait_for_timeout(1100)
    tab.context.set_offline(False)
    expect(tab.locator("#said")).to_contain_text("B5, 3 of 7 cut")

    assert parts(page) == [("B5", 1), ("B5", 2), ("B5", 3)]
