"""Each caution where it applies and not where it does not."""

from __future__ import annotations

from dataclasses import replace

from mistcalc import words
from mistcalc.checks.cautions import cautions
from tests import builders

ALWAYS = {
    "gas-test",
    "trapped-water",
    "backflow",
    "legionella",
    "lungs",
    "heat-illness",
    "slip",
    "freezing",
    "water-rules",
}


def names(project) -> set[str]:
    return {finding.code.removeprefix("caution-") for finding in cautions(project)}


def bare():
    """A line on the mains under bare wood, with nothing electric and no door."""
    project = builders.project()
    patio = project.patios[0]
    patio = replace(patio, obstacles=(), plaster=replace(patio.plaster, system="none"))
    return replace(project, patios=(patio,), plumbing=replace(project.plumbing, pump=None))


def test_what_always_applies():
    assert names(bare()) >= ALWAYS
    assert names(bare()) == ALWAYS | {"wet-wood"}


def test_what_applies_with_a_pump_plaster_lights_and_a_slider():
    project = builders.project()
    assert {"injection", "electrical", "wet-plaster"} <= names(project)
    patio = project.patios[0]
    slider = replace(patio.obstacles[0], name="Slider", kind="door glass")
    assert "open-slider" in names(replace(project, patios=(replace(patio, obstacles=(slider,)),)))


def test_injection_from_about_seven_bar():
    # About 7 bar (100 psi): common practice, no published source found.
    project = builders.project()
    for gauge, shown in ((6.9e5, False), (7.1e5, True)):
        pump = replace(project.plumbing.pump, set_pressure=gauge, nameplate=None)
        assert (
            "injection" in names(replace(project, plumbing=replace(project.plumbing, pump=pump)))
        ) is shown


def test_every_caution_is_a_note_with_a_sentence_and_a_short_form():
    patio = builders.patio()
    slider = replace(patio.obstacles[0], name="Slider", kind="door glass")
    full = replace(builders.project(), patios=(replace(patio, obstacles=(*patio.obstacles, slider)),))
    for finding in (*cautions(full), *cautions(bare())):
        assert finding.level == "note"
        assert words.spoken("finding", finding.code)
        assert "{" not in words.say(finding)
        assert words.label(f"caution_short.{finding.code.removeprefix('caution-')}")
