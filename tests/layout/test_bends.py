"""Edges that bend by less than a corner, and lids whose depth tapers: shape, wood, holes, panels."""

from __future__ import annotations

import math
import random
from dataclasses import replace

import numpy as np
import pytest

from mistcalc import design
from mistcalc.checks.lid import in_outline
from mistcalc.layout import lay
from mistcalc.layout.geometry import Rectangle, in_lid, plan_of, polygon_area
from mistcalc.model.project import Corner, Joint, Patio
from tests.layout.lids import FT, IN, joists, patio, run
from tests.layout.random_lids import lid

NEAR = 1e-6


def curve(
    count: int, chord: float, degrees: float, corner: Corner = "outside bend", depth: float = 96.0
) -> Patio:
    """A curve of so many chords [in], walls at both its ends."""
    names = [f"R{n}" for n in range(count)]
    runs = []
    for n, name in enumerate(names):
        last = n == count - 1
        ends = ("corner" if n else "wall", "wall" if last else "corner")
        one = run(name, chord, ends, framing=joists(14, 16))
        runs.append(one if last else replace(one, corner=corner, bend=math.radians(degrees)))
    return patio(tuple(runs), depth=depth)


def bent(seed: int) -> Patio:
    """A random lid with its corners bent open, or a taper."""
    draw, plain = random.Random(seed), lid(seed)
    runs = [
        replace(one, corner=f"{one.corner} bend", bend=math.radians(draw.uniform(1, 45)))  # type: ignore[arg-type]
        if one.corner
        else one
        for one in plain.runs
    ]
    deep = plain.depth
    for n, one in enumerate(runs):
        end = deep * draw.uniform(0.7, 1.4) if draw.random() < 0.5 else deep
        runs[n], deep = replace(one, depth=deep, depth_at_end=end), end
    return replace(plain, runs=tuple(runs))


# ------------------------------------------------------------------ shape


def test_chords_lie_on_the_circle_of_route_surveying():
    """Chord definition of the degree of curve: chords of 100 ft that bend by 1 degree lie on a circle of
    5,729.65 ft (tables of curves in route surveying handbooks; the value is from memory)."""
    laid = lay(curve(5, 1200, 1.0), fixes=False).lid
    points = np.array([line.edge[0] for line in laid.runs] + [laid.runs[-1].edge[1]])
    system = np.column_stack([2 * points, np.ones(len(points))])
    x, y, rest = np.linalg.lstsq(system, (points**2).sum(axis=1), rcond=None)[0]
    assert math.sqrt(rest + x * x + y * y) / FT == pytest.approx(5729.65, abs=0.01)


@pytest.mark.parametrize("corner", ["outside bend", "inside bend"])
def test_many_chords_make_the_area_of_a_ring_sector(corner: Corner):
    """Half the angle times the difference of the radii's squares: geometry. More chords come nearer."""
    angle, radius, depth = math.radians(48), 40 * FT, 8 * FT
    far = radius - depth if corner == "outside bend" else radius + depth
    exact = angle / 2 * abs(radius**2 - far**2)
    off = []
    for count in (6, 12, 24, 38):
        chord = 2 * radius * math.sin(angle / count / 2) / IN
        lid = lay(curve(count, chord, math.degrees(angle / count), corner), fixes=False).lid
        off.append(abs(lid.area / exact - 1))
    assert (
        off == sorted(off, reverse=True) and off[-1] < 0.004 and off[1] / off[2] == pytest.approx(2, rel=0.1)
    )


def test_a_taper_has_the_area_of_a_trapezoid_and_joists_to_its_wall():
    one = replace(run("A", 240, framing=joists(14, 16)), depth=144 * IN, depth_at_end=96 * IN)
    layout = lay(patio((one,)))
    assert layout.lid.area == pytest.approx(240 * IN * 120 * IN)
    for member in layout.lid.members:
        (x, y0), (_, y1) = member.line
        assert (y0, y1) == pytest.approx((0.0, (144 - 48 * x / (240 * IN)) * IN))
    ((_, area, ratio),) = layout.panels
    assert (area, ratio) == (pytest.approx(layout.lid.area), pytest.approx(2.0))


def test_the_plan_of_a_bow_is_level():
    """A bow of three alike chords is drawn with its middle one level, whichever is first in the file."""
    lines = lay(curve(3, 96, 20)).lid.runs
    assert lines[1].edge[0][1] == pytest.approx(lines[1].edge[1][1])
    assert curve(3, 96, 20).tilt == pytest.approx(-math.radians(20))
    assert curve(1, 96, 20).tilt == 0.0


@pytest.mark.parametrize("seed", range(40))
def test_a_point_is_under_a_run_or_outside_the_outline(seed: int):
    """Strips leave no gap where they meet and go past nothing: against the outline by the even-odd rule."""
    plan, draw = plan_of(bent(seed)), random.Random(seed)
    outline = np.array(lay(bent(seed), fixes=False).lid.outline)
    low, high = outline.min(axis=0), outline.max(axis=0)
    around = tuple(map(tuple, outline))
    for _ in range(200):
        point = (draw.uniform(low[0], high[0]), draw.uniform(low[1], high[1]))
        assert in_lid(plan, point) == in_outline(point, around), point


@pytest.mark.parametrize("seed", range(40))
def test_panels_are_all_of_the_lid(seed: int):
    layout = lay(bent(seed), fixes=False)
    total = sum(area for _, area, _ in layout.panels)
    assert total == pytest.approx(
        polygon_area(layout.lid.outline), rel=1e-4
    )  # a sliver at a bend is no panel


def test_a_joint_at_a_bend_lies_on_the_line_that_halves_it():
    lid = curve(2, 96, 30)
    first = replace(lid.runs[0], joints=(Joint("J", 96 * IN, "blocking"),))
    layout = lay(replace(lid, runs=(first, lid.runs[1])))
    (line,) = layout.lid.joints
    (a, b), (c, d) = line.line
    assert (a, b) == pytest.approx(layout.lid.runs[0].edge[1])
    assert any(math.dist((c, d), corner) < NEAR for corner in layout.lid.outline)
    assert math.dist((a, b), (c, d)) == pytest.approx(96 * IN / math.cos(math.radians(15)))


def test_eight_bends_that_close_are_told_of():
    lid = curve(8, 120, 45)
    _, findings = design.lay(lid)
    assert "lid-crosses-itself" in {finding.code for finding in findings}


# ------------------------------------------------------------------ holes and what they keep off


@pytest.mark.parametrize("seed", range(60))
def test_holes_of_bent_lids_keep_off_wood_and_joints_or_say_so(seed: int):
    """Measured here in plan, from the drawn lines."""
    lid = bent(seed)
    layout = lay(lid)
    rules, told = lid.marks, {(clash.mark, clash.rule) for clash in layout.clashes}
    for mark in layout.marks:
        for member in layout.lid.members:
            room = _to_line(mark.point, member.line, member.width / 2) - rules.hole / 2
            assert room > rules.clear_of_members - NEAR or (mark.name, "member") in told
        for line in layout.lid.joints:
            assert (
                _to_line(mark.point, line.line) > rules.clear_of_joints - NEAR or (mark.name, "joint") in told
            )


@pytest.mark.parametrize("seed", range(60))
def test_marks_lie_on_the_line_of_their_own_run(seed: int):
    lid = bent(seed)
    layout = lay(lid)
    for mark in layout.marks:
        line = next(line for line in layout.lid.runs if line.name == mark.run)
        (x0, y0), (x1, y1) = line.edge
        long = math.dist(*line.edge)
        ahead = ((x1 - x0) / long, (y1 - y0) / long)
        dx, dy = mark.point[0] - x0, mark.point[1] - y0
        along = dx * ahead[0] + dy * ahead[1]
        assert (along if line.datum_at_start else long - along) == pytest.approx(mark.along)
        assert dy * ahead[0] - dx * ahead[1] == pytest.approx(line.back)


@pytest.mark.parametrize("seed", range(100))
def test_the_ground_within_reach_of_a_shape(seed: int):
    """Along a line and point by point, against the nearest of many points of the shape."""
    draw = random.Random(seed)
    angle, (a, b), at = draw.uniform(0, 7), (draw.uniform(0, 2), draw.choice((0.0, draw.uniform(0, 1)))), 0.3
    c, s = math.cos(angle), math.sin(angle)
    corners = tuple((at + u * c - v * s, u * s + v * c) for u, v in ((0, 0), (a, 0), (a, b), (0, b)))
    shape, y, reach = Rectangle.of(corners), draw.uniform(-1, 1), draw.uniform(0.01, 1)
    grid = np.linspace(0, 1, 120)
    u, v = (part.ravel() for part in np.meshgrid(a * grid, b * grid))
    full = np.array([at + u * c - v * s, u * s + v * c])
    x = np.linspace(-3, 4, 701)
    nearest = np.hypot(x[:, None] - full[0], y - full[1]).min(axis=1)
    assert shape.distance(x, np.full_like(x, y)) == pytest.approx(nearest, abs=0.02)
    span = shape.near(y, reach)
    within = x[nearest < reach - 0.02]
    if span is None:
        assert not within.size
    else:
        assert not within.size or (span[0] < within[0] and within[-1] < span[1])
        outside = x[nearest > reach + 0.02]
        assert not np.any((outside > span[0]) & (outside < span[1]))


def _to_line(point: tuple[float, float], line: tuple, half: float = 0.0) -> float:  # type: ignore[type-arg]
    """From a point to a rectangle round a line, its ends square."""
    (x0, y0), (x1, y1) = line
    long = math.dist(*line) or 1.0
    ux, uy = (x1 - x0) / long, (y1 - y0) / long
    dx, dy = point[0] - x0, point[1] - y0
    along, across = dx * ux + dy * uy, abs(dy * ux - dx * uy)
    return math.hypot(max(-along, along - long, 0.0), max(across - half, 0.0))
