"""A measuring day from the terminal, and the page that explains it: its example runs as printed there."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import numpy as np
import pytest

from mistcalc import files
from tests.measuring_days import example
from tests.terminal import run

PAGE = Path(__file__).resolve().parents[1] / "docs" / "measuring-day.md"
FOLDER = PAGE.with_suffix("")


@pytest.fixture(scope="module")
def checked(tmp_path_factory):
    """The example run once, with a copy to give away."""
    folder = tmp_path_factory.mktemp("day")
    for one in FOLDER.iterdir():
        shutil.copy(one, folder)
    assert run("new", "courtyard", "--example", "courtyard", cwd=folder).returncode == 0
    done = run("check", "courtyard.toml", "--site", "tuesday.csv", "--share", "case.csv", cwd=folder)
    return done, folder


def blocks(sign: str) -> list[str]:
    found = re.findall(r"```(\w*)\n(.*?)```", PAGE.read_text("utf-8"), re.S)
    return [text for head, text in found if head == sign]


def test_the_example_says_it_is_invented_and_stands_on_the_page():
    assert (FOLDER / "tuesday.csv").read_text("utf-8") == example()
    assert "Invented" in example()
    assert blocks("toml") == [(FOLDER / "tuesday.toml").read_text("utf-8")]


def test_the_example_prints_what_the_page_says(checked):
    done, _ = checked
    assert done.returncode in (0, 1), done.stderr
    assert "MEASURING DAY, court, tuesday.csv" in done.stdout
    told, wanted = (" ".join(text.split()) for text in (done.stdout, blocks("")[-1]))
    for sentence in wanted.split("NOTE"):
        assert sentence.strip() in told
    assert max(map(len, done.stdout.splitlines())) <= 80


def test_what_is_given_away_names_nothing_and_is_read_back_to_the_same_day(checked):
    _, folder = checked
    shared = (folder / "case.csv").read_text("utf-8")
    project = files.read_project(folder / "courtyard.toml")
    for word in ("chairs", "table", "court", "tuesday", "2027", *project.name.split(), project.place.climate):
        assert word.casefold() not in shared.casefold(), word
    one, again = (files.read_measuring_day(folder / name, project) for name in ("tuesday.csv", "case.csv"))
    assert again.rounds == one.rounds
    bearing = project.place.bearing
    for before, after in zip(one.winds, again.winds, strict=True):
        assert after.speed == pytest.approx(before.speed, abs=0.005)
        assert after.in_plan and not before.in_plan
        assert np.cos(after.side + bearing - before.side) == pytest.approx(1.0, abs=1e-4)
    said = run("check", "courtyard.toml", "--site", "case.csv", cwd=folder).stdout
    assert "chairs: 11.5 °F cooler with the mist on" in said


def test_a_day_and_a_site_log_together(checked):
    _, folder = checked
    log = folder / "monday.jsonl"
    log.write_text('{"when": "2027-03-01T08:00", "field": "note", "value": "hung"}\n', "utf-8")
    done = run("check", "courtyard.toml", "--site", "tuesday.toml", "monday.jsonl", cwd=folder)
    assert done.returncode in (0, 1) and "MEASURING DAY" in done.stdout
    assert (folder / "courtyard.site.jsonl").read_text("utf-8").count("\n") == 1
    (folder / "courtyard.site.jsonl").unlink()


def test_a_day_that_cannot_be_read_adds_nothing_to_the_log(checked):
    _, folder = checked
    (folder / "lone.csv").write_text("a,b\n1,2\n", "utf-8")
    log = folder / "monday.jsonl"
    log.write_text('{"when": "2027-03-01T08:00", "field": "note", "value": "hung"}\n', "utf-8")
    done = run("check", "courtyard.toml", "--site", "monday.jsonl", "lone.csv", cwd=folder)
    assert done.returncode == 2 and "lone.toml" in done.stderr
    assert not (folder / "courtyard.site.jsonl").exists()


def test_share_without_a_day(checked):
    _, folder = checked
    done = run("check", "courtyard.toml", "--share", "x.csv", cwd=folder)
    assert done.returncode == 2 and "--site" in done.stderr
    assert not (folder / "x.csv").exists()


def test_share_never_writes_over_a_file(checked):
    _, folder = checked
    before = (folder / "courtyard.toml").read_bytes()
    done = run("check", "courtyard.toml", "--site", "tuesday.csv", "--share", "courtyard.toml", cwd=folder)
    assert done.returncode == 2 and done.stderr.count("\n") == 1 and "courtyard.toml" in done.stderr
    assert (folder / "courtyard.toml").read_bytes() == before
