"""Which file a project means by its `climate`: a shipped sample, or a file beside it and none elsewhere.
Towns somebody may live near, and which of the samples was measured nearest to a place.
"""

from __future__ import annotations

import csv
import difflib
import gzip
import math
import re
import unicodedata
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from mistcalc.errors import DataError
from mistcalc.files.climate.station_file import SAMPLES, plain, samples_folder
from mistcalc.model.on_earth import way_between
from mistcalc.model.project import Place

HEAD = 400  # signs of a sample in which its place stands


@dataclass(frozen=True, slots=True)
class Town:
    """Where a town lies, to a tenth of a degree and ten meters: climate_samples/TOWNS.csv."""

    name: str
    latitude: float  # degrees, north positive
    longitude: float  # degrees, east positive
    elevation: float  # m

    @property
    def place(self) -> Place:
        """As a project has it, with the sample nearest to it."""
        here = math.radians(self.latitude), math.radians(self.longitude)
        return Place(self.elevation, nearest_sample(*here), latitude=here[0], longitude=here[1])


@lru_cache(maxsize=1)
def towns() -> dict[str, Town]:
    """By name, "Las Cruces, NM", in the order of the alphabet."""
    with (samples_folder() / "TOWNS.csv").open(encoding="utf-8", newline="") as stream:
        rows = [
            Town(
                f"{row['town']}, {row['region']}",
                float(row["latitude"]),
                float(row["longitude"]),
                float(row["elevation_m"]),
            )
            for row in csv.DictReader(stream)
        ]
    return {town.name: town for town in sorted(rows, key=lambda town: _letters(town.name))}


def sample_or_town(text: str) -> str | Town:
    """What --near names: a sample by its own name, else a town ("las cruces", "Las Cruces, NM").

    DataError where it is neither.
    """
    if (shipped := text.strip().lower()) in SAMPLES:
        return shipped
    known = {_letters(name): town for full, town in towns().items() for name in (full, full.split(",")[0])}
    if town := known.get(_letters(text)):
        return town
    like = tuple(known[name].name for name in difflib.get_close_matches(_letters(text), known, n=1))
    raise DataError("near-unknown", name=plain(text), known=tuple(SAMPLES), like=like)


def nearest_sample(latitude: float, longitude: float) -> str:
    """The sample whose station is nearest to a place [rad]."""
    return min(SAMPLES, key=lambda name: way_between((latitude, longitude), _station(name))[0])


def sample_elevation(name: str) -> float:
    """Of a sample's station [m]."""
    return _head(name).get("elev_m", 0.0)


def _station(name: str) -> tuple[float, float]:
    head = _head(name)
    return math.radians(head["lat"]), math.radians(head["lon"])


@lru_cache(maxsize=len(SAMPLES))
def _head(name: str) -> dict[str, float]:
    """The numbers in the first line of a sample."""
    with gzip.open(samples_folder() / SAMPLES[name], "rt", encoding="utf-8", errors="replace") as stream:
        found = re.findall(r"(lat|lon|elev_m)=(-?[0-9.]+)", stream.read(HEAD))
    return {key: float(value) for key, value in found}


def _letters(name: str) -> str:
    """A name as it is looked up: small letters without accents, a space for what is none."""
    bare = "".join(c for c in unicodedata.normalize("NFD", name) if not unicodedata.combining(c))
    return re.sub(r"[^a-z]+", " ", bare.casefold()).strip()


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
