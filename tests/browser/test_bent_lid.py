"""A lid whose edge bends, edited on its plan: by mouse, by one finger on a phone, by keys."""

from __future__ import annotations

import math
from typing import Any

import pytest

from mistcalc import design, files
from mistcalc.model.project import Patio
from tests.bent_lids import ARC, BOW
from tests.browser.test_lid_strip import court, fixed
from tests.browser.test_page import AIR, ready
from tests.browser.test_plan import thing, undone
from tests.browser.visits import PHONE, WIDE, Visit, drag, touch_drag
from tests.short_year import one_month

pytestmark = pytest.mark.browser
FT, EIGHTH = 0.3048, 0.0254 / 8


def directions(patio: Patio) -> dict[str, tuple[float, float]]:
    """Which way each run goes on the screen, right and down: by the angles of the file alone."""
    heading, out, total = 0.0, {}, 0j
    for run in patio.runs:
        out[run.name] = heading
        heading += run.turn
    for run in patio.runs:
        total += run.length * complex(math.cos(4 * out[run.name]), math.sin(4 * out[run.name]))
    tilt = -math.atan2(total.imag, total.real) / 4
    return {name: (math.cos(way + tilt), -math.sin(way + tilt)) for name, way in out.items()}


def scale(tab: Visit) -> float:
    """Pixels a metre on the plan: between two things whose places the file has."""
    box = tab.page.locator(".overview polygon.outline").bounding_box()
    layout, _ = design.lay(court(tab.on_disk()))
    xs = [x for x, _ in layout.lid.outline]
    assert box is not None
    return box["width"] / (max(xs) - min(xs))


def place(text: str, name: str) -> tuple[str, float, float]:
    one: Any = thing(text, name)
    return one.run, one.along, one.back


@pytest.mark.parametrize("size", [WIDE, PHONE])
def test_things_marks_and_runs_follow_a_hand_along_their_own_run(visit, size):
    tab = visit(size, touch=size is PHONE)
    pull = touch_drag if size is PHONE else drag
    tab.open_text(one_month(BOW))
    tab.spot("thing", "L1").wait_for()
    right, down = directions(court(tab.on_disk()))["A"]
    px = scale(tab)
    # back along run A by two feet, as it lies on the screen: the way back from the edge stays
    off = -2 * FT * px
    pull(tab.page, tab.spot("thing", "L1"), off * right, off * down)
    tab.saves(lambda text: abs(place(text, "L1")[1] - 5 * FT) < 2.5 / px, True)
    run, _, back = place(tab.on_disk(), "L1")
    assert run == "A" and abs(back - 3 * FT) < 2.5 / px
    # square to its edge, toward the house
    pull(tab.page, tab.spot("seat", "table"), 1 * FT * px * down, -1 * FT * px * right)
    tab.saves(lambda text: abs(place(text, "table")[2] - 5 * FT) < 2.5 / px, True)
    assert abs(place(tab.on_disk(), "table")[1] - 4 * FT) < 2.5 / px
    # over the line that halves the bend: it is told from run B
    pull(tab.page, tab.spot("seat", "table"), 7 * FT * px, 0)
    tab.saves(lambda text: place(text, "table")[0], "B")
    pull(tab.page, tab.spot("run", "A"), 1 * FT * px * right, 1 * FT * px * down)
    tab.saves(lambda text: abs(court(text).runs[0].length - 9 * FT) < 2.5 / px, True)
    assert [round(math.degrees(run.bend)) for run in court(tab.on_disk()).runs] == [15, 15, 0]
    tab.page.get_by_text("Run A", exact=True).click()
    tab.handle("mark", "A2").wait_for()
    pull(tab.page, tab.handle("mark", "A2"), 10)
    tab.saves(lambda text: set(fixed(text)), {"A2"})


def test_what_is_carried_over_the_edge_or_the_slanting_wall_stays_under_the_lid(visit):
    tab = visit()
    tab.open_text(one_month(BOW))
    tab.spot("seat", "table").wait_for()
    start = tab.on_disk()
    right, down = directions(court(start))["A"]
    far = 7 * FT * scale(tab)
    drag(tab.page, tab.spot("seat", "table"), far * down, -far * right)  # toward the house, and through it
    tab.saves(lambda text: place(text, "table")[2] > 8 * FT, True)
    run, along, back = place(tab.on_disk(), "table")
    # the wall over run A rises from 8 ft at its start to 11 ft where the line that halves the bend meets it
    end = 8 * FT - 11 * FT * math.tan(math.radians(7.5))
    assert run == "A" and back == pytest.approx(8 * FT + 3 * FT * along / end, abs=2 * EIGHTH)
    undone(tab, lambda text: text, start)


def test_keys_go_along_a_run_and_past_its_bend(visit):
    tab = visit()
    tab.open_text(one_month(ARC))
    spot = tab.spot("thing", "L1")
    spot.wait_for()
    before = place(tab.on_disk(), "L1")
    spot.focus()
    for key in ("ArrowUp", "ArrowRight", "ArrowRight"):
        tab.page.keyboard.press(key)
    wanted = (before[1] + 2 * EIGHTH, before[2] + EIGHTH)
    tab.saves(lambda text: place(text, "L1")[1:] == pytest.approx(wanted, abs=1e-9), True)
    files.parse_project(tab.on_disk())


def seat_in_plan(text: str) -> tuple[float, float]:
    return design.lay(court(text))[0].lid.seats[0].point


@pytest.mark.parametrize("size", [WIDE, PHONE])
def test_a_seat_is_carried_over_a_bend_on_the_picture_of_the_afternoon(visit, size):
    tab = visit(size, touch=size is PHONE)
    tab.open_text(one_month(ARC), view="afternoon")
    ready(tab, "afternoon", patience=3)
    chip = tab.page.locator(".afternoon .chip.movable")
    chip.wait_for(timeout=3 * AIR)
    tab.quiet()
    before = tab.on_disk()
    (touch_drag if size is PHONE else drag)(tab.page, chip, 50, 10)
    tab.saves(lambda text: text != before, True)
    (x0, y0), (x1, y1) = seat_in_plan(before), seat_in_plan(tab.on_disk())
    assert x1 - x0 > 0.5 and math.atan2(y0 - y1, x1 - x0) == pytest.approx(math.atan2(10, 50), abs=0.03)
    assert court(tab.on_disk()).seats[0].run in "BCD"
