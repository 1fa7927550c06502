"""The head of a page on which no project stands: the program's name and another language."""

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
    show_name()
    save_status.show_save_status(label, spoken, project=False)
    other = open_project.next_language(spoken)
    title = words.label("page.language_name", language=other)
    controls.button(title, key="speak", on_click=_speak, args=(other,))
    return label


def show_name() -> None:
    st.html('<div class="job welcome"><b>mistcalc</b></div>')


def _speak(language: str) -> None:
    st.session_state["language"] = language
