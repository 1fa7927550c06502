"""An independent reading of a lid: hard rules measured from the project's own numbers.

Shares no code with the program. Plan points are complex numbers; wood is sampled as rectangles given by
a middle and two half sizes along the run's own directions.
"""

from __future__ import annotations

from itertools import pairwise

from mistcalc.model.project import Obstacle, Patio, Run
from mistcalc.model.results import Layout, Mark

TOUCH = 1e-6  # m: a hole that touches a limit keeps it; inches in binary are off by 1e-16


class Walk:
    """Start point and direction of each run: house on the left, right turn at an inside corner."""

    def __init__(self, patio: Patio) -> None:
        at, turn = 0j, 1 + 0j
        self.start: dict[str, complex] = {}
        self.ahead: dict[str, complex] = {}
        for run in patio.runs:
            self.start[run.name], self.ahead[run.name] = at, turn
            at += run.length * turn
            turn *= {"inside": -1j, "outside": 1j, None: 1}[run.corner]

    def at(self, run: Run, along: float, back: float) -> complex:
        walked = along if run.datum.end == "start" else run.length - along
        return self.start[run.name] + self.ahead[run.name] * (walked + 1j * back)


def inside(patio: Patio, thing: Obstacle) -> bool:
    """Whether a thing's middle lies under the lid: on a run, or on the square round an inside corner."""
    walk = Walk(patio)
    here = walk.at(next(r for r in patio.runs if r.name == thing.run), thing.along, thing.back)
    for n, run in enumerate(patio.runs):
        local = (here - walk.start[run.name]) / walk.ahead[run.name]
        before = patio.runs[n - 1].corner if n else None
        low = -patio.depth if before == "inside" else 0.0
        high = run.length + (patio.depth if run.corner == "inside" else 0.0)
        if low - TOUCH <= local.real <= high + TOUCH and -TOUCH <= local.imag <= patio.depth + TOUCH:
            return True
    return False


def box_distance(point: complex, middle: complex, ahead: complex, half: tuple[float, float]) -> float:
    local = (point - middle) / ahead
    return abs(complex(max(abs(local.real) - half[0], 0.0), max(abs(local.imag) - half[1], 0.0)))


def covered(patio: Patio, n: int) -> tuple[float, float]:
    """From where to where, walked, the members of run n lie: corner squares belong to one run each."""
    run, low, high = patio.runs[n], 0.0, patio.runs[n].length
    if n and patio.runs[n - 1].corner:
        owner = patio.runs[n - 1].framing.covers_corner
        if patio.runs[n - 1].corner == "inside":
            low = 0.0 if owner else -patio.depth
        else:
            low = patio.depth if owner else 0.0
    if run.corner == "inside" and run.framing.covers_corner:
        high += patio.depth
    if run.corner == "outside" and not run.framing.covers_corner:
        high -= patio.depth
    return low, high


def under(patio: Patio, n: int, walked: float) -> bool:
    """Whether run n has lid there: on it, or on the square round an inside corner."""
    run = patio.runs[n]
    low = -patio.depth if n and patio.runs[n - 1].corner == "inside" else 0.0
    high = run.length + (patio.depth if run.corner == "inside" else 0.0)
    return low - TOUCH <= walked <= high + TOUCH


Board = tuple[complex, complex, tuple[float, float], str]


def boards_of(patio: Patio, walk: Walk) -> list[Board]:
    """Every piece of wood as (middle, direction, half sizes, name)."""
    out: list[Board] = []
    for n, run in enumerate(patio.runs):
        f, (low, high) = run.framing, covered(patio, n)
        start, ahead = walk.start[run.name], walk.ahead[run.name]
        centres = list(f.centres)
        if f.spacing and f.first is not None:
            centres = [f.first + k * f.spacing for k in range(-400, 400)]
            centres = [c for c in centres if c >= f.first - 1e-9 or c < -1e-9]
        for c in centres:
            if f.lies == "along":
                if 0 <= c <= patio.depth:
                    middle = start + ahead * ((low + high) / 2 + 1j * c)
                    out.append((middle, ahead, ((high - low) / 2, f.width / 2), f"{run.name} board"))
                continue
            walked = c if run.datum.end == "start" else run.length - c
            if under(patio, n, walked) if f.centres else low - 1e-9 <= walked <= high + 1e-9:
                middle = start + ahead * (walked + 1j * patio.depth / 2)
                out.append((middle, ahead, (f.width / 2, patio.depth / 2), f"{run.name} board"))
        beam = patio.edge_beam.width
        if beam:
            middle = start + ahead * (run.length + 1j * beam) / 2
            out.append((middle, ahead, (run.length / 2, beam / 2), "edge beam"))
    return out


def nearest_wood(patio: Patio, mark: Mark) -> float:
    """From the edge of a mark's hole to the nearest piece of wood stated anywhere, infinite without any."""
    walk = Walk(patio)
    here = walk.at(next(r for r in patio.runs if r.name == mark.run), mark.along, mark.back)
    far = (box_distance(here, middle, ahead, half) for middle, ahead, half, _ in boards_of(patio, walk))
    return min(far, default=float("inf")) - patio.marks.hole / 2


def broken_rules(patio: Patio, layout: Layout, fixed: bool = False) -> list[tuple[str, str, str]]:
    """Every (rule, mark, against) that a drilled hole would break, fixed marks left out unless asked for."""
    walk, want = Walk(patio), patio.marks
    by_name = {r.name: r for r in patio.runs}
    boards = boards_of(patio, walk)
    out = []
    for mark in layout.marks:
        if (mark.locked or mark.drilled) and not fixed:
            continue
        here = walk.at(by_name[mark.run], mark.along, mark.back)
        for middle, ahead, half, name in boards:
            if box_distance(here, middle, ahead, half) < want.hole / 2 + want.clear_of_members - TOUCH:
                out.append(("member", mark.name, name))
        for run in patio.runs:
            for joint in run.joints:
                middle = walk.at(run, joint.along, patio.depth / 2)
                if box_distance(here, middle, walk.ahead[run.name], (0, patio.depth / 2)) < (
                    want.clear_of_joints - TOUCH
                ):
                    out.append(("joint", mark.name, joint.name))
        for o in patio.obstacles:
            middle = walk.at(by_name[o.run], o.along, o.back)
            if o.kind == "fan":
                if abs(here - middle) < o.size[0] / 2 + o.clearance - TOUCH:
                    out.append(("sweep", mark.name, o.name))
            elif o.kind not in ("grill", "door glass"):
                ahead, half = walk.ahead[o.run], (o.size[0] / 2, o.size[1] / 2)
                if box_distance(here, middle, ahead, half) < want.hole / 2 - TOUCH:
                    out.append(("body", mark.name, o.name))
    return out


def within_clearance(patio: Patio, layout: Layout) -> dict[str, set[str]]:
    """Obstacle -> marks inside its judgement clearance."""
    walk = Walk(patio)
    by_name = {r.name: r for r in patio.runs}
    out: dict[str, set[str]] = {}
    for o in patio.obstacles:
        if o.kind == "fan":
            continue
        middle = walk.at(by_name[o.run], o.along, o.back)
        half = (0.0, 0.0) if o.kind == "light" else (o.size[0] / 2, o.size[1] / 2)
        for mark in layout.marks:
            here = walk.at(by_name[mark.run], mark.along, mark.back)
            if box_distance(here, middle, walk.ahead[o.run], half) < o.clearance - TOUCH:
                out.setdefault(o.name, set()).add(mark.name)
    return out


def bad_spacing(patio: Patio, layout: Layout) -> list[str]:
    """Gaps along the tube outside closest to widest (blocked stretches apart) and marks in a setback."""
    want = patio.marks
    unit = 0.0254 if abs(0.0254 / want.grid - round(0.0254 / want.grid)) < 1e-6 else 0.025
    setback = {"wall": want.from_wall, "open": 6 * unit, "corner": 6 * unit}
    lines = {r.name: r for r in layout.lid.runs}
    out = []
    before: tuple[str, float] | None = None
    for n, run in enumerate(patio.runs):
        back = lines[run.name].back
        start, end = 0.0, run.length
        if n and patio.runs[n - 1].corner:
            other = lines[patio.runs[n - 1].name].back
            start = -other if patio.runs[n - 1].corner == "inside" else other
        if run.corner:
            other = lines[patio.runs[n + 1].name].back
            end += other if run.corner == "inside" else -other
        walked = sorted(
            ((m.along if run.datum.end == "start" else run.length - m.along), m.name)
            for m in layout.marks
            if m.run == run.name
        )
        stretches = [
            tuple(sorted(x if run.datum.end == "start" else run.length - x for x in (b.start, b.end)))
            for b in layout.blocked
            if b.run == run.name
        ]
        if not walked:
            before = None
            continue
        for (a, _), (b, name) in pairwise(walked):
            over = any(s >= a - want.grid and e <= b + want.grid for s, e in stretches)
            if b - a < want.closest - TOUCH or (b - a > want.widest + TOUCH and not over):
                out.append(f"{name}: gap {b - a:.4f}")
        ends = ((run.starts_at, walked[0][0] - start), (run.ends_at, end - walked[-1][0]))
        out += [f"{run.name} {k}: {d:.4f}" for k, d in ends if d < setback[k] - TOUCH]
        if before is not None:
            gap = before[1] + walked[0][0] - start
            cut = any(s <= start + TOUCH for s, _ in stretches) or before[0] == "cut"
            if gap < want.closest - TOUCH or (gap > want.widest + TOUCH and not cut):
                out.append(f"{run.name} corner: {gap:.4f}")
        before = ("cut" if any(e >= end - TOUCH for _, e in stretches) else "", end - walked[-1][0])
        assert back > 0
    return out
