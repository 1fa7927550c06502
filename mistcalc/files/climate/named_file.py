"""Which file a project means by its `climate`: a shipped sample, or a file beside it and none elsewhere."""

from __future__ import annotations

import difflib
from pathlib import Path

from mistcalc.errors import DataError
from mistcalc.files.climate.near_towns import Town, sample_or_town
from mistcalc.files.climate.station_file import SAMPLES, plain, samples_folder


def climate_path(name: str, beside: Path | None) -> Path:
    """The file a project means by `climate = name`: a shipped sample, or a file in the folder `beside`.

    beside: the folder of the project file, or the project file itself; None where only samples may be
    named (an upload brings no folder). DataError where there is no such file, or where it would lie outside.
    """
    known = tuple(SAMPLES)
    shipped = name.strip().lower()
    if shipped in SAMPLES:
        return samples_folder() / SAMPLES[shipped]
    by_file = {file.removesuffix(".csv.gz"): file for file in SAMPLES.values()}
    if shipped in by_file:
        return samples_folder() / by_file[shipped]
    wrong = {"name": plain(name), "known": known, **_instead(shipped)}
    if beside is None or "\0" in name or not name.strip():
        raise DataError("climate-unknown", **wrong)
    folder = (beside.parent if beside.is_file() else beside).resolve()
    path = (folder / name.strip()).resolve()
    if not path.is_relative_to(folder):
        raise DataError("climate-outside", name=plain(name), folder=str(folder))
    if not path.is_file():
        raise DataError("climate-no-file", folder=str(folder), **wrong)
    return path


def _instead(name: str) -> dict[str, object]:
    """What may have been meant: a sample spelled much like it, else the one nearest to that town."""
    like = difflib.get_close_matches(name, SAMPLES, n=1)
    try:
        town = sample_or_town(name)
    except DataError:
        return {"like": tuple(like)}
    assert isinstance(town, Town)  # a sample's own name is no mistake
    nearest = town.place.climate
    return {"like": (nearest,)} if nearest in like else {"like": (), "town": town.name, "nearest": nearest}
