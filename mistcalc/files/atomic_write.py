"""Write a file or a folder whole or not at all, whatever stops the program: kill, full disk, cut of power.

1. One writer at a time: the folder above is locked (`flock`), and a dead process holds no lock. So every
   hidden piece in it was left by a dead run: what that was making goes, what it was swapping is finished.
2. All is made beside the target, in a hidden piece, and flushed to the disk.
3. A file is renamed over the old one. A folder changes places with the old one in one step of the file system
   (Linux, macOS) and the old one is removed; until that step everybody sees the old, after it the new.

Where the system has no such step (Windows, some network disks) the old folder is renamed away and the new one
in. A kill between the two leaves both whole under hidden names, and the next run brings one back. Where there
are no locks (Windows), a piece counts as a dead run's after a day.
"""

from __future__ import annotations

import contextlib
import ctypes
import errno
import os
import re
import secrets
import shutil
import stat
import sys
import threading
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path

from mistcalc.errors import DataError, InputError

try:
    import fcntl
except ImportError:  # a system without such locks
    fcntl = None  # type: ignore[assignment]

MAKING, READY = "making", "ready"  # states of a hidden piece; an old folder put aside is ready too
STALE = 86400.0  # s: without a lock, a piece this old is taken for a dead run's
PATIENCE = 30.0  # s: a living writer needs a second; one that was halted would be waited for without end
_PIECE = re.compile(rf"\.(.+)\.[0-9a-f]{{8}}\.mistcalc-({MAKING}|{READY})", re.DOTALL)
_locks: dict[str, tuple[threading.RLock, list[bool]]] = {}  # of a place; whether it is locked for others too
_guard = threading.Lock()


@contextlib.contextmanager
def locked(folder: Path | str) -> Iterator[bool]:
    """One writer at a time in a folder, over all threads and processes; taken again by the thread that has
    it, it is the same lock. False where the system keeps no lock between processes. Raises DataError
    "folder-busy" where another process does not let go."""
    place = os.path.realpath(folder)
    with _guard:
        lock, states = _locks.setdefault(place, (threading.RLock(), []))
    with lock:
        if states:
            yield states[0]
            return
        handle = -1
        with contextlib.suppress(OSError):  # one may write in some folders that one may not list
            handle = os.open(place, os.O_RDONLY)
        try:
            states.append(fcntl is not None and handle >= 0 and _flock(handle, str(folder)))
            yield states[0]
        finally:
            states.clear()
            if handle >= 0:
                os.close(handle)


def _flock(handle: int, shown: str) -> bool:
    until = time.monotonic() + PATIENCE
    while True:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
            return True
        except BlockingIOError:
            if time.monotonic() > until:
                raise DataError("folder-busy", path=shown) from None
            time.sleep(0.01)
        except OSError:  # some network disks
            return False


# ------------------------------------------------------------------ a file


def write_file(path: Path | str, content: str | bytes) -> None:
    """Put `content` at `path`. Whoever reads sees the old file or the new one, after a cut of power too.

    An existing file keeps its permissions; a symbolic link stays one and its target is written. Text goes
    out as UTF-8, line ends as they are. Raises OSError, and then the old file is untouched; DataError
    "folder-busy".
    """
    target = Path(os.path.realpath(path))
    with locked(target.parent), _beside(target, content) as piece:
        os.replace(piece, target)


def write_new(path: Path | str, content: str | bytes) -> None:
    """Write a file that is not there yet. Raises InputError("file-exists") and leaves what is there alone."""
    target = Path(path)
    with locked(target.parent), _beside(target, content) as piece:
        try:
            os.link(piece, target)  # fails where there is one, in one step
        except FileExistsError:
            raise InputError("file-exists", path=str(path)) from None
        except OSError:  # a disk without hard links
            if os.path.lexists(target):
                raise InputError("file-exists", path=str(path)) from None
            os.replace(piece, target)


@contextlib.contextmanager
def _beside(target: Path, content: str | bytes) -> Iterator[Path]:
    """A finished, flushed file beside `target`, to be given its name; what is left of it is taken away."""
    _clear(target)
    piece, mode = _piece(target, MAKING), _mode(target)
    try:
        _put(piece, content, mode)
        yield piece
        _flush_folder(target.parent)
    finally:
        _remove(piece)


def _put(path: Path, content: str | bytes, mode: int | None = None) -> None:
    """Make a file, write and flush it. A full disk may take part of it, and say so at the end only."""
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
    handle = os.open(path, flags, 0o666 if mode is None else mode)
    try:
        left = memoryview(content.encode("utf-8") if isinstance(content, str) else content)
        while left:
            left = left[os.write(handle, left) :]
        if mode is not None:
            os.chmod(path, mode)
        os.fsync(handle)
    finally:
        os.close(handle)


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
    "folder-is-file", "folder-stood-in" (one that cannot be put aside), "folder-holds" (a folder, or a file
    that cannot stay, or one of our names where there was no earlier writing) and "folder-busy"; OSError
    likewise.
    """
    target = Path(os.path.realpath(folder))
    missing = [above for above in target.parents if not above.exists()]
    try:
        for above in reversed(missing):
            os.makedirs(above, exist_ok=True)
            _flush_folder(above.parent)
        with locked(target.parent):
            _clear(target, named)
            theirs = _theirs(target, Path(folder), named, known) if os.path.lexists(target) else ()
            _replace_folder(target, Path(folder), files, theirs, named)
    except BaseException:
        for above in missing:
            with contextlib.suppress(OSError):
                os.rmdir(above)
        raise


def _theirs(target: Path, shown: Path, named: Names, known: Callable[[Path], bool]) -> Sequence[str]:
    """Names in the folder that are not ours and are to stay. Raises what `write_folder` promises."""
    if not target.is_dir():
        raise DataError("folder-is-file", path=str(shown))
    here = Path(os.path.realpath(os.curdir))
    if target == here or target in here.parents or os.path.ismount(target):
        raise DataError("folder-stood-in", path=str(shown), instead=str(shown / "sheets"))
    if not os.access(target, os.W_OK):  # it could be put aside, but somebody wants it left
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), str(shown))
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


def _replace_folder(
    target: Path, shown: Path, files: Mapping[str, str | bytes], theirs: Sequence[str], named: Names
) -> None:
    stage, mode = _piece(target, MAKING), _mode(target)
    try:
        os.mkdir(stage, 0o777 if mode is None else mode)
        for name, content in files.items():
            _put(stage / name, content)
        for name in theirs:
            _keep(target / name, stage / name, shown)
        if mode is not None:
            os.chmod(stage, mode)
        _flush_folder(stage)
        if mode is None:
            os.rename(stage, target)
        else:
            _swap(stage, target, named)
    finally:
        _remove(stage)
    _flush_folder(target.parent)


def _keep(theirs: Path, second: Path, shown: Path) -> None:
    """A second name in the stage for a file that stays."""
    try:
        os.link(theirs, second, follow_symlinks=False)
    except OSError as fault:
        if fault.errno in (errno.EPERM, errno.EACCES, errno.ENOTSUP, errno.ENOSYS, errno.EMLINK):
            raise _held_by(shown, [theirs.name]) from None
        raise


def _swap(stage: Path, target: Path, named: Names) -> None:
    """The finished stage for the old folder, in one step where there is one, and the old one away."""
    ready = old = _piece(target, READY)
    os.rename(stage, ready)
    _flush_folder(target.parent)
    try:
        if not _exchanged(ready, target):
            old = _piece(target, READY)
            os.rename(target, old)
            try:
                os.rename(ready, target)
            except OSError:
                os.rename(old, target)
                raise
    except OSError:
        _remove(ready)
        raise
    _flush_folder(target.parent)
    _empty_into(old, target, named)


def _exchanged(stage: Path, target: Path) -> bool:
    """Whether two folders changed places, at once. False where the system or the disk cannot do that."""
    try:
        library = ctypes.CDLL(None, use_errno=True)
        if sys.platform == "darwin":
            done = library.renamex_np(os.fsencode(stage), os.fsencode(target), 2)
        else:  # Linux, -100: names are as they stand, 2: exchange
            done = library.renameat2(-100, os.fsencode(stage), -100, os.fsencode(target), 2)
    except (AttributeError, OSError, TypeError):
        return False
    if done == 0:
        return True
    number = ctypes.get_errno()
    if number in (errno.ENOSYS, errno.EINVAL, errno.ENOTSUP, errno.EOPNOTSUPP):
        return False
    raise OSError(number, os.strerror(number), str(target))


def _empty_into(old: Path, target: Path, named: Names) -> None:
    """Remove a folder that was replaced; what cannot go, the next run tries again. What is not ours in it,
    and is missing or older in the new one (somebody saved it while they changed places), is brought over."""
    with contextlib.suppress(OSError):
        for entry in list(os.scandir(old)):
            new, changed = target / entry.name, entry.stat(follow_symlinks=False).st_mtime_ns
            if named(entry.name) or (os.path.lexists(new) and new.lstat().st_mtime_ns >= changed):
                os.unlink(entry.path)
            else:
                os.replace(entry.path, new)
        os.rmdir(old)


# ------------------------------------------------------------------ hidden pieces


def _piece(target: Path, state: str) -> Path:
    """A new hidden name beside the target."""
    return target.with_name(f".{target.name[:40]}.{secrets.token_hex(4)}.mistcalc-{state}")


def _clear(target: Path, named: Names | None = None) -> None:
    """What dead runs left in the folder above goes, of whatever name if they were still making it. What they
    had ready for this target, or put aside, takes its place where that is empty."""
    with locked(target.parent) as held, contextlib.suppress(OSError):
        for name in sorted(os.listdir(target.parent)):
            match, left = _PIECE.fullmatch(name), target.parent / name
            if not match or not (held or time.time() - left.stat().st_mtime > STALE):
                continue
            if match[2] == MAKING:
                _remove(left)
            elif named and match[1] == target.name[:40]:
                if os.path.lexists(target):
                    _empty_into(left, target, named)
                else:
                    os.rename(left, target)


def _remove(piece: Path) -> None:
    """A file, or a folder that holds no folder; what cannot go, the next run tries again."""
    with contextlib.suppress(OSError):
        shutil.rmtree(piece) if piece.is_dir() else os.unlink(piece)


def _mode(path: Path) -> int | None:
    """The permissions of what is there, None where nothing is."""
    try:
        return stat.S_IMODE(path.stat().st_mode)
    except FileNotFoundError:
        return None


def _flush_folder(folder: Path) -> None:
    """Make a rename itself last; some systems cannot open a folder, and then it is left to them."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
