"""The house as blocks and the screens before the open sides, against rectangles drawn by hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from mistcalc import files
from mistcalc.cooling.airflow import patio_airflow
from mistcalc.cooling.patio_geometry import PatioGeometry, geometry_of, inside_of
from mistcalc.layout import lay
from mistcalc.model.project import House, Patio
from tests.files.test_around_the_patio import PATIO
from tests.layout.random_lids import lid

HEAD = f'{PATIO}height = "2.8 m"\n'
Box = tuple[float, float, float, float]


def patio_of(*runs: str, more: str = "", after: str = "") -> Patio:
    """A patio 3 m deep; each run as "length then ends"; `more` for the patio, `after` behind its runs."""
    text = HEAD + more + "\n"
    for name, run in zip("ABC", runs, strict=False):
        text += f'[[patio.run]]\nname = "{name}"\n{run}\n'
    return files.parse_project(text + after).patios[0]


def ground_of(patio: Patio) -> PatioGeometry:
    return geometry_of(patio, lay(patio))


def boxes(found: PatioGeometry) -> set[Box]:
    """(x0, y0, x1, y1) of every block, to the millimetre."""
    out = set()
    for block in found.house:
        xs, ys = zip(*block.corners, strict=True)
        out.add(tuple(round(v, 3) + 0.0 for v in (min(xs), min(ys), max(xs), max(ys))))
    return out


STRAIGHT = 'length = "6 m"'
WALLS = 'house = { past_start = "1 m", past_end = "2 m", depth = "5 m" }'


def test_straight_between_walls_has_a_house_behind_and_a_wing_at_each_end():
    found = ground_of(patio_of(STRAIGHT, more=WALLS.replace("house = {", 'house = { above_lid = "3 m",')))
    assert boxes(found) == {(-1, 3, 8, 8), (-1, 0, 0, 8), (6, 0, 8, 8)}
    assert {block.height for block in found.house} == {5.8}


def test_open_ends_have_no_wing():
    found = ground_of(patio_of(STRAIGHT + '\nstarts_at = "open"\nends_at = "open"', more=WALLS))
    assert boxes(found) == {(-1, 3, 8, 8)}
    assert {block.height for block in found.house} == {2.8}


def test_what_the_file_does_not_say_is_three_metres_past_and_nine_deep():
    assert boxes(ground_of(patio_of(STRAIGHT))) == {(-3, 3, 9, 12), (-3, 0, 0, 12), (6, 0, 9, 12)}


def test_a_wall_where_the_house_ends_has_its_thickness_still():
    found = ground_of(patio_of(STRAIGHT, more='house = { past_start = "0 m", past_end = "0 m" }'))
    assert boxes(found) == {(0, 3, 6, 12), (-0.2, 0, 0, 12), (6, 0, 6.2, 12)}


def test_a_wall_with_no_house_behind_it_has_its_thickness_and_an_answer():
    found = ground_of(
        patio_of(STRAIGHT + '\nstarts_at = "open"\nends_at = "open"',
                 more='house = { past_start = "0 m", past_end = "0 m", depth = "1 mm" }')
    )  # fmt: skip
    assert boxes(found) == {(0, 3, 6, 3.2)}
    assert np.all(np.isfinite(patio_airflow(found).purge))


def test_court_has_a_house_behind_each_run_and_in_its_outer_corner():
    """Run A heads +x, B turns right to -y: the house stands north of A and east of B."""
    found = ground_of(patio_of('length = "6 m"\nthen = "inside corner"', 'length = "4 m"', more=WALLS))
    behind = {(-1, 3, 14, 8), (9, -6, 14, 8)}  # both as far as the outer corner
    assert boxes(found) == behind | {(-1, 0, 0, 8), (6, -6, 14, -4)}


def test_wrapped_house_stands_inside_the_corner():
    """Run A heads +x, B turns left to +y: the house stands north of A and west of B."""
    open_ends = (
        'length = "9 m"\nstarts_at = "open"\nthen = "outside corner"',
        'length = "8 m"\nends_at = "open"',
    )
    assert boxes(ground_of(patio_of(*open_ends, more=WALLS))) == {(-1, 3, 6, 8), (1, 3, 6, 10)}


def test_house_in_a_wrapped_u_ends_at_the_wall_across():
    """A heads +x, B +y, C -x: what is behind A and C is the same house, as deep as there is between lids."""
    runs = (
        'length = "9 m"\nstarts_at = "open"\nthen = "outside corner"',
        'length = "10 m"\nthen = "outside corner"',
        'length = "9 m"\nends_at = "open"',
    )
    found = ground_of(patio_of(*runs, more='house = { past_start = "1 m", past_end = "2 m" }'))
    assert boxes(found) == {(-1, 3, 6, 7), (-3, 3, 6, 7), (-2, 3, 6, 7)}


def test_court_of_three_sides():
    """A heads +x, B -y, C -x: the house goes round outside all three."""
    inner = 'length = "5 m"\nthen = "inside corner"'
    found = ground_of(patio_of(inner, inner, 'length = "5 m"', more=WALLS))
    behind = {(-1, 3, 13, 8), (8, -13, 13, 8), (-2, -13, 13, -8)}
    assert boxes(found) == behind | {(-1, 0, 0, 8), (-2, -13, 0, -5)}


def test_breezeway_has_wings_alone_and_lets_air_through():
    found = ground_of(patio_of(STRAIGHT, more='back = "open"\n' + WALLS))
    assert boxes(found) == {(-1, 0, 0, 8), (6, 0, 8, 8)}
    assert [(o.side, o.outward) for o in found.openings] == [
        (((0, 0), (6, 0)), (0, -1)),
        (((6, 3), (0, 3)), (0, 1)),
    ]
    assert len(found.walls) == 2


def open_length(ground: PatioGeometry) -> float:
    """m of open side, in plan."""
    return sum(float(np.hypot(*np.subtract(*opening.side))) for opening in ground.openings)


def test_free_standing_lid_has_no_house_and_is_open_all_round():
    found = ground_of(patio_of(STRAIGHT + '\nstarts_at = "open"\nends_at = "open"', more='back = "open"'))
    assert found.house == () and found.walls == ()
    assert {o.outward for o in found.openings} == {(0, -1), (0, 1), (1, 0), (-1, 0)}
    assert open_length(found) == pytest.approx(18)


@pytest.mark.parametrize("corner", ["inside", "outside"])
def test_every_open_side_of_a_free_standing_l_points_out_of_it(corner: str):
    runs = f'length = "6 m"\nstarts_at = "open"\nthen = "{corner} corner"', 'length = "5 m"\nends_at = "open"'
    found = ground_of(patio_of(*runs, more='back = "open"'))
    outline = np.asarray(found.outline)
    assert open_length(found) == pytest.approx(sum(np.hypot(*(np.roll(outline, -1, 0) - outline).T)))
    for opening in found.openings:
        middle = np.mean(opening.side, axis=0)
        out, back = (middle + sign * 0.01 * np.array(opening.outward) for sign in (1, -1))
        assert inside_of(*np.column_stack([out, back]), outline).tolist() == [False, True]


# ------------------------------------------------------------------ screens

SCREEN = '[[patio.screen]]\nname = "hedge"\nrun = "A"\nheight = "1.5 m"\n'


@pytest.mark.parametrize(
    ("more", "side"),
    [
        ("", ((0, 0), (6, 0))),
        ('from = "1 m"\nto = "3 m"\nout = "2 m"', ((1, -2), (3, -2))),
        ('from = "3 m"\nto = "1 m"', ((1, 0), (3, 0))),
        ('side = "start"\nout = "1 m"', ((-1, 3), (-1, 0))),
        ('side = "end"', ((6, 0), (6, 3))),
        ('side = "back"\nout = "1 m"', ((6, 4), (0, 4))),
        ('side = "back"\nfrom = "1 m"\nto = "3 m"', ((3, 3), (1, 3))),
    ],
)
def test_a_screen_stands_where_it_is_said_to(more: str, side: object):
    run = STRAIGHT + '\nstarts_at = "open"\nends_at = "open"'
    (found,) = ground_of(patio_of(run, more='back = "open"', after=SCREEN + more)).screens
    assert found.side == side and (found.height, found.open) == (1.5, 0)


def test_a_screen_is_measured_from_its_runs_datum():
    """Run B of a court ends at a wall, where its tape is hooked; it goes from (6, 0) to (6, -4)."""
    hedge = SCREEN.replace('"A"', '"B"') + 'from = "0 m"\nto = "1 m"\nopen = "50 %"'
    runs = 'length = "6 m"\nthen = "inside corner"', 'length = "4 m"'
    (found,) = ground_of(patio_of(*runs, after=hedge)).screens
    assert found.side == ((6, -3), (6, -4)) and found.open == 0.5


def test_a_screen_behind_a_free_standing_court_goes_round_its_corner():
    runs = 'length = "6 m"\nstarts_at = "open"\nthen = "inside corner"', 'length = "4 m"\nends_at = "open"'
    (found,) = ground_of(patio_of(*runs, more='back = "open"', after=SCREEN + 'side = "back"')).screens
    assert found.side == ((9, 3), (0, 3))


# ------------------------------------------------------------------ what the cold runs out by

OPEN_L = 'length = "6 m"\nstarts_at = "open"\nthen = "inside corner"', 'length = "4 m"\nends_at = "open"'


@pytest.mark.parametrize(
    ("runs", "long"),
    [
        ((STRAIGHT + '\nstarts_at = "open"\nends_at = "open"',), 6 + 3 + 3),
        ((OPEN_L[0].replace("inside", "outside"), OPEN_L[1]), 6 + 4 + 3 + 3),
        (OPEN_L, np.hypot(6, 4) + 3 + 3),
        (('length = "2 m"\nstarts_at = "open"\nthen = "straight on"', OPEN_L[0].split("starts")[0].replace(
            "6", "4") + 'then = "inside corner"', OPEN_L[1]), np.hypot(6, 4) + 3 + 3),
        (('length = "4 m"\nthen = "inside corner"',) * 2 + ('length = "4 m"',), 2 * np.hypot(4, 2)),
    ],
)  # fmt: skip
def test_the_cold_runs_out_by_the_line_across_an_inner_corner(runs: tuple[str, ...], long: float):
    """Straight; round a house; in the corner of one, also with an edge in two pieces; round a court."""
    found = ground_of(patio_of(*runs))
    assert found.open_area == pytest.approx(long * found.clear_height)


@pytest.mark.parametrize("seed", range(40))
def test_there_is_always_less_to_run_out_by_and_never_nothing(seed: int):
    found = ground_of(lid(seed))
    sides = sum(opening.area for opening in found.openings)
    assert sides / 2 < found.open_area <= sides + 1e-9 or sides == found.open_area == 0


# ------------------------------------------------------------------ any lid


@pytest.mark.parametrize("seed", range(40))
def test_no_block_reaches_into_the_lid(seed: int):
    """Sampled in plan every 10 cm; the house is larger than most lids."""
    patio = replace(lid(seed), house=House(1.0, 7.0, 20.0, 15.0))
    found = ground_of(patio)
    outline = np.asarray(found.outline)
    low, high = outline.min(axis=0), outline.max(axis=0)
    x, y = (g.ravel() for g in np.meshgrid(*(np.arange(low[i], high[i], 0.1) + 0.05 for i in (0, 1))))
    covered = inside_of(x, y, outline)
    assert found.house
    for block in found.house:
        xs, ys = zip(*block.corners, strict=True)
        within = (x > min(xs) + 1e-3) & (x < max(xs) - 1e-3) & (y > min(ys) + 1e-3) & (y < max(ys) - 1e-3)
        assert not (within & covered).any(), block
