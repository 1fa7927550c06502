"""What the page keeps of a project: a folder each (`places.py` says where), whole files only.

    project.toml        the project as it stands
    climate-<digest>    what was uploaded, by a digest of its name in the project
    project.site.jsonl  what was read on site, only ever added to
    undo/0001.toml      earlier texts, oldest first; redo/: those gone back from

The id is drawn by us; no path is ever made from a file's name. A file is written whole or not at all
(`files.whole`): after a cut of power it is old or new, not half. What a change adds is there before the
project's text, which alone says what holds. Whatever changes anything asks for the folder to write, which an
id that only reads is refused.
"""

from __future__ import annotations

import contextlib
import hashlib
from collections.abc import Callable
from pathlib import Path

from mistcalc import files
from mistcalc.errors import DataError
from mistcalc.page import places

UNDO_STEPS = 50  # earlier texts
SITE_LOG = "project.site.jsonl"


def create(text: str, climate: tuple[str, bytes] | None = None, person: str = "") -> str:
    """Keep a new project of a person's, with the climate file it names (name, content) where it came with
    one; its id."""
    identity = places.owned(person, places.new_id())
    beside = {_climate_name(climate[0]): climate[1]} if climate else {}
    files.write_folder(places.folder_to_write(identity), {"project.toml": text, **beside})
    return identity


def known(identity: str) -> bool:
    """Whether there is a project of that id. Anything that is not an id of ours is unknown."""
    with contextlib.suppress(DataError):
        return (places.folder_to_read(identity) / "project.toml").is_file()
    return False


def read(identity: str) -> str:
    """The project's text as it stands. Raises DataError where there is none, or its link was withdrawn."""
    path = places.folder_to_read(identity) / "project.toml"
    if not path.is_file():
        raise DataError("page-project-unknown", identity=identity[:40])
    return path.read_text("utf-8")


def stamp(identity: str) -> tuple[int, ...]:
    """Another value once the project or its site log is another; for one that is gone, of its own."""
    stamps: list[int] = []
    with contextlib.suppress(DataError):
        folder = places.folder_to_read(identity)
        for path in (folder / "project.toml", folder / SITE_LOG):
            with contextlib.suppress(OSError):
                known_file = path.stat()
                stamps += [known_file.st_mtime_ns, known_file.st_size]
    return tuple(stamps)


def change(identity: str, make: Callable[[str], str], keep_undo: bool = True) -> str:
    """Replace the text by make(text), one writer at a time; the new text.

    `make` gets what is on disk now, so two tabs on one project add up and neither undoes the other.
    With `keep_undo` the text before is kept; without, the change joins the step before it (one drag).
    """
    folder = places.folder_to_write(identity)
    with files.locked(folder):
        before = read(identity)
        after = make(before)
        if after == before:
            return before
        if keep_undo:
            _push(identity, "undo", before)
        files.write_file(folder / "project.toml", after)
        for step in _steps(identity, "redo"):
            step.unlink(missing_ok=True)
        return after


def undo(identity: str) -> bool:
    """Go back one step. False where there is none."""
    return _go(identity, "undo", "redo")


def redo(identity: str) -> bool:
    """Take back the latest undo. False where there is none, or something was changed since."""
    return _go(identity, "redo", "undo")


def can_undo(identity: str) -> bool:
    return known(identity) and bool(_steps(identity, "undo"))


def can_redo(identity: str) -> bool:
    return known(identity) and bool(_steps(identity, "redo"))


def put_climate(identity: str, name: str, content: bytes) -> None:
    """Keep an uploaded climate file beside the project, for when its text gives that name."""
    folder = places.folder_to_write(identity)
    read(identity)
    files.write_file(folder / _climate_name(name), content)


def climate(identity: str, name: str) -> Path | None:
    """The climate file that was uploaded by that name, if there is one."""
    if not known(identity):
        return None
    path = places.folder_to_read(identity) / _climate_name(name)
    return path if path.is_file() else None


def site_log(identity: str) -> Path:
    """Where the project's site log stands, written or not."""
    return places.folder_to_read(identity) / SITE_LOG


def add_to_site_log(identity: str, add: Callable[[Path], object]) -> None:
    """add(the log), one writer at a time. Raises DataError where there is no such project."""
    folder = places.folder_to_write(identity)
    with files.locked(folder):
        read(identity)
        add(folder / SITE_LOG)


def recent(count: int, person: str = "") -> list[tuple[str, str, float]]:
    """(id, text, time of the last change [s since 1970]) of the person's projects changed last, newest
    first."""
    dated_paths = []
    for path in places.projects_folder(person).glob("*/project.toml"):
        with contextlib.suppress(OSError):  # one that cannot be looked at is not to hide the others
            dated_paths.append((path.stat().st_mtime_ns, path))
    projects: list[tuple[str, str, float]] = []
    for changed, path in sorted(dated_paths, reverse=True):
        with contextlib.suppress(OSError, ValueError, DataError):
            if len(projects) < count:
                identity = places.owned(person, path.parent.name)
                projects.append((identity, path.read_text("utf-8"), changed / 1e9))
    return projects


# ------------------------------------------------------------------ inside


def _climate_name(name: str) -> str:
    return f"climate-{hashlib.sha256(name.encode()).hexdigest()[:16]}"


def _go(identity: str, back: str, forth: str) -> bool:
    """Take the text on top of one stack, and put that which stands on the other."""
    folder = places.folder_to_write(identity)
    with files.locked(folder):
        steps = _steps(identity, back)
        if not steps or not known(identity):
            return False
        now = read(identity)
        while len(steps) > 1 and steps[-1].read_text("utf-8") == now:  # kept for a change that never came
            steps.pop().unlink()
        _push(identity, forth, now)
        files.write_file(folder / "project.toml", steps[-1].read_bytes())
        steps[-1].unlink()
        return True


def _steps(identity: str, stack: str) -> list[Path]:
    return sorted((places.folder_to_read(identity) / stack).glob("[0-9]*.toml"))


def _push(identity: str, stack: str, text: str) -> None:
    steps = _steps(identity, stack)
    folder = places.folder_to_write(identity) / stack
    folder.mkdir(exist_ok=True)
    number = int(steps[-1].stem) + 1 if steps else 1
    files.write_file(folder / f"{number:08d}.toml", text)
    for old in steps[: max(0, len(steps) + 1 - UNDO_STEPS)]:
        old.unlink(missing_ok=True)
