"""Plumes and patio air brought to agree: a second trial of the equations, hours that do not mix, limits."""

from __future__ import annotations

import dataclasses
from functools import cache

import numpy as np
import pytest

from mistcalc import cooling, design, files
from mistcalc.cooling import balance, balance_inputs, patio_air, unknowns, wind
from mistcalc.cooling.case import Case, Spray, case_in, case_of, spray_of
from mistcalc.cooling.patio_geometry import NozzleRow, Opening, PatioGeometry
from mistcalc.model.results import FATES, PLACES
from mistcalc.physics import air
from tests import builders
from tests.builders import plumbing

WINDS = np.array([[0.0, 0.5, 1.0, 2.0]])


def porch() -> PatioGeometry:
    """6 x 4 x 3 m, one long side closed (14 m of open edge), ten nozzles 24 in apart along the other."""
    corners = [(0.0, 0.0), (6.0, 0.0), (6.0, 4.0), (0.0, 4.0)]
    outward = [(0.0, -1.0), (1.0, 0.0), (0.0, 1.0), (-1.0, 0.0)]
    sides = list(zip(corners, [*corners[1:], corners[0]], strict=True))
    strip = NozzleRow(
        "A", (0.2, 0.15), (1.0, 0.0), (0.0, 1.0), tuple(0.6096 * i for i in range(10)), 0.15, 3.85
    )
    return PatioGeometry(
        volume=72.0,
        height=3.0,
        clear_height=3.0,
        openings=tuple(
            Opening(side, float(np.hypot(*np.subtract(*side))) * 3.0, out)
            for i, (side, out) in enumerate(zip(sides, outward, strict=True))
            if i != 2
        ),
        walls=(sides[2],),
        strips=(strip,),
        seats=((3.0, 2.0),),
        far_points=((0.0, 4.0),),
        outline=tuple(corners),
    )


def case(celsius: float, humidity: float, u: unknowns.Unknowns, speed: np.ndarray = WINDS) -> Case:
    """The wind square onto the open long side, toward the house."""
    ground = porch()
    t = np.full(np.broadcast(u.wind, speed).shape, 273.15 + celsius)
    p = np.full_like(t, 101325.0)
    nozzle = dataclasses.replace(plumbing().nozzle, drop_median=27e-6, drop_spread=2.5, at=70e5)
    plumbed = dataclasses.replace(
        plumbing(), nozzle=nozzle, water=dataclasses.replace(plumbing().water, temperature=303.15)
    )
    return case_in(
        ground,
        Spray(nozzles=10, flow=6.6e-3 / 3600, gauge=70e5, spacing=0.6096, height=3.0),
        plumbed,
        patio_air.Outdoors(t, air.humidity_ratio(t, humidity, p), p),
        u,
        np.broadcast_to(speed, t.shape),
        np.full_like(t, np.pi / 2),
    )


def plain() -> unknowns.Unknowns:
    """Middle draw with the plume's textbook constants."""
    textbook = {"profile": 1.0, "drop_size": 1.0, "thrust": 1.0, "entrainment": 0.08}
    return dataclasses.replace(
        unknowns.central_values(), **{name: np.array([[value]]) for name, value in textbook.items()}
    )


@pytest.mark.thorough
@pytest.mark.parametrize(("celsius", "humidity"), [(40.0, 0.15), (33.0, 0.6), (20.0, 0.95), (48.0, 0.02)])
def test_plume_water_is_all_accounted_for_and_the_patio_stays_above_its_wet_bulb(celsius, humidity):
    c = case(celsius, humidity, unknowns.draws(40))
    found = balance.solve_balance(c)
    assert found.plume.water_error.max() < 1e-9
    assert found.plume.enthalpy_error.max() < 1e-9
    wet = air.wet_bulb(c.outdoors.temperature, c.outdoors.ratio, c.outdoors.air_pressure)
    assert np.all(found.patio.temperature > wet - 0.1)
    assert np.all(found.patio.temperature < c.outdoors.temperature + 1e-9)
    assert set(found.fates) == set(FATES)
    assert all(np.all(share >= 0) for share in found.fates.values())
    assert np.allclose(sum(found.fates.values()), 1.0, rtol=0, atol=1e-12)
    assert found.residual.max() < 1e-4


@pytest.mark.parametrize(("celsius", "humidity"), [(40.0, 0.15), (33.0, 0.6), (20.0, 0.95), (40.0, 0.95)])
def test_the_balance_is_what_halving_finds(celsius, humidity):
    """The captured water by halving its bracket, a fine look at the plumes each time: nothing is guessed."""
    asked = balance_inputs.inputs_of(case(celsius, humidity, unknowns.draws(10)))
    low = np.zeros(np.broadcast_shapes(asked.speed.shape, asked.outdoors.temperature.shape))
    high = low + asked.injected * np.maximum(asked.wind_keeps, 1.0)
    for _ in range(30):
        half = (low + high) / 2
        patio = balance._patio(asked, half)
        gives = balance._look(asked, patio, balance.FINE).gives
        more = balance._kept(asked, patio)[0] * gives * asked.injected > half
        low, high = np.where(more, half, low), np.where(more, high, half)
    there = balance._patio(asked, low).temperature
    for passes, near in ((1, 0.01), (balance.PASSES, 1e-5)):
        off = np.abs(balance.balance_of(asked, passes).patio.temperature - there)
        assert np.quantile(off, 0.95) <= near and off.max() <= 3 * near


def test_more_wind_never_cools_the_patio_more_once_the_air_moves():
    """Beyond a light breeze exchange grows with the wind while the water does not."""
    winds = np.array([[1.0, 2.0, 4.0, 8.0, 16.0]])
    c = case(40.0, 0.15, plain(), winds)
    drop = 313.15 - balance.solve_balance(c).patio.temperature
    assert np.all(np.diff(drop[0]) < 0)
    assert np.all(drop >= 0)


@cache
def courtyard():
    project = files.parse_project(files.example_text("courtyard"), "courtyard")
    weather = files.read_climate(files.climate_path("el-paso", None))
    laid, _ = design.lay(project.patios[0])
    line, _ = design.solve_line(project.plumbing, (laid,))
    return project, laid, line, design.outdoor_air.year(weather, project.place)


def hours(year, chosen: slice):
    def cut(value):
        return value[chosen] if isinstance(value, np.ndarray) else value

    picked = {f.name: cut(getattr(year, f.name)) for f in dataclasses.fields(year)}
    return dataclasses.replace(year, **{**picked, "key": f"{year.key}{chosen}"})


def test_a_day_in_one_call_is_its_hours_one_by_one():
    project, laid, line, year = courtyard()
    few = unknowns.draws(3)
    start = 24 * 190 + 12

    def answers(*airs):
        return cooling.every_hour(
            project.patios[0], laid, line, project.plumbing, airs, project.place.bearing, few
        )

    (day,) = answers(hours(year, slice(start, start + 6)))
    singles = answers(*(hours(year, slice(start + i, start + i + 1)) for i in range(6)))
    for place in PLACES:
        together = np.concatenate([one.drop[place] for one in singles], axis=1)
        assert day.drop[place] == pytest.approx(together, abs=1e-12)


def test_wind_leaves_by_the_first_side_it_meets():
    ground = porch()
    strip = ground.strips[0]
    ways = np.array([np.pi / 2, -np.pi / 2, 0.0])
    strip = dataclasses.replace(strip, places=(2.8, 3.0))
    out = wind.exit_distances(strip, ground, ways)[0]
    assert np.isinf(out[0])  # toward the house: the wall stops it
    assert out[1] == pytest.approx(0.15)  # back over the edge behind the tube
    assert out[2] == pytest.approx(6.0 - 3.0)


def test_compass_and_plan_agree():
    """First run heads east (90 deg), so +x is east and +y, toward the house, is north."""
    none = np.zeros((1, 1))

    def blown(source: float) -> np.ndarray:
        told = dataclasses.replace(builders.air(), direction=np.array([source]))
        toward = wind.heading(told, np.pi / 2, none)
        assert wind.comes_from(toward, np.pi / 2) == pytest.approx(source)
        return toward

    from_south = blown(np.pi)
    assert (np.cos(from_south), np.sin(from_south)) == (pytest.approx(0.0), pytest.approx(1.0))
    from_west = blown(1.5 * np.pi)
    assert (np.cos(from_west), np.sin(from_west)) == (pytest.approx(1.0), pytest.approx(0.0))


def test_a_calm_hour_blows_from_everywhere():
    """Files write 0, north, where nothing blows; such an hour and one of unknown direction turn all round."""
    turning = unknowns.draws(40).turning
    calm = dataclasses.replace(builders.air(), direction=np.array([np.nan]))
    for still in (calm, dataclasses.replace(calm, direction=None)):
        toward = wind.heading(still, 0.3, turning)
        assert np.array_equal(toward, 3 * turning)
    assert np.ptp(3 * turning) > 1.9 * np.pi


def test_wind_told_from_the_chair_is_taken_as_told():
    """A mast's wind is turned and slowed by a house nobody knows; that felt in the place hardly."""
    u = unknowns.draws(40)
    mast = dataclasses.replace(builders.air(), wind=np.array([1.0]), direction=np.array([1.0]))
    felt = dataclasses.replace(mast, felt=True)
    for told, slowed, turned in ((mast, 0.5, np.pi / 3), (felt, 0.15, np.pi / 8)):
        speed = wind.speed(told, u.wind, u.calm)
        assert 0.9 * slowed < np.abs(speed - 1.0).max() <= slowed
        toward = wind.heading(told, 0.0, u.turning)
        assert 0.9 * turned < np.abs(toward + 1.0 + np.pi).max() <= turned + 1e-12


def test_every_nozzle_counts():
    """Eight ways out stand for 28 nozzles: nearly every draw as if each were asked for itself."""
    project, laid, line, year = courtyard()
    patio, place = project.patios[0], project.place
    spray = spray_of(patio, laid, line)
    noon = hours(year, slice(24 * 190 + 12, 24 * 190 + 18))
    u = unknowns.draws(20)
    case = case_of(patio, laid, spray, project.plumbing, (noon,), place.bearing, u)
    few = balance.solve_balance(case).patio.temperature
    count = len(laid.marks)
    assert count > 3 * balance_inputs.WAYS_OUT
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(balance_inputs, "WAYS_OUT", count)
        each = balance.solve_balance(case).patio.temperature
    apart = np.abs(few - each)
    assert np.quantile(apart, 0.95) < 0.1
    assert apart.max() < 0.6


def test_an_afternoon_tells_how_still_air_lies_and_what_fans_make_of_it():
    project, laid, line, year = courtyard()
    start = 24 * 190 + 15
    (noon,) = cooling.afternoon_cooling(
        project.patios[0], laid, line, project.plumbing, (hours(year, slice(start, start + 1)),),
        project.place.bearing, unknowns.draws(40),
    )  # fmt: skip
    shape = noon.drop["seats"].shape
    layers = noon.layers
    assert noon.mixed.shape == layers.still.shape == layers.floor.shape == layers.standing.shape == shape
    assert set(noon.with_fans) == set(PLACES)  # the demo has fans with an air speed
    assert all(np.all(drop >= -1e-9) for drop in noon.with_fans.values())
    told = {driver.name for driver in noon.drivers}
    assert told == set(unknowns.BANDS)  # one hour for all draws: no weather among them
    assert sum(driver.share for driver in noon.drivers) == pytest.approx(1.0)


def test_equal_ways_out_are_one_with_the_weight_of_all():
    """Whatever is asked of a way out, its mean over the nozzles is that of every nozzle's own."""
    rng = np.random.default_rng(7)
    edge = np.sort(rng.choice([0.4, 0.4 + 1e-12, 1.5, 3.0, np.inf], size=(9, 20, 6)), axis=0)
    edge[-1] = np.inf
    weight = rng.random(edge.shape)
    weight /= weight.sum(axis=0)
    told = balance_inputs._told_apart(edge, weight)
    assert len(told.edge) == 4  # each once
    for asked in (lambda x: np.exp(-x), lambda x: np.isinf(x) * 1.0):
        assert told.mean(asked(told.edge)) == pytest.approx((weight * asked(edge)).sum(axis=0), abs=1e-11)
