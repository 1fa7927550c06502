"""Tube from the fewest lengths: against trying every way, and a published example; couplings by hand."""

from __future__ import annotations

import csv
import io
import itertools
import math
import re
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mistcalc import checks, design, files, units
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.exports.lists_csv import cuts_csv
from mistcalc.takeoff.cut_plan import CLEAR
from mistcalc.takeoff.cutting_stock import cut
from tests.builders import FT, IN
from tests.line import houses
from tests.report.jobs import job

KERF = IN / 16


def least_by_trying(lengths: list[float], stick: float, kerf: float) -> int:
    """The fewest sticks over every way of sharing the pieces out, set by set."""
    fits = [
        sum(some) + kerf * (len(some) - 1) <= stick + 1e-9
        for chosen in range(1 << len(lengths))
        for some in [[length for n, length in enumerate(lengths) if chosen >> n & 1]]
    ]

    @cache
    def fewest(left: int) -> int:
        if not left:
            return 0
        first = left & -left
        rest, some, best = left ^ first, left ^ first, math.inf
        while True:  # every set that holds the first piece left
            if fits[some | first]:
                best = min(best, 1 + fewest(rest ^ some))
            if not some:
                return int(best)
            some = (some - 1) & rest

    return fewest((1 << len(lengths)) - 1)


def holds(lengths: list[float], stick: float, kerf: float) -> int:
    """How many sticks `cut` takes, each piece sawn once and none past a stick's end; the bound is below."""
    sticks, least = cut(lengths, stick, kerf)
    assert sorted(itertools.chain(*sticks)) == list(range(len(lengths)))
    assert all(sum(lengths[n] for n in one) + kerf * (len(one) - 1) <= stick + 1e-5 for one in sticks)
    assert least <= len(sticks)
    return len(sticks)


@settings(max_examples=150, deadline=None)
@given(st.lists(st.integers(5, 300), min_size=1, max_size=9), st.sampled_from((0.0, 0.0015, KERF)))
def test_small_sets_are_cut_from_as_few_as_any_way_needs(centimetres, kerf):
    lengths = [n / 100 for n in centimetres]
    assert holds(lengths, 3.0, kerf) == least_by_trying(lengths, 3.0, kerf)
    assert cut(lengths, 3.0, kerf)[1] <= least_by_trying(lengths, 3.0, kerf)


def test_first_fit_alone_would_take_more():
    """By hand: 44 + 24 + 16 + 16 and 24 + 22 + 21 + 17 + 16 are 100; longest first leaves a 16 over."""
    lengths = [0.44, 0.24, 0.24, 0.22, 0.21, 0.17, 0.16, 0.16, 0.16]
    assert holds(lengths, 1.0, 0.0) == least_by_trying(lengths, 1.0, 0.0) == 2


def test_the_paper_mill_of_the_textbooks():
    """Thirteen widths from rolls of 5600 mm: 73 rolls, the least there are. The example of the encyclopedia's
    article "Cutting stock problem" (widths, demands and 73 from memory)."""
    demands = {
        1380: 22, 1520: 25, 1560: 12, 1710: 14, 1820: 18, 1880: 18, 1930: 20,
        2000: 10, 2050: 12, 2100: 14, 2140: 16, 2150: 18, 2200: 20,
    }  # fmt: skip
    lengths = [width / 1000 for width, count in demands.items() for _ in range(count)]
    sticks, least = cut(lengths, 5.6, 0.0)
    assert (len(sticks), least) == (73, 73)


@pytest.mark.parametrize(
    ("lengths", "expected"),
    [
        ([10 * FT], 1),  # a whole length needs no cut
        ([5 * FT, 5 * FT], 2),  # the saw takes 1/16 in: two halves do not fit in one
        ([5 * FT, 5 * FT - KERF], 1),
        ([2 * FT] * 5, 2),  # four cuts take 1/4 in
        ([2 * FT - KERF] * 5, 1),
        ([], 0),
    ],
)
def test_what_the_saw_takes(lengths, expected):
    sticks, least = cut(lengths, 10 * FT, KERF)
    assert len(sticks) == least == expected


def test_the_same_pieces_are_sawn_alike_every_time():
    lengths = [0.1 * n for n in range(1, 26)] * 3
    assert cut(lengths, 3.0, KERF) == cut(list(lengths), 3.0, KERF)


# ------------------------------------------------------------------ pieces of a line


def plans(text: str):
    project = files.parse_project(text)
    layouts = tuple(laid for laid, _ in design.lay_all(project))
    line, _ = design.solve_line(project.plumbing, layouts)
    return project, layouts, design.to_buy(project, layouts, line)[0]


def pieces(plan):
    return {piece.name: piece for stick in plan.sticks for piece in stick.pieces if piece.parts == 1}


PORCH = """
format = 1
name = "Invented porch"
place = { elevation = "100 m", climate = "el-paso" }
[[patio]]
name = "porch"
depth = "10 ft"
[patio.marks]
pitch = "36 in"
closest = "18 in"
widest = "36 in"
[[patio.run]]
name = "A"
length = "24 ft"
framing = { lies = "across", spacing = "16 in", first = "15-1/4 in", width = "1-1/2 in" }
[line.tube]
kerf = "1/16 in"
[[line.piece]]
from = "pump"
to = "A start"
length = "34 ft"
[pump]
"""


def test_pieces_are_what_the_fittings_leave():
    """By hand: 36 in between marks less 5/16 in at either end is 35-3/8 in."""
    marks = {f"A{n} to A{n + 1}" for n in range(1, 7)}
    for take_up, length in (("", 36.0), ('take_up = "5/16 in"', 35.375)):
        _, layouts, (plan,) = plans(PORCH.replace('kerf = "1/16 in"', f'kerf = "1/16 in"\n{take_up}'))
        found = pieces(plan)
        assert len(layouts[0].marks) == 7 and marks <= set(found)
        assert {round(found[name].length / IN, 4) for name in marks} == {length}
    # nothing parts the feed from the run: one way from the pump to the first mark, three couplings in it
    ways = [piece for stick in plan.sticks for piece in stick.pieces if piece.name == "pump to A1"]
    first = layouts[0].marks[0].tube_along
    assert [piece.parts for piece in ways] == [4] * 4
    assert sum(piece.length for piece in ways) == pytest.approx(34 * FT + first - 5 / 16 * IN, abs=IN / 32)
    assert all(not joint.hidden and joint.run == "" for joint in plan.joints) and len(plan.joints) == 3


def test_a_coupling_is_put_within_reach_where_it_can_be():
    """34 ft of feed and 3 ft of the run in lengths of 18 ft: the second coupling would come to 36 ft, above
    the ceiling; at the end of the feed it takes no more lengths."""
    _, layouts, (plan,) = plans(PORCH.replace('kerf = "1/16 in"', 'stick = "18 ft"'))
    first = layouts[0].marks[0].tube_along
    assert 36 * FT < 34 * FT + first < 54 * FT
    assert [(joint.hidden, round(joint.along / FT, 6)) for joint in plan.joints] == [("", 18.0), ("", 34.0)]


def test_above_a_closed_ceiling_it_is_clear_of_the_joists_and_told():
    text = PORCH.replace('kerf = "1/16 in"', 'stick = "26 in"')
    _, layouts, (plan,) = plans(text)
    hidden = [joint for joint in plan.joints if joint.hidden]
    joists = [member.along for member in layouts[0].lid.members]
    marks = [mark.along for mark in layouts[0].marks]
    assert len(hidden) >= 7 and {joint.run for joint in hidden} == {"A"}
    for joint in hidden:
        assert min(abs(joint.along - joist) for joist in joists) >= CLEAR + 0.75 * IN - 1e-9
        before = max((m for m in marks if m < joint.along), default=0.0)
        after = min((m for m in marks if m > joint.along), default=24 * FT)
        assert joint.along - before <= 26 * IN + 1e-9 and after - joint.along <= 26 * IN + 1e-9
    found = checks.coupling_findings([plan])
    assert len(found) == len(hidden) and {finding.code for finding in found} == {"coupling-hidden"}
    assert found[0].provided > found[0].required == pytest.approx(26 * IN)
    open_lid = text.replace("[patio.marks]", 'plaster = { system = "none" }\n[patio.marks]')
    assert checks.coupling_findings(plans(open_lid)[2]) == ()


def test_every_piece_of_the_houses_is_sawn_once_and_the_counts_are_those_bought():
    for text in (houses.RING, houses.BRANCHES, houses.TWO_PATIOS, houses.MIXED):
        project, layouts, found = plans(text)
        line, _ = design.solve_line(project.plumbing, layouts)
        parts = design.to_buy(project, layouts, line)[1]
        bought = [part for part in parts if part.name in ("tube", "coil")]
        counts = {(dict(part.detail)["outside"], part.quantity) for part in bought}
        assert counts == {(plan.tube.outside, len(plan.sticks)) for plan in found}
        total = sum(dict(part.detail)["total"] for part in bought)
        assert sum(plan.total for plan in found) == pytest.approx(total, abs=IN / 32 * len(line.tubes))


def test_the_demo_is_proved():
    for name in ("courtyard", "bayou", "terraza"):
        for plan in job(name).cut_plans:
            assert plan.least == len(plan.sticks)


@pytest.mark.parametrize("system", ["us", "metric"])
def test_feet_and_inches_of_the_list_of_cuts_are_feet_and_inches_in_any_units(system):
    told = cuts_csv(job("courtyard"), Locale(system, "en"))
    rows = list(csv.DictReader(io.StringIO(told)))
    assert len(rows) > 20
    for row in rows:
        assert re.fullmatch(r"\d+'-\d+(?: \d+/\d+)?\"", row["length (ft-in)"]), row
        length = units.parse(row["length (ft-in)"], "length")
        assert length * 1000 == pytest.approx(float(row["length (mm)"]), abs=25.4 / 32 + 0.06)
