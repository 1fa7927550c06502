"""Write a file or a folder whole or not at all, whatever stops the program: kill, full disk, cut of power.

A file is written beside under a hidden name, flushed to the disk and renamed. A folder is made beside in
full, flushed and swapped with the old one in a single step of the file system; a system without that step
takes two, and the hidden names tell the next run what to finish. One writer at a time: whoever holds the
lock of the folder above knows that every hidden piece there was left by a dead run, and clears it.
"""

from __future__ import annotations

import contextlib
import ctypes
import errno
import glob
import os
import re
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path

from mistcalc.errors import DataError, InputError

try:
    import fcntl
except ImportError:  # a system without such locks
    fcntl = None  # type: ignore[assignment]

PART, MAKING, READY, OLD = ".part", ".making", ".ready", ".old"
STALE = 86400.0  # s: without a lock, a piece this old is taken for a dead run's
_held = threading.local()


@contextlib.contextmanager
def locked(folder: Path | str) -> Iterator[bool]:
    """One writer at a time in a folder, over all processes. False where the system keeps no such lock.

    Taken again by the thread that has it, it is the same lock. A killed process lets go of it.
    """
    place = os.path.realpath(folder)
    mine: dict[str, bool] = _held.__dict__.setdefault("places", {})
    if place in mine:
        yield mine[place]
        return
    handle = -1
    if fcntl:
        with contextlib.suppress(OSError):  # one may write in some folders that one may not list
            handle = os.open(place, os.O_RDONLY)
    try:
        mine[place] = handle >= 0 and _flock(handle)
        yield mine[place]
    finally:
        mine.pop(place, None)
        if handle >= 0:
            os.close(handle)


def _flock(handle: int) -> bool:
    try:
        fcntl.flock(handle, fcntl.LOCK_EX)
    except OSError:  # some network disks
        return False
    return True


# ------------------------------------------------------------------ a file


def write_file(path: Path | str, content: str | bytes) -> None:
    """Put `content` at `path`. Whoever reads sees the old file or the new one, after a cut of power too.

    An existing file keeps its permissions; a symbolic link stays one and its target is written. Text goes
    out as UTF-8, line ends as they are. Raises OSError, and then the old file is untouched.
    """
    target = Path(os.path.realpath(path))
    with locked(target.parent) as held:
        try:
            mode = target.stat().st_mode & 0o7777
        except FileNotFoundError:
            mode = 0o666 & ~_mask()
        with _beside(target, content, mode, held) as part:
            os.replace(part, target)
        _flush_folder(target.parent)


def write_new(path: Path | str, content: str | bytes) -> None:
    """Write a file that is not there yet. Raises InputError("file-exists") and leaves what is there alone."""
    target = Path(path)
    with locked(target.parent) as held:
        with _beside(target, content, 0o666 & ~_mask(), held) as part:
            try:
                os.link(part, target)  # fails where there is one, in one step
            except FileExistsError:
                raise InputError("file-exists", path=str(path)) from None
            except OSError:  # a disk without hard links
                if os.path.lexists(target):
                    raise InputError("file-exists", path=str(path)) from None
                os.replace(part, target)
        _flush_folder(target.parent)


def move(source: Path, target: Path) -> None:
    """Put one file in the place of another, of the same disk, in one step. Raises OSError."""
    os.replace(source, target)
    for folder in {source.parent, target.parent}:
        _flush_folder(folder)


@contextlib.contextmanager
def _beside(target: Path, content: str | bytes, mode: int, held: bool) -> Iterator[str]:
    """The name of a finished, flushed file beside `target`; what is left of it is taken away."""
    for left in _left_by_others(target, PART, held):
        with contextlib.suppress(OSError):
            os.unlink(left)
    handle, name = tempfile.mkstemp(PART, _prefix(target), target.parent)
    try:
        try:
            _put(handle, content)
            os.chmod(name, mode)
        finally:
            os.close(handle)
        yield name
    finally:
        with contextlib.suppress(OSError):
            os.unlink(name)


def _put(handle: int, content: str | bytes) -> None:
    """Write and flush. A full disk may take part of it, and say so at the end only."""
    left = memoryview(content.encode("utf-8") if isinstance(content, str) else content)
    while left:
        left = left[os.write(handle, left) :]
    os.fsync(handle)


# ------------------------------------------------------------------ a folder


Names = Callable[[str], bool]


def write_folder(
    folder: Path | str,
    files: Mapping[str, str | bytes],
    named: Names = lambda name: False,
    known: Callable[[Path], bool] = Path.is_dir,
) -> None:
    """A folder with exactly `files` of ours in it, of one writing; it and those above are made if need be.

    named(name): whether a file may be of an earlier writing, and then goes. known(folder): whether there was
    one. Other files stay, the same file under the same name. Raises DataError, with all as it was, for
    "folder-is-file", "folder-stood-in" (the folder one works in) and "folder-holds" (a folder, or a file
    that cannot stay, or one of our names where there was no earlier writing); OSError likewise.
    """
    target = Path(os.path.realpath(folder))
    made = _made_above(target)
    try:
        with locked(target.parent) as held:
            _finish_others(target, named, held)
            theirs = _theirs(target, Path(folder), named, known) if os.path.lexists(target) else ()
            stage = tempfile.mkdtemp(MAKING, _prefix(target), target.parent)
            try:
                _fill(Path(stage), files)
                _keep(Path(stage), target, Path(folder), theirs)
                _flush_folder(Path(stage))
                if os.path.lexists(target):
                    _swap(stage, target, named)
                else:
                    os.rename(stage, target)
            finally:
                with contextlib.suppress(OSError):
                    _remove(stage)
            _flush_folder(target.parent)
    except BaseException:
        for above in reversed(made):
            with contextlib.suppress(OSError):
                os.rmdir(above)
        raise


def _made_above(target: Path) -> Sequence[Path]:
    """Make the folders above `target` that are missing; those made, outermost first."""
    missing = [above for above in target.parents if not above.exists()][::-1]
    for above in missing:
        os.makedirs(above, exist_ok=True)
        _flush_folder(above.parent)
    return missing


def _theirs(target: Path, shown: Path, named: Names, known: Callable[[Path], bool]) -> Sequence[str]:
    """Names in the folder that are not ours and are to stay. Raises DataError where one of them cannot."""
    if not target.is_dir():
        raise DataError("folder-is-file", path=str(shown))
    here = Path(os.path.realpath(os.curdir))
    if target == here or target in here.parents:
        raise DataError("folder-stood-in", path=str(shown), instead=str(shown / "sheets"))
    ours, stay, in_the_way = known(target), [], []
    with os.scandir(target) as entries:
        for entry in entries:
            if entry.is_dir(follow_symlinks=False) or (named(entry.name) and not ours):
                in_the_way.append(entry.name)
            elif not named(entry.name):
                stay.append(entry.name)
    if in_the_way:
        raise _held_by(shown, sorted(in_the_way)[:3])
    return stay


def _held_by(shown: Path, names: Sequence[str]) -> DataError:
    return DataError("folder-holds", path=str(shown), names=tuple(names), instead=str(shown / "sheets"))


def _fill(stage: Path, files: Mapping[str, str | bytes]) -> None:
    for name, content in files.items():
        flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
        handle = os.open(stage / name, flags, 0o666)
        try:
            _put(handle, content)
        finally:
            os.close(handle)


def _keep(stage: Path, target: Path, shown: Path, theirs: Sequence[str]) -> None:
    """A second name in the stage for each file that stays, and the permissions of the folder."""
    for name in theirs:
        try:
            os.link(target / name, stage / name, follow_symlinks=False)
        except OSError as fault:
            if fault.errno in (errno.EPERM, errno.EACCES, errno.ENOTSUP, errno.ENOSYS, errno.EMLINK):
                raise _held_by(shown, [name]) from None
            raise
    try:
        mode = target.stat().st_mode & 0o7777
    except FileNotFoundError:  # mkdtemp makes folders only their owner can open
        mode = 0o777 & ~_mask()
    os.chmod(stage, mode)


def _swap(stage: str, target: Path, named: Names) -> None:
    """The finished stage for the old folder, in one step where there is one, and the old one away."""
    ready = stage.removesuffix(MAKING) + READY
    os.rename(stage, ready)
    _flush_folder(target.parent)
    old = ready
    try:
        if not _exchanged(ready, str(target)):
            old = stage.removesuffix(MAKING) + OLD
            os.rename(target, old)
            try:
                os.rename(ready, target)
            except OSError:
                os.rename(old, target)
                raise
    except OSError:
        with contextlib.suppress(OSError):
            _remove(ready)
        raise
    _flush_folder(target.parent)
    with contextlib.suppress(OSError):  # what is left of it is the next run's to clear
        _empty_into(Path(old), target, named)


def _exchanged(one: str, other: str) -> bool:
    """Whether two folders changed places, at once. False where the system or the disk cannot do that."""
    try:
        library = ctypes.CDLL(None, use_errno=True)
        if sys.platform == "darwin":
            done = library.renamex_np(os.fsencode(one), os.fsencode(other), 2)
        else:  # Linux, -100: names are as they stand, 2: exchange
            done = library.renameat2(-100, os.fsencode(one), -100, os.fsencode(other), 2)
    except (AttributeError, OSError, TypeError):
        return False
    if done == 0:
        return True
    number = ctypes.get_errno()
    if number in (errno.ENOSYS, errno.EINVAL, errno.ENOTSUP, errno.EOPNOTSUPP):
        return False
    raise OSError(number, os.strerror(number), other)


def _finish_others(target: Path, named: Names, held: bool) -> None:
    """What dead runs left: half-made stages go; a whole folder takes its place where that is empty, else goes
    too."""
    for stage in _left_by_others(target, MAKING, held):
        with contextlib.suppress(OSError):
            _remove(stage)
    for left in (*_left_by_others(target, READY, held), *_left_by_others(target, OLD, held)):
        if os.path.lexists(target):
            with contextlib.suppress(OSError):
                _empty_into(Path(left), target, named)
        else:
            os.rename(left, target)


def _empty_into(old: Path, target: Path, named: Names) -> None:
    """Remove a folder that was replaced. What is not ours in it, and is missing or older in the new one
    (somebody saved it while the two changed places), is brought over first."""
    for entry in list(os.scandir(old)):
        new = target / entry.name
        if not named(entry.name) and not (
            os.path.lexists(new) and new.lstat().st_mtime_ns >= entry.stat(follow_symlinks=False).st_mtime_ns
        ):
            os.replace(entry.path, new)
        else:
            os.unlink(entry.path)
    os.rmdir(old)


def _remove(stage: str) -> None:
    """A stage with all in it; it holds no folder."""
    for name in os.listdir(stage):
        os.unlink(os.path.join(stage, name))
    os.rmdir(stage)


# ------------------------------------------------------------------ both


def _prefix(target: Path) -> str:
    return f".{target.name[:40]}."


def _left_by_others(target: Path, ending: str, held: bool) -> list[str]:
    """Hidden pieces of this target that no living run works on."""
    prefix = os.path.join(target.parent, _prefix(target))
    named = re.compile(re.escape(prefix) + r"\w{8}" + re.escape(ending))
    found = sorted(name for name in glob.iglob(f"{glob.escape(prefix)}*{ending}") if named.fullmatch(name))
    return found if held else [name for name in found if time.time() - os.stat(name).st_mtime > STALE]


def _flush_folder(folder: Path) -> None:
    """Make a rename itself last; some systems cannot open a folder, and then it is left to them."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _mask() -> int:
    """The permissions that new files are not to have."""
    mask = os.umask(0)
    os.umask(mask)
    return mask
