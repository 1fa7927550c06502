"""From a row of the table to the project it means: the plan, its options, the lot's own keys, mirrored,
turned, under its climate. Rows that mean the same plan share the reading of it."""

from __future__ import annotations

import hashlib
import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import TypeVar

from mistcalc import files
from mistcalc.errors import MistcalcError
from mistcalc.model.lot import Lot
from mistcalc.model.mirror_image import mirrored
from mistcalc.model.project import Project

Found = TypeVar("Found")
QUARTER = math.pi / 2  # from the heading of a run to where its open edge looks: the house is on the left
REMEMBERED = 1024  # designs read; what a row costs stays the same however long the table is


@dataclass(frozen=True, slots=True)
class ClimateFile:
    """A year of hours: where it lies, and what it holds."""

    path: str  # "" where the project has its own afternoons
    digest: str


@dataclass(frozen=True, slots=True)
class LotProject:
    """What a row means. facing: where the open edge of the plan's first run looks, rad from north."""

    project: Project
    climate: ClimateFile
    facing: float


NO_CLIMATE = ClimateFile("", "")


class LotProjects:
    """The projects of one table."""

    def __init__(self, table: Path) -> None:
        self.beside = table.parent
        self._plan: Callable[..., Project | MistcalcError] = lru_cache(REMEMBERED)(self._read)
        self._turned: Callable[..., tuple[Project, float]] = lru_cache(REMEMBERED)(_looking)
        self._climate: Callable[..., ClimateFile | MistcalcError] = lru_cache(REMEMBERED)(self._find_climate)

    def of(self, lot: Lot) -> LotProject:
        """Raises MistcalcError with what is wrong with this lot."""
        plan = _or_raise(self._plan(lot.plan, lot.options, lot.changes))
        base, facing = self._turned(plan, lot.mirrored, lot.facing)
        name, folder = base.place.climate, (self.beside / lot.plan).parent
        if lot.climate:  # of another place, as far as anybody knows
            name, folder = lot.climate, self.beside
            base = replace(base, place=replace(base.place, latitude=None, longitude=None))
        if name is None:
            return LotProject(base, NO_CLIMATE, facing)
        found = _or_raise(self._climate(name, folder))
        project = replace(base, place=replace(base.place, climate=name))
        return LotProject(project, found, facing)

    def _read(
        self,
        plan: str,
        options: tuple[str, ...],
        changes: tuple[tuple[str, str | int | float | bool], ...],
    ) -> Project | MistcalcError:
        """Mistakes are remembered as answers are: a thousand lots may name one plan that is not there."""
        try:
            return replace(files.read_changed_project(self.beside / plan, options, changes), alternates=())
        except MistcalcError as wrong:
            return wrong

    def _find_climate(self, name: str, folder: Path) -> ClimateFile | MistcalcError:
        try:
            path = files.climate_path(name, folder)
            return ClimateFile(str(path), hashlib.sha256(path.read_bytes()).hexdigest())
        except MistcalcError as wrong:
            return wrong


def _or_raise(found: Found | MistcalcError) -> Found:
    if isinstance(found, MistcalcError):
        raise found
    return found


def _looking(plan: Project, other_way: bool, facing: float | None) -> tuple[Project, float]:
    """A plan as a lot has it, and where the open edge of its first run looks."""
    project = plan
    if facing is not None:
        place = replace(plan.place, bearing=(facing - QUARTER) % (2 * math.pi))
        assumed = tuple(path for path in plan.assumed if path != "place.bearing")
        project = replace(plan, place=place, assumed=assumed)
    looks = (project.place.bearing + QUARTER) % (2 * math.pi)
    return mirrored(project) if other_way else project, looks
