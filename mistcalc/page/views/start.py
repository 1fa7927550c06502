"""Six questions for somebody who has no project file; beside them the design that follows so far.

Nothing is saved before "Open this design": the answers live in the fields, the project in memory.
"""

from __future__ import annotations

import streamlit as st

from mistcalc import design, files, units
from mistcalc.errors import InputError
from mistcalc.model.results import Weather
from mistcalc.page import open_project, start_pictures
from mistcalc.page.first_answers import (
    LOOK_STEP,
    QUARTER_TURN,
    Answers,
    guessed_afternoon,
    is_length,
    length_of,
)
from mistcalc.page.start_pictures import SHAPES, shape_named
from mistcalc.page.views import components, controls, no_project, so_far
from mistcalc.page.views.sent_once import browser_part
from mistcalc.report.common.locale_text import Locale
from mistcalc.units import COMPASS_POINTS

CEILINGS = ("three-coat", "one-coat", "wood", "none", "unknown")
AIRS = ("town", "file", "mine")
QUESTIONS = ("shape", "lengths", "height", "looks", "air", "water")
FIRST_TEXTS = {"us": ("100 degF", "20 %", "8 mph"), "metric": ("38 degC", "20 %", "3 m/s")}


Air = tuple[str | None, tuple[str, float] | None, Weather | None, tuple[str, str, str] | None]


tiles, compass = (browser_part(name, f"{name}.css", f"{name}.js") for name in ("tiles", "compass"))


def show() -> None:
    locale = Locale(_units(), open_project.language())
    step = int(st.session_state.get("start-step", 1))
    no_project.show_name(locale.label, locale.language, f"question {step}")
    st.html(f"<style>@media (max-width: 40em) {{ {_on_a_phone(step)} }}</style>")
    questions, beside = st.columns([7, 4], gap="large")
    with questions, st.container(key="questions"):
        components.headline(locale.label("start.head"))
        with st.container(key="start-lead"):
            components.side(locale.label("start.lead"))
        answers, weather = _questions(locale)
    with beside, st.container(key="so-far"):
        so_far.show(answers, weather, locale)
    _one_by_one(step, locale)
    controls.button(locale.label("start.leave"), key="start-back", on_click=st.query_params.clear)


def _on_a_phone(step: int) -> str:
    """Style that shows one question alone, or what follows from all; page.css hides every one."""
    if step > len(QUESTIONS):
        shown = '[data-testid="stColumn"]:has(.st-key-so-far)'
    else:
        shown = f'[data-testid="stLayoutWrapper"]:has(> .st-key-ask-{step})'
    lead = "" if step == 1 else '[data-testid="stLayoutWrapper"]:has(> .st-key-start-lead) { display: none; }'
    return f"{shown} {{ display: flex !important; }} {lead}"


def _one_by_one(step: int, locale: Locale) -> None:
    """On a phone one question fills the screen, and these lead on and back; the last screen is the design."""
    after = (*QUESTIONS, "so_far")
    with st.container(key="start-steps"):
        if step < len(after):
            st.html(
                '<p class="squares" aria-hidden="true">'
                + "".join(f"<i{' class=done' if n < step else ''}></i>" for n in range(1, len(after)))
                + "</p>"
            )
            to = locale.label(f"start.next_{after[step]}")
            controls.button(
                locale.label("start.next", to=to), key="start-next", type="primary", width="stretch",
                on_click=_step, args=(step + 1,),
            )  # fmt: skip
        if step > 1:
            controls.button(
                locale.label("start.before"), key="start-before", on_click=_step, args=(step - 1,)
            )


def _step(step: int) -> None:
    st.session_state["start-step"] = step


def _units() -> units.System:
    """Those of the file to come, which the first length that is typed decides; before that, feet where the
    browser is American."""
    first = units.with_points(str(st.session_state.get("start-length-0") or "")).strip()
    if is_length(first):
        return "metric" if files.metric_length(first) else "us"
    return "us" if (st.context.locale or "en-US").endswith("US") else "metric"


def _questions(locale: Locale) -> tuple[Answers, Weather | None]:
    given = locale.label("start.name_given")
    asked = [st.container(key=f"ask-{n}") for n in range(1, len(QUESTIONS) + 1)]
    with asked[0]:
        no_project.offer_drawing(locale.label)
        name = _name(locale, given)
        shape = _shape(locale)
    with asked[1]:
        lengths = _lengths(shape, locale)
    with asked[2]:
        height, ceiling = _height(locale)
    with asked[3]:
        looks = _looks(shape, locale)
    with asked[4]:
        town, own, weather, afternoon = _air(locale)
    with asked[5]:
        mains = _water(locale)
    answers = Answers(name or given, shape, lengths, height, ceiling, looks, town, own, afternoon, mains)
    return answers, weather


def _name(locale: Locale, given: str) -> str:
    """As typed; of one that is longer than a project file takes it is said so at once."""
    title = locale.label("start.name")
    name = controls.text(title, key="start-name", value=given)
    if len(name.strip()) > files.LONGEST_NAME:
        long = InputError("text-too-long", key=title, most=files.LONGEST_NAME)
        components.show_errors(open_project.error_sentences(long))
    return name


def _question(number: int, key: str, locale: Locale, side: bool = True) -> None:
    head, text = locale.label(f"start.{key}"), locale.label(f"start.{key}_side") if side else ""
    told = f"<p class=side>{components.safe(text)}</p>" if text else ""
    st.html(f'<div class="question"><b>{number}</b><div><h2>{components.safe(head)}</h2>{told}</div></div>')


def _chosen_tile(name: str, options: list[tuple[str, str, str, str]], first: str, title: str) -> str:
    """options: key, title, text and picture of each; the key of the one chosen."""
    key = f"start-{name}-tiles"
    chosen = str(st.session_state.get(f"start-{name}", first))

    def take() -> None:
        asked = st.session_state[key].chosen
        if asked in {option[0] for option in options}:
            st.session_state[f"start-{name}"] = asked

    fields = ("key", "title", "text", "picture")
    told = [dict(zip(fields, option, strict=True)) for option in options]
    tiles(key=key, data={"name": title, "chosen": chosen, "options": told}, on_chosen_change=take)
    return chosen


def _shape(locale: Locale) -> str:
    _question(1, "shape", locale)
    options = [
        (shape.name, locale.label(f"start.shape_{shape.name}"), "", start_pictures.picture(shape))
        for shape in SHAPES
    ]
    return _chosen_tile("shape", options, SHAPES[0].name, locale.label("start.shape"))


def _lengths(shape_name: str, locale: Locale) -> tuple[str, ...]:
    _question(2, "lengths", locale, side=False)
    components.side(locale.label(f"start.lengths_side_{locale.units}"))
    shape = shape_named(shape_name)
    drawn, fields = st.columns([3, 2])
    with drawn:
        words = components.safe(locale.label("start.picture_of_lengths"))
        st.html(f'<img class="lengths" alt="{words}" src="{start_pictures.picture(shape, lettered=True)}">')
    with fields:
        out = []
        for n in range(shape.asked + 1):
            what = "start.length_of_run" if n < shape.asked else "start.length_of_depth"
            key = f"start-length-{n}" if n < shape.asked else "start-depth"
            letter = chr(ord("A") + n)
            text = controls.measure(locale.label(what, letter=letter), key=key)
            out.append(text)
            _read_back(text, locale, letter)
    return tuple(out)


def _read_back(text: str, locale: Locale, letter: str) -> None:
    """What was understood, where it was written another way; or what is wrong with it."""
    if not text.strip():
        return
    try:
        value = length_of(text, letter)
    except InputError as error:
        components.show_errors(open_project.error_sentences(error))
        return
    told = locale.number(value, "length")
    if told != text.strip():
        components.side(locale.label("start.read_as", length=value))


def _height(locale: Locale) -> tuple[str, str]:
    _question(3, "height", locale)
    with st.container(key="fields-start-height"):
        height = controls.measure(
            locale.label("start.height_field"),
            key="start-height",
            placeholder="10 ft" if locale.units == "us" else "3 m",
        )
    _read_back(height, locale, locale.label("start.height_field"))
    ceiling = controls.radio_buttons(
        locale.label("start.ceiling"),
        CEILINGS,
        format_func=lambda name: locale.label(f"start.ceiling_{name}"),
        index=len(CEILINGS) - 1,
        horizontal=True,
        key="start-ceiling",
    )
    return height, ceiling


def _looks(shape_name: str, locale: Locale) -> float | None:
    """Direction out over edge A; None while nobody has turned the square."""
    _question(4, "looks", locale)
    turned = st.session_state.get("start-looks")
    key = "start-compass"

    def take() -> None:
        asked = st.session_state[key].turned
        if isinstance(asked, int | float) and 0 <= asked < 360:
            st.session_state["start-looks"] = float(asked)

    points = [
        locale.label("start.looks_at", angle=units.parse(f"{at} deg", "angle"), point=_point(at))
        for at in range(0, 360, LOOK_STEP)
    ]
    compass(
        key=key,
        data={
            "turn": QUARTER_TURN if turned is None else turned,  # as is assumed
            "step": LOOK_STEP,
            "name": locale.label("start.looks_name"),
            "points": points,
            "plan": start_pictures.round_first_edge(shape_named(shape_name)),
            "letters": [locale.label(f"told.side_{side}") for side in COMPASS_POINTS[::2]],
        },
        on_turned_change=take,
    )
    if turned is not None:
        components.sentence(locale.label("start.looks_told", point=_point(turned)))
    return turned


def _point(degrees: float) -> str:
    return units.compass_point(units.parse(f"{degrees:g} deg", "angle"))


def _air(locale: Locale) -> Air:
    """A sample's name, an own file's name and elevation, the year either gives, or an afternoon as typed."""
    _question(5, "air", locale, side=False)
    how = controls.radio_buttons(
        locale.label("start.air"),
        AIRS,
        format_func=lambda name: locale.label(f"start.air_{name}"),
        horizontal=True,
        key="start-air",
        label_visibility="collapsed",
    )
    if how == "file":
        return _own_file(locale)
    if how == "mine":
        with st.container(key="fields-start-air"):
            asked = zip(("temperature", "humidity", "wind"), FIRST_TEXTS[locale.units], strict=True)
            texts = [
                controls.measure(locale.label(f"start.air_{what}"), key=f"start-air-{what}", value=first)
                for what, first in asked
            ]
        return None, None, None, (texts[0], texts[1], texts[2])
    title, known = locale.label("start.air_town_field"), files.towns()
    town = controls.dropdown(title, tuple(known), index=None, key="start-town")
    components.side(locale.label("start.air_town_side"))
    if not town:
        guess = guessed_afternoon(locale.units)
        mine = locale.label("start.air_mine")
        told = {"dry": guess.dry_bulb, "humid": guess.relative_humidity, "mine": mine}
        components.sentence(locale.label("start.air_none", **told))
        return None, None, None, None
    place = known[town].place
    weather = open_project.sample_weather(str(place.climate))
    for finding in design.of_climate(weather, place, ())[len(weather.notes) :]:
        components.sentence(locale.say(finding))
    return town, None, weather, None


def _own_file(locale: Locale) -> Air:
    """The year of an uploaded file: read once, however often an answer changes; kept for the design."""
    components.side(locale.label("start.air_file_side"))
    upload = controls.upload(locale.label("page.upload_climate"), key="start-climate")
    if upload is None:
        return None, None, None, None
    name, state = open_project.plain_name(upload.name), st.session_state
    if state.get("start-climate-read", ("",))[0] != upload.file_id:
        try:
            state["start-climate-read"] = (upload.file_id, files.read_climate(upload.getvalue(), name))
        except Exception as error:
            components.show_errors(open_project.error_sentences(error))
            return None, None, None, None
        state["start-climate-kept"] = (name, upload.getvalue())
    weather: Weather = state["start-climate-read"][1]
    components.side(locale.label("start.air_file_read", station=weather.station))
    return None, (name, weather.elevation), weather, None


def _water(locale: Locale) -> bool:
    _question(6, "water", locale, side=False)
    told = controls.radio_buttons(
        locale.label("start.water"),
        ("pump", "mains"),
        format_func=lambda name: locale.label(f"start.water_{name}"),
        key="start-water",
        label_visibility="collapsed",
    )
    components.side(locale.label(f"start.water_{told}_side"))
    return bool(told == "mains")
