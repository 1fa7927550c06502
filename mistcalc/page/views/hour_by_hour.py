"""One afternoon that moves: hour and wind slide over answers worked out before, four ways switch the picture.

The server works out all hours and winds once, in the background; sliding is the browser's own.
"""

from __future__ import annotations

import math
from functools import partial

import streamlit as st

from mistcalc.design.afternoon_hours import afternoon_grid
from mistcalc.model.project import Patio
from mistcalc.model.results import Cooling, Design
from mistcalc.model.results.hours_and_winds import AfternoonGrid
from mistcalc.page import afternoon_data, open_project
from mistcalc.page.lid_messages import read_moves
from mistcalc.page.open_project import OpenProject
from mistcalc.page.views import background_work, components, controls
from mistcalc.page.views.sent_once import browser_part
from mistcalc.units import COMPASS_POINTS

MOSTLY = -1  # of the sides wind comes from: as it mostly does

component = browser_part(
    "afternoon",
    "afternoon.css",
    "move_queue.js",
    "overview.js",
    "slider.js",
    "felt_picture.js",
    "seat_hands.js",
    "afternoon.js",
)


def show(opened: OpenProject, job: Design, day: Cooling) -> None:
    """The picture; while other answers are being worked out the old ones, greyed."""
    patio, side = opened.patio, _side(opened)
    kept = _kept(opened)
    of = f"{patio.name}/{day.afternoon}/{side}"
    with background_work.meanwhile(opened, "hours", kept in st.session_state) as saying:
        found = background_work.in_background(
            opened, "hours", lambda: (_grid(opened, job, patio, day, side),), of, saying=saying
        )
    if found is not None and found[0] is None:
        st.session_state.pop(kept, None)
        components.side(opened.label("hours.no_grid"))
        return
    if found is not None and found[0] is not None:
        st.session_state[kept] = _data(opened, job, patio, day, found[0])
    _draw(opened, found is None)


def show_old(opened: OpenProject) -> None:
    """The last picture, greyed, while all of the job is worked out anew."""
    if _kept(opened) in st.session_state:
        _side(opened)
        _draw(opened, True)


def _kept(opened: OpenProject) -> str:
    """Where the picture is kept: never another patio's, however greyed."""
    return f"hours-{opened.identity}-{opened.patio.name}"


def _draw(opened: OpenProject, stale: bool) -> None:
    kept = _kept(opened)
    if not (data := st.session_state.get(kept)):
        return
    if not opened.read_only and not opened.patio.seats:
        components.side(opened.label("hours.seat_assumed"))
    told = {**data, "stale": stale, "place": f"mistcalc.{kept}", "ack": st.session_state.get("seats-heard")}
    if opened.read_only:
        component(key=kept, data={**told, "stated": [False] * len(data["stated"])})
    else:
        moved = controls.guarded(partial(_move, opened, kept, opened.patio.name))
        component(key=kept, data=told, on_moved_change=moved)


def _move(opened: OpenProject, kept: str, patio: str) -> None:
    """Seats that a hand put elsewhere. A message sent again changes nothing."""
    message = read_moves(st.session_state[kept].moved, patio)
    components.commit(opened, [move.edit for move in message.moves])
    st.session_state["seats-heard"] = {"client": message.client, "seq": message.seq}


def _side(opened: OpenProject) -> float | None:
    """Where the wind comes from, rad clockwise from north; None: as it mostly does."""
    label = opened.label
    sides = (MOSTLY, *range(len(COMPASS_POINTS)))

    def told(side: int) -> str:
        if side == MOSTLY:
            return label("hours.mostly")
        return label("hours.from_side", side=label(f"word.{COMPASS_POINTS[side]}"))

    with st.container(key="wind-side"):
        key = f"hours-side-{opened.identity}"
        chosen = controls.dropdown(label("hours.from"), sides, format_func=told, key=key)
    return None if chosen == MOSTLY else chosen * 2 * math.pi / len(COMPASS_POINTS)


def _grid(
    opened: OpenProject, job: Design, patio: Patio, day: Cooling, side: float | None
) -> AfternoonGrid | None:
    project = opened.project
    return afternoon_grid(
        patio, job.layout_of(patio.name), job.line, project.plumbing, project.place,
        open_project.weather(opened), day.afternoon, afternoon_data.winds(project.units), side,
    )  # fmt: skip


def _data(
    opened: OpenProject, job: Design, patio: Patio, day: Cooling, grid: AfternoonGrid
) -> afternoon_data.Data:
    days = [one for one in job.cooling if one.patio == patio.name]
    verdict = job.verdict_of(patio.name, day.afternoon)
    way = afternoon_data.advised(day, verdict)
    return afternoon_data.component_data(
        grid,
        job.layout_of(patio.name),
        patio,
        afternoon_data.felt_classes(days, opened.project.units),
        way,
        afternoon_data.advised_words(way, verdict),
        opened.project.heading(patio.name),
        job.picture_of(patio.name, day.afternoon),
        opened.locale,
        opened.project.plumbing,
    )
