"""How well simulated call-backs are diagnosed: one place for the test and for the page of docs/validation."""

from functools import cache
from itertools import combinations
from typing import NamedTuple

import numpy as np

from mistcalc.line.diagnosis.fault_table import DRAWS, DRAWS_WITHOUT_SHEET, FaultTable, build_fault_table
from mistcalc.line.diagnosis.likely_causes import diagnose, log_density
from mistcalc.line.diagnosis.sound_line import fault_case
from mistcalc.model.results import CommissioningReadings
from tests.line.call_backs import (
    NAMES,
    SUBSETS,
    Score,
    Truth,
    cause_shares,
    faulty,
    mains_line,
    pump_line,
    score,
)

LINES = {"pump": pump_line, "mains": mains_line}
# what was written down when the line was handed over
SHEETS = {"cups": "gauge, meter, two cups", "gauge": "gauge, meter", "none": "nothing"}
TEN = 10  # times as many draws: what no larger table betters by much
FIXED_START = ("gauge", "meter")


@cache
def table(kind: str, sheet: str, times: float = 1) -> FaultTable:
    """The table of one of the two lines, with as many draws as the program takes, times `times`."""
    plumbing, line = LINES[kind]()
    bare = fault_case(plumbing, line)
    cups = (bare.marks[bare.near].flow, bare.marks[bare.far].flow) if sheet == "cups" else ()
    written = (
        None if sheet == "none" else CommissioningReadings(line.supply_gauge, line.total_flow, None, *cups)
    )
    draws = DRAWS if written else DRAWS_WITHOUT_SHEET
    return build_fault_table(fault_case(plumbing, line, sheet=written), draws=int(draws * times))


@cache
def faults(kind: str, sheet: str, count: int, changed: bool = False) -> Truth:
    seed = 1 + 2 * list(LINES).index(kind) + 10 * (sheet != "none") + 100 * changed
    return faulty(table(kind, sheet), count, seed, changed=changed)


def scored(kind: str, sheet: str, subset: str, count: int, changed: bool = False) -> tuple[Score, np.ndarray]:
    """(score, shares [case, cause]) of the program's own table."""
    truth, own = faults(kind, sheet, count, changed), table(kind, sheet)
    shares = np.array([cause_shares(own, truth.readings(case, SUBSETS[subset])) for case in range(count)])
    return score(shares, truth.cause), shares


def ceiling(kind: str, sheet: str, count: int) -> dict[str, Score]:
    """Score on the same faults of a table ten times larger, for each subset of readings.

    The sum over draws is written out here, not taken from the program: a second method for it too.
    """
    large, truth = table(kind, sheet, TEN), faults(kind, sheet, count)
    found = {name: np.empty((count, len(large.causes))) for name in SUBSETS}
    for case in range(count):
        logs: dict[str, np.ndarray] = {}
        for row, name in enumerate(NAMES):
            miss = (truth.read[case, row] - large.values[row]) / large.spread[row]
            logs[name] = -0.5 * miss**2 - large.log_spread[row]
        for subset, names in SUBSETS.items():
            found[subset][case] = _shares(large, [logs[name] for name in names])
    return {name: score(shares, truth.cause) for name, shares in found.items()}


def _shares(own: FaultTable, logs: list[np.ndarray]) -> np.ndarray:
    """Share of each cause, all as likely before, from the logarithms of independent readings' densities."""
    log = np.where(own.valid, np.sum(logs, axis=0), -np.inf)
    per_cause = np.exp(log - log.max()).sum(axis=1) / own.valid.sum(axis=1)
    return np.asarray(per_cause / per_cause.sum())


class Guided(NamedTuple):
    """Mean entropy left [bits] after one and after two further readings: as suggested case by case, and by
    the fixed order that leaves least."""

    before: float
    suggested: tuple[float, float]
    fixed: tuple[float, float]
    order: tuple[str, str]


def guided(kind: str, sheet: str, count: int) -> Guided:
    """Whether it pays to be told what to read next, from gauge and meter on."""
    own, truth = table(kind, sheet), faults(kind, sheet, count)
    names = [name for name in ("weak", "wet", *NAMES) if name not in FIXED_START]
    orders = [*combinations(names, 1), *combinations(names, 2)]
    left = {order: np.empty(count) for order in orders}
    before, told = np.empty(count), np.empty((count, 2))
    for case in range(count):
        logs = {n: log_density(own, truth.readings(case, (n,)))[0] for n in (*FIXED_START, *names)}
        for order in orders:
            left[order][case] = _entropy(_shares(own, [logs[name] for name in (*FIXED_START, *order)]))
        taken = list(FIXED_START)
        said = diagnose(own, truth.readings(case, taken))
        before[case] = said.entropy
        for n in range(2):
            if said.next is not None:
                taken.append(said.next.name)
                said = diagnose(own, truth.readings(case, taken))
            told[case, n] = said.entropy
    best = [min((o for o in orders if len(o) == n), key=lambda o: left[o].mean()) for n in (1, 2)]
    first, second = told.mean(axis=0)
    return Guided(
        float(before.mean()),
        (float(first), float(second)),
        (float(left[best[0]].mean()), float(left[best[1]].mean())),
        ("+".join(best[0]), "+".join(best[1])),
    )


def _entropy(shares: np.ndarray) -> float:
    some = shares[shares > 0.0]
    return float(-np.sum(some * np.log2(some)))
