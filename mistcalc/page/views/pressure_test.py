"""Test and watch: what the gauge must show, readings typed as they were taken, and the answer to each hold.

Readings go into the project's site log, as they would from a telephone, and are kept like one: only added to.
"""

from __future__ import annotations

import datetime

import streamlit as st

from mistcalc import design
from mistcalc.errors import InputError
from mistcalc.files import append_site_log, entries_from_typed, read_site_log
from mistcalc.model.results import Line, PressureTestKind, PressureTestPlan
from mistcalc.model.site_log import STRIKE, SiteEntry, apply_strikes, strike_of
from mistcalc.model.site_readings import names_of
from mistcalc.page import open_project, store
from mistcalc.page.open_project import OpenProject
from mistcalc.page.views import components, controls
from mistcalc.words import word

SHOWN = 40  # latest lines of the log
KINDS: tuple[PressureTestKind, ...] = ("test", "watch")
DANGERS = {  # of this work alone, as on its sheet; the vessel a watch needs has no place on a line under test
    "test": ("paper_test.parts", "paper_watch.low"),
    "watch": ("paper_watch.low", "paper_watch.hands"),
}
READ = {  # when to read, and who decides
    "test": ("paper_test.read", "paper_test.code"),
    "watch": ("paper_watch.lead", "paper_watch.code"),
}


def show(opened: OpenProject, line: Line) -> int:
    """The steps of the line's view: figures and a form for each, then the answers. How many steps."""
    plan, _ = design.project_pressure_test_plan(opened.project, line, None)
    if plan is None:
        return 0
    if not plan.allowed:
        values = {"rating": line.duty.tube_rating, "gauge": plan.test.gauge}
        components.sentence(opened.label("paper_test.none", **values))
        return 0
    kinds = [kind for kind in KINDS if kind == "test" or plan.watch is not None]
    entries = log_of(opened)
    for number, kind in enumerate(kinds, 1):
        with controls.collapsible(f"{number} {opened.label(f'page_hold.{kind}')}"):
            _step(opened, plan, kind, entries)
    with st.container():  # there from the start: what folds below it stays open as the first reading comes
        if entries:
            project = opened.project
            _, findings = design.judge_pressure_tests(project.plumbing, line, project.place, plan, entries)
            components.findings(opened, (*findings, *design.struck_out(entries)))
            _written(opened, entries)
    return len(kinds)


def _step(
    opened: OpenProject, plan: PressureTestPlan, kind: PressureTestKind, entries: tuple[SiteEntry, ...]
) -> None:
    keys = DANGERS[kind] if plan.watch else ("paper_test.parts",)
    dangers = [opened.label(key) for key in keys]
    components.alerts(opened, design.cautions(opened.project, open_project.hottest(opened)), "test", dangers)
    components.facts(_figures(opened, plan, kind))
    components.sentence(" ".join(opened.label(key) for key in READ[kind]))
    components.sentence(opened.label("page_hold.lead"))
    _form(opened, kind, any(entry.field == f"{kind} start" for entry in entries))


def _figures(opened: OpenProject, plan: PressureTestPlan, kind: PressureTestKind) -> list[tuple[str, str]]:
    label, shown = opened.label, components.quantity_text
    if kind == "test":
        test = plan.test
        free, most = test.per_volume
        warm, warm_air = test.per_kelvin
        return [
            (label("page_hold.pump_up"), shown(opened, test.gauge, "pressure")),
            (label("page_hold.per_ml"), label("page_hold.pair_ml", first=free, second=most)),
            (label("page_hold.per_degree"), label("page_hold.pair_degree", first=warm, second=warm_air)),
        ]
    watch = plan.watch
    if watch is None:
        return []
    both, tube = watch.per_kelvin
    drawn = label("page_hold.draw_fall", draw=watch.draw, fall=watch.draw_fall, room=watch.draw_room)
    same = watch.same
    return [
        (label("page_hold.pump_up"), shown(opened, watch.gauge, "pressure")),
        (label("page_hold.draw"), drawn),
        (label("page_hold.per_degree_both"), label("page_hold.pair_degree_tube", first=both, second=tube)),
        (label("page_hold.again"), shown(opened, same.again_below, "dial")),
        (label("page_hold.stop"), shown(opened, same.stop_below, "dial")),
    ]


# ------------------------------------------------------------------ readings


def _form(opened: OpenProject, kind: PressureTestKind, started: bool) -> None:
    """Gauge and temperatures of one moment; nothing is kept where one of them cannot be read. What was kept
    is said, and the form is empty for the next: an old time or a second start would be written unseen."""
    label, key, state = opened.label, f"hold:{opened.identity}:{kind}", st.session_state
    fields = ("gauge", *names_of(kind, "thermometer"))
    if state.pop(f"{key}:kept", False):
        state.update({f"{key}:{name}": "" for name in ("when", *fields)}, **{f"{key}:what": "gauge"})
    state.setdefault(f"{key}:what", "gauge" if started else "start")
    with st.form(key, border=False):
        what = controls.radio_buttons(
            label("page_hold.what"),
            names_of(kind, "gauge"),
            format_func=lambda name: label(f"page_hold.is_{name}"),
            horizontal=True,
            key=f"{key}:what",
        )
        hint = label("page_hold.when_now")
        when = controls.text(label("page_hold.when"), key=f"{key}:when", placeholder=hint).strip() or now()
        typed = {name: controls.measure(label(f"page_hold.{name}"), key=f"{key}:{name}") for name in fields}
        if controls.submit(label("page_hold.add")):
            state.pop(f"{key}:told", None)
            try:
                _add(opened, kind, what, when, typed)
            except Exception as error:
                components.show_errors(open_project.error_sentences(error, opened))
            else:
                is_what = label(f"page_hold.is_{what}")
                told = label("page_hold.kept", what=is_what, when=when, gauge=typed["gauge"].strip())
                state.update({f"{key}:kept": True, f"{key}:told": told})
                st.rerun()
        if kept := state.get(f"{key}:told"):
            components.notice(kept)


def now() -> str:
    """The minute it is, as a reading's time is typed."""
    return datetime.datetime.now().isoformat(" ", "minutes")


def _add(opened: OpenProject, kind: PressureTestKind, what: str, when: str, typed: dict[str, str]) -> None:
    """Raises InputError or InputErrors with all mistakes of the form."""
    named = [(what if name == "gauge" else name, text.strip()) for name, text in typed.items()]
    typed_fields = [(f"{kind} {name}", text) for name, text in named if text]
    if what not in (name for name, text in named if text):
        raise InputError("reading-empty")
    asked = {
        f"{kind} {what if name == 'gauge' else name}": opened.label(f"page_hold.{name}") for name in typed
    }
    entries = entries_from_typed(when, typed_fields, opened.label("page_hold.form"), asked)
    store.add_to_site_log(opened.identity, lambda log: append_site_log(log, entries))


def log_of(opened: OpenProject) -> tuple[SiteEntry, ...]:
    log = store.site_log(opened.identity)
    try:
        return read_site_log(log) if log.exists() else ()
    except Exception as error:
        components.show_errors(open_project.error_sentences(error, opened))
        return ()


def _written(opened: OpenProject, entries: tuple[SiteEntry, ...]) -> None:
    label, struck = opened.label, {strike.entry: strike.by for strike in apply_strikes(entries).struck}
    with controls.collapsible(label("page_hold.written", count=len(entries))):
        late = sorted(entries, key=lambda e: e.when)[: -SHOWN - 1 : -1]
        names = ("when", "field", "value", *(["struck"] if struck else []))
        rows = [
            (_clock(e), _field(opened, e), str(e.value), *([_by(opened, struck.get(e))] if struck else []))
            for e in late
        ]
        crossed = {number for number, entry in enumerate(late) if entry in struck}
        components.table([label(f"page_hold.col_{name}") for name in names], rows, crossed)
        _strike(opened, [entry for entry in late if entry not in struck])
        controls.download(
            label("page_hold.download"),
            store.site_log(opened.identity).read_bytes(),
            file_name=f"{open_project.plain_name(opened.project.name).replace(' ', '-').lower()}.site.jsonl",
            mime="application/x-ndjson",
            key="download-site-log",
        )


def _clock(entry: SiteEntry) -> str:
    return entry.when.isoformat(" ", "minutes")


def _field(opened: OpenProject, entry: SiteEntry) -> str:
    return word(entry.field, opened.project.language)


def _by(opened: OpenProject, by: SiteEntry | None) -> str:
    return opened.label("page_hold.struck_by", when=_clock(by), who=by.who) if by is not None else ""


def _strike(opened: OpenProject, lines: list[SiteEntry]) -> None:
    """A line chosen is struck out by a further one; nothing leaves the log."""
    label, key = opened.label, f"strike:{opened.identity}"
    with st.form(key, border=False):
        chosen = controls.dropdown(
            label("page_hold.wrong"),
            lines,
            index=None,
            format_func=lambda e: f"{_clock(e)} {e.mark} {_field(opened, e)} {e.value}",
            placeholder=label("page_hold.wrong_none"),
            key=f"{key}:line",
        )
        pressed = controls.submit(label("page_hold.strike"))
    if not pressed or chosen is None:
        return
    now_like = datetime.datetime.now(chosen.when.tzinfo).replace(microsecond=0)
    by = SiteEntry(now_like, STRIKE, strike_of(chosen), chosen.mark)
    try:
        store.add_to_site_log(opened.identity, lambda log: append_site_log(log, [by]))
    except Exception as error:
        components.show_errors(open_project.error_sentences(error, opened))
    else:
        st.rerun()
