"""A writer that fails or is killed at any call that changes a disk; a folder that tells its revision."""

from __future__ import annotations

import contextlib
import errno
import os
import signal
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from mistcalc import files
from mistcalc.files import atomic_write

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


# ------------------------------------------------------------------ faults at a call


def failing(fault: OSError) -> Callable[..., None]:
    def fail(*_: object, **__: object) -> None:
        raise fault

    return fail


class Counted:
    """Counts the calls that change a disk, and at one of them does something else first."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, at: int, instead: Callable[[], None]) -> None:
        self.calls, self.at, self.instead = 0, at, instead
        for name in CALLS:
            monkeypatch.setattr(os, name, self.counted(getattr(os, name)))
        monkeypatch.setattr(atomic_write, "_exchanged", self.counted(atomic_write._exchanged))

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


# ------------------------------------------------------------------ kill -9


def killed_at(at: int, act: Callable[[], object]) -> None:
    """Run `act` in a process of its own that is killed just before its call number `at`."""

    def child() -> None:
        with pytest.MonkeyPatch.context() as patch:
            Counted(patch, at, lambda: os.kill(os.getpid(), signal.SIGKILL))
            act()
            os._exit(0)

    run_in_child(child, killed=True)


def run_in_child(act: Callable[[], None], killed: bool = False) -> None:
    child = os.fork()
    if child == 0:
        try:
            act()
        finally:
            os._exit(1)
    _, status = os.waitpid(child, 0)
    assert os.waitstatus_to_exitcode(status) == (-signal.SIGKILL if killed else 0)
