"""From readings on a running line to what is wrong with it: nine causes, and what to read next.

The likelihood of a cause is the mean, over its draws in the table, of the density of the readings' errors:
Bayes' rule by plain sampling (MacKay 2003, Information Theory, Inference, and Learning Algorithms, ch. 29),
with nothing to tune. A reading that within a cause depends on none of the others has a mean of its own: the
product of the two means is the same likelihood, from the same draws, with less of their chance in it.

What to read next is what tells most about the cause in the sense of Shannon (Lindley 1956, On a Measure of
the Information Provided by an Experiment, Ann. Math. Statist. 27, 986-1005).
"""

from __future__ import annotations

import math

import numpy as np

from mistcalc.errors import InputError, InputErrors
from mistcalc.line.diagnosis.fault_table import FaultTable
from mistcalc.line.diagnosis.isolation_steps import isolation
from mistcalc.line.network.arrays import Floats, Ints
from mistcalc.model.results.diagnosis import (
    CauseShare,
    Diagnosis,
    ExpectedReading,
    NextReading,
    ReadingName,
    Readings,
    Wet,
)
from mistcalc.model.site_readings import MEASURED, NAMES, call_back

HOLDS = 0.90  # the set of causes that is named holds this much
TIE, LEAST = 0.05, 0.1  # bits: two readings that differ by less are as good; below LEAST none is worth it
WET: tuple[Wet, ...] = ("nowhere", "drain", "elsewhere")
_FINE = 0.25  # of a reading's deviation: the step in which its outcomes are counted
_MOST_STEPS = 1500
_KINDS = 5  # of draws, by how much their nozzles stray
_FORGOTTEN = 1e-10  # of the likeliest draw: below it a draw says nothing
_IMAGINED_MOST = 12  # sound nozzles taken for weak, at most


def diagnose(table: FaultTable, readings: Readings) -> Diagnosis:
    """What the readings speak for.

    Raises InputErrors with every reading that cannot be: below nothing, above its gauge's full scale, of a
    port or a creep that this line does not have, of a mark that it does not have.
    """
    if wrong := mistakes(table, readings):
        raise InputErrors("readings", wrong)
    log, squares = log_density(table, readings)
    weights = _weights(table, log)
    measured = sum(getattr(readings, name) is not None for name in MEASURED)
    misfit = float(np.sqrt(squares[table.valid].min() / max(measured, 1)))
    shares = weights.sum(axis=1)
    order = np.argsort(-shares, kind="stable")
    likely = _smallest_set(shares, order)
    taken = tuple(name for name in NAMES if getattr(readings, name) is not None)
    return Diagnosis(
        causes=tuple(
            CauseShare(table.causes[i], float(shares[i]), _extent(table, int(i), weights[i])) for i in order
        ),
        likely=tuple(table.causes[i] for i in likely),
        entropy=entropy(shares),
        next=_next(table, weights, taken),
        taken=taken,
        cannot=tuple(name for name in NAMES if not table.possible(name)),
        weak=readings.weak or (),
        isolation=isolation(table.case.network, table.case.sections),
        misfit=misfit,
        draws=table.values.shape[2],
    )


def mistakes(table: FaultTable, readings: Readings) -> tuple[InputError, ...]:
    """Every reading that cannot be, each with what to write instead."""
    refused: list[InputError] = []
    for row, name in enumerate(MEASURED):
        value = getattr(readings, name)
        if value is None:
            continue
        scale = float(table.full_scale[row])
        if not table.possible(name):
            refused.append(InputError(f"call-back-no-{name}", name))
        elif not (np.isfinite(value) and value >= 0.0):
            refused.append(InputError("call-back-negative", name, reading=f"reading-{name}"))
        elif value == 0.0 and name in ("gauge", "meter"):
            zero = "call-back-zero-gauge" if name == "gauge" else "call-back-zero-meter"
            refused.append(InputError(zero, name))
        elif value > scale:
            refused.append(
                InputError("call-back-scale", name, reading=f"reading-{name}", value=value, scale=scale)
            )
        elif call_back(name).kind == "flow" and value > _MOST_FLOW * table.case.design:
            most = _MOST_FLOW * table.case.design
            refused.append(
                InputError("call-back-flow", name, reading=f"reading-{name}", value=value, most=most)
            )
    known = {mark.name for mark in table.case.marks}
    lost = tuple(name for name in readings.weak or () if name not in known)
    if lost:
        refused.append(InputError("call-back-mark", "weak", marks=lost))
    if readings.wet is not None and readings.wet not in WET:
        refused.append(InputError("call-back-wet", "wet", text=readings.wet, known=WET))
    if readings == Readings(zone=readings.zone):
        refused.append(InputError("call-back-nothing", "readings"))
    return tuple(refused)


_MOST_FLOW = 10.0  # of design flow: a meter that passes more was read wrong


def log_density(table: FaultTable, readings: Readings) -> tuple[Floats, Floats]:
    """(logarithm of the readings' joint density at every draw, -inf where it did not close; sum of squares of
    what the measured ones miss by, in deviations), each [cause, draw]."""
    squares = np.zeros(table.valid.shape)
    total = np.where(table.valid, 0.0, -np.inf)
    for row, name in enumerate(MEASURED):
        if (value := getattr(readings, name)) is not None:
            miss = np.square((value - table.values[row]) / table.spread[row])
            log = -0.5 * miss - table.log_spread[row]
            if table.alone(name):
                log, miss = (
                    _mean_density(table, log),
                    np.where(table.valid, miss, np.inf).min(axis=1)[:, None],
                )
            squares += miss
            total += log
    if readings.weak is not None:
        total += np.log(_seen_weak(table, readings.weak))
    if readings.wet is not None:
        total += np.log(_wet_chances(table)[:, [WET.index(readings.wet)]])
    return total, squares


def _mean_density(table: FaultTable, log: Floats) -> Floats:
    """Logarithm of the mean density of a reading over each cause's draws, [cause, 1]."""
    log = np.where(table.valid, log, -np.inf)
    top = np.maximum(log.max(axis=1, keepdims=True), -1e300)
    count = np.maximum(table.valid.sum(axis=1, keepdims=True), 1)
    mean = np.exp(log - top).sum(axis=1, keepdims=True) / count
    return top + np.log(np.maximum(mean, 1e-300))


def cause_shares(table: FaultTable, readings: Readings) -> Floats:
    """Share of each of the table's causes, in its order; readings as they are, not looked over."""
    return _weights(table, log_density(table, readings)[0]).sum(axis=1)


def entropy(shares: Floats) -> float:
    """Shannon's entropy [bits] of shares that sum to 1."""
    some = shares[shares > 0.0]
    return float(-np.sum(some * np.log2(some))) + 0.0


def expected_readings(table: FaultTable) -> tuple[ExpectedReading, ...]:
    """What a sound line of this kind shows on everything that can be read."""
    case, expected = table.case, []
    sound = table.causes.index("sound") if "sound" in table.causes else 0
    at = {"near": case.marks[case.near].name, "far": case.marks[case.far].name}
    if case.port is not None:
        at["port"] = case.network.name(case.port)
    for row, name in enumerate(MEASURED):
        if table.possible(name):
            drawn = table.values[row, sound][table.valid[sound]]
            middle = float(np.median(drawn))
            stray = float(np.sqrt(np.mean(np.square(table.own[row, sound]))))
            error = float(table.deviation(row, np.array(middle), stray))
            expected.append(
                ExpectedReading(
                    name,
                    middle,
                    float(np.hypot(drawn.std(), error)),
                    "Pa" if call_back(name).kind == "pressure" else "m3/s",
                    at.get(name, ""),
                    float(table.full_scale[row]),
                    case.creep_gauge if name == "creep" else None,
                )
            )
    return tuple(expected)


# ------------------------------------------------------------------ likelihood


def _seen_weak(table: FaultTable, weak: tuple[str, ...]) -> Floats:
    """Chance of seeing so many weak nozzles at each draw: which of the many alike does not matter."""
    marks = table.case.marks
    near, far = (marks[i].name in weak for i in (table.case.near, table.case.far))
    special = {marks[table.case.near].name, marks[table.case.far].name}
    counted = len(set(weak) - special)
    seen = _look_chances(table)
    chance = np.where(near, seen[table.near_state], 1.0 - seen[table.near_state])
    if table.case.near != table.case.far:
        chance = chance * np.where(far, seen[table.far_state], 1.0 - seen[table.far_state])
    count = _count_chances(table)
    return chance * count[table.shut, table.part, min(counted, count.shape[2] - 1)]


def _look_chances(table: FaultTable) -> Floats:
    """Chance that a nozzle is called weak: sound, part plugged, shut."""
    e = table.errors
    return np.array([e.weak_imagined, e.weak_seen_part, e.weak_seen])


def _count_chances(table: FaultTable) -> Floats:
    """Chance of counting m weak ones of the nozzles besides near and far, [shut, part, m]; the last m stands
    for itself and all above."""
    imagined, part_seen, shut_seen = _look_chances(table)
    rest = len(table.case.marks) - len({table.case.near, table.case.far})
    most = int(max(table.shut.max(), table.part.max()))
    outcomes = np.arange(most + _IMAGINED_MOST + 2)
    chances = np.zeros((most + 1, most + 1, outcomes.size))
    for shut in range(most + 1):
        for part in range(most + 1 - shut):
            sound = max(rest - shut - part, 0)
            pieces = [
                _binomial(outcomes, n, p)
                for n, p in ((sound, imagined), (part, part_seen), (shut, shut_seen))
            ]
            whole = np.convolve(np.convolve(pieces[0], pieces[1]), pieces[2])[: outcomes.size]
            whole[-1] += max(0.0, 1.0 - whole.sum())
            chances[shut, part] = whole
    return np.maximum(chances, 1e-300)


def _binomial(k: Ints, n: int, p: float) -> Floats:
    """Chance of k of n, each with chance p."""
    ways = np.array([math.comb(n, i) for i in k.tolist()], float)
    return np.asarray(ways * p**k * (1.0 - p) ** np.maximum(n - k, 0), float)


def _wet_chances(table: FaultTable) -> Floats:
    """Chance of water nowhere, at the drain, elsewhere, [cause, place]."""
    e = table.errors
    rows = {"leak": e.wet_leak, "drain": e.wet_drain}
    return np.array([rows.get(cause, e.wet_else) for cause in table.causes])


def _weights(table: FaultTable, log: Floats) -> Floats:
    """Share of each draw in the answer, [cause, draw], summing to 1."""
    count = np.maximum(table.valid.sum(axis=1), 1)
    weights = np.exp(log - log.max()) * (table.odds / count)[:, None]
    return weights / weights.sum()


def _smallest_set(shares: Floats, order: Ints) -> Ints:
    held = np.cumsum(shares[order])
    return order[: int(np.searchsorted(held, HOLDS - 1e-12)) + 1]


def _extent(table: FaultTable, cause: int, weights: Floats) -> tuple[float, float, float] | tuple[()]:
    """5, 50 and 95 % of how large the fault is, if it is this one."""
    if table.causes[cause] == "sound" or weights.sum() <= 0.0:
        return ()
    order = np.argsort(table.extent[cause], kind="stable")
    held = np.cumsum(weights[order]) / weights.sum()
    low, middle, high = (
        float(table.extent[cause][order[min(int(np.searchsorted(held, q)), held.size - 1)]])
        for q in (0.05, 0.5, 0.95)
    )
    return low, middle, high


# ------------------------------------------------------------------ what to read next


def _next(table: FaultTable, weights: Floats, taken: tuple[ReadingName, ...]) -> NextReading | None:
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
            joint = weights.sum(axis=1)[:, None] * _wet_chances(table)
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
    seen, count = _look_chances(table), _count_chances(table)
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
