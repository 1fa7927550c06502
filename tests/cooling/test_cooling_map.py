"""The patio in plan: what the plumes carry is in the field, what lands is on the map, and limits."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from mistcalc import cooling, design
from mistcalc.cooling import balance, plume_field
from mistcalc.cooling.case import case_in
from mistcalc.cooling.cooling_map import picture
from mistcalc.cooling.patio_geometry import NozzleRow
from mistcalc.cooling.stratification import air_at
from mistcalc.physics import air
from tests.cooling.test_balance import case, courtyard, plain

NORTH = np.pi / 2  # toward the house wall of `porch`, square to its line
SLANTING = np.radians(61.5)  # in the yard; under the lid, along the wall more, 46 deg
GAP = 0.6096
DRY, HUMID = (40.0, 0.15), (33.0, 0.60)


def porch_case(weather, speed: float, toward: float = NORTH, back: float = 2.0):
    """Eight nozzles in a row across the middle of the 6 x 4 m porch, alike to its left and right."""
    c = case(*weather, plain(), np.array([[speed]]))
    strip = NozzleRow("A", (3.0 - 3.5 * GAP, back), (1.0, 0.0), (0.0, 1.0), tuple(GAP * i for i in range(8)),
                  back, 4.0 - back)  # fmt: skip
    ground = dataclasses.replace(c.ground, strips=(strip,))
    spray = dataclasses.replace(c.spray, nozzles=8)
    wind = c.wind, np.full_like(c.wind, toward)
    return case_in(ground, spray, c.plumbing, c.outdoors, c.unknowns, *wind)


def drawn(weather, speed: float, toward: float = NORTH, back: float = 2.0):
    c = porch_case(weather, speed, toward, back)
    answer = balance.solve_balance(c)
    return c, answer, picture(c, answer)


def over_lid(seen, rate):
    """A map per area summed over the lid."""
    return float(rate[..., seen.inside].sum() * seen.cell[0] * seen.cell[1])


# ------------------------------------------------------------------ what the plumes carry


def cooling_through(field, distance, grain=0.02):
    """Cooling [W] below what the plumes breathe that crosses an upright plane square to the wind, `distance`
    [m] downwind of the nozzles: the middle nozzle's share of the plane, floor or no floor."""
    strip, path = field.strips[0], field.path
    ux, uy = field.downwind
    crossing = abs(ux * strip.along[1] - uy * strip.along[0])
    middle = (len(strip.places) - 1) // 2
    place = strip.places[middle]
    half = crossing * (strip.places[middle + 1] - place) / 2
    reach = float(path.thick.max())
    across, wide = np.linspace(-half, half, max(int(2 * half / grain), 8), endpoint=False, retstep=True)
    depth = np.arange(-reach, float(path.depth.max()) + reach, grain)
    across, depth = (m.ravel() for m in np.meshgrid(across + wide / 2, depth))
    x = strip.first[0] + place * strip.along[0] + distance * ux - across * uy
    y = strip.first[1] + place * strip.along[1] + distance * uy + across * ux
    step, off = field.coolest(x, y, field.height - depth)
    step, off = step[step >= 0], off[step >= 0]
    section = np.where(path.disc > 0, np.pi, 4.0) * path.thick * path.long
    along = np.hypot(np.diff(path.depth), np.diff(path.drift)).cumsum()
    widening = np.gradient(path.thick, np.concatenate([[0.0], along]))

    def at(quantity):
        return np.interp(step, np.arange(len(quantity)), quantity)

    # A plume that widens moves outward too, the more the farther from its path.
    outward = at(widening) * off / at(path.thick)
    through = at(path.sine) + outward * at(path.cosine)
    return float((at(path.cooling / section) * through).sum() * grain * wide)


@pytest.mark.thorough
@pytest.mark.parametrize("weather", [DRY, HUMID])
@pytest.mark.parametrize("speed", [0.5, 2.0])
@pytest.mark.parametrize("toward", [NORTH, SLANTING])
def test_the_field_carries_what_the_plumes_carry(weather, speed, toward):
    """Cooling through an upright plane, asked of the field, against the plume's own. 5 % as specified:
    a slanting plane meets plumes of different age, and evaporation goes on between them."""
    c = porch_case(weather, speed, toward)
    field = plume_field.field_of(c, balance.solve_balance(c))
    for distance in (1.0, 2.0, 3.5):
        carried = np.interp(distance, field.path.drift, field.path.cooling)
        assert cooling_through(field, distance) == pytest.approx(carried, rel=0.05)


@pytest.mark.parametrize("speed", [0.3, 0.4, 0.5])
def test_wind_shifts_the_footprint_by_the_drift(speed):
    """At standing height the plume's centre is where its path says and no longer under the line.

    (From 0.7 m/s a row no longer comes down so far.)"""
    c = porch_case(DRY, speed, back=1.0)
    answer = balance.solve_balance(c)
    field = plume_field.field_of(c, answer)
    drift = float(answer.plume.drift_at(c.spray.height - 1.7)[0, 0])
    half = float(answer.plume.radius_at(c.spray.height - 1.7)[0, 0])
    assert drift > 0.15
    y = 1.0 + drift + np.arange(-3, 3, 0.01)
    step, off = field.coolest(np.full(len(y), 3.0 + GAP / 2), y, np.full(len(y), 1.7))  # a nozzle's own plane
    met = step >= 0
    centre = y[met][np.abs(off[met]).argmin()]
    assert centre == pytest.approx(1.0 + drift, abs=0.03)  # steps of 1 cm, a table of 2.5 cm
    low, high = y[met].min(), y[met].max()
    assert low < 1.0 + drift < high
    assert high - low > 2 * half - 0.04  # a slanting tube is cut longer than it is wide
    seen = picture(c, answer)
    assert seen.drop[1, 3, 12] < seen.drop[1, :, 12].max() - 1.0  # y 0.75-1.0: the line's own place is left


def test_calm_is_symmetric_and_the_far_corner_is_background():
    c, answer, seen = drawn(DRY, 0.0)
    assert seen.drop == pytest.approx(seen.drop[:, :, ::-1], abs=1e-9)
    assert seen.drop == pytest.approx(seen.drop[:, ::-1, :], abs=1e-9)
    assert seen.floor_water == pytest.approx(seen.floor_water[:, ::-1], rel=1e-6, abs=1e-15)
    for drop, height in zip(seen.drop, seen.heights, strict=True):
        around = seen.baseline - float(air_at(c, answer, 1.0, height).temperature[0, 0])
        assert drop[0, 0] == pytest.approx(around)
        assert drop[8, 12] > around + 1.0  # under the line


@pytest.mark.thorough
@pytest.mark.parametrize("weather", [DRY, HUMID, (20.0, 0.95), (48.0, 0.02), (25.0, 1.0)])
@pytest.mark.parametrize("speed", [0.0, 0.2, 1.5])
def test_never_below_the_wet_bulb_and_never_warmer_than_outdoors(weather, speed):
    c, _, seen = drawn(weather, speed)
    out = (c.outdoors.temperature[0, 0], c.outdoors.ratio[0, 0], c.outdoors.air_pressure[0, 0])
    wet = float(air.wet_bulb(*out))
    # Saturated air takes no water: there the warm supply may warm the plume by a hair, never the map.
    assert (seen.baseline - seen.drop[:, seen.inside]).min() > wet - 0.1
    assert (seen.drop[:, seen.inside]).min() > -0.3
    for values in (seen.drop, seen.depression, seen.face_water, seen.floor_water, seen.seat_drop):
        assert np.all(np.isfinite(values))


@pytest.mark.parametrize("weather", [DRY, HUMID])
def test_the_map_and_the_balance_both_tell_their_mean(weather):
    _, answer, seen = drawn(weather, 0.3)
    assert seen.patio_drop == pytest.approx(seen.baseline - answer.patio.temperature[0, 0])
    for mean, drop in zip(seen.mean_drop, seen.drop, strict=True):
        assert mean == pytest.approx(drop[seen.inside].mean())
        assert 0.3 * seen.patio_drop < mean < 3 * seen.patio_drop


# ------------------------------------------------------------------ what lands


@pytest.mark.parametrize("weather", [DRY, HUMID])
def test_water_that_lands_is_all_on_the_map(weather):
    """Calm, in the middle of the floor: nothing can fall beyond. 1 % as specified; it is exact."""
    c, answer, seen = drawn(weather, 0.0)
    landed = float(answer.plume.landed[0, 0]) * c.water
    assert landed > 0.05 * c.water
    assert over_lid(seen, seen.floor_water) == pytest.approx(landed, rel=0.01)
    assert seen.landed_beyond == pytest.approx(0.0, abs=1e-9)


@pytest.mark.thorough
@pytest.mark.parametrize("toward", [0.0, 1.0, NORTH, 4.0])
@pytest.mark.parametrize("speed", [0.2, 0.5, 1.0])
def test_water_under_the_lid_and_beyond_it_is_what_comes_down(speed, toward):
    _, answer, seen = drawn(HUMID, speed, toward)
    assert seen.landed + seen.landed_beyond == pytest.approx(float(answer.plume.landed[0, 0]), rel=1e-9)
    assert over_lid(seen, seen.floor_water) == pytest.approx(
        seen.landed * seen.water_flow, rel=1e-9, abs=1e-15
    )
    assert np.all(seen.scale_water >= seen.floor_water - 1e-15)  # drops shrink, minerals stay


def test_a_wall_keeps_the_water_in_and_an_open_side_lets_it_out():
    _, _, kept = drawn(HUMID, 0.4, NORTH, back=3.0)
    _, _, lost = drawn(HUMID, 0.4, -NORTH, back=1.0)
    assert kept.landed_beyond == pytest.approx(0.0, abs=1e-9)
    assert lost.landed_beyond > 5 * lost.landed
    assert kept.floor_water[-1].sum() > kept.floor_water[:-2].sum()  # at the foot of the wall


def test_less_falls_on_the_floor_than_past_a_face_and_less_past_a_seated_face_than_a_standing_one():
    _, _, seen = drawn(HUMID, 0.0)
    seated, standing = (over_lid(seen, water) for water in seen.face_water)
    assert over_lid(seen, seen.floor_water) < seated < standing < seen.water_flow


def test_a_wall_hides_what_is_behind_it():
    c = porch_case(DRY, 0.0)
    house = ((2.0, 2.1), (4.0, 2.1))  # stands in the middle of the floor, beside the line
    walled = dataclasses.replace(c, ground=dataclasses.replace(c.ground, walls=(*c.ground.walls, house)))
    answer = balance.solve_balance(c)
    free, hidden = (plume_field.field_of(one, answer) for one in (c, walled))
    x, y, height = np.array([3.0, 3.0]), np.array([2.05, 2.15]), np.full(2, 0.5)
    assert np.all(free.coolest(x, y, height)[0] >= 0)
    assert (hidden.coolest(x, y, height)[0] >= 0).tolist() == [True, False]


# ------------------------------------------------------------------ through the conductor


def test_three_afternoons_of_the_courtyard(sample):
    project, laid, line, _ = courtyard()
    airs = design.outdoor_conditions(sample("el-paso"), project.place)
    asked = (project.patios[0], laid, line, project.plumbing, airs, project.place.bearing)
    seen, wet = design.cooling_maps(*asked)
    assert [one.afternoon for one in seen] == ["hot", "typical", "humid"]
    assert design.cooling_maps(*asked)[0] is seen
    cooled, _ = design.afternoons(*asked)
    *most, bearing = asked
    again = cooling.cooling_maps(*most, tuple(one.middle for one in cooled), bearing)
    assert again == seen
    for one, judged, told in zip(seen, wet, cooled, strict=True):
        assert judged.key == one.key
        # One case from the middle of the range: seats on the map lie there too.
        low, high = told.band("seats", (0.25, 0.75))
        assert low < one.seat_drop[0].mean() < high
        assert one.patio_drop == pytest.approx(told.mixed[told.middle, 0], abs=1e-9)
        area = one.inside.sum() * one.cell[0] * one.cell[1]
        assert area == pytest.approx(laid.lid.area, rel=0.02)  # whole cells along the outline
        assert not one.drop[:, ~one.inside].any()


def test_no_water_is_outdoors_everywhere(sample):
    project, laid, line, _ = courtyard()
    airs = design.outdoor_conditions(sample("el-paso"), project.place)
    shut = dataclasses.replace(line, marks=tuple(dataclasses.replace(m, flow=0.0) for m in line.marks))
    seen = cooling.cooling_maps(
        project.patios[0], laid, shut, project.plumbing, airs, (0, 0, 0), project.place.bearing
    )
    for one in seen:
        for values in (one.drop, one.face_water, one.floor_water, one.scale_water, one.seat_drop):
            assert not values.any()
        assert one.patio_drop == one.landed == one.landed_beyond == one.water_flow == 0.0
        assert one.film_rate > 0
