"""Call-back: what was read on a running line, what a sound line would show, and what is likely wrong.

Readings go into the site log with those of test and watch; the last visit is answered.
"""

from __future__ import annotations

from collections.abc import Iterator

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from mistcalc import design
from mistcalc.errors import InputError, MistcalcError
from mistcalc.files import append_site_log, entries_from_typed
from mistcalc.model.results import ExpectedReading, Line
from mistcalc.model.results.diagnosis import SEEN
from mistcalc.model.site_log import apply_strikes
from mistcalc.model.site_readings import BY_FIELD, HANDED_OVER, Occasion, call_back
from mistcalc.page import open_project, store
from mistcalc.page.open_project import OpenProject
from mistcalc.page.views import background_work, components, controls, pressure_test

COLUMNS = 3


def show(opened: OpenProject, line: Line) -> None:
    """The section of the line's view: a form of readings, none of them a must, and the answer."""
    try:
        sound = design.sound_readings(opened.project, line)
    except MistcalcError:  # a line that passes no water has findings enough above
        return
    components.alerts(opened, design.cautions(opened.project, open_project.hottest(opened)), "call")
    components.sentence(opened.label("page_call_back.lead"))
    off = "off-mains" if opened.project.plumbing.pump is None else "off-pumped"
    components.sentence(opened.label("page_call_back.cup", off=off))
    _form(opened, sound)
    entries = tuple(
        e
        for e in apply_strikes(pressure_test.log_of(opened)).kept
        if _taken(e.field, "call-back", "commissioning")
    )
    if not any(_taken(e.field, "call-back") for e in entries):
        return
    answered = background_work.in_background(
        opened,
        "call_back",
        lambda: design.judge_call_backs(opened.project, line, entries),
        of=str(len(entries)),
    )
    if answered is None:
        return
    visits, findings = answered
    components.findings(opened, findings)
    _every(opened, visits)


def _form(opened: OpenProject, sound: tuple[ExpectedReading, ...]) -> None:
    label, key = opened.label, f"call_back:{opened.identity}"
    typed: dict[str, str] = {}
    asked: dict[str, str] = {}
    with st.form(key, border=False):
        cells = _cells()
        for reading in sound:
            with next(cells):
                title = label(f"page_call_back.{_title(opened, reading)}", at=reading.at, held=reading.held)
                asked[call_back(reading.name).field] = title
                typed[call_back(reading.name).field] = controls.measure(
                    title, key=f"{key}:{reading.name}", placeholder=_shown(opened, reading)
                )
        with next(cells):
            typed[call_back("weak").field] = controls.text(label("page_call_back.weak"), key=f"{key}:weak")
        for name, choices in SEEN.items():
            if name == "cycles" and opened.project.plumbing.pump is None:
                continue
            with next(cells):
                told = controls.dropdown(
                    label(f"page_call_back.{name}"),
                    ("unsaid", *choices),
                    format_func=lambda one, name=name: label(f"page_call_back.{name}_{one}"),
                    key=f"{key}:{name}",
                )
                typed[call_back(name).field] = "" if told == "unsaid" else told
        with controls.collapsible(label("page_call_back.sheet_head")):
            places: dict[str, str] = {reading.name: reading.at for reading in sound}
            for name in HANDED_OVER:
                title = label(f"page_call_back.sheet_{name}", at=places.get(name, ""))
                asked[f"commissioning {name}"] = title
                typed[f"commissioning {name}"] = controls.measure(title, key=f"{key}:sheet:{name}")
        if controls.submit(label("page_call_back.add")):
            try:
                _add(opened, typed, asked)
            except Exception as error:
                components.show_errors(open_project.error_sentences(error, opened))


def _taken(field: str, *occasions: Occasion) -> bool:
    return field in BY_FIELD and BY_FIELD[field].occasion in occasions


def _cells() -> Iterator[DeltaGenerator]:
    """Places row by row, so that on a phone, where columns stand under each other, the order stays."""
    while True:
        yield from st.columns(COLUMNS, gap="medium")


def _title(opened: OpenProject, expected_reading: ExpectedReading) -> str:
    if expected_reading.name != "gauge":
        return expected_reading.name
    return "gauge_main" if opened.project.plumbing.pump is None else "gauge_pump"


def _shown(opened: OpenProject, expected_reading: ExpectedReading) -> str:
    """Between what nineteen sound lines of twenty show, beside the blank."""
    kind = call_back(expected_reading.name).shown
    bounds = {
        end: components.quantity_text(opened, at, kind)
        for end, at in zip(("low", "high"), expected_reading.sound, strict=True)
    }
    return opened.label("page_call_back.sound", **bounds)


def _add(opened: OpenProject, typed: dict[str, str], asked: dict[str, str]) -> None:
    """Raises InputError or InputErrors with all mistakes of the form, each at what was asked; nothing is kept
    then."""
    typed_fields = [(field, text.strip()) for field, text in typed.items() if text.strip()]
    if not any(_taken(field, "call-back") for field, _ in typed_fields):
        raise InputError("call-back-nothing")
    form = opened.label("page_call_back.form")
    entries = entries_from_typed(pressure_test.now(), typed_fields, form, asked)
    store.add_to_site_log(opened.identity, lambda log: append_site_log(log, entries))


def _every(opened: OpenProject, visits: design.Answered) -> None:
    for _, diagnosis in visits:
        if diagnosis is not None:
            with controls.collapsible(opened.label("page_call_back.every")):
                head = [opened.label("page_call_back.col_cause"), opened.label("page_call_back.col_share")]
                rows = [
                    (
                        opened.label(f"word.cause-{cause.cause}"),
                        components.quantity_text(opened, cause.share, "percent"),
                    )
                    for cause in diagnosis.causes
                ]
                components.table(head, rows)
