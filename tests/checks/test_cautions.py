"""Each caution where it applies and not where it does not."""

from __future__ import annotations

from dataclasses import replace

from mistcalc import words
from mistcalc.checks.cautions import all_cautions
from tests import builders

ALWAYS = {
    "gas-test", "trapped-water", "backflow", "freezing", "drilling", "ladder", "chemicals", "eyes",
    "children", "legionella", "heat-illness", "slip", "lungs", "water-rules", "hot-water",
}  # fmt: skip


def names(project) -> set[str]:
    return {finding.code.removeprefix("caution-") for finding in all_cautions(project)}


def bare():
    """A line on the mains under bare wood, with nothing electric and no door."""
    project = builders.project()
    patio = project.patios[0]
    patio = replace(patio, obstacles=(), plaster=replace(patio.plaster, system="none"))
    return replace(project, patios=(patio,), plumbing=replace(project.plumbing, pump=None))


def test_what_always_applies():
    assert names(bare()) >= ALWAYS
    assert names(bare()) == ALWAYS | {"wet-wood", "shut-off"}


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


def test_a_pump_that_starts_by_itself_is_locked_out_and_a_main_is_shut():
    assert "lock-out" in names(builders.project()) and "shut-off" not in names(builders.project())
    said = {f.code: words.say(f) for f in (*all_cautions(builders.project()), *all_cautions(bare()))}
    # 29 CFR 1910.147(d): shut down, isolate, lock or tag, release what is stored, verify.
    steps = ("disconnect and lock", "shut the water", "open every drain", "gauge at zero", "try the switch")
    at = [said["caution-lock-out"].index(step) for step in steps]
    assert at == sorted(at)
    assert "1910.147" in said["caution-lock-out"]
    for step in ("hand valve", "tag it", "open every drain", "no water runs"):
        assert step in said["caution-shut-off"]


def test_hot_water_from_120_degf():
    # 120 degF (49 degC): common advice for water at taps; from memory, no published source found.
    project = builders.project()
    for kelvin, shown in ((321.0, False), (323.0, True)):
        plumbing = replace(project.plumbing, tube_temperature=kelvin)
        assert ("hot-water" in names(replace(project, plumbing=plumbing))) is shown


def full():
    patio = builders.patio()
    slider = replace(patio.obstacles[0], name="Slider", kind="door glass")
    return replace(builders.project(), patios=(replace(patio, obstacles=(*patio.obstacles, slider)),))


def test_every_caution_has_its_grade_a_sentence_and_short_forms():
    """Grades as ANSI Z535.4 means its words, quoted by makers of labels: what kills or maims is a danger."""
    for project in (full(), bare()):
        found = all_cautions(project)
        assert [f.rank for f in found] == sorted(f.rank for f in found)  # dangers first
        for finding in found:
            name = finding.code.removeprefix("caution-")
            harmless = {"freezing", "wet-plaster", "wet-wood", "open-slider", "water-rules"}
            assert finding.level in ({"note"} if name in harmless else {"danger", "caution"})
            assert words.spoken("finding", finding.code)
            assert "{" not in words.say(finding)
            assert len(words.say(finding)) < 390  # longer ones are cut on paper
            assert words.label(f"caution_short.{name}")
            if finding.level != "note":
                numbers = {"provided": finding.provided, "required": finding.required}
                assert "{" not in words.label(f"caution_do.{name}", **numbers)
    graded = {f.code.removeprefix("caution-"): f.level for f in all_cautions(full())}
    for name in ("lock-out", "injection", "electrical", "gas-test", "trapped-water", "ladder", "chemicals"):
        assert graded[name] == "danger"
    for name in ("slip", "eyes", "hot-water", "backflow"):
        assert graded[name] == "caution"


def test_dangers_defer_to_local_code_and_name_their_source():
    """OSHA binds employers: it is named as good practice, and what is local decides."""
    for finding in all_cautions(full()):
        said = words.say(finding)
        assert "OSHA requires" not in said
        if finding.source[:1].isdigit() or "NEC" in finding.source:
            assert finding.source.split(";")[0].split(" (")[0] in said
            assert "ocal" in said
