"""One lot of a subdivision, as a person's table states it."""

from __future__ import annotations

from dataclasses import dataclass

from mistcalc.model.quantities import Radian


@dataclass(frozen=True, slots=True)
class Lot:
    """A row of the table. What it leaves open is the plan's."""

    name: str
    plan: str  # a project file, beside the table
    line: int = 0  # of the table, for mistakes; 0: not known
    mirrored: bool = False
    facing: Radian | None = None  # where the open edge of the plan's first run looks, clockwise from north
    climate: str = ""  # a shipped sample's name, or a file beside the table
    phase: str = ""
    options: tuple[str, ...] = ()  # names of the plan's alternates
    changes: tuple[tuple[str, str | int | float | bool], ...] = ()  # key path, and what stands there instead
