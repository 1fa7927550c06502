"""What to read next: what tells most about the cause in the sense of Shannon (Lindley 1956, On a Measure of
the Information Provided by an Experiment, Ann. Math. Statist. 27, 986-1005)."""

from __future__ import annotations

import math

import numpy as np

from mistcalc.line.diagnosis.fault_table import FaultTable
from mistcalc.line.diagnosis.mist_and_drips import count_chances, look_chances, wet_chances
from mistcalc.line.network.arrays import Floats, Ints
from mistcalc.model.results.diagnosis import NextReading, ReadingName
from mistcalc.model.site_readings import MEASURED, NAMES

TIE, LEAST = 0.05, 0.1  # bits: two readings that differ by less are as good; below LEAST none is worth it
_FINE = 0.25  # of a reading's deviation: the step in which its outcomes are counted
_MOST_STEPS = 1500
_KINDS = 5  # of draws, by how much their nozzles stray
_FORGOTTEN = 1e-10  # of the likeliest draw: below it a draw says nothing


def entropy(shares: Floats) -> float:
    """Shannon's entropy [bits] of shares that sum to 1."""
    some = shares[shares > 0.0]
    return float(-np.sum(some * np.log2(some))) + 0.0


def best_next_reading(
    table: FaultTable, weights: Floats, taken: tuple[ReadingName, ...]
) -> NextReading | None:
    bits_by_reading = information(
        table, weights, tuple(n for n in NAMES if n not in taken and table.possible(n))
    )
    best = max(bits_by_reading.values(), default=0.0)
    if best < LEAST:
        return None
    name = next(n for n, bits in bits_by_reading.items() if bits >= best - TIE)  # NAMES: the easier first
    case = table.case
    at = {"near": case.marks[case.near].name, "far": case.marks[case.far].name}
    if case.port is not None:
        at["port"] = case.network.name(case.port)
    return NextReading(name, bits_by_reading[name], at.get(name, ""))


def information(
    table: FaultTable, weights: Floats, names: tuple[ReadingName, ...]
) -> dict[ReadingName, float]:
    """Expected fall [bits] in the entropy of the causes from taking each reading, given each draw's share in
    the answer so far ([cause, draw], summing to 1)."""
    significant = weights > _FORGOTTEN * weights.max()
    before = entropy(weights.sum(axis=1))
    bits_by_reading: dict[ReadingName, float] = {}
    for name in names:
        if name == "weak":
            joint = _weak_outcomes(table, weights, significant)
        elif name == "wet":
            joint = weights.sum(axis=1)[:, None] * wet_chances(table)
        elif table.alone(name):
            even = table.valid / np.maximum(table.valid.sum(axis=1, keepdims=True), 1)
            shares = weights.sum(axis=1, keepdims=True)
            joint = _outcomes(table, MEASURED.index(name), shares * even, table.valid & (shares > 0.0))
        else:
            joint = _outcomes(table, MEASURED.index(name), weights, significant)
        total = joint.sum(axis=0)
        after = joint[:, total > 0.0] / total[total > 0.0]
        bits = -np.sum(np.where(after > 0.0, after * np.log2(np.maximum(after, 1e-300)), 0.0), axis=0)
        bits_by_reading[name] = max(before - float(bits @ total[total > 0.0]) / float(total.sum()), 0.0)
    return bits_by_reading


def _outcomes(table: FaultTable, row: int, weights: Floats, significant: np.ndarray) -> Floats:
    """Joint chance of each cause and each step of a reading's outcome, [cause, step]."""
    values = table.values[row]
    stray, kind = _kinds(table.own[row], significant)
    low, high = float(values[significant].min()), float(values[significant].max())
    ends = table.deviation(row, np.array([low, high]), stray[:, None])
    edge = 4.0 * float(ends.max())
    step = max(_FINE * float(ends.min()), (high - low + 2.0 * edge) / _MOST_STEPS)
    cells = max(1, math.ceil((high - low) / step))
    step = (high - low) / cells or step
    cell = np.clip(((values - low) / step).round().astype(np.intp), 0, cells) + kind * (cells + 1)
    centres = np.asarray(low + step * np.arange(cells + 1), float)
    seen = np.arange(low - edge, high + edge + step, step)
    spread = table.deviation(row, centres, stray[:, None])[:, :, None]
    blur = np.exp(-0.5 * np.square((seen - centres[:, None]) / spread)) / spread
    blur = (blur / blur.sum(axis=2, keepdims=True)).reshape(-1, seen.size)
    held = np.stack(
        [
            np.bincount(cell[i][significant[i]], weights[i][significant[i]], minlength=blur.shape[0])
            for i in range(values.shape[0])
        ]
    )
    return held @ blur


def _kinds(floats: Floats, significant: np.ndarray) -> tuple[Floats, Ints]:
    """(what nozzles stray by [kind], kind of each draw): a few kinds of as many draws each."""
    edges = np.unique(np.quantile(floats[significant], np.arange(1, _KINDS) / _KINDS))
    kind = np.searchsorted(edges, floats, side="left")
    count = np.bincount(kind[significant], minlength=edges.size + 1)
    squares = np.bincount(kind[significant], np.square(floats[significant]), minlength=edges.size + 1)
    return np.sqrt(squares / np.maximum(count, 1)), kind


def _weak_outcomes(table: FaultTable, weights: Floats, significant: np.ndarray) -> Floats:
    """Joint chance of each cause and each thing an eye may see of the mist, [cause, outcome]."""
    seen, count = look_chances(table), count_chances(table)
    both = table.case.near != table.case.far
    size = count.shape[0]
    code = ((table.shut * size + table.part) * 3 + table.near_state) * 3 + (table.far_state if both else 0)
    kinds = np.arange(size * size * 9)
    shut, part = kinds // 9 // size, kinds // 9 % size
    near, far = seen[kinds // 3 % 3], (seen[kinds % 3] if both else np.zeros(kinds.size))
    ends = np.stack(((1 - near) * (1 - far), near * (1 - far), (1 - near) * far, near * far), axis=1)
    chances = (count[shut, part][:, :, None] * ends[:, None, :]).reshape(kinds.size, -1)
    held = np.stack(
        [
            np.bincount(code[i][significant[i]], weights[i][significant[i]], minlength=kinds.size)
            for i in range(len(table.causes))
        ]
    )
    return held @ chances
