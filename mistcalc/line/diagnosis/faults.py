"""Draws of a line with one thing wrong, each cause as arrays over [..., draw].

The draws are fixed, so that every machine gives the same digits: the seven numbers that shape a draw come
from an evenly spread sequence, what differs from nozzle to nozzle from the raw words of a counter-based
generator (whose stream, unlike ready-made normal numbers, is the same in every version of the library).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from mistcalc.line.network.arrays import Floats, Ints
from mistcalc.model.fault_priors import CAUSES, MOST_PLUGGED, Cause, FaultPriors

_SHAPE = 7  # numbers that shape a draw: mean nozzle, bore, pump flow, supply, main, and two of the cause's


@dataclass(frozen=True, eq=False)
class Faults:
    """What one cause makes of a line. Factors on what the plumbing states unless a unit is named.

    coefficient, left [nozzle, draw]: of each nozzle's flow; `left` is the part of it that plugging leaves,
    what an eye on the mist may notice. own [nozzle, draw]: the part of `coefficient` that is the nozzle's
    alone, whose logarithm has the standard deviation `uneven` [nozzle, draw]. bore, feed [draw]: of every
    tube's bore, and once more of the feed's. pump [draw]: of the pump's flow; supply [draw]: of set or static
    pressure; loss [draw]: of what the main loses on its way; main [draw]: of the pressure before a sound
    pump. inlet [draw], Pa, where a starved pump has something else before it, else NaN-free 0 with `starved`
    False. leak, drain [draw]: share of design flow; leak_at [draw], node. extent [draw]: how large the fault
    is (CauseShare.extent), feed and supply as factors, leak and drain as shares.
    """

    cause: Cause
    coefficient: Floats
    left: Floats
    own: Floats
    uneven: Floats
    bore: Floats
    feed: Floats
    pump: Floats
    supply: Floats
    loss: Floats
    main: Floats
    inlet: Floats
    starved: bool
    leak: Floats
    leak_at: Ints
    drain: Floats
    extent: Floats


def draw_faults(
    cause: Cause,
    count: int,
    nozzles: int,
    nodes: int,
    *,
    pump: bool,
    used: float = 1.0,
    sheet: bool,
    judgement: FaultPriors,
    cups: Mapping[int, float] | None = None,
) -> Faults:
    """`count` draws of one cause on a line with so many nozzles and nodes, with or without a pump.

    used: share of the pump's rated flow that sound nozzles take. sheet: the line was measured when it was
    sound, so it strays less from what it should be. cups: nozzles whose own flow was read then, each with the
    standard deviation of its logarithm.
    """
    from scipy.special import ndtri  # here, for it takes half a second to load

    shape = evenly_spread_points(count, _SHAPE, CAUSES.index(cause))
    stray = np.array(judgement.spread_sheet if sheet else judgement.spread)
    mean, bore, flow, supply = np.exp(stray[:, None] * ndtri(shape[:4]))
    batch = np.exp(judgement.between_batches * ndtri(_raw(cause, 3, (1, count))))
    uneven = np.tile(judgement.between_nozzles * batch, (nozzles, 1))
    for nozzle, miss in (cups or {}).items():
        uneven[nozzle] = miss
    nozzle_factor = np.exp(uneven * ndtri(_raw(cause, 0, (nozzles, count))))
    sound = Faults(
        cause,
        coefficient=mean * nozzle_factor,
        left=np.ones((nozzles, count)),
        own=nozzle_factor,
        uneven=uneven,
        bore=bore,
        feed=np.ones(count),
        pump=flow if pump else np.ones(count),
        supply=supply,
        loss=np.ones(count),
        main=np.exp(stray[3] * ndtri(shape[4])),
        inlet=np.zeros(count),
        starved=False,
        leak=np.zeros(count),
        leak_at=np.zeros(count, np.intp),
        drain=np.zeros(count),
        extent=np.ones(count),
    )
    changed = _BREAK[cause](shape[5], shape[6], _Case(nozzles, nodes, count, pump, used, judgement))
    made = {**sound.__dict__, **changed}
    made["coefficient"] = sound.coefficient * changed.get("coefficient", 1.0) * made["left"]
    for name in ("pump", "supply"):
        made[name] = getattr(sound, name) * changed.get(name, 1.0)
    return Faults(**made)


def evenly_spread_points(count: int, dimensions: int, shift: int = 0) -> Floats:
    """Evenly spread points in the open unit cube, shape (dimensions, count): a Kronecker sequence whose steps
    are powers of the generalised golden ratio (the root of x^(d+1) = x + 1), which spreads the first n of
    them well for any n. `shift` starts it elsewhere."""
    root = 1.5
    for _ in range(64):
        root = (1.0 + root) ** (1.0 / (dimensions + 1))
    step = root ** -np.arange(1.0, dimensions + 1.0)
    points = (0.5 + step[:, None] * np.arange(1 + shift * 104_729, count + 1 + shift * 104_729)) % 1.0
    return np.clip(points, 1e-12, 1.0 - 1e-12)


# ------------------------------------------------------------------ the causes


@dataclass(frozen=True)
class _Case:
    nozzles: int
    nodes: int
    count: int
    pump: bool
    used: float
    judgement: FaultPriors


Changes = dict[str, Any]


def _sound(first: Floats, second: Floats, case: _Case) -> Changes:
    return {}


def _plugged(first: Floats, second: Floats, case: _Case) -> Changes:
    wanted = case.judgement
    most = min(MOST_PLUGGED, case.nozzles)
    number = 1 + np.floor(first * most).astype(np.intp)
    which = _chosen("plugged", number, case)
    kind = _raw("plugged", 2, (case.nozzles, case.count))
    shut = kind < wanted.plugged_shut
    part = (kind - wanted.plugged_shut) / (1.0 - wanted.plugged_shut) if wanted.plugged_shut < 1.0 else kind
    left = np.where(shut, 0.0, _between(part, wanted.plugged_left))
    return {"left": np.where(which, left, 1.0), "extent": number.astype(float)}


def _worn(first: Floats, second: Floats, case: _Case) -> Changes:
    more = 1.0 + _between(first, case.judgement.worn)
    return {"coefficient": more, "extent": more}


def _part_worn(first: Floats, second: Floats, case: _Case) -> Changes:
    share = _between(first, case.judgement.part_worn)
    number = np.clip(np.rint(share * case.nozzles).astype(np.intp), 1, case.nozzles)
    which = _chosen("part-worn", number, case)
    by = 1.0 + _between(_raw("part-worn", 2, which.shape), case.judgement.part_worn_by)
    more = np.where(which, by, 1.0)
    mean = np.sum(np.where(which, by, 0.0), axis=0) / number
    return {"coefficient": more, "extent": mean}


def _leak(first: Floats, second: Floats, case: _Case) -> Changes:
    low, high = np.log(case.judgement.leak)
    share = np.exp(low + (high - low) * first)
    at = np.minimum((second * case.nodes).astype(np.intp), case.nodes - 1)
    return {"leak": share, "leak_at": at, "extent": share}


def _feed(first: Floats, second: Floats, case: _Case) -> Changes:
    narrow = _between(first, case.judgement.feed)
    return {"feed": narrow, "extent": narrow}


def _inlet(first: Floats, second: Floats, case: _Case) -> Changes:
    if case.pump:
        passes = _between(first, case.judgement.starved)
        before = _between(second, case.judgement.starved_inlet)
        return {"pump": passes, "inlet": before, "starved": True, "extent": passes}
    low, high = np.log(case.judgement.mains_loss)
    more = np.exp(low + (high - low) * first)
    return {"loss": more, "extent": more}


def _regulator(first: Floats, second: Floats, case: _Case) -> Changes:
    low = _between(np.minimum(2.0 * first, 1.0), case.judgement.regulator_low)
    high = _between(np.maximum(2.0 * first - 1.0, 0.0), case.judgement.regulator_high)
    held = 1.0 + np.where(first < 0.5, low, high)
    return {"supply": held, "extent": held}


def _drain(first: Floats, second: Floats, case: _Case) -> Changes:
    share = _between(first, case.judgement.drain)
    return {"drain": share, "extent": share}


def _scaled(first: Floats, second: Floats, case: _Case) -> Changes:
    """All nozzles closed in part, some more than others. It is in `coefficient`, not in `left`: an eye sees a
    nozzle that mists less than its neighbors, and here they all do."""
    less, uneven = _between(first, case.judgement.scaled), case.judgement.scaled_uneven
    stray = _between(_raw("scaled", 1, (case.nozzles, case.count)), (1.0 - uneven, 1.0 + uneven))
    return {"coefficient": 1.0 - less * stray, "extent": 1.0 - less}


def _pump(first: Floats, second: Floats, case: _Case) -> Changes:
    passes = _between(first, case.judgement.worn_pump)
    return {"pump": passes * case.used, "extent": passes}


_BREAK: dict[Cause, Callable[[Floats, Floats, _Case], Changes]] = {
    "sound": _sound,
    "plugged": _plugged,
    "worn": _worn,
    "part-worn": _part_worn,
    "leak": _leak,
    "feed": _feed,
    "inlet": _inlet,
    "regulator": _regulator,
    "drain": _drain,
    "scaled": _scaled,
    "pump": _pump,
}


def _between(unit: Floats, limits: tuple[float, float]) -> Floats:
    return limits[0] + (limits[1] - limits[0]) * unit


def _chosen(cause: Cause, number: Ints, case: _Case) -> np.ndarray:
    """True at `number` [draw] nozzles of each draw, any of them as likely as another."""
    lot = _raw(cause, 1, (case.nozzles, case.count))
    return np.argsort(np.argsort(lot, axis=0), axis=0) < number


def _raw(cause: Cause, purpose: int, size: tuple[int, int]) -> Floats:
    """Uniform numbers in the open unit interval, the same on every machine."""
    words = np.random.Philox(key=1000 * (CAUSES.index(cause) + 1) + purpose).random_raw(size[0] * size[1])
    return ((words >> np.uint64(11)).astype(float) + 0.5).reshape(size[::-1]).T * 2.0**-53
