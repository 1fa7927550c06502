"""New project files, shipped demos, and writing them without harm to what is there."""

from __future__ import annotations

import dataclasses
import os
import re
import stat

import pytest

from mistcalc import files, words
from mistcalc.errors import DataError, InputError, InputErrors


def stated(text: str) -> str:
    """The same file with its commented defaults made statements (the examples of things stay comments)."""
    lines, inside_example = [], False
    for line in text.splitlines():
        inside_example = line.startswith("# [") or (inside_example and line.startswith("#"))
        if not inside_example and not line.startswith("# joints"):
            line = re.sub(r"^# (?=[a-z_]+ = )", "", line)
        lines.append(line)
    return "\n".join(lines)


@pytest.mark.parametrize(
    ("runs", "depth", "corners", "near"),
    [
        (["38 ft", "21 ft"], "13 ft", ["inside"], "el-paso"),
        (["24' 6\""], "12 ft", [], "Houston"),
        (["10 ft", "12 ft", "10 ft"], "9 ft", ["outside"], "tucson"),
        (["12 m", "7500 mm"], "4 m", [], "fresno"),
        (["20 ft"], "9 ft", [], None),
    ],
)
def test_a_new_file_says_truly_what_its_comments_call_defaults(runs, depth, corners, near):
    text = files.new_project_text('The "new" one', runs, depth, corners, near)
    project = files.parse_project(text)
    loud = files.parse_project(stated(text))
    assert loud.plumbing.nozzle.label == words.word(project.plumbing.nozzle.label, units=project.units)
    nozzle = dataclasses.replace(loud.plumbing.nozzle, label=project.plumbing.nozzle.label)
    loud = dataclasses.replace(loud, plumbing=dataclasses.replace(loud.plumbing, nozzle=nozzle))
    assert dataclasses.replace(loud, assumed=()) == dataclasses.replace(project, assumed=())
    assert len(loud.assumed) < len(project.assumed) - 20


@pytest.mark.parametrize(
    ("runs", "corners", "ring"),
    [
        (("32 ft", "20 ft", "32 ft", "20 ft"), ("inside",), True),  # an open one whose ends met, and FAIL
        (("32 ft", "20 ft", "32 ft", "20 ft"), ("outside",) * 3, True),
        (("32 ft", "20 ft", "32 ft", "18 ft"), ("inside",), False),
        (("32 ft", "20 ft", "32 ft"), ("inside",), False),
        (("20 ft", "10 ft", "10 ft", "10 ft", "30 ft", "20 ft"),
         ("inside", "outside", "inside", "inside", "inside"), True),
    ],
)  # fmt: skip
def test_walls_that_come_back_to_the_start_are_a_ring(runs, corners, ring):
    project = files.parse_project(files.new_project_text("court", runs, "6 ft", corners, "el-paso"))
    assert (project.patios[0].runs[-1].corner is not None) == ring


def test_what_was_typed_stands_in_the_new_file():
    text = files.new_project_text(
        "Lot 7", ["38 ft", "21' 6\"", "9 ft"], "13 ft", ["inside", "outside"], "las-vegas"
    )
    assert 'length = "38 ft"' in text and 'depth  = "13 ft"' in text
    project = files.parse_project(text)
    patio = project.patios[0]
    assert [run.corner for run in patio.runs] == ["inside", "outside", None]
    assert patio.runs[1].length == pytest.approx(21.5 * 0.3048)
    assert project.place.climate == "las-vegas"
    assert project.place.elevation == pytest.approx(648, abs=0.2)  # the sample's own head, to the foot
    assert [piece.end for piece in project.plumbing.pieces] == ["A start", "B start", "C start"]


@pytest.mark.parametrize(("run", "depth", "hot"), [("20 ft", "9 ft", 310.93), ("6 m", "3 m", 311.15)])
def test_without_a_sample_the_afternoon_is_a_guess_that_says_so(run, depth, hot):
    text = files.new_project_text("N", [run], depth)
    place = files.parse_project(text).place
    assert place.climate is None
    assert [one.name for one in place.afternoons] == ["hot"]
    assert place.afternoons[0].dry_bulb == pytest.approx(hot, abs=0.01)
    assert text.count("A GUESS") == 2 and all(name in text for name in files.climate_sample_names())


def test_metric_lengths_make_a_metric_file():
    project = files.parse_project(files.new_project_text("N", ["12 m"], "4 m", [], "fresno"))
    assert project.units == "metric" and project.patios[0].marks.pitch == 0.6


@pytest.mark.parametrize(
    ("runs", "depth", "corners", "near", "found"),
    [
        (["38", "20 ft"], "13", [], "el-paso", [("unit-missing", "--run"), ("unit-missing", "--depth")]),
        ([], "13 ft", [], "el-paso", [("runs-missing", "--run")]),
        (["38 ft"], "0 ft", [], "el-paso", [("not-above-zero", "--depth")]),
        (["38 ft"], "13 ft", ["inside"], "el-paso", [("too-many-corners", "--corner")]),
        (["38 ft", "9 ft"], "13 ft", ["left"], "el-paso", [("choice-unknown", "--corner")]),
        (["38 ft"] * 27, "13 ft", [], "el-paso", [("too-many", "--run")]),
        (["1 km"], "13 ft", [], "el-paso", [("out-of-range", "patio[patio].run[A].length")]),
    ],
)
def test_new_refuses_with_the_option_named(runs, depth, corners, near, found):
    with pytest.raises(InputErrors) as caught:
        files.new_project_text("N", runs, depth, corners, near)
    assert [(m.code, m.where) for m in caught.value.mistakes] == found


def test_unknown_sample_and_unknown_demo():
    with pytest.raises(DataError):
        files.new_project_text("N", ["38 ft"], "13 ft", [], "atlantis")
    with pytest.raises(InputError) as caught:
        files.example_text("../courtyard")
    assert caught.value.code == "example-unknown"


# ------------------------------------------------------------------ writing


def test_a_new_file_never_replaces_one(tmp_path):
    path = tmp_path / "house.toml"
    files.write_new(path, "one\n")
    with pytest.raises(InputError) as caught:
        files.write_new(path, "two\n")
    assert caught.value.code == "file-exists"
    assert path.read_text() == "one\n"
    assert [p.name for p in tmp_path.iterdir()] == ["house.toml"]


def test_writing_replaces_whole_and_leaves_nothing_beside(tmp_path):
    path = tmp_path / "house.toml"
    files.write_file(path, "first\r\n")
    path.chmod(0o640)
    files.write_file(path, b"second \xc3\xa9")
    assert path.read_bytes() == b"second \xc3\xa9"
    assert stat.S_IMODE(path.stat().st_mode) == 0o640
    assert [p.name for p in tmp_path.iterdir()] == ["house.toml"]


def test_a_write_that_fails_half_way_leaves_the_old_file(tmp_path, monkeypatch):
    path = tmp_path / "house.toml"
    files.write_file(path, "old")

    def full(_handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="No space"):
        files.write_file(path, "new")
    assert path.read_text() == "old"
    assert [p.name for p in tmp_path.iterdir()] == ["house.toml"]


def test_a_link_stays_a_link(tmp_path):
    real, link = tmp_path / "real.toml", tmp_path / "link.toml"
    real.write_text("old")
    link.symlink_to(real)
    files.write_file(link, "new")
    assert link.is_symlink() and real.read_text() == "new"
