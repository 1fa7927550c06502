"""What was assumed is asked: each value once, of somebody, by a day, with what hangs on it."""

from __future__ import annotations

import datetime
from dataclasses import replace

import pytest

from mistcalc import design, files
from mistcalc.drawing.frame import PAPERS
from mistcalc.drawing.sheet import Polyline, Sheet
from mistcalc.model.project import Dates
from mistcalc.model.results import Design
from mistcalc.report.builder.questions_page import ANSWERERS, _questions, question_pages
from mistcalc.report.common.assumptions import list_assumptions
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.sheet_set import build
from tests import builders
from tests.random_projects import project_text
from tests.report.jobs import job, patio, run, solved, text_of
from tests.report.test_sheet_set import flat, overlaps, words
from tests.report.test_trades import dated

PAPER = PAPERS["letter"]


def pages(made: Design, language: str = "en") -> list[Sheet]:
    drafts = question_pages(made, PAPER, Locale("us", language))
    return [Sheet(PAPER.width, PAPER.height, draft.items, draft.title) for draft in drafts]


@pytest.mark.thorough
@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("language", ["en", "es"])
def test_every_assumption_of_a_random_house_is_asked_once(seed, language):
    made = replace(builders.design(), project=files.parse_project(project_text(seed)))
    asked = list_assumptions(made.project, Locale("us", language), made.line)
    sheets = pages(made, language)
    whole = flat(" ".join(words(sheet) for sheet in sheets))
    assert all(flat(assumption.sentence) in whole for assumption in asked)
    boxes = [i for sheet in sheets for i in sheet.items
             if isinstance(i, Polyline) and abs(i.box().width - 4.9) < 0.01]  # fmt: skip
    assert len(boxes) == len(asked)
    for sheet in sheets:
        assert overlaps(sheet) == [] and all(PAPER.inside.holds(i.box()) for i in sheet.primitives())


def test_days_are_of_the_calendar_and_without_one_before_a_step():
    told = words(pages(dated("courtyard"))[0])
    assert ": no hole within 3 ft, our judgment" in told and "Builder" in told and "holes move" in told
    assert flat("before Fri Feb 19. Else holes move.") in flat(told)  # wiring begins
    assert flat("before wiring") in flat(words(pages(replace(job("courtyard"), calendar=None))[0]))


@pytest.mark.parametrize("named", ["Line 6 in behind the open edge", "Tube 3/8 in outside"])
def test_what_the_framer_bores_by_is_asked_before_he_begins(named):
    """He bores on Tuesday, at the tube's distance from the edge and for its size: it was asked a week on."""
    made = solved(text_of(patio("porch", "9 ft", run("A", "12 ft"))))
    project = replace(made.project, dates=Dates(datetime.date(2027, 3, 8)))
    calendar, _ = design.dates(project)
    asked = {
        q.sentence: q.head
        for q in _questions(replace(made, project=project, calendar=calendar), Locale("us", "en"))
    }
    assert calendar.step("framing").first == datetime.date(2027, 2, 16)
    assert "before Tue Feb 16" in asked[named]


def test_the_first_that_fits_answers_and_every_key_has_somebody():
    assert ANSWERERS[-1].begins == ""
    for n, answerer in enumerate(ANSWERERS):
        assert not any(answerer.begins.startswith(before.begins) for before in ANSWERERS[:n])


def test_where_nothing_was_assumed_nothing_is_asked():
    made = job("courtyard")
    assert pages(replace(made, project=replace(made.project, assumed=()))) == []


@pytest.mark.thorough
@pytest.mark.parametrize("name", ["courtyard", "terraza"])
def test_questions_stand_once_and_no_sheet_is_for_them_where_one_has_room(name):
    """Three questions had a page to themselves, and the sheet of notes before it was half empty."""
    made = job(name)
    sheets = build(made, "us", "en")
    asking = [sheet for sheet in sheets if "no:" in words(sheet)]
    assert len(asking) == 1 and asking[0].number.startswith("R-")
    assert overlaps(asking[0]) == []
    told = flat(words(asking[0]))
    asked = list_assumptions(made.project, Locale("us", "en"), made.line)
    assert all(flat(one.sentence) in told for one in asked)
    if name == "courtyard":
        assert asking[0].title != "Questions before work"


@pytest.mark.parametrize("language", ["en", "es"])
def test_of_a_bare_pergola_nobody_is_asked_about_plaster(language):
    """Whoever plasters was asked how far a stub stands past the finished face, where there is neither."""
    keys = 'back = "open"\nplaster = { system = "none" }'
    made = solved(text_of(patio("pergola", "9 ft", keys, run("A", "12 ft"))))
    told = " ".join(words(sheet) for sheet in pages(made, language))
    asks, wrong = {
        "en": ("past the framing", ("asterer", "finished face")),
        "es": ("de la estructura", ("stuco", "cara terminada", "acabad")),
    }[language]
    assert flat(asks) in flat(told)
    assert not [word for word in wrong if word in told]
