"""What an eye sees of a running line: how likely it calls so many nozzles weak, or sees water in a place."""

from __future__ import annotations

import math

import numpy as np

from mistcalc.line.diagnosis.fault_table import FaultTable
from mistcalc.line.network.arrays import Floats, Ints

_IMAGINED_MOST = 12  # sound nozzles taken for weak, at most


def seen_weak(table: FaultTable, weak: tuple[str, ...]) -> Floats:
    """Chance of seeing so many weak nozzles at each draw: which of the many alike does not matter."""
    marks = table.case.marks
    near, far = (marks[i].name in weak for i in (table.case.near, table.case.far))
    special = {marks[table.case.near].name, marks[table.case.far].name}
    counted = len(set(weak) - special)
    seen = look_chances(table)
    chance = np.where(near, seen[table.near_state], 1.0 - seen[table.near_state])
    if table.case.near != table.case.far:
        chance = chance * np.where(far, seen[table.far_state], 1.0 - seen[table.far_state])
    count = count_chances(table)
    return chance * count[table.shut, table.part, min(counted, count.shape[2] - 1)]


def look_chances(table: FaultTable) -> Floats:
    """Chance that a nozzle is called weak: sound, part plugged, shut."""
    e = table.errors
    return np.array([e.weak_imagined, e.weak_seen_part, e.weak_seen])


def count_chances(table: FaultTable) -> Floats:
    """Chance of counting m weak ones of the nozzles besides near and far, [shut, part, m]; the last m stands
    for itself and all above."""
    imagined, part_seen, shut_seen = look_chances(table)
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


def wet_chances(table: FaultTable) -> Floats:
    """Chance of water nowhere, at the drain, elsewhere, [cause, place]."""
    e = table.errors
    rows = {"leak": e.wet_leak, "drain": e.wet_drain}
    return np.array([rows.get(cause, e.wet_else) for cause in table.causes])
