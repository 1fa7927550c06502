"""Work of more than a moment: done beside the script, said on the screen, and given up at a press.

A calculation cannot be broken off half-way. Given up, it is no longer waited for; what it finds is still
remembered by the conductor, so asking again later costs nothing.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor, TimeoutError
from dataclasses import dataclass, replace
from typing import Any, Generic, TypeVar

import streamlit as st

from mistcalc.model.results import Design
from mistcalc.page import open_project, turns
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
        job = _workers.submit(_in_turn, make)
        jobs[name] = (asked, job)
        st.session_state.pop(f"given-up:{name}", None)
    try:
        with turns.waiting_for_work():
            return job.result(timeout=AT_ONCE if at_once is None else at_once)
    except TimeoutError:
        _waiting(opened, name, saying or opened.label(f"page.working_{name}"))
        return None


def _in_turn(make: Callable[[], T]) -> T:
    turns.give_way()
    return make()


@dataclass(frozen=True, slots=True)
class Made(Generic[T]):
    """What a view shows, and the project it is of. old: the project has changed since, and the new one is
    being worked out."""

    opened: OpenProject
    made: T
    old: bool = False


@contextlib.contextmanager
def meanwhile(opened: OpenProject, name: str, old: bool) -> Iterator[str]:
    """Where what is worked at says so: in place, or, where old figures stand on, at an edge of the window, so
    that nothing moves; and the words to say it with, "" for its own. It goes as soon as the work is done."""
    with st.container(key=f"about-{name}"):  # always there: else a fold beneath it would move, and close
        if not old or st.session_state.get(f"given-up:{name}"):
            yield ""
            return
        with st.container(key=f"meanwhile-{name}"):
            spot = st.empty()
            with spot.container():
                yield opened.label("hours.stale")
            if st.session_state["jobs"][name][1].done():
                spot.empty()


def standing(
    opened: OpenProject, name: str, make: Callable[[], T], of: str = "", after: Made[Any] | None = None
) -> Made[T] | None:
    """As `in_background`; but what was made last of this patio stands on, greyed by page.css. `after`: what
    it is made of; while that is old, nothing new is asked for."""
    kept = f"standing-{name}-{opened.identity}-{opened.patio.name}"
    stopped = st.session_state.get(f"given-up:{name}")  # who stops it asks for no figures, old or new
    last: Made[T] | None = None if stopped else st.session_state.get(kept)
    made = None
    if after is None or not after.old:
        with meanwhile(opened, name, last is not None) as saying:
            made = in_background(opened, name, make, of, saying=saying)
    if made is not None:
        last = st.session_state[kept] = Made(opened, made)
        return last
    return replace(last, old=True) if last else None


def whole_job(opened: OpenProject, heading: str = "") -> Made[Design] | None:
    """The whole job, the last one while it is worked out anew. None where there is none yet: then `heading`
    stands above, till the view has its own."""
    return _headed(opened, "job", open_project.full_design, heading)


def crews_job(opened: OpenProject, heading: str) -> Made[Design] | None:
    """`whole_job` without the air under the lid, which takes most of its time."""
    return _headed(opened, "marks", open_project.without_air, heading)


def _headed(
    opened: OpenProject, name: str, make: Callable[[OpenProject], Design], heading: str
) -> Made[Design] | None:
    above = st.empty()
    job = standing(opened, name, lambda: make(opened))
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
