"""Rows of uneven gaps round a ring: the dynamic programme of `uneven_rows`, closed on itself."""

from __future__ import annotations

import numpy as np

from mistcalc.layout.equal_rows import closes, farthest
from mistcalc.layout.run_grid import RowSegment, Rules
from mistcalc.layout.uneven_rows import NEVER, Task, corner_costs, forward, start_costs, trace


def is_ring(chain: list[RowSegment]) -> bool:
    """Whether a corner that carries marks closes the chain."""
    return closes(chain) and chain[0].left == "corner"


def best_ring(chain: list[RowSegment], task: Task, rules: Rules) -> tuple[list[np.ndarray], int] | None:
    """As `best_gaps`, of a ring. Exact: each last mark is tried with what the corner from it into the first
    piece costs, the most promising first, until none left can beat the best found."""
    exits, corner = _closing(chain, task, rules)
    if not corner.size:
        return None
    _, bound = forward(chain, corner.min(axis=0), task, rules)
    best: tuple[list[np.ndarray], int] | None = None
    for at in np.argsort(bound, kind="stable").tolist():
        if bound[at] >= NEVER or (best is not None and bound[at] >= best[1]):
            break
        passes, total = forward(chain, corner[at + chain[-1].a - exits[0]], task, rules)
        if total[at] < NEVER and (best is None or total[at] < best[1]):
            best = trace(chain, passes, at), int(total[at])
    return best


def ring_bound(chain: list[RowSegment], task: Task, rules: Rules) -> int | None:
    """What no ring costs less than; None where there is none at all."""
    _, corner = _closing(chain, task, rules)
    if not corner.size:
        return None
    least = int(forward(chain, corner.min(axis=0), task, rules)[1].min())
    return least if least < NEVER else None


def _closing(chain: list[RowSegment], task: Task, rules: Rules) -> tuple[np.ndarray, np.ndarray]:
    """Where the last piece may be left, and from each such place what beginning at each index of the first
    piece costs."""
    last, opening = chain[-1], task.on(chain[0])
    start = start_costs(chain[0], opening, rules)
    entry = np.flatnonzero(start < NEVER)
    exits = np.arange(
        max(farthest(last, "right", task.on(last).pitch, True, rules), *last.fixed, last.a), last.b + 1
    )
    corner = np.full((len(exits), len(start)), NEVER)
    into = corner_costs(last, exits, chain[0], entry + chain[0].a, opening, rules)
    corner[:, entry] = np.where(into < NEVER, start[entry] + into, NEVER)
    return exits, corner
