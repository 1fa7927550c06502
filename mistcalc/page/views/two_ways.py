"""Two ways held side by side, A beside B, and the one that is taken written into the project."""

from __future__ import annotations

from collections.abc import Sequence

import streamlit as st

from mistcalc.model.results import BuildOption, OptionLadder
from mistcalc.page.edits import way_taken
from mistcalc.page.open_project import OpenProject
from mistcalc.page.views import components, controls
from mistcalc.report.owner.options_text import water_text
from mistcalc.report.owner.range_axis import SHAPE, DegreeAxis
from mistcalc.report.owner.two_ways_text import TwoWaysRow, two_ways, way_name, ways_to_hold

LETTERS = ("A", "B")
Pair = tuple[BuildOption, BuildOption]


OPEN = "two-open"


def show(opened: OpenProject, ladder: OptionLadder, old: bool) -> Pair | None:
    """Both beside each other; on a phone behind a button (page.css). The two; None: only one way is known.
    old: the project has changed since, so that none is to be taken."""
    if len(ways_to_hold(ladder)) < 2:
        return None
    title = opened.label("options_view.two_head")
    if st.session_state.get(f"{OPEN}-pressed"):
        shown = '[data-testid="stLayoutWrapper"]:has(> .st-key-two-section)'
        st.html(f"<style>@media (max-width: 40em) {{ {shown} {{ display: flex !important; }} }}</style>")
    else:
        controls.button(title, key=OPEN, on_click=_unfold)
    with st.container(key="two-section"):
        components.heading(title)
        pair = _picked(opened, ladder)
        _table(opened, ladder, pair, old)
    return pair


def _unfold() -> None:
    st.session_state[f"{OPEN}-pressed"] = True


def _picked(opened: OpenProject, ladder: OptionLadder) -> Pair:
    """The two chosen; at first the project as it is and the rung of most water."""
    ways = ways_to_hold(ladder)
    now = next(number for number, way in enumerate(ways) if way.as_stated)
    top = max((n for n in range(len(ways)) if n != now), key=lambda n: ways[n].water)
    chosen = []
    with st.container(key="two-ways", horizontal=True):
        for letter, first in zip(LETTERS, (now, top), strict=True):
            names = [way_name(way, ladder, opened.locale) for way in ways]
            key = f"two-{letter}-{hash((opened.text, ladder.wishes, ladder.patio))}"
            number = controls.dropdown(
                letter, range(len(ways)), index=first, format_func=names.__getitem__, key=key
            )
            chosen.append(ways[number])
    return chosen[0], chosen[1]


def _table(opened: OpenProject, ladder: OptionLadder, pair: Pair, old: bool) -> None:
    """The table of both, last what B is against A, and a button for each that is not the project already."""
    axis = DegreeAxis({letter: way.band(SHAPE) for letter, way in _named(pair)}, opened.project.units)
    head = [
        "",
        *(f"{letter}: {water_text(way, opened.locale)}" for letter, way in _named(pair)),
        opened.label("options_view.two_against"),
    ]
    top = "".join(f'<th scope="col" role="columnheader">{components.safe(name)}</th>' for name in head)
    rows = two_ways(*pair, ladder.currency, opened.locale)
    now = [letter for letter, way in _named(pair) if way.as_stated]
    body = "".join(_row(opened, row, axis, now) for row in rows)
    caption = components.safe(opened.label("options_view.two_head"))
    st.html(
        f'<table class="rows two-ways" role="table" aria-label="{caption}">'
        f'<tr role="row">{top}</tr>{body}</table>'
    )
    takes = [(letter, way) for letter, way in reversed(_named(pair)) if not way.as_stated]
    if not takes:
        return
    with st.container(key="two-ways-take", horizontal=True):
        for letter, way in takes:
            controls.button(
                opened.label("options_view.take", letter=letter),
                key=f"take-{letter}",
                type="primary" if letter == LETTERS[-1] else "secondary",
                disabled=old,
                on_click=components.commit,
                args=(opened, way_taken(opened.project, ladder.patio, way)),
            )
    mains = "" if opened.project.plumbing.pump is not None else "_mains"
    components.side(opened.label(f"options_view.take_meant{mains}"))


def _named(pair: Pair) -> list[tuple[str, BuildOption]]:
    return list(zip(LETTERS, pair, strict=True))


def _row(opened: OpenProject, row: TwoWaysRow, axis: DegreeAxis[str], now: Sequence[str]) -> str:
    name = components.safe(opened.label(f"options_view.two_{row.key}"))
    cells = ""
    for letter, text in zip(LETTERS, row.cells, strict=True):
        drawn = _range(axis, letter, letter in now) if row.key == "seats" else ""
        cells += f'<td role="cell">{components.safe(text)}{drawn}</td>'
    told = "; ".join(row.difference)
    last = f"<b>{components.safe(told)}</b>" if told else components.safe(opened.label("options.two_same"))
    return (
        f'<tr role="row"><th scope="row" role="rowheader">{name}</th>{cells}<td role="cell">{last}</td></tr>'
    )


def _range(axis: DegreeAxis[str], letter: str, solid: bool) -> str:
    """Solid: the project as it is, as in the ladder."""
    shape = [100 * axis.share(value) for value in axis.bands[letter]]
    drawn = components.range_shape(shape, solid)
    return f'<div class="track">{drawn}</div>{components.ticks(axis)}'
