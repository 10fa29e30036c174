"""A cut plan tapped off: counted by mark, once however often it is tapped, taken back."""

import re

import pytest
from playwright.sync_api import expect

from ledger.book.questions.entries import last_in_force
from ledger.book.tables.labor import Work
from ledger.book.tables.page import CutPart
from ledger.jobs.jobs import find_job
from ledger.verbs.cutting import sheets_to_cut


def sheet_of(page, number=0):
    with page.read() as book:
        return sheets_to_cut(book, find_job(book, "bed"))[number]


def cut(page, parts="B5 1", **more):
    fields = {"job": "bed", "layout": sheet_of(page).layout.digest, "sheet": "1", "parts": parts}
    return page.post("cut", **{**fields, **more})


def count_on_sheet(page):
    """How many B5 the layout has on that sheet: another search may lay them out otherwise."""
    return sheet_of(page).marks["B5"]


def parts(page):
    with page.read() as book:
        return [(row.mark, row.number) for row in book.rows(CutPart)]


def test_a_part_is_counted_once_whoever_taps_it(page):
    count = count_on_sheet(page)
    assert cut(page).text == f"PLY34 sheet 1: B5, 1 of {count} cut."
    assert cut(page, device="Other tablet").status == 200
    assert cut(page, "B5 1\nB5 2").status == 200

    assert parts(page) == [("B5", 1), ("B5", 2)]
    assert (sheet_of(page).cut["B5"], sheet_of(page).left) == (2, sheet_of(page, 0).left)
    for wrong in (f"B5 {count + 1}", "B5 0", "Z9 1", "B5", f"B5 3\nB5 {count + 1}"):
        assert cut(page, wrong).status == 422
    assert cut(page, layout="0" * 64).status == 422
    assert len(parts(page)) == 2


def test_rough_boards_are_tapped_off_too(page):
    with page.read() as book:
        job = find_job(book, "bed")
        boards = [one for one in sheets_to_cut(book, job) if one.name == "board"]
        drawn = page.ask("GET", "/facts/plan?job=bed", **page.cookie()).text
    one = boards[0]
    mark = next(iter(one.marks))

    assert f"{one.problem.material} board 1" in drawn
    answer = cut(page, f"{mark} 1", layout=one.layout.digest)
    assert answer.text == f"{one.problem.material} board 1: {mark}, 1 of {one.marks[mark]} cut."


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


@pytest.fixture
def plan(phone, page):
    tab = phone(viewport={"width": 1024, "height": 768}, is_mobile=False)
    tab.goto(f"http://{page.host}/jobs")  # its shell is on the device from now on
    tab.goto(f"http://{page.host}/plan#J-2507")
    expect(tab.locator("main")).to_have_attribute("data-shown", "1")
    return tab


def test_taps_of_a_sheet_are_one_entry_in_the_drawing_and_below_it(plan, page):
    sheet = plan.get_by_label("PLY34 sheet 1")
    large = next(iter(sheet_of(page).marks))
    sheet.locator(f'rect[data-part="{large}"]').first.click()
    expect(sheet.locator(f'rect.cut[data-part="{large}"]')).to_have_count(1)
    button = sheet.get_by_role("button", name="B5")
    for number in (1, 2):
        button.click()
        expect(button).to_contain_text(f"{number} of {count_on_sheet(page)}")
        plan.wait_for_timeout(1100)  # sooner it would be a double tap
    expect(plan.locator("#waiting")).to_contain_text("1 waiting to be sent")
    assert parts(page) == []
    plan.get_by_label("PLY34 sheet 2").get_by_role("button").first.click()
    expect(plan.locator("#said")).to_contain_text("PLY34 sheet 1: ")

    assert parts(page) == [(large, 1), ("B5", 1), ("B5", 2)]
    with page.read() as book:
        assert len({row.entry for row in book.rows(CutPart)}) == 1
    ids = plan.evaluate("[...document.querySelectorAll('[id]')].map(one => one.id)")
    assert len(ids) == len(set(ids))


def test_taps_without_a_network_are_all_counted_and_stay_counted(plan, page):
    count = count_on_sheet(page)
    button = plan.get_by_label("PLY34 sheet 1").get_by_role("button", name="B5")
    plan.context.set_offline(True)
    button.click()
    expect(button).to_contain_text(f"1 of {count}")
    plan.get_by_role("link", name="Jobs").click()
    expect(plan.locator("#waiting")).to_contain_text("1 waiting")
    plan.go_back()
    expect(button).to_contain_text(f"1 of {count}")
    button.click()
    expect(button).to_contain_text(f"2 of {count}")
    plan.context.set_offline(False)
    plan.get_by_role("link", name="Jobs").click()
    expect(plan.locator("#said")).to_contain_text(f"B5, 2 of {count} cut")

    assert parts(page) == [("B5", 1), ("B5", 2)]
