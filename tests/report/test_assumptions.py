"""What was assumed is said in sentences, at every door alike."""

from __future__ import annotations

import dataclasses

import pytest

from mistcalc import files
from mistcalc.model.results import ZonePiping
from mistcalc.report.common.assumptions import assumption_sentences, control_assumed
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.job_summary import job_summary_text
from tests import builders
from tests.random_projects import project_text
from tests.report import jobs


@pytest.mark.parametrize("houses", [range(30), pytest.param(range(30, 120), marks=pytest.mark.thorough)])
def test_every_value_left_open_has_its_sentence(houses):
    """No key path of the file is left for a reader to work out."""
    debris = set()
    for seed in houses:
        project = files.parse_project(project_text(seed))
        for units in ("us", "metric"):
            told = "; ".join(assumption_sentences(project, Locale(units, "en")))
            debris |= {path for path in project.assumed if path in told}
    assert not debris


def test_the_terminal_says_what_paper_says():
    design = jobs.job("courtyard")
    project = design.project
    text = " ".join(job_summary_text(design, full=True).split())
    told = assumption_sentences(project, Locale("us", "en"))
    assert told and all(" ".join(one.split()) in text for one in told)
    assert f"{len(project.assumed)} values" in text


def test_zones_that_hang_behind_one_another_are_not_said_to_run_one_at_a_time():
    project = dataclasses.replace(builders.project(), assumed=("line.together",))
    line, locale = builders.line(), Locale("us", "en")
    bound = dataclasses.replace(line.zones[0], piping=ZonePiping(("A end to B start",), ("front",)))
    assert assumption_sentences(project, locale, line) == ("Zones run one at a time",)
    assert assumption_sentences(project, locale, dataclasses.replace(line, zones=(*line.zones, bound))) == ()


def test_a_ceiling_of_boards_is_asked_about_boards():
    """A boarded ceiling had a plasterer, who was asked how plane his plaster is and where its joints are."""
    text = jobs.TEXTS["straight"].replace("[[patio.run]]", 'plaster = { system = "wood" }\n[[patio.run]]')
    for language, boards, plaster in (("en", "oards", "laster"), ("es", "ablas", "stuco")):
        told = assumption_sentences(files.parse_project(text), Locale("us", language))
        assert sum(boards in one for one in told) == 3
        assert not [one for one in told if plaster in one or "control joint" in one or "junta" in one]


def test_a_control_nobody_stated_is_said_to_be_assumed():
    """Season and bills were told for hours and months that no file stated, and nobody said so."""
    text = files.example_text("courtyard")
    before, after = text.split("[control]\n")
    rest = after[after.index("[prices]") :]
    locale = Locale("us", "en")
    for stated, told in (
        ('days = ["Tue"]\n', "set points are assumed"),
        ('hours = ["15:00", "20:00"]\nmonths = ["Jun", "Aug"]\n', "The mist comes on above 88 °F"),
        (after[: after.index("[prices]")], ""),
    ):
        project = files.parse_project(f"{before}[control]\n{stated}\n{rest}")
        sentence = control_assumed(project, locale)
        assert told in sentence and bool(sentence) == bool(told)
        assert "in use" not in sentence  # both are stated, or all is said in one
