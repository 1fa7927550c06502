"""Each person's whole task, from an empty page to paper in hand, by mouse, by keys alone and by one finger;
what was taken away is opened and says what the screen said."""

from __future__ import annotations

import contextlib
import io
import re
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from pypdf import PdfReader

from mistcalc import design, files
from tests.browser.test_page import AIR
from tests.browser.visits import PHONE, WIDE, Visit, drag, touch_drag

if TYPE_CHECKING:
    from playwright.sync_api import Locator

pytestmark = pytest.mark.browser

MOST_TABS = 150
HELD = "one => one.getRootNode().activeElement === one"
DEGREES = re.compile(r"\d+ to \d+ °F")


@dataclass
class Hand:
    """One person who uses nothing but a mouse, keys or a finger."""

    tab: Visit
    how: str

    def press(self, target: Locator) -> None:
        if self.how == "keys":
            self.reach(target)
            self.tab.page.keyboard.press("Enter")
        elif self.how == "touch":
            target.tap()
        else:
            target.click()

    def reach(self, target: Locator) -> None:
        target.wait_for()
        for _ in range(MOST_TABS):
            if target.evaluate(HELD):
                return
            self.tab.page.keyboard.press("Tab")
        raise AssertionError("Tab does not lead there")

    def button(self, name: str | re.Pattern[str]) -> None:
        self.press(self.tab.page.get_by_role("button", name=name).locator("visible=true").first)

    def type(self, title: str, text: str) -> None:
        field = self.tab.page.get_by_label(title)
        self.reach(field) if self.how == "keys" else self.press(field)
        self.tab.page.keyboard.insert_text(text)
        self.tab.page.keyboard.press("Tab")
        self.tab.quiet()

    def choose_tile(self, name: str) -> None:
        tiles = self.tab.page.get_by_role("radio")
        if self.how != "keys":
            self.press(tiles.filter(has_text=name))
        else:
            self.reach(self.tab.page.locator("[role=radio][aria-checked=true]").first)
            while not tiles.filter(has_text=name).evaluate(HELD):
                self.tab.page.keyboard.press("ArrowRight")
        self.tab.page.locator("[role=radio][aria-checked=true]", has_text=name).wait_for()
        self.tab.quiet()

    def turn(self, square: Locator) -> None:
        if self.how == "keys":
            self.reach(square)
            for _ in range(3):
                self.tab.page.keyboard.press("ArrowRight")
        else:
            (touch_drag if self.how == "touch" else drag)(self.tab.page, square, 0, 60)

    def view(self, name: str, phone: bool) -> None:
        if phone:
            self.button("Menu")
        self.button(re.compile(rf"\d {name}$"))
        self.tab.page.locator("[class*=st-key-menu] [aria-expanded=true]").wait_for(state="detached")
        self.worked()

    def worked(self) -> None:
        self.tab.page.wait_for_timeout(600)
        self.tab.quiet()
        self.tab.page.locator("[class*=st-key-working]").first.wait_for(state="detached", timeout=3 * AIR)
        self.tab.quiet()

    def take(self, name: str) -> Path:
        """A finger that a busy machine takes for a long press does nothing, and is put down again."""
        from playwright.sync_api import TimeoutError

        for patience in (10_000, 20_000, 30_000):
            with contextlib.suppress(TimeoutError):
                with self.tab.page.expect_download(timeout=patience) as taken:
                    self.button(re.compile(rf"(^|, ){re.escape(name)}$"))
                return Path(taken.value.path())
        raise AssertionError(f"{name} was not taken")

    def sheets(self, whose: str) -> str:
        """Unfold what is theirs, take it away and read it."""
        title = self.tab.page.get_by_text(re.compile(f"^{whose}: "))
        self.press(self.tab.page.locator("summary").filter(has=title))
        self.tab.page.wait_for_timeout(600)  # it unfolds
        pages = PdfReader(io.BytesIO(self.take(f"sheets-{whose.lower()}.pdf").read_bytes())).pages
        return " ".join(" ".join(page.extract_text() for page in pages).split())


def told(tab: Visit) -> str:
    return tab.page.locator("h1").first.inner_text()


@pytest.mark.parametrize(
    ("size", "how"),
    [
        pytest.param(WIDE, "mouse", id="mouse-1280"),
        pytest.param(WIDE, "keys", id="keys-1280"),
        pytest.param(PHONE, "touch", id="touch-390"),
        pytest.param(WIDE, "touch", id="touch-1280", marks=pytest.mark.long),
        pytest.param(PHONE, "keys", id="keys-390", marks=pytest.mark.long),
        pytest.param(PHONE, "mouse", id="mouse-390", marks=pytest.mark.long),
    ],
)
def test_builder_owner_and_installer_from_nothing_to_paper(visit, size, how):
    tab, phone = visit(size, touch=how == "touch"), size is PHONE
    hand = Hand(tab, how)
    tab.page.goto(tab.server.url)
    hand.button("Plan a new patio")
    tab.page.get_by_role("heading", name="Six questions").wait_for()
    tab.quiet()

    def on(*screens: str) -> None:
        for name in screens if phone else ():
            main = tab.page.locator('[data-testid="stMainBlockContainer"]')
            assert main.evaluate("box => box.scrollHeight") <= 2 * PHONE["height"]
            hand.button(f"Next: {name}")
            tab.page.get_by_role("button", name=f"Next: {name}").wait_for(state="detached")
            tab.quiet()

    hand.choose_tile("L round a court")
    on("lengths")
    for title, text in (("A, along", "38 ft"), ("B, along", "21'"), ("C, open edge", "13 ft")):
        hand.type(title, text)
    tab.page.get_by_text("Read as 21 ft.").wait_for()
    on("height", "which way it looks")
    hand.turn(tab.page.get_by_role("slider", name="Edge A looks"))
    tab.page.get_by_text("Edge A looks southeast").wait_for()
    on("air", "water", "the design")
    hand.worked()
    tab.page.locator("[aria-label^='Plan of the patio ceiling: 28 marks']").wait_for()
    with tab.page.expect_download() as taken:
        hand.button("Take the file")
    project = files.parse_project(Path(taken.value.path()).read_text("utf-8"))
    assert [run.length for run in project.patios[0].runs] == pytest.approx([11.5824, 6.4008])
    hand.button("Open this design")
    tab.page.wait_for_url("**project=*")
    assert files.parse_project(tab.on_disk()) == project

    hand.view("Line and pump", phone)
    far = re.search(r"The last nozzle, (\w+), gets ([\d,]+ psi)", tab.page.locator("body").inner_text())
    hand.view("A hot afternoon", phone)
    cooler = DEGREES.search(told(tab))
    assert far and cooler
    hand.view("Paper", phone)
    tab.page.get_by_role("button", name=re.compile("^Download all")).wait_for(timeout=AIR)
    (code,) = re.findall(r"code (\w+ \w+)\.", told(tab))
    builder, installer, owner = (hand.sheets(whose) for whose in ("Builder", "Installer", "Owner"))
    assert all(code in sheets for sheets in (builder, installer, owner))
    marks = {mark.name for mark in design.lay(project.patios[0], house=project.house_names)[0].marks}
    assert len(marks) == 28 and marks <= set(builder.split())
    assert far[1] in installer and far[2] in installer
    assert cooler[0] in owner
    assert tab.page.evaluate("document.documentElement.scrollWidth") <= size["width"]
