"""Which view stands on the screen, and the frame round it: name, saved or not, undo, units, list of views.

Project and view travel in the address, so a reload, a bookmark or a restarted server finds the same place.
"""

from __future__ import annotations

import json
import sys
from importlib import resources

import streamlit as st

from mistcalc.errors import MistcalcError
from mistcalc.page import access, open_project, places, save_status, store, turns
from mistcalc.page.edits import SetValue, in_other_units, other_units
from mistcalc.page.open_project import VIEWS, OpenProject
from mistcalc.page.state_looked_up import look_values_up
from mistcalc.page.views import (
    afternoon,
    climate_way,
    components,
    controls,
    from_drawing,
    house,
    lid,
    line,
    on_site,
    options,
    paper,
    reading,
    season,
    sign_in,
    start,
    welcome,
)
from mistcalc.page.whole_runs import send_runs_whole
from mistcalc.report.common.mirrored_name import job_name
from mistcalc.words import label

SAID_BY_STYLE = ("skip", "upload")
SHOW = {
    "house": house.show,
    "lid": lid.show,
    "line": line.show,
    "afternoon": afternoon.show,
    "season": season.show,
    "options": options.show,
    "paper": paper.show,
    "on-site": on_site.show,
}
send_runs_whole()
look_values_up()


def show() -> None:
    """One run of the page's script. Whatever happens in it ends in our own words."""
    try:
        st.set_page_config(page_title="mistcalc", layout="wide", initial_sidebar_state="collapsed")
        st.html(f"<style>{style(open_project.language())}</style>")
        with turns.run_of_page():
            _page()
    except Exception as fault:
        components.show_errors(open_project.error_sentences(fault))


def _page() -> None:
    if (token := st.query_params.get("link")) is not None:
        reading.show(token)
        return
    try:
        if access.login_asked() and access.person() is None:
            sign_in.show()
            return
    except MistcalcError as broken:
        sign_in.show(open_project.error_sentences(broken))
        return
    identity = None
    try:
        identity = _asked_for()
        opened = open_project.open_saved(identity) if identity is not None else None
    except Exception as error:
        welcome.show(open_project.error_sentences(error), identity)
        return
    if identity is None or opened is None:
        _begin(st.query_params.get("new"))
        return
    st.query_params["project"] = places.in_address(identity)
    st.session_state["language"] = opened.project.language
    _head(opened)
    open_project.follow_others(identity)
    left, right = st.columns([1, 5], gap="medium")
    view = _chosen_view()
    with left, st.container(key="nav-wide"):
        _list_of_views(opened, view, "wide")
    with right, st.container(key="view"):
        try:
            SHOW[view](opened)
        except MistcalcError as error:
            components.show_errors(open_project.error_sentences(error, opened))
        except Exception as fault:
            _rescue(opened, fault)


def _begin(how: str | None) -> None:
    if how == "drawing":
        from_drawing.show()
    elif how is not None:
        start.show()
    else:
        welcome.show()


def _rescue(opened: OpenProject, fault: Exception) -> None:
    """What went wrong, and the project as it is saved, to take away."""
    components.show_errors(open_project.error_sentences(fault, opened))
    name = f"{open_project.plain_name(opened.project.name).replace(' ', '-').lower()}.toml"
    title = opened.label("page.download_project")
    controls.download(title, opened.text, file_name=name, mime="text/plain", key="rescue")


def style(language: str) -> str:
    """The page's, with words of the framework's own in a language: it can be told them in no other way."""
    said = {
        key: json.dumps(label(f"page.{key}", language=language), ensure_ascii=False) for key in SAID_BY_STYLE
    }
    told = " ".join(f"--word-{key}: {text};" for key, text in said.items())
    return f":root {{ {told} }}\n" + resources.files("mistcalc.page").joinpath("page.css").read_text("utf-8")


def _asked_for() -> str | None:
    """The project of the address, among those of whoever looks; else the one the server was started with;
    else none."""
    asked = st.query_params.get("project")
    if asked is not None:
        return places.owned(access.owner(), asked)
    if len(sys.argv) > 1 and store.known(sys.argv[1]) and "left" not in st.session_state:
        return sys.argv[1]
    return None


def _chosen_view() -> str:
    view = st.query_params.get("view", "lid")
    return view if view in VIEWS else "lid"


def _head(opened: OpenProject) -> None:
    with st.container(key="head", horizontal=True, vertical_alignment="center"):
        with st.container(key="job", horizontal=True, width="content"):
            name = components.safe(job_name(opened.project, opened.locale))
            st.html(f'<div class="job"><b>{name}</b></div>', width="content")
            place = f"{opened.identity}/{_chosen_view()}"
            save_status.show_save_status(opened.label, opened.project.language, place=place)
        with st.container(key="head-buttons", horizontal=True, horizontal_alignment="right"):
            # "rerun": else a choice could not close it, and it would lie over the view chosen.
            narrow = st.container(key="nav-narrow")
            with controls.menu(narrow, opened.label("page.menu"), key="menu", on_change="rerun"):
                _list_of_views(opened, _chosen_view(), "narrow")
                _units_button(opened, "units-narrow", width="stretch")
            for name, can in (("undo", store.can_undo), ("redo", store.can_redo)):
                controls.button(
                    opened.label(f"page.{name}"),
                    key=name,
                    disabled=not can(opened.identity),
                    on_click=_step,
                    args=(name, opened.identity),
                )
            _units_button(opened, "units", width="content")
            other = open_project.next_language(opened.project.language)
            title = label("page.language_name", language=other)
            controls.button(title, key="speak", on_click=_speak, args=(opened, other))
    if wrong := st.session_state.pop("refused", None):
        components.show_errors(wrong)


def _units_button(opened: OpenProject, key: str, width: str) -> None:
    """In the head; on a phone, which has no room for it there, in the menu. It names what a press gives, as
    the language's does."""
    title = opened.label(f"page.units_to_{other_units(opened.project.units)}")
    controls.button(title, key=key, width=width, on_click=_switch_units, args=(opened,))


def _list_of_views(opened: OpenProject, view: str, where: str) -> None:
    for number, name in enumerate(VIEWS, 1):
        mains = name == "line" and opened.project.plumbing.pump is None
        title = opened.label("page.view_line_mains" if mains else f"page.view_{name}")
        controls.button(
            f"{number}  {title}",
            key=f"go-{name}-{where}",
            type="primary" if name == view else "secondary",
            width="stretch",
            on_click=_go,
            args=(name,),
        )
    controls.button(
        opened.label("page.other_project"), key=f"leave-{where}", width="stretch", on_click=_leave
    )
    sign_in.way_out(opened.label, where, width="stretch")


def _go(name: str) -> None:
    climate_way.forget()
    st.query_params["view"] = name
    st.session_state["menu"] = False


def _leave() -> None:
    st.session_state["left"] = True
    st.query_params.clear()


def _step(name: str, identity: str) -> None:
    st.session_state.pop("gesture", None)
    (store.undo if name == "undo" else store.redo)(identity)


def _speak(opened: OpenProject, language: str) -> None:
    components.commit(opened, [SetValue(("language",), language)])


def _switch_units(opened: OpenProject) -> None:
    components.commit(opened, in_other_units(opened.project))
