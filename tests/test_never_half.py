"""The real command stopped while it writes: a folder of sheets is whole, of one revision, or untouched.

What is expected are two sets written undisturbed: whatever stops the command, every byte in the folder is of
the one or of the other. Each call at which a writer can fail or be killed: tests/files.
"""

from __future__ import annotations

import os
import random
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.breaking import fork
from tests.terminal import ENVIRONMENT, alone, run

pytestmark = pytest.mark.thorough

Set = dict[str, bytes]


@pytest.fixture(scope="module")
def houses(tmp_path_factory) -> tuple[Path, dict[str, Set]]:
    """A folder with two revisions of a project, and the sheets of each, one on smaller paper."""
    place = tmp_path_factory.mktemp("houses")
    assert run("new", "first", "--example", "terraza", cwd=place).returncode == 0
    text = (place / "first.toml").read_text("utf-8")
    assert text.count('sheet = "A3"') == 1
    (place / "second.toml").write_text(text.replace('sheet = "A3"', 'sheet = "A4"'), "utf-8")
    sets = {}
    for name in ("first", "second"):
        assert run("plan", f"{name}.toml", "--out", f"clean/{name}", cwd=place).returncode < 2
        sets[name] = content(place / "clean" / name)
    assert (
        sets["first"].keys() >= {"plan.json", "sheets-builder.pdf"}
        and sets["first"].keys() != sets["second"].keys()
    )
    return place, sets


def content(folder: Path) -> Set:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def starting(place: Path, name: str, out: Path, **more: object) -> subprocess.Popen[bytes]:
    command = [sys.executable, "-m", "mistcalc", "plan", f"{name}.toml", "--out", str(out)]
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    return subprocess.Popen(command, cwd=place, env=ENVIRONMENT, **quiet, **more)  # type: ignore[call-overload]


def wait_for_writing(running: subprocess.Popen[bytes], above: Path, before: set[str]) -> None:
    """Until the command has begun to write, or has ended. before: what stood there, dead runs' pieces too."""
    while running.poll() is None and set(os.listdir(above)) <= before | {"sheets"}:
        time.sleep(0.001)


@fork
@pytest.mark.parametrize("times", [2, pytest.param(200, marks=pytest.mark.long)])
def test_killed_while_it_writes_the_sheets_are_of_one_revision(houses, tmp_path, times):
    place, sets = houses
    out, chance, killed, stood = tmp_path / "sheets", random.Random(3), 0, []
    running = starting(place, "first", out)
    wait_for_writing(running, tmp_path, set())
    begun = time.monotonic()
    assert running.wait() < 2
    takes = time.monotonic() - begun
    for number in range(times):
        before = set(os.listdir(tmp_path))
        running = starting(place, ("second", "first")[number % 2], out)
        wait_for_writing(running, tmp_path, before)
        time.sleep(chance.uniform(0.0, 1.5 * takes))
        running.kill()
        killed += running.wait() == -signal.SIGKILL
        stood.append([name for name, wanted in sets.items() if content(out) == wanted])
        assert stood[-1], f"neither revision after kill {number}: {sorted(os.listdir(out))}"
    assert starting(place, "first", out).wait() < 2
    assert content(out) == sets["first"] and os.listdir(tmp_path) == ["sheets"]
    print(
        f"{killed} of {times} killed while writing; the second revision stood {stood.count(['second'])} times"
    )
    assert killed > 0


@fork
def test_two_at_once_into_one_new_folder_both_come_through(houses, tmp_path):
    place, sets = houses
    both = [starting(place, name, tmp_path / "new" / "sheets") for name in sets]
    assert all(running.wait() < 2 for running in both)
    assert content(tmp_path / "new" / "sheets") in sets.values()
    assert os.listdir(tmp_path / "new") == ["sheets"]


@fork
def test_a_disk_that_takes_no_more_leaves_the_old_set(houses, tmp_path):
    """The system itself refuses: a limit on a file's size, met in the middle of the largest."""
    import resource

    place, sets = houses
    shutil.copytree(place / "clean" / "first", tmp_path / "sheets")
    most = max(map(len, sets["second"].values())) - 1
    limit = lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (most, resource.RLIM_INFINITY))  # noqa: E731
    done = alone("plan", "second.toml", "--out", str(tmp_path / "sheets"), cwd=place, preexec_fn=limit)
    assert done.returncode == 2 and done.stderr.count("\n") == 1 and str(tmp_path / "sheets") in done.stderr
    assert content(tmp_path / "sheets") == sets["first"] and os.listdir(tmp_path) == ["sheets"]


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="only root makes a small disk")
def test_a_full_disk_leaves_the_old_set(houses, tmp_path):
    """A disk with room for one set and a half, seen by this command alone."""
    place, sets = houses
    room = int(1.5 * sum(-(-len(told) // 4096) * 4096 for told in sets["first"].values()))
    script = f"""
        mount -t tmpfs -o size={room} none {tmp_path} || exit 77
        cp -r clean/first {tmp_path}/sheets
        {sys.executable} -m mistcalc plan second.toml --out {tmp_path}/sheets >/dev/null; echo $?
        ls -A {tmp_path}; ls {tmp_path}/sheets; diff -r {tmp_path}/sheets clean/first && echo same"""
    command = ["unshare", "-m", "sh", "-c", script]
    done = subprocess.run(command, cwd=place, env=ENVIRONMENT, capture_output=True, text=True)
    if done.returncode == 77 or "unshare" in done.stderr:
        pytest.skip("this computer does not let a test mount a disk")
    assert done.stdout.splitlines()[:2] == ["2", "sheets"] and done.stdout.splitlines()[-1] == "same"
    assert done.stderr.count("\n") == 1 and "No space left" in done.stderr


# ------------------------------------------------------------------ refused


def a_file(out: Path) -> None:
    out.write_text("mine")


def a_file_above(out: Path) -> None:
    out.parent.rmdir()
    out.parent.write_text("mine")


def a_folder_by_the_name_of_a_sheet(out: Path) -> None:
    (out / "sheets-builder.pdf").mkdir(parents=True)
    (out / "sheets-builder.pdf" / "note").write_text("mine")


def a_file_by_the_name_of_a_sheet(out: Path) -> None:
    out.mkdir()
    (out / "sheet-R-1.svg").write_text("mine")


def a_plan_of_another_program(out: Path) -> None:
    out.mkdir()
    (out / "plan.json").write_text("{}")


def a_link_to_itself(out: Path) -> None:
    out.symlink_to(out)


def a_link_to_a_file(out: Path) -> None:
    (out.parent / "file").write_text("mine")
    out.symlink_to("file")


@pytest.mark.parametrize(
    "in_the_way",
    [
        a_file,
        a_file_above,
        a_folder_by_the_name_of_a_sheet,
        a_file_by_the_name_of_a_sheet,
        a_plan_of_another_program,
        a_link_to_itself,
        a_link_to_a_file,
    ],
)
def test_what_is_in_the_way_is_told_in_a_line_and_stays(in_the_way: Callable[[Path], None], houses, tmp_path):
    place, _ = houses
    out = tmp_path / "job" / "sheets"
    out.parent.mkdir()
    in_the_way(out)
    before = tree(tmp_path)
    done = run("plan", "first.toml", "--out", str(out), cwd=place)
    assert done.returncode == 2 and done.stdout == "" and done.stderr.count("\n") == 1
    assert str(out.parent) in done.stderr
    assert tree(tmp_path) == before


def tree(folder: Path) -> dict[str, object]:
    return {
        str(path.relative_to(folder)): os.readlink(path)
        if path.is_symlink()
        else path.is_file() and path.read_bytes()
        for path in folder.rglob("*")
    }
