"""300 random lids: no hard rule broken, the pitch kept, nothing ragged, judged from the raw numbers.

The rules claim this for 300 lids; `raw.py` reads the lid by its own geometry.
"""

from __future__ import annotations

import itertools
from collections import Counter
from dataclasses import replace

import pytest

from mistcalc import units
from mistcalc.layout import lay
from tests.layout.lids import IN
from tests.layout.random_lids import lid
from tests.layout.raw import bad_spacing, broken_rules, within_clearance

pytestmark = pytest.mark.thorough

LIDS = 300


@pytest.fixture(scope="module")
def laid() -> list:
    return [(seed, patio, lay(patio)) for seed, patio in ((s, lid(s)) for s in range(LIDS))]


def test_no_hard_rule_is_broken(laid: list) -> None:
    for seed, patio, layout in laid:
        assert layout.pattern != "broken", seed
        assert broken_rules(patio, layout) == [], seed
        assert bad_spacing(patio, layout) == [], seed
        assert not any(c.hard for c in layout.clashes), seed


def test_marks_do_not_hang_on_whether_moves_are_looked_for(laid: list) -> None:
    looked_for = 0
    for seed, patio, layout in laid[::3]:
        quick = lay(patio, fixes=False)
        assert quick.fixes == () and replace(layout, fixes=()) == quick, seed
        looked_for += bool(layout.fixes)
    assert looked_for > 0


def test_the_trial_can_fail(laid: list) -> None:
    """A mark pushed onto the next joist is found by the independent reading, and by the layout's own."""
    seen = 0
    for _, patio, layout in laid[:40]:
        mark = next((m for m in layout.marks if m.near == "member"), None)
        if mark is not None:
            wrong = replace(mark, along=mark.along - mark.near_offset)
            moved = replace(layout, marks=(wrong,))
            assert broken_rules(patio, moved)
            seen += 1
    assert seen > 20


def test_all_patterns_come_up(laid: list) -> None:
    count = Counter(layout.pattern for _, _, layout in laid)
    assert all(count[p] > 0 for p in ("equal", "own", "regular", "jogged")), count
    assert count["equal"] > LIDS / 2, count


def test_no_nozzle_in_step_is_left_out_beside_a_blocked_stretch(laid: list) -> None:
    """One pitch on from the last mark, short of the stretch, a hole would break a rule. (Nine lids left
    fifteen such places bare.)"""
    seen = 0
    for seed, patio, layout in laid:
        if layout.pattern != "equal":
            continue
        for stretch in layout.blocked:
            here = sorted((m for m in layout.marks if m.run == stretch.run), key=lambda m: m.along)
            before = [m for m in here if m.along <= stretch.start + 1e-6]
            after = [m for m in here if m.along >= stretch.end - 1e-6]
            nearest = [(m, m.along + layout.pitch) for m in before[-1:]]
            nearest += [(m, m.along - layout.pitch) for m in after[:1]]
            for mark, along in nearest:
                seen += 1
                if along <= stretch.start + 1e-6 or along >= stretch.end - 1e-6:
                    one_more = replace(layout, marks=(replace(mark, along=along),))
                    assert broken_rules(patio, one_more), (seed, mark.name)
    assert seen > 50


def test_pitch_is_kept_within_an_eighth(laid: list) -> None:
    for seed, patio, layout in laid:
        wanted = patio.marks.pitch
        assert abs(layout.pitch - wanted) <= wanted / 8 + 1e-9, seed
        if layout.pattern in ("equal", "own", "regular"):
            slack = 0.5 * IN if layout.pattern == "regular" else 0.0
            for _, gaps in layout.gaps:
                for gap in gaps:
                    if gap <= patio.marks.widest + 1e-9:
                        assert abs(gap - wanted) <= wanted / 8 + slack + 1e-9, (seed, gap / IN)


def test_equal_means_equal(laid: list) -> None:
    for seed, patio, layout in laid:
        if layout.pattern == "equal":
            gaps = [g for _, some in layout.gaps for g in some if g <= patio.marks.widest + 1e-9]
            assert all(abs(g - layout.pitch) < 1e-9 for g in gaps), seed


def test_nothing_is_ragged(laid: list) -> None:
    for seed, patio, layout in laid:
        for mark in layout.marks:
            steps = mark.along / patio.marks.grid
            assert abs(steps - round(steps)) < 1e-6, (seed, mark.name)
            # to the last digit: what a file is told of it is what a tape reads, no 27.999999999999998 in
            assert mark.along == units.parse(units.tape(mark.along, "us", "words"), "length"), (seed, mark)


def test_a_metric_mark_lies_where_a_metric_tape_reads(laid: list) -> None:
    for seed, patio, _ in laid[::10]:
        for mark in lay(replace(patio, marks=replace(patio.marks, grid=0.005))).marks:
            assert mark.along == round(mark.along * 1000) / 1000, (seed, mark.name)


def test_names_run_along_the_tape(laid: list) -> None:
    for seed, patio, layout in laid:
        for run in patio.runs:
            here = [m for m in layout.marks if m.run == run.name]
            assert [m.name for m in here] == [f"{run.name}{n}" for n in range(1, len(here) + 1)], seed
            assert all(a.along < b.along for a, b in itertools.pairwise(here)), seed


def test_clearance_warnings_are_the_raw_ones(laid: list) -> None:
    for seed, patio, layout in laid:
        found: dict[str, set[str]] = {}
        for clash in layout.clashes:
            if clash.rule == "clearance":
                found.setdefault(clash.against, set()).add(clash.mark)
        assert found == within_clearance(patio, layout), seed
