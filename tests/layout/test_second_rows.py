"""Second rows: by the same rules as the first, judged from the raw numbers, and the first row left alone."""

from __future__ import annotations

import itertools
import random
from dataclasses import replace

import numpy as np
import pytest

from mistcalc import files
from mistcalc.layout import lay
from mistcalc.model.mirror_image import mirrored_patio
from mistcalc.model.practice import ROW_DEPTHS
from mistcalc.model.project import Patio, SecondRow
from mistcalc.model.results import Layout
from mistcalc.model.second_rows import tried_rows, with_row_feeds
from tests.layout.lids import IN, patio, run
from tests.layout.random_lids import eighths, lid
from tests.layout.raw import Walk, broken_rules

SEEDS = range(30)


def with_rows(seed: int) -> Patio:
    """A random lid, most of its runs with a second row, each at its own place."""
    plain, draw = lid(seed), random.Random(seed + 1000)
    low = plain.line_behind_edge / IN
    runs = [
        replace(r, second_row=SecondRow(eighths(draw, low + 20, plain.depth / IN - 12) * IN, f"2{r.name}"))
        if draw.random() < 0.75
        else r
        for r in plain.runs
    ]
    return replace(plain, runs=tuple(runs))


def by_run(layout: Layout) -> Layout:
    """As `raw` reads a lid: by runs alone."""
    return replace(layout, marks=tuple(replace(m, run=m.run.removeprefix("2")) for m in layout.marks))


def test_no_hard_rule_is_broken_by_either_row() -> None:
    seconds = 0
    for seed in SEEDS:
        there = with_rows(seed)
        layout = lay(there)
        assert layout.pattern != "broken", seed
        assert broken_rules(there, by_run(layout)) == [], seed
        walk, want = Walk(there), there.marks
        runs = {r.name: r for r in there.runs}
        points = np.array([walk.at(runs[m.run], m.along, m.back) for m in by_run(layout).marks])
        apart = abs(points[:, None] - points[None, :]) + 100.0 * np.eye(len(points))
        row = np.array([m.run for m in layout.marks])
        unlike = row[:, None] != row[None, :]
        assert apart[~unlike].min() >= want.closest - 1e-6, seed
        # rows are as far apart as they were asked to be, or moved off a joist; round a corner a setback each
        assert apart[unlike].min(initial=100.0) > 6 * IN - 1e-6, seed
        for name, gaps in layout.gaps:
            over = [b.end - b.start for b in layout.blocked if b.run == name]
            wide = [gap for gap in gaps if gap > want.widest + 1e-6]
            assert len(wide) <= len(over), (seed, name)
        assert len({m.name for m in layout.marks}) == len(layout.marks)
        seconds += sum(m.run.startswith("2") for m in layout.marks)
    assert seconds > 300


def test_the_first_row_is_as_without_a_second() -> None:
    for seed in SEEDS[:10]:
        there = with_rows(seed)
        alone, both = lay(lid(seed)), lay(there)
        assert [m for m in both.marks if not m.run.startswith("2")] == list(alone.marks), seed
        assert both.lid.runs == alone.lid.runs and both.lid.members == alone.lid.members


def test_a_mirrored_lid_has_the_mirrored_rows() -> None:
    for seed in SEEDS[:10]:
        there = with_rows(seed)
        here = {m.name: (m.along, m.back) for m in lay(there).marks}
        assert {m.name: (m.along, m.back) for m in lay(mirrored_patio(there)).marks} == here, seed


@pytest.mark.parametrize("corner", ["inside", "outside"])
def test_round_a_corner_alone_or_with_the_next(corner) -> None:
    """Two tubes meet at the corner of their two setbacks; one alone stops short of the other run's tube."""
    a = run("A", 300, ("wall", "corner"), corner)
    b = run("B", 240, ("corner", "wall"))
    rows = [SecondRow(60 * IN, "2A"), SecondRow(48 * IN, "2B")]
    both = lay(patio((replace(a, second_row=rows[0]), replace(b, second_row=rows[1]))))
    meet = both.lid.second_rows
    assert meet[0].tube[1] == pytest.approx(meet[1].tube[0])
    x = 300 + (48 if corner == "inside" else -48)
    assert meet[0].tube[1] == pytest.approx((x * IN, 60 * IN))
    alone = lay(patio((replace(a, second_row=rows[0]), b)))
    (row,), other = alone.lid.second_rows, alone.lid.runs[1]
    gap = row.back - alone.lid.runs[0].back
    short = other.tube[0][0] - row.tube[1][0]
    assert short == pytest.approx(0.0 if corner == "inside" else gap)
    last = max(m.point[0] for m in alone.marks if m.run == "2A")
    assert last <= row.tube[1][0] - 6 * IN + 1e-6
    assert both.lid.run_of("2B") == "B" and [m.run for m in both.marks] == [
        name for name, of in itertools.groupby(m.run for m in both.marks) for _ in of
    ]


TEXT = """
format = 1
name = "Invented"
[place]
elevation = "0 m"
climate = "el-paso"
[[patio]]
name = "porch"
depth = "14 ft"
[[patio.run]]
name = "A"
length = "30 ft"
{a}
[[patio.run]]
name = "B"
length = "18 ft"
[pump]
"""


@pytest.mark.parametrize(
    "row, code",
    [
        ('{ back = "6 in" }', "second-row-place"),
        ('{ back = "14 ft" }', "second-row-place"),
        ('{ back = "6 ft", name = "B" }', "name-twice"),
        ('{ name = "rear" }', "missing"),
        ('{ back = "6 ft", fixed = [{ name = "A3", along = "50 ft" }] }', "outside-lid"),
        ('"6 ft"', "table-wanted"),
    ],
)
def test_a_row_that_cannot_be(row, code) -> None:
    text = TEXT.format(a=f'then = "inside corner"\nsecond_row = {row}')
    with pytest.raises(Exception) as told:
        files.parse_project(text)
    assert [m.code for m in told.value.mistakes] == [code]


def test_water_comes_where_the_run_has_it_and_goes_on_round_the_corner() -> None:
    """The tube between rows is nobody's to write down; a piece at the row is, and is then believed."""
    text = TEXT.format(a='then = "inside corner"\nsecond_row = { back = "6 ft" }')
    text = text.replace("[pump]", 'second_row = { back = "5 ft" }\n[pump]')
    project = files.parse_project(text)
    feeds = [(str(p.start), str(p.end), round(p.length / IN)) for p in project.plumbing.row_feeds]
    assert feeds == [("A start", "2A start", 66), ("2A end", "2B start", 0)]
    assert project.plumbing.zones[0].runs == ("A", "2A", "B", "2B")
    assert files.rewrite(text, project) == text
    own = """
[[line.piece]]
from = "pump"
to = "B end"
length = "20 ft"
[[line.piece]]
from = "A end"
to = "B start"
length = "0 in"
[[line.piece]]
from = "B start"
to = "2B end"
length = "3 ft"
[pump]
"""
    stated = files.parse_project(text.replace("[pump]\n", own))
    assert [(str(p.start), str(p.end)) for p in stated.plumbing.row_feeds] == [("A end", "2A end")]


def test_rows_taken_away_leave_the_project_as_it_was() -> None:
    """Its zones too, to which rows are added where no zone names them."""
    plain = files.parse_project(TEXT.format(a='then = "inside corner"'))
    runs = tuple(replace(run, second_row=SecondRow(1.8, f"2{run.name}")) for run in plain.patios[0].runs)
    rowed = with_row_feeds(replace(plain, patios=(replace(plain.patios[0], runs=runs),)))
    assert rowed.plumbing.zones[0].runs == ("A", "2A", "B", "2B")
    assert with_row_feeds(replace(rowed, patios=plain.patios)) == plain
    renamed = (replace(runs[0], second_row=SecondRow(1.8, "rear")), runs[1])
    again = with_row_feeds(replace(rowed, patios=(replace(plain.patios[0], runs=renamed),)))
    assert again.plumbing.zones[0].runs == ("A", "rear", "B", "2B")


@pytest.mark.parametrize("seed", range(40))
def test_second_rows_tried_lie_where_a_row_may(seed):
    """Random depths and lids: behind the first row by the closest pitch, off the wall, on the tape's grid; a
    project with rows is tried without them as well, and never as it is."""
    dice = random.Random(seed)
    project = files.parse_project(files.example_text(dice.choice(files.EXAMPLES)))
    patios = tuple(replace(each, depth=dice.uniform(1.5, 6.0)) for each in project.patios)
    deep = dice.uniform(1.5, 4.0)
    every = list(tried_rows(patios, deep, ROW_DEPTHS))
    assert len(every) <= len(ROW_DEPTHS) and patios not in every
    for others in every:
        assert any(one.second_row for lid_ in others for one in lid_.runs)
        for lid_ in others:
            for n, one in enumerate(lid_.runs):
                if one.second_row is None:
                    continue
                back, depth, marks = one.second_row.back, lid_.depth_over(n), lid_.marks
                assert depth >= deep and back - lid_.line_behind_edge >= marks.closest
                assert depth - back >= marks.from_wall
                assert back / marks.grid == pytest.approx(round(back / marks.grid))
        again = list(tried_rows(others, deep, ROW_DEPTHS))
        bare = tuple(replace(p, runs=tuple(replace(r, second_row=None) for r in p.runs)) for p in others)
        assert bare in again and others not in again
        names = {row.name for one in others for row in one.rows}
        assert all(
            row.name in names | {f"2{n}" for n in names} for plan in again for one in plan for row in one.rows
        )
