"""The ladder as a picture: rungs as far apart as the water between them, each with its range on one axis."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

import streamlit as st

from mistcalc.model.results import BuildOption, OptionLadder
from mistcalc.page.open_project import OpenProject
from mistcalc.page.views import components
from mistcalc.report.owner.options_text import HOUR, built_text, over_text, rung_steps, water_text
from mistcalc.report.owner.range_axis import SHAPE, DegreeAxis
from mistcalc.report.owner.two_ways_text import ways_to_hold

TALL, LEAST = 420, 44  # px: all gaps together, and each at least
BESIDE = 30  # percent of the axis that a range's words take beside its shape


def show(opened: OpenProject, ladder: OptionLadder, pair: Sequence[BuildOption] | None) -> None:
    """Most water on top; what is above a rung costs more of it. The project as it is among them, and the most
    water that was asked. pair: the two held side by side, A and B."""
    shown = sorted(ways_to_hold(ladder), key=lambda option: option.water, reverse=True)
    axis = DegreeAxis({id(option): option.band(SHAPE) for option in shown}, opened.project.units)
    steps = _steps(opened, ladder, shown)
    letters = {id(way): letter for letter, way in zip("BA", reversed(pair or ()), strict=False)}
    rows, most = [*_head(opened)], max(shown[0].water - shown[-1].water, 1e-12)
    levels = _levels(ladder, shown)
    for number, (water, option) in enumerate(levels):
        if option is None:
            rows.append(_limit(opened, water))
        else:
            rows += _rung(opened, ladder, option, axis, letters)
        if number + 1 < len(levels):
            apart = (min(water, shown[0].water) - max(levels[number + 1][0], shown[-1].water)) / most
            rows.append(_gap(steps.get(id(option), ""), max(round(TALL * apart), LEAST)))
    rows.append(_foot(axis))
    st.html(f'<div class="ladder">{"".join(rows)}</div>')
    components.side(opened.label("options_view.ladder_meant"))


def _steps(opened: OpenProject, ladder: OptionLadder, shown: Sequence[BuildOption]) -> dict[int, str]:
    """From the rung below to each; where the project as it is stands between them, which rung that is."""
    steps = dict(rung_steps(ladder, opened.locale))
    beneath = dict(zip(map(id, shown), shown[1:], strict=False))
    for below, above in pairwise(ladder.rungs):
        if beneath[id(above)] is not below:
            told = steps[id(above)]
            steps[id(above)] = opened.label("options_view.step_past", water=below.water * HOUR, told=told)
    return steps


def _levels(ladder: OptionLadder, shown: Sequence[BuildOption]) -> Sequence[tuple[float, BuildOption | None]]:
    """By water, most first; the limit, None, stands over what just keeps it."""
    levels: list[tuple[float, BuildOption | None]] = [(option.water, option) for option in shown]
    if ladder.wishes.water is not None:
        levels.append((ladder.wishes.water, None))
    return sorted(levels, key=lambda level: (level[0], level[1] is None), reverse=True)


def _limit(opened: OpenProject, water: float) -> str:
    said = components.safe(opened.label("options_view.limit", water=water * HOUR))
    return f'<div class="limit">{said}</div>'


def _head(opened: OpenProject) -> Iterator[str]:
    for name in ("water", "seats", "way"):
        yield f"<b>{components.safe(opened.label(f'options_view.head_{name}'))}</b>"


def _rung(
    opened: OpenProject,
    ladder: OptionLadder,
    option: BuildOption,
    axis: DegreeAxis[int],
    letters: Mapping[int, str],
) -> Iterator[str]:
    safe = components.safe
    band = option.band()
    shape = [100 * axis.share(value) for value in axis.bands[id(option)]]
    span = safe(opened.locale.span(band[0], band[-1]))
    place = _beside(shape[0], shape[-1])
    kind = "rung" if option in ladder.rungs else "rung off"
    now, water = " now" if option.as_stated else "", safe(water_text(option, opened.locale))
    letter = f"<i>{letters[id(option)]}</i> " if id(option) in letters else ""
    yield f'<div class="take{now}">{letter}{water}</div>'
    yield (
        f'<div class="{kind}">{components.range_shape(shape, solid=option.as_stated)}'
        f'<span style="{place}">{span}</span></div>'
    )
    first, *rest = (safe(line) for line in built_text(option, ladder, opened.locale))
    told = "".join(f"<span>{line}</span>" for line in rest)
    over = "".join(f"<b>{safe(line)}</b>" for line in over_text(option, ladder, opened.locale))
    yield f'<div class="way"><b>{first}</b>{told}{over}</div>'


def _beside(first: float, last: float) -> str:
    """Where a shape is told, its ends in percent of the axis: beside it, or on it where there is no room."""
    if last <= 100 - BESIDE:
        return f"left:calc({last:.1f}% + 8px)"
    if first >= BESIDE:
        return f"right:calc({100 - first:.1f}% + 8px)"
    return f"left:{(first + last) / 2:.1f}%;translate:-50%"


def _gap(sentence: str, height: int) -> str:
    told = f"\u2191 {components.safe(sentence)}" if sentence else ""
    return f'<i></i><div class="between" style="min-height:{height}px">{told}</div><i></i>'


def _foot(axis: DegreeAxis[int]) -> str:
    return f"<i></i>{components.ticks(axis)}<i></i>"
