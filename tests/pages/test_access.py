"""Every screen for every hand and eye: contrast, labels, size of what is tapped, no sideways move.

`axe.min.js` is axe-core 4.14.1 as published on npm, under the Mozilla Public License 2.0.
"""

from pathlib import Path

import pytest
from playwright.sync_api import expect

from ledger.jobs.jobs import new_job
from ledger.pages.screens import OF_A_JOB, SCREENS

AXE = Path(__file__).with_name("axe.min.js")
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
LONG = "Cherry sideboard with eleven dovetailed drawers and a reclaimed-marble top, second floor"
SMALL = """() => [...document.querySelectorAll(
    "a, button, input:not([type=hidden]), select, summary")]
  .map((one) => [one.getBoundingClientRect(), one.outerHTML.slice(0, 80)])
  .filter(([box]) => box.width && (box.height < 48 || box.width < 48))
  .map(([, words]) => words)"""


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


@pytest.mark.slow
@pytest.mark.parametrize(("width", "scheme"), [(390, "dark"), (1024, "light")])
def test_no_screen_breaks_a_rule_of_access_or_moves_sideways(phone, busy, width, scheme):
    tab = phone(viewport={"width": width, "height": 800}, color_scheme=scheme, bypass_csp=True)
    for name in every_screen(tab, busy):
        tab.add_script_tag(path=AXE)
        report = tab.evaluate(f"() => axe.run({{runOnly: {RULES}}})")
        broken = [(one["id"], one["nodes"][0]["html"][:90]) for one in report["violations"]]
        assert not broken, name
        assert len(report["passes"]) > 5
        assert tab.evaluate("document.documentElement.scrollWidth") <= width, name


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
