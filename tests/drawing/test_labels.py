"""Label placer: nothing overlaps, order is kept, and the cost is that of isotonic regression.

With nothing blocked, least sum of squared moves under "each at least d after the last" is the isotonic
regression of axes[i] - i d (substitution of variables; Best and Chakravarti 1990, Math. Programming 47,
425-439, treat it as such a projection). SciPy's pool-adjacent-violators is the authority here.
"""

from __future__ import annotations

from itertools import combinations, pairwise, product

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.optimize import isotonic_regression

from mistcalc.drawing.boxes import Box
from mistcalc.drawing.labels import (
    FULL,
    GAP,
    LIMIT,
    SHORT,
    SYMBOL_GAP,
    TEXT_GAP,
    LabelExtent,
    Tag,
    fits,
    place_ladder,
    place_tags,
    spread,
)

APART = FULL.size + GAP
FREE = (-1000.0, 1000.0)
pitches = st.lists(st.floats(3.0, 30.0), min_size=1, max_size=40)


def check(axes, at, block, bounds=FREE, blocked=()):
    assert len(at) == len(axes)
    assert all(b - a >= block.size + GAP - 1e-6 for a, b in pairwise(at))  # in order, and apart
    assert all(abs(a - b) <= LIMIT + 1e-6 for a, b in zip(axes, at, strict=True))
    for place in at:
        low, high = place - block.before, place + block.after
        assert low >= bounds[0] - 1e-6 and high <= bounds[1] + 1e-6
        assert all(high <= start + 1e-6 or low >= end - 1e-6 for start, end in blocked)


@given(pitches)
def test_cost_is_that_of_isotonic_regression_where_nothing_is_blocked(gaps):
    axes = np.cumsum(gaps)
    steps = APART * np.arange(len(axes))
    best = isotonic_regression(axes - steps).x + steps
    at = spread(axes, FULL, FREE)
    if np.abs(best - axes).max() > LIMIT:
        return  # the limit binds: the regression does not know it
    assert at is not None
    check(axes, at, FULL)
    cost, least = np.sum((np.array(at) - axes) ** 2), np.sum((best - axes) ** 2)
    # 0.01 mm is the finest grid: each label may miss its best place by that much and, in a crowd, by the
    # sum of the roundings of those before it
    slack = 0.01 * len(axes) * (1.0 + 2.0 * np.abs(best - axes).sum())
    assert least - 1e-9 <= cost <= least + slack and cost <= 1.02 * least + 0.01


@given(pitches, st.lists(st.tuples(st.floats(0.0, 300.0), st.floats(0.5, 15.0)), max_size=5))
def test_labels_keep_order_and_out_of_blocked_stretches(gaps, stretches):
    axes = np.cumsum(gaps)
    blocked = [(start, start + size) for start, size in stretches]
    bounds = (0.0, float(axes[-1]) + 8.0)
    at = spread(axes, FULL, bounds, blocked)
    assume(at is not None)
    check(axes, at, FULL, bounds, blocked)


@settings(max_examples=40, deadline=None)
@given(st.lists(st.integers(2, 40), min_size=1, max_size=3), st.integers(0, 60), st.integers(1, 30))
def test_blocked_stretches_cost_no_more_than_trying_every_combination(gaps, start, size):
    """Against all combinations of places 0.25 mm apart, up to three labels and one blocked stretch."""
    axes = np.cumsum(gaps).astype(float)
    block = LabelExtent(2.0, 3.0)
    moves = np.arange(-48, 49) * 0.25
    grid = np.meshgrid(*(axis + moves for axis in axes), indexing="ij")
    good = np.ones(grid[0].shape, bool)
    for at in grid:
        good &= (at + block.after <= start) | (at - block.before >= start + size)
    for before, after in pairwise(grid):
        good &= after - before >= block.size + GAP
    cost = sum((at - axis) ** 2 for at, axis in zip(grid, axes, strict=True))
    found = spread(tuple(axes), block, FREE, [(float(start), float(start + size))])
    assert (found is not None) == bool(good.any())
    if found is not None:
        least = float(cost[good].min())
        ours = np.array(found) - axes
        check(axes, found, block, FREE, [(float(start), float(start + size))])
        # ours may win by what the coarse grid loses: 0.25 mm a label, more in a crowd of three
        assert least - 3 * np.sum(2 * 0.25 * np.abs(ours) + 0.25**2) <= np.sum(ours**2) <= least + 1e-9


def test_nothing_moves_where_all_fit():
    axes = [19.05 + 12.7 * i for i in range(18)]  # 24 in at 1:48
    ladder = place_ladder(axes, (0.0, 260.0))
    assert ladder.how == "axis" and ladder.at == tuple(axes)
    assert fits(axes, FULL, (0.0, 260.0))


def test_the_ways_out_come_in_their_order():
    def how(pitch, count=20):
        axes = [30.0 + pitch * i for i in range(count)]
        return place_ladder(axes, (0.0, 60.0 + pitch * count)).how

    assert how(9.7) == "axis"
    assert how(9.0) == "moved"  # 20 labels, 0.7 short each: the outermost move 6.65
    assert how(7.0) == "short"
    assert how(3.0) == "tiers"
    assert how(0.5) == "names"


@given(st.floats(2.5, 4.7), st.integers(2, 60))
def test_two_tiers_let_the_far_lines_pass(pitch, count):
    axes = [10.0 + pitch * i for i in range(count)]
    ladder = place_ladder(axes, (0.0, 20.0 + pitch * count))
    assume(ladder.how == "tiers")
    near = [place for place, tier in zip(ladder.at, ladder.tier, strict=True) if tier == 0]
    far = [place for place, tier in zip(ladder.at, ladder.tier, strict=True) if tier == 1]
    check(axes[::2], near, SHORT)
    check(axes[1::2], far, SHORT)
    for place, axis in product(near, axes[1::2]):
        assert (
            place + SHORT.after <= axis - SYMBOL_GAP + 1e-6
            or place - SHORT.before >= axis + SYMBOL_GAP - 1e-6
        )


spots = st.tuples(st.floats(20.0, 330.0), st.floats(20.0, 240.0))
tags = st.lists(
    st.builds(Tag, spots, st.floats(1.5, 16.0), st.floats(5.0, 35.0), st.floats(3.0, 12.0)), max_size=25
)
boxes = st.lists(
    st.builds(
        lambda at, w, h: Box(at[0], at[1], at[0] + w, at[1] + h),
        spots,
        st.floats(1.0, 90.0),
        st.floats(1.0, 20.0),
    ),
    max_size=25,
)


@settings(deadline=None)
@given(tags, boxes, boxes)
def test_tags_never_meet_a_symbol_a_label_or_each_other(wanted, solid, written):
    zone = Box(0.0, 0.0, 348.0, 260.0)
    solid = [*solid, *(Box(*t.center, *t.center).grown(t.reach * 0.7) for t in wanted)]
    placed = [place for place in place_tags(wanted, zone, solid, written) if place is not None]
    for place in placed:
        assert zone.holds(place.box)
        assert not any(place.box.meets(other, SYMBOL_GAP - 1e-6) for other in solid)
        assert not any(place.box.meets(other, TEXT_GAP - 1e-6) for other in written)
    assert not any(a.box.meets(b.box, TEXT_GAP - 1e-6) for a, b in combinations(placed, 2))


def test_a_tag_stands_on_the_nearest_free_side():
    tag = Tag((100.0, 100.0), 2.0, 20.0, 5.0)
    zone = Box(0.0, 0.0, 348.0, 260.0)
    first = place_tags([tag], zone)[0]
    assert first is not None and first.align == "left" and first.box.left == pytest.approx(103.2)
    east_taken = [Box(103.0, 90.0, 140.0, 110.0)]
    second = place_tags([tag], zone, east_taken)[0]
    assert second is not None and second.align == "right" and second.box.right == pytest.approx(96.8)
    assert place_tags([tag], zone, [Box(50.0, 50.0, 150.0, 150.0)]) == [None]
