"""The patio's air judged: each threshold from both sides, and the reasons given for little cooling."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from mistcalc import words
from mistcalc.checks import (
    classify_wetness,
    cooling_findings,
    drop_findings,
    picture_findings,
    unmeasured_findings,
    wind_limit_findings,
)
from mistcalc.checks.cooling import MOST_MEASURED
from mistcalc.model.results import WindSweep
from tests import builders

BLOWN = WindSweep(
    "porch", "hot", (0.5, 1.0, 2.0, 4.0), (5.0, 4.0, 2.0, 1.0), (0.0, 0.1, 0.3, 0.5), 27e-6, 7e6
)


def found_of(cooled, code):
    return next((f for f in cooling_findings(builders.patio(), cooled) if f.code == code), None)


@pytest.mark.parametrize(("depression", "damp"), [(8.4, True), (8.6, False)])
def test_damp_air_is_named_as_the_reason(depression, damp):
    cooled = replace(builders.cooling("humid", 0.4), depression=np.full((5, 1), depression))
    said = words.say(found_of(cooled, "little-cooling"))
    assert ("The air is damp" in said) is damp
    assert f"only {depression * 1.8:.0f} °F below" in said or not damp


def test_the_wind_is_named_where_little_of_the_depression_arrives_though_the_water_dries():
    """1.6 of 20 K is 8 %; the drops of the builder dry to 94 %."""
    windy = replace(builders.cooling("hot", 0.4), layers=None)
    said = words.say(found_of(windy, "little-cooling"))
    assert "The wind takes most of it: 8 % of the 36 °F" in said
    assert "coarse" not in said and "damp" not in said


def test_coarse_drops_are_named_where_they_do_not_dry():
    wet = {"dried_under": 0.5, "dried_outside": 0.1, "floor_under": 0.4, "floor_outside": 0.0, "away": 0.0}
    fates = {name: np.full((5, 1), share) for name, share in wet.items()}
    cooled = replace(builders.cooling("hot", 0.4), fates=fates)
    said = words.say(found_of(cooled, "little-cooling"))
    assert "only 60 % of the water dries" in said and "wind" not in said


@pytest.mark.parametrize(("gain", "little"), [(1.0, True), (1.2, False)])
def test_cool_air_that_is_hardly_felt_is_little_too(gain, little):
    felt = builders.feel()
    told = {**felt.effective, "mist": felt.effective["shade"] - gain}
    cooled = replace(builders.cooling("hot"), feel=replace(felt, effective=told))
    found = found_of(cooled, "little-felt")
    assert (found is not None) is little
    assert found_of(cooled, "little-cooling") is None
    if found is not None:
        assert "worth about 2 °F" in words.say(found)


def test_the_wind_from_which_on_little_is_left():
    """4 K at 1 m/s and 2 K at 2 m/s: 2.25 K lies seven eighths of the way."""
    (found,) = wind_limit_findings(builders.patio(), BLOWN)
    assert found.provided == pytest.approx(1.875)
    assert found.value("out") == pytest.approx(0.1 + 0.875 * 0.2)
    assert "less than 4 °F" in words.say(found)


@pytest.mark.parametrize("drop", [(5.0, 5.0, 4.0, 3.0), (2.0, 1.0, 0.5, 0.2)])
def test_no_wind_is_named_where_none_matters_or_none_is_needed(drop):
    assert wind_limit_findings(builders.patio(), replace(BLOWN, drop=drop)) == ()
    assert wind_limit_findings(builders.patio(), None) == ()


@pytest.mark.parametrize(("size", "odd"), [(9e-6, True), (11e-6, False), (59e-6, False), (61e-6, True)])
def test_drops_that_no_misting_nozzle_gives_at_pressure(size, odd):
    found = drop_findings(BLOWN.patio, size, BLOWN.gauge)
    assert [f.code for f in found] == (["nozzle-drop-odd"] if odd else [])
    assert drop_findings(BLOWN.patio, size, 4e5) == ()


def test_a_wet_floor_is_told_with_its_place_its_seats_and_its_drying_time():
    """The builder's foot of the lid: two rows of cells of 1 ft get 144 g/m2h, of which the air takes 72;
    72 g/m2 gathered in an hour are gone an hour later."""
    laid, seen = builders.layout(), builders.picture()
    (found,) = picture_findings(laid, seen, classify_wetness(seen))
    assert found.code == "wet-likely"
    assert found.provided == pytest.approx(2 / 10)
    assert found.value("drying") == pytest.approx(3600.0)
    assert found.value("near") == pytest.approx(0.5 * 0.3048) and found.value("far") == pytest.approx(
        1.5 * 0.3048
    )
    assert found.value("seats") == ()  # five feet in
    here = replace(laid.lid.seats[0], point=(1.0, 0.2))
    moved = replace(laid, lid=replace(laid.lid, seats=(here,)))
    said = words.say(picture_findings(moved, seen, classify_wetness(seen))[0])
    assert "Wet underfoot: chairs." in said and "about 60 min after" in said


def test_faces_are_told_where_the_floor_is_dry():
    laid, seen = builders.layout(), builders.picture()
    dry = replace(seen, floor_water=0 * seen.floor_water)
    (found,) = picture_findings(laid, dry, classify_wetness(dry))
    assert found.code == "faces-wet"
    nothing = replace(dry, face_water=0 * seen.face_water)
    assert picture_findings(laid, nothing, classify_wetness(nothing)) == ()


@pytest.mark.parametrize(("fan", "more"), [(-0.6, True), (-0.4, False), (0.1, False)])
def test_a_fan_does_more_only_where_it_clearly_does(fan, more):
    """SET with the fan against that with the mist, and against shade alone: half a kelvin counts."""
    felt = builders.feel()
    shade = felt.effective["shade"]
    told = {**felt.effective, "mist": shade - 0.0, "fan": shade + fan}
    cooled = replace(builders.cooling("hot", 0.4), feel=replace(felt, effective=told))
    assert found_of(cooled, "little-cooling").value("fan_more") is more


@pytest.mark.parametrize(("share", "told"), [(0.9, False), (1.1, True)])
def test_more_than_was_ever_measured_is_told_once_and_for_the_best_afternoon(share, told):
    cooled = builders.cooling("hot")
    top = cooled.band("seats")[2]
    drops = {place: drop * share * MOST_MEASURED / top for place, drop in cooled.drop.items()}
    less = {place: drop / 2 for place, drop in drops.items()}
    found = unmeasured_findings((replace(cooled, afternoon="humid", drop=less), replace(cooled, drop=drops)))
    assert [f.where for f in found] == (["porch/hot"] if told else [])
    assert all("15 °F" in words.say(f) and "computed only" in words.say(f) for f in found)
