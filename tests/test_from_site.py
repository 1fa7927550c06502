"""Several files from site given at once: every mistake of every file is told, none is used in part."""

from __future__ import annotations

import json
import random
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mistcalc import from_site, words
from mistcalc.errors import FilesRefused, InputErrors, MistcalcError
from mistcalc.files import site_log_path
from tests import builders
from tests.terminal import run

JOB = builders.design()


def entry(n: int) -> str:
    return json.dumps({"when": f"2027-03-01T08:{n:02d}:00", "field": "note", "value": str(n)})


BROKEN = (
    "no entry",
    json.dumps({"when": "2027-03-01T08:00", "field": "note"}),
    json.dumps({"when": "yesterday", "field": "note", "value": "x"}),
    json.dumps({"when": "2027-03-01T08:00", "field": "test gauge", "value": "nine"}),
    json.dumps({"when": "2027-03-01T08:00", "field": "mark drilled", "value": "3 ft"}),
)


def write(path: Path, wrong: set[int], n: int, dice: random.Random) -> None:
    """Eight lines of which those numbered (from 1) are wrong."""
    lines = [dice.choice(BROKEN) if k in wrong else entry((8 * n + k) % 60) for k in range(1, 9)]
    path.write_text("\n".join(lines) + "\n", "utf-8")


@settings(max_examples=30, deadline=None)
@given(
    st.lists(st.sets(st.integers(1, 8), max_size=3), min_size=1, max_size=5),
    st.booleans(),
    st.booleans(),
    st.randoms(use_true_random=False),
)
def test_every_mistake_of_every_file_is_told_once(tmp_path_factory, wrong, missing, day, dice) -> None:
    folder = tmp_path_factory.mktemp("site")
    project = folder / "job.toml"
    given_files = {str(folder / f"phone {n}.txt"): lines for n, lines in enumerate(wrong)}
    for n, (path, lines) in enumerate(given_files.items()):
        write(Path(path), lines, n, dice)
    bad = {path: lines for path, lines in given_files.items() if lines}
    site = list(given_files)
    if missing:
        site.append(str(folder / "lost.txt"))
    if day:
        (folder / "tuesday.csv").write_text("a,b\n1,2\n", "utf-8")
        site.insert(0, str(folder / "tuesday.csv"))
    site = dice.sample(site, len(site))
    log = site_log_path(project)
    if not (bad or missing or day):
        from_site.with_site(JOB, project, site, None)
        told = log.read_text("utf-8").splitlines()
        assert len(told) == len(set(told)) == 8 * len(site)
        return
    with pytest.raises(MistcalcError) as caught:
        from_site.with_site(JOB, project, site, None)
    said = words.say(caught.value)
    for path, lines in bad.items():
        for number in range(1, 9):
            assert said.count(f"{path} line {number}:") + said.count(f"{path} line {number},") == (
                number in lines
            )
    assert said.count("lost.txt: ") == missing
    assert said.count("tuesday.toml") >= day
    assert not log.exists()
    if len(site) == 1:
        assert isinstance(caught.value, InputErrors)
        return
    assert isinstance(caught.value, FilesRefused)
    good = set(site) - set(bad) - {path for path in site if "lost" in path or "tuesday" in path}
    assert set(caught.value.good) == good
    assert ("Nothing was put into the log" in said) == bool(good)


@pytest.mark.parametrize("command", ["check", "plan"])
def test_the_command_tells_them_all_and_ends_with_two(tmp_path, command) -> None:
    assert run("new", "terraza", "--example", "terraza", cwd=tmp_path).returncode == 0
    keep: tuple[str, ...] = ()
    if command == "plan":
        assert run("plan", "terraza.toml", "--out", "A", cwd=tmp_path).returncode < 2
        keep = ("--keep", "A")
    dice = random.Random(1)
    for n, (name, wrong) in enumerate({"a.txt": {2}, "b.txt": set(), "c.txt": {5, 7}}.items()):
        write(tmp_path / name, wrong, n, dice)
    done = run(command, "terraza.toml", *keep, "--site", "a.txt", "b.txt", "c.txt", cwd=tmp_path)
    assert done.returncode == 2 and not done.stdout
    lines = done.stderr.splitlines()
    assert [line.split(":")[0].split(",")[0] for line in lines[:3]] == [
        "a.txt line 2", "c.txt line 5", "c.txt line 7",
    ]  # fmt: skip
    assert len(lines) == 4 and "No mistake in b.txt" in lines[3]
    assert not (tmp_path / "terraza.site.jsonl").exists()


def test_times_that_do_not_mix_are_told_at_the_file_that_has_them(tmp_path) -> None:
    one, other = tmp_path / "one.txt", tmp_path / "other.txt"
    one.write_text(entry(1) + "\n", "utf-8")
    zoned = {"when": "2027-03-01T08:00:00-07:00", "field": "note", "value": "x"}
    other.write_text(json.dumps(zoned) + "\n", "utf-8")
    with pytest.raises(FilesRefused) as caught:
        from_site.with_site(JOB, tmp_path / "job.toml", [str(one), str(other)], None)
    assert words.say(caught.value).startswith(f"{other}")


def test_a_measuring_day_given_to_plan_is_sent_to_check(tmp_path) -> None:
    assert run("new", "terraza", "--example", "terraza", cwd=tmp_path).returncode == 0
    assert run("plan", "terraza.toml", "--out", "A", cwd=tmp_path).returncode < 2
    (tmp_path / "tuesday.csv").write_text("a,b\n1,2\n", "utf-8")
    done = run("plan", "terraza.toml", "--keep", "A", "--site", "tuesday.csv", cwd=tmp_path)
    assert done.returncode == 2 and "mistcalc check" in done.stderr
