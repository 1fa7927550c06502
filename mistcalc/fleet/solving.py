"""One design worked out, in whatever process: this one, another, one on another computer."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from mistcalc import files
from mistcalc.design.lot import lot_answer
from mistcalc.errors import DataError, MistcalcError
from mistcalc.fleet.answer_json import answer_text
from mistcalc.fleet.content_keys import program_digest
from mistcalc.fleet.lot_project import ClimateFile
from mistcalc.model.project import Project
from mistcalc.model.results import Weather

CLIMATES = 4  # a process remembers; half a megabyte each


@dataclass(frozen=True, slots=True)
class SolveOrder:
    """All that one design needs; 5 kB to send. The climate goes by its path, checked where it is read."""

    key: str
    project: Project
    climate: ClimateFile
    program: str


def solve(order: SolveOrder) -> str | MistcalcError:
    """The answer as text to keep, or what keeps this design from one. Anything else that is raised is a
    fault, ours or the machine's, and worth trying again."""
    try:
        if order.program != program_digest():
            raise DataError("fleet-worker-version")
        return answer_text(order.key, lot_answer(order.project, weather_of(order.climate)))
    except MistcalcError as wrong:
        return wrong


@lru_cache(CLIMATES)
def weather_of(climate: ClimateFile) -> Weather | None:
    """A year as it was when the table was read; None where the project has its own afternoons. Raises
    DataError."""
    if not climate.path:
        return None
    path = Path(climate.path)
    if not path.exists():  # a sample lies elsewhere on another computer
        path = files.climate_path(path.name.removesuffix(".csv.gz"), None)
    raw = path.read_bytes()
    if hashlib.sha256(raw).hexdigest() != climate.digest:
        raise DataError("fleet-climate-differs", name=path.name)
    return files.read_climate(raw, path.name)
