"""The house and its air: what was stated, what was assumed, and the afternoons that follow."""

from __future__ import annotations

import streamlit as st

from mistcalc import design
from mistcalc.files import samples
from mistcalc.page import desk
from mistcalc.page.desk import Desk
from mistcalc.page.edits import Put
from mistcalc.page.views import controls, parts
from mistcalc.page.views.afternoon import air_table
from mistcalc.report.assumed import assumed
from mistcalc.report.voice import Voice


def show(opened: Desk) -> None:
    project = opened.project
    parts.headline(project.name)
    parts.sentence(project.about)
    _climate(opened)
    _air(opened)
    parts.heading(opened.label("page.the_house"))
    for patio in project.patios:
        parts.facts(
            [
                (opened.label("page.patio"), patio.name),
                (opened.label("page.runs"), ", ".join(run.name for run in patio.runs)),
                (opened.label("page.things"), str(len(patio.obstacles))),
            ]
        )
        with st.container(key=f"fields-house-{patio.name}"):
            here = ("patios", patio.name)
            parts.quantity(opened, opened.label("page.height"), (*here, "height"), "length")
            parts.quantity(opened, opened.label("page.depth"), (*here, "depth"), "length")
            for run in patio.runs:
                title = opened.label("page.run_length", name=run.name)
                parts.quantity(opened, title, (*here, "runs", run.name, "length"), "length")
    with st.container(key="fields-place"):
        parts.quantity(opened, opened.label("page.elevation"), ("place", "elevation"), "length")
        parts.quantity(opened, opened.label("page.shelter"), ("place", "shelter"), "share")
    if project.assumed:
        with controls.folded(opened.label("page.assumed", count=len(project.assumed))):
            for told in assumed(project, Voice(project.units, project.language)):
                parts.sentence(told)


def _climate(opened: Desk) -> None:
    """A sample of ours, the user's own file, or afternoons typed into the project."""
    parts.heading(opened.label("page.climate"))
    shipped = list(samples())
    now = opened.project.place.climate
    choices = shipped if now in shipped or now is None else [now, *shipped]
    key = (
        f"climate-{opened.identity}-{now}"  # with the choice in it: after an undo the field shows the old one
    )

    def chosen() -> None:
        parts.commit(opened, [Put(("place", "climate"), st.session_state[key])])

    at = None if now is None else choices.index(now)
    controls.chosen(opened.label("page.climate_choice"), choices, index=at, key=key, on_change=chosen)
    upload = controls.upload(opened.label("page.upload_climate"), key=f"upload-climate-{opened.identity}")
    if upload is None or st.session_state.get("climate-taken") == upload.file_id:
        return
    try:
        desk.take_climate(opened.identity, upload.getvalue(), upload.name)
    except Exception as error:
        parts.refuse(desk.mistakes(error, opened))
        return
    st.session_state["climate-taken"] = upload.file_id
    st.rerun()


def _air(opened: Desk) -> None:
    try:
        weather = desk.weather(opened)
        airs, _ = design.breathe(weather, opened.project.place)
    except Exception as error:
        parts.refuse(desk.mistakes(error, opened))
        return
    if weather is not None:
        parts.side(opened.label("page.station", station=weather.station))
        parts.findings(opened, weather.notes)
    air_table(opened, airs)
