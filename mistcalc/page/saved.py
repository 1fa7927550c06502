"""The word "Saved" or "Not saved yet": what the browser has and the program has not confirmed."""

from __future__ import annotations

from importlib import resources

import streamlit as st

from mistcalc.page.desk import Desk

_SOURCE = resources.files("mistcalc.page")

_CSS = """
.word { margin: 0; font: 17px/26px var(--st-font, sans-serif); color: #3d3d3d; }
.word.waiting { color: #111111; font-weight: 700; }
"""  # of several lines: Streamlit takes a single line for the name of a file

component = st.components.v2.component(
    "mistcalc.saved",
    html='<p class="word" role="status"></p>',
    css=_CSS,
    js=_SOURCE.joinpath("saved.js").read_text("utf-8"),
)


def word(opened: Desk) -> None:
    """Each run of the script confirms all that was sent before it."""
    run = st.session_state["run"] = st.session_state.get("run", 0) + 1
    words = {key: opened.label(f"page.{key}") for key in ("saved", "not_saved", "no_connection")}
    component(key="saved", data={"run": run, "words": words}, width="content")
