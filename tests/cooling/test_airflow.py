"""Air under the lid: what a potential flow must do, what a lee must do, and no patio without an answer."""

from __future__ import annotations

import dataclasses
from itertools import pairwise

import numpy as np
import pytest

from mistcalc import design, files
from mistcalc.cooling.airflow import WAYS, PatioAirflow, _Flow, patio_airflow
from mistcalc.cooling.balance import solve_balance
from mistcalc.cooling.case import case_in
from mistcalc.cooling.house_blocks import Barrier, Block
from mistcalc.cooling.lee import _corner, pockets, wind_obstacles, wind_without_lid
from mistcalc.cooling.patio_geometry import PatioGeometry, geometry_of
from mistcalc.cooling.place_air import PlaceAir
from mistcalc.cooling.plan_cells import cells_of
from tests.cooling.test_balance import case, plain, porch
from tests.random_projects import project_text

TO_X, TO_HOUSE, FROM_HOUSE = 0.0, np.pi / 2, 3 * np.pi / 2


def free_standing() -> PatioGeometry:
    """The porch of 6 x 4 x 3 m with nothing round it."""
    lid = porch()
    closed = lid.walls[0]
    (xa, _), (xb, _) = closed
    back = dataclasses.replace(lid.openings[0], side=closed, area=abs(xb - xa) * 3.0, outward=(0.0, 1.0))
    return dataclasses.replace(lid, walls=(), openings=(*lid.openings, back))


def with_house(depth: float = 8.0, height: float = 3.0) -> PatioGeometry:
    block = Block((-3.0, 4.0), (1.0, 0.0), 12.0, depth, height)
    return dataclasses.replace(porch(), house=(block,))


def passage() -> PatioGeometry:
    """The same lid between two walls, its front and back open."""
    walls = Block((-3.0, 0.0), (1.0, 0.0), 3.0, 4.0, 3.0), Block((6.0, 0.0), (1.0, 0.0), 3.0, 4.0, 3.0)
    ends = ((0.0, 4.0), (0.0, 0.0)), ((6.0, 0.0), (6.0, 4.0))
    front, back = (o for o in free_standing().openings if abs(o.outward[1]) == 1.0)
    return dataclasses.replace(porch(), openings=(front, back), walls=ends, house=walls)


def dead_end() -> PatioGeometry:
    """The same lid with the house behind it and a wing at either end: three walls."""
    lid = with_house()
    wings = tuple(Block((x, 0.0), (1.0, 0.0), 3.0, 4.0, 3.0) for x in (-3.0, 6.0))
    ends = tuple(o for o in lid.openings if o.side[0][0] == o.side[1][0])
    return dataclasses.replace(
        lid,
        house=(*lid.house, *wings),
        walls=(*lid.walls, *(o.side for o in ends)),
        openings=tuple(o for o in lid.openings if o not in ends),
    )


def at(told: PatioAirflow, name: str, toward: float) -> np.ndarray:
    return told.at(name, np.array(toward))


@pytest.mark.parametrize("toward", [0.0, np.pi / 2, 2.0])
def test_a_free_standing_lid_lets_the_wind_through_as_it_is(toward):
    told = patio_airflow(free_standing())
    assert at(told, "moves", toward) == pytest.approx([np.cos(toward), np.sin(toward)], abs=0.01)
    assert at(told, "speed", toward) == pytest.approx(1.0, abs=0.01)
    assert at(told, "in_lee", toward) == 0.0


@pytest.mark.parametrize("lid", [porch(), with_house(), with_house(height=6.0), passage(), dead_end()])
@pytest.mark.parametrize("toward", [0.0, 0.7, np.pi / 2, 4.0])
def test_no_air_is_lost_under_the_lid(lid, toward):
    """What comes into a cell leaves it, to 1e-9 of what passes; the wall lets none through."""
    cells = cells_of(lid)
    flow = _Flow(cells, lid)
    wind, _, shut = wind_without_lid(cells, wind_obstacles(lid), toward)
    through = flow._through(wind, shut)
    left = np.zeros(cells.lid.size)
    for f, q in zip(cells.faces, through, strict=True):
        np.add.at(left, f.low, q)
        np.add.at(left, f.high, -q)
        if q.size:
            assert np.all(np.abs(q[f.open == 0.0]) == 0.0)
    assert np.abs(left[cells.lid]).max() < 1e-9


def test_both_tracers_leave_as_fast_as_they_are_fed():
    """With the nozzles spread evenly over the lid both tracers are one."""
    lid = with_house()
    xs, ys = np.meshgrid(np.arange(0.25, 6, 0.5), np.arange(0.25, 4, 0.5))
    strips = tuple(
        dataclasses.replace(lid.strips[0], first=(0.0, float(y)), places=tuple(xs[0].tolist()), outside=1.0)
        for y in ys[:, 0]
    )
    told = patio_airflow(dataclasses.replace(lid, strips=strips))
    assert at(told, "kept", TO_HOUSE) == pytest.approx(1.0, abs=1e-6)


def test_onto_the_open_side_the_cold_goes_to_the_wall_and_along_the_edge_it_is_a_ribbon():
    lid = dataclasses.replace(with_house(), seats=((3.0, 1.65), (3.0, 3.6)))
    told = patio_airflow(lid)
    seat, wall = at(told, "held_seats", TO_HOUSE)
    assert wall > 1.1 * seat
    seat, wall = at(told, "held_seats", TO_X)
    assert seat < 0.25 and wall < 0.05


def test_in_the_lee_the_air_comes_back_to_the_house_slowly():
    """A fifth of the wind at the roof, 0.1-0.3 (Drivas & Shair 1974, tracer in a wake, second-hand)."""
    told = patio_airflow(with_house())
    roof = (3.0 / 1.5) ** 0.22
    x, y = at(told, "moves", FROM_HOUSE)
    assert y > 0 and abs(x) < 0.05
    assert 0.1 <= float(at(told, "comes_in", FROM_HOUSE)) / roof <= 0.3
    assert at(told, "in_lee", FROM_HOUSE) == pytest.approx(1.0)
    assert at(told, "held_seats", FROM_HOUSE) == pytest.approx(1.0)
    assert 3.0 < at(told, "flush", FROM_HOUSE) < 12.0


def wind_at(lid: PatioGeometry, toward: float, points: list[tuple[float, float]]) -> np.ndarray:
    """Of the wind without the lid, its part along x at points, [point]."""
    cells = cells_of(lid)
    wind, *_ = wind_without_lid(cells, wind_obstacles(lid), toward)
    return wind[0, [np.hypot(cells.middle[0] - x, cells.middle[1] - y).argmin() for x, y in points]]


def test_along_a_wall_the_wind_stands_off_from_the_corner_it_comes_by():
    """House 12 m long, 8 deep, 3 high: R 4.16 m. Still to 3.7 m from its corner, slow to 11 m, 1.1 m deep at
    most; beyond that as it was. Coming at the wall more steeply than 15 degrees it stays on it."""
    near, far = [(-1.5, 3.75), (1.5, 3.75), (5.5, 3.75)], [(-1.5, 2.2), (5.5, 2.2)]
    still, slow, slower = wind_at(with_house(), TO_X, near)
    assert still == pytest.approx(0.0, abs=1e-9) and 0.0 < slow < slower < 1.0
    assert wind_at(with_house(), TO_X, far) == pytest.approx([1.0, 1.0])
    assert wind_at(with_house(), TO_X + np.radians(20), near) == pytest.approx(np.cos(np.radians(20)))


def test_only_at_a_corner_that_stands_out_does_the_wind_leave_the_wall():
    """Not where a wing stands before the wall's upwind end, nor where another block carries the wall on."""
    house = with_house().house[0]
    wing, more = Block((-3.0, 0.0), (1.0, 0.0), 3.0, 4.0, 3.0), Block((-9.0, 4.0), (1.0, 0.0), 6.0, 8.0, 3.0)
    upwind, other = ((-3.0, 4.0), (1.0, 0.0), (0.0, -1.0)), ((9.0, 4.0), (-1.0, 0.0), (0.0, -1.0))
    assert _corner((house,), *upwind)
    assert not _corner((house, wing), *upwind) and not _corner((house, more), *upwind)
    assert _corner((house, wing), *other) and _corner((house, more), *other)


def test_an_inner_corner_that_the_wind_blows_into_along_a_wall_holds_an_eddy():
    """The wind runs 10 m along a wing's side and meets 10 m of wall: a triangle of 10 by 6 m in the corner.
    A wing that ends where the wall is nearer than 0.6 of its width sheds nothing."""

    def eddy(length: float, toward: float = TO_HOUSE) -> tuple[np.ndarray, float]:
        house = (
            Block((-3.0, 4.0), (1.0, 0.0), 18.0, 8.0, 3.0),
            Block((7.0, 4.0 - length), (1.0, 0.0), 8.0, length, 3.0),
        )
        lid = dataclasses.replace(porch(), house=house)
        cells = cells_of(lid)
        deep, mouth = pockets(cells, wind_obstacles(lid), toward)
        x, y = cells.middle
        places = [
            np.hypot(x - a, y - b).argmin() for a, b in ((6.5, 3.5), (2.0, 3.5), (0.2, 3.5), (3.0, 0.5))
        ]
        return deep[places], mouth

    corner, mouth = eddy(10.0)
    assert corner == pytest.approx([1.0, 1.0, 0.0, 0.0]) and mouth == pytest.approx(np.hypot(10, 6))
    for other in (eddy(5.0), eddy(10.0, TO_HOUSE + np.radians(16)), eddy(10.0, FROM_HOUSE)):
        assert np.all(other[0] == 0.0) and other[1] == 0.0


def test_what_comes_in_by_the_mouth_of_a_passage_is_not_the_lees():
    """Wind slanting into a passage: a quarter of it lies in one wall's lee, and breathes outdoor air."""
    told = patio_airflow(passage())
    assert at(told, "in_lee", np.pi / 4) > 0.2
    assert at(told, "returns", np.pi / 4) < 0.1
    assert at(patio_airflow(with_house()), "returns", FROM_HOUSE) > 0.9


def motion_at(lid: PatioGeometry, toward: float, points: list[tuple[float, float]]) -> np.ndarray:
    """Of the air's motion under the lid, [2, point]."""
    cells = cells_of(lid)
    flow = _Flow(cells, lid)
    wind, _, shut = wind_without_lid(cells, wind_obstacles(lid), toward)
    return cells.holding(np.array(points)).mean(flow._motion(flow._through(wind, shut)))


def test_a_slanting_wind_goes_through_a_passage_beside_dead_air():
    """Of 6 m the stream at the far end is pi/(pi + 2), 3.7 m (Kirchhoff's free streamlines); the less goes
    through the more the wind slants."""
    far_end = motion_at(passage(), np.pi / 4, [(0.75, 3.75), (1.75, 3.75), (3.75, 3.75), (5.25, 3.75)])[1]
    assert np.all(np.abs(far_end[:2]) < 0.1) and np.all(far_end[2:] > 0.7)
    quarter = patio_airflow(passage()).purge[: WAYS // 4 + 1]  # from along the front to square onto it
    assert np.all(np.diff(quarter) > 0)


@pytest.mark.parametrize("slant", [22.5, 45.0])
def test_in_a_dead_end_a_slanting_wind_turns_nothing_round(slant):
    """The wind that left one wing strikes the wall behind: what lies between stands, all but for gusts."""
    told = patio_airflow(dead_end())
    assert at(told, "speed", TO_HOUSE - np.radians(slant)) < 0.25
    corner = motion_at(dead_end(), TO_HOUSE - np.radians(slant), [(0.75, 3.25), (0.75, 1.75)])
    assert np.hypot(*corner).max() < 0.1


def test_the_lee_ends_without_a_jump():
    """A deep lid, the house a centimeter deeper or higher: the air moves as much more or less as that is."""

    def motion(deeper: float, higher: float) -> float:
        lid = with_house(depth=2.0 + deeper, height=1.2 + higher)
        return float(at(patio_airflow(lid), "moves", FROM_HOUSE)[1])

    for step in (0.01, 0.02, 0.03, 0.04, 0.05):
        assert motion(step, 0.0) == pytest.approx(motion(step - 0.01, 0.0), abs=0.03)
        assert motion(0.0, step) == pytest.approx(motion(0.0, step - 0.01), abs=0.03)


def test_mirrored_patios_mirror():
    lid = with_house()
    row = dataclasses.replace(
        lid.strips[0], first=(0.0, 0.15), places=tuple(0.3 + 0.6 * i for i in range(10))
    )
    told = patio_airflow(dataclasses.replace(lid, strips=(row,), seats=((1.25, 1.6), (4.75, 1.6))))
    for angle in (0.3, 1.2, 2.0, 4.0):
        one, other = at(told, "held_seats", angle), at(told, "held_seats", np.pi - angle)
        assert one == pytest.approx(other[::-1], rel=0.12)  # rays that meet a corner
        assert at(told, "purge", angle) == pytest.approx(float(at(told, "purge", np.pi - angle)), rel=0.02)


def test_a_screen_keeps_air_out_the_more_the_taller_and_tighter_it_is():
    side = ((0.0, 0.0), (6.0, 0.0))

    def purge(height: float, open_share: float) -> float:
        screened = dataclasses.replace(with_house(), screens=(Barrier(side, height, open_share),))
        return float(at(patio_airflow(screened), "purge", TO_HOUSE))

    bare = float(at(patio_airflow(with_house()), "purge", TO_HOUSE))
    tight = [purge(h, 0.0) for h in (0.5, 1.5, 2.0)]
    assert bare > tight[0] and all(a > b for a, b in pairwise(tight))
    assert all(
        purge(h, 0.0) < 0.5 * bare for h in (2.0, 2.5, 3.0)
    )  # a full one turns the air round behind it
    assert purge(2.5, 0.8) > purge(2.5, 0.2)


@pytest.mark.parametrize("out", [0.0, 0.01, 0.03, 0.049, 0.06])
def test_a_screen_that_stands_a_hair_outside_is_there(out):
    side = ((6.0 + out, 0.0), (6.0 + out, 4.0))
    told = patio_airflow(dataclasses.replace(free_standing(), screens=(Barrier(side, 3.0, 0.0),)))
    bare = patio_airflow(free_standing())
    assert at(told, "purge", np.pi) < 0.7 * at(bare, "purge", np.pi)


def test_a_wall_and_a_screen_as_high_and_tight_make_much_the_same_lee():
    """Wind from behind a lid: a house wall, or a screen without a hole at its open back."""
    screen = Barrier(((6.0, 4.0), (0.0, 4.0)), 3.0, 0.0)
    wall = patio_airflow(with_house(depth=0.2))
    screened = patio_airflow(dataclasses.replace(free_standing(), screens=(screen,)))
    loose = patio_airflow(
        dataclasses.replace(free_standing(), screens=(dataclasses.replace(screen, open=0.9),))
    )
    for told in (wall, screened):
        assert at(told, "in_lee", FROM_HOUSE) == pytest.approx(1.0)
        assert at(told, "moves", FROM_HOUSE)[1] > 0.05
    assert at(loose, "moves", FROM_HOUSE)[1] < -0.5
    assert at(loose, "in_lee", FROM_HOUSE) == pytest.approx(0.1)


def test_a_dead_end_is_moved_by_gusts():
    """Three walls, wind onto the open side: a tenth of the wind at least, at the nozzles and on people."""
    shut = dead_end()
    assert at(patio_airflow(shut), "speed", TO_HOUSE) >= 0.1
    c = case(40.0, 0.15, plain(), np.array([[1.0, 3.0, 10.0, 20.0]]))
    asked = case_in(shut, c.spray, c.plumbing, c.outdoors, c.unknowns, c.wind, c.wind_toward)
    found = PlaceAir(asked, solve_balance(asked)).found().drop["near_line"][0]
    assert np.all(np.diff(found) < 0)


def test_a_lid_with_no_open_side_still_has_an_answer():
    lid = porch()
    walls = (*lid.walls, *(o.side for o in lid.openings))
    told = patio_airflow(dataclasses.replace(lid, openings=(), walls=walls))
    assert np.all(np.isfinite(told.purge)) and np.all(told.purge < 1e-3)


# The last: a lid wound round a house that shuts a pocket of it in; the job stopped there.
MANY = [pytest.param(seed, marks=pytest.mark.thorough if seed > 5 else ()) for seed in (*range(60), 352)]


@pytest.mark.thorough
@pytest.mark.parametrize("seed", MANY)
def test_any_patio_has_an_answer(seed):
    project = files.parse_project(project_text(seed), "random")
    for patio in project.patios:
        laid, _ = design.lay(patio)
        lid = geometry_of(patio, laid)
        if not lid.strips:
            continue
        told = patio_airflow(lid)
        for name in ("purge", "kept", "held_seats", "held_near_line", "held_far_edge", "held", "speed"):
            table = getattr(told, name)
            assert table.shape[-1] == WAYS
            assert np.all(np.isfinite(table)) and np.all(table >= -1e-9), name
        assert np.all(told.purge > 0)
        assert np.all((told.in_lee >= 0) & (told.in_lee <= 1 + 1e-9))
        assert told.speed.max() < 2.0


@pytest.mark.parametrize("seed", [9, 15, 29])
def test_the_order_of_the_house_s_walls_is_no_matter(seed):
    """Lids wound round a house, whose walls make a pocket and a passage at once."""
    patio = files.parse_project(project_text(seed)).patios[0]
    ground = geometry_of(patio, design.lay(patio)[0])
    cells, obstacles = cells_of(ground), wind_obstacles(ground)
    for way in range(WAYS):
        toward = way * 2 * np.pi / WAYS
        told = (wind_without_lid(cells, order, toward) for order in (obstacles, obstacles[::-1]))
        for one, two in zip(*told, strict=True):
            assert np.allclose(one, two, rtol=0, atol=1e-9), way
