"""How runs meet and how deep the lid over each is, in the tree of a file: bends and tapers against what they
meet."""

from __future__ import annotations

from typing import Any

from mistcalc import units
from mistcalc.files.project.schema_reader import SchemaReader
from mistcalc.files.text.toml_positions import Path

Tree = dict[str, Any]
BENDS = ("inside bend", "outside bend")
SQUARE = ("inside corner", "outside corner")
OUT = 0.0032  # m: an eighth of an inch on the tape


def depths_of(patio: Tree, run: Tree) -> tuple[Any, Any]:
    """Of the lid at the run's start and at its end; None where the file does not say well."""
    start = run["depth"] or patio["depth"]
    return start, run["depth_at_end"] or start


def compare_shapes(walk: SchemaReader, patio: Tree, path: Path) -> None:
    """Note a bend where nothing bends, a ring that bends, a taper at a corner, and two runs that meet at a
    bend without the same depth there."""
    runs = patio["run"]
    for n, run in enumerate(runs):
        at: Path = (*path, "run", n)
        before = runs[n - 1]["then"] if n or runs[-1]["then"] != "end" else None
        if run["bend"] is not None and run["then"] is not None and run["then"] not in BENDS:
            walk.wrong("bend-without", (*at, "bend"), text=run["then"])
        if run["then"] in BENDS and n == len(runs) - 1:
            walk.wrong("ring-bend", (*at, "then"), text=run["then"])
        elif run["then"] in BENDS:
            _compare_depths(walk, patio, run, runs[n + 1], at)
        start, end = depths_of(patio, run)
        if start and end and abs(end - start) > OUT and (run["then"] in SQUARE or before in SQUARE):
            walk.wrong("taper-at-corner", (*at, "depth_at_end"))


def _compare_depths(walk: SchemaReader, patio: Tree, run: Tree, after: Tree, at: Path) -> None:
    here, there = depths_of(patio, run)[1], depths_of(patio, after)[0]
    if here and there and abs(here - there) > OUT:
        texts = {"text": units.show(here, "length", walk.system)}
        texts["other_text"] = units.show(there, "length", walk.system)
        walk.wrong("bend-depths", (*at, "then"), run=run["name"] or "", other=after["name"] or "", **texts)
