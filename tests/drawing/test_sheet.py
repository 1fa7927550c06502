"""The neutral sheet: geometry that the writers rely on, and the look's rules held by the demonstration."""

from __future__ import annotations

import subprocess
import sys
from itertools import combinations, pairwise
from math import hypot

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mistcalc.drawing.boxes import Box, along, largest_empty
from mistcalc.drawing.sheet import (
    LAYERS,
    Circle,
    Dimension,
    Hatch,
    LineSegment,
    Pen,
    Polyline,
    Sheet,
    Text,
    View,
)

numbers = st.floats(0.0, 100.0)


def test_a_quarter_inch_is_a_foot():
    """1:48 by definition of the foot and the inch: 38 ft is 9 1/2 in, 241.3 mm, on paper."""
    assert View("plan", 48).paper((38 * 0.3048, 0.0))[0] == pytest.approx(241.3, abs=1e-9)
    assert View("plan", 48, (7.0, 9.0)).paper((38 * 0.3048, 0.0)) == pytest.approx((248.3, 9.0), abs=1e-9)


@given(st.floats(0.3, 3.0), st.floats(0.0, 180.0))
def test_hatch_covers_an_l_shape_and_stays_inside(spacing, angle):
    corners = ((0, 0), (30, 0), (30, 10), (12, 10), (12, 25), (0, 25))
    lines = Polyline(corners, True, hatch=Hatch(spacing, angle)).hatch_lines()

    def inside(x, y):
        return -1e-6 <= x <= 30 + 1e-6 and -1e-6 <= y <= (25 if x <= 12 + 1e-6 else 10) + 1e-6

    for (x0, y0), (x1, y1) in lines:
        assert all(inside(x0 + (x1 - x0) * t, y0 + (y1 - y0) * t) for t in (0, 0.25, 0.5, 0.75, 1))
    total = sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in lines)
    # length x spacing is the area by the rectangle rule; its error is at most two lines as long as the shape
    assert total * spacing == pytest.approx(480.0, abs=2 * spacing * hypot(30, 25))


def test_a_dimension_measures_along_its_direction_and_meets_its_line_at_right_angles():
    dimension = Dimension((0, 0), (30, 40), (0, 60), 0.0)
    assert dimension.measured == pytest.approx(30.0)
    assert dimension.foot((30, 40)) == pytest.approx((30.0, 60.0))
    assert Dimension((0, 0), (30, 40), (0, 0), 53.13010235).measured == pytest.approx(50.0)


def test_text_box_follows_its_turn_and_alignment():
    level = Text((10, 10), "3'-0\"", 3.5, True)
    assert level.box() == pytest.approx((10, 10 - 0.28 * 3.5, 10 + level.width, 10 + 1.02 * 3.5))
    upright = Text((10, 10), "3'-0\"", 3.5, True, 90, "right")
    assert upright.box() == pytest.approx((10 - 1.02 * 3.5, 10 - upright.width, 10 + 0.28 * 3.5, 10))


def test_what_cannot_be_drawn_is_refused():
    with pytest.raises(ValueError, match="no layer"):
        LineSegment((0, 0), (1, 1), layer="RED")
    with pytest.raises(ValueError, match="not a place"):
        Sheet(100, 100, (LineSegment((0, 0), (float("nan"), 1)),))


@given(st.lists(st.tuples(numbers, numbers, st.floats(1, 40), st.floats(1, 40)), max_size=12))
def test_the_largest_empty_box_is_empty_and_nearly_the_largest(taken):
    zone = Box(0, 0, 100, 80)
    boxes = [Box(x, y, x + w, y + h) for x, y, w, h in taken]
    found = largest_empty(zone, boxes)
    # the largest of all: every edge touches the zone or a box (brute force over their edges)
    lefts, rights = {0.0, *(b.right for b in boxes)}, {100.0, *(b.left for b in boxes)}
    lows, highs = {0.0, *(b.top for b in boxes)}, {80.0, *(b.bottom for b in boxes)}
    shrunk = 0.0
    for left in lefts:
        for right in (r for r in rights if left < r <= 100):
            strip_ = sorted(b for b in boxes if b.left < right and b.right > left)
            for low in lows:
                for high in (h for h in highs if low < h <= 80):
                    if not any(b.bottom < high and b.top > low for b in strip_):
                        # 2 mm squares may cost up to 2 mm on each side
                        shrunk = max(shrunk, max(0, right - left - 4) * max(0, high - low - 4))
    if found is None:
        assert shrunk == 0.0
    else:
        assert zone.grown(1e-9).holds(found) and not any(found.meets(box, -1e-9) for box in boxes)
        assert found.area >= shrunk - 1e-6


def test_a_slanting_line_is_covered_by_small_boxes():
    boxes = along((0, 0), (30, 40), 0.25)
    assert sum(box.area for box in boxes) < 0.2 * 30 * 40
    assert all(
        any(b.left <= 30 * t <= b.right and b.bottom <= 40 * t <= b.top for b in boxes)
        for t in (0, 0.3, 0.77, 1)
    )
    assert len(along((0, 0), (0, 40), 0.25)) == 1


def texts(sheet):
    return [item for item in sheet.primitives() if isinstance(item, Text)]


def test_no_label_of_the_demonstration_meets_another_or_a_thick_line(sheets):
    """Gaps of the look: 0.25 to labels, 0.4 to lines of 0.5 and more (walls, edge, tube)."""
    plan = sheets[0]
    labels = [text for text in texts(plan) if text.view is not None]
    grouped = {id(t): t for t in labels}.values()
    for a, b in combinations(grouped, 2):
        same_tag = a.layer == b.layer == "OBST" and abs(a.at[1] - b.at[1]) < 10
        pair_of_a_rung = a.layer == b.layer == "DIM-MARK" and {a.height, b.height} == {3.5, 2.5}
        gap = -0.5 if same_tag else 0.0 if pair_of_a_rung else 0.25 - 1e-6
        assert not a.box().meets(b.box(), gap), (a.text, b.text)
    for item in plan.items:
        thick = isinstance(item, LineSegment) or (isinstance(item, Polyline) and item.layer == "WALL")
        if thick and item.pen.width >= 0.5 and item.view is not None:
            points = (
                (item.start, item.end) if isinstance(item, LineSegment) else (*item.points, item.points[0])
            )
            covers = [box for p, q in pairwise(points) for box in along(p, q, item.pen.width / 2)]
            for label in labels:
                assert not any(label.box().meets(box, 0.4 - 1e-6) for box in covers), label.text


def test_the_demonstration_keeps_the_rules_of_site_paper(sheets):
    """Black and white only, nothing thinner than 0.18, no writing under 2.5, all on the sheet."""
    for sheet in sheets:
        for item in sheet.primitives():
            assert item.layer in LAYERS
            assert item.pen.ink in ("#000000", "#ffffff")
            assert getattr(item, "fill", None) in (None, "#000000", "#ffffff")
            assert item.pen.width == 0 or item.pen.width >= 0.18
            assert not isinstance(item, Text) or item.height >= 2.5
            assert Box(0, 0, sheet.width, sheet.height).holds(item.box())
        small = [item for item in sheet.items if isinstance(item, Circle) and item.radius <= 2]
        assert all(item.layer in ("MARK", "DIM-MARK") for item in small if item.view is not None)


def test_masks_are_painted_over_thin_lines_and_under_everything_else():
    view = View("plan", 48)
    sheet = Sheet(
        100,
        100,
        (
            Text((10, 10), "A1", mask=True, view=view),
            Circle((10, 10), 2, layer="MARK", pen=Pen(0.5), view=view),
            LineSegment((0, 10), (50, 10), layer="FRAME", pen=Pen(0.18), view=view),
        ),
    )
    order = [(how, type(item).__name__) for how, item in sheet.painted()]
    assert order == [("draw", "LineSegment"), ("mask", "Text"), ("draw", "Circle"), ("draw", "Text")]


def test_drawing_a_sheet_loads_no_writer_library():
    code = (
        "import sys; from mistcalc.drawing import frame, labels, running_dimensions, svg; "
        "print([name for name in ('reportlab', 'ezdxf', 'pandas', 'scipy') if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
