"""Killed with -9 at any moment, every writer leaves what was there or what it was to write, never a piece.

What is expected comes from the promise alone. The real command killed as it writes: tests/test_never_half.py.
"""

from __future__ import annotations

import multiprocessing
import os
import random
import time
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

import pytest

from mistcalc import files
from mistcalc.model.site_log import SiteEntry
from mistcalc.page import store
from tests.breaking import calls_of, fork, hidden, killed_at, put, revision_of


@pytest.fixture(autouse=True)
def quick(quick_disk) -> None:
    """A kill takes nothing from the system that a process has handed to it."""


# ------------------------------------------------------------------ a folder of sheets


@fork
@pytest.mark.thorough
def test_killed_before_any_call_the_folder_is_of_one_revision(folder, steps):
    """Each call in turn is the writer's last. In two steps the folder may be away until the next run."""
    count = calls_of(lambda: put(folder, 2))
    for at in range(1, count + 1):
        put(folder, 3)
        before = revision_of(folder)
        killed_at(at, lambda: put(folder, 4))
        if steps == "in one step" or folder.exists():
            assert revision_of(folder) in (before, 4), at
        put(folder, 5)
        assert revision_of(folder) == 5 and hidden(folder.parent) == [], at


@fork
@pytest.mark.thorough
@pytest.mark.parametrize("times", [pytest.param(10, id="some"), pytest.param(200, marks=pytest.mark.long)])
def test_killed_at_any_moment_the_folder_is_of_one_revision(folder, steps, times):
    """Two writers at once, one of them killed while it writes revision after revision as fast as it can."""
    chance = random.Random(times)
    for _ in range(times):
        writers = [
            multiprocessing.get_context("fork").Process(target=forever, args=(folder, n)) for n in (0, 1)
        ]
        for writer in writers:
            writer.start()
        time.sleep(chance.uniform(0.005, 0.04))
        writers[0].kill()
        writers[0].join()
        if steps == "in one step":
            seen = revision_in_passing(folder)
            assert seen is None or seen > 0
        writers[1].kill()
        writers[1].join()
        if steps == "in one step" or folder.exists():
            revision_of(folder)
        put(folder, 1)
        assert revision_of(folder) == 1 and hidden(folder.parent) == []


def forever(folder: Path, first: int) -> None:
    revision = 2 + first
    while True:
        put(folder, revision)
        revision += 2


def revision_in_passing(folder: Path) -> int | None:
    """What a reader finds who has the folder open while it is swapped: one revision, or that it is gone."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        found = {}
        for name in os.listdir(handle):
            piece = os.open(name, os.O_RDONLY, dir_fd=handle)
            found[name] = os.read(piece, 10_000)
            os.close(piece)
    except FileNotFoundError:  # the folder that was open is the old one, and being cleared
        return None
    finally:
        os.close(handle)
    revisions = {int(told.split(b":")[0]) for name, told in found.items() if name != "photo.jpg"}
    assert len(revisions) <= 1
    return revisions.pop() if revisions else None


# ------------------------------------------------------------------ all other writers


class Writer(NamedTuple):
    """What is there before, one writing, and what a person then finds."""

    before: Callable[[Path], object]
    write: Callable[[Path], object]
    found: Callable[[Path], object]


PROJECT = "0123456789abcdef"


def readings(hour: int) -> list[SiteEntry]:
    when = f"2027-03-01T{hour:02d}:00"
    return list(
        files.entries_from_typed(when, [("watch gauge", "40 psi"), ("watch tube", "70 degF")], "typed")
    )


def a_project(place: Path) -> None:
    files.write_folder(place / "projects" / PROJECT, {"project.toml": "one"})


def two_steps(place: Path) -> None:
    a_project(place)
    store.change(PROJECT, lambda _: "two")
    store.change(PROJECT, lambda _: "three")


def upload(place: Path) -> None:
    store.put_climate(PROJECT, "our year", b"hours")
    store.change(PROJECT, lambda _: "our year")


def climate_in_use(_: Path) -> object:
    text = store.read(PROJECT)
    path = store.climate(PROJECT, text)
    return text, path and path.read_bytes()


WRITERS = {
    "a file": Writer(
        lambda place: files.write_file(place / "a.toml", b"old"),
        lambda place: files.write_file(place / "a.toml", b"new"),
        lambda place: (place / "a.toml").read_bytes(),
    ),
    "a new file": Writer(
        lambda place: None,
        lambda place: files.write_new(place / "a.toml", b"new"),
        lambda place: [path.read_bytes() for path in place.glob("*.toml")],
    ),
    "the page's new project": Writer(
        lambda place: None,
        lambda place: store.create("one", ("our year", b"hours")),
        lambda place: [
            (text, store.climate(name, "our year").read_bytes()) for name, text, _ in store.recent(9)
        ],
    ),
    "a change on the page": Writer(
        two_steps,
        lambda place: store.change(PROJECT, lambda _: "four"),
        lambda place: store.read(PROJECT),
    ),
    "undo on the page": Writer(
        two_steps, lambda place: store.undo(PROJECT), lambda place: store.read(PROJECT)
    ),
    "redo on the page": Writer(
        lambda place: (two_steps(place), store.undo(PROJECT)),
        lambda place: store.redo(PROJECT),
        lambda place: store.read(PROJECT),
    ),
    "an uploaded climate": Writer(a_project, upload, climate_in_use),
    "the site log": Writer(
        lambda place: files.append_site_log(place / "a.site.jsonl", readings(8)),
        lambda place: files.append_site_log(place / "a.site.jsonl", readings(9)),
        lambda place: files.read_site_log(place / "a.site.jsonl"),
    ),
}


@pytest.mark.thorough
@fork
@pytest.mark.parametrize("name", WRITERS)
def test_killed_before_any_call_a_writer_leaves_old_or_new(name, tmp_path, monkeypatch):
    """Each call in turn is its last. The next writing comes through and clears what the dead one left."""
    writer = WRITERS[name]

    def place(at: int) -> Path:
        made = tmp_path / str(at)
        made.mkdir()
        monkeypatch.setenv("MISTCALC_DATA", str(made))
        writer.before(made)
        return made

    counted = place(0)
    old = writer.found(counted)
    count = calls_of(lambda: writer.write(counted))
    new = writer.found(counted)
    assert count >= 5 and old != new
    for at in range(1, count + 1):
        here = place(at)
        killed_at(at, lambda here=here: writer.write(here))
        after = writer.found(here)
        assert after in (old, new), at
        if name not in ("undo on the page", "redo on the page") and (name != "a new file" or after == old):
            writer.write(here)
        for folder in {path.parent for path in here.rglob(".*")}:
            files.write_file(folder / "another", b"")
        assert list(here.rglob(".*")) == []
