"""Files and folders are whole, old or new: at every call that can fail, at every moment of a kill.

What is expected comes from the promise alone: a reader finds one writing complete, never a piece of two.
"""

from __future__ import annotations

import contextlib
import ctypes
import errno
import multiprocessing
import os
import random
import signal
import stat
import sys
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from mistcalc import files
from mistcalc.errors import DataError, InputError
from mistcalc.files import whole

fork = pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork and SIGKILL")

# Every call by which the module changes a disk, with the position of what it changes.
CALLS = ("open", "write", "fsync", "mkdir", "chmod", "link", "rename", "replace", "unlink", "rmdir")
PIECES = 4


def pieces(revision: int) -> dict[str, bytes]:
    """A set of one revision; even ones have a piece more, so that leftovers show."""
    return {f"piece-{n}": f"{revision}:{n};".encode() * 40 for n in range(PIECES + (revision + 1) % 2)}


def put(folder: Path, revision: int) -> None:
    files.write_folder(folder, pieces(revision), lambda name: name.startswith("piece-"))


def revision_of(folder: Path, theirs: bool = True) -> int:
    """The one revision that is complete in the folder; fails where it is not one, or not complete."""
    found = {path.name: path.read_bytes() for path in folder.iterdir()}
    if theirs:
        assert found.pop("photo.jpg") == b"mine"
    revision = int(found["piece-0"].split(b":")[0])
    assert found == pieces(revision)
    return revision


def hidden(folder: Path) -> list[str]:
    return [path.name for path in folder.iterdir() if path.name.startswith(".")]


@pytest.fixture(params=["in one step", "in two steps"])
def steps(request, monkeypatch) -> str:
    """The swap as this system does it, and as one without such a call does."""
    if request.param == "in two steps":
        monkeypatch.setattr(whole, "_exchanged", lambda one, other: False)
    elif not can_exchange():
        pytest.skip("this system swaps in two steps")
    return request.param


def can_exchange() -> bool:
    return hasattr(ctypes.CDLL(None), "renameat2" if sys.platform == "linux" else "renamex_np")


@pytest.fixture
def folder(tmp_path) -> Path:
    """Revision 1, with a photograph somebody has put beside it."""
    put(tmp_path / "sheets", 1)
    (tmp_path / "sheets" / "photo.jpg").write_bytes(b"mine")
    return tmp_path / "sheets"


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
    def saved_then(old: Path, target: Path, named: whole.Names) -> None:
        (old / "notes.txt").write_text("late")
        (old / "photo.jpg").unlink()
        (old / "photo.jpg").write_bytes(b"mine")
        os.utime(old / "photo.jpg", ns=(2**61, 2**61))
        empty_into(old, target, named)

    empty_into = whole._empty_into
    monkeypatch.setattr(whole, "_empty_into", saved_then)
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


def failing(fault: OSError) -> Callable[..., None]:
    def fail(*_: object, **__: object) -> None:
        raise fault

    return fail


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


class Counted:
    """Counts the calls that change a disk, and at one of them does something else first."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, at: int, instead: Callable[[], None]) -> None:
        self.calls, self.at, self.instead = 0, at, instead
        for name in CALLS:
            monkeypatch.setattr(os, name, self.counted(getattr(os, name)))
        monkeypatch.setattr(whole, "_exchanged", self.counted(whole._exchanged))

    def counted(self, real: Callable[..., object]) -> Callable[..., object]:
        def call(*given: object, **more: object) -> object:
            self.calls += 1
            if self.calls == self.at:
                self.instead()
            return real(*given, **more)

        return call


@contextlib.contextmanager
def fault_at(at: int, number: int) -> Iterator[Counted]:
    def fail() -> None:
        raise OSError(number, os.strerror(number))

    with pytest.MonkeyPatch.context() as patch:
        yield Counted(patch, at, fail)


def calls_of(act: Callable[[], object]) -> int:
    with fault_at(0, errno.EIO) as counted:
        act()
    return counted.calls


@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EACCES, errno.EIO])
def test_a_fault_at_any_call_leaves_one_revision_and_says_so(folder, steps, number):
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
def test_a_fault_at_any_call_leaves_no_part_of_a_new_folder(tmp_path, number):
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
def test_a_fault_at_any_call_leaves_the_old_file_or_the_new(write, number, tmp_path):
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


# ------------------------------------------------------------------ kill -9


def run_in_child(act: Callable[[], None], killed: bool = False) -> None:
    child = os.fork()
    if child == 0:
        try:
            act()
        finally:
            os._exit(1)
    _, status = os.waitpid(child, 0)
    assert os.waitstatus_to_exitcode(status) == (-signal.SIGKILL if killed else 0)


@fork
def test_killed_before_any_call_the_folder_is_of_one_revision(folder, steps):
    """Each call in turn is the writer's last. In two steps the folder may be away until the next run."""
    count = calls_of(lambda: put(folder, 2))
    for at in range(1, count + 1):
        put(folder, 3)
        before = revision_of(folder)

        def act(at: int = at) -> None:
            with pytest.MonkeyPatch.context() as patch:
                Counted(patch, at, lambda: os.kill(os.getpid(), signal.SIGKILL))
                put(folder, 4)
                os._exit(0)

        run_in_child(act, killed=True)
        if steps == "in one step" or folder.exists():
            assert revision_of(folder) in (before, 4), at
        put(folder, 5)
        assert revision_of(folder) == 5 and hidden(folder.parent) == [], at


@fork
def test_killed_before_any_call_a_file_is_old_or_new(tmp_path):
    path = tmp_path / "a.toml"
    path.write_bytes(b"old")
    for at in range(1, calls_of(lambda: files.write_file(path, b"old")) + 1):

        def act(at: int = at) -> None:
            with pytest.MonkeyPatch.context() as patch:
                Counted(patch, at, lambda: os.kill(os.getpid(), signal.SIGKILL))
                files.write_file(path, b"new")
                os._exit(0)

        run_in_child(act, killed=True)
        assert path.read_bytes() in (b"old", b"new")
        files.write_file(path, b"old")
        assert os.listdir(tmp_path) == ["a.toml"]


@fork
@pytest.mark.parametrize(
    "times", [pytest.param(20, id="some"), pytest.param(200, marks=pytest.mark.thorough)]
)
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
    monkeypatch.setattr(whole, "fcntl", None)
    for name, age in ((".a.toml.abcdefgh.part", 0.0), (".a.toml.hgfedcba.part", 2 * 86400.0)):
        (tmp_path / name).write_text("x")
        os.utime(tmp_path / name, (time.time() - age,) * 2)
    files.write_file(tmp_path / "a.toml", "new")
    assert sorted(os.listdir(tmp_path)) == [".a.toml.abcdefgh.part", "a.toml"]
    monkeypatch.undo()
    files.write_file(tmp_path / "a.toml", "new")
    assert os.listdir(tmp_path) == ["a.toml"]


def test_pieces_of_other_names_are_nobodys_to_clear(tmp_path):
    theirs = [".a.toml.backup.part", ".b.toml.abcdefgh.part", ".a.toml.abcdefgh.parts"]
    for name in theirs:
        (tmp_path / name).write_text("x")
    files.write_file(tmp_path / "a.toml", "new")
    assert sorted(os.listdir(tmp_path)) == sorted([*theirs, "a.toml"])
