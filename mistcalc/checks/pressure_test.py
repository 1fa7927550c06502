"""Does a line shut in hold? The rule for the test by gauge and for the watch, one rule for both.

Pressures are compared, not volumes: trapped air makes a litre of doubt out of a hair on the gauge, but a
gauge below what any sound line could show is below it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from mistcalc.checks.shared import DERIVED, heard
from mistcalc.model.results import (
    Finding,
    Level,
    Line,
    MissingReading,
    PressureBounds,
    PressureTest,
    PressureTestOutcome,
    PressureTestPlan,
    PressureTestVerdict,
)
from mistcalc.units import parse

AGAIN_SHARE = 0.6  # of the first hold's loss: dissolving air loses less the second time, a leak does not
LEAK_LIMIT = parse("0.1 mL/min", "flow")  # is called a leak in a test; judgement
WATCH_LIMIT = 8e-6  # m3 lost over a watch; judgement
LEVELS: dict[PressureTestOutcome, Level] = {
    "leak": "fail",
    "again": "warn",
    "unsure": "warn",
    "temperature": "note",
    "holds": "note",
}


def classify_holds(
    held: PressureBounds,
    limit: np.ndarray | float,
    earlier: PressureBounds | None = None,
    stretch: float = 1.0,
) -> np.ndarray:
    """One of leak, again, holds, temperature, unsure for each hold; the first that is true, in this order.

    leak: below what a sound line shows even with all its trapped air dissolved. again: below what it shows
    with none dissolved: dissolving air or a leak, so pump up and hold again. After an `earlier` hold that was
    below too, a hold is a leak that loses 0.6 of what that lost (`stretch`: this one's time over the
    earlier's) and more than the air left could. holds: no more water lost than `limit` [m3] at worst, and
    the gauge has not moved. temperature: no more lost, and temperature explains the gauge. unsure: none of
    these.
    """
    below = held.read < held.low - held.near
    leak = held.read < held.low_dissolved - held.near
    if earlier is not None:
        was_below = earlier.read < earlier.low - earlier.near
        as_much = shortfall(held) >= AGAIN_SHARE * stretch * shortfall(earlier)
        leak |= was_below & as_much & (held.read < held.low_again - held.near)
    tight = held.lost_most <= limit
    still = np.abs(held.fall) <= held.near
    return np.select(
        [leak, below, tight & still, tight], ["leak", "again", "holds", "temperature"], default="unsure"
    )


def shortfall(held: PressureBounds) -> np.ndarray:
    """How far the gauge stands below where it should with nothing lost [Pa]."""
    return held.expected - held.read


def judge_pressure_hold(
    held: PressureTest,
    expected: PressureBounds,
    limit: float,
    earlier: tuple[PressureTest, PressureBounds] | None,
    state: WatchState | None = None,
) -> PressureTestVerdict:
    """The answer to one hold. earlier: the one before it in its series. limit: m3 that may go unseen. state:
    of a watch, what its dawns have shown so far: a second fall of one that had begun is a leak."""
    stretch = held.seconds / earlier[0].seconds if earlier else 1.0
    answer: PressureTestOutcome = str(
        classify_holds(expected, limit, earlier[1] if earlier else None, stretch)
    )  # type: ignore[assignment]
    if answer == "again" and state is not None and state.fallen and held.number > state.fallen:
        answer = "leak"
    return PressureTestVerdict(
        begun=state is None or state.begun,
        kind=held.kind,
        answer=answer,
        number=held.number,
        place=held.place,
        seconds=held.seconds,
        gauge_start=float(np.asarray(held.start.gauge)),
        gauge_end=float(np.asarray(held.end.gauge)),
        warming=float(np.subtract(held.end.tube, held.start.tube)),
        expected=float(expected.expected),
        stop_below=float(expected.low) - expected.near,
        leak_below=float(expected.low_dissolved) - expected.near,
        lost=float(expected.lost),
        lost_most=float(expected.lost_most),
        limit=limit,
    )


@dataclass(frozen=True, slots=True)
class WatchState:
    """What the dawns of one watch have shown. It begins when a gauge stands, a dawn after it was pumped up,
    where a sound line's would; until then a fall is most likely air."""

    begun: bool = False
    fallen: int = 0  # number of the hold in which it fell after it had begun; 0: it has not

    def after(self, verdict: PressureTestVerdict) -> WatchState:
        if verdict.answer in ("again", "leak"):
            return WatchState(self.begun, self.fallen or (verdict.number if self.begun else 0))
        return WatchState(True, self.fallen)


def limit_of(held: PressureTest) -> float:
    """Water [m3] that may be gone before a hold is called a leak's."""
    return LEAK_LIMIT * held.seconds if held.kind == "test" else WATCH_LIMIT


def may_test(plan: PressureTestPlan, line: Line) -> bool:
    """Does the weakest of tube and joints stand the pressure of the test?"""
    return plan.test.gauge <= line.duty.tube_rating


def pressure_test_plan_findings(plan: PressureTestPlan) -> tuple[Finding, ...]:
    """What is worth knowing before anyone pumps up: frost in the watch, and a gauge that sees too little."""
    return heard((*_blunt(plan), *_frost(plan)), "installer")


def _blunt(plan: PressureTestPlan) -> Iterator[Finding]:
    test, watch = plan.test, plan.watch
    if test.sees > test.leak_limit:
        yield Finding(
            "hold-test-blunt", "note", "line/test", "leak", test.sees, test.leak_limit, "m3/s", DERIVED,
            (("gauge", test.gauge),),
        )  # fmt: skip
    if watch is not None and watch.sees > watch.limit:
        yield Finding(
            "hold-watch-blunt", "warn", "line/watch", "volume", watch.sees, watch.limit, "m3", DERIVED,
            (("gas", watch.gas),),
        )  # fmt: skip


def _frost(plan: PressureTestPlan) -> Iterator[Finding]:
    frost = plan.frost
    if frost is None:
        return
    if frost.first is None or frost.late is None or frost.soon is None:
        cold = [n for n, hours in enumerate(frost.months, 1) if hours]
        if cold:
            hours = float(sum(frost.months))
            cold_values = (("months", tuple(f"month-{n}" for n in cold)), ("below", frost.below))
            yield Finding(
                "hold-frost-months",
                "note",
                "line/watch",
                "hours",
                hours,
                0.0,
                "",
                "climate file",
                cold_values,
            )
        return
    soon, late = float(frost.hours_soon or 0), float(frost.hours_late or 0)
    values = (
        ("first", frost.first.isoformat()),
        ("soon", frost.soon.isoformat()),
        ("late", frost.late.isoformat()),
        ("below", frost.below),
    )
    if soon:
        yield Finding("hold-frost", "warn", "line/watch", "hours", soon, 0.0, "", "climate file", values)
    elif late:
        yield Finding("hold-frost-late", "note", "line/watch", "hours", late, 0.0, "", "climate file", values)


def pressure_test_findings(
    verdicts: Sequence[PressureTestVerdict], gaps: Sequence[MissingReading], pump: bool
) -> tuple[Finding, ...]:
    """What the log says of each series: its last hold, any leak found on the way, and what is left out. pump:
    the line has one."""
    findings = []
    for n, verdict in enumerate(verdicts):
        after = verdicts[n + 1 : n + 2]
        goes_on = any(
            v.kind == verdict.kind and v.place == verdict.place and _same(verdict, v) for v in after
        )
        if verdict.answer == "leak" or not goes_on:
            findings.append(_verdict_finding(verdict, pump))
    findings += [
        Finding(
            "hold-early" if gap.missing == "early" else "hold-gap",
            "note" if gap.missing in ("gauge", "early") else "warn", f"line/{gap.kind}", source="site log",
            values=(("kind", gap.kind), ("missing", f"hold-{gap.missing}"), ("place", gap.place),
                    ("when", gap.when.isoformat(" ", "minutes"))),
        )
        for gap in gaps
    ]  # fmt: skip
    return heard(findings, "installer", topic="site")


def _same(pressure_test_verdict: PressureTestVerdict, later: PressureTestVerdict) -> bool:
    """Whether a later hold carries on a series: pumped up again, or the same watch read again."""
    return later.number > pressure_test_verdict.number or (
        later.number == pressure_test_verdict.number and later.seconds > pressure_test_verdict.seconds
    )


def _verdict_finding(pressure_test_verdict: PressureTestVerdict, pump: bool) -> Finding:
    values = (
        ("place", pressure_test_verdict.place or "whole-line"),
        ("off", "off-pumped" if pump else "off-mains"),
        ("warming", pressure_test_verdict.warming),
        ("minutes", pressure_test_verdict.seconds / 60.0),
        ("start", pressure_test_verdict.gauge_start),
        ("expected", pressure_test_verdict.expected),
        ("lost", pressure_test_verdict.lost),
        (
            "rate",
            pressure_test_verdict.lost / pressure_test_verdict.seconds
            if pressure_test_verdict.seconds
            else 0.0,
        ),
        ("lost_most", pressure_test_verdict.lost_most),
        ("number", pressure_test_verdict.number),
        ("begun", pressure_test_verdict.begun),
        ("settling", not pressure_test_verdict.begun),
    )
    code = f"hold-{pressure_test_verdict.kind}-{pressure_test_verdict.answer}"
    return Finding(
        code,
        LEVELS[pressure_test_verdict.answer],
        f"line/{pressure_test_verdict.kind}",
        "pressure",
        pressure_test_verdict.gauge_end,
        pressure_test_verdict.stop_below,
        "Pa",
        DERIVED,
        values,
    )
