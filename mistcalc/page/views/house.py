"""The house and its air: what was stated, what was assumed, and the afternoons that follow."""

from __future__ import annotations

import math

import streamlit as st

from mistcalc import design
from mistcalc.files import climate_place, climate_sample_names
from mistcalc.page import open_project
from mistcalc.page.edits import Edit, SetValue, climate_named
from mistcalc.page.first_answers import LOOK_STEP, QUARTER_TURN
from mistcalc.page.open_project import OpenProject
from mistcalc.page.views import climate_way, components, controls
from mistcalc.page.views.afternoon import air_table
from mistcalc.report.common.assumptions import assumption_sentences
from mistcalc.report.common.mirrored_name import job_name
from mistcalc.units import compass_point


def show(opened: OpenProject) -> None:
    project = opened.project
    components.headline(job_name(project, opened.locale))
    components.sentence(project.about)
    _climate(opened)
    climate_way.offer_back(opened)
    _air(opened)
    components.heading(opened.label("page.the_house"))
    for patio in project.patios:
        components.facts(
            [
                (opened.label("page.patio"), patio.name),
                (opened.label("page.runs"), ", ".join(run.name for run in patio.runs)),
                (opened.label("page.things"), str(len(patio.obstacles))),
            ]
        )
        with st.container(key=f"fields-house-{patio.name}"):
            here = ("patios", patio.name)
            components.quantity(opened, opened.label("page.height"), (*here, "height"), "length")
            components.quantity(opened, opened.label("page.depth"), (*here, "depth"), "length")
            for run in patio.runs:
                title = opened.label("page.run_length", name=run.name)
                components.quantity(opened, title, (*here, "runs", run.name, "length"), "length")
    with st.container(key="fields-place"):
        components.quantity(opened, opened.label("page.elevation"), ("place", "elevation"), "length")
        components.quantity(opened, opened.label("page.shelter"), ("place", "shelter"), "share")
        _looks(opened)
    if project.assumed:
        with controls.collapsible(opened.label("page.assumed", count=len(project.assumed))):
            for sentence in assumption_sentences(project, opened.locale):
                components.sentence(sentence)


def _looks(opened: OpenProject) -> None:
    """Which way one looks out over the first edge: a quarter turn right of how it is walked, and kept so."""
    project = opened.project
    patio = project.patios[0]
    walked = project.heading(patio.name)
    out_to = math.degrees(walked) + QUARTER_TURN
    now = round(out_to % 360, 1) % 360
    choices = sorted({*map(float, range(0, 360, LOOK_STEP)), now})
    key = f"looks-{opened.identity}-{now}"

    def chosen() -> None:
        bearing = math.radians((st.session_state[key] - out_to) % 360) + project.place.bearing
        turned: list[Edit] = [SetValue(("place", "bearing"), bearing % (2 * math.pi))]
        if project.place.north:  # its words say where north was
            turned.append(SetValue(("place", "north"), ""))
        components.commit(opened, turned)

    def told(degrees: float) -> str:
        return opened.label(
            "start.looks_at", angle=math.radians(degrees), point=compass_point(math.radians(degrees))
        )

    title = opened.label("page.looks", name=patio.runs[0].name)
    controls.dropdown(title, choices, index=choices.index(now), format_func=told, key=key, on_change=chosen)


def _climate(opened: OpenProject) -> None:
    """A sample of ours, the user's own file, or afternoons typed into the project."""
    components.heading(opened.label("page.climate"))
    shipped = list(climate_sample_names())
    now = opened.project.place.climate
    choices = shipped if now in shipped or now is None else [now, *shipped]
    key = (
        f"climate-{opened.identity}-{now}"  # with the choice in it: after an undo the field shows the old one
    )

    def chosen() -> None:
        name = str(st.session_state[key])
        elevation = open_project.sample_weather(name).elevation
        components.commit(opened, climate_named(opened.project, name, elevation))

    at = None if now is None else choices.index(now)
    controls.dropdown(
        opened.label("page.climate_choice"),
        choices,
        index=at,
        format_func=lambda name: climate_place(name) if name in shipped else name,
        key=key,
        on_change=chosen,
    )
    upload = controls.upload(opened.label("page.upload_climate"), key=f"upload-climate-{opened.identity}")
    if upload is None or st.session_state.get("climate-taken") == upload.file_id:
        return
    try:
        open_project.take_climate(opened.identity, upload.getvalue(), upload.name)
    except Exception as error:
        components.show_errors(open_project.error_sentences(error, opened))
        return
    st.session_state["climate-taken"] = upload.file_id
    st.rerun()


def _air(opened: OpenProject) -> None:
    try:
        weather = open_project.weather(opened)
        airs = design.outdoor_conditions(weather, opened.project.place)
    except Exception as error:
        components.show_errors(open_project.error_sentences(error, opened))
        return
    if weather is not None:
        components.side(opened.label("page.station", station=weather.station))
        components.findings(opened, design.of_climate(weather, opened.project.place, airs))
    air_table(opened, airs)
