"""Every control of the page: its words shown as words, and what it does ends in our own words if it fails.

Streamlit reads a label as markup, so that a name out of a project could draw a picture from anywhere, a link
or a formula; and it answers a fault in what a control does with a box of its own. No other module of the page
calls Streamlit's controls (a test looks).
"""

from __future__ import annotations

import functools
import re
from collections.abc import Callable, Sequence
from typing import Any

import streamlit as st
from streamlit.delta_generator import DeltaGenerator
from streamlit.runtime.scriptrunner_utils.script_run_context import ThreadState, get_script_run_ctx

from mistcalc import units
from mistcalc.page import open_project

_JOINER = "\u2060"  # takes no room; parts two signs that would be read as one
# What can begin markup within a line, by the rules of CommonMark, its GitHub additions and Streamlit's own.
_SIGNS = re.compile(r"[\\`*\[~$]|<(?=[\w/!?])|&(?=#?\w+;)|(?<!\w)_|_(?!\w)")
# Shortcodes, directives, addresses, arrows: looked for in the text after signs have been taken away.
_WORDS = re.compile(r"(?<=[:@])(?=\S)|(?<=www)(?=\.)|(?<=[<>~-])(?=\\?[=>-])|(?<=<)(?=-)", re.IGNORECASE)
_LINE = re.compile(r"^(\s*)([-+#>=|]+|\d+(?=[.)]))")  # a list, a heading, a quotation


def plain(text: object) -> str:
    """Text that Streamlit's markup shows as it stands, whatever is in it; in one line."""
    line = " ".join(str(text).split())
    line = _SIGNS.sub(lambda sign: f"\\{sign[0]}", line)
    return _LINE.sub(rf"\1\2{_JOINER}", _WORDS.sub(_JOINER, line))


def guarded(act: Callable[..., object]) -> Callable[..., None]:
    """What a control does; a fault in it is said at the top of the page, and what was saved stays saved."""

    @functools.wraps(act)
    def run(*given: Any, **more: Any) -> None:
        try:
            act(*given, **more)
        except Exception as fault:
            st.session_state["refused"] = open_project.error_sentences(fault)

    return run


def counted_once(act: Callable[..., object]) -> Callable[..., None]:
    """What a button does, once a press. The browser hands the framework's timers (`run_every`) whatever is
    pressed at that moment, and then the press itself: one Undo would be two. A timer runs its own fragment
    alone, so a button that stands elsewhere waits for the press."""
    here = _fragment_here()

    def run(*given: Any, **more: Any) -> None:
        context = get_script_run_ctx()
        ran = context.fragment_ids_this_run if context else None
        if not ran or here in ran:
            act(*given, **more)

    return run


def _fragment_here() -> str | None:
    return ThreadState.get().fragment_id if get_script_run_ctx() else None


def _safe(how: dict[str, Any]) -> dict[str, Any]:
    return {
        name: guarded(value) if name in ("on_click", "on_change") and callable(value) else value
        for name, value in how.items()
    }


def button(title: str, **how: Any) -> bool:
    if callable(act := how.get("on_click")):
        how["on_click"] = counted_once(act)
    return st.button(plain(title), **_safe(how))


def download(title: str, content: str | bytes, **how: Any) -> None:
    """A file to take away; the page stays as it is."""
    st.download_button(plain(title), content, on_click="ignore", **how)


def submit(title: str) -> bool:
    return st.form_submit_button(plain(title))


def upload(title: str, **how: Any) -> Any:
    return st.file_uploader(plain(title), **_safe(how))


def text(title: str, **how: Any) -> str:
    return st.text_input(plain(title), **_safe(how))


def measure(title: str, **how: Any) -> str:
    """A text that is a number with its unit; who writes a decimal comma has a point understood."""
    return units.with_points(text(title, **how))


def radio_buttons(
    title: str, options: Sequence[Any], format_func: Callable[[Any], str] = str, **how: Any
) -> Any:
    """Buttons of which one is pressed in."""
    how = _safe(_only_another(options, how))
    return st.radio(plain(title), options, format_func=lambda one: plain(format_func(one)), **how)


def dropdown(title: str, options: Sequence[Any], **how: Any) -> Any:
    """A list that folds away; Streamlit shows what is in it as it stands."""
    how = _safe(_only_another(options, how))
    return st.selectbox(plain(title), options, **{"placeholder": "", **how})


def _only_another(options: Sequence[Any], how: dict[str, Any]) -> dict[str, Any]:
    """`on_change` is called for another choice than the one shown. When a choice comes back to the page, the
    framework takes what the browser still holds of it for a change."""
    if not callable(act := how.get("on_change")):
        return how
    at = how.get("index", 0)
    shown = None if at is None else options[at]

    def changed() -> None:
        if st.session_state[how["key"]] != shown:
            act()

    return {**how, "on_change": changed}


def steps(
    title: str, options: Sequence[float], first: float, told: Callable[[float], str], key: str
) -> float:
    """A slider over given steps, each told in words; nearest to `first` to begin with."""
    value = min(options, key=lambda option: abs(option - first))
    return float(st.select_slider(plain(title), options, value, format_func=told, key=key))


def collapsible(title: str) -> DeltaGenerator:
    return st.expander(plain(title))


def tabs(titles: Sequence[str]) -> Sequence[DeltaGenerator]:
    """Sides of one view, of which one shows."""
    return st.tabs([plain(title) for title in titles])


def menu(place: DeltaGenerator, title: str, **how: Any) -> DeltaGenerator:
    """What unfolds over the page at a press."""
    return place.popover(plain(title), **_safe(how))
