"""Rows of one pitch: every piece a lattice with its own start, the best of them by rank.

Rank, least first: hard rules broken (only where asked), obstacles within clearance, not good, spare,
readability; then misfit, then nearest the datum. The first five are packed in one integer, the last two
in another, so that rows are compared exactly and added up by arrays. Lengths in grid steps.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np

from mistcalc.layout.run_grid import RowSegment, Rules, readability

NEVER = np.int64(2**62)
CLASH, OBSTACLE, NOT_GOOD, SPARE, READ = (np.int64(1) << s for s in (48, 36, 24, 12, 0))
MISFIT = 1_000_000  # misfit is compared to a millionth; below it, steps from the datum
MOST_SHARED = 12  # obstacles reaching round one corner that are counted once; more are counted twice
EPS = 1e-6


def ideal_end_distance(setback: float, pitch: float) -> float:
    """Where the first mark from an end would best be."""
    return max(setback, pitch / 2)


def end_fit(distance: np.ndarray, setback: float, pitch: float) -> tuple[np.ndarray, np.ndarray]:
    """Not-good flags and misfit of marks at `distance` from an end of the tube."""
    t = ideal_end_distance(setback, pitch)
    bad = (distance < t - EPS) | (distance > t + pitch / 3 + EPS)
    return bad.astype(np.int64), ((distance - t) / pitch) ** 2 / 2


def corner_fit(gap: np.ndarray, pitch: float, rules: Rules) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Whether a gap round a corner holds, its not-good flag and misfit."""
    holds = (gap >= rules.closest - EPS) & (gap <= rules.widest + EPS)
    bad = (gap < pitch - EPS) | (gap > 1.4 * pitch + EPS)
    return holds, bad.astype(np.int64), ((gap - 1.2 * pitch) / pitch) ** 2


def farthest(piece: RowSegment, side: str, pitch: int, loose: bool, rules: Rules) -> int:
    """The index farthest into the piece at which its first (last) mark may be."""
    strip, kind = piece.strip, piece.left if side == "left" else piece.right
    if kind == "block":
        reach = (1.5 if loose else 1.0) * pitch
        return min(piece.a + int(reach), piece.b) if side == "left" else max(piece.b - int(reach), piece.a)
    if kind == "corner":
        reach = rules.widest - rules.setback("corner")
    else:
        setback = rules.setback(strip.end_kind("start" if side == "left" else "end"))
        reach = ideal_end_distance(setback, pitch) + (pitch if loose else pitch / 2)
    if side == "left":
        return min(int(np.floor(reach - strip.lead + EPS)), piece.b)
    return max(int(np.ceil(strip.count - 1 + strip.tail - reach - EPS)), piece.a)


def goes_as_far(piece: RowSegment, side: str, mark: np.ndarray, least: int, most: int) -> np.ndarray:
    """Whether a row that begins (ends) at each index goes on up to a blocked stretch as far as places are
    free `least` to `most` steps on. Elsewhere it does not have to."""
    if (piece.left if side == "left" else piece.right) != "block" or least > most:
        return np.ones(len(mark), dtype=bool)
    size = piece.b - piece.a + 1
    count = np.concatenate([[0], np.cumsum(piece.strip.free[piece.a : piece.b + 1])])
    at = mark - piece.a
    low, high = (at - most, at - least) if side == "left" else (at + least, at + most)
    return count[np.clip(high + 1, 0, size)] == count[np.clip(low, 0, size)]


def _stride_count(flags: np.ndarray, pitch: int) -> np.ndarray:
    """For each index, how many of it and those whole pitches before it are flagged."""
    padded = np.zeros(-(-len(flags) // pitch) * pitch, dtype=np.int64)
    padded[: len(flags)] = flags
    return padded.reshape(-1, pitch).cumsum(axis=0).ravel()[: len(flags)]


def lattices(
    piece: RowSegment, pitch: int, loose: bool, rules: Rules, clashing: bool = False
) -> tuple[np.ndarray, np.ndarray] | None:
    """First and last index of every lattice of `pitch` that holds on the piece, or None.

    Up to a blocked stretch a lattice leaves out no place that is free. `clashing`: hard rules do not count
    (they are ranked), fixed marks neither (they are merged later).
    """
    strip = piece.strip
    free = strip.inside if clashing else strip.free
    left = farthest(piece, "left", pitch, loose, rules)
    right = farthest(piece, "right", pitch, loose, rules)
    first = piece.a + np.flatnonzero(free[piece.a : left + 1])
    fixed = () if clashing else piece.fixed
    if fixed:
        first = first[first <= fixed[0]]
        for stay in fixed:
            first = first[(stay - first) % pitch == 0]
        right = max(right, fixed[-1])
    if not len(first):
        return None
    fewest = np.maximum(0, -(-(right - first) // pitch))
    more = np.arange((piece.b - right) // pitch + 1)
    ends = first[:, None] + (fewest[:, None] + more[None, :]) * pitch
    f, last = np.broadcast_to(first[:, None], ends.shape).ravel(), ends.ravel()
    keep = last <= piece.b
    f, last = f[keep], last[keep]
    if not clashing:
        bad = _stride_count(~free, pitch)
        keep = free[last] & (bad[last] == bad[f])
        keep &= goes_as_far(piece, "left", f, pitch, pitch) & goes_as_far(piece, "right", last, pitch, pitch)
        f, last = f[keep], last[keep]
    return (f, last) if len(f) else None


@dataclass(frozen=True, eq=False)
class Ranked:
    """The lattices of one piece with the rank of each by itself, and the obstacles (as bits) it touches
    that the piece before, or after, can touch too."""

    first: np.ndarray
    last: np.ndarray
    major: np.ndarray
    minor: np.ndarray
    with_before: np.ndarray
    with_after: np.ndarray

    def only(self, keep: np.ndarray) -> Ranked:
        return Ranked(*(getattr(self, f.name)[keep] for f in fields(self)))


def closes(chain: list[RowSegment]) -> bool:
    """Whether the last piece meets the first: pieces of a ring."""
    a, z = chain[0].strip, chain[-1].strip
    return (
        a is not z and a.end_kind("start") == z.end_kind("end") == "corner" and z.band.run.corner is not None
    )


def ranked(
    chain: list[RowSegment],
    n: int,
    pair: tuple[np.ndarray, np.ndarray],
    pitch: int,
    rules: Rules,
    clashing: bool,
) -> Ranked:
    piece, (first, last) = chain[n], pair
    major, minor = _cost(piece, first, last, pitch, rules, clashing)
    none = np.zeros(len(first), dtype=np.int64)
    ring = closes(chain)
    before = _shared(piece, chain[n - 1], first, last, pitch) if n or ring else none
    after = (
        _shared(piece, chain[(n + 1) % len(chain)], first, last, pitch)
        if n + 1 < len(chain) or ring
        else none
    )
    return Ranked(first, last, major, minor, before, after)


def _cost(
    piece: RowSegment, first: np.ndarray, last: np.ndarray, pitch: int, rules: Rules, clashing: bool
) -> tuple[np.ndarray, np.ndarray]:
    """Rank of each lattice by itself, as (major, minor)."""
    strip = piece.strip
    major: np.ndarray = np.zeros(len(first), dtype=np.int64)
    minor: np.ndarray = np.zeros(len(first))
    if clashing:
        hit = _stride_count(strip.hits > 0, pitch)
        major += CLASH * np.minimum(hit[last] - hit[first] + (strip.hits[first] > 0), 4000)
    for _, low, high in strip.warm:
        major += OBSTACLE * _touches(first, last, pitch, low, high)
    ends = []
    for kind, side, at in (("left", "start", first), ("right", "end", last)):
        if getattr(piece, kind) == "end":
            distance = strip.from_start(at) if side == "start" else strip.from_end(at)
            setback = rules.setback(strip.end_kind(side))
            bad, misfit = end_fit(np.asarray(distance), setback, pitch)
            major = major + NOT_GOOD * bad
            minor = minor + np.round(misfit * MISFIT)
            ends.append(np.asarray(distance))
    if len(ends) == 2 and strip.end_kind("start") == strip.end_kind("end"):
        major += NOT_GOOD * (np.abs(ends[0] - ends[1]) > pitch / 6 + EPS)
    major += SPARE * _worst(strip.short, first, last, pitch)
    from_datum = first if strip.sense > 0 else last
    along = np.asarray(strip.along_steps(from_datum))
    major += READ * readability(along, pitch, rules)
    minor = minor * MISFIT
    if _is_nearest_datum(piece):
        minor = minor + np.minimum(along, MISFIT - 1)
    return major, minor


def _touches(first: np.ndarray, last: np.ndarray, pitch: int, low: int, high: int) -> np.ndarray:
    """Whether each lattice has a mark at low..high."""
    reached = first + np.maximum(0, -(-(low - first) // pitch)) * pitch
    return reached <= np.minimum(high, last)


def _shared(
    row_segment: RowSegment, other: RowSegment, first: np.ndarray, last: np.ndarray, pitch: int
) -> np.ndarray:
    """A bit for each obstacle that reaches both pieces, set where a lattice of `one` touches it."""
    mine = {
        name: (low, high)
        for name, low, high in row_segment.strip.warm
        if low <= row_segment.b and high >= row_segment.a
    }
    both = [n for n, a, b in other.strip.warm if n in mine and a <= other.b and b >= other.a]
    bits = np.zeros(len(first), dtype=np.int64)
    for k, name in enumerate(sorted(both)[:MOST_SHARED]):
        bits |= _touches(first, last, pitch, *mine[name]).astype(np.int64) << k
    return bits


def _is_nearest_datum(piece: RowSegment) -> bool:
    """Whether no other piece of the run lies between this one and the datum."""
    return not (piece.in_step if piece.strip.sense > 0 else piece.goes_on)


def _worst(short: np.ndarray, first: np.ndarray, last: np.ndarray, pitch: int) -> np.ndarray:
    """The largest shortfall on each lattice."""
    if not short.any():
        return np.zeros(len(first), dtype=np.int64)
    count = int(((last - first) // pitch).max()) + 1
    at = np.minimum(first[:, None] + pitch * np.arange(count)[None, :], last[:, None])
    return short[at].max(axis=1)


def marks_of(row: list[tuple[int, int]], pitches: list[int]) -> list[np.ndarray]:
    """The indices of a row, piece by piece."""
    return [np.arange(f, last + 1, p) for (f, last), p in zip(row, pitches, strict=True)]
