"""What a link for reading shows: a few views of one project, without a login and without a way to change it.

The id that stands for the link only reads (`places.py`), so the store refuses whatever else might be tried.
"""

from __future__ import annotations

from collections.abc import Callable

import streamlit as st

from mistcalc import words
from mistcalc.errors import MistcalcError
from mistcalc.page import open_project, places, save_status
from mistcalc.page.edits import other_units
from mistcalc.page.open_project import OpenProject
from mistcalc.page.views import (
    afternoon,
    components,
    controls,
    lid_to_read,
    no_project,
    on_site,
    paper,
    season,
)
from mistcalc.report.common.mirrored_name import job_name

SHOW: dict[str, Callable[[OpenProject], None]] = {
    "lid": lid_to_read.show,
    "afternoon": afternoon.show,
    "season": season.show,
    "paper": paper.show,
    "on-site": on_site.show,
}
OF_A_PATIO = ("afternoon", "season")  # it is chosen on the lid's view, which an owner does not see
SHOWN_TO: dict[places.Reader, tuple[str, ...]] = {
    "owner": ("afternoon", "season", "paper"),
    "crew": ("lid", "paper", "on-site"),
}


def show(token: str) -> None:
    try:
        link = places.link_of(f"{places.LINK}{token}")
        chosen = (st.session_state.get(name) for name in ("language", "read-units"))
        opened = open_project.open_to_read(link, *chosen)
    except Exception as gone:
        _gone(gone)
        return
    shown = SHOWN_TO[link.reader]
    view = st.query_params.get("view", shown[0])
    view = view if view in shown else shown[0]
    _head(opened, link, shown, view)
    open_project.follow_others(opened.identity)
    with st.container(key="view"):
        try:
            if view in OF_A_PATIO:
                components.choose_patio(opened)
            SHOW[view](opened)
        except MistcalcError as error:
            components.show_errors(open_project.error_sentences(error, opened))


def _head(opened: OpenProject, link: places.Link, shown: tuple[str, ...], view: str) -> None:
    label = opened.label
    with st.container(key="head", horizontal=True, vertical_alignment="center"):
        with st.container(key="job", horizontal=True, width="content"):
            name = components.safe(job_name(opened.project, opened.locale))
            st.html(f'<div class="job"><b>{name}</b></div>', width="content")
            save_status.show_save_status(label, opened.project.language, project=False, place=view)
        with st.container(key="head-buttons", horizontal=True, horizontal_alignment="right"):
            system = other_units(opened.project.units)
            title = label(f"page.units_to_{system}")
            controls.button(title, key="units", on_click=_choose, args=("read-units", system))
            other = open_project.next_language(opened.project.language)
            title = words.label("page.language_name", language=other)
            controls.button(title, key="speak", on_click=_choose, args=("language", other))
    components.notice(label(f"office.reading_{link.reader}"))
    if wrong := st.session_state.pop("refused", None):
        components.show_errors(wrong)
    with st.container(key="views-to-read", horizontal=True):
        for name in shown:
            controls.button(
                label(f"page.view_{name}"),
                key=f"read-{name}",
                type="primary" if name == view else "secondary",
                on_click=_go,
                args=(name,),
            )


def _gone(why: Exception) -> None:
    label = no_project.show_head()
    components.headline(label("office.link_gone"))
    components.show_errors(open_project.error_sentences(why))


def _go(name: str) -> None:
    st.query_params["view"] = name


def _choose(what: str, value: str) -> None:
    st.session_state[what] = value
