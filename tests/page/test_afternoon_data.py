"""What the picture of an afternoon is told: maps that decode to what was worked out, words that name it."""

from __future__ import annotations

from base64 import b64decode
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from mistcalc import design, words
from mistcalc.model.results import COMFORT_COLUMNS
from mistcalc.page import afternoon_data
from mistcalc.page.afternoon_data import LOWEST, STEP
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.owner.map_classes import claims_note
from tests.cooling.test_afternoon_grid import grid, scene


@cache
def told(language: str = "en", units: str = "us", bare: bool = False):
    """bare: with nothing joined to the line's ends."""
    project, weather, laid, _ = scene()
    job = design.run(project, weather)
    day = job.cooling_of(project.patios[0].name, "hot")
    scale = afternoon_data.felt_classes(job.cooling, units)
    verdict = job.verdict_of(day.patio, "hot")
    way = afternoon_data.advised(day, verdict)
    best = afternoon_data.advised_words(way, verdict)
    plumbing = replace(project.plumbing, pieces=(), drains=()) if bare else project.plumbing
    return afternoon_data.component_data(
        grid(), laid, project.patios[0], scale, way, best, project.place.bearing,
        job.picture_of(day.patio, "hot"), Locale(units, language), plumbing,
    )  # fmt: skip


def test_maps_decode_to_a_twentieth_of_a_kelvin():
    found = grid()
    there = np.frombuffer(b64decode(told()["grid"]["mist"]), np.uint8).reshape(found.mist.shape)
    assert there * STEP + LOWEST == pytest.approx(found.mist, abs=STEP / 2 + 1e-9)
    cut = np.frombuffer(b64decode(told()["cuts"][1]["mist"]), np.uint8).reshape(found.cuts[1].mist.shape)
    assert cut * STEP + LOWEST == pytest.approx(found.cuts[1].mist, abs=STEP / 2 + 1e-9)


def test_tube_is_drawn_as_far_as_it_lies():
    """As the solved line has it; with nothing joined to its ends, from its first mark to its last."""
    project, weather, laid, _ = scene()
    line = design.run(project, weather).line
    for row, whole, bare in zip(
        laid.lid.rows, told()["plan"]["tubes"], told(bare=True)["plan"]["tubes"], strict=True
    ):
        assert np.array(whole) == pytest.approx(np.array(line.laid_tube(row)), abs=1e-6)
        marks = [mark.along for mark in laid.marks if mark.run == row.name]
        ends = sorted(row.along(end) for end in bare)
        assert ends == pytest.approx([min(marks), max(marks)], abs=1e-6)


def test_what_stays_dry_is_said_to_and_not_to_be_wet_over_nothing():
    project, weather, _, _ = scene()
    picture, wet = design.run(project, weather).picture_of(project.patios[0].name, "hot")
    shares = {
        "stay dry.": (1.0, 0.0, 0.0),
        "get dewy over 5 %": (0.95, 0.05, 0.0),
        "get wet over 5 %": (0.95, 0, 0.05),
    }
    for said, face in shares.items():
        now = replace(wet, floor_shares=shares["stay dry."], face_shares=(face, *wet.face_shares[1:]))
        told = afternoon_data._wet(picture, now, Locale("us", "en"))["told"]
        assert told.startswith(f"The floor stays dry. Sitting, eyeglasses and faces {said}")
        assert " 0 %" not in told


def test_every_moment_names_its_hour_wind_seats_and_limit():
    data = told()
    moment = data["told"][0][1]
    assert data["hours"] == ["4 pm", "7 pm"] and data["advised"] == "both"
    assert moment["when"].startswith("4 pm, wind 2 mph from the ")
    assert "wet bulb" in moment["limit"] and set(moment["ways"]) == set(COMFORT_COLUMNS)
    both = moment["ways"]["both"]
    assert "chairs " in both["head"] and "table " in both["head"] and both["seats"][0] in both["head"]
    low, high = grid().seat_bands[0, 1, 2, 0][[0, 2]] * 1.8
    assert both["seats"][0] == f"{round(low)} to {round(high)} °F"
    calm = data["told"][0][0]
    assert "from the" not in calm["when"]  # where nothing blows it comes from nowhere


def test_a_seat_of_the_file_can_be_moved_and_the_sun_stands_where_its_light_comes_from():
    data, found = told(), grid()
    assert data["stated"] == [True] * len(data["seats"]) and data["step"] == pytest.approx(0.1524)
    for run in data["plan"]["runs"]:
        assert run["low"] < run["high"] and run["deep"] > 0.0
    assert [height is None for height in data["sun"]["height"]] == [way is None for way in found.sun_toward]
    up = np.degrees(data["sun"]["height"][0])
    assert f"It stands {round(up)}° up in the " in data["sun"]["told"][0]


def test_shapes_of_all_ways_and_moments_stand_on_one_axis():
    shapes = [way["shape"] for hours in told()["told"] for moment in hours for way in moment["ways"].values()]
    assert min(shape[0] for shape in shapes) == 0 and max(shape[-1] for shape in shapes) == 100
    assert all(shape == sorted(shape) for shape in shapes)


def test_the_same_in_spanish_and_metric():
    data = told("es", "metric")
    assert data["hours"][0] == "16:00" and "m/s" in data["winds"][1]
    assert "más fresco" in data["told"][0][1]["ways"]["mist"]["head"]
    assert data["sun"]["told"][1].startswith("19:00: ")


def test_the_limit_in_words_is_told_over_the_same_hours_as_the_range_beside_it():
    """A single figure would be passed by the range of its own afternoon: each draw has its own wet bulb."""
    project, weather, _, _ = scene()
    job = design.run(project, weather)
    for day in job.cooling:
        low, _, high = day.most()
        assert day.band("seats")[2] <= high and (day.drop["seats"] <= day.depression + 1e-9).all()
        assert words.span(low, high) in claims_note(job, day, Locale("us", "en"))


@pytest.mark.parametrize(
    ("call", "instead", "way", "words_at_it"),
    [
        ("run", "fan", "both", "ways.advised"),
        ("little", "fan", "fan", "ways.advised_fan"),
        ("little", "shade", "shade", "ways.advised_shade"),
        ("damp", "shade", "shade", "ways.advised_shade"),
        ("off", "fan", "shade", "ways.advised_off"),
        ("stopped", "fan", "shade", "ways.advised_off"),
    ],
)
def test_what_is_advised_cools_and_is_said_in_words_that_fit_it(call, instead, way, words_at_it):
    project, weather, _, _ = scene()
    job = design.run(project, weather)
    day = job.cooling_of(project.patios[0].name, "hot")
    verdict = replace(job.verdict_of(day.patio, "hot"), call=call, instead=instead)
    assert afternoon_data.advised(day, verdict) == way
    assert afternoon_data.advised_words(way, verdict) == words_at_it
