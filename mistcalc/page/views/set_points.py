"""Other set points of the control, slid: what the year would be then, beside what it is, without a solve."""

from __future__ import annotations

from dataclasses import replace

import streamlit as st

from mistcalc.design.rule import year_of_any_rule
from mistcalc.design.year import season_under, with_money
from mistcalc.model.project.control import NO_WIND_STOP
from mistcalc.page import open_project
from mistcalc.page.edits import Edit, SetValue
from mistcalc.page.open_project import OpenProject
from mistcalc.page.views import background_work, components, controls
from mistcalc.report.owner.season_text import set_point_figures


def show(opened: OpenProject) -> None:
    """Asked for by a press: the year has to be solved once for all that the sliders reach."""
    components.heading(opened.label("set_points.head"))
    asked = f"set-points-{opened.identity}"
    if not st.session_state.get(asked):
        components.side(opened.label("set_points.lead"))
        controls.button(opened.label("set_points.begin"), key="set-points", on_click=_begin, args=(asked,))
        return
    weather, system = open_project.weather(opened), opened.project.units
    made = background_work.standing(
        opened, "set_points", lambda: year_of_any_rule(opened.project, weather, system)
    )
    if made is not None:
        _slid(made.opened)


def _begin(asked: str) -> None:
    st.session_state[asked] = True


@components.alone
def _slid(opened: OpenProject) -> None:
    control = opened.project.control
    year, grid = year_of_any_rule(opened.project, open_project.weather(opened), opened.project.units)
    label = opened.label
    on = controls.steps(
        label("set_points.on_above"),
        _with(grid.on_above, control.on_above),
        control.on_above,
        lambda value: components.quantity_text(opened, value, "temperature"),
        f"slide-on:{opened.text}",
    )
    place = label(f"season.place_{control.wind_measured_at}")
    wind = controls.steps(
        label("set_points.wind_stop", place=place),
        _with(grid.wind, control.wind_stop),
        control.wind_stop,
        lambda value: _wind(opened, value),
        f"slide-wind:{opened.text}",
    )
    other = replace(control, on_above=on, off_below=control.off_below + on - control.on_above, wind_stop=wind)
    seasons = [with_money(season_under(year, each), opened.project, None)[0] for each in (control, other)]
    columns = [set_point_figures(season, opened.patio.name, opened.locale) for season in seasons]
    names = ("runs", "gained", "water", "cost")[: len(columns[0])]
    rows = [(label(f"set_points.row_{name}"), *cells) for name, *cells in zip(names, *columns, strict=True)]
    components.table(["", label("set_points.now"), label("set_points.then")], rows)
    components.side(label("set_points.meant"))
    if other != control:
        edits: list[Edit] = [
            SetValue(("control", key), getattr(other, key)) for key in ("on_above", "off_below", "wind_stop")
        ]
        title = label("set_points.write")
        controls.button(title, key="set-points-write", on_click=components.commit, args=(opened, edits))


def _wind(opened: OpenProject, speed: float) -> str:
    if speed >= NO_WIND_STOP:
        return opened.label("set_points.no_stop")
    return components.quantity_text(opened, speed, "speed")


def _with(steps: tuple[float, ...], stated: float) -> tuple[float, ...]:
    """The grid's steps, and what is stated where it is none of them."""
    near = any(abs(step - stated) < 1e-6 for step in steps)
    return tuple(sorted(steps if near else (*steps, stated)))
