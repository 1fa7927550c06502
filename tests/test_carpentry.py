"""Holes and blocking for the framer, against the code's limits, sums by hand and a crossing of our own."""

from __future__ import annotations

import math
import random
import re
from dataclasses import replace
from itertools import pairwise

import pytest

from mistcalc import carpentry, checks, design
from mistcalc.files import parse_project
from mistcalc.model.results import Carpentry
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.trades.installer import installer_slip
from mistcalc.units import parse
from tests import random_projects
from tests.report import jobs
from tests.report.jobs import TEXTS, job

IN = parse("1 in", "length")
EN = Locale("us", "en")
DRAIN_AT_THE_END = """
[[line.piece]]
from = "pump"
to = "A start"
length = "30 ft"
rise = "9 ft"
[[line.piece]]
from = "A end"
to = "drain"
length = "9 ft"
rise = "-9 ft"
[line.drain]
at = "drain"
"""


def work(name: str) -> Carpentry:
    return job(name).carpentry


# International Residential Code R502.8.1, sawn joists, from memory: a hole is at most a third of the depth
# wide, and 2 in or more from the top, the bottom and any other hole. Depths are of 2x4 to 2x12 as sold.
@pytest.mark.parametrize(
    ("deep", "widest"), [(3.5, 0.0), (5.5, 1.5), (7.25, 29 / 12), (9.25, 37 / 12), (11.25, 3.75)]
)
def test_a_bore_keeps_what_the_code_keeps(deep, widest):
    taken = [
        n / 16 for n in range(1, 80) if carpentry.bore_height(n / 16 * IN, deep * IN, IN / 8) is not None
    ]
    assert max(taken, default=0.0) <= widest + 1e-9
    for hole in taken:
        up = carpentry.bore_height(hole * IN, deep * IN, IN / 8) / IN
        assert up - hole / 2 >= 2.0 - 1e-9 and deep - up - hole / 2 >= 2.0 - 1e-9
        assert up * 8 == pytest.approx(round(up * 8))  # the tape reads it
    if widest > 0.5:
        assert 0.75 in taken  # the usual hole for 3/8 in tube


def test_the_courtyard_by_hand():
    """Joists at 15-1/4 in and every 16 in; tube turns 6 in past the corner: 38 ft 6 in and 21 ft 6 in."""
    run_a, run_b = work("courtyard").bores
    assert len(run_a.alongs) == len([k for k in range(99) if 15.25 + 16 * k <= 462]) == 28
    assert len(run_b.alongs) == len([k for k in range(99) if 15.25 + 16 * k <= 252]) == 15
    assert run_a.alongs[0] == pytest.approx(15.25 * IN) and run_a.alongs[-1] == pytest.approx(447.25 * IN)
    assert run_b.spacing == pytest.approx(16 * IN) and run_b.hole == pytest.approx(0.75 * IN)
    assert run_b.up == pytest.approx(2.375 * IN)  # 2 in and half the hole
    told = {(block.why, block.name) for block in work("courtyard").blocking}
    assert {("joint", "J8"), ("joint", "J9"), ("joint", "J10"), ("turn", ""), ("fan", "Fan 1")} <= told
    assert not any(why == "joint" and name in ("J1", "J7") for why, name in told)  # those lie on joists


def crosses(a: tuple, b: tuple) -> bool:
    """Do two segments meet? By the signs of four areas, for lines of any direction."""
    (p, q), (r, s) = a, b

    def area(o: tuple, u: tuple, v: tuple) -> float:
        return (u[0] - o[0]) * (v[1] - o[1]) - (u[1] - o[1]) * (v[0] - o[0])

    return area(p, q, r) * area(p, q, s) <= 1e-9 and area(r, s, p) * area(r, s, q) <= 1e-9


@pytest.mark.parametrize("name", [*TEXTS, "courtyard", "bayou", "terraza"])
def test_every_member_that_the_tube_crosses_is_bored_where_it_lies(name):
    made = job(name)
    for patio, layout in zip(made.project.patios, made.layouts, strict=True):
        for line in layout.lid.runs:
            if line.tube_length < 1e-6:
                continue
            tube = made.line.laid_tube(line)
            crossed = [m for m in layout.lid.members if m.width < 0.4 and crosses(m.line, tube)]
            upright = [m for m in crossed if abs(_turn(m.line) - _turn(line.tube)) > 1.0]
            bored = next(
                (b for b in made.carpentry.bores if (b.patio, b.run) == (patio.name, line.name)), None
            )
            assert len(upright) == (len(bored.alongs) if bored else 0)
            own = [m.along for m in upright if m.run == line.name and m.along is not None]
            assert set(map(_grid, own)) <= set(map(_grid, bored.alongs if bored else ()))


def _turn(line: tuple) -> float:
    (x0, y0), (x1, y1) = line
    return math.atan2(abs(y1 - y0), abs(x1 - x0))


def _grid(value: float) -> int:
    return round(value * 1e6)


def planned(text: str):
    project = parse_project(text)
    layouts = tuple(laid for laid, _ in design.lay_all(project))
    solved, _ = design.solve_line(project.plumbing, layouts)
    return project, layouts, carpentry.carpentry_of(project, layouts, solved)


@pytest.mark.parametrize("piece", ["", DRAIN_AT_THE_END])
@pytest.mark.parametrize("long", ["19 ft", "31 ft 5 in", "44 ft"])
def test_no_joist_is_bored_past_the_end_of_the_tube(long, piece):
    """A dead end stops at its last mark, as the cut plan has it; a drain leg at the end goes on to it."""
    text = jobs.text_of(jobs.patio("porch", "11 ft 8 in", jobs.run("A", long))) + piece
    made = jobs.solved(text)
    (bored,), (layout,) = made.carpentry.bores, made.layouts
    length = parse(long, "length")
    far = length if piece else max(mark.along for mark in layout.marks)
    joists = [(15.25 + 16 * n) * IN for n in range(99)]
    assert bored.alongs == pytest.approx([at for at in joists if at < far])
    sawn = sum(cut.length for plan in made.cut_plans for stick in plan.sticks for cut in stick.pieces)
    beside = parse("30 ft", "length") + (parse("9 ft", "length") if piece else 0.0)  # feed, drain leg
    assert sawn == pytest.approx(beside + far, abs=0.01)
    assert made.line.duty.tube.runs[0].anchor == pytest.approx(far / 2)


def test_the_anchor_is_told_from_the_datum_wherever_the_tape_is_hooked():
    """Fed at its start and closed at its last mark, the tube is held in its middle: one figure everywhere."""
    at = {}
    for end in ("start", "end"):
        run = jobs.run("A", "31 ft 5 in", datum=f'{{ end = "{end}" }}')
        made = jobs.solved(jobs.text_of(jobs.patio("porch", "11 ft 8 in", run)))
        (growth,), (layout,) = made.line.duty.tube.runs, made.layouts
        last = max(mark.tube_along for mark in layout.marks)
        from_start = parse("31 ft 5 in", "length") - growth.anchor if end == "end" else growth.anchor
        assert from_start == pytest.approx(last / 2) and growth.length == pytest.approx(last)
        lists = installer_slip(made, EN).lists
        assert f"A {EN.tape(growth.anchor)}" in [row.where for part in lists for row in part.rows]
        at[end] = growth.anchor
    assert at["start"] != pytest.approx(at["end"])


def test_joists_along_the_line_are_blocked_where_the_tube_is_clipped():
    text = TEXTS["straight"].replace('lies = "across"', 'lies = "along"')
    _, layouts, made = planned(text)
    marks = [mark.along for mark in layouts[0].marks]
    (clips,) = [block for block in made.blocking if block.why == "clips"]
    assert not made.bores
    half = (
        marks[1] - marks[0]
    ) / 2  # a dead end has no tube past its last mark; before the first there is some
    between = [(a + b) / 2 for a, b in pairwise(marks)]
    assert clips.alongs == pytest.approx([max(marks[0] - half, marks[0] / 2), *between])
    (anchor,) = [block for block in made.blocking if block.why == "anchor"]
    assert anchor.alongs[0] == pytest.approx(max(marks) / 2)  # a dead end stops at its last mark


@pytest.mark.parametrize("material", ["pex", "stainless 304"])
@pytest.mark.parametrize("seed", range(6))
def test_no_block_for_a_clip_stands_in_a_stub_s_hole_and_each_clip_has_one(material, seed):
    """On random straight lids with joists along the line: soft tube is clipped at every stub, so its blocks
    stand beside them."""
    dice = random.Random(seed)
    text = TEXTS["straight"].replace('lies = "across"', 'lies = "along"')
    inches = dice.choice([6 * n + 3 for n in range(20, 90)])
    text = re.sub(r'length = "[^"]+"', f'length = "{inches} in"', text, count=1)
    text += f'\n[line.tube]\nmaterial = "{material}"\n'
    project, layouts, made = planned(text)
    (clips,) = [block for block in made.blocking if block.why == "clips"]
    want, width = project.patios[0].marks, project.patios[0].runs[0].framing.width
    least = want.hole / 2 + want.clear_of_members + width / 2
    marks = [mark.along for mark in layouts[0].marks]
    assert all(abs(at - along) >= least - 1e-9 for at in clips.alongs for along in marks)
    assert len(clips.alongs) == len(marks)


def test_joists_along_the_line_are_bored_where_the_tube_goes_back_to_the_second_row():
    """By hand: joists every 16 in behind the edge from 15-1/4 in, rows at 6 in and 72 in, the tube back where
    the run is fed, at its start."""
    text = TEXTS["straight"].replace('lies = "across"', 'lies = "along"')
    text = text.replace('length = "', 'second_row = { back = "72 in" }\nlength = "', 1)
    _, layouts, made = planned(text)
    (back,) = made.bores_back
    assert (back.run, back.row) == ("A", "2A") and not made.bores
    assert back.backs == pytest.approx([(15.25 + 16 * k) * IN for k in range(4)])
    first = next(line for line in layouts[0].lid.rows if line.name == "A")
    assert first.back < min(back.backs) and max(back.backs) < 72 * IN
    assert back.along == pytest.approx(0.0)
    fed = '[[line.piece]]\nfrom = "pump"\nto = "A start"\nlength = "30 ft"\n'
    own = fed + '[[line.piece]]\nfrom = "A start"\nto = "2A start"\nlength = "5 ft 6 in"\n'
    own += 'tube = { outside = "3/4 in", wall = "0.065 in" }\n'
    (wider,) = planned(f"{text}\n{own}")[2].bores_back  # for the tube of the piece that goes there
    assert wider.hole > max(back.hole, 0.75 * IN)
    across = planned(
        TEXTS["straight"].replace('length = "', 'second_row = { back = "72 in" }\nlength = "', 1)
    )
    assert across[2].bores and not across[2].bores_back


def test_a_beam_in_the_way_is_named_and_never_bored():
    beam = """[[patio.obstacle]]
name = "Girder"
kind = "beam"
run = "A"
along = "10 ft"
back = "6 ft"
size = ["6 in", "12 ft"]
"""
    text = TEXTS["straight"] + "\n" + beam
    _, _, made = planned(text)
    (block,) = [block for block in made.blocking if block.why == "beam"]
    assert block.name == "Girder" and block.asks and block.alongs[0] == pytest.approx(120 * IN)
    (finding,) = checks.carpentry_findings(made)
    assert finding.code == "tube-in-beam" and finding.value("along") == pytest.approx(120 * IN)


def test_shallow_joists_are_told_of_and_not_bored():
    made = work("courtyard")
    shallow = replace(made.bores[0], up=None, depth=3.5 * IN)
    (finding,) = checks.carpentry_findings(replace(made, bores=(shallow,), blocking=()))
    assert finding.code == "bore-none" and finding.required == pytest.approx(4.75 * IN)


def test_unstated_framing_is_asked_for_and_nothing_is_made_up():
    made = job("straight")
    (patio,) = made.project.patios
    (run,) = patio.runs
    bare = replace(patio, runs=(replace(run, framing=replace(run.framing, spacing=None, first=None)),))
    project = replace(made.project, patios=(bare,))
    laid = [layout for layout, _ in design.lay_all(project)]
    assert carpentry.carpentry_of(project, laid, made.line) == Carpentry(unstated=("A",))


@pytest.mark.thorough
@pytest.mark.parametrize("seed", range(12))
def test_random_houses(seed):
    project, layouts, made = planned(random_projects.project_text(seed))
    for bored in made.bores:
        assert list(bored.alongs) == sorted(bored.alongs)
        assert bored.up is None or bored.up - bored.hole / 2 >= 0.0508 - 1e-9
    for patio, layout in zip(project.patios, layouts, strict=True):
        if not patio.plaster.plastered:
            continue
        named = {(b.run, b.name) for b in made.blocking if b.why == "joint" and b.patio == patio.name}
        for line in layout.lid.joints:
            across = [m for m in layout.lid.members if m.run == line.run and m.along is not None]
            on = any(abs(m.along - line.joint.along) <= m.width / 2 + 1e-6 for m in across)
            wanted = line.joint.on == "blocking" or (bool(across) and not on)
            assert ((line.run, line.joint.name) in named) == wanted


@pytest.mark.parametrize(("kind", "code"), [("outlooker", "tube-in-outlooker"), ("pocket", "tube-in-pocket")])
def test_an_outlooker_and_a_pocket_are_named_and_left_alone(kind, code):
    thing = f"""[[patio.obstacle]]
name = "X1"
kind = "{kind}"
run = "A"
along = "10 ft"
back = "6 in"
size = ["6 in", "6 in"]
"""
    _, _, made = planned(TEXTS["straight"] + "\n" + thing)
    (block,) = [block for block in made.blocking if block.why == kind]
    assert block.asks and block.alongs[0] == pytest.approx(120 * IN)
    assert [finding.code for finding in checks.carpentry_findings(made)] == [code]
