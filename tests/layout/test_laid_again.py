"""A row laid again on the places of an earlier set: what is drilled and what is still legal stays.

Against plain enumeration of every row of small tapes, against an integer programme (HiGHS) on longer ones,
and on 300 random lids by an exchange: no mark that moved could have stayed.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import islice, pairwise

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array

from mistcalc.layout import lay
from mistcalc.layout.geometry import plan_of
from mistcalc.layout.row_search import lay_again
from mistcalc.layout.run_grid import RowSegment, Rules, RunGrid, pieces, rules_of, strip_of
from mistcalc.model.earlier_set import EarlierMark, next_letter
from mistcalc.model.project import FixedMark, Patio
from mistcalc.model.results import Layout
from tests.layout import random_lids
from tests.layout.lids import IN, joists, patio, rules, run, thing
from tests.layout.raw import broken_rules
from tests.layout.test_exact import MOST_ROWS, WALL, joined_rows, small_lid

STEP_OVER_GAP = 16  # a step off the old place against a gap as uneven
LIDS = [range(150), pytest.param(range(150, 500), marks=pytest.mark.long)]
Cost = tuple[int, int, int, int]


def earlier_of(layout) -> tuple[EarlierMark, ...]:  # type: ignore[no-untyped-def]
    return tuple(EarlierMark(m.name, m.run, m.along) for m in layout.marks)


# ------------------------------------------------------------------ in words


@dataclass(frozen=True)
class Before:
    """Old marks of a strip: exact index of each, and the pitch found most often between them."""

    places: tuple[int, ...]
    pitch: int


def legal(strip: RunGrid, before: Before) -> set[int]:
    return {i for i in before.places if 0 <= i < strip.count and strip.free[i]}


def away(index: int, before: Before) -> int:
    return min([abs(index - old) for old in before.places] + [before.pitch // 2])


def cost_of(chain: list[RowSegment], row: list[tuple[int, ...]], before: dict[int, Before]) -> Cost:
    """Old places not held; marks added; gaps > p/8 off; steps and gaps squared."""
    lost = sum(
        len(legal(p.strip, before[p.strip.number])) for p in {p.strip.number: p for p in chain}.values()
    )
    added = off = squares = 0
    for piece, one in zip(chain, row, strict=True):
        old = before[piece.strip.number]
        for i in one:
            if i in legal(piece.strip, old):
                lost -= 1
                continue
            step = away(i, old)
            added += step == old.pitch // 2
            squares += STEP_OVER_GAP * step**2
        for a, b in pairwise(one):
            off += abs(b - a - old.pitch) > old.pitch / 8
            squares += (b - a - old.pitch) ** 2
    return lost, added, off, squares


def ends_hold(piece: RowSegment, side: str, index: int, pitch: int) -> bool:
    """A mark no farther from an end than its target and one pitch; from a block, than one and a half."""
    strip, kind = piece.strip, piece.left if side == "left" else piece.right
    if kind == "corner":
        return True
    if kind == "block":
        return (index - piece.a if side == "left" else piece.b - index) <= 1.5 * pitch
    end = strip.band.run.starts_at if side == "left" else strip.band.run.ends_at
    target = max(WALL * 2 if end == "wall" else 12, pitch / 2)
    distance = float(strip.from_start(index) if side == "left" else strip.from_end(index))
    return distance <= target + pitch + 1e-6


def rows_of_piece(piece: RowSegment, pitch: int, want: Rules) -> Iterator[tuple[int, ...]]:
    free = [i for i in range(piece.a, piece.b + 1) if piece.strip.free[i]]
    fixed = set(piece.fixed)

    def grow(row: tuple[int, ...]) -> Iterator[tuple[int, ...]]:
        if fixed <= set(row) and ends_hold(piece, "right", row[-1], pitch):
            yield row
        for i in free:
            if want.closest <= i - row[-1] <= want.widest and not any(row[-1] < f < i for f in fixed):
                yield from grow((*row, i))

    for i in free:
        if ends_hold(piece, "left", i, pitch):
            yield from grow((i,))


def whole_rows(
    chain: list[RowSegment], before: dict[int, Before], want: Rules
) -> Iterator[list[tuple[int, ...]]]:
    return joined_rows(
        chain, [list(rows_of_piece(p, before[p.strip.number].pitch, want)) for p in chain], want
    )


def small_case(seed: int, corner: bool) -> tuple[list[RowSegment], Rules, dict[int, list[EarlierMark]]]:
    """A small lid and a row that stood there before: its places some 12 in apart, now and then one off."""
    chain, want = small_lid(seed, corner)
    draw = random.Random(seed)
    old: dict[int, list[EarlierMark]] = {}
    for strip in {piece.strip.number: piece.strip for piece in chain}.values():
        at, marks = draw.randint(10, 20), []
        while at < strip.count + 10:
            along = float(strip.along_steps(at)) * want.step
            marks.append(EarlierMark(f"{strip.band.run.name}{len(marks) + 1}", strip.band.run.name, along))
            at += 24 + draw.choice((0, 0, 0, 0, 5, -4))  # outside what a pitch may be: 24 is the usual one
        old[strip.number] = marks
    return chain, want, old


def before_of(
    strips: list[RunGrid], old: dict[int, list[EarlierMark]], want: Rules, pitch: int
) -> dict[int, Before]:
    out = {}
    for strip in strips:
        places = [strip.sense * (round(m.along / want.step) - strip.first) for m in old[strip.number]]
        out[strip.number] = Before(tuple(places), pitch)
    return out


@pytest.mark.thorough
@pytest.mark.parametrize("corner", [False, True])
def test_no_row_holds_more_against_enumeration(corner: bool) -> None:
    tried = 0
    for seed in range(60):
        chain, want, old = small_case(seed, corner)
        strips = list({piece.strip.number: piece.strip for piece in chain}.values())
        before = before_of(strips, old, want, 24)
        if not chain or len(strips) < 1 + corner:
            continue
        rows = list(islice(whole_rows(chain, before, want), MOST_ROWS))
        if len(rows) == MOST_ROWS or not rows:
            continue
        best = min(cost_of(chain, row, before) for row in rows)
        again = lay_again(strips, want, old)
        assert again is not None and again.pitch == 24
        laid = [tuple(i for i in again.marks[p.strip.number].tolist() if p.a <= i <= p.b) for p in chain]
        assert cost_of(chain, laid, before) == best, seed
        tried += 1
    assert tried > 12


# ------------------------------------------------------------------ an integer programme


def programme(piece: RowSegment, before: Before, want: Rules) -> Cost:
    """The least cost of a row of one piece: which gaps are taken, as 0 and 1."""
    free = [i for i in range(piece.a, piece.b + 1) if piece.strip.free[i]]
    number = {i: n for n, i in enumerate(free)}
    fixed = set(piece.fixed)
    arcs = [(-1, i) for i in free if ends_hold(piece, "left", i, before.pitch)]
    arcs += [(i, -2) for i in free if ends_hold(piece, "right", i, before.pitch)]
    arcs += [
        (i, j) for i in free for j in range(i + want.closest, i + want.widest + 1)
        if j in number and not any(i < f < j for f in fixed)
    ]  # fmt: skip
    rows, columns, signs = [], [], []
    for k, (i, j) in enumerate(arcs):
        for node, sign in ((i, -1), (j, 1)):
            if node in number:
                rows.append(number[node]), columns.append(k), signs.append(sign)
    count = len(arcs)
    flow = LinearConstraint(coo_array((signs, (rows, columns)), shape=(len(free), count)).tocsr(), 0, 0)
    starts = np.array([[float(i == -1) for i, _ in arcs]])
    limits = [flow, LinearConstraint(starts, 1, 1)]
    limits += [LinearConstraint(np.array([[float(j == f) for _, j in arcs]]), 1, 1) for f in fixed]
    held = legal(piece.strip, before)
    weighs = (10**10, 10**8, 10**6, 1)  # no row of these has a hundred marks, or squares of 10**6
    costs = []
    for i, j in arcs:
        terms = [0, 0, 0, 0]
        if j in number:
            step = away(j, before)
            terms[0] = -int(j in held)
            terms[1] = int(j not in held and step == before.pitch // 2)
            terms[3] = 0 if j in held else STEP_OVER_GAP * step**2
        if i >= 0 and j >= 0:
            terms[2] = int(abs(j - i - before.pitch) > before.pitch / 8)
            terms[3] += (j - i - before.pitch) ** 2
        costs.append(terms)
    objective = np.array(costs, dtype=float) @ np.array(weighs, dtype=float)
    solved = milp(objective, constraints=limits, integrality=np.ones(count), bounds=Bounds(0, 1))
    assert solved.status == 0, solved.message
    taken = np.flatnonzero(solved.x > 0.5)
    lost, added, off, squares = (int(total) for total in np.array(costs)[taken].sum(axis=0))
    return lost + len(held), added, off, squares


@pytest.mark.thorough
def test_no_row_holds_more_against_an_integer_programme() -> None:
    tried = 0
    for seed in range(40):
        draw = random.Random(seed)
        first, spacing, length = (
            draw.choice((7, 11.5, 15.25)),
            draw.choice((14, 16, 19.25)),
            draw.randint(180, 320),
        )
        hole = (FixedMark("A4", draw.randint(90, 110) * IN, drilled=True),)
        want = rules(grid=1, from_wall=WALL)
        frame = joists(first, spacing)
        ducts = tuple(
            thing(f"D{n}", "vent", "A", draw.randint(30, length - 30), 6, draw.choice((4, 8)))
            for n in range(2)
        )
        lid = patio((run("A", length, framing=frame, fixed=hole),), ducts, want)
        plan = plan_of(lid)
        in_steps = rules_of(plan)
        strip = strip_of(plan, 0, in_steps, hole)
        chain, _ = pieces([strip], in_steps)
        if len(chain) != 1:
            continue
        old = [EarlierMark(f"A{n}", "A", (18 + 24 * n) * IN) for n in range(1, length // 24) if n != 4]
        before = before_of([strip], {0: old}, in_steps, 24)[0]
        again = lay_again([strip], in_steps, {0: old})
        assert again is not None and again.pitch == 24
        laid = [tuple(again.marks[0].tolist())]
        assert cost_of(chain, laid, {0: before}) == programme(chain[0], before, in_steps), seed
        tried += 1
    assert tried > 5


# ------------------------------------------------------------------ random lids


def changed(seed: int) -> tuple[Patio, tuple[EarlierMark, ...], dict[str, float]]:
    """A random lid as built: joists found off, some holes drilled, some of them beside their marks. With it
    the marks of the set before, and where what is drilled was drilled."""
    lid, draw = random_lids.lid(seed), random.Random(seed)
    earlier = earlier_of(lay(lid))
    drilled = {
        m.name: m.along + (draw.randint(-24, 24) / 8 * IN if draw.random() < 0.3 else 0.0)
        for m in earlier if draw.random() < 0.2
    }  # fmt: skip
    runs = []
    for one in lid.runs:
        frame = one.framing
        if frame.as_framed:
            off = [draw.choice((-2, -1, 1, 2)) * IN if draw.random() < 0.2 else 0.0 for _ in frame.centres]
            frame = replace(
                frame, centres=tuple(sorted(c + o for c, o in zip(frame.centres, off, strict=True)))
            )
        elif draw.random() < 0.3 and frame.first is not None:
            frame = replace(frame, first=frame.first + draw.choice((-1, 0.5, 1, 2)) * IN)
        fixed = tuple(
            FixedMark(m.name, drilled[m.name], True)
            for m in earlier
            if m.run == one.name and m.name in drilled
        )
        runs.append(replace(one, framing=frame, fixed=fixed))
    return replace(lid, runs=tuple(runs)), earlier, drilled


@pytest.fixture(scope="module", params=LIDS, ids=["some", "more"])
def laid_again(request) -> list:
    out = []
    for seed in request.param:
        lid, earlier, drilled = changed(seed)
        out.append((seed, lid, earlier, drilled, lay(lid, earlier)))
    return out


@pytest.mark.thorough
def test_what_is_drilled_stays_and_a_name_is_one_hole(laid_again: list) -> None:
    for seed, _, earlier, drilled, layout in laid_again:
        there = {m.name: m for m in layout.marks}
        assert len(there) == len(layout.marks), seed
        for name, along in drilled.items():
            assert there[name].drilled and there[name].along == along, (seed, name)
        before = {m.name: m for m in earlier}
        pitch = {run.name: layout.pitch for run in layout.lid.runs}
        for name in before.keys() & there.keys():  # a name goes along half a pitch at most
            assert there[name].run == before[name].run
            if name not in drilled:
                assert abs(there[name].along - before[name].along) < pitch[before[name].run] / 2, (seed, name)


@pytest.mark.thorough
def test_no_mark_that_moved_could_have_stayed(laid_again: list) -> None:
    """Put back at its old place, alone, each would lie on what it must keep off, or too near or too far
    from its neighbors or its end."""
    moved = stood = 0
    for seed, lid, earlier, drilled, layout in laid_again:
        there = {m.name: m for m in layout.marks}
        for mark in earlier:
            now = there.get(mark.name)
            if mark.name in drilled or (now is not None and abs(now.along - mark.along) < 1e-9):
                stood += 1
                continue
            moved += 1
            put = next((m for m in layout.marks if m.run == mark.run), None)
            if put is None:
                continue
            back = replace(now or put, name="back", along=mark.along, drilled=False)
            others = [m for m in layout.marks if m is not now]
            alone = replace(layout, marks=(back,))
            off = [m.along - mark.along for m in others if m.run == mark.run]
            sides = [min([abs(d) for d in off if d * way > 0], default=None) for way in (-1, 1)]
            low, high = lid.marks.closest - 1e-6, lid.marks.widest + 1e-6
            fits = all(side is not None and low <= side <= high for side in sides)
            assert broken_rules(lid, alone) or not fits, (seed, mark.name)
    assert moved > 75 and stood > 20 * moved


def steps(before: Layout, after: Layout) -> dict[str, float]:
    """How far each mark that moved went along the tape, in inches."""
    old = {m.name: m.along for m in before.marks}
    return {m.name: (m.along - old[m.name]) / IN for m in after.marks if m.along != old[m.name]}


def test_a_hundred_feet_of_marks() -> None:
    """Sixty marks, one joist 2 in off, one hole 1-1/2 in off: what had to move is told, no more."""
    frame = joists(15.25, 16)
    lid = patio((run("A", 1474, framing=frame),))
    before = lay(lid)
    assert len(before.marks) == 60
    centres = [15.25 + 16 * n for n in range(90)]
    mark = before.marks[30]
    near = min(range(90), key=lambda n: abs(centres[n] - mark.along / IN))
    centres[near] = mark.along / IN
    frame = replace(frame, spacing=None, first=None, centres=tuple(c * IN for c in centres))
    drilled = FixedMark("A7", before.marks[6].along + 1.5 * IN, drilled=True)
    lid = replace(lid, runs=(replace(lid.runs[0], framing=frame, fixed=(drilled,)),))
    after = lay(lid, earlier_of(before))
    moved = steps(before, after)
    assert moved.keys() == {"A7", "A31"} and moved["A7"] == pytest.approx(1.5)
    assert abs(moved["A31"]) == pytest.approx(2)  # 3/4 in of wood, 1/2 in of hole, 3/4 in clear


# ------------------------------------------------------------------ single cases


def test_three_drilled_and_a_new_duct() -> None:
    """19'-3" between walls, 6 in duct at 10'-8": mark 5 alone moves, to 10'-4 1/2"."""
    lid = patio((run("A", 231),))
    before = lay(lid)
    fixed = tuple(FixedMark(m.name, m.along, True) for m in before.marks[:3])
    lid = patio((run("A", 231, fixed=fixed),), (thing("Duct", "vent", "A", 128, 6, 6),))
    after = lay(lid, earlier_of(before))
    assert [a.name for a in after.marks] == [b.name for b in before.marks]
    assert steps(before, after) == {"A5": pytest.approx(-2.5)}
    assert after.marks[4].along == pytest.approx(124.5 * IN)


def test_places_hold_where_a_run_grew_and_names_are_not_used_twice() -> None:
    first = lay(patio((run("A", 231),)))
    old = {m.name: m.along for m in first.marks}
    longer = lay(patio((run("A", 290),)), earlier_of(first))
    added = {"A9": 223 * IN, "A10": 247 * IN}  # in step with A8 at 16'-7"
    assert {m.name: m.along for m in longer.marks} == pytest.approx(old | added)
    shorter = lay(patio((run("A", 150),)), earlier_of(longer))
    assert {m.name: m.along for m in shorter.marks}.items() <= {m.name: m.along for m in longer.marks}.items()


def test_a_mark_of_another_tape_stays_where_it_was() -> None:
    """Laid in eighths of an inch, laid again on a metric tape: not a millimeter off."""
    lid = patio((run("A", 300, framing=joists(15.25, 16)),))
    before = lay(lid)
    metric = replace(lid, marks=replace(lid.marks, grid=0.005))
    assert [m.along for m in lay(metric, earlier_of(before)).marks] == [m.along for m in before.marks]


def test_drilled_far_off_the_row_moves_its_neighbors_and_no_more() -> None:
    """A hole 10 in off stands 14 in from the next mark, which must be 18 in away."""
    lid = patio((run("A", 300),))
    before = lay(lid)
    hole = FixedMark("A5", before.marks[4].along + 10 * IN, True)
    after = lay(patio((run("A", 300, fixed=(hole,)),)), earlier_of(before))
    assert steps(before, after) == {"A5": pytest.approx(10), "A6": pytest.approx(4)}


def test_the_next_letter() -> None:
    """ASME Y14.35: I, O, Q, S, X and Z are no revision letters; after Y comes AA."""
    assert [next_letter(one) for one in ("A", "H", "N", "P", "R", "W", "Y", "AA", "AY", "YY")] == [
        "B", "J", "P", "R", "T", "Y", "AA", "AB", "BA", "AAA",
    ]  # fmt: skip
    assert [next_letter(one) for one in ("0", "0-2", "b", "")] == ["0-2", "0-3", "b-2", "-2"]


def test_round_a_ring_one_hole_moves_one_mark() -> None:
    """A court closed on all four sides: the corner that closes it is kept like the others."""
    sides = tuple(
        run(name, length, ("corner", "corner"), "inside", "start", joists(15.25, 16))
        for name, length in zip("ABCD", (300, 210, 300, 210), strict=True)
    )
    ring = patio(sides, depth=120)
    before = lay(ring)
    assert steps(before, lay(ring, earlier_of(before))) == {}
    mark = before.marks[3]
    hole = FixedMark(mark.name, mark.along + 1.5 * IN, True)
    ring = replace(ring, runs=(replace(ring.runs[0], fixed=(hole,)), *ring.runs[1:]))
    assert steps(before, lay(ring, earlier_of(before))) == {mark.name: pytest.approx(1.5)}
