"""Runs that close on themselves: a ring must come back to where it starts."""

from __future__ import annotations

from typing import Any

from mistcalc import units
from mistcalc.files.project.schema_reader import SchemaReader
from mistcalc.files.project.surroundings_cross_checks import CORNERS
from mistcalc.files.text.toml_positions import Path
from mistcalc.model.run_extents import SAME

FEWEST = 4  # runs of a ring: its corners are square
OUT = 0.0032  # m: an eighth of an inch on the tape, all round

Tree = dict[str, Any]


def is_ring(runs: list[Tree]) -> bool:
    """Whether the last of enough runs turns into the first."""
    return len(runs) >= FEWEST and runs[-1]["then"] in CORNERS


def compare_ring(walk: SchemaReader, patio: Tree, path: Path) -> None:
    """Note a ring that turns too far or not far enough, or whose sides across from each other differ."""
    runs = patio["run"]
    if not is_ring(runs) or any(run["then"] not in CORNERS for run in runs):
        return
    at: Path = (*path, "run", len(runs) - 1, "then")
    inside = sum(CORNERS[run["then"]] == "inside" for run in runs)
    if abs(2 * inside - len(runs)) != FEWEST:
        walk.wrong("ring-turns", at, inside=inside, outside=len(runs) - inside)
        return
    sides: tuple[list[Tree], ...] = ([], [], [], [])  # by heading
    heading = 0
    for run in runs:
        sides[heading].append(run)
        heading = (heading + (1 if run["then"] == "outside corner" else -1)) % 4
    if any(not run["length"] or not run["name"] for run in runs):
        return
    for one, other in ((sides[0], sides[2]), (sides[1], sides[3])):
        lengths = [sum(run["length"] for run in side) for side in (one, other)]
        if abs(lengths[0] - lengths[1]) > OUT + SAME:
            names = [", ".join(run["name"] for run in side) for side in (one, other)]
            texts = [units.show(length, "length", walk.system) for length in lengths]
            values = {"one": names[0], "other": names[1], "text": texts[0], "other_text": texts[1]}
            walk.wrong("ring-open", (*path, "run"), **values)
