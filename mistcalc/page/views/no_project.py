"""What pages on which no project stands have in common: the program's name, another language, a way in."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

import streamlit as st

from mistcalc import words
from mistcalc.page import open_project, save_status
from mistcalc.page.views import controls


def show_head() -> Callable[..., str]:
    """Draws it and returns `words.label` in the language that is spoken."""
    spoken = open_project.language()
    label = partial(words.label, language=spoken)
    show_name(label, spoken)
    other = open_project.next_language(spoken)
    title = words.label("page.language_name", language=other)
    controls.button(title, key="speak", on_click=_speak, args=(other,))
    return label


def show_name(label: Callable[..., str], language: str, place: str = "") -> None:
    """And a lost connection, if it is. place: which of several screens, of which each begins at its top."""
    st.html('<div class="job welcome"><b>mistcalc</b></div>')
    with st.container(key="no-project-status"):
        save_status.show_save_status(label, language, project=False, place=place)


def offer_drawing(label: Callable[..., str]) -> None:
    """To begin from an architect's drawing."""
    to = {"new": "drawing"}
    controls.button(label("start.drawing"), key="start-drawing", on_click=st.query_params.update, args=(to,))


def _speak(language: str) -> None:
    st.session_state["language"] = language
