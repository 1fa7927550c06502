"""Write a file whole or not at all."""

from __future__ import annotations

import contextlib
import os
import tempfile
from pathlib import Path


def write_atomic(path: Path | str, content: str | bytes) -> None:
    """Put `content` at `path`: a temporary name beside it, flushed to the disk, then renamed over it.

    Whoever reads sees the old file or the new one, after a cut of power too. An existing file keeps its
    permissions; a symbolic link stays one and its target is written. Text goes out as UTF-8, line ends as
    they are. Raises OSError, and then the old file is untouched.
    """
    target = Path(os.path.realpath(path))
    raw = content.encode("utf-8") if isinstance(content, str) else content
    try:
        mode = target.stat().st_mode & 0o7777
    except FileNotFoundError:
        mask = os.umask(0)
        os.umask(mask)
        mode = 0o666 & ~mask
    handle, name = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name[:100]}.", suffix=".part")
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(raw)
            stream.flush()
            os.fsync(stream.fileno())
        os.chmod(name, mode)
        os.replace(name, target)
    except BaseException:
        with contextlib.suppress(OSError):
            os.unlink(name)
        raise
    _flush_folder(target.parent)


def _flush_folder(folder: Path) -> None:
    """Make the rename itself last; some systems cannot open a folder, and then it is left to them."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
