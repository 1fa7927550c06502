"""marks.txt read back: every mark once, at its distance, in lines that fit a message and stand alone.

160 signs of the GSM alphabet, or 70 of any (3GPP TS 23.038, from memory); encoded here by Python's UTF-16.
"""

from __future__ import annotations

import math
import re
from dataclasses import replace

import numpy as np
import pytest

from mistcalc import files, units, words
from mistcalc.drawing.sheet import Text
from mistcalc.layout import lay
from mistcalc.model.mirror_image import mirrored
from mistcalc.model.project import Patio
from mistcalc.report.builder.story_pole import pole_sheets
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.exports.marks_messages import messages
from tests.random_projects import project_text
from tests.report import jobs
from tests.report.jobs import DEMOS, TEXTS, job

PLAIN = set("@$_ !\"#%&'()*+,-./0123456789:;<=>?abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ")
TWICE = set("^{}[]~|\\")


def fits(line: str) -> bool:
    if set(line) <= PLAIN | TWICE:
        return sum(2 if sign in TWICE else 1 for sign in line) <= 160
    return len(line.encode("utf-16-be")) <= 2 * 70


@pytest.mark.parametrize("name", [*DEMOS, *TEXTS])
def test_every_line_is_one_message_with_the_code_of_the_sheets(name):
    design = job(name)
    lines = messages(design, Locale(design.project.units, "en")).splitlines()
    code = design.code.replace(" ", "")
    for line in lines:
        assert fits(line), line
        assert code in line and ("DO NOT BUILD" in line) is design.line_verdict.fails


@pytest.mark.parametrize("name", ["courtyard", "terraza", "metric", "long", "close", "stops"])
def test_every_mark_stands_once_at_its_distance_from_the_datum_named(name):
    design = job(name)
    text = messages(design, Locale(design.project.units, "en"))
    found = {}
    for line in text.splitlines()[2:]:
        told = re.search(r" (\S+) from ([^:]+): (.*)", line)
        for item in told[3].split(", ") if told else ():
            mark, along = re.fullmatch(r"(\w+) (?:STOP )?(.+)", item).groups()
            assert mark not in found
            found[mark] = (told[1], told[2], along)
    marks = [mark for layout in design.layouts for mark in layout.marks]
    assert set(found) == {mark.name for mark in marks}
    runs = {run.name: run.datum.surface for patio in design.project.patios for run in patio.runs}
    for mark in marks:
        run, surface, along = found[mark.name]
        assert run == mark.run and runs[run].startswith(surface.removesuffix(".."))
        assert units.parse(along, "length") == pytest.approx(mark.along, abs=0.0254 / 16 + 1e-9)


@pytest.mark.parametrize(
    "name", ["Terraza del jardín de atrás " * 2, "庭の北側のひさしの下の線", "^{}[]~|" * 7, "`" * 60]
)
@pytest.mark.parametrize("fails", [True, False])
def test_names_in_any_script_leave_room_for_what_matters(name, fails):
    """Names that leave a message 70 signs, or take two signs a letter, on runs, datums, marks and the job."""
    design = job("stops")
    (patio,), (layout,) = design.project.patios, design.layouts
    run, line = patio.runs[0], layout.lid.runs[0]
    called = replace(run, name=name, datum=replace(run.datum, surface=name))
    marks = tuple(replace(mark, name=f"{name[:50]}{n}", run=name) for n, mark in enumerate(layout.marks))
    hung = replace(layout, marks=marks, lid=replace(layout.lid, runs=(replace(line, name=name),)))
    project = replace(design.project, name=name, patios=(replace(patio, runs=(called,)),))
    verdict = replace(design.line_verdict, fails=fails)
    renamed = replace(design, project=project, layouts=(hung,), line_verdict=verdict)
    lines = messages(renamed, Locale("us", "en")).splitlines()
    assert all(fits(line) for line in lines), [line for line in lines if not fits(line)]
    assert sum(line.count(units.tape(mark.along, "us")) > 0 for line in lines for mark in marks) >= len(marks)


@pytest.mark.parametrize(("language", "said"), [("en", "joist as assumed"), ("es", "vigueta supuesta")])
def test_joists_that_nobody_stated_are_told_run_by_run_and_strip_by_strip(language, said):
    locale = Locale("us", language)
    for framing, assumed in (("{}", True), (jobs._REGULAR, False)):
        made = jobs.solved(jobs.text_of(jobs.patio("porch", "9 ft", jobs.run("A", "20 ft", framing))))
        lines = messages(made, locale).splitlines()
        assert any("perforar." in line or "before drilling." in line for line in lines) is assumed
        items = [item for sheet in pole_sheets(made, "sheets", locale) for item in sheet.items]
        strips = [item.text for item in items if isinstance(item, Text)]
        assert any(said in text for text in strips) is assumed
        assert not any(text.endswith("\N{HORIZONTAL ELLIPSIS}") for text in strips)  # nor on a short last one


def test_a_hole_that_must_not_be_drilled_is_stopped():
    design = job("stops")
    text = messages(design, Locale("us", "en"))
    assert re.findall(r"(\w+) STOP \d", text) == ["A9"]


def with_usual_datums(patio: Patio) -> Patio:
    """Every tape hooked on what no file names: a wall."""
    usual = (replace(run.datum, surface="face of wall framing") for run in patio.runs)
    runs = tuple(replace(run, datum=datum) for run, datum in zip(patio.runs, usual, strict=True))
    return replace(patio, runs=runs)


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("language", ["en", "es"])
def test_where_both_ends_look_alike_it_says_at_which_the_tape_is_hooked(seed, language):
    """At the left or right of whoever stands at the open edge and faces the marks, as they are drawn."""
    project = replace(files.parse_project(project_text(seed)), mirrored_from="", alternates=())
    sides = {"en": ("at the left", "at the right"), "es": ("a la izquierda", "a la derecha")}[language]
    for patio in map(with_usual_datums, (*project.patios, *mirrored(project).patios)):
        for run, line in zip(patio.runs, lay(patio).lid.runs, strict=True):
            told = words.word(run.hooked_on, language)
            if run.starts_at != run.ends_at:
                assert not any(side in told for side in sides)
                continue
            here, there = sorted(np.array(line.edge), key=lambda end: math.dist(end, line.datum_point))
            tape = (there - here) / math.dist(here, there)
            off = np.array(line.tube[0]) - here
            inward = off - tape * np.dot(off, tape)  # from the edge to the tube
            turned = inward[0] * tape[1] - inward[1] * tape[0]  # the tape goes to the right: below zero
            at = int(turned > 0)
            assert sides[at] in told and sides[1 - at] not in told
