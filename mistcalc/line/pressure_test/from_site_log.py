"""From lines of the site log to holds: which reading began one, which ended it, how warm things were."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from mistcalc.line.pressure_test.closed_line import (
    WATCH_AIR,
    WATCH_ERRORS,
    bounds,
    closed_line_of,
    gas_of_draw,
)
from mistcalc.line.pressure_test.test_plan import DRAW, GAS, test_errors
from mistcalc.model.practice import AIR_LEFT
from mistcalc.model.project import Plumbing
from mistcalc.model.results import (
    GaugeReading,
    Line,
    MissingReading,
    PressureBounds,
    PressureTest,
    PressureTestKind,
    PressureTestPlan,
)
from mistcalc.model.site_log import SiteEntry
from mistcalc.physics import air

NEAR = {"test": datetime.timedelta(minutes=5), "watch": datetime.timedelta(hours=1)}  # read together
SERIES = {
    "test": datetime.timedelta(hours=4),
    "watch": datetime.timedelta(days=2),
}  # pumped up and held again
NO_VESSEL = 293.15


def pressure_tests(
    entries: Sequence[SiteEntry], plumbing: Plumbing, solved: Line, elevation: float
) -> tuple[tuple[PressureTest, ...], tuple[MissingReading, ...]]:
    """Every hold in the log, in the order of time, and what the log leaves out.

    A "start" begins a hold. A test ends with its last gauge; a watch is one hold for each gauge read, all
    from the same start. Gauges without a temperature read about the same time are gaps.
    """
    tests: list[PressureTest] = []
    gaps: list[MissingReading] = []
    kinds: tuple[PressureTestKind, ...] = ("test", "watch")
    for kind in kinds:
        kind_entries = [e for e in entries if e.field.startswith(f"{kind} ") and e.amount is not None]
        for place in sorted({e.mark for e in kind_entries}):
            here = sorted((e for e in kind_entries if e.mark == place), key=lambda e: e.when)
            for sery in _series(kind, place, here, plumbing, solved, elevation):
                if isinstance(sery, PressureTest):
                    tests.append(sery)
                else:
                    gaps.append(sery)
    return tuple(tests), tuple(gaps)


def _series(
    kind: PressureTestKind,
    place: str,
    here: list[SiteEntry],
    plumbing: Plumbing,
    solved: Line,
    elevation: float,
) -> Iterator[PressureTest | MissingReading]:
    starts = [e for e in here if e.field == f"{kind} start"]
    gauges = [e for e in here if e.field == f"{kind} gauge"]
    if gauges and not starts:
        yield MissingReading(kind, place, "start", gauges[0].when)
    drawn = [e.when for e in here if e.field == f"{kind} draw"]
    early = [e.when for e in gauges if starts and e.when <= starts[0].when]
    # The gauge before a draw is read before the start.
    if early and not any(early[-1] <= when for when in drawn):
        yield MissingReading(kind, place, "early", early[-1])
    before, ended, number = 0.0, None, 0
    for n, first in enumerate(starts):
        until = starts[n + 1].when if n + 1 < len(starts) else None
        readings = [e for e in gauges if first.when < e.when and (until is None or e.when < until)]
        apart = ended is None or first.when - ended > SERIES[kind]
        number, before = (1, 0.0) if apart else (number + 1, before)
        begun = _reading(kind, first, here)
        gas = _gas(here, first, plumbing, solved, elevation) if kind == "watch" else None
        if isinstance(gas, MissingReading):
            yield gas
            gas = None
        if begun is None or not readings:
            yield MissingReading(kind, place, "temperature" if begun is None else "gauge", first.when)
            continue
        held = 0.0
        for last in readings if kind == "watch" else readings[-1:]:
            end = _reading(kind, last, here)
            if end is None:
                yield MissingReading(kind, place, "temperature", last.when)
                continue
            held = (last.when - first.when).total_seconds()
            yield PressureTest(kind, begun, end, held, number, before, gas, place)
        before, ended = before + held, readings[-1].when


def _reading(kind: PressureTestKind, gauge: SiteEntry, here: list[SiteEntry]) -> GaugeReading | None:
    tube = _nearest(f"{kind} tube", gauge, here, NEAR[kind])
    vessel = _nearest("watch vessel", gauge, here, NEAR[kind]) if kind == "watch" else NO_VESSEL
    if tube is None or vessel is None or gauge.amount is None:
        return None
    return GaugeReading(gauge.amount, tube, vessel)


def _nearest(field: str, to: SiteEntry, here: list[SiteEntry], within: datetime.timedelta) -> float | None:
    """What was read of `field` nearest in time; of two as near, the later."""
    near = [e for e in here if e.field == field and abs(e.when - to.when) <= within]
    return min(reversed(near), key=lambda e: abs(e.when - to.when)).amount if near else None


def _gas(
    here: list[SiteEntry], start: SiteEntry, plumbing: Plumbing, solved: Line, elevation: float
) -> float | MissingReading | None:
    """The vessel's gas at the start's gauge, from the last draw before it; None where there was none."""
    draws = [e for e in here if e.field == "watch draw" and e.when <= start.when]
    if not draws:
        return None
    draw = draws[-1]
    gauges = [e for e in here if e.field in ("watch gauge", "watch start") and e.when <= draw.when]
    tube = _nearest("watch tube", draw, here, NEAR["watch"])
    if not gauges or tube is None or draw.when - gauges[-1].when > NEAR["watch"]:
        return MissingReading("watch", draw.mark, "before draw", draw.when)
    full, after = gauges[-1].amount or 0.0, draw.amount or 0.0
    if after >= full:
        return MissingReading("watch", draw.mark, "draw", draw.when)
    pressure = float(air.pressure_at_elevation(elevation))
    line = closed_line_of(plumbing, solved.duty.fill_volume, pressure)
    gas = float(gas_of_draw(line, GaugeReading(full, tube), after, DRAW))
    if gas <= 0.0:
        return MissingReading("watch", draw.mark, "draw", draw.when)
    return gas * (full + pressure) / ((start.amount or 0.0) + pressure)


def pressure_bounds(
    plumbing: Plumbing,
    solved: Line,
    elevation: float,
    plan: PressureTestPlan,
    held: PressureTest,
    begun: bool = True,
) -> PressureBounds:
    """What one hold could have been. begun: whether a watch has stood equal on two dawns; until then as much
    air may be trapped as in a test. RangeError for temperatures at which water is no water."""
    line = closed_line_of(plumbing, solved.duty.fill_volume, float(air.pressure_at_elevation(elevation)))
    trapped = AIR_LEFT * line.volume
    longer = held.seconds / held.before if held.before > 0.0 else None
    if held.kind == "test":
        errors = test_errors(float(np.asarray(held.start.gauge)))
        return bounds(line, held.start, held.end, errors, trapped, 0.0, longer)
    gas, trapped = held.gas, WATCH_AIR * trapped if begun else trapped
    if gas is None:
        gas = plan.watch.gas if plan.watch is not None else GAS[0]
    errors = WATCH_ERRORS if held.gas is not None else replace(WATCH_ERRORS, gas=2.0 * WATCH_ERRORS.gas)
    return bounds(line, held.start, held.end, errors, trapped, gas, longer)
