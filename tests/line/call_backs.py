"""Simulated call-backs: lines with something wrong and what is read on them, by a way of their own.

Nothing here is taken from the code under test but the single solver: each faulty line is drawn by numpy's own
generator from the ranges below, solved alone, and read with gauges that err.
"""

import dataclasses
from typing import NamedTuple

import numpy as np

from mistcalc.errors import ConvergenceError
from mistcalc.line import solve_line
from mistcalc.line.diagnosis.fault_table import FaultTable
from mistcalc.line.diagnosis.likely_causes import draw_weights, log_density
from mistcalc.line.network.solver import solve
from mistcalc.model.project import Drain
from mistcalc.model.results import Readings
from tests.line.rows import porch

PSI, BAR, LITRE_PER_MINUTE = 6894.757293168, 1e5, 1e-3 / 60
CAUSES = (
    "sound",
    "plugged",
    "worn",
    "part-worn",
    "leak",
    "feed",
    "inlet",
    "regulator",
    "drain",
    "scaled",
    "pump",
)
NAMES = ("gauge", "meter", "inlet", "near", "far", "port", "creep")
SUBSETS = {
    "gauge + meter": ("gauge", "meter"),
    "+ buckets + inlet": ("gauge", "meter", "near", "far", "inlet"),
    "+ port": ("gauge", "meter", "near", "far", "inlet", "port"),
    "+ creep": ("gauge", "meter", "near", "far", "inlet", "port", "creep"),
}
# log sd of mean nozzle, bore, pump flow, supply; of nozzle to nozzle
SPREAD = {True: (0.02, 0.01, 0.03, 0.03), False: (0.06, 0.02, 0.08, 0.10)}
EACH = 0.03
CUPS = ("near", "far")
# chances of a nozzle being called weak (shut, part plugged, sound) and of water seen at each of WET
SEEN, SEEN_PART, IMAGINED = 0.95, 0.6, 0.01
WET = ("nowhere", "drain", "elsewhere")
WET_CHANCE = {"leak": (0.55, 0.02, 0.43), "drain": (0.25, 0.70, 0.05)}
DRY = (0.97, 0.01, 0.02)


def pump_line(marks=(16, 12), feed=34 * 0.3048):
    """(plumbing, line): 28 nozzles on a pump at 1,000 psi, 34 ft of feed, drain and test port at its end."""
    plumbing, layouts = porch({"A": marks[0], "B": marks[1]})
    pieces = (dataclasses.replace(plumbing.pieces[0], length=feed), *plumbing.pieces[1:])
    plumbing = dataclasses.replace(plumbing, pieces=pieces, drains=(Drain("B end", 0.01, True),))
    return plumbing, solve_line(plumbing, layouts)


def mains_line(marks=(20,), opens=1.5 * BAR):
    """(plumbing, line): 20 nozzles of 0.084 L/min at 4.1 bar on the main at 4.5 bar, opening at 1.5 bar."""
    plumbing, layouts = porch(dict(zip("ABCD", marks, strict=False)))
    last = "ABCD"[len(marks) - 1]
    plumbing = dataclasses.replace(
        plumbing,
        pump=None,
        pieces=(dataclasses.replace(plumbing.pieces[0], start="water point"), *plumbing.pieces[1:]),
        nozzle=dataclasses.replace(
            plumbing.nozzle, flow=0.084 * LITRE_PER_MINUTE, at=4.1 * BAR, opens_at=opens
        ),
        water=dataclasses.replace(
            plumbing.water, static=4.5 * BAR, residual=3.8 * BAR, at_flow=12 * LITRE_PER_MINUTE
        ),
        drains=(Drain(f"{last} end", 0.01, True),),
    )
    return plumbing, solve_line(plumbing, layouts)


class Truth(NamedTuple):
    """Many faulty lines: what is wrong with each (place in CAUSES), what is read, [case, reading], which
    marks look weak and where water is seen."""

    cause: np.ndarray
    read: np.ndarray
    weak: list[tuple[str, ...]]
    wet: list[str]

    def readings(self, case, names):
        seen = {"weak": self.weak[case], "wet": self.wet[case]}
        values = self.read[case]
        return Readings(
            **{name: seen[name] if name in seen else float(values[NAMES.index(name)]) for name in names}
        )


def faulty(table: FaultTable, count, seed, *, changed=False):
    """`count` lines with a fault each, any cause they can have as likely as another, read with errors.

    changed: the truth is another model than the table's: nozzle exponent 0.02 more (same flow at the design
    gauge), water 17 % thinner, nozzles twice as uneven. Where the table's sheet holds the two cups, each line
    had the cups of its own nozzles, with their errors, on its sheet; one table serves all lines, so a cup is
    read in shares of its line's own on the sheet.
    """
    rng = np.random.default_rng(seed)
    known = len(table.causes)
    assert table.causes == CAUSES[:known]  # a line on the main has no pump, the last of them
    causes, rows, weak, wet = [], [], [], []
    marks = np.array([mark.name for mark in table.case.marks])
    while len(rows) < count:
        cause = int(rng.integers(known))
        try:
            true, left, own = _one(table.case, CAUSES[cause], rng, changed)
        except ConvergenceError:
            continue
        spread = np.hypot(table.error_base, table.error_share * true)
        read = np.clip(true + spread * rng.standard_normal(len(NAMES)), 0.0, None)
        for name, nozzle in zip(CUPS, (table.case.near, table.case.far), strict=True):
            if nozzle in table.case.cupped:
                row, flow = NAMES.index(name), table.case.marks[nozzle].flow * own[nozzle]
                miss = np.hypot(table.error_base[row], table.error_share[row] * flow) * rng.standard_normal()
                read[row] *= table.case.marks[nozzle].flow / (flow + miss)
        rows.append(read)
        causes.append(cause)
        chance = np.where(left > 0.99, IMAGINED, np.where(left < 0.01, SEEN, SEEN_PART))
        weak.append(tuple(marks[rng.random(marks.size) < chance].tolist()))
        wet.append(WET[int(np.searchsorted(np.cumsum(WET_CHANCE.get(CAUSES[cause], DRY))[:2], rng.random()))])
    return Truth(np.array(causes), np.array(rows), weak, wet)


def _one(case, cause, rng, changed):
    """(what one faulty line would show on perfect gauges, share of its flow each nozzle keeps if plugged,
    what each passed when sound over the line's mean)"""
    net = case.network
    n = net.coefficient.size
    mean, bore, pump, supply, main = np.exp(
        np.array([*SPREAD[case.sheet], SPREAD[case.sheet][3]]) * rng.standard_normal(5)
    )
    own = np.exp((2 * EACH if changed else EACH) * rng.standard_normal(n))
    k = net.coefficient * mean * own
    exponent = np.broadcast_to(net.exponent, n).copy()
    if changed:
        exponent += 0.02
        k *= case.gauge**-0.02
    tubes = np.full(net.start.size, bore) * net.bore
    inlet, loss, leak, left = case.inlet * main, 1.0, None, np.ones(n)
    opening = case.design / case.gauge**0.5
    if not case.pump:
        pump = 1.0
    if cause == "plugged":
        which = rng.permutation(n)[: rng.integers(1, min(8, n) + 1)]
        left[which] = np.where(rng.random(which.size) < 0.7, 1e-9, rng.uniform(0.2, 0.7, which.size))
        k *= left
    elif cause == "worn":
        k *= 1 + rng.uniform(0.05, 0.40)
    elif cause == "part-worn":
        which = rng.permutation(n)[: max(1, round(rng.uniform(0.1, 0.5) * n))]
        k[which] *= 1 + rng.uniform(0.10, 0.60, which.size)
    elif cause == "scaled":
        k *= 1 - rng.uniform(0.08, 0.50) * rng.uniform(0.7, 1.3, n)
    elif cause == "pump":
        pump *= rng.uniform(0.30, 0.95) * case.design / net.supply_flow[1]
    elif cause == "leak":
        size = np.exp(rng.uniform(np.log(0.01), np.log(0.20)))
        leak = (int(rng.integers(net.elevation.size)), size * opening)
    elif cause == "feed":
        tubes = np.where(case.feed, rng.uniform(0.45, 0.75), 1.0) * tubes
    elif cause == "inlet" and case.pump:
        pump *= rng.uniform(0.30, 0.95)
        inlet = rng.uniform(0.0, 1.2e5)
    elif cause == "inlet":
        loss = np.exp(rng.uniform(np.log(5), np.log(200)))
    elif cause == "regulator":
        supply *= 1 + (rng.uniform(-0.36, -0.06) if rng.random() < 0.5 else rng.uniform(0.04, 0.22))
    elif cause == "drain":
        leak = (case.drain, rng.uniform(0.15, 1.50) * opening)
    first = net.supply_gauge[0]
    line = dataclasses.replace(
        net,
        coefficient=k,
        exponent=exponent,
        bore=tubes,
        viscosity=net.viscosity * (0.83 if changed else 1.0),
        supply_flow=net.supply_flow * pump,
        supply_gauge=supply * (first - loss * (first - net.supply_gauge)),
    )
    if leak is not None:
        line = dataclasses.replace(
            line,
            nozzle_node=np.append(line.nozzle_node, leak[0]),
            coefficient=np.append(k, leak[1]),
            exponent=np.append(exponent, 0.5),
            opens_at=np.append(np.broadcast_to(net.opens_at, n), 0.0),
        )
    solved = solve(line)
    creep = 0.0
    if cause == "leak":
        rise = net.elevation[leak[0]] - net.elevation[net.supply_node]
        creep = leak[1] * max(case.creep_gauge - np.mean(net.density) * 9.80665 * rise, 0.0) ** 0.5
    if not case.pump:
        flow, gauge = np.array(case.source).T
        inlet = supply * np.interp(solved.supply_flow, flow, gauge)
    shown = (
        solved.supply_gauge,
        solved.supply_flow,
        inlet,
        solved.nozzle_flow[case.near],
        solved.nozzle_flow[case.far],
        solved.node_gauge[case.port],
        creep,
    )
    return np.array(shown), left, own


def calibration_error(confidence, right, bins=10):
    """Mean of |share right - mean confidence| over equal bins of confidence, weighted by how many are in each
    (expected calibration error, Guo et al. 2017, ICML)."""
    edge = np.minimum((np.asarray(confidence) * bins).astype(int), bins - 1)
    total = 0.0
    for b in range(bins):
        here = edge == b
        if here.any():
            total += here.mean() * abs(np.mean(right[here]) - np.mean(confidence[here]))
    return total


class Score(NamedTuple):
    """How a table did on many faults."""

    first: float  # share of cases whose likeliest cause is the true one
    top_two: float
    size: float  # mean of the 90 % set
    held: float  # share of cases whose true cause is in it
    error: float  # calibration error of the likeliest cause
    confusion: np.ndarray  # [true, said]


def score(shares, cause):
    """`shares` [case, cause] in the order of CAUSES, against the true `cause` [case]."""
    order = np.argsort(-shares, axis=1, kind="stable")
    ranked = np.take_along_axis(shares, order, axis=1)
    size = (np.cumsum(ranked, axis=1) < 0.9 - 1e-12).sum(axis=1) + 1
    rank = np.argmax(order == cause[:, None], axis=1)
    confusion = np.zeros((len(CAUSES), len(CAUSES)))
    np.add.at(confusion, (cause, order[:, 0]), 1.0)
    return Score(
        float(np.mean(rank == 0)),
        float(np.mean(rank <= 1)),
        float(np.mean(size)),
        float(np.mean(rank < size)),
        calibration_error(ranked[:, 0], rank == 0),
        confusion / np.maximum(confusion.sum(axis=1, keepdims=True), 1.0),
    )


def cause_shares(table, readings):
    """Share of each of the table's causes, in its order; readings as they are, not looked over."""
    return draw_weights(table, log_density(table, readings)[0]).sum(axis=1)
