"""docs/lids.md: every example is a file that reads, and a lid that is laid as the page says."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

from mistcalc import checks, files, layout, line
from mistcalc.model.close_in import usual_steps
from mistcalc.model.project import Project
from mistcalc.model.results import Layout
from tests.layout.lids import FT, IN

PAGE = Path(__file__).parents[2] / "docs" / "lids.md"
HEAD = 'format = 1\nname = "Invented"\n[place]\nelevation = "10 m"\nclimate = "tucson"\n'


def examples() -> dict[str, str]:
    """Name of the patio -> its project file."""
    blocks = re.findall(r"```toml\n(.*?)```", PAGE.read_text("utf-8"), re.S)
    return {re.findall(r'^name = "(.*)"', block, re.M)[0]: HEAD + block for block in blocks}


def laid(name: str) -> tuple[Project, Layout]:
    project = files.parse_project(examples()[name])
    return project, layout.lay(project.patios[0])


@pytest.mark.parametrize("name", sorted(examples()))
def test_every_example_reads_is_laid_and_is_written_again(name: str) -> None:
    text = examples()[name]
    project, lid = laid(name)
    assert lid.marks and lid.pattern in ("equal", "own")
    assert not [clash for clash in lid.clashes if clash.hard]
    assert files.rewrite(text, project) == text
    bare = HEAD + '[[patio]]\nname = "x"\ndepth = "9 ft"\n[[patio.run]]\nname = "Z"\nlength = "9 ft"\n'
    again = files.parse_project(files.rewrite(bare, project))
    assert again.patios == project.patios


def test_the_ring_has_one_pitch_all_round() -> None:
    _, lid = laid("court")
    assert [run.pitch for run in lid.lid.runs] == pytest.approx([2 * FT] * 4) and len(lid.lid.loops) == 2


def test_each_run_has_its_own_depth() -> None:
    _, lid = laid("yard")
    # A 30 ft and the corner's 7 ft 6 in, 12 ft deep; B 18 ft, 7 ft 6 in deep
    assert lid.lid.area == pytest.approx((37.5 * 12 + 18 * 7.5) * FT**2)
    assert sum(area for _, area, _ in lid.panels) == pytest.approx(lid.lid.area)


def test_the_tape_of_a_slope_is_longer_than_the_level() -> None:
    """A right triangle: 24 ft along the slope, 4 ft up."""
    project, lid = laid("slope")
    level = (24**2 - 4**2) ** 0.5 / 24
    assert {round(b.along - a.along, 6) for a, b in pairwise(lid.marks)} == {round(2 * FT, 6)}
    for mark in lid.marks:
        assert mark.level == pytest.approx(mark.along * level)
        assert mark.height == pytest.approx(9 * FT + mark.along * 4 / 24)
        assert math.hypot(mark.level, mark.height - 9 * FT) == pytest.approx(mark.along)
    slopes = [f for f in checks.lid_findings(project.patios[0], lid) if f.code == "run-slopes"]
    assert [f.required for f in slopes] == [pytest.approx(24 * FT * level)]


def test_pressure_follows_the_height_of_each_mark() -> None:
    """Water standing: 9.81 kPa less for a meter up. The line is solved at so small a flow that nothing else
    counts much; the drop from the lowest to the highest mark is that of its height."""
    project, lid = laid("slope")
    tiny = replace(project.plumbing.nozzle, flow=1e-10)
    solved = line.solve_line(replace(project.plumbing, nozzle=tiny), (lid,))
    pressure = {mark.name: mark.pressure_gauge for mark in solved.marks}
    low, high = lid.marks[0], lid.marks[-1]
    head = solved.water.density * 9.80665 * (high.height - low.height)
    assert pressure[low.name] - pressure[high.name] == pytest.approx(head, rel=1e-3)


def test_two_slopes_meet_in_a_ridge() -> None:
    _, lid = laid("ridge")
    assert lid.lid.area == pytest.approx(28 * 10 * FT**2) and len(lid.lid.walls) == 4
    top = max(mark.height for mark in lid.marks)
    assert 11 * FT < top < 12 * FT
    last = [m for m in lid.marks if m.run == "A"][-1]
    first = [m for m in lid.marks if m.run == "B"][-1]  # B's tape is hooked on the far wall
    over = (14 * FT - last.along) + (14 * FT - first.along)
    assert 18 * FT / 12 - 1e-9 <= over <= 36 * FT / 12 + 1e-9


def test_first_and_second_distance_add_up_to_the_run() -> None:
    _, lid = laid("long")
    (run,) = lid.lid.runs
    assert run.second == pytest.approx(44 * FT)
    _, corner = laid("yard")
    assert [line.second for line in corner.lid.runs] == [None, None]


def test_a_stub_through_boards_has_nothing_but_their_thickness_and_the_trim() -> None:
    project, lid = laid("boards")
    patio = project.patios[0]
    (mark, *_) = lid.marks
    assert mark.stub_nominal == pytest.approx(0.75 * IN + patio.plaster.trim)
    assert mark.along_finished == mark.along and lid.panels == ()
    assert not any(f.code.startswith(("joint", "panel")) for f in checks.lid_findings(patio, lid))
    assert usual_steps([patio.plaster.system]) == usual_steps(["none"])
    assert usual_steps(["wood", "three-coat"]) == usual_steps(["three-coat"])


def test_a_hole_keeps_out_of_a_pocket_and_off_an_outlooker() -> None:
    _, lid = laid("found")
    pocket, outlooker = lid.lid.obstacles
    for thing in (pocket, outlooker):
        xs, ys = ([corner[axis] for corner in thing.outline] for axis in (0, 1))
        for mark in lid.marks:
            x, y = mark.point
            off = math.hypot(max(min(xs) - x, x - max(xs), 0.0), max(min(ys) - y, y - max(ys), 0.0))
            assert off >= 0.5 * IN - 1e-9


def test_the_bow_stands_before_a_straight_wall() -> None:
    _, lid = laid("bow")
    edge = [end for run in lid.lid.runs for end in run.edge]
    behind = [y for x, y in lid.lid.outline if min(math.hypot(x - ex, y - ey) for ex, ey in edge) > IN]
    assert max(behind) - min(behind) < IN / 8  # B lies level


def test_depths_that_the_page_has_found_with_a_string_make_a_straight_wall() -> None:
    """An arc of 20 ft radius in five chords of 5 ft, the middle one along a wall 12 ft off: bend and depth by
    the page's steps, from points on a circle. The lid then ends on that wall, from first string to last."""
    radius, chord, wall = 20.0, 5.0, 12.0
    half = math.asin(chord / 2 / radius)  # of the bend, by step 3
    turns = [half * n for n in (-5, -3, -1, 1, 3, 5)]
    blocks = [complex(radius * math.sin(a), radius * (math.cos(half) - math.cos(a))) for a in turns]
    over = math.sqrt(radius**2 - chord**2 / 4)
    assert radius - over == pytest.approx(chord**2 / 8 / radius, rel=0.01)  # step 1, for flat arcs
    met, depths = [], []
    for n, block in enumerate(blocks):
        before, after = blocks[max(n - 1, 0)], blocks[min(n + 1, 5)]
        string = (after - before) / abs(after - before)  # over both chords; at an end along the only one
        to_wall = (wall - block.imag) / string.real  # square to it
        met.append(block + 1j * string * to_wall)
        depths.append(to_wall * (math.cos(half) if 0 < n < 5 else 1.0))  # steps 4 and 5
    runs = [
        f'[[patio.run]]\nname = "{name}"\nlength = "{chord} ft"\ndepth = "{depths[n] * 304.8:.4f} mm"\n'
        f'depth_at_end = "{depths[n + 1] * 304.8:.4f} mm"\n'
        + (f'then = "outside bend"\nbend = "{math.degrees(2 * half):.6f} deg"\n' if n < 4 else "")
        for n, name in enumerate("ABCDE")
    ]
    patio = '[[patio]]\nname = "arc"\ndepth = "9 ft"\n'
    lid = layout.lay(files.parse_project(HEAD + patio + "".join(runs)).patios[0]).lid
    off = complex(*lid.runs[0].edge[0]) / FT - blocks[0]
    corners = [complex(*corner) / FT - off for corner in lid.outline]
    for block in (*blocks, met[0], met[-1]):
        assert min(abs(block - corner) for corner in corners) < 1e-4
    house = [corner for corner in corners if min(abs(block - corner) for block in blocks) > 1e-3]
    assert [corner.imag for corner in house] == pytest.approx([wall] * len(house), abs=1e-4)
    assert lid.area == pytest.approx(area([*blocks, *reversed(met)]) * FT**2)


def area(corners: list[complex]) -> float:
    """Of a polygon, by the trapezoids under its sides."""
    return sum((a.conjugate() * b).imag for a, b in pairwise([*corners, corners[0]])) / 2
