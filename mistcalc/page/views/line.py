"""Line and pump: does the far nozzle mist, does the pump carry it, does the tube stand it."""

from __future__ import annotations

import streamlit as st

from mistcalc import design
from mistcalc.model.project import Nameplate
from mistcalc.model.results import Line
from mistcalc.page import open_project
from mistcalc.page.edits import SetValue
from mistcalc.page.nouns_by_name import Path
from mistcalc.page.open_project import OpenProject
from mistcalc.page.views import call_back, components, controls, pressure_test
from mistcalc.report.installer.checklist import ChecklistInput, groups
from mistcalc.report.installer.line_facts import facts


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
    components.findings(opened, findings)
    titles = [opened.label(key) for key in ("page.line_check", "page_hold.head", "page_call_back.head")]
    check, test, called_back = controls.tabs(titles)
    with check:
        rows, fields = st.columns([3, 2], gap="large")
        with rows:
            _checks(opened, listed)
        with fields:
            components.heading(opened.label("page.line_fields"))
            with st.container(key="fields-line"):
                _fields(opened)
            _plate(opened, line)
        _facts(listed)
        _nozzles(opened, line)
    with test:
        pressure_test.show(opened, line)
    with called_back:
        call_back.show(opened, line)
    components.cautions(opened, design.cautions(project, open_project.hottest(opened)))


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


def _facts(listed: ChecklistInput) -> None:
    for _, head, sentences in facts(listed):
        with controls.collapsible(head.capitalize()):
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


def _plate(opened: OpenProject, line: Line) -> None:
    """A way to say what the pump at hand says on its plate, begun with the size the line asks for."""
    pump, duty = opened.project.plumbing.pump, line.duty
    if pump is None or pump.nameplate is not None or not (duty.pick_flow and duty.pick_motor):
        return
    begun = Nameplate(duty.pick_flow, pump.set_pressure, duty.pick_motor, duty.pick_volts or 115.0)
    if controls.button(opened.label("page.plate_type"), key="plate"):
        components.commit(opened, [SetValue(("plumbing", "pump", "nameplate"), begun)])
        st.rerun()


def _fields(opened: OpenProject) -> None:
    plumbing = opened.project.plumbing
    rows: list[tuple[str, Path, str, bool]] = [
        ("nozzle_flow", ("plumbing", "nozzle", "flow"), "flow", False),
        ("nozzle_at", ("plumbing", "nozzle", "at"), "pressure", False),
        ("drop_median", ("plumbing", "nozzle", "drop_median"), "length", True),
        ("opens_at", ("plumbing", "nozzle", "opens_at"), "pressure", True),
    ]
    if plumbing.pump is not None:
        rows.append(("set_pressure", ("plumbing", "pump", "set_pressure"), "pressure", False))
        rows.append(("pump_volts", ("plumbing", "pump", "volts"), "voltage", True))
        if plumbing.pump.nameplate is not None:
            plate: Path = ("plumbing", "pump", "nameplate")
            rows.append(("plate_flow", (*plate, "flow"), "flow", False))
            rows.append(("plate_pressure", (*plate, "pressure"), "pressure", False))
            rows.append(("plate_motor", (*plate, "motor"), "power", False))
            rows.append(("plate_volts", (*plate, "volts"), "voltage", False))
            rows.append(("plate_relief", (*plate, "relief"), "pressure", True))
    rows += [
        ("water_static", ("plumbing", "water", "static"), "pressure", False),
        ("water_residual", ("plumbing", "water", "residual"), "pressure", False),
        ("water_at_flow", ("plumbing", "water", "at_flow"), "flow", False),
        ("water_filter", ("plumbing", "water", "filter"), "length", True),
        ("water_hardness", ("plumbing", "water", "hardness"), "concentration", True),
        ("tube_outside", ("plumbing", "tube", "outside"), "length", False),
        ("tube_wall", ("plumbing", "tube", "wall"), "length", False),
        ("tube_temperature", ("plumbing", "tube_temperature"), "temperature", False),
    ]
    for name, path, kind, optional in rows:
        components.quantity(opened, opened.label(f"page.{name}"), path, kind, optional)
