"""From readings on a running line to what is wrong with it, and what to read next.

The likelihood of a cause is the mean, over its draws in the table, of the density of the readings' errors:
Bayes' rule by plain sampling (MacKay 2003, Information Theory, Inference, and Learning Algorithms, ch. 29),
with nothing to tune. A reading that within a cause depends on none of the others has a mean of its own: the
product of the two means is the same likelihood, from the same draws, with less of their chance in it.
"""

from __future__ import annotations

import numpy as np

from mistcalc.errors import InputError, InputErrors
from mistcalc.line.diagnosis.fault_table import FaultTable
from mistcalc.line.diagnosis.isolation_steps import isolation
from mistcalc.line.diagnosis.mist_and_drips import seen_weak, wet_chances
from mistcalc.line.diagnosis.next_reading import best_next_reading, entropy
from mistcalc.line.network.arrays import Floats, Ints
from mistcalc.model.results.diagnosis import SEEN, CauseShare, Diagnosis, ExpectedReading, Readings
from mistcalc.model.site_readings import MEASURED, NAMES, call_back

HOLDS = 0.90  # the set of causes that is named holds this much


def diagnose(table: FaultTable, readings: Readings) -> Diagnosis:
    """What the readings speak for.

    Raises InputErrors with every reading that cannot be: below nothing, above its gauge's full scale, of a
    port or a creep that this line does not have, of a mark that it does not have.
    """
    if wrong := mistakes(table, readings):
        raise InputErrors("readings", wrong)
    log, squares = log_density(table, readings)
    weights = draw_weights(table, log)
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
        next=best_next_reading(table, weights, taken),
        taken=taken,
        cannot=tuple(name for name in NAMES if not table.possible(name)),
        weak=readings.weak or (),
        isolation=isolation(table.case.network, table.case.sections),
        misfit=misfit,
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
    for seen, known_words in SEEN.items():
        text = getattr(readings, seen)
        if text is not None and text not in known_words:
            refused.append(InputError("call-back-seen", seen, reading=f"reading-{seen}", known=known_words))
        elif text is not None and seen == "cycles" and not table.case.pump:
            refused.append(InputError("call-back-no-cycles", seen))
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
        total += np.log(seen_weak(table, readings.weak))
    if readings.wet is not None:
        total += np.log(wet_chances(table)[:, [SEEN["wet"].index(readings.wet)]])
    return total, squares


def _mean_density(table: FaultTable, log: Floats) -> Floats:
    """Logarithm of the mean density of a reading over each cause's draws, [cause, 1]."""
    log = np.where(table.valid, log, -np.inf)
    top = np.maximum(log.max(axis=1, keepdims=True), -1e300)
    count = np.maximum(table.valid.sum(axis=1, keepdims=True), 1)
    mean = np.exp(log - top).sum(axis=1, keepdims=True) / count
    return top + np.log(np.maximum(mean, 1e-300))


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


def draw_weights(table: FaultTable, log: Floats) -> Floats:
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
