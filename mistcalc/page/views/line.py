"""Line and pump: does the far nozzle mist, does the pump carry it, does the tube stand it."""

from __future__ import annotations

import streamlit as st

from mistcalc import design
from mistcalc.model.results import Duty
from mistcalc.page import desk
from mistcalc.page.desk import Desk
from mistcalc.page.edits import Path
from mistcalc.page.views import parts, work


def show(opened: Desk) -> None:
    project = opened.project
    layouts = tuple(design.lay(patio)[0] for patio in project.patios)
    line, found = design.plumb(project.plumbing, layouts)
    parts.headline(
        opened.label("page.line_head", mark=line.far_mark, far=line.far_gauge, supply=line.supply_gauge)
    )
    parts.findings(opened, found)
    rows, fields = st.columns([3, 2], gap="large")
    with rows:
        parts.facts(parts.pump_rows(opened, line, found))
        parts.facts(_power(opened, line.duty))
        parts.facts(_tube(opened, line.duty))
    with fields:
        parts.heading(opened.label("page.line_fields"))
        with st.container(key="fields-line"):
            _fields(opened)
    job = work.awaited(opened, "job", lambda: desk.whole(opened))
    if job is not None:
        parts.cautions(opened, job.findings)
    with st.expander(opened.label("page.every_nozzle")):
        head = [
            opened.label(f"page.{name}") for name in ("col_mark", "col_patio", "col_pressure", "col_flow")
        ]
        parts.table(
            head,
            [
                (
                    m.name,
                    m.patio,
                    parts.show(opened, m.pressure_gauge, "pressure"),
                    parts.show(opened, m.flow, "flow"),
                )
                for m in line.marks
            ],
        )


def _power(opened: Desk, duty: Duty) -> list[tuple[str, str]]:
    kinds = {
        "pick_motor": "motor",
        "pick_volts": "voltage",
        "shaft_power": "motor",
        "electric_power": "power",
        "inlet_gauge": "pressure",
    }
    rows = [
        (opened.label(f"page.{name}"), parts.show(opened, getattr(duty, name), kind))
        for name, kind in kinds.items()
        if getattr(duty, name) is not None
    ]
    for name in ("full_load_amps", "circuit_amps"):
        if (amps := getattr(duty, name)) is not None:
            rows.append((opened.label(f"page.{name}"), opened.label("page.amps", amps=f"{amps:.1f}")))
    return rows


def _tube(opened: Desk, duty: Duty) -> list[tuple[str, str]]:
    kinds = {"tube_rating": "pressure", "tube_rating_temperature": "temperature", "fill_volume": "volume"}
    return [
        (opened.label(f"page.{name}"), parts.show(opened, getattr(duty, name), kind))
        for name, kind in kinds.items()
    ]


def _fields(opened: Desk) -> None:
    plumbing = opened.project.plumbing
    rows: list[tuple[str, Path, str, bool]] = [
        ("nozzle_flow", ("plumbing", "nozzle", "flow"), "flow", False),
        ("nozzle_at", ("plumbing", "nozzle", "at"), "pressure", False),
        ("drop_median", ("plumbing", "nozzle", "drop_median"), "length", False),
        ("opens_at", ("plumbing", "nozzle", "opens_at"), "pressure", True),
    ]
    if plumbing.pump is not None:
        rows.append(("set_pressure", ("plumbing", "pump", "set_pressure"), "pressure", False))
        if plumbing.pump.nameplate is not None:
            plate: Path = ("plumbing", "pump", "nameplate")
            rows.append(("plate_flow", (*plate, "flow"), "flow", False))
            rows.append(("plate_pressure", (*plate, "pressure"), "pressure", False))
    rows += [
        ("water_static", ("plumbing", "water", "static"), "pressure", False),
        ("water_residual", ("plumbing", "water", "residual"), "pressure", False),
        ("water_at_flow", ("plumbing", "water", "at_flow"), "flow", False),
        ("tube_outside", ("plumbing", "tube", "outside"), "length", False),
        ("tube_wall", ("plumbing", "tube", "wall"), "length", False),
        ("tube_temperature", ("plumbing", "tube_temperature"), "temperature", False),
    ]
    for name, path, kind, optional in rows:
        parts.quantity(opened, opened.label(f"page.{name}"), path, kind, optional)
