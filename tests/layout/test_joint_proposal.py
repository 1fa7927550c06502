"""Joints proposed with the marks: on the demo by hand, on random lids against the limits and a shortest path.

Limits: ASTM C1063 as quoted in the trade (100 sq ft, 18 ft, 2.5 to 1), typed here again.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from scipy.sparse import csr_matrix
from scipy.sparse.csgraph import dijkstra

from mistcalc import design, layout
from mistcalc.model.project import Patio
from mistcalc.model.run_extents import lid_along
from mistcalc.words import say
from tests.layout import random_lids
from tests.layout.lids import IN, courtyard, joists, patio, rules, run

SQ_FT = 144.0  # sq in


SEEDS = [  # the demo is laid in the quick run, the rest of them in a run of their own
    pytest.param(seed, marks=pytest.mark.thorough if seed < 12 else pytest.mark.long) for seed in range(48)
]


def asked(lid: Patio, keep: bool = False) -> Patio:
    """The lid with no joint stated, asking for them."""
    runs = lid.runs if keep else tuple(replace(run, joints=()) for run in lid.runs)
    return replace(lid, runs=runs, plaster=replace(lid.plaster, joints="propose"))


def fits(side: float, depth: float) -> bool:
    """In inches."""
    low, high = sorted((side, depth))
    return low * high <= 100 * SQ_FT + 1e-3 and high <= 216 + 1e-5 and high <= 2.5 * low + 1e-5


def panels(laid) -> list[tuple[float, float]]:
    return [(area / IN**2, ratio) for _, area, ratio in laid.panels]


@pytest.mark.thorough
def test_the_demo_is_within_limits_on_joists_but_for_one_block():
    laid, findings = design.lay(asked(courtyard()))
    plain, _ = design.lay(asked(courtyard()) and replace(courtyard(), runs=asked(courtyard()).runs))
    assert [m.along for m in laid.marks] == [m.along for m in plain.marks]  # the best row stays
    on = {(j.run, j.joint.name): (j.joint.along / IN, j.joint.on) for j in laid.lid.joints}
    assert [name for _, name in on] == [f"J{n}" for n in range(1, 11)]  # in the order of runs and tape
    for (run_name, _), (along, where) in on.items():
        assert where == "blocking" or round((along - 15.25) / 16, 6) % 1 == 0
        assert where == "member" or run_name == "B"
    # Run B, 21 ft at 13 ft deep: pieces of 62.4 to 92.3 in. On joists the first is at 63.25 or 79.25, the
    # next 64 or 80 on, at 159.25 at most, and that leaves 92.75: one block.
    blocks = [along for (run, _), (along, where) in on.items() if run == "B" and where == "blocking"]
    assert blocks[-1] == pytest.approx(252) and len(blocks) == 2  # where the framing turns, and one more
    assert all(area <= 100 * SQ_FT + 1e-3 and ratio <= 2.5 + 1e-6 for area, ratio in panels(laid))
    (told,) = [f for f in findings if f.code == "joints-proposed"]
    assert told.value("count") == 10 and told.value("blocked") == ("J9", "J10") and "J9 and J10" in say(told)
    assert not [f for f in findings if f.code.startswith(("panel-", "joint-", "joints-un"))]


def test_what_is_stated_stays_and_only_the_rest_is_filled():
    lid = courtyard()
    stated = replace(lid, runs=(replace(lid.runs[0], joints=lid.runs[0].joints[:2]), lid.runs[1]))
    laid, _ = design.lay(asked(stated, keep=True))
    names = [j.joint.name for j in laid.lid.joints if j.run == "A"]
    assert names[:2] == ["J1", "J2"] and len(set(names)) == len(names)
    kept = {j.joint.name: j.joint.along for j in laid.lid.joints}
    assert all(kept[j.name] == j.along for j in stated.runs[0].joints)
    assert {j.joint.name for j in laid.lid.joints if j.run == "B"} == {"BJ9", "BJ10", "J8"}
    whole, findings = design.lay(asked(lid, keep=True))
    assert whole.lid.joints == design.lay(lid)[0].lid.joints  # nothing to fill
    assert not [f for f in findings if f.code == "joints-proposed"]


def test_a_file_that_asks_for_nothing_is_laid_as_it_was():
    lid = replace(courtyard(), runs=asked(courtyard()).runs)
    assert layout.with_proposed_joints(lid) is lid
    bare = replace(asked(lid), plaster=replace(lid.plaster, system="none", joints="propose"))
    assert layout.with_proposed_joints(bare) is bare


def test_a_ceiling_too_deep_for_joints_across_is_left_and_told():
    """Past 15.8 ft no strip is within both area and ratio: 100 / d < d / 2.5."""
    deep = asked(patio((run("A", 600, framing=joists(15.25, 16)),), depth=17 * 12))
    laid, findings = design.lay(deep)
    assert not laid.lid.joints and [f for f in findings if f.code == "joints-unstated"]


def lid_of(seed: int) -> Patio:
    draw = np.random.default_rng(seed)
    depth = float(draw.integers(36, 188))
    spacing = float(draw.choice([12, 16, 19.2, 24]))
    first = float(draw.integers(20, 8 * 24)) / 8
    framing = joists(min(first, spacing), spacing)
    marks = rules(pitch=float(draw.choice([20, 24, 30])))
    length = float(draw.integers(8 * 60, 8 * 720)) / 8
    if draw.random() < 0.4:
        other = float(draw.integers(120, 480))
        corner = str(draw.choice(["inside", "outside"]))
        covers = replace(framing, covers_corner=bool(draw.random() < 0.5))
        runs = (
            run("A", max(length, depth + 24), ("wall", "corner"), corner, "start", covers),  # type: ignore[arg-type]
            run("B", max(other, depth + 24), ("corner", "wall"), None, "end", framing),
        )
    else:
        runs = (run("A", length, datum=str(draw.choice(["start", "end"])), framing=framing),)  # type: ignore[arg-type]
    return asked(patio(runs, marks=marks, depth=depth))


@pytest.mark.parametrize("seed", SEEDS)
def test_panels_of_random_lids(seed):
    lid = lid_of(seed)
    laid, _ = design.lay(lid)
    depth, clear = lid.depth / IN, lid.marks.clear_of_joints / IN
    least, most = depth / 2.5, min(100 * SQ_FT / depth, 216, 2.5 * depth)
    whole = {
        name: sum(b - a for other, a, b in laid.panel_spans if other == name) / IN
        for name, _, _ in laid.panel_spans
    }
    for (name, start, end), (_, area, _) in zip(laid.panel_spans, laid.panels, strict=True):
        side, length = (end - start) / IN, whole[name]
        assert area / IN**2 == pytest.approx(side * depth)
        if any(n * least + 1 <= length <= n * most - 1 for n in range(1, 99)):  # with an inch to spare
            assert fits(side, depth), name
        elif length > least:  # no number of panels comes out: none is past its limits by much
            assert least / 1.12 < side < most * 1.12
    for line in laid.lid.joints:
        beside = [abs(m.along - line.joint.along) / IN for m in laid.marks if m.run == line.run]
        assert min(beside, default=clear) >= clear - 1e-6
        across = [m.along for m in laid.lid.members if m.run == line.run and m.along is not None]
        if line.joint.on == "member":
            assert min(abs(a - line.joint.along) for a in across) < 1e-6
    assert not [c for c in laid.clashes if c.rule == "joint"]


FIVES = [pytest.param(n, marks=pytest.mark.long if n else pytest.mark.thorough) for n in range(0, 200, 5)]


@pytest.mark.parametrize("first", FIVES)
def test_no_joint_is_proposed_off_the_ceiling_or_off_its_member(first):
    """Of lids as builders bring them, either way of the tape: inside the ceiling, and what is said to lie on
    a member lies on one, or goes across members that lie along the run."""
    found = 0
    for seed in range(first, first + 5):
        lid = asked(random_lids.lid(seed))
        laid, _ = design.lay(lid)
        for line in laid.lid.joints:
            low, high = lid_along(lid, lid.number_of(line.run))
            assert low + 0.01 < line.joint.along < high - 0.01, (seed, line.run, line.joint)
            wood = [member for member in laid.lid.members if member.run == line.run]
            on = (m.along is None or abs(m.along - line.joint.along) <= m.width / 2 + 1e-6 for m in wood)
            assert line.joint.on == "blocking" or any(on), (seed, line.run, line.joint)
            found += 1
    assert found > 5


@pytest.mark.parametrize("seed", SEEDS)
def test_no_fewer_blocks_would_do_round_the_same_marks(seed):
    """A graph of every place a joint may stand, an edge where a panel between two is within its limits and of
    weight 1 where the second is no joist: its shortest path by scipy has the fewest blocks."""
    lid = lid_of(seed)
    laid, _ = design.lay(lid)
    depth, clear = lid.depth / IN, lid.marks.clear_of_joints / IN
    for name in {span[0] for span in laid.panel_spans}:
        spans = [(a / IN, b / IN) for run_name, a, b in laid.panel_spans if run_name == name]
        low, high = min(a for a, _ in spans), max(b for _, b in spans)
        joints = [j.joint for j in laid.lid.joints if j.run == name and low < j.joint.along / IN - 0.1]
        inner = [j for j in joints if j.along / IN < high - 0.1]
        if fits(high - low, depth) or not inner:
            continue
        marks = [m.along / IN for m in laid.marks if m.run == name]
        wood = [m.along / IN for m in laid.lid.members if m.run == name and m.along is not None]
        free = [x for x in wood if low < x < high and all(abs(x - m) >= clear - 1e-6 for m in marks)]
        bay = [
            x for x in np.arange(np.ceil(low), np.floor(high) + 1, 0.5)
            if all(abs(x - w) > 0.25 for w in wood) and all(abs(x - m) >= clear - 1e-6 for m in marks)
        ]  # fmt: skip
        blocks = ((float(x), 1) for x in bay if low < x < high)
        nodes = sorted([(low, 0), *((x, 0) for x in free), *blocks, (high, 0)])
        graph = np.zeros((len(nodes), len(nodes)))
        for i, (a, _) in enumerate(nodes):
            for j in range(i + 1, len(nodes)):
                if fits(nodes[j][0] - a, depth):
                    graph[i, j] = 1.0 * nodes[j][1] + 1e-6
        fewest = float(dijkstra(csr_matrix(graph), indices=0)[-1])
        if np.isfinite(fewest):  # else no number of panels comes out
            assert sum(j.on == "blocking" for j in inner) <= round(fewest)


@pytest.mark.thorough
def test_joints_are_in_the_order_of_the_tape_and_apart():
    for seed in range(6):
        laid, _ = design.lay(lid_of(seed))
        for name in {j.run for j in laid.lid.joints}:
            alongs = [j.joint.along for j in laid.lid.joints if j.run == name]
            assert alongs == sorted(alongs) and all(b - a > 0.05 for a, b in pairwise(alongs))


def test_a_ring_has_a_joint_where_its_last_run_meets_the_first() -> None:
    """All other corners had theirs, and `check` asked for the one the proposal had left out."""
    lengths = {"A": 36 * 12, "B": 24 * 12, "C": 36 * 12, "D": 24 * 12}
    runs = tuple(
        replace(run(name, long, framing=joists(15.25, 16)), corner="inside") for name, long in lengths.items()
    )
    laid, findings = design.lay(asked(patio(runs)))
    assert len(laid.lid.loops) == 2
    assert not [finding for finding in findings if finding.code == "joint-missing"]
    low, high = np.min(laid.lid.outline, axis=0), np.max(laid.lid.outline, axis=0)
    for joint in laid.lid.joints:  # none outside the ceiling
        assert np.all(np.array(joint.line) >= low - 1e-6) and np.all(np.array(joint.line) <= high + 1e-6)
