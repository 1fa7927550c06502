"""Which row: the ladder of pitches and the five patterns, first that holds wins.

equal, own, regular, jogged, broken: docs/decisions/0001-marks-ladder.md has the rules in words.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from mistcalc.layout import uneven_ring, uneven_rows
from mistcalc.layout.equal_rows import lattices, marks_of
from mistcalc.layout.geometry import Plan
from mistcalc.layout.join_segments import Rank, best_row
from mistcalc.layout.run_grid import BlockedTube, RowSegment, Rules, RunGrid, pieces, rules_of, strip_of
from mistcalc.layout.search_order import SearchOrder
from mistcalc.model.earlier_set import EarlierMark
from mistcalc.model.practice import MOST_MARKS

PATTERNS = ("equal", "own", "regular", "jogged", "broken")
LONGEST_LADDER = 41
NO_FAULT = (0, 0, 0, 0)  # of a row's gaps, as its weights count them
MOST_PLACES = 400_000  # grid steps of tube looked at: over 1 km in eighths of an inch


@dataclass(frozen=True, eq=False)
class MarkRow:
    """The marks chosen: indices by strip number, in tube order."""

    pattern: str
    pitch: int
    marks: dict[int, np.ndarray]
    gone: list[BlockedTube]
    held: dict[int, dict[int, EarlierMark]] = field(default_factory=dict)  # by strip and index: where it was


@dataclass(frozen=True, eq=False)
class RowLayout:
    """A row with the strips it lies on. `too_large`: not laid at all."""

    row: MarkRow
    strips: list[RunGrid]
    rules: Rules
    too_large: bool = False


def lay_row(plan: Plan, earlier: Sequence[EarlierMark] = ()) -> RowLayout:
    """The row for a patio in plan, laid afresh or, given marks of an earlier set, laid again on their
    places."""
    rules = rules_of(plan)
    tube = sum(max(0.0, high - low) for low, high in (b.tube for b in plan.bands)) / rules.step
    if tube / rules.pitch > MOST_MARKS or tube > MOST_PLACES:
        return RowLayout(MarkRow("broken", rules.pitch, {}, []), [], rules, too_large=True)
    strips = [strip_of(plan, n, rules, band.run.fixed) for n, band in enumerate(plan.bands)]
    order = SearchOrder.of(strips, plan.patio)
    old = {s.number: here for s in order.strips if (here := [m for m in earlier if m.run == s.band.run.name])}
    row = lay_again(order.strips, rules, old) if old else None
    return RowLayout(_in_plan(row or search(order.strips, rules), order), strips, rules)


def _in_plan(row: MarkRow, order: SearchOrder) -> MarkRow:
    """The row found, told by the strips of the plan."""
    return replace(
        row,
        marks={order.number(n): order.marks(n, some) for n, some in row.marks.items()},
        gone=order.blocked(row.gone),
        held={
            order.number(n): {order.index(n, i): m for i, m in there.items()} for n, there in row.held.items()
        },
    )


def pitches_to_try(rules: Rules) -> list[int]:
    """Pitches to try: the one wanted; whole units; then 1/2 in (10 mm) steps. Within an eighth of it and
    closest to widest; nearest first, the smaller on ties."""
    wanted = rules.pitch
    low, high = max(wanted - wanted / 8, rules.closest), min(wanted + wanted / 8, rules.widest)
    fine = 0.0127 / rules.step if rules.imperial else 0.010 / rules.step
    out = [wanted]
    for rung in (rules.unit, fine):
        near = {
            round(k * rung)
            for k in range(int(low / rung), int(high / rung) + 2)
            if abs(k * rung - round(k * rung)) < 1e-6
        }
        steps = [p for p in near if low - 1e-9 <= p <= high + 1e-9 and p not in out]
        out += sorted(steps, key=lambda p: (abs(p - wanted), p))
    return out[:LONGEST_LADDER]


def search(strips: list[RunGrid], rules: Rules) -> MarkRow:
    """The best row, runs too short to carry one left empty where they spoil it."""
    row = _search(strips, rules, frozenset())
    if row.pattern == "equal":
        return row
    too_short = _too_short(strips, rules)
    if too_short and len(too_short) < len(strips):
        without = _search(strips, rules, too_short)
        if PATTERNS.index(without.pattern) < PATTERNS.index(row.pattern):
            return without
    return row


def _too_short(strips: list[RunGrid], rules: Rules) -> frozenset[int]:
    """Runs too short to need a mark, and without one fixed on them."""
    least = rules.pitch + rules.from_wall - 1e-6
    return frozenset(s.number for s in strips if s.band.run.length / rules.step < least and not s.fixed)


def _search(strips: list[RunGrid], rules: Rules, skip: frozenset[int]) -> MarkRow:
    chain, gone = pieces(strips, rules, skip)
    if not chain:
        return MarkRow("broken", rules.pitch, {}, gone)
    for attempt in (_equal, _own, _by_gaps):
        row = attempt(chain, gone, rules)
        if row is not None:
            return row
    return _broken(chain, gone, rules)


def _row(
    pattern: str,
    chain: list[RowSegment],
    pitches: list[int],
    marks: list[np.ndarray],
    gone: list[BlockedTube],
) -> MarkRow:
    by_strip: dict[int, np.ndarray] = {}
    for piece, some in zip(chain, marks, strict=True):
        n = piece.strip.number
        by_strip[n] = np.concatenate([by_strip[n], some]) if n in by_strip else some
    return MarkRow(pattern, pitches[0], by_strip, gone)


def _equal(chain: list[RowSegment], gone: list[BlockedTube], rules: Rules) -> MarkRow | None:
    """One pitch on every run, each its own start: the whole ladder, then again loose."""
    for loose in (False, True):
        for pitch in pitches_to_try(rules):
            pitches = [pitch] * len(chain)
            best = best_row(chain, pitches, loose, rules)
            if best is not None:
                return _row("equal", chain, pitches, marks_of(best[0], pitches), gone)
    return None


def _own(chain: list[RowSegment], gone: list[BlockedTube], rules: Rules) -> MarkRow | None:
    """Each run the first pitch that holds for it alone; two pitches at most."""
    runs = sorted({p.strip.number for p in chain})
    if len(runs) < 2:
        return None
    pitch_of_run: dict[int, int] = {}
    for n in runs:
        alone = [p for p in chain if p.strip.number == n]
        tries = ((pitch, loose) for loose in (False, True) for pitch in pitches_to_try(rules))
        first = next((p for p, loose in tries if _holds_alone(alone, p, loose, rules)), None)
        if first is None:
            return None
        pitch_of_run[n] = first
    if len(set(pitch_of_run.values())) > 2:
        return None
    pitches = [pitch_of_run[p.strip.number] for p in chain]
    for loose in (False, True):
        best = best_row(chain, pitches, loose, rules)
        if best is not None:
            return _row("own", chain, pitches, marks_of(best[0], pitches), gone)
    return None


def _holds_alone(alone: list[RowSegment], pitch: int, loose: bool, rules: Rules) -> bool:
    return all(lattices(piece, pitch, loose, rules) is not None for piece in alone)


def _by_gaps(chain: list[RowSegment], gone: list[BlockedTube], rules: Rules) -> MarkRow | None:
    """Regular (every gap within half a unit of one pitch), else jogged, by dynamic programming."""
    weights = uneven_rows.weights_for(chain, rules)
    if weights is None:
        return None
    for pattern, reach in (("regular", "half"), ("jogged", "eighth"), ("jogged", "any")):
        tasks = [
            uneven_rows.Task(pitch, *_gaps_allowed(pitch, reach, rules), weights, direct=reach == "any")
            for pitch in pitches_to_try(rules)
        ]
        tried: list[tuple[tuple[float, ...], int, list[np.ndarray]]] = []
        for least, task in _promising(chain, pattern, tasks, rules):
            if tried and least > min(tried)[0][:2]:
                break
            solution = _dp(chain, task, rules)
            if solution is not None:
                key = _gap_rank(pattern, weights.counts(solution[1]), task.pitch, rules)
                tried.append((key, task.pitch, solution[0]))
        if tried:
            _, pitch, marks = min(tried, key=lambda t: t[0])
            return _row(pattern, chain, [pitch] * len(chain), marks, gone)
    return None


def _promising(
    chain: list[RowSegment], pattern: str, tasks: list[uneven_rows.Task], rules: Rules
) -> list[tuple[tuple[float, ...], uneven_rows.Task]]:
    """The tasks with what their rank begins with at the least, the most promising first: so far from the
    pitch wanted; of a jogged ring more is worth knowing, for there a search costs many times its bound."""
    if pattern == "regular" or not uneven_ring.is_ring(chain):
        out = [(_gap_rank(pattern, NO_FAULT, task.pitch, rules)[:2], task) for task in tasks]
        return sorted(out, key=lambda pair: pair[0])
    out = []
    for task in tasks:
        bound = uneven_ring.ring_bound(chain, task, rules) if _within_work(chain, task) else None
        if bound is not None:
            counts = task.weights.counts(bound)
            out.append((_gap_rank(pattern, counts, task.pitch, rules)[:2], task))
    return sorted(out, key=lambda pair: pair[0])


def _gaps_allowed(pitch: int, reach: str, rules: Rules) -> tuple[int, int]:
    """Least and greatest gap. A row with every gap within p/8 beats any other, so it is looked for first:
    the search is the same and a third of the work."""
    if reach == "any":
        return rules.closest, rules.widest
    off = int(rules.unit / 2) if reach == "half" else pitch // 8
    return max(rules.closest, pitch - off), min(rules.widest, pitch + off)


def _gap_rank(pattern: str, counts: tuple[int, int, int, int], pitch: int, rules: Rules) -> tuple[float, ...]:
    """How rows of different pitches compare; the nearer pitch, then the smaller, on ties."""
    off, ragged, _, unequal = counts
    away = abs(pitch - rules.pitch)
    if pattern == "regular":
        return (unequal + 2 * away / rules.unit, away, pitch)
    return (off, ragged + away / (2 * rules.unit), unequal, away, pitch)


def _dp(chain: list[RowSegment], task: uneven_rows.Task, rules: Rules) -> tuple[list[np.ndarray], int] | None:
    search = uneven_ring.best_ring if uneven_ring.is_ring(chain) else uneven_rows.best_gaps
    return search(chain, task, rules) if _within_work(chain, task) else None


def _within_work(chain: list[RowSegment], task: uneven_rows.Task) -> bool:
    return uneven_rows.search_size(chain, task) <= uneven_rows.WORK


# ------------------------------------------------------------------ broken


def clashing_row(chain: list[RowSegment], rules: Rules) -> tuple[list[np.ndarray], Rank] | None:
    """The equal row at the pitch wanted with the fewest marks on what forbids them."""
    pitches = [rules.pitch] * len(chain)
    apart = [
        replace(p, left=_uncornered(p.left), right=_uncornered(p.right)) for p in chain
    ]  # corners given up
    for pieces_, loose in ((chain, False), (chain, True), (apart, True)):
        best = best_row(pieces_, pitches, loose, rules, clashing=True)
        if best is not None:
            return marks_of(best[0], pitches), best[1]
    return None


def _uncornered(side: str) -> str:
    return "block" if side == "corner" else side


def _broken(chain: list[RowSegment], gone: list[BlockedTube], rules: Rules) -> MarkRow:
    """Never "impossible": the row a crew would want, with what stops it; fixed marks stay in it."""
    wanted = clashing_row(chain, rules)
    marks = wanted[0] if wanted is not None else [np.array([p.a]) for p in chain]  # the first place there is
    merged = []
    for piece, some in zip(chain, marks, strict=True):
        fixed = np.array(piece.fixed, dtype=int)
        if len(fixed):
            far = np.abs(some[:, None] - fixed[None, :]).min(axis=1) >= rules.closest
            some = np.union1d(some[far], fixed)
        merged.append(some)
    return _row("broken", chain, [rules.pitch] * len(chain), merged, gone)


# ------------------------------------------------------------------ laid again


def lay_again(strips: list[RunGrid], rules: Rules, old: Mapping[int, list[EarlierMark]]) -> MarkRow | None:
    """The row before with as little changed as may be: fewest gaps outside the limits, most old places,
    fewest marks added, fewest gaps over an eighth off, least squares of steps and gaps. None where there is
    no place.
    """
    chain, gone = pieces(strips, rules, _too_short(strips, rules) - old.keys())
    if not chain:
        return None
    usual = _usual_pitch(old.values(), rules, rules.pitch)
    held = {s.number: _held(s, rules.step, old.get(s.number, [])) for s in strips}
    places = {s.number: _old_places(s, rules, old.get(s.number, []), held[s.number], usual) for s in strips}
    nothing = uneven_rows.Weights(0, 0, 0, 0, 0)
    for least, most in ((rules.closest, rules.widest), (max(1, rules.closest // 2), 2 * rules.widest)):
        task = uneven_rows.Task(usual, least, most, nothing, direct=True, old=places)
        task = replace(task, weights=uneven_rows.weights_laid_again(chain, task))
        if (solution := _dp(chain, task, rules)) is not None:
            break
    marks = (
        [_as_it_was(piece, held[piece.strip.number]) for piece in chain] if solution is None else solution[0]
    )
    off = max((abs(int(g) - usual) for mark in marks for g in np.diff(mark)), default=0)  # gaps within pieces
    pattern = "equal" if off == 0 else "regular" if off <= rules.unit / 2 else "jogged"
    row = _row(pattern, chain, [usual] * len(chain), marks, gone)
    there = {n: {i: held[n][i] for i in some.tolist() if i in held[n]} for n, some in row.marks.items()}
    return replace(row, held=there)


def _usual_pitch(rows: Iterable[list[EarlierMark]], rules: Rules, otherwise: int) -> int:
    """The gap that is found most often between marks of a row, of those a row may be tried with."""
    known = set(pitches_to_try(rules))
    steps = (np.diff(np.sort([round(mark.along / rules.step) for mark in row])) for row in rows)
    gaps = Counter(int(gap) for some in steps for gap in some if gap in known)
    return gaps.most_common(1)[0][0] if gaps else otherwise


def _held(strip: RunGrid, step: float, old: list[EarlierMark]) -> dict[int, EarlierMark]:
    """Marks whose old place is free, by index; one between two steps of the tape where both are."""
    out: dict[int, EarlierMark] = {}
    for mark in old:
        exact = strip.sense * (mark.along / step - strip.first)
        low, high = math.floor(exact + 1e-6), math.ceil(exact - 1e-6)
        if low >= 0 and high < strip.count and strip.free[low] and strip.free[high]:
            out.setdefault(round(exact), mark)
    return out


def _old_places(
    strip: RunGrid, rules: Rules, old: list[EarlierMark], held: Iterable[int], usual: int
) -> uneven_rows.OldPlaces:
    pitch = _usual_pitch([old], rules, usual)
    free = np.zeros(strip.count, dtype=bool)
    free[list(held)] = True
    away = np.full(strip.count, pitch // 2)
    index = np.arange(strip.count)
    for mark in old:
        at = strip.sense * (round(mark.along / rules.step) - strip.first)
        near = slice(max(0, at - pitch // 2), max(0, at + pitch // 2 + 1))
        away[near] = np.minimum(away[near], np.abs(index[near] - at))
    return uneven_rows.OldPlaces(pitch, free, away)


def _as_it_was(piece: RowSegment, held: Iterable[int]) -> np.ndarray:
    """Old places that are free, and fixed marks, where no row can be laid round them."""
    return np.array(sorted({*piece.fixed, *(i for i in held if piece.a <= i <= piece.b)}), dtype=int)
