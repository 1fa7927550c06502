"""The ladder of ways to build a line: equal to looking at every way, never relaxed, true of what it names."""

from __future__ import annotations

import json
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from mistcalc import design, files, options, report
from mistcalc.model.results import BuildOption, Wishes
from tests.test_design import demo


def made(water: float, middle: float, marks: int = 10, breaks: tuple[str, ...] = ()) -> BuildOption:
    drops = np.full((3, 1), middle)
    return BuildOption(
        "hot", 0.6, "n", 1e-6, 7e6, 7e6, False, marks, water, 700.0, drops, 0.1, None, breaks
    )  # fmt: skip


WAYS = st.lists(st.tuples(st.integers(1, 60), st.floats(0.0, 12.0)), min_size=1, max_size=40)


@given(WAYS)
def test_each_rung_is_the_coolest_for_its_water_by_more_than_can_be_felt(pairs):
    """Against every way there is: nothing left out is cooler, by more than SAME, for no more water."""
    every = [made(float(water), middle) for water, middle in pairs]
    rungs = options.rungs(every)
    assert 1 <= len(rungs) <= options.RUNGS
    for below, above in pairwise(rungs):
        assert above.water > below.water and above.middle > below.middle + options.SAME
    least = min(option.water for option in every)
    assert rungs[0].water == least
    assert rungs[-1].middle >= max(option.middle for option in every) - options.SAME
    for rung in rungs:
        cheaper = [option.middle for option in every if option.water <= rung.water]
        assert rung.middle >= max(cheaper) - options.SAME


@pytest.fixture(scope="module")
def terraza():
    """Four ways in all: every one is looked at by hand."""
    project, weather = demo("terraza")
    return project, weather, options.options_of(project, weather, "metric", Wishes())


def test_a_small_grid_is_what_whole_jobs_say_one_by_one(terraza):
    project, weather, ladder = terraza
    answers = []
    for pitch in (0.45, 0.6, 0.75, 0.9):
        patios = tuple(replace(patio, marks=replace(patio.marks, pitch=pitch)) for patio in project.patios)
        job = design.run(replace(project, patios=patios), weather)
        answers.append((pitch, job.line.total_flow, job.cooling[0].band("seats")))
    assert ladder.tried == 4
    told = {round(o.pitch, 3): (o.water, o.band()) for o in (ladder.stated, *ladder.rungs)}
    for pitch, water, band in answers:
        if pitch in told:
            assert told[pitch][0] == pytest.approx(water) and told[pitch][1] == pytest.approx(band)
    cooler = [band[1] for _, _, band in answers]
    assert ladder.rungs[-1].middle == pytest.approx(max(cooler), abs=options.SAME)


def test_what_is_asked_is_kept_and_never_relaxed(terraza):
    project, weather, free = terraza
    limit = free.rungs[1].water
    kept = options.options_of(project, weather, "metric", Wishes(water=limit))
    assert kept.rungs and all(option.water <= limit * (1 + 1e-6) for option in kept.rungs)
    none = options.options_of(project, weather, "metric", Wishes(water=free.least.water / 2))
    assert none.rungs == () and dict(none.broken)["water"] == none.tried
    text = " ".join(report.options_sentences(none, project, "metric", "en").split())
    assert "nothing was relaxed" in text and "The least water of any is" in text


def test_the_json_tells_the_same_ladder(terraza):
    project, _, ladder = terraza
    tree = json.loads(report.options_json(ladder, project.name))["options"]
    told = [rung["water_m3_s"] for rung in tree["rungs"]]
    assert told == pytest.approx([option.water for option in ladder.rungs], rel=1e-5)
    assert tree["tried"] == 4 and len(tree["steps_K"]) == len(ladder.rungs) - 1


@pytest.mark.parametrize("language", ["en", "es"])
def test_no_line_of_a_terminal_is_wider_than_it(terraza, language):
    project, _, ladder = terraza
    text = report.options_sentences(ladder, project, "metric", language)
    assert max(map(len, text.splitlines())) <= 80


@pytest.mark.thorough
def test_a_pumped_line_is_offered_nozzles_and_pressures_of_the_trade():
    project, weather = demo("courtyard")
    ladder = options.options_of(project, weather, "us", Wishes(floor=0.05))
    assert ladder.tried > 20 and len({option.nozzle for option in ladder.rungs}) >= 2
    assert all(option.landing <= 0.05 for option in ladder.rungs)
    ways = list(options.ways(project, "us"))
    assert len(ways) == ladder.tried - 1 and project not in ways
    assert all(files.rewrite(files.example_text("courtyard"), way) for way in ways[:3])
