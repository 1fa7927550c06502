"""docs/lids.md: every example is a file that reads, and a lid that is laid as the page says."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from mistcalc import files, layout
from mistcalc.model.project import Project
from mistcalc.model.results import Layout
from tests.layout.lids import FT

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
