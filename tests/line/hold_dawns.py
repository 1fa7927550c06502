"""Whole watches, dawn by dawn: lines shut in on a cushion, some with air left in them, some with a leak.

`first_rule` stops the plaster at any dawn below what a line shows that dissolves no air, from a day after it
was filled. `watched` is the sheet's: the watch begins after two equal dawns, a first fall is answered by
pumping up again, and a second one, or one that no air explains, stops the plaster.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace

import numpy as np

from mistcalc.checks.pressure_test import WATCH_LIMIT, classify_holds
from mistcalc.line.pressure_test import closed_line
from mistcalc.model.results import GaugeReading
from tests.line.hold_lines import ATMOSPHERE, DEGREE, ML, MOST_AIR, PSI, kelvin, pumped_up, shut, wait
from tests.line.hold_series import DAY, GAS, GAUGE_WATCH, LINE, SPOT, THERMOMETER

DAYS = 9  # scratch coat to finish, at the soonest
PATIENCE = 10  # dawns after which nobody waits for two equal ones any longer
AT = 60 * PSI
GAS_LEFT = 100 * ML


@dataclass
class Site:
    """Lines and how warm they were when they were last pumped up."""

    held: object
    tube: np.ndarray  # K at the first start, about which the dawns swing
    vessel: np.ndarray
    rng: np.random.Generator
    swing: float


def site(count, *, lost, swing, seed, air, days):
    """`lost`: mL over DAYS. air: share of the most trapped air left in the line at the first start, its ends.
    days: in which 63 % of it goes, the ends of a logarithmic range."""
    rng = np.random.default_rng(seed)
    tube, vessel = (kelvin(rng.uniform(55, 85, count)) for _ in range(2))
    held = shut(
        count,
        AT,
        tube,
        air=rng.uniform(*air, count) * MOST_AIR,
        dissolving=1.0 / (np.exp(rng.uniform(*np.log(days), count)) * DAY),
        leak=lost * ML / (DAYS * DAY),
        gas=GAS_LEFT * (1 + GAS * rng.normal(size=count)),
        vessel=vessel,
    )
    return Site(held, tube, vessel, rng, swing)


def dawn(where):
    """A day later: the lines at their next dawn, and what is read there."""
    count, rng = where.tube.size, where.rng
    moved = [np.maximum(rng.normal(0, where.swing, count) * DEGREE, kelvin(36) - t)
             for t in (where.tube, where.vessel)]  # fmt: skip
    real = [m * (1 + SPOT * rng.normal(size=count)) for m in moved]
    where.held = wait(where.held, DAY, where.tube + real[0], where.vessel + real[1], steps=12)
    return _read(where, where.tube + moved[0], where.vessel + moved[1])


def _read(where, tube, vessel):
    once, count, rng = 1 / np.sqrt(2), where.tube.size, where.rng
    gauge = where.held.pressure - ATMOSPHERE + rng.normal(0, GAUGE_WATCH * once, count) * PSI
    temperatures = (t + rng.normal(0, THERMOMETER * once, count) * DEGREE for t in (tube, vessel))
    return GaugeReading(gauge, *temperatures)


def _bounds(start, end, longer=None, air=closed_line.WATCH_AIR * MOST_AIR):
    return closed_line.bounds(LINE, start, end, closed_line.WATCH_ERRORS, air, GAS_LEFT, longer)


def first_rule(count, **stated):
    """Which lines had their plaster stopped over the watch, as the sheet read before."""
    where = site(count, **stated)
    start, stopped = _read(where, where.tube, where.vessel), np.zeros(count, bool)
    for _ in range(DAYS):
        told = classify_holds(_bounds(start, dawn(where)), WATCH_LIMIT)
        stopped |= np.isin(told, ("leak", "again"))
    return stopped


def watched(count, **stated):
    """(which lines were stopped, which never stood equal on two dawns, dawns until the watch began)."""
    where = site(count, **stated)
    start, since = _read(where, where.tube, where.vessel), np.zeros(count)
    began, waited = np.zeros(count, bool), np.zeros(count)
    stopped, given_up, left = (np.zeros(count, bool) for _ in range(3))
    before, earlier, lasted = np.zeros(count), None, np.ones(count)
    on, fallen = np.zeros(count), np.zeros(count, bool)
    for _ in range(PATIENCE + DAYS):
        end = dawn(where)
        since += DAY
        air = np.where(began, closed_line.WATCH_AIR, 1.0) * MOST_AIR
        plain = _bounds(start, end, air=air)
        told = classify_holds(plain, WATCH_LIMIT)
        if earlier is not None:
            longer = np.where(before > 0, since / np.maximum(before, 1.0), 1.0)
            again = classify_holds(_bounds(start, end, longer, air), WATCH_LIMIT, earlier, since / lasted)
            told = np.where(before > 0, again, told)
        open_ = ~(stopped | given_up | left)
        waited += open_ & ~began
        leak, below = told == "leak", told == "again"
        leak |= below & fallen  # a second fall of a watch that had begun
        below &= ~leak
        stopped |= open_ & leak
        pump = open_ & below
        fallen |= pump & began
        on += open_ & began
        left |= open_ & (on >= DAYS)
        began |= open_ & ~below & ~leak
        given_up |= open_ & ~began & (waited >= PATIENCE)
        # those below are pumped up at this dawn, and read from here on
        full = pumped_up(where.held)
        kept = {f.name: getattr(where.held, f.name) for f in fields(where.held)}
        where.held = replace(where.held, pressure=np.where(pump, full.pressure, kept["pressure"]))
        fresh = _read(where, end.tube, end.vessel)
        earlier = plain if earlier is None else _chosen(pump, plain, earlier)
        before, lasted = np.where(pump, before + since, before), np.where(pump, since, lasted)
        start = GaugeReading(*(np.where(pump, new, old) for new, old in
                              zip((fresh.gauge, end.tube, end.vessel),
                                  (start.gauge, start.tube, start.vessel), strict=True)))  # fmt: skip
        since = np.where(pump, 0.0, since)
    return stopped, given_up, waited


def _chosen(mask, one, other):
    """Bounds of two holds, line by line."""
    pairs = ((f.name, getattr(one, f.name), getattr(other, f.name)) for f in fields(one))
    return type(one)(**{name: np.where(mask, a, b) for name, a, b in pairs})
