"""What to expect of the test by gauge and of the watch, and when a watched line would freeze."""

from __future__ import annotations

import datetime
from itertools import pairwise

import numpy as np

from mistcalc.line.pressure_test.closed_line import (
    TEST_ERRORS,
    WATCH_AIR,
    WATCH_ERRORS,
    ClosedLine,
    bounds,
    closed_line_of,
    gauge_pressure_at,
    water_lost,
)
from mistcalc.model.practice import AIR_LEFT
from mistcalc.model.project import Plumbing
from mistcalc.model.results import (
    FrostHours,
    GaugeReading,
    GaugeReadingErrors,
    Line,
    LowPressureWatch,
    PressureTestPlan,
    PressureTestStep,
    WatchStep,
    Weather,
    WorkingPressureTest,
)
from mistcalc.physics import air
from mistcalc.physics.strength import Floats
from mistcalc.units import parse, to_si

_DEGREE, _ML = parse("1 degF", "temperature_difference"), parse("1 mL", "volume")
READ_AT = (0.0, 300.0, 600.0, 900.0)  # s; IRC P2503.7 asks for 15 minutes
WATCH_GAUGE = parse(
    "60 psi", "pressure"
)  # or the mains, where less; low enough that sun and a shut valve cannot hurt the tube
WATCH_START = parse("70 degF", "temperature")
WATCH_MOST = parse("95 psi", "pressure")  # of a 100 psi gauge, on the warmest day
GAS = tuple(v * _ML for v in (100, 200, 500, 1000, 2000, 5000))  # m3: sizes to choose from, as invented
DRAW = 10 * _ML
FROST = 273.65  # K: at 0.5 degC by the station, a thin tube under an open sky may freeze
SOONEST, LATEST = datetime.timedelta(days=9), datetime.timedelta(weeks=7)  # scratch coat to the watch's end
_ABOUT = np.array([-1.0, 0.0, 1.0])  # of 10 degF: starts so far from the plan's own
_MONTHS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)


def pressure_test_plan(
    plumbing: Plumbing,
    solved: Line,
    elevation: float,
    leak_limit: float,
    watch_limit: float,
    weather: Weather | None,
    filled: datetime.date | None,
    scratch_coat: datetime.date | None,
    plastered: bool,
) -> PressureTestPlan:
    """Test and watch of a solved line. leak_limit: m3/s that the test must find. watch_limit: m3, the watch.

    The watch is for lines that plaster covers (`plastered`); weather, the day the line is first filled and
    that of the scratch coat say when it would freeze.
    """
    line = closed_line_of(plumbing, solved.duty.fill_volume, float(air.pressure_at_elevation(elevation)))
    working = plumbing.working
    return PressureTestPlan(
        test=_test(line, working, plumbing.water.temperature, leak_limit),
        watch=_watch(line, min(WATCH_GAUGE, plumbing.water.static), watch_limit) if plastered else None,
        frost=frost_hours(weather, filled, scratch_coat) if plastered and weather is not None else None,
    )


def air_most(line: ClosedLine) -> float:
    """As much air [m3 at 1 atm] may be trapped in a line that was filled with care."""
    return AIR_LEFT * line.volume


def test_errors(gauge: float) -> GaugeReadingErrors:
    """Errors of a test at `gauge` [Pa]: a gauge for half the pressure is half as coarse, down to 0.5 psi."""
    share = gauge / parse("1000 psi", "pressure")
    return GaugeReadingErrors(
        max(TEST_ERRORS.gauge * share, WATCH_ERRORS.gauge), TEST_ERRORS.thermometer, TEST_ERRORS.spot
    )


def _test(line: ClosedLine, gauge: float, temperature: float, leak_limit: float) -> WorkingPressureTest:
    trapped, errors = air_most(line), test_errors(gauge)
    start = GaugeReading(gauge, temperature, temperature)
    airs = np.array([0.0, trapped])
    fell = gauge - gauge_pressure_at(line, start, temperature, temperature, airs, 0.0, _ML)
    rose = gauge_pressure_at(line, start, temperature + _DEGREE, temperature, airs) - gauge
    held = bounds(line, start, start, errors, trapped)
    shows = water_lost(line, start, GaugeReading(held.low - held.near, temperature, temperature), airs)
    us = _test_steps(
        line, gauge, errors, to_si(np.arange(40.0, 111.0, 10.0), "degF", "temperature"), 2 * _DEGREE
    )
    metric = _test_steps(line, gauge, errors, 278.15 + np.arange(0.0, 41.0, 5.0), 1.0)
    return WorkingPressureTest(
        gauge=gauge,
        temperature=temperature,
        seconds=READ_AT,
        volume=line.volume,
        air_most=trapped,
        per_volume=(float(fell[0]) / _ML, float(fell[1]) / _ML),
        per_kelvin=(float(rose[0]) / _DEGREE, float(rose[1]) / _DEGREE),
        leak_limit=leak_limit,
        sees=float(np.max(shows)) / READ_AT[-1],
        steps=us,
        steps_metric=metric,
        errors=errors,
    )


def _test_steps(
    line: ClosedLine, gauge: float, errors: GaugeReadingErrors, starts: Floats, warming: float
) -> tuple[PressureTestStep, ...]:
    changes = warming * np.arange(-2.0, 3.0)
    half = (starts[1] - starts[0]) / 2.0
    around = starts[:, None, None] + half * np.array([-1.0, 0.0, 1.0])  # [start, change, about the start]
    ends = around + changes[None, :, None]
    held = bounds(line, GaugeReading(gauge, around), GaugeReading(gauge, ends), errors, air_most(line))
    again, leak = (np.min(low, axis=-1) - held.near for low in (held.low, held.low_dissolved))
    return tuple(
        PressureTestStep(float(start), float(change), float(again[i, j]), float(leak[i, j]))
        for i, start in enumerate(starts)
        for j, change in enumerate(changes)
    )


def _watch(line: ClosedLine, gauge: float, limit: float) -> LowPressureWatch:
    t = WATCH_START
    start = GaugeReading(gauge, t, t)
    ten = 10 * _DEGREE
    gas = next((g for g in GAS if _warmest(line, start, g) <= WATCH_MOST), GAS[-1])
    trapped = WATCH_AIR * air_most(line)
    held = bounds(line, start, start, WATCH_ERRORS, trapped, gas)
    shows = water_lost(line, start, GaugeReading(held.low - held.near, t, t), 0.0, gas)
    about = GaugeReading(gauge, t + ten * _ABOUT, t + ten * _ABOUT)
    filled = bounds(line, about, about, WATCH_ERRORS, air_most(line), gas)
    drawn = gauge - float(gauge_pressure_at(line, start, t, t, 0.0, gas, DRAW))
    low, high = (
        gauge - float(gauge_pressure_at(line, start, t, t, 0.0, share * gas, DRAW))
        for share in (1.0 + WATCH_ERRORS.gas, 1.0 - WATCH_ERRORS.gas)
    )
    warm, cool = (float(gauge_pressure_at(line, start, t + ten, v, 0.0, gas)) - gauge for v in (t + ten, t))
    return LowPressureWatch(
        gauge=gauge,
        temperature=t,
        gas=gas,
        air_most=trapped,
        per_kelvin=(warm / ten, cool / ten),
        per_volume=drawn / DRAW,
        draw=DRAW,
        draw_fall=drawn,
        draw_room=(high - low) / 2.0,
        limit=limit,
        sees=float(shows),
        leak_below=float(np.min(filled.low_dissolved)) - filled.near,
        steps=_watch_steps(line, gauge, gas, ten * np.arange(-2.0, 5.0)),
        steps_metric=_watch_steps(line, gauge, gas, 5.0 * np.arange(-2.0, 5.0)),
        gauge_most=_warmest(line, start, gas),
        errors=WATCH_ERRORS,
    )


def _warmest(line: ClosedLine, start: GaugeReading, gas: float) -> float:
    hot = np.asarray(start.tube) + 40 * _DEGREE
    return float(gauge_pressure_at(line, start, hot, hot, 0.0, gas))


def _watch_steps(line: ClosedLine, gauge: float, gas: float, changes: Floats) -> tuple[WatchStep, ...]:
    near = 10 * _DEGREE * _ABOUT
    tube, vessel, about = np.meshgrid(changes, changes, WATCH_START + near, indexing="ij")
    start, end = GaugeReading(gauge, about, about), GaugeReading(gauge, about + tube, about + vessel)
    held = bounds(line, start, end, WATCH_ERRORS, WATCH_AIR * air_most(line), gas)
    again, stop = (np.min(low, axis=-1) - held.near for low in (held.low, held.low_dissolved))
    return tuple(
        WatchStep(
            float(warm),
            float(other),
            float(held.expected[i, j, 1]),
            float(again[i, j]),
            float(stop[i, j]),
        )
        for i, warm in enumerate(changes)
        for j, other in enumerate(changes)
    )


# ------------------------------------------------------------------ frost


def frost_hours(
    weather: Weather, filled: datetime.date | None, scratch_coat: datetime.date | None
) -> FrostHours:
    """Hours at or below 0.5 degC of the file's year: by month, and in the days from the one the line is first
    filled to the end of the watch, nine days after the scratch coat at the soonest and seven weeks at the
    latest. The station's air; no 29 February."""
    cold = weather.temperature <= FROST
    edges = np.concatenate(([0], np.cumsum(_MONTHS))) * 24
    months = tuple(int(np.count_nonzero(cold[a:b])) for a, b in pairwise(edges))
    if scratch_coat is None or filled is None:
        return FrostHours(FROST, None, None, None, None, None, months)
    soon, late = scratch_coat + SOONEST, scratch_coat + LATEST
    first = int(edges[filled.month - 1]) + 24 * (min(filled.day, _MONTHS[filled.month - 1]) - 1)

    def until(end: datetime.date) -> int:
        hours = (
            first + np.arange(24 * (end - filled).days)
        ) % cold.size  # past New Year the file begins again
        return int(np.count_nonzero(cold[hours]))

    return FrostHours(FROST, filled, soon, late, until(soon), until(late), months)
