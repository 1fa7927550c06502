"""The page on a line that stands still for a while and then is slow: what comes late comes whole."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, TypeVar

import pytest
from streamlit.proto.ForwardMsg_pb2 import ForwardMsg

from mistcalc import files
from tests.browser.test_page import ready
from tests.browser.visits import Server, Visit

if TYPE_CHECKING:
    from collections.abc import Callable

    from playwright.sync_api import Page, WebSocketRoute

pytestmark = pytest.mark.browser

T = TypeVar("T")

ASKED = 4  # messages: a press, and every two seconds the question whether the project was changed elsewhere
PAUSE = 300  # ms after each run of the page


def ends_run(message: bytes) -> bool:
    return ForwardMsg.FromString(message).WhichOneof("type") == "script_finished"


@dataclass
class Line:
    """Between a page and its server: what either says goes through here."""

    page: Page
    asked: int = 0  # messages of the page
    late: list[bytes] = field(default_factory=list)  # of the server, kept back while `slow`
    slow: bool = False
    deaf: bool = False  # what the page says is lost

    def __post_init__(self) -> None:
        self.page.route_web_socket("**/_stcore/stream", self._open)

    def _open(self, near: WebSocketRoute) -> None:
        self.near, far = near, near.connect_to_server()

        def say(message: str | bytes) -> None:
            self.asked += 1
            if not self.deaf:
                far.send(message)

        def hear(message: str | bytes) -> None:
            if self.slow and isinstance(message, bytes):
                self.late.append(message)
            else:
                near.send(message)

        near.on_message(say)
        far.on_message(hear)

    def wait(self, holds: Callable[[], bool]) -> None:
        for _ in range(600):
            if holds():
                return
            self.page.wait_for_timeout(100)
        raise AssertionError("the line is silent")

    def bring(self, read: Callable[[], T]) -> list[T]:
        """What was kept back, run by run, each seen before the next comes; what is read after each."""
        seen = []
        for _ in range(len(self.late)):
            message = self.late.pop(0)
            self.near.send(message)
            if ends_run(message):
                self.page.wait_for_timeout(PAUSE)
                seen.append(read())
        self.slow = False
        return seen


def test_a_page_that_comes_late_is_whole(visit, server: Server):
    """While the whole page waits to be sent, a part of it that looks after itself is laid anew."""
    tab = visit()
    faults: list[str] = []
    tab.page.on("pageerror", lambda fault: faults.append(str(fault)))
    line = Line(tab.page)
    tab.open_example()
    ready(tab, "lid")
    with server.line_held():
        line.slow, line.asked = True, 0
        tab.page.get_by_role("button", name="In mm, °C").first.click()
        line.wait(lambda: line.asked >= ASKED)
    line.wait(lambda: len(list(filter(ends_run, line.late))) > 1)
    assert all(line.bring(tab.page.locator(".lid .strip").is_visible))
    tab.page.get_by_role("button", name="In ft-in, °F").first.wait_for()
    tab.quiet()
    assert faults == []
    assert tab.page.locator(".lid .strip").is_visible()


def seats(tab: Visit) -> object:
    return files.parse_project(tab.on_disk()).patios[0].seats


def test_a_seat_moved_as_the_line_was_cut_is_moved(visit):
    tab = visit()
    line = Line(tab.page)
    tab.open_example(view="afternoon")
    ready(tab, "afternoon", patience=3)
    before = seats(tab)
    chip, unsaved = tab.page.get_by_role("button", name="table"), tab.page.get_by_text("Not saved yet").first
    line.deaf, line.asked = True, 0
    chip.press("ArrowLeft")
    unsaved.wait_for()
    line.wait(lambda: line.asked >= ASKED)
    assert seats(tab) == before
    line.deaf = False
    unsaved.wait_for(state="hidden")
    assert seats(tab) != before


def test_a_late_answer_turns_no_compass_back(visit):
    tab = visit()
    line = Line(tab.page)
    tab.page.goto(f"{tab.server.url}/?new=lengths")
    handle = tab.page.locator(".compass .handle")
    handle.wait_for()
    tab.quiet()
    line.slow = True
    handle.press("ArrowRight")
    line.wait(lambda: any(map(ends_run, line.late)))
    handle.press("ArrowRight")
    assert set(line.bring(lambda: handle.get_attribute("aria-valuenow"))) == {"120"}
    tab.page.get_by_text("southeast").first.wait_for()
    tab.quiet()
    assert handle.get_attribute("aria-valuenow") == "120"
