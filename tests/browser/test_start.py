"""From an empty start to a design: six questions by mouse and keys on a wide screen, by touch on a phone."""

from __future__ import annotations

import gzip
import math
from pathlib import Path

import pytest

from mistcalc import files
from mistcalc.page.first_answers import QUARTER_TURN
from tests.browser.test_page import AIR, ready, violations
from tests.browser.visits import PHONE, WIDE, Visit

pytestmark = pytest.mark.browser

DRAWN = Path(__file__).resolve().parents[1] / "files" / "drawings"


def begin(tab: Visit) -> None:
    tab.page.goto(tab.server.url)
    tab.page.get_by_role("button", name="Plan a new patio").click()
    tab.page.get_by_role("heading", name="Six questions").wait_for()
    tab.quiet()


def fill(tab: Visit, title: str, text: str) -> None:
    field = tab.page.get_by_label(title)
    field.fill(text)
    field.press("Tab")
    tab.quiet()


def on(tab: Visit, phone: bool, *screens: str) -> None:
    """On a phone every question has a screen of its own."""
    for name in screens if phone else ():
        main = tab.page.locator('[data-testid="stMainBlockContainer"]')
        assert main.evaluate("box => box.scrollHeight") <= 2 * PHONE["height"]
        tab.page.get_by_role("button", name=f"Next: {name}").tap()
        tab.page.get_by_role("button", name=f"Next: {name}").wait_for(state="detached")
        tab.quiet()
        begins_at_its_top(tab)


def begins_at_its_top(tab: Visit) -> None:
    """The framework leaves another screen as far down as the last."""
    tab.page.wait_for_function("document.querySelector('[data-testid=stMain]').scrollTop === 0")


@pytest.mark.parametrize("size", [WIDE, PHONE], ids=["wide", "phone"])
def test_everyone_can_answer(visit, size):
    tab = visit(size, touch=size is PHONE)
    begin(tab)
    tab.page.locator("[data-testid=stMain]").evaluate("main => main.scrollTo(0, 9999)")
    on(tab, size is PHONE, "lengths")
    fill(tab, "A, along", "24 pounds")
    tab.page.locator(".refused").first.wait_for()
    assert tab.page.evaluate("document.documentElement.scrollWidth") <= size["width"]
    assert violations(tab) == []
    tab.page.goto(f"{tab.server.url}/?new=drawing")
    tab.page.locator("input[type=file]").set_input_files(DRAWN / "patio.dxf")
    tab.page.get_by_text("Is the scale right?").wait_for(timeout=AIR)
    posts = tab.page.get_by_role("combobox", name="Layer POSTS")
    posts.focus()
    posts.press_sequentially("speaker")
    posts.press("Enter")
    tab.quiet()
    tab.page.locator("[class*=st-key-working]").wait_for(state="detached", timeout=AIR)
    tab.page.get_by_text("Read from the drawing").click()
    tab.page.get_by_text("POSTS: 2 things, speaker").wait_for()
    assert tab.page.evaluate("document.documentElement.scrollWidth") <= size["width"]
    assert violations(tab) == []


def test_a_shape_is_chosen_by_arrow_keys(visit):
    tab = visit()
    begin(tab)
    first = tab.page.get_by_role("radio", name="Straight, between walls")
    first.focus()
    first.press("ArrowRight")
    tab.page.locator("[role=radio][aria-checked=true]", has_text="open ends").wait_for()
    assert (
        tab.page.evaluate("document.activeElement.shadowRoot?.activeElement?.textContent")
        == "Straight, open ends"
    )


def test_an_own_climate_file_is_read_once_and_goes_with_the_design(visit, tmp_path):
    own = tmp_path / "our town.csv"
    own.write_bytes(gzip.decompress(files.climate_path("las-vegas", None).read_bytes()))
    tab = visit()
    begin(tab)
    tab.page.get_by_text("My own file", exact=True).click()
    tab.quiet()
    tab.page.locator("input[type=file]").set_input_files(own)
    tab.page.get_by_text("Read: ").first.wait_for()
    for title, text in (("A, along", "24 ft"), ("B, open edge", "11 ft")):
        fill(tab, title, text)
    tab.page.get_by_text("Read: ").first.wait_for()  # answers change; the file stays read
    tab.page.locator("[class*=st-key-working]").wait_for(state="detached", timeout=AIR)
    tab.page.get_by_role("button", name="Open this design").click()
    tab.page.wait_for_url("**project=*")
    begins_at_its_top(tab)
    assert files.parse_project(tab.on_disk()).place.climate == "our town.csv"
    ready(tab, "house")
    tab.page.get_by_text("Las Vegas").first.wait_for()
    assert tab.page.locator(".refused").count() == 0


def test_the_way_on_stays_put_while_figures_are_worked_out_anew(visit):
    tab = visit()
    begin(tab)
    fill(tab, "A, along", "24 ft")
    fill(tab, "B, open edge", "11 ft")
    figures, way_on = (
        tab.page.locator(".st-key-figures"),
        tab.page.get_by_role("button", name="Open this design"),
    )
    figures.locator("td").first.wait_for(timeout=AIR)

    def below() -> float:
        return way_on.bounding_box()["y"] - figures.bounding_box()["y"]

    tab.quiet()
    before, told = below(), figures.locator("table").inner_text()
    with tab.server.at_work():
        fill(tab, "A, along", "23 ft")
        figures.get_by_text("Old figures: new ones are being worked out.").wait_for()
        assert figures.locator("table.old").inner_text() == told and below() == before
    figures.locator("table.old").wait_for(state="detached", timeout=AIR)
    assert below() == before


def test_the_compass_begins_where_the_file_has_the_house(visit):
    """Who passes the question by saw the square in the south, and got a house that looks east."""
    tab = visit()
    begin(tab)
    text = files.new_project_text("invented", ["30 ft"], "10 ft", [], None, "en", files.FirstAnswers())
    looks = math.degrees(files.parse_project(text).heading("patio")) + QUARTER_TURN
    compass = tab.page.get_by_role("slider", name="Edge A looks")
    compass.wait_for()
    assert compass.get_attribute("aria-valuenow") == f"{looks:g}"
