"""A ring of runs round a court or round a house: the search against every row there is, and against an
integer programme (HiGHS, through scipy) that knows nothing of tapes; and where the lid and its walls lie.

Small rings on a coarse metric tape: 50 mm a step, marks 600 mm apart, 450 to 900.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from itertools import pairwise

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array

from mistcalc import checks, layout
from mistcalc.layout import uneven_ring, uneven_rows
from mistcalc.layout.geometry import plan_of
from mistcalc.layout.join_segments import best_row
from mistcalc.layout.row_search import pitches_to_try
from mistcalc.layout.run_grid import RowSegment, Rules, pieces, rules_of, strip_of
from mistcalc.model.project import Patio
from tests.layout.lids import FT, IN, joists, patio, rules, run, thing

STEP = 50 / 25.4  # inches
P, CLOSEST, WIDEST = 12, 9, 18  # steps
UNIT = 0.5  # steps in 25 mm


def ring(draw: random.Random, steps: tuple[int, int], depth: float = 60) -> Patio:
    """Two lengths (in steps), four runs, each with its own tape and framing; ducts and lights."""
    turn = draw.choice(("inside", "outside"))
    sides = [steps[0] * STEP, steps[1] * STEP] * 2
    runs = tuple(
        run(name, side, ("corner", "corner"), turn, draw.choice(("start", "end")),
            joists(draw.choice((3, 5.5, 8)), draw.choice((14, 16, 23.5))))
        for name, side in zip("ABCD", sides, strict=True)
    )  # fmt: skip
    most = min(sides)
    things = [
        thing(f"L{n}", "light", draw.choice("ABCD"), draw.uniform(0, most), 9, 1, draw.choice((6, 9, 14)))
        for n in range(draw.randint(0, 3))
    ]
    things += [
        thing(f"V{n}", "vent", draw.choice("ABCD"), draw.uniform(0, most), 6, draw.choice((1, 4)))
        for n in range(draw.randint(0, 2))
    ]
    want = rules(pitch=P * STEP, closest=CLOSEST * STEP, widest=WIDEST * STEP, grid=STEP)
    return patio(runs, tuple(things), want, depth=depth, line=6, beam=0)


def chain_of(lid: Patio) -> tuple[list[RowSegment], Rules]:
    plan = plan_of(lid)
    want = rules_of(plan)
    return pieces([strip_of(plan, n, want, ()) for n in range(len(lid.runs))], want)[0], want


def closed_chains(sizes: range, seeds: int) -> Iterator[tuple[int, list[RowSegment], Rules]]:
    """Rings whose four corners all carry marks, with nothing blocked between."""
    for seed in range(seeds):
        draw = random.Random(seed)
        chain, want = chain_of(ring(draw, (draw.choice(sizes), draw.choice(sizes))))
        if len(chain) == 4 and all(piece.left == piece.right == "corner" for piece in chain):
            yield seed, chain, want


def reads(along: int, p: int) -> int:
    """Whole 100 mm under such a pitch, else 50 mm."""
    return 0 if along % 2 == 0 and p % 2 == 0 else 1


def corner_terms(
    before: RowSegment, last: int, after: RowSegment, first: int, p: int
) -> tuple[int, float] | None:
    gap = float(before.strip.from_end(last)) + float(after.strip.from_start(first))
    if not CLOSEST - 1e-9 <= gap <= WIDEST + 1e-9:
        return None
    return int(not p - 1e-9 <= gap <= 1.4 * p + 1e-9), ((gap - 1.2 * p) / p) ** 2


def free_places(piece: RowSegment) -> list[int]:
    return [i for i in range(piece.a, piece.b + 1) if piece.strip.free[i]]


# ------------------------------------------------------------------ equal rows, all of them


def lattices(piece: RowSegment, p: int) -> list[tuple[int, ...]]:
    free, out = set(free_places(piece)), []
    for first in sorted(free):
        row = (first,)
        while True:
            out.append(row)
            if row[-1] + p not in free:
                break
            row = (*row, row[-1] + p)
    return out


def equal_rank(chain: list[RowSegment], row: list[tuple[int, ...]], p: int) -> tuple[float, ...] | None:
    bad, misfit, spare, read, nearest = 0, 0.0, 0, 0, 0
    warm: set[str] = set()
    for n, (piece, marks) in enumerate(zip(chain, row, strict=True)):
        terms = corner_terms(chain[n - 1], row[n - 1][-1], piece, marks[0], p)
        if terms is None:
            return None
        bad, misfit = bad + terms[0], misfit + terms[1]
        warm |= {name for name, low, high in piece.strip.warm if any(low <= i <= high for i in marks)}
        spare += max(int(piece.strip.short[i]) for i in marks)
        along = [int(piece.strip.along_steps(i)) for i in marks]
        read, nearest = read + reads(min(along), p), nearest + min(along)
    return len(warm), bad, spare, read, misfit


@pytest.mark.thorough
def test_an_equal_ring_is_the_best_of_all() -> None:
    held = 0
    for seed, chain, want in closed_chains(range(22, 32), 24):
        for p in pitches_to_try(want)[:3]:
            every = [lattices(piece, p) for piece in chain]
            ranks = [
                rank
                for a in every[0] for b in every[1]
                if corner_terms(chain[0], a[-1], chain[1], b[0], p)
                for c in every[2]
                if corner_terms(chain[1], b[-1], chain[2], c[0], p)
                for d in every[3]
                if (rank := equal_rank(chain, [a, b, c, d], p))
            ]  # fmt: skip
            found = best_row(chain, [p] * 4, True, want)
            assert (found is not None) == bool(ranks), (seed, p)
            if found is not None:
                held += 1
                got = equal_rank(chain, [tuple(range(f, last + 1, p)) for f, last in found[0]], p)
                assert got is not None
                best = min(ranks)
                assert got[:4] == best[:4] and got[4] == pytest.approx(best[4], abs=2e-5), (seed, p)
    assert held > 20


# ------------------------------------------------------------------ uneven rows, by an integer programme


def programme(chain: list[RowSegment], p: int, gaps: range) -> tuple[float, ...] | None:
    """The least (off, ragged, not good, unequal, soft), one after the other: arcs from mark to mark within a
    run, and round each corner one; what comes to a place leaves it."""
    node = {(n, i): k for k, (n, i) in enumerate((n, i) for n, c in enumerate(chain) for i in free_places(c))}
    arcs: list[tuple[int, int, int, tuple[float, ...]]] = []  # from, to, corner or -1, costs
    for n, piece in enumerate(chain):
        for i in free_places(piece):
            warm = any(low <= i <= high for _, low, high in piece.strip.warm)
            own = 50 * warm + 10 * int(piece.strip.short[i]) + reads(int(piece.strip.along_steps(i)), p) - 1
            for g in gaps:
                if (n, i + g) in node:  # the cost of a place goes with the arc that leaves it
                    cost = (abs(g - p) > p / 8, abs(g - p) > UNIT / 2, 0, g != p, own + ((g - p) / UNIT) ** 2)
                    arcs.append((node[n, i], node[n, i + g], -1, cost))
            after = (n + 1) % len(chain)
            for j in free_places(chain[after]):
                terms = corner_terms(piece, i, chain[after], j, p)
                if terms is not None:
                    arcs.append((node[n, i], node[after, j], n, (0, 0, terms[0], 0, own + terms[1])))
    count = np.arange(len(arcs))
    start, end, corner = (np.array([arc[k] for arc in arcs]) for k in (0, 1, 2))
    costs = np.array([arc[3] for arc in arcs], dtype=float)
    ones = np.ones(len(arcs))
    balance = coo_array((np.r_[ones, -ones], (np.r_[start, end], np.r_[count, count])))
    rules_ = [LinearConstraint(balance.tocsc(), 0, 0)]
    rules_ += [LinearConstraint((corner == n).astype(float), 1, 1) for n in range(len(chain))]
    least = []
    for level in range(5):
        answer = milp(
            costs[:, level], constraints=rules_, integrality=np.ones(len(arcs)), bounds=Bounds(0, 1),
            options={"mip_rel_gap": 0.0},
        )  # fmt: skip
        if answer.x is None:
            return None
        least.append(float(answer.fun))
        rules_.append(LinearConstraint(costs[:, level], -np.inf, answer.fun + 1e-7))
    return tuple(least)


def gap_rank(chain: list[RowSegment], row: list[tuple[int, ...]], p: int) -> tuple[float, ...]:
    gaps = [b - a for one in row for a, b in pairwise(one)]
    soft, bad = sum(((g - p) / UNIT) ** 2 for g in gaps), 0
    for n, (piece, one) in enumerate(zip(chain, row, strict=True)):
        terms = corner_terms(chain[n - 1], row[n - 1][-1], piece, one[0], p)
        assert terms is not None
        bad, soft = bad + terms[0], soft + terms[1]
        for i in one:
            warm = any(low <= i <= high for _, low, high in piece.strip.warm)
            soft += 50 * warm + 10 * int(piece.strip.short[i]) + reads(int(piece.strip.along_steps(i)), p) - 1
    off, ragged = (sum(abs(g - p) > most for g in gaps) for most in (p / 8, UNIT / 2))
    return off, ragged, bad, sum(g != p for g in gaps), soft


@pytest.mark.thorough
def test_an_uneven_ring_is_as_good_as_an_integer_programme_finds() -> None:
    held = 0
    for seed, chain, want in closed_chains(range(20, 70), 26):
        p = random.Random(seed).choice(pitches_to_try(want))
        weights = uneven_rows.weights_for(chain, want)
        assert weights is not None
        task = uneven_rows.Task(p, CLOSEST, WIDEST, weights, direct=False)
        found, bound = uneven_ring.best_ring(chain, task, want), uneven_ring.ring_bound(chain, task, want)
        best = programme(chain, p, range(CLOSEST, WIDEST + 1))
        assert (found is None) == (best is None), seed
        if found is None or best is None:
            continue
        held += 1
        got = gap_rank(chain, [tuple(int(i) for i in one) for one in found[0]], p)
        assert got == pytest.approx(best, abs=1e-3), seed
        assert bound is not None and bound <= found[1]
    assert held > 10


# ------------------------------------------------------------------ the lid


def court(turn: str = "inside", depth: float = 96) -> Patio:
    runs = tuple(
        run(name, side, ("corner", "corner"), turn, framing=joists(15.25, 16))  # type: ignore[arg-type]
        for name, side in zip("ABCD", (480, 300, 480, 300), strict=True)
    )
    return patio(runs, depth=depth)


def test_a_court_has_lid_all_round_and_nothing_in_the_middle() -> None:
    lid = layout.lay(court())
    # 40 ft by 25 ft court, lid 8 ft deep: 56 x 41 less 40 x 25 ft
    assert lid.lid.area == pytest.approx((56 * 41 - 40 * 25) * FT**2)
    assert sum(area for _, area, _ in lid.panels) == pytest.approx(lid.lid.area)
    assert len(lid.lid.walls) == len(lid.lid.open_edges) == 4
    court_middle, past_corner = (20 * FT, -12.5 * FT), (-4 * FT, 4 * FT)
    assert not checks.lid.in_outline(court_middle, lid.lid.outline)
    assert checks.lid.in_outline(past_corner, lid.lid.outline)
    assert not checks.lid.crosses_itself(lid.lid.loops)


def test_a_porch_round_a_house_leaves_the_house_free() -> None:
    lid = layout.lay(court("outside"))
    assert lid.lid.area == pytest.approx((40 * 25 - 24 * 9) * FT**2)
    assert sum(area for _, area, _ in lid.panels) == pytest.approx(lid.lid.area)
    assert not checks.lid.in_outline((20 * FT, 12.5 * FT), lid.lid.outline)
    assert not checks.lid.crosses_itself(lid.lid.loops)


def test_a_porch_deeper_than_half_the_house_crosses_itself() -> None:
    assert checks.lid.crosses_itself(layout.lay(court("outside", depth=160)).lid.loops)


def test_every_corner_of_a_ring_is_judged_once_the_last_with_the_first() -> None:
    """The gap along the tube from D's last mark round to A's first is as the rules have it, and told of where
    it is not."""
    lid = layout.lay(court())
    assert lid.pattern == "equal"
    by_run = {name: [m for m in lid.marks if m.run == name] for name in "ABCD"}
    tube = {line.name: line.tube_length for line in lid.lid.runs}
    for before, after in ("AB", "BC", "CD", "DA"):
        gap = tube[before] - by_run[before][-1].tube_along + by_run[after][0].tube_along
        assert 18 * IN - 1e-9 <= gap <= 36 * IN + 1e-9
    assert not lid.clashes
