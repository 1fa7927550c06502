"""Thousands of simulated tests and watches at once, each answered by the rule from readings that err."""

from __future__ import annotations

import numpy as np

from mistcalc.checks.pressure_test import LEAK_LIMIT, WATCH_LIMIT, classify_holds
from mistcalc.line.pressure_test import closed_line
from mistcalc.model.results import GaugeReading
from mistcalc.physics import tube_elasticity
from tests.line.hold_lines import ATMOSPHERE, DEGREE, ML, MOST_AIR, PSI, VOLUME, kelvin, pumped_up, shut, wait

LINE = closed_line.ClosedLine(
    VOLUME,
    float(tube_elasticity.volume_compliance("stainless 304", 0.375 * 0.0254, 0.035 * 0.0254)),
    3 * 17.3e-6,
)
QUARTER, DAY = 900.0, 86400.0
DISSOLVING = (10.0, 600.0)  # minutes in which 63 % of the air is gone, from a fine foam to one long bubble
GAUGE, THERMOMETER, SPOT = 7.0, 0.5, 0.15  # psi, degF and share of the change, as the rule supposes
GAUGE_WATCH, GAS = 0.5, 0.05  # psi; share by which the vessel's gas is off after it was tried


def answered_tests(count, *, leak, swing, seed, air=(0.0, 1.0), first_only=False, naive=False):
    """Answers to `count` tests at 1,000 psi. leak: mL/min there. swing: degF the tube's thermometer moves in
    a quarter of an hour, one standard deviation. air: share of the most that may be trapped. naive: whether
    the first hold is below what a sound line shows that dissolves no air."""
    rng = np.random.default_rng(seed)
    per_second = 1 / np.exp(rng.uniform(*np.log(DISSOLVING), count)) / 60
    held = shut(
        count,
        1000 * PSI,
        kelvin(rng.uniform(50, 90, count)),
        air=rng.uniform(*air, count) * MOST_AIR,
        dissolving=per_second,
        leak=leak * ML / 60,
    )
    first, end = _test(held, swing, rng, None)
    if naive:
        return first.read < first.low - first.near
    told = classify_holds(first, LEAK_LIMIT * QUARTER)
    if first_only:
        return told
    second, _ = _test(pumped_up(end), swing, rng, 1.0)
    return np.where(told == "again", classify_holds(second, LEAK_LIMIT * QUARTER, first), told)


def _test(held, swing, rng, longer):
    count = held.tube.size
    moved = rng.normal(0, swing, count) * DEGREE
    end = wait(held, QUARTER, held.tube + moved * (1 + SPOT * rng.normal(size=count)))
    once = 1 / np.sqrt(2)  # the errors are of a difference of two readings
    gauge = [g + rng.normal(0, GAUGE * once, count) * PSI for g in (held.at, end.pressure - ATMOSPHERE)]
    tube = [t + rng.normal(0, THERMOMETER * once, count) * DEGREE for t in (held.tube, held.tube + moved)]
    last = GaugeReading(np.maximum(gauge[1], 0.0), tube[1])
    first = GaugeReading(gauge[0], tube[0])
    return closed_line.bounds(LINE, first, last, closed_line.TEST_ERRORS, MOST_AIR, 0.0, longer), end


def answered_watches(count, *, lost, swing, seed, days=9.0):
    """Answers to `count` watches at 60 psi on 100 mL of gas. lost: mL over `days`. swing: degF that tube and
    vessel, each for itself, are warmer or colder when last read than when first, one standard deviation."""
    rng = np.random.default_rng(seed)
    per_second = 1 / np.exp(rng.uniform(*np.log(DISSOLVING), count)) / 60
    tube, vessel = (kelvin(rng.uniform(55, 85, count)) for _ in range(2))
    gas = 100 * ML * (1 + GAS * rng.normal(size=count))
    held = shut(
        count,
        60 * PSI,
        tube,
        air=rng.uniform(0, 1, count) * MOST_AIR,
        dissolving=per_second,
        leak=0.0,
        gas=gas,
        vessel=vessel,
    )
    held = pumped_up(wait(held, DAY, tube, vessel, steps=48))
    held.leak = np.full(count, lost * ML / (days * DAY))
    # Never to frost: a line is drained before.
    moved = [np.maximum(rng.normal(0, swing, count) * DEGREE, kelvin(36) - t) for t in (tube, vessel)]
    real = [m * (1 + SPOT * rng.normal(size=count)) for m in moved]
    end = wait(held, days * DAY, tube + real[0], vessel + real[1], steps=90)
    once = 1 / np.sqrt(2)
    gauge = [g + rng.normal(0, GAUGE_WATCH * once, count) * PSI for g in (held.at, end.pressure - ATMOSPHERE)]
    read = [
        t + rng.normal(0, THERMOMETER * once, count) * DEGREE
        for t in (tube, vessel, tube + moved[0], vessel + moved[1])
    ]
    bounds = closed_line.bounds(
        LINE,
        GaugeReading(gauge[0], read[0], read[1]),
        GaugeReading(gauge[1], read[2], read[3]),
        closed_line.WATCH_ERRORS,
        closed_line.WATCH_AIR * MOST_AIR,
        100 * ML,
    )
    return classify_holds(bounds, WATCH_LIMIT)
