"""A line that fails says so on every sheet, on the screen and in the verdict, and is not put to the test.

No published source: one rule, followed through every door. The porch is that of tests.builders, its tube
rated 145 psi and worked at 1,000.
"""

from __future__ import annotations

from dataclasses import replace

from mistcalc.checks import all_cautions
from mistcalc.drawing.sheet import Text
from mistcalc.model.results import Finding
from mistcalc.report.findings_and_cautions import findings_text
from mistcalc.report.job_summary import job_summary_text
from mistcalc.report.sheet_set import build
from tests import builders

PSI = 6894.757293168
WEAK = Finding(
    "tube-rating", "fail", "line/tube", "tube rating", 145 * PSI, 1000 * PSI, "Pa",
    values=(("material", "nylon"), ("temperature", 338.7)), audience=("installer",),
)  # fmt: skip


def porch():
    """The porch with its cautions."""
    made = builders.design()
    return replace(made, findings=(*made.findings, *all_cautions(made.project)))


def failing():
    sound = porch()
    duty = replace(sound.line.duty, tube_rating=145 * PSI)
    line = replace(sound.line, duty=duty)
    verdict = builders.line_verdict(word="no", fails=True, tube_holds=False)
    hold = replace(builders.hold_plan(), allowed=False)
    return replace(sound, line=line, findings=(*sound.findings, WEAK), line_verdict=verdict, hold=hold)


def told(sheet):
    return " ".join(item.text for item in sheet.items if isinstance(item, Text))


def test_every_sheet_of_a_line_that_fails_says_not_to_build_it():
    sheets = build(failing(), "us", "en")
    assert all("FAILS: DO NOT BUILD" in told(sheet) for sheet in sheets)
    assert any("Line and pump: FAIL" in told(sheet) for sheet in sheets)
    assert not any("DO NOT BUILD" in told(sheet) for sheet in build(porch(), "us", "en"))


def test_no_test_above_what_tube_and_joints_are_rated_for():
    sheets = {sheet.title: told(sheet) for sheet in build(failing(), "us", "en")}
    assert "NO TEST AND NO WATCH" in sheets["Test by gauge"] and "145 psi" in sheets["Test by gauge"]
    assert "Pump up" not in sheets["Test by gauge"] and "Watch" not in sheets


def test_the_installer_reads_on_the_screen_what_fails_and_is_told_to_buy_nothing():
    text = " ".join(job_summary_text(failing()).split())
    assert "rated 145 psi at 150 °F, needs 1,000 psi: FAIL." in text
    assert "buy and build none of it" in text and "Pump to buy" not in text


def test_what_fails_is_read_in_full_however_little_room_there_is():
    other = replace(WEAK, values=(("material", "pex"), ("temperature", 338.7)))
    notes = tuple(f for f in builders.findings() if f.level == "note")
    text = " ".join(" ".join(findings_text((WEAK, other, *notes), "us", "en", 2)).split())
    assert text.count("never run it at that pressure.") == 2 and "..." not in text
