"""Call-back: what was read on a running line, what a sound line would show, and what is likely wrong.

Readings go into the site log with those of test and watch; the last visit is answered.
"""

from __future__ import annotations

from collections.abc import Iterator

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from mistcalc import design
from mistcalc.errors import InputError, MistcalcError
from mistcalc.files import append_site_log, readings_of
from mistcalc.model.results import ExpectedReading, Line
from mistcalc.model.site import standing
from mistcalc.page import desk, store
from mistcalc.page.desk import Desk
from mistcalc.page.views import controls, hold, parts, work

GAUGES = ("gauge", "inlet", "port")
CUPS = ("near", "far")
SHEET = ("gauge", "meter", "inlet", "near", "far")
WET = ("unsaid", "nowhere", "drain", "elsewhere")
COLUMNS = 3


def show(opened: Desk, line: Line) -> None:
    """The section of the line's view: a form of readings, none of them a must, and the answer."""
    try:
        sound = design.sound_readings(opened.project, line)
    except MistcalcError:  # a line that passes no water has findings enough above
        return
    parts.heading(opened.label("page_callback.head"))
    parts.alerts(opened, design.cautions(opened.project, desk.hottest(opened)), "call")
    parts.sentence(opened.label("page_callback.lead"))
    parts.sentence(opened.label("page_callback.cup"))
    _form(opened, sound)
    entries = tuple(
        e for e in standing(hold.log_of(opened)).kept if e.field.startswith(("call-back ", "commissioning "))
    )
    if not any(e.field.startswith("call-back ") for e in entries):
        return
    answered = work.awaited(
        opened,
        "call_back",
        lambda: design.judge_call_backs(opened.project, line, entries),
        of=str(len(entries)),
    )
    if answered is None:
        return
    visits, found = answered
    parts.findings(opened, found)
    _every(opened, visits)


def _form(opened: Desk, sound: tuple[ExpectedReading, ...]) -> None:
    label, key = opened.label, f"callback:{opened.identity}"
    typed: dict[str, str] = {}
    with st.form(key, border=False):
        cells = _cells()
        for one in sound:
            with next(cells):
                title = label(f"page_callback.{_title(opened, one)}", at=one.at, held=one.held)
                typed[f"call-back {one.name}"] = controls.text(
                    title, key=f"{key}:{one.name}", placeholder=_shown(opened, one)
                )
        with next(cells):
            typed["call-back weak"] = controls.text(label("page_callback.weak"), key=f"{key}:weak")
        with next(cells):
            wet = controls.chosen(
                label("page_callback.wet"),
                WET,
                format_func=lambda name: label(f"page_callback.wet_{name}"),
                key=f"{key}:wet",
            )
            typed["call-back wet"] = "" if wet == "unsaid" else wet
        with controls.folded(label("page_callback.sheet_head")):
            places: dict[str, str] = {one.name: one.at for one in sound}
            for name in SHEET:
                title = label(f"page_callback.sheet_{name}", at=places.get(name, ""))
                typed[f"commissioning {name}"] = controls.text(title, key=f"{key}:sheet:{name}")
        if controls.submit(label("page_callback.add")):
            try:
                _add(opened, typed)
            except Exception as error:
                parts.refuse(desk.mistakes(error, opened))


def _cells() -> Iterator[DeltaGenerator]:
    """Places row by row, so that on a phone, where columns stand under each other, the order stays."""
    while True:
        yield from st.columns(COLUMNS, gap="medium")


def _title(opened: Desk, one: ExpectedReading) -> str:
    if one.name != "gauge":
        return one.name
    return "gauge_main" if opened.project.plumbing.pump is None else "gauge_pump"


def _shown(opened: Desk, one: ExpectedReading) -> str:
    """Between what nineteen sound lines of twenty show, beside the blank."""
    kind = "bucket" if one.name in (*CUPS, "creep") else "pressure" if one.name in GAUGES else "flow"
    told = {end: parts.show(opened, at, kind) for end, at in zip(("low", "high"), one.sound, strict=True)}
    return opened.label("page_callback.sound", **told)


def _add(opened: Desk, typed: dict[str, str]) -> None:
    """Raises InputError or InputErrors with all mistakes of the form; nothing is kept then."""
    told = [(field, text.strip()) for field, text in typed.items() if text.strip()]
    if not any(field.startswith("call-back ") for field, _ in told):
        raise InputError("callback-nothing")
    entries = readings_of(hold.now(), told, opened.label("page_callback.form"))
    store.add_to_site_log(opened.identity, lambda log: append_site_log(log, entries))


def _every(opened: Desk, visits: design.Answered) -> None:
    for _, told in visits:
        if told is not None:
            with controls.folded(opened.label("page_callback.every")):
                head = [opened.label("page_callback.col_cause"), opened.label("page_callback.col_share")]
                rows = [
                    (opened.label(f"word.cause-{one.cause}"), parts.show(opened, one.share, "percent"))
                    for one in told.causes
                ]
                parts.table(head, rows)
