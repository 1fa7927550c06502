"""The one-screen summary: it fits, it says what matters to each person, and it never overstates."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from mistcalc.checks.cautions import all_cautions
from mistcalc.checks.lid import holes_verdict
from mistcalc.model.project import Nameplate
from mistcalc.model.results import Finding
from mistcalc.report.common.findings_by_reader import judged
from mistcalc.report.findings_and_cautions import findings_page, findings_text
from mistcalc.report.job_summary import job_summary_text
from tests import builders


def design(**changes: object):
    found = (*builders.findings(), *all_cautions(builders.project()))
    return builders.design(**{"findings": found, **changes})


def crowded():
    """More of everything than a screen holds: 12 runs, 60 findings, 80 assumptions, long names."""
    layout = builders.layout()
    runs = tuple(replace(layout.lid.runs[0], name=f"R{i}") for i in range(12))
    many = tuple(
        Finding(
            "clearance-judgement",
            level,
            f"porch/L{i}",
            "clearance",
            0.5,
            0.9,
            "m",
            values=(("kind", "light"), ("marks", "A2")),
        )
        for i in range(20)
        for level in ("note", "warn", "fail")
    )
    project = replace(
        builders.project(),
        name="N" * 150,
        about="about " * 100,
        assumed=tuple(f"patio[porch].run[A].key{i}" for i in range(80)),
    )
    return builders.design(
        project=project,
        layouts=(replace(layout, lid=replace(layout.lid, runs=runs)),),
        findings=(*many, *all_cautions(project)),
    )


def busy():
    """The same with nothing that fails: what fails is read in full, on as many lines as it takes."""
    made = crowded()
    return replace(made, findings=tuple(f for f in made.findings if f.level != "fail"))


def test_the_owner_hears_how_the_hot_afternoon_feels_in_four_columns():
    text = " ".join(job_summary_text(design()).split())
    # 10 and 90 % of the draws: 84.4 to 87.6, 83.2 to 84.8, 78.4 to 81.6, 76.4 to 79.6 degF
    assert "nothing running 84 to 88, fan of 1.5 mph 83 to 85, mist 78 to 82, both 76 to 80 °F." in text
    metric = " ".join(job_summary_text(design(), "metric").split())
    assert "nothing running 29 to 31, fan of 0.6 m/s 28 to 29, mist 26 to 28, both 25 to 26 °C." in metric


def test_an_afternoon_outside_the_index_s_range_is_said_in_words():
    felt = replace(builders.feel(), effective={})
    for feel in (felt, None):
        text = " ".join(job_summary_text(design(cooling=(replace(builders.cooling(), feel=feel),))).split())
        assert "How it feels, Hot: outside the range" in text


def test_the_worst_finding_is_begun_however_little_room_there_is():
    taken = (("used", 0.55), ("zone", "porch"), ("flow", 1e-5))
    long = Finding("pump-bypass", "warn", "pump", "share used", 0.55, 0.8, "1", "", taken)  # three lines
    notes = [f for f in crowded().findings if f.level == "note"]
    text = findings_text((long, *notes), "us", "en", 2)
    assert len(text) == 2
    assert text[0].startswith("  LOOK") and text[0].endswith("...") and len(text[0]) <= 80
    assert re.fullmatch(r"  and \d+ more: .*", text[1])


@pytest.mark.parametrize("units", ["us", "metric"])
@pytest.mark.parametrize("make", [design, busy])
def test_it_fits_one_screen(make, units):
    files = tuple(Path("out") / f"sheet-{i}.pdf" for i in range(12))
    lines = job_summary_text(make(), units, files=files).splitlines()
    assert len(lines) <= 40
    assert max(map(len, lines)) <= 80


def test_the_builder_reads_marks_pitch_and_clearance():
    text = job_summary_text(design())
    assert "4 marks, every 24 in: 3'-0\" to 9'-0\" from face of west wall framing" in text
    assert "misses the framing, by 2 in or more" in text
    assert "Light L1 is within 3 ft of A2. Move it 12 in toward the house." in text


def test_a_hole_in_wood_is_a_stop():
    layout = builders.layout()
    clash = replace(layout.clashes[0], rule="member", hard=True, mark="A3", against="joist")

    def told(drilled):
        marks = tuple(replace(mark, drilled=drilled and mark.name == "A3") for mark in layout.marks)
        laid = replace(layout, marks=marks, clashes=(clash,))
        return job_summary_text(design(layouts=(replace(laid, holes=holes_verdict(laid, ())),)))

    assert "STOP: do not drill A3 yet." in told(False)
    assert "misses the framing" not in told(False)
    assert "STOP at A3, drilled already" in told(True) and "do not drill" not in told(True)


def test_the_installer_reads_flow_far_end_rating_pump_and_water_point():
    text = job_summary_text(design())
    for said in (
        "0.116 gpm",
        "the last, A4, gets 995 psi of 1,000 psi",
        "3,100 psi at 150 °F",
        "0.3 gpm",
        "58 psi left at the pump",
    ):
        assert said in text


def test_the_owner_reads_ranges_of_whole_degrees():
    # 2.0 to 6.5 K is 3.6 to 11.7 degF; 4.0 to 10.0 K is 7.2 to 18 degF.
    text = job_summary_text(design())
    row = next(line for line in text.splitlines() if line.startswith("  Hot"))
    assert "7 to 18 °F" in row and "4 to 12 °F" in row
    assert "2 to 6 °C" in job_summary_text(design(), "metric")
    assert not re.search(r"\d\.\d+ to ", text)
    assert not re.search(r"\bfeels?\b(?!, Hot \(SET:)", text)  # a drop of air temperature is no feeling
    told = " ".join(text.split())
    assert (
        "8 chances in 10" in told
        and "It narrows once you know how hard and from where the wind blows" in told
    )


def test_a_line_on_the_mains_has_no_pump():
    project = builders.project()
    mains = replace(project, plumbing=replace(project.plumbing, pump=None))
    text = job_summary_text(design(project=mains))
    assert "On the mains" in text
    assert "nameplate" not in text


def test_everything_assumed_and_every_caution_is_in_the_full_text():
    text = job_summary_text(crowded(), full=True)
    flat = " ".join(text.split())
    assert all(f"patio[porch].run[A].key{i}" in flat for i in range(80))
    assert "Test with water, never with air or gas" in flat
    assert "Legionella" in flat and "licensed" in flat and "local code" in flat


def test_the_screen_shows_failures_before_all_else_and_counts_the_rest():
    lines = job_summary_text(crowded()).splitlines()
    at = next(i for i, line in enumerate(lines) if line.startswith("FINDINGS"))
    assert lines[at] == "FINDINGS: 20 faults (FAIL), 20 to look at, 20 notes"
    assert lines[at + 1].startswith("  FAIL")
    assert any(re.search(r"and \d+ more", line) for line in lines[at:])
    assert sum(line.startswith("  FAIL") for line in lines) == 20  # never left out


def test_findings_are_worst_first_and_never_twice():
    found = crowded().findings
    ordered = judged((*found, *found))
    assert [f.level for f in ordered] == ["fail"] * 20 + ["warn"] * 20 + ["note"] * 20


def test_the_verdict_on_a_pump_is_the_one_of_the_design():
    def told(word: str) -> str:
        verdict = builders.line_verdict(word=word)
        plated = replace(builders.design().line.duty, from_nameplate=True)
        design = builders.design()
        design = replace(design, line=replace(design.line, duty=plated), line_verdict=verdict)
        pump = design.project.plumbing.pump
        plate = Nameplate(6e-5, 6.9e6, 746.0, 115.0)
        plumbing = replace(design.project.plumbing, pump=replace(pump, nameplate=plate))
        return job_summary_text(replace(design, project=replace(design.project, plumbing=plumbing)))

    assert "Verdict: PASS" in told("pass")
    assert "Verdict: LOOK" in told("look-again")
    assert "Verdict: FAIL" in told("no")
    assert "Verdict: NOT ALL" in told("some-not-stated")  # an unknown is no pass


def test_check_lists_all():
    text = findings_page(crowded(), "porch.toml", "us", "en")
    assert text.splitlines()[0] == "porch.toml: no mistakes in the file."
    assert text.count("  FAIL  ") == 20 and text.count("  NOTE  ") == 20
    dangers = text.index("\nDANGER\n"), text.index("\nCAUTION\n"), text.index("\nNOTE\n")
    assert sorted(dangers) == list(dangers)


def test_an_answer_from_the_site_stands_under_what_can_hurt_whoever_acts_on_it():
    answer = Finding("call-back-look", "note", "line", values=(("marks", ("A2",)),), topic="site")
    text = findings_page(design(findings=(answer, *all_cautions(builders.project()))), "p.toml", "us", "en")
    assert text.index("DANGER") < text.index("Power off and locked") < text.index("FINDINGS")
    assert "DANGER" not in findings_page(design(), "p.toml", "us", "en").partition("FINDINGS")[0]


def test_why_it_is_little_is_said_once_for_patios_that_share_it():
    sound = builders.design().verdicts

    def little(patio, day, *why):
        return replace(sound[0], patio=patio, afternoon=day, little=why)

    patios = ("front", "side", "back")
    same = tuple(little(p, day, "damp") for p in patios for day in ("hot", "typical", "humid"))
    text = " ".join(job_summary_text(design(verdicts=(*sound, *same))).split())
    assert "Why little: Hot (damp air), Typical (damp air), Humid (damp air)." in text
    apart = (little("front", "hot", "damp"), little("side", "hot", "damp"), little("back", "hot", "coarse"))
    text = " ".join(job_summary_text(design(verdicts=(*sound, *apart))).split())
    assert "Why little: Hot front, side (damp air), Hot back (coarse drops)." in text


def test_check_tells_cautions_in_a_breath_each_and_where_they_stand_in_full():
    """In full its dangers were some 300 words, a page on a terminal."""
    text = findings_page(design(findings=all_cautions(builders.project())), "p.toml", "us", "en")
    danger = text[text.index("\nDANGER\n") : text.index("\nCAUTION\n")]
    assert len(danger.split()) < 150 and "docs/cautions.md" in text
    for said in ("Power off and locked", "emergency room", "never with air or gas", "tested dead"):
        assert said in " ".join(danger.split())
