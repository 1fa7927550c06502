"""Work of more than a moment: done beside the script, said on the screen, and given up at a press.

A calculation cannot be broken off half-way. Given up, it is no longer waited for; what it finds is still
remembered by the conductor, so asking again later costs nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import Future, ThreadPoolExecutor, TimeoutError
from typing import TypeVar

import streamlit as st

from mistcalc.model.results import Design
from mistcalc.page import open_project
from mistcalc.page.open_project import OpenProject
from mistcalc.page.views import components, controls

T = TypeVar("T")
Row = tuple[str, str]

AT_ONCE = 0.25  # s: shorter work shows no sign of itself
LOOK_SOON, LOOK_LATER = 0.15, 0.5  # s: while it is worked at; while it waits for its turn
_workers = ThreadPoolExecutor(max_workers=2, thread_name_prefix="page")


def in_background(
    opened: OpenProject, name: str, make: Callable[[], T], of: str = "", at_once: float | None = None,
    saying: str = "",
) -> T | None:  # fmt: skip
    """make() for the project as it stands, or None while it is being worked out (which is then shown).

    `name` tells works of one page apart; `of` is what else than the project the work is of. `at_once`: s it
    is waited for, in place of AT_ONCE: in it a hand on the plan gets no answer. `saying`: what is
    said meanwhile, in place of the words for that work. Raises what `make` raises.
    """
    jobs: dict[str, tuple[str, Future[T]]] = st.session_state.setdefault("jobs", {})
    about, job = jobs.get(name, ("", None))
    spoken = opened.project  # who reads by a link has a language and units that its text does not say
    asked = f"{spoken.language}/{spoken.units}/{opened.text}{of}"
    if job is None or about != asked:
        if job is not None:
            job.cancel()  # if it has not begun: what it was for has changed
        job = _workers.submit(make)
        jobs[name] = (asked, job)
        st.session_state.pop(f"given-up:{name}", None)
    try:
        return job.result(timeout=AT_ONCE if at_once is None else at_once)
    except TimeoutError:
        _waiting(opened, name, saying or opened.label(f"page.working_{name}"))
        return None


def whole_job(opened: OpenProject, heading: str = "") -> Design | None:
    """The whole job, or None while it is worked out: then `heading` stands above, till the view
    has its own."""
    above = st.empty()
    job = in_background(opened, "job", lambda: open_project.full_design(opened))
    if job is None and heading:
        with above:
            components.headline(heading)
    return job


def figures(
    opened: OpenProject,
    work: Callable[[str], T | None],
    told: Callable[[T], Sequence[Row]],
    meant: str,
    of: str,
) -> None:
    """Facts and what they mean; while they are being worked out the last ones, greyed, in their place.

    What stands beneath stays where it is. `of` is what they are of: never another patio's, however greyed.
    `work` is given the words to wait with, "" for its own.
    """
    kept = f"figures-{of}"
    stale = opened.label("hours.stale") if kept in st.session_state else ""
    with st.container(key="figures"):
        above = st.container()
        with st.container(key="figures-meant"):
            components.side(meant)
            made = work(stale)
        stopped = st.session_state.get("given-up:job")  # who stops it asks for no figures, old or new
        with above:
            if made is not None:
                st.session_state[kept] = told(made)
                components.facts(st.session_state[kept])
            elif stale and not stopped:
                components.facts(st.session_state[kept], old=stale)


def forget_figures(of: str) -> None:
    st.session_state.pop(f"figures-{of}", None)


def _waiting(opened: OpenProject, name: str, saying: str) -> None:
    if st.session_state.get(f"given-up:{name}"):
        components.side(opened.label("page.given_up"))
        controls.button(opened.label("page.work_again"), key=f"again-{name}", on_click=_take_up, args=(name,))
    else:
        _, job = st.session_state["jobs"][name]
        st.fragment(_watch, run_every=LOOK_SOON if job.running() else LOOK_LATER)(opened, name, saying)


def _watch(opened: OpenProject, name: str, saying: str) -> None:
    _, job = st.session_state["jobs"][name]
    if job.done() or st.session_state.get(f"given-up:{name}"):
        st.rerun()
    with st.container(key=f"working-{name}", horizontal=True, vertical_alignment="center"):
        st.html(f'<p role="status">{components.safe(saying)}</p>', width="content")
        controls.button(opened.label("page.give_up"), key=f"stop-{name}", on_click=_give_up, args=(name,))


def _give_up(name: str) -> None:
    st.session_state[f"given-up:{name}"] = True


def _take_up(name: str) -> None:
    st.session_state.pop(f"given-up:{name}", None)
