"""Beside the six questions: the plan and the numbers of the answers so far, and the way on."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

import streamlit as st

from mistcalc import design, words
from mistcalc.errors import InputError, InputErrors, MistcalcError
from mistcalc.model.results import Weather
from mistcalc.page import access, first_answers, open_project, places, store
from mistcalc.page.first_answers import Answers
from mistcalc.page.open_project import OpenProject
from mistcalc.page.plan_data import lid_in_plan
from mistcalc.page.views import background_work, components, controls
from mistcalc.page.views.sent_once import browser_part
from mistcalc.report.common.assumptions import assumption_sentences
from mistcalc.report.common.locale_text import Locale

QUESTIONS = "six questions"  # whose figures: of what has no project yet
TOLD = 3  # assumptions said at once
_plan = browser_part("plan", "lid.css", "overview.js", "plan.js")


def show(answers: Answers, weather: Weather | None, locale: Locale) -> None:
    components.heading(locale.label("start.so_far"))
    if not answers.complete:
        background_work.forget_figures(QUESTIONS)
        components.side(locale.label("start.so_far_empty"))
        return
    try:
        text = first_answers.project_text(answers, locale.language)
        opened = OpenProject("", text, open_project.parsed(text))
        follows(opened, answers.air_guessed, weather, QUESTIONS)
    except MistcalcError as error:
        components.show_errors(_by_question(error, answers.shape, locale))
        return
    ways_on(opened, text)


def _by_question(error: MistcalcError, shape: str, locale: Locale) -> Sequence[str]:
    """Each mistake with the question that was answered so: nobody here has seen the file and its lines."""
    if not isinstance(error, InputErrors):
        return open_project.error_sentences(error)
    asked = [(first_answers.question_of(mistake), mistake) for mistake in error.mistakes]
    if any(number is None for number, _ in asked):
        return open_project.error_sentences(error)
    told = (
        locale.label(
            "start.mistake",
            number=number,
            told=words.say(_named(mistake, shape, locale), locale.units, locale.language),
        )
        for number, mistake in asked
    )
    return tuple(dict.fromkeys(told))  # in a ring a wrong length stands at two runs


def _named(mistake: InputError, shape: str, locale: Locale) -> InputError:
    """The same mistake of the field that was typed in, by the name over it, not by its key in the file."""
    label, letter = first_answers.field_of(mistake, shape)
    title = locale.label(f"start.{label}", letter=letter)
    return components.named(mistake, title)


def ways_on(opened: OpenProject, text: str) -> None:
    """Open it, or take the file away."""
    title = opened.label("start.open")
    controls.button(title, key="start-open", type="primary", on_click=_open, args=(text,))
    name = f"{open_project.plain_name(opened.project.name).replace(' ', '-').lower()}.toml"
    controls.download(opened.label("start.take"), text, file_name=name, mime="text/plain", key="start-take")


def follows(opened: OpenProject, air_guessed: bool, weather: Weather | None, sketch: str) -> None:
    """Its plan, its numbers as far as they are worked out, and what was assumed. sketch: which it is of
    several."""
    project, patio, label = opened.project, opened.patio, opened.label
    layout, _ = design.lay(patio, house=project.house_names)
    marks, runs = len(layout.marks), len(patio.runs)
    words = {"overview": label("start.overview", count=marks, runs=runs)}
    plan = lid_in_plan(layout, patio, opened.locale, project.plumbing)
    _plan(key="start-plan", data={"plan": plan, "words": words})
    of = "" if weather is None else weather.key
    pitch = layout.pitch or patio.marks.pitch
    components.facts([(label("start.fact_marks"), label("start.fact_marks_value", count=marks, pitch=pitch))])

    def work(saying: str) -> open_project.Follows | None:
        return background_work.in_background(
            opened, "job", lambda: open_project.line_and_cooling(project, weather, patio), of, saying=saying
        )

    background_work.figures(opened, work, partial(_numbers, opened), label("page.cooling_meant"), sketch)
    if air_guessed:
        components.side(label("start.air_guessed"))
    said = assumption_sentences(project, opened.locale)
    components.sentence(label("start.assumed", count=len(said)))
    for sentence in said[:TOLD]:
        components.side(sentence)
    with controls.collapsible(label("start.assumed_all", count=len(said))):
        for sentence in said:
            components.side(sentence)


def _numbers(opened: OpenProject, made: open_project.Follows) -> list[background_work.Row]:
    line, _, cooled = made
    rows = [(opened.label("start.fact_flow"), components.quantity_text(opened, line.total_flow, "flow"))]
    if line.duty.pick_flow is not None:
        duty = {"flow": line.duty.pick_flow, "pressure": line.supply_gauge}
        rows.append((opened.label("start.fact_pump"), opened.label("start.fact_pump_value", **duty)))
    span = cooled[0].band("seats", (0.1, 0.9))
    return [*rows, (opened.label("start.fact_seats"), opened.label("number.cooler", span=span))]


def _open(text: str) -> None:
    """Keep it, with the climate file that came with it, and go to its plan."""
    kept = st.session_state.get("start-climate-kept")
    named = open_project.parsed(text).place.climate
    identity = store.create(text, kept if kept and kept[0] == named else None, access.owner())
    background_work.forget_figures(QUESTIONS)
    st.query_params.clear()
    st.query_params["project"] = places.in_address(identity)
    st.query_params["view"] = "lid"
