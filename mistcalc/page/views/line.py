"""Line and pump: does the far nozzle mist, does the pump carry it, does the tube stand it."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import streamlit as st

from mistcalc import design, report, units, words
from mistcalc.errors import InputError
from mistcalc.model.project import Nameplate
from mistcalc.model.results import Finding, Line
from mistcalc.page import open_project
from mistcalc.page.edits import SetValue
from mistcalc.page.nouns_by_name import Path
from mistcalc.page.open_project import OpenProject
from mistcalc.page.views import call_back, components, controls, pressure_test
from mistcalc.report.common.findings_by_reader import notes_apart
from mistcalc.report.common.line_kind import LineAlone, line_conditions
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.screen_picture import ScreenPicture
from mistcalc.report.installer.checklist import ChecklistInput, groups
from mistcalc.report.installer.line_facts import facts

Field = tuple[str, Path, str, bool]  # its label, where it stands, its kind, whether it may be empty
PLATE: Path = ("plumbing", "pump", "nameplate")


def show(opened: OpenProject) -> None:
    project = opened.project
    layouts = tuple(layout for layout, _ in design.lay_all(project))
    line, findings = design.solve_line(project.plumbing, layouts, open_project.hottest(opened))
    judged, use = design.installer(project, line, findings)
    locale = opened.locale
    listed = ChecklistInput(project.plumbing, line, judged, use, locale, project.patios)
    verdict = opened.label(f"verdict.{judged.word}") if judged.items else ""
    if verdict:
        components.headline(opened.label(f"paper_check.verdict_{listed.supply}", verdict=verdict))
    far = opened.label("page.line_head", mark=line.far_mark, far=line.far_gauge, supply=line.supply_gauge)
    (components.sentence if verdict else components.headline)(far)
    heard, notes = notes_apart(findings)
    components.findings(opened, heard)
    _plate(opened, line)
    cautions = design.cautions(project, open_project.hottest(opened))
    if line.marks:
        job = LineAlone(project, line, findings)
        pictures, numbers = _pictures(job, locale)
        components.drawings(pictures, locale.label("page.line_picture", count=len(line.marks)))
        components.alerts(opened, cautions, "call")  # the numbers are read with hands on the line
        _wall(job, numbers, locale)
    components.heading(opened.label("page.line_steps"))
    called_back = 1 + pressure_test.show(opened, line)
    with controls.collapsible(f"{called_back} {opened.label('page_call_back.head')}"):
        call_back.show(opened, line)
    components.heading(opened.label("page.line_rest"))
    with controls.collapsible(opened.label("page.line_check")):
        _checks(opened, listed)
    with controls.collapsible(opened.label("page.line_fields")), st.container(key="fields-line"):
        _fields(opened, FIELDS)
    _know(opened, listed, notes)
    _nozzles(opened, line)
    components.cautions(opened, cautions)


def _wall(job: LineAlone, numbers: Sequence[tuple[str, str]], locale: Locale) -> None:
    """The five numbers for the wall."""
    components.heading(locale.label("paper_line.wall", **line_conditions(job)).capitalize())
    cells = "".join(
        f"<div><b>{components.safe(number)}</b><span>{components.safe(what)}</span></div>"
        for number, what in numbers
    )
    st.html(f'<div class="wall-numbers">{cells}</div>')


@lru_cache(maxsize=16)
def _pictures(
    job: LineAlone, locale: Locale
) -> tuple[tuple[ScreenPicture, ...], tuple[tuple[str, str], ...]]:
    return report.line_pictures(job, locale), report.wall_numbers(job, locale)


def _checks(opened: OpenProject, listed: ChecklistInput) -> None:
    """Every item of the check sheet, with what it should be and the verdict on the plan."""
    head = [opened.label(f"paper_check.{name}") for name in ("check", "wanted", "plan")]
    for group in groups(listed):
        rows = [
            (item.what, item.wanted, opened.label(f"verdict.{item.verdict}") if item.verdict else "")
            for item in group.items
        ]
        wide = 3 if any(verdict for _, _, verdict in rows) else 2
        components.heading(group.name.capitalize())
        components.table(head[:wide], [row[:wide] for row in rows])


def _know(opened: OpenProject, listed: ChecklistInput, notes: Sequence[Finding]) -> None:
    with controls.collapsible(listed.label("page.line_know")):
        components.findings(opened, notes)
        for _, head, sentences in facts(listed):
            components.heading(head.capitalize())
            components.sentence(" ".join(sentences))


def _nozzles(opened: OpenProject, line: Line) -> None:
    with controls.collapsible(opened.label("page.every_nozzle")):
        names = ("col_mark", "col_patio", "col_pressure", "col_flow")
        rows = [
            (
                m.name,
                m.patio,
                components.quantity_text(opened, m.pressure_gauge, "pressure"),
                components.quantity_text(opened, m.flow, "flow"),
            )
            for m in line.marks
        ]
        components.table([opened.label(f"page.{name}") for name in names], rows)


PUMP_FIELDS: tuple[Field, ...] = (
    ("set_pressure", ("plumbing", "pump", "set_pressure"), "pressure", False),
    ("pump_volts", ("plumbing", "pump", "volts"), "voltage", True),
)
PLATE_FIELDS: tuple[Field, ...] = (
    ("plate_flow", (*PLATE, "flow"), "flow", False),
    ("plate_pressure", (*PLATE, "pressure"), "pressure", False),
    ("plate_motor", (*PLATE, "motor"), "power", False),
    ("plate_volts", (*PLATE, "volts"), "voltage", False),
    ("plate_relief", (*PLATE, "relief"), "pressure", True),
)
FIELDS: tuple[Field, ...] = (
    ("nozzle_flow", ("plumbing", "nozzle", "flow"), "flow", False),
    ("nozzle_at", ("plumbing", "nozzle", "at"), "pressure", False),
    ("drop_median", ("plumbing", "nozzle", "drop_median"), "length", True),
    ("opens_at", ("plumbing", "nozzle", "opens_at"), "pressure", True),
    ("water_static", ("plumbing", "water", "static"), "pressure", False),
    ("water_residual", ("plumbing", "water", "residual"), "pressure", False),
    ("water_at_flow", ("plumbing", "water", "at_flow"), "flow", False),
    ("water_filter", ("plumbing", "water", "filter"), "length", True),
    ("water_hardness", ("plumbing", "water", "hardness"), "concentration", True),
    ("tube_outside", ("plumbing", "tube", "outside"), "length", False),
    ("tube_wall", ("plumbing", "tube", "wall"), "length", False),
    ("tube_temperature", ("plumbing", "tube_temperature"), "temperature", False),
)


def _plate(opened: OpenProject, line: Line) -> None:
    """What the pump at hand is set to and says on its plate."""
    pump, duty = opened.project.plumbing.pump, line.duty
    _supply(opened)
    if pump is None:
        return
    components.heading(opened.label("page.line_plate"))
    with st.container(key="fields-plate"):
        _fields(opened, (*PUMP_FIELDS, *(PLATE_FIELDS if pump.nameplate is not None else ())))
    if pump.nameplate is None:
        _plate_form(opened, (duty.pick_flow, pump.set_pressure, duty.pick_motor, duty.pick_volts))


def _plate_form(opened: OpenProject, wanted: Sequence[float | None]) -> None:
    """Empty fields for what a plate says, what is wanted of it as their hints: what nobody
    typed stands on no plate."""
    label, key, project = opened.label, f"plate:{opened.identity}", opened.project
    with controls.collapsible(label("page.plate_type")), st.form(key, border=False):
        texts = {}
        for (name, _, kind, _), value in zip(PLATE_FIELDS, (*wanted, None), strict=True):
            hint = components.spelled(value, kind, project.units) if value else ""
            hint = hint and label("page.plate_wanted", value=hint)
            texts[name] = controls.measure(label(f"page.{name}"), key=f"{key}:{name}", placeholder=hint)
        if not controls.submit(label("page.plate_keep")):
            return
        read: list[float | None] = []
        wrong: list[str] = []
        for name, _, kind, optional in PLATE_FIELDS:
            title, text = label(f"page.{name}"), texts[name].strip()
            try:
                read.append(None if optional and not text else units.parse(text, kind))
            except InputError as mistake:
                told = words.say(components.named(mistake, title), project.units, project.language)
                wrong.append(f"{title}: {told}")
        if wrong:
            components.show_errors(wrong)
            return
        components.commit(opened, [SetValue(PLATE, Nameplate(*read))])  # type: ignore[arg-type]
    st.rerun()


def _supply(opened: OpenProject) -> None:
    """A pump or house water alone; what belongs to the one is set aside for the other."""
    now = "mains" if opened.project.plumbing.pump is None else "pump"
    key = f"supply-{opened.identity}-{now}"

    def chosen() -> None:
        try:
            open_project.change_supply(opened.identity)
        except Exception as error:
            st.session_state["refused"] = open_project.error_sentences(error, opened)

    choices = ("pump", "mains")
    controls.radio_buttons(
        opened.label("start.water"),
        choices,
        format_func=lambda name: opened.label(f"start.water_{name}"),
        index=choices.index(now),
        horizontal=True,
        key=key,
        on_change=chosen,
    )
    components.side(opened.label(f"page.supply_{now}"))


def _fields(opened: OpenProject, fields: tuple[Field, ...]) -> None:
    for name, path, kind, optional in fields:
        components.quantity(opened, opened.label(f"page.{name}"), path, kind, optional)
