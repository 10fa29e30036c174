"""Every screen for every hand and eye: contrast, labels, size of what is tapped, no sideways move.

`axe.min.js` is axe-core 4.14.1 as published on npm, under the Mozilla Public License 2.0.
"""

from pathlib import Path

import pytest
from playwright.sync_api import expect

from ledger.jobs.jobs import find_job, new_job, set_state
from ledger.labor.people import OWNER
from ledger.pages.screens import OF_A_JOB, SCREENS

AXE = Path(__file__).with_name("axe.min.js")
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
LONG = "Cherry sideboard with eleven dovetailed drawers and a reclaimed-marble top, second floor"
SMALL = """() => [...document.querySelectorAll(
    "a, button, input:not([type=hidden]), select, summary")]
  .map((one) => [one.getBoundingClientRect(), one.outerHTML.slice(0, 80)])
  .filter(([box]) => box.width && (box.height < 48 || box.width < 48))
  .map(([, words]) => words)"""
CUT_OFF = """() => [...document.querySelectorAll("main *, #waiting *, nav *")]
  .filter((one) => !one.closest("svg") && one.clientWidth && one.scrollWidth > one.clientWidth + 1)
  .map((one) => one.outerHTML.slice(0, 80))"""
REACHED = """() => {
  const all = [...document.querySelectorAll("a, button, input, select, summary")];
  const isThere = (one) => one.checkVisibility() && one.type !== "hidden" && !one.disabled;
  const ring = getComputedStyle(document.activeElement).outlineStyle;
  const shown = all.filter(isThere).map((one) => all.indexOf(one));
  return [all.indexOf(document.activeElement), ring, shown];
}"""


@pytest.fixture
def busy(page):
    """The page with a clock that runs on a job of a long name, and hours of last time."""
    with page.read() as book:
        new_job(book, LONG)
    page.post("hours", job="bed", what="SND", duration="20h", sure="1")
    started = page.post("clock-on", job="Cherry", what="GLU", sure="1")
    assert started.status == 200, started.text
    return page


def every_screen(tab, page):
    for name in SCREENS:
        tab.goto("about:blank")
        tab.goto(f"http://{page.host}/{name}{'#J-2507' if name in OF_A_JOB else ''}")
        expect(tab.locator("main")).to_have_attribute("data-shown", "1")
        yield name


def broken_rules(tab, rules):
    report = tab.evaluate(f"() => axe.run({{runOnly: {rules}}})")
    assert len(report["passes"]) > (5 if rules == RULES else 0)
    return [(one["id"], one["nodes"][0]["html"][:90]) for one in report["violations"]]


def tab_through(tab):
    """Press Tab until everything had the focus, and had a ring."""
    reached, wanted = set(), {0}
    for _ in range(120):
        tab.keyboard.press("Tab")
        index, ring, shown = tab.evaluate(REACHED)
        wanted = set(shown)
        if index >= 0:
            assert ring == "solid" or index in reached, index  # a date is focused part by part
            reached.add(index)
        if wanted <= reached:
            break
    return wanted - reached


@pytest.mark.slow
@pytest.mark.parametrize("width", [390, 1024])
def test_every_screen_is_for_every_hand_and_eye(phone, busy, width):
    tab = phone(viewport={"width": width, "height": 800}, color_scheme="dark", bypass_csp=True)
    for name in every_screen(tab, busy):
        tab.add_script_tag(path=AXE)
        assert broken_rules(tab, RULES) == [], name
        tab.emulate_media(color_scheme="light")
        assert broken_rules(tab, ["cat.color"]) == [], name
        tab.emulate_media(color_scheme="dark")
        assert tab.evaluate("document.documentElement.scrollWidth") <= width, name
        if width < 400:
            assert tab_through(tab) == set(), name
        tab.evaluate("document.documentElement.style.fontSize = '200%'")
        assert tab.evaluate("document.documentElement.scrollWidth") <= width, name
        assert tab.evaluate(CUT_OFF) == [], name


def test_pairing_is_for_every_hand_and_eye_and_needs_no_mouse(chromium, page):
    context = chromium.new_context(viewport={"width": 320, "height": 700}, bypass_csp=True)
    tab = context.new_page()
    tab.goto(f"http://{page.host}/pair#WRONG2")
    expect(tab.get_by_label("Code")).to_have_value("WRONG2")
    assert tab_through(tab) == set()
    tab.get_by_label("Name of this device").focus()
    tab.keyboard.type("Shop tablet")
    tab.keyboard.press("Enter")
    expect(tab.get_by_role("alert")).to_contain_text("That code is not right")
    tab.add_script_tag(path=AXE)
    for scheme in ("light", "dark"):
        tab.emulate_media(color_scheme=scheme)
        assert broken_rules(tab, RULES) == []
    assert tab.evaluate(SMALL) == []
    assert tab.evaluate("document.documentElement.scrollWidth") <= 320
    tab.get_by_label("Code").fill(page.codes.new(OWNER))
    tab.keyboard.press("Enter")
    expect(tab.locator("main")).to_contain_text("No clock is running")
    context.close()


def test_what_waits_is_asked_or_was_not_taken_breaks_no_rule(phone, page):
    tab = phone(color_scheme="light", bypass_csp=True)
    page.post("hours", job="bed", what="SND", duration="45m")
    tab.goto(f"http://{page.host}/hours")
    expect(tab.locator("main")).to_have_attribute("data-shown", "1")
    for duration in ("45m", "a while"):
        tab.locator("#job").select_option("J-2507")
        tab.locator("#what").select_option("SND")
        tab.locator("#duration").fill(duration)
        tab.get_by_role("button", name="Enter the hours").click()
    tab.locator("#waiting summary").click()
    expect(tab.locator("#waiting li:visible")).to_have_count(2)
    tab.add_script_tag(path=AXE)
    for scheme in ("light", "dark"):
        tab.emulate_media(color_scheme=scheme)
        assert broken_rules(tab, RULES) == []
    assert tab.evaluate(SMALL) == []


def test_what_is_tapped_is_48_pixels_high_and_on_now_96(phone, busy):
    tab = phone(viewport={"width": 320, "height": 700})
    for name in every_screen(tab, busy):
        assert tab.evaluate(SMALL) == [], name
        assert tab.evaluate("document.documentElement.scrollWidth") <= 320, name
        if name == "now":
            boxes = [one.bounding_box() for one in tab.locator("main button.big:visible").all()]
            assert len(boxes) >= 2
            assert min(box["height"] for box in boxes) >= 96


def test_an_entry_is_made_with_the_keyboard_alone(phone, page):
    tab = phone()
    tab.goto(f"http://{page.host}/hours")
    expect(tab.locator("main")).to_have_attribute("data-shown", "1")
    tab.get_by_label("Job", exact=True).focus()
    tab.keyboard.type("J-2507")
    tab.keyboard.press("Tab")
    tab.keyboard.type("Sand")
    tab.keyboard.press("Tab")
    tab.keyboard.type("45m")
    tab.keyboard.press("Enter")
    expect(tab.locator("#said")).to_contain_text("J-2507 Sand raw: 45m")


def test_style_and_script_are_small():
    import ledger.pages

    folder = Path(ledger.pages.__file__).with_name("static")
    assert sum(file.stat().st_size for file in folder.iterdir()) <= 30_000
    assert len((folder / "bench.js").read_text().splitlines()) <= 300


def test_a_job_that_was_opened_again_is_told_so_in_the_list_of_jobs(page):
    with page.read() as book:
        job = find_job(book, "bed")
        set_state(book, job, "installed")
    assert "handed over" in page.facts("jobs").text
    with page.read() as book:
        set_state(book, job, "closed")
        set_state(book, job, "installed", why="a hinge")
    shown = page.facts("jobs").text
    assert "open again" in shown and "installed" not in shown
