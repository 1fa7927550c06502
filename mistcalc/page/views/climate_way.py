"""The way to a climate from a view that lacks one, and back to it."""

from __future__ import annotations

import streamlit as st

from mistcalc.page.open_project import OpenProject
from mistcalc.page.views import controls

BACK_TO = "climate-back-to"


def offer(opened: OpenProject, view: str) -> None:
    """A button to where a climate is chosen; from there one leads back to `view`."""
    if not opened.read_only:
        title = opened.label("season_view.none_go")
        controls.button(title, key="to-climate", type="primary", on_click=_go, args=(view,))


def offer_back(opened: OpenProject) -> None:
    """To the view that lacked a climate, as soon as there is one."""
    view = st.session_state.get(BACK_TO)
    if view and opened.project.place.climate is not None:
        title = opened.label("page.back_to", view=opened.label(f"page.view_{view}"))
        controls.button(title, key="back-to", type="primary", on_click=_go_back, args=(view,))


def forget() -> None:
    """Who goes elsewhere is not called back."""
    st.session_state.pop(BACK_TO, None)


def _go(back_to: str) -> None:
    st.session_state[BACK_TO] = back_to
    st.query_params["view"] = "house"


def _go_back(view: str) -> None:
    forget()
    st.query_params["view"] = view
