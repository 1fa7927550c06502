"""Rows whose gaps differ: the exact best by dynamic programming over grid steps.

A row's cost is a list of counts, most important first, then one soft number. They are packed in one
64-bit integer, wide enough that no lower part ever reaches a higher one, so the least integer is the
lexicographic least. Lengths in grid steps.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view

from mistcalc.layout.equal_rows import corner_fit, end_fit, farthest, goes_as_far
from mistcalc.layout.run_grid import RowSegment, Rules, readability

NEVER = np.int64(2**61)
IN_CLEARANCE, PER_SPARE_STEP = 50, 10  # soft cost of one mark
WORK = 400_000_000  # places x gaps looked at in one search; beyond, the search is not tried
COARSEST, FINEST = 5, 20  # bits of the soft part below 1


@dataclass(frozen=True)
class Weights:
    """What one count of each level weighs in the packed integer, and the soft part's scale."""

    off: int  # gaps more than p/8 off
    ragged: int  # gaps more than u/2 off, or out of step across a block
    not_good: int
    unequal: int  # gaps not p
    soft: int
    # Laid again, `off` and these count, most important first, and squares of steps and gaps:
    outside: int = 0  # gaps outside closest to widest
    held: int = 0  # old places held
    added: int = 0  # marks half a pitch and more from any old place
    shift: int = 0  # bits of the squares that find no room, on a very long lid

    def counts(self, cost: int) -> tuple[int, int, int, int]:
        """(off, ragged, not good, unequal) of a total cost, the soft part rounded away."""
        rest = cost + self.unequal // 2
        out = []
        for weight in (self.off, self.ragged, self.not_good, self.unequal):
            count, rest = divmod(rest, weight)
            out.append(int(count))
        return out[0], out[1], out[2], out[3]


def weights_for(chain: list[RowSegment], rules: Rules) -> Weights | None:
    """Weights for a chain, or None if it is too long to pack: over some 330 marks 24 in apart (670 ft).

    The counts are exact in any case; the soft part is in 2^-20 on a house, 2^-5 near that limit.
    """
    length = sum(p.b - p.a for p in chain)
    most = length // rules.closest + 3 * len(chain) + 2
    bits = int(most).bit_length()
    worst_short = max((int(p.strip.short.max(initial=0)) for p in chain), default=0)
    worst_gap = ((rules.widest - rules.closest) / rules.unit) ** 2
    soft_most = most * (IN_CLEARANCE + PER_SPARE_STEP * worst_short + 4 + worst_gap) + 10
    soft_bits = int(2 * soft_most + 1).bit_length()
    scale_bits = min(60 - 4 * bits - soft_bits, FINEST)
    if scale_bits < COARSEST:
        return None
    unequal = 1 << (scale_bits + soft_bits)
    return Weights(unequal << (3 * bits), unequal << (2 * bits), unequal << bits, unequal, 1 << scale_bits)


STEP_OVER_GAP = 16  # laid again: a step off the old place weighs so many times what uneven gaps do


def weights_laid_again(chain: list[RowSegment], task: Task) -> Weights:
    """Weights of a row laid again. The counts are exact in any case; on a very long lid the squares are
    cut."""
    places = sum(p.b - p.a + 1 for p in chain)
    counts = (places // task.least + 3 * len(chain) + 2).bit_length()
    widest = max([old.pitch for old in (task.old or {}).values()], default=task.pitch)
    squares = (places * (STEP_OVER_GAP * widest**2 + task.most**2) // task.least + 1).bit_length()
    room = max(1, min(squares, 60 - 4 * counts))
    off = 1 << room
    added, held, outside = (off << (n * counts) for n in (1, 2, 3))
    return Weights(off, 0, 0, 0, 1, outside=outside, held=held, added=added, shift=squares - room)


@dataclass(frozen=True, eq=False)
class OldPlaces:
    """What a row laid again holds on to in one run. Lengths in grid steps."""

    pitch: int  # of the row before
    held: np.ndarray  # bool: an old place that is still free
    away: np.ndarray  # to the nearest old place, free or not; half a pitch where none is that near


@dataclass(frozen=True)
class Task:
    """One search: pitch, the gaps allowed, the old places to hold, by run (None: a fresh row)."""

    pitch: int
    least: int
    most: int
    weights: Weights
    direct: bool  # two fixed marks may stand at any gap, at the price of one gap off
    old: dict[int, OldPlaces] | None = None

    def on(self, piece: RowSegment) -> Task:
        """The task with the pitch that a piece had before."""
        old = None if self.old is None else self.old.get(piece.strip.number)
        return self if old is None else replace(self, pitch=old.pitch)


@dataclass
class Pass:
    cost: np.ndarray  # best cost of a row that ends at each index of the piece
    parent: np.ndarray  # index before it in the piece, -1 where a row begins
    entered: np.ndarray  # index in the piece before, -1 none


def search_size(chain: list[RowSegment], task: Task) -> int:
    return sum(p.b - p.a + 1 for p in chain) * (task.most - task.least + 1)


def best_gaps(chain: list[RowSegment], task: Task, rules: Rules) -> tuple[list[np.ndarray], int] | None:
    """Indices of the least-cost row, piece by piece, with its packed cost; None where none holds."""
    passes, total = forward(chain, start_costs(chain[0], task.on(chain[0]), rules), task, rules)
    at = int(total.argmin())
    return (trace(chain, passes, at), int(total[at])) if total[at] < NEVER else None


def forward(
    chain: list[RowSegment], start: np.ndarray, task: Task, rules: Rules
) -> tuple[list[Pass], np.ndarray]:
    """Best rows up to every index, piece by piece, and the cost of ending at each index of the last."""
    passes: list[Pass] = []
    job = task
    for n, piece in enumerate(chain):
        task = job.on(piece)
        entered = np.full(piece.b - piece.a + 1, -1)
        if n and piece.left == "block" and chain[n - 1].right == "block":
            own = start_costs(piece, task, rules)
            start, entered = _across(chain[n - 1], passes[-1], piece, own, task, rules)
        elif n:
            start, entered = _corner(chain[n - 1], passes[-1], piece, task, rules)
        passes.append(_sweep(piece, start, entered, task, rules))
        if not (passes[-1].cost < NEVER).any():
            return passes, np.full(chain[-1].b - chain[-1].a + 1, NEVER)
    return passes, _finish(chain[-1], passes[-1].cost, task, rules)


def trace(chain: list[RowSegment], passes: list[Pass], at: int) -> list[np.ndarray]:
    rows: list[np.ndarray] = []
    for piece, piece_pass in zip(reversed(chain), reversed(passes), strict=True):
        row = [at]
        while piece_pass.parent[row[-1]] >= 0:
            row.append(int(piece_pass.parent[row[-1]]))
        rows.append(np.array(row[::-1]) + piece.a)
        at = int(piece_pass.entered[row[-1]])
    return rows[::-1]


def mark_cost(piece: RowSegment, task: Task, rules: Rules) -> np.ndarray:
    """Packed cost of a mark at each index of the piece, whatever its neighbours."""
    strip, part = piece.strip, slice(piece.a, piece.b + 1)
    if task.old is not None:
        return _old_cost(task.old[strip.number], part, task.weights)
    along = np.asarray(strip.along_steps(np.arange(piece.a, piece.b + 1)))
    warm = np.zeros(strip.count, dtype=bool)
    for _, low, high in strip.warm:
        warm[low : high + 1] = True
    soft = IN_CLEARANCE * warm[part] + PER_SPARE_STEP * strip.short[part]
    return ((soft + readability(along, task.pitch, rules) - 1) * task.weights.soft).astype(np.int64)


def _old_cost(old: OldPlaces, part: slice, w: Weights) -> np.ndarray:
    """Packed cost of each place of a row laid again."""
    away = old.away[part]
    steps = (STEP_OVER_GAP * away.astype(np.int64) ** 2) >> w.shift
    return np.where(old.held[part], -w.held, steps + w.added * (away >= old.pitch // 2))


def gap_cost(task: Task, rules: Rules) -> np.ndarray:
    """Packed cost of each gap from `least` to `most`."""
    gaps = np.arange(task.least, task.most + 1)
    off = np.abs(gaps - task.pitch)
    w = task.weights
    if task.old is not None:
        outside = (gaps < rules.closest) | (gaps > rules.widest)
        return w.outside * outside + w.off * (off > task.pitch / 8) + (off**2 >> w.shift)
    return (
        w.off * (off > task.pitch / 8)
        + w.ragged * (off > rules.unit / 2)
        + w.unequal * (off > 0)
        + np.round((off / rules.unit) ** 2 * w.soft).astype(np.int64)
    )


def start_costs(piece: RowSegment, task: Task, rules: Rules) -> np.ndarray:
    """Cost of beginning a row at each index, the mark's own cost left out."""
    out = np.full(piece.b - piece.a + 1, NEVER)
    far = farthest(piece, "left", task.pitch, True, rules) - piece.a
    fixed = piece.fixed
    if fixed:
        far = min(far, fixed[0] - piece.a)
    index = np.arange(max(0, far + 1))  # none where even the first place is too far from the end
    out[: len(index)] = _end_cost(piece, "left", index + piece.a, task, rules)
    out[: len(index)][~_fills(piece, "left", index + piece.a, task, rules)] = NEVER
    return out


def _fills(piece: RowSegment, side: str, index: np.ndarray, task: Task, rules: Rules) -> np.ndarray:
    """Whether no place about one pitch on, toward a blocked stretch, is left out. A row laid again keeps
    its old places instead."""
    if task.old is not None:
        return np.ones(len(index), dtype=bool)
    half = int(rules.unit / 2)
    least, most = max(task.least, task.pitch - half), min(task.most, task.pitch + half)
    return goes_as_far(piece, side, index, least, most)


def _finish(piece: RowSegment, cost: np.ndarray, task: Task, rules: Rules) -> np.ndarray:
    """`cost` with the end of the row added; NEVER where no row may end."""
    out = np.full(len(cost), NEVER)
    near = farthest(piece, "right", task.pitch, True, rules)
    if piece.fixed:
        near = max(near, piece.fixed[-1])
    index = np.arange(near, piece.b + 1)
    tail = cost[near - piece.a :]
    ends = tail + _end_cost(piece, "right", index, task, rules)
    may = (tail < NEVER) & _fills(piece, "right", index, task, rules)
    out[near - piece.a :] = np.where(may, ends, NEVER)
    return out


def _end_cost(piece: RowSegment, side: str, index: np.ndarray, task: Task, rules: Rules) -> np.ndarray:
    if task.old is not None or (piece.left if side == "left" else piece.right) != "end":
        return np.zeros(len(index), dtype=np.int64)
    strip = piece.strip
    distance = strip.from_start(index) if side == "left" else strip.from_end(index)
    setback = rules.setback(strip.end_kind("start" if side == "left" else "end"))
    bad, misfit = end_fit(np.asarray(distance), setback, task.pitch)
    return bad * task.weights.not_good + np.round(misfit * task.weights.soft).astype(np.int64)


def _across(
    before: RowSegment, past: Pass, after: RowSegment, start: np.ndarray, task: Task, rules: Rules
) -> tuple[np.ndarray, np.ndarray]:
    """Begin `after` beyond a blocked stretch: in step with the last mark, or at a price."""
    ended = _finish(before, past.cost, task.on(before), rules)
    residue = (np.arange(len(ended)) + before.a) % task.pitch
    best = int(ended.argmin())
    entry = np.flatnonzero(start < NEVER)
    source = np.full(len(entry), best)
    if after.in_step:
        order = np.lexsort((ended, residue))
        classes, pick = np.unique(residue[order], return_index=True)
        in_step = np.full(task.pitch, best)
        in_step[classes] = order[pick]
        same = in_step[(entry + after.a) % task.pitch]
        matches = residue[same] == (entry + after.a) % task.pitch
        price = ended[best] + task.weights.ragged
        source = np.where(matches & (ended[same] <= price), same, best)
    cost = ended[source]
    if after.in_step:
        cost = cost + task.weights.ragged * (residue[source] != (entry + after.a) % task.pitch)
    out, entered = np.full(len(start), NEVER), np.full(len(start), -1)
    out[entry] = np.where(ended[source] < NEVER, start[entry] + cost, NEVER)
    entered[entry] = source
    return out, entered


def _corner(
    before: RowSegment, past: Pass, after: RowSegment, task: Task, rules: Rules
) -> tuple[np.ndarray, np.ndarray]:
    """Begin `after` round a corner: the gap along both legs holds, good or at a price."""
    ended = _finish(before, past.cost, task.on(before), rules)
    exits = np.flatnonzero(ended < NEVER)
    out, entered = np.full(after.b - after.a + 1, NEVER), np.full(after.b - after.a + 1, -1)
    if not len(exits):
        return out, entered
    far = farthest(after, "left", task.pitch, True, rules)
    if after.fixed:
        far = min(far, after.fixed[0])
    entry = np.arange(max(0, far - after.a + 1))
    corner = corner_costs(before, exits + before.a, after, entry + after.a, task, rules)
    total = np.where(corner < NEVER, ended[exits][:, None] + corner, NEVER)
    best = total.argmin(axis=0)
    out[entry] = total[best, np.arange(len(entry))]
    entered[entry] = exits[best]
    return out, entered


def corner_costs(
    before: RowSegment, exits: np.ndarray, after: RowSegment, entry: np.ndarray, task: Task, rules: Rules
) -> np.ndarray:
    """What the corner costs from each last mark (row) to each first one (column)."""
    legs = np.asarray(before.strip.from_end(exits))[:, None]
    gap = legs + np.asarray(after.strip.from_start(entry))[None, :]
    holds, bad, misfit = corner_fit(gap, task.pitch, rules)
    cost = np.zeros(gap.shape, dtype=np.int64)
    if task.old is None:
        cost = bad * task.weights.not_good + np.round(misfit * task.weights.soft).astype(np.int64)
    return np.where(holds, cost, NEVER)


def _sweep(piece: RowSegment, start: np.ndarray, entered: np.ndarray, task: Task, rules: Rules) -> Pass:
    """Best row ending at every index. Blocks shorter than the least gap are done at once: no index in one
    can follow another. A fixed mark closes everything before it: no gap may jump over it."""
    size, wide = len(start), task.most
    free = piece.strip.free[piece.a : piece.b + 1]
    place_cost = mark_cost(piece, task, rules)
    by_gap = gap_cost(task, rules)[::-1]  # aligned with indices x - most .. x - least
    cost = np.full(size + wide, NEVER)  # `wide` impossible indices before the piece
    parent = np.full(size, -1)
    windows = sliding_window_view(cost, task.most - task.least + 1)
    stops = [f - piece.a for f in piece.fixed]
    at, closed = 0, -1
    while at < size:
        end = min(at + task.least, size)
        stop = next((s for s in stops if at <= s < end), None)
        if stop is not None:
            end = stop + 1
        rows = np.arange(at, end)[free[at:end]]
        if len(rows):
            reach = windows[rows] + by_gap
            k = reach.argmin(axis=1)
            arrive = reach[np.arange(len(rows)), k]
            come = rows - task.most + k
            fresh = start[rows] <= arrive
            best = np.where(fresh, start[rows], arrive)
            cost[rows + wide] = np.where(best < NEVER, best + place_cost[rows], NEVER)
            parent[rows] = np.where(fresh, -1, come)
        if stop is not None:
            if task.direct and closed >= 0 and cost[stop + wide] >= NEVER:
                _direct(cost, parent, place_cost, (closed, stop), wide, task)
            cost[wide : wide + stop] = NEVER
            closed = stop
        at = end
    return Pass(cost[wide:], parent, entered)


def _direct(
    cost: np.ndarray, parent: np.ndarray, place_cost: np.ndarray, pair: tuple[int, int], wide: int, task: Task
) -> None:
    """Join two fixed marks that no row between them satisfies."""
    a, b = pair
    if cost[a + wide] < NEVER:
        w = task.weights
        cost[b + wide] = cost[a + wide] + w.outside + w.off + w.ragged + w.unequal + place_cost[b]
        parent[b] = a
