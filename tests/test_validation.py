"""The way published tests compare, and that docs/validation says what they say now."""

import subprocess
import sys

import numpy as np
import pytest

from tests.published import cases, chart, report


@pytest.fixture
def source(monkeypatch):
    monkeypatch.setattr(cases, "RECORDED", [])
    return cases.Source("a-table", "Water", "A table", "A book, page 3", "text", "Only water.")


@pytest.mark.thorough
def test_committed_pages_are_current(repository):
    """In a process of its own: a run of the published tests inside this run would count twice."""
    command = [sys.executable, "-m", "tests.published.report", "--check"]
    done = subprocess.run(command, cwd=repository, capture_output=True, text=True)
    assert done.returncode == 0, done.stdout[-2000:] + done.stderr[-2000:]


@pytest.mark.parametrize("ours", [9.9, 10.1])
def test_a_figure_within_tolerance_passes(source, ours):
    source.check("depth", ours, 10, "m", within=0.1 + 1e-9, because="last digit")
    source.check("depth", ours, 10, "m", rel=0.0101, because="its scatter")
    source.between("depth", ours, 9, 11, "m", because="as told")


@pytest.mark.parametrize("ours", [9.8, 10.2, np.nan, [10, 10.2]])
def test_a_figure_outside_fails_and_is_told_all_the_same(source, ours):
    with pytest.raises(AssertionError, match=r"allowed 9\.9 to 10\.1"):
        source.check("depth", ours, 10, "m", within=0.1, because="last digit")
    with pytest.raises(AssertionError):
        source.check("depth", ours, 10, "m", rel=0.01, because="last digit")
    with pytest.raises(AssertionError):
        source.between("depth", ours, 9.9, 10.1, "m", because="as told")
    made = report.pages(cases.RECORDED)
    assert made["README.md"].count("**outside**") == 3 and "**3 outside tolerance**" in made["README.md"]


def test_a_verdict_is_the_same_or_not(source):
    source.same("class", {"soft"}, {"soft"})
    with pytest.raises(AssertionError, match="ours hard, theirs soft"):
        source.same("class", "hard", "soft")


def test_a_tolerance_must_be_stated(source):
    with pytest.raises(ValueError, match="within"):
        source.check("depth", 1, 1, "m", because="")
    with pytest.raises(ValueError, match="a-page"):
        cases.Source("a-page", "Cookery", "A", "B", "text")


def test_a_curve_is_drawn_and_its_worst_point_told(source):
    source.check(
        "speed", [1, 2, 2.9], [1, 2, 3], "m/s", within=0.5, because="x", x=[0, 5, 10], axis="time, s"
    )
    made = report.pages(cases.RECORDED)
    assert "speed (worst of 3) | 3 m/s | 2.90 m/s | -0.10 m/s | ±0.5 m/s | 20 % | x |" in made["a-table.md"]
    assert made["a-table.svg"] == chart.picture("A table", cases.RECORDED)
    assert "time, s" in made["a-table.svg"]


def test_pages_differ_when_a_figure_does_and_not_by_its_last_digit():
    assert report.alike("off +0.12 K of 3", "off +0.13 K of 3")
    assert not report.alike("off +0.12 K of 3", "off +0.14 K of 3")
    assert not report.alike("off +0.12 K", "off +0.12 degC")


def test_a_missing_changed_or_left_over_page_is_stale(source, tmp_path):
    source.check("depth", 10, 10, "m", within=0.1, because="last digit")
    made = report.pages(cases.RECORDED)
    assert report.stale(made, tmp_path) == ["README.md", "a-table.md", "a-table.svg"]
    for name, text in made.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    (tmp_path / "by-hand.md").write_text("# By hand\n", encoding="utf-8")
    assert report.stale(made, tmp_path) == []
    assert "[By hand](by-hand.md)" in report.pages(cases.RECORDED, tmp_path)["README.md"]
    (tmp_path / "gone.md").write_text(f"# Gone\n{report.MARK}", encoding="utf-8")
    (tmp_path / "gone.svg").write_text("<svg/>", encoding="utf-8")
    assert report.stale(made, tmp_path) == ["gone.md", "gone.svg"]
