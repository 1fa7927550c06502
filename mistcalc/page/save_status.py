"""The word "Saved" or "Not saved yet": what the browser has and the program has not confirmed."""

from __future__ import annotations

from collections.abc import Callable
from importlib import resources

import streamlit as st

from mistcalc.page import access

_SOURCE = resources.files("mistcalc.page")

_CSS = """
.word { margin: 0; font: 1rem/1.529rem var(--st-font, sans-serif); color: var(--side); }
.word.waiting { color: var(--ink); font-weight: 700; }
.word.gone { position: fixed; top: 0; left: 0; right: 0; z-index: 1000000; padding: 8px 16px;
  background: var(--paper); border: 4px solid var(--ink); }
"""  # of several lines: Streamlit takes a single line for the name of a file

component = st.components.v2.component(
    "mistcalc.saved",
    html='<p class="word" role="status"></p>',
    css=_CSS,
    js=_SOURCE.joinpath("save_status.js").read_text("utf-8"),
)


def show_save_status(
    label: Callable[[str], str], language: str, project: bool = True, place: str = ""
) -> None:
    """Each run of the script confirms all that was sent before it. project: whether one is open; where none
    is, only a lost connection is said. The page is marked as being in `language`, for who reads it aloud.
    place: which project and view; another begins at its top."""
    run = st.session_state["run"] = st.session_state.get("run", 0) + 1
    label_keys = ("saved", "not_saved", "no_connection", "no_connection_unsaved")
    words = {key: label(f"page.{key}") for key in label_keys}
    if access.login_asked():  # whoever looks cannot start it again
        words |= {"no_connection": label("office.no_connection")}
        words |= {"no_connection_unsaved": label("office.no_connection_unsaved")}
    if not project:
        words |= {"saved": "", "not_saved": "", "no_connection_unsaved": words["no_connection"]}
    data = {"run": run, "words": words, "language": language, "place": place}
    component(key="saved", data=data, width="content")
