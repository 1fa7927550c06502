"""Where tube begins and ends: the pump, a run's ends, a place along a run, or a name of its own."""

from __future__ import annotations

import difflib
from collections.abc import Iterator, Sequence
from typing import Any

from mistcalc import units
from mistcalc.errors import InputError
from mistcalc.files.project.schema_reader import SchemaReader
from mistcalc.files.project.second_row_checks import rows_of
from mistcalc.files.text.toml_positions import Path
from mistcalc.model.project import Tap

PUMP, WATER_POINT, DRAIN = "pump", "water point", "drain"
_AT = " at "


def read_spots(walk: SchemaReader, values: dict[str, Any]) -> None:
    """Put a Tap in the place of every "<run> at <length>"; a length that cannot be read is noted."""
    runs = [run for patio in values["patio"] for run in patio["run"]]
    lengths = {row["name"]: row["length"] for run in runs for row, _ in rows_of(run)}
    whole = {f"{run} {end}" for run in lengths for end in ("start", "end")}
    for table, key, path in spots(values["line"]):
        if table[key] not in whole:  # a run's end, though the run were called "A at 3"
            table[key] = _spot(walk, table[key], path, lengths)


def spots(line: dict[str, Any]) -> Iterator[tuple[dict[str, Any], str, Path]]:
    """(table, key, path) of every stated end of a piece, and of every drain's place."""
    for n, piece in enumerate(line["piece"]):
        for key in ("from", "to"):
            if piece[key]:
                yield piece, key, ("line", "piece", n, key)
    for n, drain in enumerate(line["drain"]):
        if drain["at"]:
            yield drain, "at", ("line", "drain", n, "at")


def _spot(walk: SchemaReader, text: str, path: Path, lengths: dict[str, float | None]) -> str | Tap | None:
    run, at, place = text.rpartition(_AT)  # the last one: a run may have " at " in its name, a length has not
    if run not in lengths or not at:
        return text
    try:
        along = float(units.parse(place, "length"))
    except InputError as mistake:
        told = {"key": path[-1], "example": f'"{run} at 12 ft"', **mistake.placeless}
        walk.wrong(mistake.code, path, **told)
        return None
    length = lengths[run]
    if length is not None and not 0.0 <= along <= length + 1e-9:
        low, high = (units.show(end, "length", walk.system) for end in (0.0, length))
        walk.wrong(
            "outside-lid", path, key=path[-1], text=text, low=f"{run} at {low}", high=f"{run} at {high}"
        )
        return None
    return Tap(run, along, text)


def no_such(walk: SchemaReader, path: Path, text: str, known: list[str], code: str = "no-such-name") -> None:
    """Note a name that leads nowhere, with the nearest that does not."""
    walk.wrong(code, path, text=text, nearest=closest_name(text, known), known=tuple(known))


def closest_name(text: str, known: Sequence[str]) -> str:
    """The name that was probably meant; "" where none is near."""
    return next(iter(difflib.get_close_matches(text, known, 1, cutoff=0.5)), "")
