"""Second rows in the tree of a file, and where they may lie."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from mistcalc import units
from mistcalc.files.project.run_shapes import depths_of
from mistcalc.files.project.schema_reader import SchemaReader
from mistcalc.files.text.toml_positions import Path
from mistcalc.model.run_extents import SAME

Tree = dict[str, Any]


def rows_of(run: Tree) -> Iterator[tuple[Tree, Path]]:
    """A run's rows that have a name, each as the tree of a run, with where in the run it is stated."""
    if run["name"]:
        yield run, ()
    if run["second_row"] and run["second_row"]["name"]:
        yield {**run, **{key: run["second_row"][key] for key in ("name", "fixed")}}, ("second_row",)


def compare_second_row(walk: SchemaReader, patio: Tree, run: Tree, path: Path) -> None:
    """Note a second row that does not lie behind the first, or not under the lid."""
    row, first = run["second_row"], patio["line_behind_edge"]
    depth = min((d for d in depths_of(patio, run) if d), default=None)
    if not row or row["back"] is None or first is None or depth is None:
        return
    if not first + SAME < row["back"] < depth - SAME:
        low, high, text = (
            units.show(length, "length", walk.system) for length in (first, depth, row["back"])
        )
        walk.wrong("second-row-place", (*path, "second_row", "back"), text=text, low=low, high=high)
