"""Runs that close on themselves: a ring must come back to where it starts."""

from __future__ import annotations

from typing import Any

from mistcalc import units
from mistcalc.files.project.patio_keys import CORNERS
from mistcalc.files.project.run_shapes import BENDS, OUT
from mistcalc.files.project.schema_reader import SchemaReader
from mistcalc.files.text.toml_positions import Path
from mistcalc.model.run_extents import SAME

FEWEST = 4  # runs of a ring: its corners are square

Tree = dict[str, Any]


def is_ring(runs: list[Tree]) -> bool:
    """Whether the last of enough runs turns into the first."""
    return len(runs) >= FEWEST and runs[-1]["then"] in CORNERS


def compare_ring(walk: SchemaReader, patio: Tree, path: Path) -> None:
    """Note a ring that turns too far or not far enough, or whose sides across from each other differ."""
    runs = patio["run"]
    if not is_ring(runs) or any(run["then"] not in CORNERS or run["then"] in BENDS for run in runs):
        return
    at: Path = (*path, "run", len(runs) - 1, "then")
    inside, outside = (
        sum(CORNERS[run["then"]] == corner for run in runs) for corner in ("inside", "outside")
    )
    if abs(inside - outside) != FEWEST:
        walk.wrong("ring-turns", at, inside=inside, outside=outside)
        return
    sides: tuple[list[Tree], ...] = ([], [], [], [])  # by heading
    heading = 0
    for run in runs:
        sides[heading].append(run)
        heading = (heading + {"outside": 1, "inside": -1}.get(str(CORNERS[run["then"]]), 0)) % 4
    if any(not run["length"] or not run["name"] for run in runs):
        return
    for one, other in ((sides[0], sides[2]), (sides[1], sides[3])):
        lengths = [sum(run["length"] for run in side) for side in (one, other)]
        if abs(lengths[0] - lengths[1]) > OUT + SAME:
            names = [", ".join(run["name"] for run in side) for side in (one, other)]
            texts = [units.show(length, "length", walk.system) for length in lengths]
            values = {"one": names[0], "other": names[1], "text": texts[0], "other_text": texts[1]}
            walk.wrong("ring-open", (*path, "run"), **values)


STEEPEST = 0.7072  # rise over the length along the slope: 45 degrees
LEAST_HEIGHT = 1.5  # m: as of a patio's height


def compare_slopes(walk: SchemaReader, patio: Tree, path: Path) -> None:
    """Note a run steeper than 45 degrees, a lid that comes down too low, a ring that comes back higher than
    it began."""
    height = patio["height"]
    for number, run in enumerate(patio["run"]):
        at: Path = (*path, "run", number, "rise")
        if run["rise"] is None or height is None:
            return
        shown = {"text": units.show(run["rise"], "length", walk.system)}
        if run["length"] and abs(run["rise"]) > STEEPEST * run["length"]:
            walk.wrong(
                "slope-too-steep", at, length=units.show(run["length"], "length", walk.system), **shown
            )
            return
        height += run["rise"]
        if run["rise"] and height < LEAST_HEIGHT:
            walk.wrong("slope-too-low", at, height=units.show(height, "length", walk.system), **shown)
            return
    if is_ring(patio["run"]) and abs(height - patio["height"]) > OUT:
        out = units.show(height - patio["height"], "length", walk.system)
        walk.wrong("ring-rises", (*path, "run"), text=out)
