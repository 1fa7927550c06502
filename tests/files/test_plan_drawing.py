"""A drawing becomes a project file: one of ours exactly, an office's as it means it; bad ones are told."""

from __future__ import annotations

import io
import math
import random
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from typing import Any

import ezdxf
import pytest
from ezdxf.document import Drawing

from mistcalc import cli, design, files, units, words
from mistcalc.drawing import dxf
from mistcalc.drawing.sheet import LineSegment, Sheet
from mistcalc.drawing.true_plan import TruePlan
from mistcalc.errors import InputError
from mistcalc.files import LayerMap, project_from_drawing, read_map
from mistcalc.files.plan_drawing.arcs import with_chords
from mistcalc.model.practice import ROW_DEPTHS
from mistcalc.model.project import Project
from mistcalc.model.second_rows import tried_rows, with_row_feeds
from tests.bent_lids import ARC, BOW
from tests.random_projects import project_text

SHEET = Sheet(width=100.0, height=100.0, items=(LineSegment((0.0, 0.0), (1.0, 1.0)),))


def in_bytes(doc: Drawing) -> bytes:
    held = io.StringIO()
    doc.write(held)
    return held.getvalue().encode()


def read_as_project(data: bytes, layers: LayerMap = LayerMap(), **more: Any) -> Project:  # noqa: B008
    return files.parse_project(project_from_drawing(data, "plan.dxf", "House", layers, **more).text)


def drawn(project: Project) -> bytes:
    plans = [
        TruePlan(patio, laid, project.heading(patio.name))
        for patio, (laid, _) in zip(project.patios, design.lay_all(project), strict=True)
    ]
    return dxf.write([SHEET], "ft" if project.units == "us" else "mm", plans).encode()


# ------------------------------------------------------------------ our own


def assert_drawn_the_same(project: Project, again: Project) -> None:
    for one, two in zip(project.patios, again.patios, strict=True):
        assert (one.name, one.back, two.height) == (two.name, two.back, pytest.approx(one.height))
        for n, (run, other) in enumerate(zip(one.runs, two.runs, strict=True)):
            for key in ("name", "length", "starts_at", "ends_at", "corner", "bend", "datum", "rise"):
                assert getattr(run, key) == getattr(other, key), (run.name, key)
            assert sorted(run.joints, key=lambda j: j.name) == sorted(other.joints, key=lambda j: j.name)
            assert one.depths_over(n) == pytest.approx(two.depths_over(n), abs=1e-9)
        assert sorted(one.obstacles, key=lambda o: o.name) == sorted(two.obstacles, key=lambda o: o.name)
        assert sorted(one.seats, key=lambda s: s.name) == sorted(two.seats, key=lambda s: s.name)


@pytest.mark.parametrize("demo", files.EXAMPLES)
def test_a_demo_drawn_and_read_again(demo):
    project = files.parse_project(files.example_text(demo))
    again = read_as_project(drawn(project))
    assert_drawn_the_same(project, again)
    assert again.place.bearing == pytest.approx(project.place.bearing)
    for one, two in zip(project.patios, again.patios, strict=True):
        assert [run.framing for run in one.runs] == [run.framing for run in two.runs]


@pytest.mark.parametrize(
    "first",
    [pytest.param(n, marks=pytest.mark.long if n else pytest.mark.thorough) for n in range(0, 100, 10)],
)
def test_random_lids_drawn_and_read_again(first):
    for seed in range(first, first + 10):
        project = files.parse_project(project_text(seed))
        assert_drawn_the_same(project, read_as_project(drawn(project)))


@pytest.mark.parametrize("demo", files.EXAMPLES)
@pytest.mark.parametrize("name", ["", "back row"])
def test_a_second_row_drawn_and_read_again(demo, name):
    """By its marks, round corners too, at both thirds and half way; a name of its own stays."""
    project = files.parse_project(files.example_text(demo))
    tried = list(tried_rows(project.patios, 1.0, ROW_DEPTHS))
    assert len(tried) == len(ROW_DEPTHS)
    for patios in tried:
        if name:
            run = patios[0].runs[0]
            called = replace(run, second_row=replace(run.second_row, name=name))
            patios = (replace(patios[0], runs=(called, *patios[0].runs[1:])), *patios[1:])
        again = read_as_project(drawn(with_row_feeds(replace(project, patios=patios))))
        assert_drawn_the_same(project, again)
        for one, two in zip(patios, again.patios, strict=True):
            for run, other in zip(one.runs, two.runs, strict=True):
                assert (run.second_row is None) == (other.second_row is None)
                if run.second_row is not None:
                    assert other.second_row.name == run.second_row.name
                    assert other.second_row.back == pytest.approx(run.second_row.back, abs=1e-6)


def test_marks_are_blocks_that_say_name_height_and_stub():
    project = files.parse_project(files.example_text("courtyard"))
    doc = ezdxf.read(io.StringIO(drawn(project).decode()))
    assert not doc.audit().errors
    marks = doc.modelspace().query('INSERT[layer=="MIST-MARK"]')
    laid, _ = design.lay_all(project)[0]
    places = {mark.name: mark.point for mark in laid.marks}
    assert len(marks) == len(places)
    for mark in marks:
        x, y = places[mark.get_attrib_text("NAME")]
        assert (mark.dxf.insert.x, mark.dxf.insert.y) == pytest.approx((x / 0.3048, y / 0.3048), abs=2e-6)
        assert mark.get_attrib_text("HEIGHT") == "10 ft" and mark.get_attrib_text("STUB")
    (north,) = doc.modelspace().query('INSERT[layer=="MIST-NORTH"]')
    assert north.dxf.rotation == pytest.approx(0.0)  # run A heads east there: north is up


# ------------------------------------------------------------------ an office's


def court(units: int = 1, foot: float = 12.0) -> Drawing:
    """An invented court as an office draws it: run A 38 ft heading east, B 21 ft south, 13 ft deep."""
    doc = ezdxf.new("R2010")
    doc.header["$INSUNITS"] = units
    space = doc.modelspace()

    def at(*feet: tuple[float, float]) -> list[tuple[float, float]]:
        return [(x * foot, y * foot) for x, y in feet]

    ceiling = at((0, 0), (38, 0), (38, -21), (51, -21), (51, 13), (0, 13))
    space.add_lwpolyline(ceiling, close=True, dxfattribs={"layer": "A-CLNG-SOFF"})
    for wall in (((0, 13), (51, 13)), ((51, 13), (51, -21)), ((0, 0), (0, 13)), ((38, -21), (51, -21))):
        space.add_line(*at(*wall), dxfattribs={"layer": "A-WALL"})
    for n in range(1, 28):
        space.add_line(*at((n * 4 / 3, 0), (n * 4 / 3, 13)), dxfattribs={"layer": "VIGUETAS"})
    doc.blocks.new("CAN-6").add_circle((0, 0), 0.25 * foot)
    for x, y in ((3.25, 6.5), (45, -10)):
        space.add_blockref("CAN-6", at((x, y))[0], dxfattribs={"layer": "E-LITE"})
    space.add_circle(at((10, 6.5))[0], 2.5 * foot, dxfattribs={"layer": "VENTILADOR"})
    space.add_text("not to scale", dxfattribs={"layer": "NOTES"})
    return doc


def test_an_office_drawing_gives_runs_corners_and_what_stands_in_the_ceiling():
    read = project_from_drawing(in_bytes(court()), "plan.dxf", "House", LayerMap(), ("A", "38 ft"), "el-paso")
    project = files.parse_project(read.text)
    (patio,) = project.patios
    a, b = patio.runs
    foot = 0.3048
    assert (a.length, b.length, patio.depth) == pytest.approx((38 * foot, 21 * foot, 13 * foot))
    assert (a.corner, a.starts_at, b.ends_at, a.datum.end, b.datum.end) == (
        "inside",
        "wall",
        "wall",
        "start",
        "end",
    )
    assert a.framing.spacing == pytest.approx(16 * 0.0254) and a.framing.first == pytest.approx(16 * 0.0254)
    things = {
        o.name: (o.kind, o.run, o.along / foot, o.back / foot, o.size[0] / foot) for o in patio.obstacles
    }
    assert things["L1"] == ("light", "A", pytest.approx(3.25), pytest.approx(6.5), pytest.approx(0.5))
    assert things["L2"] == ("light", "B", pytest.approx(11), pytest.approx(7), pytest.approx(0.5))
    assert things["Fan 1"] == ("fan", "A", pytest.approx(10), pytest.approx(6.5), pytest.approx(5))
    assert any("NOTES" in told for told in read.read) and "# " in read.text
    asked = " ".join(read.questions)
    assert "height" in asked or "high" in asked
    assert "over B" in asked  # no joists are drawn there


def test_a_porch_open_on_three_sides_is_one_run_with_open_ends():
    doc = ezdxf.new("R2010")
    doc.header["$INSUNITS"] = 6
    doc.modelspace().add_lwpolyline(
        [(0, 0), (9, 0), (9, 3), (0, 3)], close=True, dxfattribs={"layer": "ALERO"}
    )
    doc.modelspace().add_line((-2, 3), (11, 3), dxfattribs={"layer": "MURO"})
    (patio,) = read_as_project(in_bytes(doc)).patios
    (run,) = patio.runs
    assert (run.length, patio.depth) == pytest.approx((9.0, 3.0))
    assert (run.starts_at, run.ends_at, patio.back) == ("open", "open", "wall")


# ------------------------------------------------------------------ bends and tapers

FOOT = 0.3048


def bow(closed: bool, backward: bool) -> Drawing:
    """An invented bow front before a straight wall: pieces of 8 ft at 15 deg to it, along it, at -15."""
    doc = ezdxf.new("R2010")
    doc.header["$INSUNITS"] = 2
    space, turn = doc.modelspace(), math.radians(15)
    x, y = 8 * math.cos(turn), 8 * math.sin(turn)
    edge = [(0.0, y), (x, 0.0), (x + 8, 0.0), (2 * x + 8, y)]
    # the ends square to the edge: as far as the wall at y = 11
    off = (11 - y) * math.tan(turn)
    outline = [*edge, (2 * x + 8 - off, 11.0), (off, 11.0)]
    points = outline if closed else edge
    space.add_lwpolyline(points[::-1] if backward else points, close=closed, dxfattribs={"layer": "PATIO"})
    space.add_line((-9, 11), (40, 11), dxfattribs={"layer": "WALL"})
    doc.blocks.new("HEATER").add_lwpolyline([(-2, -0.5), (2, -0.5), (2, 0.5), (-2, 0.5)], close=True)
    space.add_blockref("HEATER", (x / 2 + 2 * math.sin(turn), y / 2 + 2 * math.cos(turn)), {"rotation": -15})
    space.add_blockref("HEATER", (x + 4, 4), {"rotation": 0})
    return doc


@pytest.mark.parametrize("closed", [False, True])
@pytest.mark.parametrize("backward", [False, True])
def test_a_bow_front_before_a_straight_wall_bends_and_tapers(closed, backward):
    """Depth at a bend by plane trigonometry: what lies on the line that halves it, square to either edge."""
    drawn = project_from_drawing(in_bytes(bow(closed, backward)), "plan.dxf", "House", LayerMap())
    (patio,) = files.parse_project(drawn.text).patios
    assert not any("straight from end to end" in asked or "square" in asked for asked in drawn.questions)
    y, at_bend = (
        8 * math.sin(math.radians(15)),
        11.0,
    )  # that line leans half the bend from B's square, is 11 / cos long
    assert [run.corner for run in patio.runs] == ["outside bend", "outside bend", None]
    assert [math.degrees(run.bend) for run in patio.runs] == pytest.approx([15, 15, 0], abs=0.005)
    at_end = (11 - y) / math.cos(math.radians(15))
    assert [tuple(d / FOOT for d in patio.depths_over(n)) for n in range(3)] == [
        pytest.approx(pair, abs=0.003) for pair in ((at_end, at_bend), (at_bend, at_bend), (at_bend, at_end))
    ]
    assert [run.length / FOOT for run in patio.runs] == pytest.approx([8, 8, 8], abs=0.001)
    assert all(
        units.on_grid(length, "us", 0.0015875) == pytest.approx(length, abs=1e-9)
        for run in patio.runs for length in (run.length, run.depth or patio.depth)
    )  # fmt: skip
    assert "elbow = 1" not in drawn.text  # 15 degrees are bent by hand
    one, two = patio.obstacles
    assert (one.run, one.along / FOOT, one.back / FOOT) == (
        "A",
        pytest.approx(4, abs=0.001),
        pytest.approx(2, abs=0.001),
    )
    assert (two.run, two.along / FOOT, two.back / FOOT) == (
        "B",
        pytest.approx(4, abs=0.001),
        pytest.approx(4, abs=0.001),
    )
    for each in (one, two):
        assert [side / FOOT for side in each.size] == pytest.approx([4, 1], abs=0.001)


@pytest.mark.parametrize("as_arc", [False, True])
@pytest.mark.parametrize("radius", [14.0, 30.0, 90.0])
def test_an_edge_drawn_as_an_arc_becomes_strings_that_stand_on_it(as_arc, radius):
    """Chords of a circle: both ends on it, none over 6 ft (or 2 deg of it), the middle at most 2 in off."""
    doc = ezdxf.new("R2010")
    doc.header["$INSUNITS"] = 2
    space, half = doc.modelspace(), math.asin(10 / radius)
    if as_arc:
        angles = math.degrees(-math.pi / 2 - half), math.degrees(-math.pi / 2 + half)
        space.add_arc((0, 0), radius, *angles, dxfattribs={"layer": "EDGE"})
        for sign in (-1, 1):
            out = (sign * (10 + 3 * math.cos(half)), -radius * math.cos(half) + 3 * math.sin(half))
            space.add_line(out, (sign * 10, -radius * math.cos(half)), dxfattribs={"layer": "EDGE"})
    else:
        ends = (-10, -radius * math.cos(half), math.tan(half / 2)), (10, -radius * math.cos(half), 0)
        space.add_lwpolyline(ends, format="xyb", dxfattribs={"layer": "EDGE"})
    inner = radius - 8
    deep = [inner * math.sin(half), -inner * math.cos(half)]
    space.add_arc((0, 0), inner, math.degrees(-math.pi / 2 - half), math.degrees(-math.pi / 2 + half),
                  dxfattribs={"layer": "WALL"})  # fmt: skip
    for sign in (-1, 1) if as_arc else ():
        far = (sign * (deep[0] + 3 * math.cos(half)), deep[1] + 3 * math.sin(half))
        space.add_line((sign * deep[0], deep[1]), far, dxfattribs={"layer": "WALL"})
    (patio,) = read_as_project(in_bytes(doc)).patios
    runs = patio.runs[1:-1] if as_arc else patio.runs
    each = 2 * half / len(runs)
    assert each >= math.radians(2) - 1e-9 and radius * (1 - math.cos(each / 2)) <= 2 / 12 + 1e-9
    for run in runs:
        assert run.length / FOOT == pytest.approx(2 * radius * math.sin(each / 2), abs=0.003)
        assert run.length / FOOT <= 6.003
    turns = [run.bend for run in patio.runs[:-1]]
    expected = [each / 2, *[each] * (len(runs) - 1), each / 2] if as_arc else [each] * (len(runs) - 1)
    assert turns == pytest.approx(expected, abs=1e-4)
    for n in range(1 if as_arc else 0, len(runs) - 1):
        assert patio.depths_over(n)[1] / FOOT == pytest.approx(8 * math.cos(patio.runs[n].bend / 2), abs=0.02)


def test_every_arc_becomes_points_on_its_circle():
    """Its middle found anew from three of them; whatever a file has for a bulge, the points are finite."""
    chance = random.Random(7)
    for _ in range(300):
        start, end = ((chance.uniform(-9, 9), chance.uniform(-9, 9)) for _ in range(2))
        bulge = chance.choice((-1, 1)) * 10 ** chance.uniform(-2, 1)
        points = [*with_chords((start, end), (bulge, 0.0), 1.0, chance.random() < 0.5)]
        assert points[0] == start and points[-1] == end
        chord, sagitta = math.dist(start, end), abs(bulge) * math.dist(start, end) / 2
        radius = (chord**2 / 4 + sagitta**2) / (2 * sagitta)
        x, y = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
        # the arc goes through here: half a bulge of a chord to the right of the way from start to end
        top = x + bulge / 2 * (end[1] - start[1]), y - bulge / 2 * (end[0] - start[0])
        to = (radius - sagitta) / sagitta
        middle = x + to * (x - top[0]), y + to * (y - top[1])
        away = [math.dist(point, middle) for point in points]
        assert away == pytest.approx([radius] * len(points), rel=1e-6)
        halves = [((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in pairwise(points)]
        assert radius > 50 or radius - min(math.dist(middle, half) for half in halves) <= 0.0508 + 1e-9
    for bulge in (1e9, -1e300, math.inf, math.nan, 1e-12, 0.0):
        assert [*with_chords(((0.0, 0.0), (9.0, 1.0)), (bulge, 0.0), 1.0, False)] == [(0.0, 0.0), (9.0, 1.0)]


def test_a_wall_that_is_not_straight_behind_a_bend_is_asked_about():
    doc = bow(False, False)
    for ends in (((9, 9), (15, 9)), ((9, 9), (9, 11)), ((15, 9), (15, 11))):
        doc.modelspace().add_line(*ends, dxfattribs={"layer": "WALL"})
    read = project_from_drawing(in_bytes(doc), "plan.dxf", "House", LayerMap())
    assert any("behind B" in asked for asked in read.questions)


@pytest.mark.parametrize("layer", ["WALL", "A-DOOR"])
def test_the_swing_of_a_door_is_no_wall_and_no_door(layer):
    doc = bow(False, False)
    doc.modelspace().add_arc((12, 11), 3, 180, 270, dxfattribs={"layer": layer})
    assert read_as_project(in_bytes(doc)) == read_as_project(in_bytes(bow(False, False)))


def test_an_end_that_is_not_square_is_asked_about():
    doc = ezdxf.new("R2010")
    doc.header["$INSUNITS"] = 2
    outline = [(0, 0), (20, 0), (18, 9), (0, 9)]
    doc.modelspace().add_lwpolyline(outline, close=True, dxfattribs={"layer": "PATIO"})
    doc.modelspace().add_line((0, 9), (18, 9), dxfattribs={"layer": "WALL"})
    doc.modelspace().add_line((20, 0), (18, 9), dxfattribs={"layer": "WALL"})
    read = project_from_drawing(in_bytes(doc), "plan.dxf", "House", LayerMap())
    assert any("not drawn square" in asked for asked in read.questions)
    (run,) = files.parse_project(read.text).patios[0].runs
    assert (run.starts_at, run.ends_at) == ("open", "wall")


def test_a_sharper_bend_has_its_fitting_in_the_first_file_and_a_straight_joint_none():
    doc = ezdxf.new("R2010")
    doc.header["$INSUNITS"] = 2
    edge = [(0, 0), (10, 0), (20, 0), (30, -10), (30, -30)]
    doc.modelspace().add_lwpolyline(edge, dxfattribs={"layer": "EDGE"})
    wall = [(-5, 9), (20 + 9 * math.tan(math.pi / 8), 9), (39, -10 + 9 * math.tan(math.pi / 8)), (39, -30)]
    doc.modelspace().add_lwpolyline(wall, dxfattribs={"layer": "WALL"})
    patio = read_as_project(in_bytes(doc)).patios[0]
    assert [run.corner for run in patio.runs] == ["straight", "inside bend", "inside bend", None]
    joins = {str(p.start): p.fittings for p in read_as_project(in_bytes(doc)).plumbing.pieces}
    assert [dict(joins[f"{name} end"]) for name in "ABC"] == [{}, {"elbow 45": 1}, {"elbow 45": 1}]


@pytest.mark.parametrize("text", [BOW, ARC])
def test_a_bent_lid_drawn_and_read_again_lies_the_same_way_round(text):
    project = files.parse_project(text)
    again = read_as_project(drawn(project))
    assert_drawn_the_same(project, again)
    assert again.place.bearing == pytest.approx(project.place.bearing)
    for run, other in zip(project.patios[0].runs, again.patios[0].runs, strict=True):
        assert run.framing == other.framing, run.name


def test_a_map_says_what_names_do_not():
    doc = ezdxf.new("R2010")
    doc.header["$INSUNITS"] = 2
    doc.modelspace().add_lwpolyline(
        [(0, 0), (20, 0), (20, 9), (0, 9)], close=True, dxfattribs={"layer": "X1"}
    )
    doc.modelspace().add_line((0, 9), (20, 9), dxfattribs={"layer": "X2"})
    with pytest.raises(InputError) as caught:
        read_as_project(in_bytes(doc))
    assert caught.value.code == "drawing-no-layer"
    said = read_map('[layers]\nX1 = "edge"\nX2 = "wall"\n', "map.toml")
    assert read_as_project(in_bytes(doc), said).patios[0].runs[0].length == pytest.approx(20 * 0.3048)


def test_a_drawing_without_a_unit_is_scaled_by_the_run_that_was_measured():
    data = in_bytes(court(units=0))
    assert read_as_project(data, scale=("A", "38 ft")).patios[0].runs[0].length == pytest.approx(38 * 0.3048)
    with pytest.raises(InputError) as caught:
        read_as_project(data)
    assert caught.value.code == "drawing-no-unit"


# ------------------------------------------------------------------ what is refused


def three_d() -> bytes:
    doc = court()
    doc.modelspace().add_line((0, 0, 0), (100, 0, 100), dxfattribs={"layer": "A-WALL"})
    return in_bytes(doc)


def paper_only() -> bytes:
    doc = ezdxf.new("R2010")
    doc.paperspace().add_line((0, 0), (1, 1))
    return in_bytes(doc)


def without_walls() -> bytes:
    doc = court()
    for line in list(doc.modelspace().query('LINE[layer=="A-WALL"]')):
        doc.modelspace().delete_entity(line)
    return in_bytes(doc)


def walled_in() -> bytes:
    doc = court()
    (ceiling,) = doc.modelspace().query("LWPOLYLINE")
    corners = list(ceiling.vertices())
    for wall in zip(corners, [*corners[1:], corners[0]], strict=True):
        doc.modelspace().add_line(*wall, dxfattribs={"layer": "A-WALL"})
    return in_bytes(doc)


def slanted() -> bytes:
    doc = ezdxf.new("R2010")
    doc.header["$INSUNITS"] = 2
    doc.modelspace().add_lwpolyline([(0, 0), (20, 0), (28, 14)], dxfattribs={"layer": "EDGE"})
    for side in (((0, 9), (15, 9)), ((15, 9), (22, 21))):
        doc.modelspace().add_line(*side, dxfattribs={"layer": "WALL"})
    return in_bytes(doc)


def spline_edge() -> bytes:
    doc = ezdxf.new("R2010")
    doc.header["$INSUNITS"] = 2
    doc.modelspace().add_spline([(0, 0), (10, -2), (20, 0)], dxfattribs={"layer": "EDGE"})
    doc.modelspace().add_line((0, 9), (20, 9), dxfattribs={"layer": "WALL"})
    return in_bytes(doc)


def ring_that_bends() -> bytes:
    """Round a court with one corner cut off."""
    doc = ezdxf.new("R2010")
    doc.header["$INSUNITS"] = 2
    for layer, off in (("EDGE", 0.0), ("WALL", 9.0)):
        cut = 6 + 2 * off * (2**0.5 - 1) / 2**0.5
        corners = [(-off, -off), (30 + off, -off), (30 + off, 30 + off - cut), (30 + off - cut, 30 + off),
                   (-off, 30 + off)]  # fmt: skip
        doc.modelspace().add_lwpolyline(corners, close=True, dxfattribs={"layer": layer})
    return in_bytes(doc)


def wall_on_a_slant() -> bytes:
    doc = ezdxf.new("R2010")
    doc.header["$INSUNITS"] = 2
    doc.modelspace().add_lwpolyline([(0, 0), (30, 0), (30, -20)], dxfattribs={"layer": "EDGE"})
    for side in (((0, 6), (40, 14)), ((40, 14), (40, -20))):
        doc.modelspace().add_line(*side, dxfattribs={"layer": "WALL"})
    return in_bytes(doc)


BAD: list[tuple[str, Callable[[], bytes]]] = [
    ("drawing-broken", lambda: b"hello"),
    ("drawing-broken", lambda: in_bytes(court())[:9000]),
    ("drawing-dwg", lambda: b"AC1032" + bytes(100)),
    ("drawing-unit-odd", lambda: in_bytes(court(units=4))),  # inches that are labelled millimetres
    ("drawing-empty", lambda: in_bytes(ezdxf.new("R2010"))),
    ("drawing-paper-only", paper_only),
    ("drawing-3d", three_d),
    ("drawing-no-wall", without_walls),
    ("drawing-slanted", slanted),
    ("drawing-curved", spline_edge),
    ("drawing-ring-bends", ring_that_bends),
    ("drawing-wall-slanted", wall_on_a_slant),
    ("drawing-walled-in", walled_in),
]


@pytest.mark.parametrize(("code", "made"), BAD)
def test_a_drawing_of_no_use_has_one_clear_message(code, made, tmp_path, capsys, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "plan.dxf").write_bytes(made())
    assert cli.main(["new", "house", "--from", "plan.dxf"]) == 2
    told = capsys.readouterr().err
    with pytest.raises(InputError) as caught:
        project_from_drawing(made(), "plan.dxf", "House", LayerMap())
    assert caught.value.code == code
    assert told == f"{words.say(caught.value)}\n"
    assert not (tmp_path / "house.toml").exists()


def test_a_run_that_was_measured_otherwise_is_refused(tmp_path, capsys, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "plan.dxf").write_bytes(in_bytes(court()))
    assert cli.main(["new", "house", "--from", "plan.dxf", "--scale-check", "A=36 ft"]) == 2
    assert "Run A is drawn 38 ft long, and you measured 36 ft" in capsys.readouterr().err
    assert cli.main(["new", "house", "--from", "plan.dxf", "--scale-check", "Q=36 ft"]) == 2
    assert "A and B" in capsys.readouterr().err
    assert cli.main(["new", "house", "--from", "plan.dxf", "--scale-check", "36 ft"]) == 2
    assert 'Write the run and its length as you measured it, as in "A=38 ft"' in capsys.readouterr().err
    assert cli.main(["new", "house", "--map", "none.toml", "--run", "9 ft", "--depth", "9 ft"]) == 2
    assert "go with --from" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("text", "code"),
    [("layers = 3", "drawing-map"), ("[layers]\na = 'sky'", "drawing-map-role"),
     ("unit = 'rod'", "drawing-map-unit"), ("[", "drawing-map"), ("scale = 2", "drawing-map")],
)  # fmt: skip
def test_a_map_of_no_use_is_told(text, code):
    with pytest.raises(InputError) as caught:
        read_map(text, "map.toml")
    assert caught.value.code == code


def test_a_thing_of_a_kind_that_nobody_knows_is_left():
    data = in_bytes(court()).replace(b"\nTEXT\n", b"\n0TEXT\n", 1)
    assert files.overview_of(data, "plan.dxf").groups
    assert project_from_drawing(data, "plan.dxf", "House", LayerMap()).text
