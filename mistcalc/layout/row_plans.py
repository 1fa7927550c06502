"""Every row of a patio, each laid by the same rules: the first rows of all runs, then the second ones.

Second rows of runs that follow each other are one row round the corners, as the first ones are. Where the
run round a corner has none, a second row ends: at an inside corner where the first tube turns, at an outside
one as far from the other run's tube as it lies behind its own. Rows are not staggered on purpose: each is
laid by the same rules from the same datum (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from mistcalc.layout.geometry import Plan
from mistcalc.layout.row_search import RowLayout, lay_row
from mistcalc.layout.run_frames import RunFrame, line_back
from mistcalc.model.earlier_set import EarlierMark
from mistcalc.model.lid_heights import run_heights
from mistcalc.model.project import Patio, Run
from mistcalc.model.run_extents import corners, spreads, tube_reach

LaidRow = tuple[Plan, RowLayout]


def lay_rows(plan: Plan, earlier: Sequence[EarlierMark] = ()) -> list[LaidRow]:
    """The first row with the plan it lies on, then the second ones, each with its own."""
    return [(each, lay_row(each, earlier)) for each in (plan, *second_plans(plan))]


def second_plans(plan: Plan) -> Iterator[Plan]:
    """The plan as second rows find it, for each stretch of runs that have one: their tubes are at the second
    row's place, and the patio is of those runs alone."""
    for chain in _chains(plan.patio):
        frames, runs = [], []
        for n in chain:
            frames.append(_frame(plan, n))
            runs.append(frames[-1].run)
        if len(chain) < len(plan.patio.runs) or not plan.patio.is_ring:
            runs = [_cut(run, n == 0, n == len(runs) - 1) for n, run in enumerate(runs)]
            frames = [replace(frame, run=run) for frame, run in zip(frames, runs, strict=True)]
        height = run_heights(plan.patio)[chain[0]][0]
        yield replace(plan, patio=replace(plan.patio, runs=tuple(runs), height=height), bands=tuple(frames))


def _chains(patio: Patio) -> list[list[int]]:
    """Numbers of runs that follow each other and have a second row. Of a ring the first follows the last."""
    chains: list[list[int]] = []
    for n, run in enumerate(patio.runs):
        if run.second_row is not None:
            if chains and chains[-1][-1] == n - 1:
                chains[-1].append(n)
            else:
                chains.append([n])
    if patio.is_ring and len(chains) > 1 and chains[0][0] == 0 and chains[-1][-1] == len(patio.runs) - 1:
        chains = [chains[-1] + chains[0], *chains[1:-1]]
    return chains


def _frame(plan: Plan, n: int) -> RunFrame:
    band = plan.bands[n]
    row, back = band.run.rows[1], _back(plan, n)
    beside = [_beside(plan, n, other % len(plan.bands), corner) for other, corner in
              ((n - 1, corners(plan.patio, n)[0]), (n + 1, corners(plan.patio, n)[1]))]  # fmt: skip
    tube = tube_reach(row.length, spreads(plan.patio, n), (beside[0], beside[1]))
    return replace(band, run=row, back=back, tube=tube, edge=band)


def _back(plan: Plan, n: int) -> float:
    row = plan.patio.runs[n].second_row
    assert row is not None
    return line_back(plan.patio, n, plan.tape, row.back)


def _beside(plan: Plan, n: int, other: int, corner: object) -> float:
    """How far behind its edge the run round a corner is to be met."""
    if plan.patio.runs[other].second_row is not None:
        return _back(plan, other)
    first = plan.bands[other].back
    return first if corner == "inside" else first + _back(plan, n) - plan.bands[n].back


def _cut(run: Run, first: bool, last: bool) -> Run:
    """A run of a stretch that does not close: its row ends in the open where another run has none."""
    if first and run.starts_at == "corner":
        run = replace(run, starts_at="open")
    if last:
        run = replace(run, ends_at="open" if run.ends_at == "corner" else run.ends_at, corner=None)
    return run
