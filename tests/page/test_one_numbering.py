"""The patio ceiling on the page numbers what asks for a look as the sheets do, whatever room finds it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from mistcalc import design, files
from mistcalc.errors import MistcalcError
from mistcalc.page.open_project import OpenProject, parsed, weather
from mistcalc.page.views.lid import beside_marks, signs
from mistcalc.report.common.findings_by_reader import numbered, numbered_on
from tests.random_projects import project_text


def opened(text: str) -> OpenProject:
    return OpenProject("", text, parsed(text))


def compared(project: OpenProject) -> set[str]:
    """Codes of what has a number, once page and sheets are found to agree on it."""
    job = design.run_without_air(project.project, weather(project))
    others, codes = beside_marks(project), set()
    for layout, found in design.lay_all(project.project):
        on_sheets = [one for one in numbered(job, layout.patio) if one.look]
        on_page = [one for one in numbered_on(layout, (*found, *others)) if one.look]
        assert on_page == on_sheets
        apart = numbered_on(layout, (*found, *others), together=False)
        first = {thing: one.number for one in reversed(on_sheets) for thing in one.things}
        assert dict(signs(apart)) == first
        codes |= {one.finding.code for one in on_sheets}
    return codes


@pytest.mark.parametrize("name", ["courtyard", "bayou", "terraza"])
def test_a_demo_is_numbered_alike(name):
    compared(opened(files.example_text(name)))


@pytest.mark.thorough
def test_any_house_is_numbered_alike():
    seen: set[str] = set()
    for seed in range(60):
        try:
            project = opened(project_text(seed))
            seen |= compared(project)
        except MistcalcError:
            continue  # a house without an answer has no sheets
    assert seen & {"bore-none", "tube-in-beam", "tube-in-outlooker", "coupling-hidden"}


def test_things_that_are_alike_have_one_number_though_each_has_its_button():
    project = parsed(files.example_text("courtyard"))
    patio = project.patios[0]
    light = next(one for one in patio.obstacles if one.name == "L2")
    row = tuple(replace(light, name=f"Spot {n}", along=1.0 + 0.6 * n) for n in range(1, 12))
    house = replace(project, patios=(replace(patio, obstacles=row), *project.patios[1:]))
    assert any(code.endswith("-many") for code in compared(OpenProject("", "", house)))
