"""Air under lids that lie at a slant to the cells it is worked out on: nothing in nature knows of those."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace

import numpy as np
import pytest

from mistcalc import cooling, design, files
from mistcalc.cooling.airflow import patio_airflow
from mistcalc.cooling.patio_geometry import geometry_of
from mistcalc.files import climate_path, read_climate
from mistcalc.files.project.new_file import example_text
from mistcalc.model.results import Layout, Point

SLANTS = (11, 30, 45)  # degrees


def turned(layout: Layout, angle: float) -> Layout:
    """All of a lid in plan turned left about its first corner."""
    c, s = math.cos(angle), math.sin(angle)

    def point(p: Point) -> Point:
        return c * p[0] - s * p[1], s * p[0] + c * p[1]

    def line(points: Iterable[Point]) -> tuple[Point, ...]:
        return tuple(map(point, points))

    def runs(each):
        return tuple(
            replace(r, edge=line(r.edge), tube=line(r.tube), datum_point=point(r.datum_point)) for r in each
        )

    lid = layout.lid
    lid = replace(
        lid, outline=line(lid.outline), walls=tuple(map(line, lid.walls)),
        open_edges=tuple(map(line, lid.open_edges)), runs=runs(lid.runs), second_rows=runs(lid.second_rows),
        seats=tuple(replace(seat, point=point(seat.point)) for seat in lid.seats),
        screens=tuple(replace(screen, line=line(screen.line)) for screen in lid.screens),
    )  # fmt: skip
    return replace(layout, lid=lid, marks=tuple(replace(m, point=point(m.point)) for m in layout.marks))


@pytest.mark.thorough
@pytest.mark.parametrize("demo", ["bayou", "terraza"])
def test_a_patio_at_a_slant_is_as_cool(demo: str):
    """Steps of a cell where a wall is straight cost an eighth of the middle at the seats at most; the tenth
    and the ninetieth part of the draws a tenth of the wet bulb's depression."""
    project = files.parse_project(example_text(demo))
    weather = read_climate(climate_path(project.place.climate, None)) if project.place.climate else None
    airs = design.outdoor_conditions(weather, project.place)[:1]
    patio = project.patios[0]
    layout, _ = design.lay(patio)
    line, _ = design.solve_line(project.plumbing, (layout,))

    def seats(angle: float) -> tuple[float, float, float]:
        heading = project.heading(patio.name) + angle
        lid = turned(layout, angle)
        (cooled,) = cooling.afternoon_cooling(patio, lid, line, project.plumbing, airs, heading)
        return cooled.band("seats")

    straight = seats(0.0)
    for angle in SLANTS:
        slanted = seats(math.radians(angle))
        assert slanted[1] == pytest.approx(straight[1], rel=0.125), angle
        assert slanted == pytest.approx(straight, abs=1.2), angle


@pytest.mark.parametrize("angle", [*SLANTS, 44.9, 60, 89])
def test_walls_at_a_slant_shut_no_air_in_and_let_none_through(angle: float):
    """Whatever the slant, air changes about as it does without: no cell is walled off, no wall has a hole."""
    patio = files.parse_project(example_text("bayou")).patios[0]
    layout, _ = design.lay(patio)
    way = np.arange(16) * 2 * np.pi / 16
    straight = patio_airflow(geometry_of(patio, layout))
    slanted = patio_airflow(geometry_of(patio, turned(layout, math.radians(angle))))
    told = slanted.at("purge", way + math.radians(angle))
    assert told == pytest.approx(straight.at("purge", way), rel=0.6)
    assert told.mean() == pytest.approx(straight.at("purge", way).mean(), rel=0.2)
