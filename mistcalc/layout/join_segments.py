"""The best row of one pitch a run over all pieces: lattices joined across blocks and round corners."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from mistcalc.layout.equal_rows import (
    EPS,
    MISFIT,
    MOST_SHARED,
    NEVER,
    NOT_GOOD,
    OBSTACLE,
    Ranked,
    closes,
    corner_fit,
    lattices,
    ranked,
)
from mistcalc.layout.run_grid import RowSegment, Rules

Rank = tuple[int, float]
RankedRow = tuple[list[tuple[int, int]], Rank]
Link = tuple[np.ndarray, np.ndarray, np.ndarray]  # major, minor, lattice before: one for each first mark
Fit = Callable[[np.ndarray, np.ndarray], tuple[np.ndarray, np.ndarray]]  # exits, entries -> major, minor


@dataclass(frozen=True, eq=False)
class _Stage:
    """One piece's lattices with the best rank of a chain that ends in each, and where it came from."""

    lattices: Ranked
    major: np.ndarray
    minor: np.ndarray
    source: np.ndarray  # index into the previous stage


def best_row(
    chain: list[RowSegment], pitches: list[int], loose: bool, rules: Rules, *, clashing: bool = False
) -> RankedRow | None:
    """First and last index for each piece of the best row with these pitches, and its rank; or None."""
    pairs = []
    for piece, pitch in zip(chain, pitches, strict=True):
        pair = lattices(piece, pitch, loose, rules, clashing)
        if pair is None:
            return None
        pairs.append(pair)
    ranked_pieces = [ranked(chain, n, pair, pitches[n], rules, clashing) for n, pair in enumerate(pairs)]
    if closes(chain):
        return _closed(chain, ranked_pieces, pitches, rules)
    best = _solve(chain, ranked_pieces, pitches, rules)
    if best is None or len(chain) == 1 or not _like_ends(chain):
        return best
    return _with_like_ends(chain, ranked_pieces, pitches, rules, best)


def _like_ends(chain: list[RowSegment]) -> bool:
    """One run in several pieces with like ends: the only rule that ties the first piece to the last."""
    a, z = chain[0], chain[-1]
    return (
        a.strip is z.strip
        and a.left == z.right == "end"
        and a.strip.end_kind("start") == z.strip.end_kind("end")
    )


def _with_like_ends(
    chain: list[RowSegment], rankeds: list[Ranked], pitches: list[int], rules: Rules, best: RankedRow
) -> RankedRow:
    """Exact with the like-ends rule: try each first mark with only the last marks like it."""
    starts = np.asarray(chain[0].strip.from_start(rankeds[0].first))
    ends = np.asarray(chain[-1].strip.from_end(rankeds[-1].last))
    like = pitches[0] / 6 + EPS
    row, (major, minor) = best
    first, last = float(chain[0].strip.from_start(row[0][0])), float(chain[-1].strip.from_end(row[-1][1]))
    if abs(first - last) <= like:
        return best
    best = (row, (major + int(NOT_GOOD), minor))
    for start in np.unique(starts):
        near = np.abs(ends - start) <= like
        if near.any():
            some = [rankeds[0].only(starts == start), *rankeds[1:-1], rankeds[-1].only(near)]
            trial = _solve(chain, some, pitches, rules)
            if trial is not None and trial[1] < best[1]:
                best = trial
    return best


def _solve(
    chain: list[RowSegment], rankeds: list[Ranked], pitches: list[int], rules: Rules
) -> RankedRow | None:
    """The best chain and its rank."""
    stages = _stages(chain, rankeds, pitches, rules)
    return None if stages is None else _trace(stages)


def _stages(
    chain: list[RowSegment], rankeds: list[Ranked], pitches: list[int], rules: Rules
) -> list[_Stage] | None:
    """Forward pass over the pieces; two neighbours meet only through a last and a first mark."""
    stages: list[_Stage] = []
    for n, here in enumerate(rankeds):
        major, minor, source = here.major, here.minor, np.full(len(here.first), -1)
        if n:
            link = _round_corner if chain[n - 1].right == "corner" else _across
            pair = (pitches[n - 1], pitches[n])
            more, less, source = link(chain[n - 1], chain[n], stages[-1], here, pair, rules)
            major, minor = np.where(more < NEVER, major + more, NEVER), minor + less
        if not (major < NEVER).any():
            return None
        stages.append(_Stage(here, major, minor, source))
    return stages


def _trace(stages: list[_Stage]) -> RankedRow:
    at = int(np.lexsort((stages[-1].minor, stages[-1].major))[0])
    rank = (int(stages[-1].major[at]), float(stages[-1].minor[at]))
    row: list[tuple[int, int]] = []
    for stage in reversed(stages):
        row.append((int(stage.lattices.first[at]), int(stage.lattices.last[at])))
        at = int(stage.source[at])
    return row[::-1], rank


def _closed(
    chain: list[RowSegment], rankeds: list[Ranked], pitches: list[int], rules: Rules
) -> RankedRow | None:
    """The best ring. Exact: each way to leave the last piece is tried with what it costs to come round into
    the first, the most promising first, until none left can beat the best found."""
    first, last = rankeds[0], rankeds[-1]
    outs, left_by = np.unique(_keyed(last.last, last.with_after), return_inverse=True)
    ins, come_by = np.unique(_keyed(first.first, first.with_before), return_inverse=True)
    corner = chain[-1].right == "corner"
    fit = _corner_between(chain[-1], chain[0], (pitches[-1], pitches[0]), rules) if corner else _nothing
    extra, misfit = _meet(outs[:, None], ins[None, :], fit)

    def round_from(major: np.ndarray, minor: np.ndarray) -> Ranked:
        """The first piece with what coming round into each of its entries costs."""
        total = np.where((major < NEVER)[come_by], first.major + major[come_by], NEVER)
        return replace(first, major=total, minor=first.minor + minor[come_by])

    least = extra.min(axis=0)
    bound = round_from(least, np.where(extra == least, misfit, np.inf).min(axis=0))
    stages = _stages(chain, [bound, *rankeds[1:]], pitches, rules)
    best: RankedRow | None = None
    if stages is None:
        return None
    order = np.lexsort((stages[-1].minor, stages[-1].major))
    _, at = np.unique(left_by[order], return_index=True)  # the best lattice of each way out
    for lattice in order[np.sort(at)]:
        if stages[-1].major[lattice] >= NEVER:
            break
        if best is not None and (int(stages[-1].major[lattice]), float(stages[-1].minor[lattice])) >= best[1]:
            break
        out = left_by[lattice]
        some = [round_from(extra[out], misfit[out]), *rankeds[1:-1], last.only(left_by == out)]
        trial = _solve(chain, some, pitches, rules)
        if trial is not None and (best is None or trial[1] < best[1]):
            best = trial
    return best


def _best_of(key: np.ndarray, stage: _Stage) -> tuple[np.ndarray, np.ndarray]:
    """For each value of `key`, that value and the lattice that ranks first."""
    order = np.lexsort((stage.minor, stage.major, key))
    values, pick = np.unique(key[order], return_index=True)
    return values, order[pick]


def _round_corner(
    before: RowSegment, after: RowSegment, stage: _Stage, here: Ranked, pitch: tuple[int, int], rules: Rules
) -> Link:
    """The gap along both legs must hold."""
    fit = _corner_between(before, after, pitch, rules)
    return _pairs(stage, stage.lattices.last, here, here.first, fit)


def _corner_between(before: RowSegment, after: RowSegment, pitch: tuple[int, int], rules: Rules) -> Fit:
    def fit(exits: np.ndarray, entry: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        legs = np.asarray(before.strip.from_end(exits)) + np.asarray(after.strip.from_start(entry))
        holds, bad, misfit = corner_fit(legs, sum(pitch) / 2, rules)
        return np.where(holds, NOT_GOOD * bad, NEVER), np.round(misfit * MISFIT) * MISFIT

    return fit


def _nothing(exits: np.ndarray, entry: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Two pieces of a ring with a blocked corner between them."""
    none = np.zeros(np.broadcast_shapes(exits.shape, entry.shape))
    return none.astype(np.int64), none


def _across(
    before: RowSegment, after: RowSegment, stage: _Stage, here: Ranked, pitch: tuple[int, int], rules: Rules
) -> Link:
    """Over a blocked stretch of a run a row out of step is not good; only residues matter."""
    step = pitch[1] if after.in_step else 1
    exits, entry = stage.lattices.last % step, here.first % step
    if (stage.lattices.with_after.any() and here.with_before.any()) or not after.in_step:

        def fit(a: np.ndarray, b: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
            return NOT_GOOD * (a != b), np.zeros(np.broadcast_shapes(a.shape, b.shape))

        return _pairs(stage, exits, here, entry, fit)
    # nothing shared: the best in step, or the best of all at the price of being out of step
    values, pick = _best_of(exits, stage)
    table = np.full(step, -1)
    table[values] = pick
    best = int(np.lexsort((stage.minor, stage.major))[0])
    same = table[entry]
    priced = (stage.major[best] + NOT_GOOD, stage.minor[best])
    major, minor = stage.major[same], stage.minor[same]
    wins = (same >= 0) & ((major < priced[0]) | ((major == priced[0]) & (minor <= priced[1])))
    return (
        np.where(wins, major, np.minimum(priced[0], NEVER)),
        np.where(wins, minor, priced[1]),
        np.where(wins, same, best),
    )


def _pairs(stage: _Stage, exits: np.ndarray, here: Ranked, entry: np.ndarray, fit: Fit) -> Link:
    """Every way out of the stage against every way into the piece. An obstacle touched on both sides is
    one obstacle, so what each side shares goes with its key."""
    outs, pick = _best_of(_keyed(exits, stage.lattices.with_after), stage)
    ins, back = np.unique(_keyed(entry, here.with_before), return_inverse=True)
    extra, misfit = _meet(outs[:, None], ins[None, :], fit)
    major = stage.major[pick][:, None]
    total = np.where((major < NEVER) & (extra < NEVER), major + extra, NEVER)
    least = total.min(axis=0)
    lower = np.where(total == least, stage.minor[pick][:, None] + misfit, np.inf)
    best = lower.argmin(axis=0)
    lowest = np.where(least < NEVER, lower[best, np.arange(len(ins))], 0.0)
    return least[back], lowest[back], pick[best][back]


def _keyed(place: np.ndarray, shared: np.ndarray) -> np.ndarray:
    """A way out of a piece, or into one, with the obstacles it shares, in one number."""
    return place << MOST_SHARED | shared


def _meet(out: np.ndarray, into: np.ndarray, fit: Fit) -> tuple[np.ndarray, np.ndarray]:
    """What it costs to go from each way out to each way in: major and minor."""
    extra, misfit = fit(out >> MOST_SHARED, into >> MOST_SHARED)
    twice = np.bitwise_count(out & into & ((1 << MOST_SHARED) - 1)).astype(np.int64)
    return np.where(extra < NEVER, extra - OBSTACLE * twice, NEVER), misfit
