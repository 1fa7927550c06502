"""What a layout changes of the set of sheets before it, and why each mark that moved could not stay."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

import numpy as np

from mistcalc.layout.geometry import Plan, plan_of
from mistcalc.layout.row_plans import second_plans
from mistcalc.layout.run_frames import NEAR, RunFrame
from mistcalc.layout.run_grid import Rules, rules_of
from mistcalc.model.earlier_set import EarlierMark, EarlierSet, LidThing
from mistcalc.model.practice import BAY
from mistcalc.model.project import Patio
from mistcalc.model.results import Clash, Layout, Mark, MarkChange, ThingChange, things_of


def changes_since(
    before: EarlierSet, patio: Patio, laid: Layout
) -> tuple[tuple[MarkChange, ...], tuple[ThingChange, ...]]:
    """Marks and things of one patio that stand elsewhere than the set before had them."""
    old_things = [thing for thing in before.things or () if thing.patio == patio.name]
    things = _moved_things(old_things, things_of(patio, laid)) if before.things is not None else ()
    old = [mark for mark in before.marks if mark.patio == patio.name]
    plan = plan_of(_with_joints(patio, laid))
    ground = _Ground(plan, laid, rules_of(plan), things)
    there = {mark.name: mark for mark in laid.marks}
    changes = [change for mark in old if (change := ground.change(mark, there.get(mark.name))) is not None]
    known = {mark.name for mark in old}
    changes += [ground.added(mark) for mark in laid.marks if mark.name not in known]
    order = {row.name: n for n, row in enumerate(patio.rows)}
    last = len(order)
    changes.sort(key=lambda c: (order.get(c.run, last), c.was if c.now is None else c.now))
    return tuple(changes), things


def _with_joints(patio: Patio, laid: Layout) -> Patio:
    """The patio with the joints it was laid with, those proposed among them."""
    joints = {run.name: tuple(j.joint for j in laid.lid.joints if j.run == run.name) for run in patio.runs}
    return replace(patio, runs=tuple(replace(run, joints=joints[run.name]) for run in patio.runs))


# ------------------------------------------------------------------ marks


class _Ground:
    """A patio as it is now, with what asks why a mark is where it is."""

    def __init__(self, plan: Plan, laid: Layout, rules: Rules, things: Sequence[ThingChange]) -> None:
        self.plan, self.laid, self.rules, self.things = plan, laid, rules, things
        self.bands = {band.run.name: band for each in (plan, *second_plans(plan)) for band in each.bands}
        self.hit = {clash.mark: clash for clash in laid.clashes if clash.hard}

    def change(self, old: EarlierMark, now: Mark | None) -> MarkChange | None:
        """None: it stands."""
        band = self.bands.get(old.run)
        moved = now is None or now.run != old.run or abs(now.along - old.along) > NEAR
        shifted = now is not None and old.back is not None and abs(now.back - old.back) > NEAR
        if not moved and not shifted:
            return None
        change = MarkChange(
            old.name, old.patio, old.run, old.along, now.along if now is not None else None, "run",
            drilled=now is not None and now.drilled, clear=None if now is None else now.member_clear,
        )  # fmt: skip
        if band is None:
            return change
        if now is not None and (now.drilled or now.locked):
            return self._stays(change, now)
        if not moved:
            return replace(change, why="line", cause=self._cause("run", band.run.name, old.along))
        return self._off_its_place(change, band, old)

    def added(self, mark: Mark) -> MarkChange:
        change = MarkChange(
            mark.name, mark.patio, mark.run, None, mark.along, "added", mark.drilled, clear=mark.member_clear,
            cause=self._cause("run", mark.run, mark.along),
        )  # fmt: skip
        return self._stays(change, mark) if mark.drilled or mark.locked else change

    def _stays(self, change: MarkChange, now: Mark) -> MarkChange:
        """Of a mark that somebody drilled, or fixed."""
        if not now.drilled:
            return replace(change, why="fixed")
        clash = self.hit.get(now.name)
        if clash is None:
            return replace(change, why="drilled")
        on = {"member": "member", "joint": "joint"}.get(clash.rule, "thing")
        return replace(self._hits(change, clash, now.along), why=f"drilled on {on}")  # type: ignore[arg-type]

    def _off_its_place(self, change: MarkChange, band: RunFrame, old: EarlierMark) -> MarkChange:
        """Of a mark that was laid elsewhere: what would be wrong at its old place."""
        sigma = band.sigma(old.along)
        point = np.array(band.point(sigma, band.back))
        worst: Clash | None = None
        for keepout in (k for k in self.plan.keepouts if k.hard):
            room = float(keepout.ground.distance(point[:1], point[1:])[0]) - keepout.offset
            need = keepout.reach - keepout.offset
            if room < need - NEAR and (worst is None or room - need < worst.provided - worst.required):
                worst = Clash(keepout.rule, True, old.name, keepout.name, room, need)  # type: ignore[arg-type]
        if worst is not None:
            return self._hits(replace(change, why=worst.rule), worst, old.along)  # type: ignore[arg-type]
        step = self.rules.step
        for kind, room in (
            (band.run.starts_at, sigma - band.tube[0]),
            (band.run.ends_at, band.tube[1] - sigma),
        ):
            need = self.rules.setback(kind) * step
            if room < need - NEAR:
                cause = self._cause("run", band.run.name, old.along)
                return replace(change, why="end", against=kind, provided=room, required=need, cause=cause)
        return self._crowded(change, band, old)

    def _crowded(self, change: MarkChange, band: RunFrame, old: EarlierMark) -> MarkChange:
        """The mark that stands too near the old place, else the nearest that would be too far from it."""
        step = self.rules.step
        others = [m for m in self.laid.marks if m.name != old.name and m.run == old.run]
        if not others:
            return replace(change, why="end", against=band.run.ends_at, provided=0.0, required=0.0)
        next_to = min(others, key=lambda m: abs(m.along - old.along))
        gap, closest = abs(next_to.along - old.along), self.rules.closest * step
        if gap < closest - NEAR:
            return replace(change, why="close", against=next_to.name, provided=gap, required=closest)
        sides = [[m for m in others if (m.along > old.along) is after] for after in (False, True)]
        far = max(
            (min(side, key=lambda m: abs(m.along - old.along)) for side in sides if side),
            key=lambda m: abs(m.along - old.along),
        )
        gap = abs(far.along - old.along)
        return replace(change, why="wide", against=far.name, provided=gap, required=self.rules.widest * step)

    def _hits(self, change: MarkChange, clash: Clash, along: float) -> MarkChange:
        name = "" if clash.rule == "member" else clash.against
        cause = self._cause("member" if clash.rule == "member" else name, change.run, along)
        return replace(change, against=name, provided=clash.provided, required=clash.required, cause=cause)

    def _cause(self, what: str, run: str, along: float) -> ThingChange | None:
        """What moved: a run, the member nearest a place, else the thing or joint of a name."""
        if what in ("run", "member"):
            same = [t for t in self.things if t.kind == what and t.run == run and t.now is not None]
            if what == "member":
                same = [t for t in same if t.now is not None and abs(t.now - along) <= BAY / 4]
        else:
            same = [t for t in self.things if t.name == what and t.kind not in ("run", "member")]
        return min(same, key=lambda t: abs((t.now or 0.0) - along), default=None)


# ------------------------------------------------------------------ things


def _moved_things(old: Iterable[LidThing], new: Iterable[LidThing]) -> tuple[ThingChange, ...]:
    """What stands elsewhere, in the order it is now told, what is gone behind it."""
    before: dict[tuple[str, str, str], list[LidThing]] = {}
    for thing in old:
        before.setdefault((thing.kind, thing.run, thing.name), []).append(thing)
    now: dict[tuple[str, str, str], list[LidThing]] = {}
    for thing in new:
        now.setdefault((thing.kind, thing.run, thing.name), []).append(thing)
    out: list[ThingChange] = []
    for key in (*now, *(key for key in before if key not in now)):
        out += _pairs(before.get(key, []), now.get(key, []))
    return tuple(out)


def _pairs(old: list[LidThing], new: list[LidThing]) -> list[ThingChange]:
    """Things of one name, members of one run: each that moved with the nearest that stood within half a
    bay."""
    left = [o for o in old if not any(_same(o, n) for n in new)]
    fresh = [n for n in new if not any(_same(o, n) for o in old)]
    out: list[ThingChange] = []
    for thing in fresh:
        reach = BAY / 2 if thing.kind == "member" else float("inf")
        near = [o for o in left if abs(o.along - thing.along) <= reach]
        was = min(near, key=lambda o: abs(o.along - thing.along), default=None)
        if was is not None:
            left.remove(was)
        place, back = (None, None) if was is None else (was.along, was.back)
        what = (thing.kind, thing.patio, thing.run, thing.name)
        out.append(ThingChange(*what, place, thing.along, back, thing.back))
    out += [ThingChange(o.kind, o.patio, o.run, o.name, o.along, None, o.back, None) for o in left]
    return out


def _same(one: LidThing, other: LidThing) -> bool:
    back = abs(one.back - other.back) if one.back is not None and other.back is not None else 0.0
    return abs(one.along - other.along) <= NEAR and back <= NEAR
