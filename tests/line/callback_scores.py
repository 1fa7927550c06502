"""How well simulated call-backs are diagnosed: one place for the test and for the page of docs/validation."""

from functools import cache
from typing import NamedTuple

import numpy as np

from mistcalc.line.case import fault_case
from mistcalc.line.diagnose import cause_shares, diagnose
from mistcalc.line.readings import DRAWS, DRAWS_WITHOUT_SHEET, FaultTable, fault_table
from mistcalc.model.results import Sheet
from tests.line.callbacks import CAUSES, NAMES, SUBSETS, Score, Truth, faulty, mains_line, pump_line, score

LINES = {"pump": pump_line, "mains": mains_line}
TEN = 10  # times as many draws: what no larger table betters by much
FIXED_START = ("gauge", "meter")
# (line, sheet, readings) where confidence is missed by more than was aimed at, if nozzles are
# twice as uneven as the table thinks: figures in docs/validation/call-back.md
MISSED = {
    ("pump", True, "+ buckets + inlet"),
    ("pump", True, "+ port"),
    ("mains", True, "+ buckets + inlet"),
    ("mains", True, "+ port"),
    ("pump", False, "+ buckets + inlet"),
    ("pump", False, "+ port"),
}


@cache
def table(kind: str, sheet: bool, times: float = 1) -> FaultTable:
    """The table of one of the two lines, with as many draws as the program takes, times `times`."""
    plumbing, line = LINES[kind]()
    bare = fault_case(plumbing, line)
    cups = (bare.marks[bare.near].flow, bare.marks[bare.far].flow) if sheet == "cups" else ()
    written = Sheet(line.supply_gauge, line.total_flow, None, *cups) if sheet else None
    draws = DRAWS if sheet else DRAWS_WITHOUT_SHEET
    return fault_table(fault_case(plumbing, line, sheet=written), draws=int(draws * times))


@cache
def faults(kind: str, sheet: bool, count: int, changed: bool = False) -> Truth:
    seed = 1 + 2 * list(LINES).index(kind) + 10 * bool(sheet) + 100 * changed
    return faulty(table(kind, sheet), count, seed, changed=changed)


def scored(
    kind: str, sheet: bool, subset: str, count: int, changed: bool = False
) -> tuple[Score, np.ndarray]:
    """(score, shares [case, cause]) of the program's own table."""
    truth, own = faults(kind, sheet, count, changed), table(kind, sheet)
    shares = np.array([cause_shares(own, truth.readings(case, SUBSETS[subset])) for case in range(count)])
    return score(shares, truth.cause), shares


def ceiling(kind: str, sheet: bool, count: int) -> dict[str, Score]:
    """Score on the same faults of a table ten times larger, for each subset of readings.

    The sum over draws is written out here, not taken from the program: a second method for it too.
    """
    large, truth = table(kind, sheet, TEN), faults(kind, sheet, count)
    found = {name: np.empty((count, len(CAUSES))) for name in SUBSETS}
    weight = 1.0 / large.valid.sum(axis=1)
    for case in range(count):
        logs: dict[str, np.ndarray] = {}
        for row, name in enumerate(NAMES):
            miss = (truth.read[case, row] - large.values[row]) / large.spread[row]
            logs[name] = -0.5 * miss**2 - large.log_spread[row]
        for subset, names in SUBSETS.items():
            log = np.where(large.valid, np.sum([logs[name] for name in names], axis=0), -np.inf)
            per_cause = np.exp(log - log.max()).sum(axis=1) * weight
            found[subset][case] = per_cause / per_cause.sum()
    return {name: score(shares, truth.cause) for name, shares in found.items()}


class Guided(NamedTuple):
    """Mean entropy left [bits] after one and after two further readings: as suggested case by case, and by
    the fixed order that leaves least."""

    before: float
    suggested: tuple[float, float]
    fixed: tuple[float, float]
    order: tuple[str, str]


def guided(kind: str, sheet: bool, count: int) -> Guided:
    """Whether it pays to be told what to read next, from gauge and meter on."""
    own, truth = table(kind, sheet), faults(kind, sheet, count)
    names = [name for name in ("weak", "wet", *NAMES) if name not in FIXED_START]
    before, told = [], []
    for case in range(count):
        taken = list(FIXED_START)
        said = diagnose(own, truth.readings(case, taken))
        before.append(said.entropy)
        left = []
        for _ in range(2):
            if said.next is not None:
                taken.append(said.next.name)
                said = diagnose(own, truth.readings(case, taken))
            left.append(said.entropy)
        told.append(left)

    def after(extra: tuple[str, ...]) -> float:
        rest = [_entropy(cause_shares(own, truth.readings(c, (*FIXED_START, *extra)))) for c in range(count)]
        return float(np.mean(rest))

    one = min(names, key=lambda name: after((name,)))
    pairs = [(a, b) for i, a in enumerate(names) for b in names[i + 1 :]]
    pair = min(pairs, key=after)
    first, second = np.mean(told, axis=0)
    return Guided(
        float(np.mean(before)),
        (float(first), float(second)),
        (after((one,)), after(pair)),
        (one, "+".join(pair)),
    )


def _entropy(shares: np.ndarray) -> float:
    some = shares[shares > 0.0]
    return float(-np.sum(some * np.log2(some)))
