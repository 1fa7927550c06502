"""By what a design is known again: a digest of all that its answer hangs on, and of nothing else."""

from __future__ import annotations

import hashlib
from dataclasses import replace
from functools import cache, lru_cache
from importlib import metadata, resources
from importlib.resources.abc import Traversable

from mistcalc.model.content_digest import fingerprint
from mistcalc.model.project import Dates, Paper, Project, Revision

# What answers come from; sentences, sheets and the page may change, and an answer stays good.
ANSWERING = (
    "carpentry.py", "checks", "cooling", "design", "errors.py", "files", "layout", "line", "model",
    "outdoor_air.py", "physics", "season", "schedule.py", "takeoff", "units",
)  # fmt: skip
LIBRARIES = ("numpy", "scipy", "fluids", "psychrolib", "thermofeel")
DIGITS = 32
REMEMBERED = 256  # designs last looked at


@cache
def program_digest() -> str:
    """A digest of the program's own files and of the libraries it computes with."""
    digest = hashlib.sha256()
    top = resources.files("mistcalc")
    for name in ANSWERING:
        _feed(digest, top.joinpath(name), name)
    for library in LIBRARIES:
        digest.update(f"{library} {metadata.version(library)}\n".encode())
    return digest.hexdigest()[:DIGITS]


@cache
def paper_digest() -> str:
    """A digest of all the program's files: any may change a sheet."""
    digest = hashlib.sha256()
    _feed(digest, resources.files("mistcalc"), "mistcalc")
    return digest.hexdigest()[:DIGITS]


def _feed(digest: hashlib._Hash, entry: Traversable, name: str) -> None:
    if entry.is_dir():
        for inner in sorted(entry.iterdir(), key=lambda one: one.name):
            if inner.name != "__pycache__":
                _feed(digest, inner, f"{name}/{inner.name}")
    elif name.endswith((".py", ".toml")):
        digest.update(f"{name}\n".encode())
        digest.update(entry.read_bytes())


def answered(project: Project) -> Project:
    """The project without what no answer of a fleet hangs on: its names, days, paper and languages. The
    climate's name goes too: its contents count."""
    return replace(
        project, name="", about="", mirrored_from="", language="en", crew_language=None, defaults=None,
        alternates=(), revision=Revision(), dates=Dates(), paper=Paper(), tariff=None,
        place=replace(project.place, climate=None, north=""),
    )  # fmt: skip


def content_key(project: Project, climate: str, program: str) -> str:
    """climate: a digest of the climate file's contents; "" where the project has its own afternoons."""
    return fingerprint(family_key(project, climate), project.place.bearing, program)


def family_key(project: Project, climate: str) -> str:
    """The same for all ways round of one design."""
    return _digest(answered(replace(project, place=replace(project.place, bearing=0.0))), climate)


@lru_cache(REMEMBERED)
def _digest(project: Project, climate: str) -> str:
    return fingerprint(project, climate)
