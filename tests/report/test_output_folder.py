"""The folder of a job: all of it or nothing, and nobody else's file touched."""

from __future__ import annotations

import errno
import io
import json
import os
import re
import stat
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import pytest
from pypdf import PdfReader

import mistcalc.report
from mistcalc import design, files, report, words
from mistcalc.errors import DataError
from mistcalc.report.trades.trade_set import SLIPS
from tests import builders

LISTS = {
    "marks.csv", "marks.html", "marks.txt", "materials.csv", "cuts.csv", "picture.csv", "season.csv",
    "line.inp", "plan.json", "summary.txt", *(f"trade-{name}.pdf" for name in SLIPS),
}  # fmt: skip
SHEETS = {"sheets-builder.pdf", "sheet-R-1.svg"}


@pytest.fixture(autouse=True)
def paper(monkeypatch):
    """A stand-in for the sheets: this file is about the folder."""
    told = SimpleNamespace(fault=None, asked=[], names=["sheets-builder.pdf", "sheet-R-1.svg"])

    def files(design, units: str, language: str) -> dict[str, bytes]:
        told.asked.append((units, language))
        if told.fault is not None:
            raise told.fault
        return {name: f"<svg>{name} {design.code}</svg>".encode() for name in told.names}

    monkeypatch.setattr(mistcalc.report, "sheet_set", SimpleNamespace(files=files), raising=False)
    return told


def test_a_new_folder_holds_the_set(tmp_path, paper):
    written = report.write(builders.design(), tmp_path / "deep" / "sheets")
    assert {path.name for path in written} == LISTS | SHEETS
    assert written[0].name == "sheets-builder.pdf"
    assert all(path.is_file() and path.stat().st_size for path in written)
    assert paper.asked == [("us", "en")]
    assert os.listdir(tmp_path / "deep") == ["sheets"]


def test_others_can_read_the_folder_as_they_can_its_parent(tmp_path):
    tmp_path.chmod(0o755)
    report.write(builders.design(), tmp_path / "sheets")
    mode = stat.S_IMODE((tmp_path / "sheets").stat().st_mode)
    assert mode == 0o755


def test_units_can_be_chosen(tmp_path, paper):
    report.write(builders.design(), tmp_path / "sheets", "metric")
    assert paper.asked == [("metric", "en")]
    assert "°C" in (tmp_path / "sheets" / "summary.txt").read_text("utf-8")


@pytest.mark.parametrize(
    "fault", [OSError(errno.ENOSPC, "No space left on device"), KeyboardInterrupt(), ValueError()]
)
def test_a_fault_half_way_leaves_no_new_folder(tmp_path, paper, fault):
    paper.fault = fault
    with pytest.raises(type(fault)):
        report.write(builders.design(), tmp_path / "sheets")
    assert os.listdir(tmp_path) == []


def test_a_fault_half_way_leaves_the_old_set_as_it_was(tmp_path, paper):
    folder = tmp_path / "sheets"
    report.write(builders.design(), folder)
    before = {path.name: path.read_bytes() for path in folder.iterdir()}
    paper.fault = OSError(errno.ENOSPC, "No space left on device")
    with pytest.raises(OSError, match="No space"):
        report.write(builders.design(code="NEW NEW"), folder)
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before


def test_writing_again_replaces_ours_and_keeps_the_rest(tmp_path):
    folder = tmp_path / "sheets"
    folder.mkdir()
    (folder / "photo.jpg").write_bytes(b"mine")
    report.write(builders.design(), folder)
    report.write(builders.design(code="NEW NEW"), folder)
    assert (folder / "photo.jpg").read_bytes() == b"mine"
    assert json.loads((folder / "plan.json").read_text("utf-8"))["code"] == "NEW NEW"
    assert {path.name for path in folder.iterdir()} == LISTS | SHEETS | {"photo.jpg"}


def test_a_sheet_that_the_job_no_longer_has_goes(tmp_path, paper):
    folder = tmp_path / "sheets"
    paper.names.append("sheet-R-2.svg")
    report.write(builders.design(), folder)
    paper.names.pop()
    report.write(builders.design(code="NEW NEW"), folder)
    assert {path.name for path in folder.iterdir()} == LISTS | SHEETS


@pytest.mark.thorough
@pytest.mark.parametrize("theirs", ["summary.txt", "sheet-7.svg", "plan.json"])
def test_a_file_of_theirs_by_a_name_of_ours_is_left_alone(theirs, tmp_path):
    folder = tmp_path / "sheets"
    folder.mkdir()
    (folder / theirs).write_text("mine")
    with pytest.raises(DataError, match="folder-holds") as refused:
        report.write(builders.design(), folder)
    assert theirs in words.say(refused.value) and str(folder / "sheets") in words.say(refused.value)
    assert [(path.name, path.read_text()) for path in folder.iterdir()] == [(theirs, "mine")]


@pytest.mark.thorough
@pytest.mark.parametrize("theirs", ["photos", "plan.json"])
def test_a_folder_of_theirs_is_left_alone(theirs, tmp_path):
    folder = tmp_path / "sheets"
    report.write(builders.design(), folder)
    (folder / theirs).unlink(missing_ok=True)
    (folder / theirs).mkdir()
    before = {path.name for path in folder.iterdir()}
    with pytest.raises(DataError, match="folder-holds"):
        report.write(builders.design(code="NEW NEW"), folder)
    assert {path.name for path in folder.iterdir()} == before
    assert os.listdir(tmp_path) == ["sheets"]


@pytest.mark.thorough
def test_the_folder_one_works_in_is_not_swapped_away_from_under_one(tmp_path, monkeypatch):
    (tmp_path / "sheets").mkdir()
    monkeypatch.chdir(tmp_path / "sheets")
    for folder in (Path(), tmp_path / "sheets", tmp_path):
        with pytest.raises(DataError, match="folder-stood-in"):
            report.write(builders.design(), folder)
    report.write(builders.design(), Path("of its own"))
    assert os.listdir() == ["of its own"]


def test_a_file_in_the_way_is_left_alone(tmp_path):
    (tmp_path / "sheets").write_text("mine")
    with pytest.raises(DataError, match="folder-is-file"):
        report.write(builders.design(), tmp_path / "sheets")
    assert (tmp_path / "sheets").read_text() == "mine"


def test_text_files_are_utf8_with_one_kind_of_line_end(tmp_path):
    report.write(builders.design(), tmp_path / "sheets")
    for name in ("plan.json", "summary.txt", "line.inp"):
        raw = (tmp_path / "sheets" / name).read_bytes()
        assert b"\r" not in raw and raw.endswith(b"\n")
        raw.decode("utf-8")


def test_a_design_is_told_in_a_line():
    told = repr(builders.design())
    assert len(told) < 200 and "\n" not in told and builders.design().code in told


def in_both(**changes: object):
    made = builders.design()
    return replace(made, project=replace(made.project, **changes))


@pytest.mark.thorough
def test_what_a_crew_carries_is_written_in_its_language_too(tmp_path):
    alone, both = (report.contents(in_both(crew_language=crew)) for crew in (None, "es"))
    assert set(both) - set(alone) == {"marks-es.txt"}  # and calendar-es.ics, where there is a calendar
    assert str(both["marks.txt"]) == str(alone["marks.txt"])
    assert "marcas" in str(both["marks-es.txt"]) and "marks" in str(both["marks.txt"])
    assert both["marks.html"] != alone["marks.html"]
    pages = [len(PdfReader(io.BytesIO(made["trade-framer.pdf"])).pages) for made in (alone, both)]
    assert pages[1] >= 2 * pages[0]
    report.write(in_both(crew_language="es"), tmp_path / "sheets")
    written = report.write(in_both(), tmp_path / "sheets")  # the second set leaves nothing of the first
    assert {path.name for path in written} == set(os.listdir(tmp_path / "sheets"))


def test_a_crew_of_the_same_language_gets_nothing_twice():
    assert set(report.contents(in_both(crew_language="en"))) == set(report.contents(in_both()))


@pytest.mark.thorough
def test_the_crews_calendar_says_the_same_days():
    project = files.parse_project(
        files.example_text("courtyard").replace("units ", 'crew_language = "es"\nunits ', 1)
    )
    job = design.run(project, files.read_climate(files.climate_path("el-paso", None)))
    made = report.contents(job)
    days = [re.findall(r"DTSTART\S+|UID\S+", str(made[name])) for name in ("calendar.ics", "calendar-es.ics")]
    assert days[0] == days[1] and "ALTO" in str(made["calendar-es.ics"])
