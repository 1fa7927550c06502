"""Drawing on the plan in a real browser, by mouse, by one finger on a phone and by keys alone."""

from __future__ import annotations

import re
from typing import Any

import pytest

from mistcalc import files
from mistcalc.model.project import Obstacle, Seat
from tests.browser.test_lid_strip import court
from tests.browser.visits import PHONE, WIDE, Visit, drag, touch_drag

pytestmark = pytest.mark.browser
FT, IN, EIGHTH = 0.3048, 0.0254, 0.0254 / 8
HEDGE = """
[[patio.screen]]
name = "hedge"
run = "A"
height = "5 ft"
from = "4 ft"
to = "12 ft"
out = "1 ft"
"""


def thing(text: str, name: str) -> Obstacle | Seat:
    return next(one for one in (*court(text).obstacles, *court(text).seats) if one.name == name)


def screen(text: str) -> Any:
    return court(text).screens[0]


def names(text: str) -> set[str]:
    return {one.name for one in (*court(text).obstacles, *court(text).seats)}


def chosen(tab: Visit) -> str:
    return tab.page.locator(".lid .distance").inner_text()


def undone(tab: Visit, read, wanted: object) -> None:
    tab.page.get_by_role("button", name="Undo").click()
    tab.saves(read, wanted)


WRITTEN = """
(texts) => texts.map((text) => {
  const { x, y, width, height } = text.getBBox();
  return { told: text.textContent, kind: text.getAttribute("class"), x, y, width, height };
})
"""


def meet(one: dict[str, Any], other: dict[str, Any]) -> bool:
    apart = (one["x"] - other["x"], one["y"] - other["y"])
    return all(-one[size] < off < other[size] for off, size in zip(apart, ("width", "height"), strict=True))


@pytest.mark.parametrize("size", [None, PHONE])
def test_what_a_sentence_names_is_found_on_the_plan(visit, size):
    """A clash's number, its thing and its marks; and where there is room whatever else hangs there."""
    tab = visit(size or WIDE, touch=size is PHONE)
    tab.open_example()
    tab.handle("mark", "A1").wait_for()
    written = tab.page.locator(".lid .overview svg text").evaluate_all(WRITTEN)
    told = {one["told"] for one in written}
    patio = court(tab.on_disk())
    looks = [" ".join(one.inner_text().split()) for one in tab.page.locator(".finding").all()]
    clashes = [text for text in looks if text.startswith("LOOK ") and text.split()[1].isdigit()]
    assert clashes
    numbers = {one["told"] for one in written if one["kind"] == "number"}
    for sentence in clashes:
        assert sentence.split()[1] in numbers
        named = [thing.name for thing in patio.obstacles if f" {thing.name} " in sentence]
        assert named and set(named) <= told
        marks = set(re.findall(r"\b[AB][0-9]+\b", sentence))
        assert marks and (size is PHONE or marks <= told)
    if size is None:
        assert {thing.name for thing in patio.obstacles} <= told
    labels = [one for one in written if "strong" not in one["kind"]]
    for n, one in enumerate(labels):
        needed = one["kind"] == "number" or any(one["told"] in sentence for sentence in clashes)
        assert needed or [other["told"] for other in labels[:n] if meet(one, other)] == [], one["told"]


def test_a_mark_that_is_tapped_has_its_name_where_there_is_no_room_for_all(visit):
    tab = visit(PHONE, touch=True)
    tab.open_example()
    names = tab.page.locator(".lid .overview svg text")
    for mark in ("A7", "A8", "A9"):
        tab.handle("mark", mark).focus()
        names.filter(has_text=re.compile(f"^{mark}$")).wait_for(state="attached")


def test_a_mouse_draws_on_the_plan_and_each_stroke_is_one_undo(visit):
    """Round the corner to the other run, a run pulled, a joist found elsewhere; then all of it undone."""
    tab = visit()
    tab.open_example()
    start = tab.on_disk()
    drag(tab.page, tab.spot("thing", "L5"), 0, 150)
    tab.saves(lambda text: thing(text, "L5").run, "B")
    assert "along run B" in chosen(tab)
    tab.handle("thing", "L5").wait_for()  # the strip follows to run B
    assert "over the corner square" in tab.on_disk()  # the remark behind its place
    drag(tab.page, tab.spot("run", "A"), 60)
    tab.saves(lambda text: court(text).runs[0].length > 40 * FT, True)
    tab.page.get_by_text("Run A", exact=True).click()
    tab.page.get_by_role("button", name="Joists as found").click()
    drag(tab.page, tab.handle("joist", "A/4"), 12)
    tab.saves(lambda text: court(text).runs[0].framing.as_framed, True)
    assert court(tab.on_disk()).runs[0].framing.centres[3] > (15.25 + 48) * IN
    tab.page.locator(".overview circle.mark").nth(24).click()
    tab.page.locator(".lid .note", has_text="Why here").wait_for()
    assert chosen(tab).startswith("B")
    tab.page.get_by_role("button", name="Control joints").click()
    joint = (
        tab.handle("joint", "B/J5")
        if tab.handle("joint", "B/J5").count()
        else tab.page.locator(".handle.joint").first
    )
    before = tab.on_disk()
    drag(tab.page, joint, 20)
    tab.saves(lambda text: text == before, False)
    undone(tab, lambda text: text, before)
    undone(tab, lambda text: court(text).runs[0].framing.as_framed, False)
    undone(tab, lambda text: court(text).runs[0].length, 38 * FT)
    undone(tab, lambda text: text, start)


def test_keys_alone_add_a_fan_move_it_and_take_it_away(visit):
    tab = visit()
    tab.open_example()
    tab.page.locator(".lid select").focus()
    tab.page.keyboard.type("fan")
    tab.page.keyboard.press("Tab")
    tab.page.keyboard.press("Enter")
    spot = tab.spot("thing", "Fan 3")
    spot.wait_for()
    tab.saves(lambda text: "Fan 3" in names(text), True)
    before = thing(tab.on_disk(), "Fan 3")
    assert spot.evaluate("(one) => one.getRootNode().activeElement === one")
    for key in ("ArrowUp", "ArrowUp", "ArrowRight"):
        tab.page.keyboard.press(key)
    tab.saves(lambda text: thing(text, "Fan 3").back, pytest.approx(before.back + 2 * EIGHTH, abs=1e-9))
    assert thing(tab.on_disk(), "Fan 3").along == pytest.approx(before.along + EIGHTH, abs=1e-9)
    assert "feet" in (spot.get_attribute("aria-valuetext") or "")
    tab.page.keyboard.press("Delete")
    tab.saves(lambda text: "Fan 3" in names(text), False)


def test_a_hedge_is_added_made_shorter_and_carried(visit):
    """Along the edge of the courtyard, then out of an open end of the bayou's porch."""
    tab = visit()
    tab.open_example()
    tab.page.get_by_label("What to add").select_option("edge")
    tab.page.get_by_role("button", name="Add", exact=True).click()
    tab.saves(lambda text: [one.side for one in court(text).screens], ["edge"])
    assert chosen(tab).endswith("3'-0\" outside")
    length = tab.page.get_by_label("Length (empty: all of that side)")
    length.fill("12 ft 0-1/32 in")
    length.press("Enter")
    tab.page.get_by_text("Taken as 12'-0\"; the tape goes by 1/8 in.").wait_for()
    assert length.input_value() == "12'-0\"" and screen(tab.on_disk()).end == pytest.approx(12 * FT)
    drag(tab.page, tab.spot("screen", "Hedge"), 40, -15)
    tab.saves(lambda text: screen(text).start > 1 * FT and screen(text).out < 3 * FT, True)
    tab.open_example("bayou")
    tab.page.get_by_label("What to add").select_option("start")
    tab.page.get_by_role("button", name="Add", exact=True).click()
    out = lambda text: [one.out for one in files.parse_project(text).patios[0].screens]  # noqa: E731
    tab.saves(out, pytest.approx([3 * FT]))
    tab.spot("screen", "Hedge").press("ArrowRight")
    tab.saves(out, pytest.approx([3 * FT - EIGHTH]))


def test_a_finger_moves_a_seat_and_removes_a_light_on_a_phone(visit):
    tab = visit(PHONE, touch=True)
    tab.open_text(files.example_text("courtyard") + HEDGE)
    touch_drag(tab.page, tab.spot("screen", "hedge"), 25, 8)
    tab.saves(lambda text: screen(text).out > 1.3 * FT, True)
    hedge = screen(tab.on_disk())
    assert hedge.end - hedge.start == pytest.approx(8 * FT) and hedge.start > 6 * FT
    tab.spot("thing", "Fan 1").tap()
    diameter = tab.page.get_by_label("Diameter")
    for typed in ("round", "64 in"):
        diameter.fill(typed)
        diameter.press("Enter")
        if typed == "round":
            tab.page.locator(".lid").get_by_role("alert").get_by_text("not a length").wait_for()
    tab.saves(lambda text: thing(text, "Fan 1").size[0], pytest.approx(64 * IN))
    tab.page.locator(".lid").get_by_role("alert").get_by_text("not a length").wait_for(state="detached")
    before = thing(tab.on_disk(), "table")
    tab.page.get_by_role("button", name="Closer").tap()
    touch_drag(tab.page, tab.spot("seat", "table"), -40, 30)
    tab.saves(lambda text: thing(text, "table").back < before.back - 1 * FT, True)
    assert thing(tab.on_disk(), "table").along < before.along - 2 * FT
    tab.page.get_by_role("button", name="Remove table").tap()
    tab.saves(lambda text: "table" in names(text), False)
    undone(tab, lambda text: "table" in names(text), True)
