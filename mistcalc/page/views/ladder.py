"""The ladder as a picture: rungs as far apart as the water between them, each with its range on one axis."""

from __future__ import annotations

from collections.abc import Iterator

import streamlit as st

from mistcalc.model.results import BuildOption, OptionLadder
from mistcalc.page.open_project import OpenProject
from mistcalc.page.views import components
from mistcalc.report.owner.options_text import built_text, rung_steps, water_text
from mistcalc.report.owner.range_axis import SHAPE, DegreeAxis

TALL, LEAST = 420, 44  # px: all gaps together, and each at least
BESIDE = 70  # percent of the axis: a range that ends before it is told at its right


def show(opened: OpenProject, ladder: OptionLadder) -> None:
    """Most water on top; what is above a rung costs more of it. The project as it is among them."""
    told = [*ladder.rungs] if any(rung.as_stated for rung in ladder.rungs) else [*ladder.rungs, ladder.stated]
    shown = sorted(told, key=lambda option: option.water, reverse=True)
    axis = DegreeAxis({id(option): option.band(SHAPE) for option in shown}, opened.project.units)
    steps = dict(rung_steps(ladder, opened.locale))
    rows = [*_head(opened)]
    for number, option in enumerate(shown):
        rows += _rung(opened, ladder, option, axis)
        if number + 1 < len(shown):
            apart = (option.water - shown[number + 1].water) / max(shown[0].water - shown[-1].water, 1e-12)
            rows.append(_gap(steps.get(id(option), ""), max(round(TALL * apart), LEAST)))
    rows.append(_foot(axis))
    st.html(f'<div class="ladder">{"".join(rows)}</div>')
    components.side(opened.label("options_view.ladder_meant"))


def _head(opened: OpenProject) -> Iterator[str]:
    for name in ("water", "seats", "way"):
        yield f"<b>{components.safe(opened.label(f'options_view.head_{name}'))}</b>"


def _rung(
    opened: OpenProject, ladder: OptionLadder, option: BuildOption, axis: DegreeAxis[int]
) -> Iterator[str]:
    safe = components.safe
    band = option.band()
    shape = [100 * axis.share(value) for value in axis.bands[id(option)]]
    span = safe(opened.locale.span(band[0], band[-1]))
    edge, at = ("left", shape[-1]) if shape[-1] < BESIDE else ("right", 100 - shape[0])
    kind = "rung" if option in ladder.rungs else "rung off"
    now, water = " now" if option.as_stated else "", safe(water_text(option, opened.locale))
    yield f'<div class="take{now}">{water}</div>'
    yield (
        f'<div class="{kind}">{components.range_shape(shape, solid=option.as_stated)}'
        f'<span style="{edge}:calc({at:.1f}% + 8px)">{span}</span></div>'
    )
    first, *rest = built_text(option, ladder, opened.locale)
    yield f'<div class="way"><b>{safe(first)}</b><br>{"<br>".join(safe(line) for line in rest)}</div>'


def _gap(sentence: str, height: int) -> str:
    told = f"\u2191 {components.safe(sentence)}" if sentence else ""
    return f'<i></i><div class="between" style="min-height:{height}px">{told}</div><i></i>'


def _foot(axis: DegreeAxis[int]) -> str:
    ticks = "".join(
        f'<span style="left:{100 * axis.share(tick):.1f}%">{tick:g}</span>' for tick in axis.ticks
    )
    return f'<i></i><div class="ticks">{ticks}</div><i></i>'
