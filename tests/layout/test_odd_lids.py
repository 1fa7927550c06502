"""Random lids with slips in them: names that could be alike, fixed marks side by side, lists of joists with
holes and doubles, jogs, runs of inches. An answer with its findings, and nothing said of wood nobody stated.
"""

from __future__ import annotations

import itertools
import math
import statistics
from collections import Counter

import pytest

from mistcalc.checks import lid_findings
from mistcalc.checks.lid import framing_unknown
from mistcalc.layout import lay
from mistcalc.model.project import Patio
from mistcalc.model.results import Finding, Layout
from mistcalc.words import say
from tests.layout.random_lids import lid, odd_lid
from tests.layout.raw import broken_rules, covered, nearest_wood, under

pytestmark = pytest.mark.thorough

LIDS = 80
MANY = [range(LIDS), pytest.param(range(LIDS, 300), marks=pytest.mark.long)]
Laid = tuple[int, Patio, Layout, tuple[Finding, ...]]


@pytest.fixture(scope="module", params=MANY, ids=["some", "more"])
def laid(request) -> list[Laid]:
    out = []
    for seed in request.param:
        patio = odd_lid(seed)
        layout = lay(patio)
        out.append((seed, patio, layout, lid_findings(patio, layout)))
    return out


def test_the_slips_come_up(laid: list[Laid]) -> None:
    count = Counter(f.code for _, _, _, found in laid for f in found)
    for code in (
        "fixed-marks-as-one", "fixed-mark-off-line", "run-no-tube", "framing-part", "bay-wide", "joist-twice",
        "joist-out-of-order", "joist-beyond", "joists-overlap", "gap-too-close",
    ):  # fmt: skip
        assert count[code] > 3, (code, count)


def test_every_finding_has_its_sentence(laid: list[Laid]) -> None:
    for seed, _, _, found in laid:
        for finding in found:
            for units in ("us", "metric"):
                told = say(finding, units)  # type: ignore[arg-type]
                assert finding.code not in told and "nan" not in told, (seed, told)


def test_one_name_one_hole(laid: list[Laid]) -> None:
    for seed, patio, layout, _ in laid:
        assert len({mark.name for mark in layout.marks}) == len(layout.marks), seed
        for run in patio.runs:
            for mark in run.fixed:
                here = [m for m in layout.marks if m.name == mark.name]
                assert all(m.run == run.name and abs(m.along - mark.along) < 1e-9 for m in here), seed


def test_clashes_are_the_raw_ones(laid: list[Laid]) -> None:
    for seed, patio, layout, _ in laid:
        raw = {(rule, mark) for rule, mark, _ in broken_rules(patio, layout, fixed=True)}
        assert {(c.rule, c.mark) for c in layout.clashes if c.hard} == raw, seed


@pytest.mark.parametrize("make", [lid, odd_lid])
def test_room_to_the_wood_measured_from_every_board(make) -> None:
    """For every mark the distance to every member of the lid, by another geometry."""
    count = 0
    for seed in range(0, 150, 6):
        patio = make(seed)
        for mark in lay(patio).marks:
            raw = nearest_wood(patio, mark)
            assert (mark.member_clear is None) == math.isinf(raw), (seed, mark.name)
            if mark.member_clear is not None:
                assert mark.member_clear == pytest.approx(raw, abs=1e-7), (seed, mark.name)
                count += 1
    assert count > 500


def known(patio: Patio, n: int, along: float) -> bool:
    """In plain words: there is a joist listed on both sides, no farther apart than 1.6 usual bays; or beyond
    the last one the run's framing ends no farther than that."""
    run = patio.runs[n]
    walked = covered(patio, n)
    low, high = walked if run.datum.end == "start" else (run.length - walked[1], run.length - walked[0])
    listed = sorted(
        c for c in run.framing.centres if under(patio, n, c if run.datum.end == "start" else run.length - c)
    )
    every = sorted(run.framing.centres)
    gaps = [b - a for a, b in itertools.pairwise(every) if b - a > 1.5 * run.framing.width]
    most = 1.6 * statistics.median(gaps) + 1e-6 if gaps else 0.0
    if along <= listed[0]:
        return listed[0] - low <= most
    if along >= listed[-1]:
        return high - listed[-1] <= most
    return min(c for c in listed if c >= along) - max(c for c in listed if c <= along) <= most


def test_wood_is_only_said_to_be_missed_where_it_is_known(laid: list[Laid]) -> None:
    seen = Counter[bool]()
    for seed, patio, layout, found in laid:
        unknown = framing_unknown(found)
        for n, run in enumerate(patio.runs):
            for mark in layout.marks:
                if mark.run == run.name and run.framing.as_framed and run.framing.lies == "across":
                    sure = known(patio, n, mark.along)
                    assert (mark.name in unknown) == (not sure), (seed, mark.name)
                    seen[sure] += 1
    assert seen[True] > 150 and seen[False] > 50, seen
