"""The record of what lies over a finished ceiling: from finished faces, as drilled where measured."""

from __future__ import annotations

import dataclasses

import pytest

from mistcalc import design
from mistcalc.drawing.frame import PAPERS
from mistcalc.drawing.sheet import Text
from mistcalc.files import parse_site_log
from mistcalc.report.builder.record_sheet import record_sheets
from mistcalc.report.common.locale_text import Locale
from tests import builders
from tests.random_projects import project_text
from tests.report.jobs import TEXTS, solved
from tests.test_as_built import line

US = Locale("us", "en")


def sheets(*lines: str, locale: Locale = US, job=None):
    job = job or builders.design()
    built, _ = design.judge_holes(job, parse_site_log("\n".join(lines)))
    job = dataclasses.replace(job, built=built)
    return record_sheets(job, job.project.patios[0], PAPERS["11x17"], locale)


def texts(draft) -> list[str]:
    return [item.text for item in draft.items if isinstance(item, Text)]


def test_without_a_hole_there_is_none():
    assert sheets() == []
    assert sheets(line("mark cannot", "out of reach")) == []


def test_a_stub_stands_where_it_was_measured_less_the_plaster():
    """7/8 in of plaster on the datum's wall: 4'-1 1/8" at framing is 4'-0 1/4" from the finished face."""
    (draft,) = sheets(
        line("mark drilled", "6 ft", "A3"),
        line("mark measured", "4'-1 1/8\"", "A2"),
        line("mark back", "6-1/4 in", "A2"),
        line("mark note", "pipe above", "A2", photo="31"),
    )
    told = texts(draft)
    row = told[told.index("A2") :]
    assert row[1:7] == ["4'-0 1/4\"", "48 1/4", "1226", "0'-6 1/4\"", "measured", "pipe above (photo 31)"]
    row = told[told.index("A3") :]
    assert row[1] == "5'-11 1/8\"" and "drilled to plan" in row[:7]
    assert "plan; not drilled" in told[told.index("A4") :][:7]


def test_metric_rows_are_in_millimeters_alone():
    (draft,) = sheets(line("mark measured", "1250 mm"), locale=Locale("metric", "en"))
    told = texts(draft)
    assert told[told.index("A2") + 1] == "1228 mm"
    assert not [text for text in told if '"' in text]


@pytest.mark.parametrize("count", [4, 60, 200])
def test_every_mark_stands_once_on_as_many_sheets_as_it_takes(count):
    (layout,) = builders.design().layouts
    model = layout.marks[0]
    step = 12 * 12 * 0.0254 / count
    marks = tuple(
        dataclasses.replace(model, name=f"A{n}", along=n * step, along_finished=n * step - 0.02)
        for n in range(count)
    )
    job = builders.design(layouts=(dataclasses.replace(layout, marks=marks),))
    drafts = sheets(line("mark drilled", "1 ft", "A1"), job=job)
    told = [text for draft in drafts for text in texts(draft)]
    assert [name for name in told if name in {mark.name for mark in marks}] == [mark.name for mark in marks]
    assert len(drafts) == (1 if count < 20 else len(drafts)) and all(
        "DO NOT" in texts(draft)[0] for draft in drafts
    )
    heads = [text for text in told if text.startswith("RUN ")]
    assert len(heads) == len(drafts)  # on every sheet it is said whose marks these are
    assert len(heads) < 2 or "continued" in told


def test_what_was_written_down_of_a_hole_stands_there_in_full():
    """A long note was cut to half the width of its column, and why a hole is not there was not told."""
    note = (
        "pipe of the upstairs bath 2 in past the joist, gas behind it, see the plumber before anything " * 2
    )
    (draft,) = sheets(
        line("mark drilled", "6 ft", "A3"),
        line("mark note", note.strip(), "A3"),
        line("mark cannot", "pipe or wire in the way", "A2"),
    )
    told = texts(draft)
    assert "pipe or wire in the way" in told
    assert note.strip() in " ".join(told) and not [text for text in told if "…" in text]


@pytest.mark.parametrize(
    "seed", [pytest.param(n, marks=pytest.mark.thorough if n > 7 else ()) for n in range(40)]
)
def test_no_tube_over_a_ceiling_is_left_out(seed):
    """Random houses, one hole drilled a patio: each run with tube on it has its line as far as the tube lies,
    and each piece beside the runs is named at the patios it comes to, with room to write where it lies."""
    made = solved(project_text(seed))
    marks = {layout.patio: layout.marks[0] for layout in made.layouts if layout.marks}
    log = "\n".join(line("mark drilled", "1 ft", mark.name) for mark in marks.values())
    if not marks:
        return
    made = dataclasses.replace(made, built=design.judge_holes(made, parse_site_log(log))[0])
    tubed = {tube.run for tube in made.line.tubes if tube.run}
    pieces = [piece for piece in made.project.plumbing.every_piece if piece.length > 0.0]
    for patio in made.project.patios:
        if patio.name not in marks:
            continue
        told = [text for draft in record_sheets(made, patio, PAPERS["11x17"], US) for text in texts(draft)]
        rows = [row.name for row in patio.rows]
        for name in rows:
            assert (US.label("paper_table.run", run=name) in told) == (
                name in tubed or name in {m.run for m in made.layout_of(patio.name).marks}
            )
        for piece in pieces:
            ends = {getattr(spot, "run", str(spot).rpartition(" ")[0]) for spot in (piece.start, piece.end)}
            head = US.label("paper_record.tube", spot=piece.name)
            assert (head in told) == bool(ends & set(rows)), piece.name


def test_tube_between_two_rows_of_a_run_stands_where_it_lies():
    """By hand: rows 6 in and 6 ft behind the edge, fed at the run's start."""
    text = TEXTS["straight"].replace('length = "', 'second_row = { back = "6 ft" }\nlength = "', 1)
    made = solved(text)
    log = line("mark drilled", "1 ft", made.layouts[0].marks[0].name)
    made = dataclasses.replace(made, built=design.judge_holes(made, parse_site_log(log))[0])
    told = " ".join(
        text
        for draft in record_sheets(made, made.project.patios[0], PAPERS["11x17"], US)
        for text in texts(draft)
    )
    assert "From 0'-6\" to 6'-0\" behind the edge, 0'-0\" along run A." in told
    assert "TUBE pump to A start" in told and "It lies: ____" in told
