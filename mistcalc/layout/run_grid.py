"""The tube of each run as whole grid steps of its tape: where a mark may be, and how well it would sit.

Index 0, 1, 2 ... counts grid steps in the direction of the walk; every index is a whole number of steps
on the tape, so nothing laid on a strip is ever ragged. Lengths here are in grid steps unless said.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from mistcalc.layout.geometry import Keepout, Plan
from mistcalc.layout.run_frames import NEAR, RunFrame
from mistcalc.model.project import FixedMark

EDGE_SETBACK = 6  # units: from an open end, and from a corner on each leg
SPARE_STEP = 0.25  # units: how finely a hole's shortfall of room to a member is told apart


@dataclass(frozen=True)
class Rules:
    """The stated numbers in grid steps, ordered and whole where marks need them whole."""

    pitch: int
    closest: int
    widest: int
    from_wall: float
    unit: float  # 1 in or 25 mm
    step: float  # metres
    imperial: bool

    def setback(self, end: str) -> float:
        return self.from_wall if end == "wall" else EDGE_SETBACK * self.unit


def rules_of(plan: Plan) -> Rules:
    """Closest and widest swapped if crossed, the pitch held between them (checks report both)."""
    stated, step = plan.patio.marks, plan.tape.step
    low, high = sorted((stated.closest, stated.widest))
    closest = max(1, math.ceil(low / step - 1e-6))
    widest = max(closest, math.floor(high / step + 1e-6))
    pitch = min(max(round(stated.pitch / step), closest), widest)
    return Rules(pitch, closest, widest, stated.from_wall / step, plan.tape.units, step, plan.tape.imperial)


@dataclass(frozen=True, eq=False)
class RunGrid:
    """One run's places in tube order."""

    band: RunFrame
    number: int  # which run
    first: int  # grid steps on the tape at index 0
    sense: int  # +1 where the tape runs with the walk, -1 against it
    lead: float  # tube before index 0
    tail: float  # tube after the last index
    free: np.ndarray  # bool: no hard rule and no setback forbids it, or a mark is fixed there
    inside: np.ndarray  # bool: setbacks alone
    hits: np.ndarray  # hard rules broken there
    short: np.ndarray  # spare steps short of welcome room to a member
    warm: tuple[tuple[str, int, int], ...]  # obstacle whose judgement clearance holds index low..high
    hard: tuple[tuple[str, int, int], ...]  # what forbids index low..high
    fixed: tuple[int, ...]
    fixed_marks: tuple[FixedMark, ...]  # same order

    @property
    def count(self) -> int:
        return len(self.free)

    def along_steps(self, index: np.ndarray | int) -> np.ndarray | int:
        return self.first + self.sense * index

    def from_start(self, index: np.ndarray | int) -> np.ndarray | float:
        """Tube from its start to the index."""
        return self.lead + index

    def from_end(self, index: np.ndarray | int) -> np.ndarray | float:
        return self.tail + (self.count - 1 - index)

    def end_kind(self, side: str) -> str:
        return self.band.run.starts_at if side == "start" else self.band.run.ends_at


def strip_of(plan: Plan, number: int, rules: Rules, fixed: tuple[FixedMark, ...]) -> RunGrid:
    """The places of one run. A fixed mark's place is free whatever is there: it stays, and is reported."""
    band, step = plan.bands[number], rules.step
    low, high = band.tube
    count, first, sense, lead = _places(band, step)
    tail = (high - low) / step - lead - (count - 1)
    index = np.arange(count)
    inside = (lead + index >= rules.setback(band.run.starts_at) - 1e-6) & (
        tail + (count - 1 - index) >= rules.setback(band.run.ends_at) - 1e-6
    )
    hits = np.zeros(count, dtype=np.int64)
    short = np.zeros(count, dtype=np.int64)
    warm: list[tuple[str, int, int]] = []
    hard: list[tuple[str, int, int]] = []

    def index_span(keepout: Keepout, extra: float = 0.0) -> tuple[int, int] | None:
        """Indices strictly inside the keepout's reach; touching its border is clear."""
        span = keepout.span(band, extra)
        if span is None:
            return None
        a = math.floor((span[0] + NEAR - low) / step - lead) + 1
        b = math.ceil((span[1] - NEAR - low) / step - lead) - 1
        return (max(a, 0), min(b, count - 1)) if b >= 0 and a < count and a <= b else None

    for keepout in plan.keepouts:
        span = index_span(keepout)
        if span is not None:
            (hard if keepout.hard else warm).append((keepout.name, *span))
            if keepout.hard:
                hits[span[0] : span[1] + 1] += 1
        if keepout.spare > 0 and (wide := index_span(keepout, keepout.spare)) is not None:
            _shorten(short, keepout, band, wide, (low, lead, step), SPARE_STEP * plan.tape.unit)

    free = inside & (hits == 0)
    there: dict[int, FixedMark] = {}  # of two that the tape cannot tell apart one stays, a drilled one first
    for mark in sorted(fixed, key=lambda mark: not mark.drilled):
        if 0 <= (i := _index_of(mark.along, first, sense, step)) < count:
            there.setdefault(i, mark)
    fixed_indices = tuple(sorted(there))
    free[list(fixed_indices)] = True
    return RunGrid(
        band, number, first, sense, lead, tail, free, inside, hits, short, tuple(warm), tuple(hard),
        fixed_indices, tuple(there[i] for i in fixed_indices),
    )  # fmt: skip


def _places(band: RunFrame, step: float) -> tuple[int, int, int, float]:
    """How many grid steps of the tape lie over the tube; steps at the first; tape sense; tube before it."""
    (low, high), length = band.tube, band.run.length
    if band.run.datum.end == "start":
        first, last = max(0, math.ceil((low - NEAR) / step)), math.floor((high + NEAR) / step)
        return max(0, last - first + 1), first, 1, first - low / step
    near, far = max(0, math.ceil((length - high - NEAR) / step)), math.floor((length - low + NEAR) / step)
    return max(0, far - near + 1), far, -1, (length - low) / step - far


def _index_of(along: float, first: int, sense: int, step: float) -> int:
    return sense * (math.floor(along / step + 0.5) - first)


def _shorten(
    short: np.ndarray, keepout: Keepout, band: RunFrame, span: tuple[int, int],
    origin: tuple[float, float, float], grain: float,
) -> None:  # fmt: skip
    """Raise `short` over `span` to the steps by which a hole there lacks the welcome room."""
    low, lead, step = origin
    sigma = low + (lead + np.arange(span[0], span[1] + 1)) * step
    box = keepout.ground.in_band(band)
    lack = keepout.reach + keepout.spare - box.distance(sigma, np.full_like(sigma, band.back))
    steps = np.ceil(np.maximum(lack - NEAR, 0.0) / grain).astype(np.int64)
    part = short[span[0] : span[1] + 1]
    np.maximum(part, steps, out=part)


def readability(along_steps: np.ndarray, pitch: int, rules: Rules) -> np.ndarray:
    """0 reads best: whole feet under a whole-foot pitch, then 1 in, 1/2, 1/4, 1/8 (100, 50, 10, 5 mm)."""
    micro = round(rules.step * 1e7)
    place = np.asarray(along_steps, dtype=np.int64) * micro
    rungs = (3_048_000, 254_000, 127_000, 63_500) if rules.imperial else (1_000_000, 500_000, 100_000)
    out = np.full(place.shape, len(rungs), dtype=np.int64)
    for level in range(len(rungs) - 1, -1, -1):
        if level == 0 and pitch * micro % rungs[0]:
            break
        out[place % rungs[level] == 0] = level
    return out


# ------------------------------------------------------------------ pieces


@dataclass(frozen=True)
class RowSegment:
    """A stretch of a strip, index a..b, that carries one row of marks.

    Each side is an "end" of the tube, a "corner" shared with the next piece, or a "block": the edge of
    a stretch where no mark can be. `in_step`: the piece before is the same run across a block; `goes_on`:
    the piece after is.
    """

    strip: RunGrid
    a: int
    b: int
    left: str
    right: str
    in_step: bool = False
    goes_on: bool = False

    @property
    def fixed(self) -> tuple[int, ...]:
        return tuple(i for i in self.strip.fixed if self.a <= i <= self.b)


@dataclass(frozen=True)
class BlockedTube:
    """A blocked stretch: tube from..to of one strip, in steps from its start."""

    strip: RunGrid
    start: float
    end: float


def pieces(strips: list[RunGrid], rules: Rules, skip: frozenset[int] = frozenset()) -> tuple[
    list[RowSegment], list[BlockedTube]
]:  # fmt: skip
    """Cut the tube where no place for a mark is found for longer than the widest gap.

    At an end of the tube: than the target there plus the pitch; round a corner: than the widest gap,
    along the tube. Runs in `skip`, and runs without a place, carry none.
    """
    out: list[RowSegment] = []
    gone: list[BlockedTube] = []
    places = [np.flatnonzero(s.free) if s.number not in skip else np.array([], dtype=int) for s in strips]
    for s, here in zip(strips, places, strict=True):
        if not len(here):
            continue
        left = _side(s, "start", strips, places, rules)
        right = _side(s, "end", strips, places, rules)
        if left == "block" and s.from_start(here[0]) > rules.setback(s.end_kind("start")) + 1:
            gone.append(BlockedTube(s, 0.0, float(s.from_start(here[0]))))
        cuts = np.flatnonzero(np.diff(here) > rules.widest)
        starts, stops = [0, *(cuts + 1)], [*cuts, len(here) - 1]
        for n, (i, j) in enumerate(zip(starts, stops, strict=True)):
            first, last = n == 0, n == len(starts) - 1
            if not first:
                gone.append(BlockedTube(s, float(s.from_start(here[i - 1])), float(s.from_start(here[i]))))
            out.append(
                RowSegment(
                    s, int(here[i]), int(here[j]),
                    left if first else "block", right if last else "block", not first, not last,
                )
            )  # fmt: skip
        if right == "block" and s.from_end(here[-1]) > rules.setback(s.end_kind("end")) + 1:
            length = float(s.from_start(s.count - 1)) + s.tail
            gone.append(BlockedTube(s, float(s.from_start(here[-1])), length))
    return out, gone


def round_corner(s: RunGrid, side: str, strips: list[RunGrid]) -> RunGrid | None:
    """The run round the corner at that end of a run; of a ring the first follows the last."""
    other = s.number + (-1 if side == "start" else 1)
    if not 0 <= other < len(strips) and strips[-1].band.run.corner is None:
        return None
    return strips[other % len(strips)]


def _side(s: RunGrid, side: str, strips: list[RunGrid], places: list[np.ndarray], rules: Rules) -> str:
    here = places[s.number]
    room = float(s.from_start(here[0]) if side == "start" else s.from_end(here[-1]))
    if s.end_kind(side) != "corner":
        target = max(rules.setback(s.end_kind(side)), rules.pitch / 2)
        return "block" if room > target + rules.pitch + 1e-6 else "end"
    beyond = round_corner(s, side, strips)
    if beyond is None or not len(there := places[beyond.number]):
        return "block"
    leg = float(beyond.from_end(there[-1]) if side == "start" else beyond.from_start(there[0]))
    return "block" if room + leg > rules.widest + 1e-6 else "corner"
