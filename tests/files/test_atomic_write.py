"""Files and folders are whole, old or new: at every call that can fail, at every moment of a kill.

What is expected comes from the promise alone: a reader finds one writing complete, never a piece of two.
"""

from __future__ import annotations

import contextlib
import errno
import multiprocessing
import os
import signal
import stat
import threading
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from mistcalc import files
from mistcalc.errors import DataError, InputError
from mistcalc.files import atomic_write
from tests.breaking import PIECES, calls_of, failing, fault_at, fork, hidden, put, revision_of, run_in_child

# ------------------------------------------------------------------ what it does


def test_a_folder_is_replaced_and_what_is_not_ours_stays_the_same_file(folder, steps):
    folder.chmod(0o750)
    inode = (folder / "photo.jpg").stat().st_ino
    for revision in (2, 3):
        put(folder, revision)
        assert revision_of(folder) == revision
    assert (folder / "photo.jpg").stat().st_ino == inode
    assert stat.S_IMODE(folder.stat().st_mode) == 0o750
    assert hidden(folder.parent) == []


def test_a_link_to_a_folder_stays_one(folder):
    link = folder.parent / "link"
    link.symlink_to(folder)
    put(link, 2)
    assert link.is_symlink() and revision_of(folder) == 2


def test_what_is_saved_while_the_folders_change_places_is_not_lost(folder, steps, monkeypatch):
    def saved_then(old: Path, target: Path, named: atomic_write.Names) -> None:
        (old / "notes.txt").write_text("late")
        (old / "photo.jpg").unlink()
        (old / "photo.jpg").write_bytes(b"mine")
        os.utime(old / "photo.jpg", ns=(2**61, 2**61))
        empty_into(old, target, named)

    empty_into = atomic_write._empty_into
    monkeypatch.setattr(atomic_write, "_empty_into", saved_then)
    put(folder, 2)
    assert (folder / "notes.txt").read_text() == "late"
    (folder / "notes.txt").unlink()
    assert revision_of(folder) == 2
    assert (folder / "photo.jpg").stat().st_mtime_ns == 2**61


def test_where_files_cannot_have_two_names_a_strange_one_is_in_the_way(folder, monkeypatch):
    def refused(*_: object, **__: object) -> None:
        raise PermissionError(errno.EPERM, "Operation not permitted")

    monkeypatch.setattr(os, "link", refused)
    with pytest.raises(DataError, match=r"folder-holds.*photo\.jpg"):
        put(folder, 2)
    assert revision_of(folder) == 1 and hidden(folder.parent) == []


def test_folders_above_are_made_and_go_again_where_nothing_came_of_it(tmp_path, monkeypatch):
    monkeypatch.setattr(os, "fsync", failing(OSError(errno.ENOSPC, "No space left on device")))
    with pytest.raises(OSError, match="No space"):
        put(tmp_path / "a" / "b" / "sheets", 1)
    assert os.listdir(tmp_path) == []
    monkeypatch.undo()
    put(tmp_path / "a" / "b" / "sheets", 1)
    assert revision_of(tmp_path / "a" / "b" / "sheets", theirs=False) == 1


def test_a_file_is_on_the_disk_before_its_name_is(folder, monkeypatch):
    """Flushed, then renamed, then the folder flushed: the order a cut of power asks for."""
    seen: list[str] = []

    def noted(name: str) -> Callable[..., object]:
        real = getattr(os, name)

        def call(*given: object, **more: object) -> object:
            seen.append(name)
            return real(*given, **more)

        return call

    for name in ("fsync", "rename", "replace"):
        monkeypatch.setattr(os, name, noted(name))
    files.write_file(folder / "photo.jpg", b"new")
    assert seen == ["fsync", "replace", "fsync"]
    seen.clear()
    put(folder.parent / "other", 1)
    assert seen == ["fsync"] * (PIECES + 1) + ["rename", "fsync"]


# ------------------------------------------------------------------ faults at every call


@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EACCES, errno.EIO])
def test_a_fault_at_any_call_leaves_one_revision_and_says_so(quick_disk, folder, steps, number):
    count = calls_of(lambda: put(folder, 2))
    assert count > 3 * PIECES
    for at in range(1, count + 1):
        before = revision_of(folder)
        raised = False
        with fault_at(at, number):
            try:
                put(folder, before + 1)
            except (OSError, DataError):
                raised = True
        assert revision_of(folder) == before + (not raised), at
    put(folder, 1)
    assert revision_of(folder) == 1 and hidden(folder.parent) == []


@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EACCES])
def test_a_fault_at_any_call_leaves_no_part_of_a_new_folder(quick_disk, tmp_path, number):
    count = calls_of(lambda: put(tmp_path / "first" / "sheets", 1))
    for at in range(1, count + 1):
        place = tmp_path / str(at)
        with fault_at(at, number), contextlib.suppress(OSError, DataError):
            put(place / "sheets", 1)
        if (place / "sheets").exists():
            assert revision_of(place / "sheets", theirs=False) == 1
        put(place / "sheets", 2)
        assert revision_of(place / "sheets", theirs=False) == 2 and hidden(place) == []


@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EACCES, errno.EIO])
@pytest.mark.parametrize("write", [files.write_file, files.write_new])
def test_a_fault_at_any_call_leaves_the_old_file_or_the_new(quick_disk, write, number, tmp_path):
    def act(at: int) -> None:
        path = tmp_path / str(at)
        path.mkdir()
        if write is files.write_file:
            (path / "a.toml").write_bytes(b"old")
        raised = False
        with fault_at(at, number):
            try:
                write(path / "a.toml", b"new")
            except (OSError, InputError):
                raised = True
        there = (path / "a.toml").read_bytes() if (path / "a.toml").exists() else b"old"
        assert there in (b"old", b"new") and (raised or there == b"new"), at
        files.write_file(path / "a.toml", b"newer")
        assert os.listdir(path) == ["a.toml"]

    (tmp_path / "count").mkdir()
    count = calls_of(lambda: write(tmp_path / "count" / "a.toml", b"new"))
    assert count >= 5
    for at in range(1, count + 1):
        act(at)


@fork
def test_a_disk_that_takes_part_of_a_file_leaves_the_old_one(tmp_path):
    """A limit on file size makes the system itself write a part and refuse the rest."""
    import resource

    path, sheets = tmp_path / "a.toml", tmp_path / "sheets"
    files.write_file(path, b"old" * 1000)
    put(sheets, 1)

    def child() -> None:
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        for most in (1, 100, 150):
            resource.setrlimit(resource.RLIMIT_FSIZE, (most, resource.RLIM_INFINITY))
            for act in (lambda: files.write_file(path, b"new" * 1001), lambda: put(sheets, 2)):
                with contextlib.suppress(OSError):
                    act()
                    os._exit(2)
        os._exit(0)

    run_in_child(child)
    assert path.read_bytes() == b"old" * 1000
    assert revision_of(sheets, theirs=False) == 1
    assert sorted(os.listdir(tmp_path)) == ["a.toml", "sheets"]


# ------------------------------------------------------------------ together


def test_many_writers_of_one_new_folder_all_come_through(tmp_path, steps):
    faults: list[BaseException] = []

    def act(revision: int) -> None:
        try:
            put(tmp_path / "sheets", revision)
        except BaseException as fault:
            faults.append(fault)

    threads = [threading.Thread(target=act, args=(n,)) for n in range(1, 9)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert faults == []
    assert revision_of(tmp_path / "sheets", theirs=False) in range(1, 9)
    assert hidden(tmp_path) == []


@fork
def test_two_programs_that_add_to_one_file_both_do(tmp_path):
    path = tmp_path / "log"
    files.write_file(path, b"")

    def add() -> None:
        for _ in range(20):
            with files.locked(tmp_path):
                files.write_file(path, path.read_bytes() + b"x")

    writers = [multiprocessing.get_context("fork").Process(target=add) for _ in range(3)]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    assert path.read_bytes() == b"x" * 60


def test_without_locks_only_what_is_a_day_old_is_taken_for_dead(tmp_path, monkeypatch):
    monkeypatch.setattr(atomic_write, "fcntl", None)
    young, old = ".a.toml.01234567.mistcalc-making", ".a.toml.89abcdef.mistcalc-making"
    for name, age in ((young, 0.0), (old, 2 * 86400.0)):
        (tmp_path / name).write_text("x")
        os.utime(tmp_path / name, (time.time() - age,) * 2)
    files.write_file(tmp_path / "a.toml", "new")
    assert sorted(os.listdir(tmp_path)) == [young, "a.toml"]
    monkeypatch.undo()
    files.write_file(tmp_path / "a.toml", "new")
    assert os.listdir(tmp_path) == ["a.toml"]


@fork
def test_a_writer_that_does_not_let_go_is_waited_for_and_then_told(folder, monkeypatch):
    monkeypatch.setattr(atomic_write, "PATIENCE", 0.05)
    with multiprocessing.get_context("fork").Pool(1) as other:
        other.apply(_hold_lock, (folder.parent,))
        for write in (lambda: put(folder, 2), lambda: files.write_file(folder.parent / "a.toml", b"new")):
            with pytest.raises(DataError, match="folder-busy"):
                write()
    assert revision_of(folder) == 1 and os.listdir(folder.parent) == ["sheets"]
    put(folder, 2)
    assert revision_of(folder) == 2


def _hold_lock(folder: Path) -> None:
    import fcntl  # not on every system

    fcntl.flock(os.open(folder, os.O_RDONLY), fcntl.LOCK_EX)


def test_what_a_dead_run_was_making_goes_with_the_next_writing_of_any_name(folder):
    left = folder.parent / ".other sheets.01234567.mistcalc-making"
    left.mkdir()
    os.link(folder / "photo.jpg", left / "photo.jpg")
    files.write_file(folder.parent / "a.toml", b"new")
    assert sorted(os.listdir(folder.parent)) == ["a.toml", "sheets"] and revision_of(folder) == 1


def test_a_folder_made_read_only_is_left_alone(folder):
    folder.chmod(0o555)
    with pytest.MonkeyPatch.context() as patch, pytest.raises(PermissionError) as refused:
        if os.geteuid() == 0:  # to whom nothing is read-only
            patch.setattr(os, "access", lambda path, wanted: bool(os.stat(path).st_mode & 0o200))
        put(folder, 2)
    assert refused.value.filename == str(folder)
    assert revision_of(folder) == 1 and hidden(folder.parent) == []


def test_the_top_of_a_disk_is_no_folder_to_put_aside(folder, monkeypatch):
    monkeypatch.setattr(os.path, "ismount", lambda path: path == folder)
    with pytest.raises(DataError, match="folder-stood-in"):
        put(folder, 2)
    assert revision_of(folder) == 1


def test_links_in_the_folder_are_not_followed(folder):
    """One by a sheet's name goes as the sheet would, one by another name stays; what they lead to is left."""
    (folder.parent / "elsewhere").write_bytes(b"theirs")
    (folder / "piece-0").unlink()
    for name in ("piece-0", "link"):
        (folder / name).symlink_to("../elsewhere")
    put(folder, 2)
    assert (folder.parent / "elsewhere").read_bytes() == b"theirs"
    assert (folder / "link").is_symlink() and not (folder / "piece-0").is_symlink()
    (folder / "link").unlink()
    assert revision_of(folder) == 2


def test_pieces_of_other_names_are_nobodys_to_clear(tmp_path):
    theirs = [".a.toml.backup.mistcalc-making", ".a.toml.01234567.part", "a.toml.01234567.mistcalc-making"]
    for name in theirs:
        (tmp_path / name).write_text("x")
    files.write_file(tmp_path / "a.toml", "new")
    assert sorted(os.listdir(tmp_path)) == sorted([*theirs, "a.toml"])
