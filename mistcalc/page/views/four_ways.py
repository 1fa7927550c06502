"""Shade, fan, mist, both: how one afternoon feels in the chairs, four ways beside each other on one axis."""

from __future__ import annotations

import streamlit as st

from mistcalc.model.results import COMFORT_COLUMNS, Comfort, Cooling, MistVerdict
from mistcalc.page.open_project import OpenProject
from mistcalc.page.views import components
from mistcalc.report.owner.felt_temperature_text import readings
from mistcalc.report.owner.range_axis import SHAPE

WITHOUT_MIST = {"little": "fan", "damp": "fan", "fan": "fan"}  # any other call that is not "run": the shade


def show(opened: OpenProject, day: Cooling, verdict: MistVerdict) -> None:
    """Nothing where the index has no answer; the table of all afternoons says so."""
    felt = day.feel
    if felt is None or any(felt.band(column) is None for column in COMFORT_COLUMNS):
        return
    components.heading(opened.label("ways.head"))
    advised = _advised(felt, verdict)
    tiles = "".join(_tile(opened, felt, column, advised) for column in COMFORT_COLUMNS)
    st.html(f'<div class="ways">{tiles}</div>')
    fan = "ways.fan_meant" if felt.fan_supposed is None else "ways.fan_supposed"
    components.side(opened.label("ways.meant"))
    components.side(opened.label(fan, speed=felt.fan_speed))


def _advised(felt: Comfort, verdict: MistVerdict) -> str:
    """The way the verdict calls for: what we would run is drawn solid."""
    if verdict.call == "run":
        return "both" if felt.fan_supposed is None else "mist"
    return WITHOUT_MIST.get(verdict.call, "shade")


def _tile(opened: OpenProject, felt: Comfort, column: str, advised: str) -> str:
    bands = {name: felt.band(name, SHAPE) or () for name in COMFORT_COLUMNS}
    low, high = min(band[0] for band in bands.values()), max(band[-1] for band in bands.values())
    wide = max(high - low, 1.0)
    shape = components.range_shape([100 * (value - low) / wide for value in bands[column]], column == advised)
    told = components.safe(f"{readings(felt, column, opened.locale)} {opened.label('ways.degree')}")
    gain = felt.cooler(column)
    if column == "shade" or gain is None:
        sentence = opened.label("ways.shade")
    else:
        sentence = opened.label("ways.gain", span=(gain[0], gain[-1]))
    if column == advised:
        sentence = f"{sentence} {opened.label('ways.advised')}"
    name, chosen = opened.label(f"page.col_{column}"), " chosen" if column == advised else ""
    head = f'<b>{components.safe(name)}</b><b class="told">{told}</b>'
    drawn = f'<div class="track" aria-hidden="true">{shape}</div>'
    return f'<div class="way{chosen}">{head}{drawn}<p>{components.safe(sentence)}</p></div>'
