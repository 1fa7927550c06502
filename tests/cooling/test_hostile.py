"""Weather, water, lids nobody would choose: a whole answer or one clear refusal, never NaN or a warning."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from mistcalc import design, files
from mistcalc.cooling import unknowns
from mistcalc.cooling.airflow import patio_airflow
from mistcalc.cooling.balance import solve_balance
from mistcalc.cooling.place_air import PlaceAir
from mistcalc.cooling.stratification import air_at
from mistcalc.errors import InputErrors
from mistcalc.model.project import Project, TypedAfternoon
from mistcalc.model.results import PLACES, Cooling
from tests.cooling.test_balance import case

pytestmark = pytest.mark.filterwarnings("error")


def project(celsius: float, humidity: float, wind: float, text: str | None = None) -> Project:
    read = files.parse_project(text or files.example_text("terraza"), "terraza")
    hot = TypedAfternoon("hot", 273.15 + celsius, humidity, wind)
    return dataclasses.replace(read, place=dataclasses.replace(read.place, climate=None, afternoons=(hot,)))


def whole(cooled: Cooling) -> None:
    """Every number is one; shares are shares; nobody is warmed, but by water warmer than freezing air."""
    least = 0.0 if cooled.baseline.min() > 280 else -2.0
    for place in PLACES:
        assert np.all(np.isfinite(cooled.drop[place])) and np.all(cooled.drop[place] >= least - 1e-6)
        assert np.all((cooled.relative_humidity[place] >= 0) & (cooled.relative_humidity[place] <= 1))
    shares = tuple(cooled.fates.values())
    assert all(np.all((s >= 0) & (s <= 1)) for s in shares)
    if cooled.water_flow > 0:
        assert np.allclose(sum(shares), 1.0, rtol=0, atol=1e-12)
    # Never below the wet bulb of the same draw, so no point of the range is beyond that of the wet bulb.
    if least == 0.0:
        assert all(np.all(cooled.drop[place] <= cooled.depression + 0.1) for place in PLACES)
    assert np.all(np.isfinite(cooled.mixed))
    if cooled.layers is not None:
        assert np.all(np.isfinite([cooled.layers.still, cooled.layers.floor, cooled.layers.standing]))
    assert sum(driver.share for driver in cooled.drivers) == pytest.approx(1.0) or not cooled.drivers


@pytest.mark.thorough
@pytest.mark.parametrize(
    ("celsius", "humidity", "wind"),
    [(-30.0, 0.5, 0.0), (60.0, 0.0, 0.0), (60.0, 1.0, 25.0), (25.0, 1.0, 0.0), (25.0, 0.0, 40.0)],
)
def test_any_weather(celsius, humidity, wind):
    for cooled in design.run(project(celsius, humidity, wind), None).cooling:
        whole(cooled)


@pytest.mark.thorough
@pytest.mark.parametrize("micron", [1, 2000])
def test_any_drops(micron):
    text = files.example_text("terraza").replace('drop_median = "100 um"', f'drop_median = "{micron} um"')
    done = design.run(project(35.0, 0.3, 0.5, text), None)
    whole(done.cooling[0])
    if micron == 2000:  # a tenth of it dries, or falls past the edge
        assert np.median(done.cooling[0].fates["floor_under"]) > 0.85
        assert done.cooling[0].band("far_edge")[2] < 1.0


def test_drops_outside_any_nozzle_are_refused_by_name():
    text = files.example_text("terraza").replace('drop_median = "100 um"', 'drop_median = "3 mm"')
    with pytest.raises(InputErrors, match="drop_median"):
        files.parse_project(text, "terraza")


def test_no_nozzles_is_outdoor_air_and_a_finding():
    read = project(38.0, 0.2, 1.0)
    dry = dataclasses.replace(read.plumbing.nozzle, opens_at=50e5)  # the mains never open it
    done = design.run(
        dataclasses.replace(read, plumbing=dataclasses.replace(read.plumbing, nozzle=dry)), None
    )
    whole(done.cooling[0])
    assert all(np.all(done.cooling[0].drop[place] == 0.0) for place in PLACES)
    assert "no-water" in {f.code for f in done.findings}


@pytest.mark.thorough
@pytest.mark.parametrize("speed", [0.05, 1.0, 30.0])
def test_two_thousand_nozzles(speed):
    """On 24 m2: the air is full, most of the water falls, nothing breaks."""
    c = case(38.0, 0.2, unknowns.draws(5), np.array([[speed]]))
    strip = dataclasses.replace(c.ground.strips[0], places=tuple(np.linspace(0.2, 5.8, 2000).tolist()))
    c = dataclasses.replace(
        c,
        ground=dataclasses.replace(c.ground, strips=(strip,)),
        spray=dataclasses.replace(c.spray, nozzles=2000, spacing=0.0126),
    )
    found = solve_balance(c)
    told = PlaceAir(c, found).found()
    assert all(np.all(np.isfinite(x)) for x in (*told.drop.values(), found.carried))
    assert np.all(found.patio.temperature < c.outdoors.temperature)
    if speed < 10:
        assert np.all(found.evaporated < 0.5)


def test_a_seat_outside_the_patio_gets_no_plume():
    """The reader refuses one; a room that is asked all the same answers with the air at the nearest place."""
    c = case(38.0, 0.2, unknowns.draws(5), np.array([[0.5]]))
    c = dataclasses.replace(c, ground=dataclasses.replace(c.ground, seats=((40.0, 40.0),)))
    found = solve_balance(c)
    told = PlaceAir(c, found).found()
    held = patio_airflow(c.ground).at("held_seats", c.wind_toward)[0]
    assert np.array_equal(told.drop["seats"], c.outdoors.temperature - air_at(c, found, held).temperature)
