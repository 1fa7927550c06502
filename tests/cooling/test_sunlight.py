"""Whether the sun reaches a seat: by tables worked elsewhere, by hand, and by light followed in steps."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from mistcalc import design, files
from mistcalc.cooling import sunlight
from mistcalc.cooling.house_blocks import Barrier, Block
from mistcalc.cooling.patio_geometry import Opening, PatioGeometry, geometry_of
from mistcalc.errors import InputError
from mistcalc.outdoor_air import sun_path
from tests.random_projects import project_text


def long_porch(height: float = 3.0, **changes) -> PatioGeometry:
    """A lid 400 m long and 20 m deep, open along x = 0 to the side of lesser x, no house: an edge alone."""
    side = ((0.0, 200.0), (0.0, -200.0))  # walked with the patio, x > 0, on the left
    kept = {
        "volume": 8000 * height, "height": height, "clear_height": height,
        "openings": (Opening(side, 400 * height, (-1.0, 0.0)),), "walls": (), "strips": (),
        "seats": ((2.0, 0.0),), "far_points": ((20.0, 0.0),),
        "outline": ((0.0, -200.0), (20.0, -200.0), (20.0, 200.0), (0.0, 200.0)),
    }  # fmt: skip
    return PatioGeometry(**(kept | changes))


# Underside of the edge 3.0 m up: (height, azimuth) of the sun and normal of the edge [degrees]; how deep
# the sun comes in at the floor and at 0.6 m [m]. Worked with pvlib's angles and plane trigonometry beside it.
DEPTHS = [
    ((30.710, 276.638), 270, 5.017, 4.013),
    ((39.119, 260.226), 270, 3.635, 2.908),
    ((18.590, 286.309), 270, 8.560, 6.848),
    ((19.166, 270.210), 270, 8.631, 6.905),
    ((40.762, 215.728), 180, 2.825, 2.260),
    ((25.810, 280.138), 225, 3.546, 2.837),
    ((16.792, 255.705), 270, 9.633, 7.707),
]


@pytest.mark.parametrize(("sun", "normal", "floor", "chest"), DEPTHS)
def test_the_sun_comes_in_as_deep_as_worked_elsewhere(sun, normal, floor, chest):
    """Half a percent either side of the depth a point is in the sun and in the shade."""
    height, azimuth = np.radians(sun)
    bearing = np.radians(normal) - np.pi  # the edge's outward way, 180 degrees in plan, faces `normal`
    toward = bearing - azimuth
    for z, depth in ((0.0, floor), (0.6, chest)):
        points = np.array([(depth * share, 0.0, z) for share in (0.995, 1.005)])
        lit = sunlight.reached(long_porch(), points, np.array([height]), np.array([toward]))
        assert lit[:, 0].tolist() == [1.0, 0.0]


def test_a_deeper_beam_a_hedge_and_a_house_before_the_edge_by_similar_triangles():
    """Sun square to the edge, 45 degrees up: it rises a meter for each meter out."""
    flat, up = np.array([np.pi]), np.array([np.pi / 4])

    def lit(x: float, z: float, **changes) -> float:
        return float(sunlight.reached(long_porch(**changes), np.array([(x, 0.0, z)]), up, flat)[0, 0])

    assert (lit(2.4, 0.5), lit(2.6, 0.5)) == (1.0, 0.0)  # at the edge 2.9 m up, and 3.1
    beam = {"clear_height": 2.5}
    assert (lit(1.9, 0.5, **beam), lit(2.1, 0.5, **beam)) == (1.0, 0.0)  # 2.4 and 2.6
    hedge = {"screens": (Barrier(((-1.0, 5.0), (-1.0, -5.0)), 2.0, 0.3),)}
    assert lit(0.6, 0.5, **hedge) == 1.0  # 2.1 m up where it stands
    assert lit(0.4, 0.5, **hedge) == pytest.approx(0.3)  # 1.9: what the hedge lets through
    house = {"house": (Block((-10.0, -5.0), (1.0, 0.0), 4.0, 10.0, 8.0),)}  # from x = -10 to -6
    assert (lit(1.6, 0.5, **house), lit(1.4, 0.5, **house)) == (1.0, 0.0)  # 8.1 and 7.9 at its near side


def test_the_sky_seen_from_under_a_straight_edge():
    """Two planes through a level line hold their angle over pi of a dome (a lune): here from the horizon up
    to a long edge."""
    for x in (0.5, 2.0, 6.0):
        ground = long_porch(seats=((x, 0.0),), walls=(((20.0, -200.0), (20.0, 200.0)),))
        share = np.arctan((3.0 - sunlight.CHEST) / x) / np.pi
        assert sunlight.seat_sky_views(ground)[0] == pytest.approx(share, abs=0.012)  # 512 directions


# ------------------------------------------------------------------ light followed in steps


def winding(x: float, y: float, corners) -> bool:
    """Inside a polygon by its winding angle: another rule than the one under test uses."""
    angle = np.angle([(cx - x) + 1j * (cy - y) for cx, cy in corners])
    turns = (np.diff(np.append(angle, angle[0])) + np.pi) % (2 * np.pi) - np.pi
    return bool(abs(turns.sum()) > np.pi)


def in_the_way(ground: PatioGeometry, p0: np.ndarray, p1: np.ndarray) -> bool:
    """Whether a short step of light from p0 to p1 passes the lid, the house, or a shut screen."""
    if p0[2] < ground.height <= p1[2] and winding(*p1[:2], ground.outline):
        return True
    if any(p1[2] < block.height and winding(*p1[:2], block.corners) for block in ground.house):
        return True
    thin = [(wall, ground.height) for wall in ground.walls]
    thin += [(screen.side, screen.height) for screen in ground.screens]
    for side, top in thin:
        a, b = (np.array(end) for end in side)
        t0, t1 = (across(b - a, p[:2] - a) for p in (p0, p1))
        s0, s1 = (across(p1[:2] - p0[:2], end - p0[:2]) for end in (a, b))
        if t0 * t1 < 0 and s0 * s1 < 0 and p1[2] < top:
            return True
    return False


def across(a: np.ndarray, b: np.ndarray) -> float:
    return float(a[0] * b[1] - a[1] * b[0])


def followed(ground: PatioGeometry, point, height: float, toward: float) -> bool:
    step = 0.03
    way = step * np.array([np.cos(toward) * np.cos(height), np.sin(toward) * np.cos(height), np.sin(height)])
    here = np.array(point, dtype=float)
    for _ in range(int(40 / step)):
        there = here + way
        if in_the_way(ground, here, there):
            return False
        here = there
        if here[2] > 14.0:
            break
    return True


@pytest.mark.thorough
@pytest.mark.parametrize("seed", range(8))
def test_light_followed_in_small_steps_agrees_on_random_patios(seed):
    """Ray by ray on lids, houses and screens of random projects. A ray that passes within a few steps of a
    corner may fall to either side, so a few in a hundred may differ."""
    try:
        project = files.parse_project(project_text(seed * 7 + 3), "random.toml")
    except InputError:
        pytest.skip("no project")
    rng = np.random.default_rng(seed)
    patio = project.patios[0]
    ground = geometry_of(patio, design.lay(patio)[0])
    ground = replace(
        ground,
        clear_height=ground.height,
        screens=tuple(replace(s, open=0.0) for s in ground.screens),
    )
    if ground.height > 12 or max((b.height for b in ground.house), default=0) > 13:
        ground = replace(ground, house=tuple(replace(b, height=min(b.height, 13.0)) for b in ground.house))
    seats = np.array(ground.seats)[:2]
    points = np.column_stack([seats, rng.uniform(0.4, min(1.3, ground.height * 0.8), len(seats))])
    height, toward = rng.uniform(0.15, 1.4, 20), rng.uniform(0, 2 * np.pi, 20)
    ours = sunlight.reached(ground, points, height, toward) > 0
    stepped = np.array(
        [[followed(ground, p, h, a) for h, a in zip(height, toward, strict=True)] for p in points]
    )
    assert (ours != stepped).mean() <= 0.03


# ------------------------------------------------------------------ seats through the year


def porch_facing(heading: float):
    """A porch 24 ft long and 12 deep before a wide house, whose open edge looks to `heading` degrees."""
    bearing = (heading - 90) % 360
    text = f"""format = 1
name = "x"
place = {{ elevation = "1190 m", climate = "el-paso", bearing = "{bearing} deg", surroundings = "open" }}
pump = {{ set_pressure = "1000 psi" }}
control = {{ hours = ["2 pm", "8 pm"], months = ["May", "Sep"] }}
[[patio]]
name = "porch"
height = "10 ft"
depth = "12 ft"
house = {{ above_lid = "4 ft", past_start = "40 ft", past_end = "40 ft", depth = "30 ft" }}
[[patio.run]]
name = "A"
length = "24 ft"
starts_at = "open"
ends_at = "open"
[[patio.seat]]
name = "bench"
run = "A"
along = "12 ft"
back = "5 ft"
[line]
nozzle = {{ flow = "0.03 gpm", at = "1000 psi" }}
"""
    project = files.parse_project(text, "x.toml")
    weather = files.read_climate("el-paso")
    patio = project.patios[0]
    laid, _ = design.lay(patio)
    sun, found = design.sun_on_patio(patio, laid, project.place, project.control, weather)
    return project, weather, laid, sun, found


def test_a_west_porch_has_the_evening_sun_and_an_east_one_none():
    project, _, _, west, found = porch_facing(270)
    assert {spell.month for spell in west.spells} == {4, 5, 6, 7, 8}
    path = sun_path(files.read_climate("el-paso"), project.place, 2026)
    for spell in west.spells:
        # By hand: most of a body, from 0.85 m down, is reached with the sun so low over the edge 5 ft off.
        started = np.flatnonzero(np.isclose(path.clock, spell.start))[0]
        low = np.arctan((10 * 0.3048 - 0.85) / (5 * 0.3048))
        off = np.cos(path.azimuth[spell.month] - np.radians(270))
        seen = np.arctan2(np.tan(path.height[spell.month]), off)[[started - 1, started]]
        assert seen[0] > low >= seen[1]
    assert [f.code for f in found] == ["seats-in-sun", "sun-shade"]
    _, _, _, east, found = porch_facing(90)  # the house stands in the way
    assert ([spell for spell in east.spells if spell.end > 14], found) == ([], ())
    _, _, _, north, _ = porch_facing(0)  # the sun far round in the northwest, past the open end there too
    assert {screen.where for screen in north.screens} == {"edge", "end"}


def rays_in_use(heading: float):
    """(ground, what was found, height and plan direction of the sun at all moments of use)."""
    project, weather, laid, sun, _ = porch_facing(heading)
    path = sun_path(weather, project.place, 2026)
    shining = sun.used & (path.height > 0)
    toward = project.place.bearing - path.azimuth[shining]
    return geometry_of(project.patios[0], laid), sun, path.height[shining], toward


@pytest.mark.parametrize("heading", [200, 225, 250, 270, 300])
def test_the_shades_told_keep_the_sun_off_and_nothing_less_does(heading):
    ground, sun, height, toward = rays_in_use(heading)
    points = np.array([(x, y, z) for x, y in ground.seats for z in sunlight.BODY])
    assert sunlight.reached(ground, points, height, toward).max() > 0
    for missing, dark in ((-1e-6, True), (0.05, False)):
        shades = tuple(
            sunlight.Upright(grown(screen.line), ground.height - screen.drop + missing, ground.height)
            for screen in sun.screens
        )
        assert bool(sunlight.reached(ground, points, height, toward, shades).max() == 0.0) is dark
    narrow = tuple(
        sunlight.Upright(grown(screen.line, -0.05), ground.height - screen.drop - 1e-6, ground.height)
        for screen in sun.screens
    )
    assert sunlight.reached(ground, points, height, toward, narrow).max() > 0.0


def grown(line, by: float = 1e-6):
    a, b = (np.array(end) for end in line)
    way = (b - a) / np.hypot(*(b - a))
    return tuple(a - by * way), tuple(b + by * way)


def test_a_lid_so_much_wider_shades_as_well():
    ground, sun, height, toward = rays_in_use(270)
    (screen,) = [one for one in sun.screens if one.where == "edge"]
    edge = min(y for _, y in ground.outline)
    for wider, dark in ((screen.wider + 1e-6, True), (screen.wider - 0.1, False)):
        outline = tuple((40 * x - 140, y - wider if y < edge + 0.1 else y) for x, y in ground.outline)
        there = replace(ground, outline=outline, house=())
        assert bool(sunlight.body_lit(there, height, toward).max() == 0.0) is dark


def test_a_patio_without_seat_or_mark_has_no_seat_in_the_sun():
    bare = long_porch(seats=())
    height, toward = np.array([0.5, 0.7]), np.array([np.pi, 0.0])
    assert sunlight.body_lit(bare, height, toward).shape == (0, 2)
    assert sunlight.seat_sky_views(bare).shape == (0,)
