"""Something new for the plan: what it is called, how large, and where it is put first. Pure."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import count, pairwise
from typing import Literal

from mistcalc import units
from mistcalc.errors import InputError
from mistcalc.files.project.dependent_defaults import CLEARANCES
from mistcalc.model.project import Obstacle, ObstacleKind, Patio, Run, Screen, Seat
from mistcalc.model.run_extents import depth_along, from_datum

ThingKind = ObstacleKind | Literal["seat"]
# Along and back, as a shop sells them: common practice without a source. In the order they are offered.
SIZES: dict[ObstacleKind, tuple[tuple[str, str], tuple[str, str]]] = {
    "light": (("6 in", "6 in"), ("150 mm", "150 mm")),
    "fan": (("60 in", "60 in"), ("1500 mm", "1500 mm")),
    "heater": (("5 ft", "8 in"), ("1500 mm", "200 mm")),
    "column": (("5-1/2 in", "5-1/2 in"), ("140 mm", "140 mm")),
    "door glass": (("6 ft", "0 in"), ("1800 mm", "0 mm")),
    "grill": (("4 ft", "2 ft"), ("1200 mm", "600 mm")),
    "speaker": (("8 in", "8 in"), ("200 mm", "200 mm")),
    "outlet": (("4 in", "4 in"), ("100 mm", "100 mm")),
    "vent": (("12 in", "12 in"), ("300 mm", "300 mm")),
    "screen": (("6 ft", "4 in"), ("1800 mm", "100 mm")),
    "beam": (("5-1/2 in", "10 ft"), ("140 mm", "3 m")),
    "outlooker": (("1-1/2 in", "2 ft"), ("45 mm", "600 mm")),
    "pocket": (("6 in", "6 in"), ("150 mm", "150 mm")),
    "other": (("1 ft", "1 ft"), ("300 mm", "300 mm")),
}
KINDS: tuple[ThingKind, ...] = ("seat", *SIZES)
FAN_SPEED = units.parse("1 m/s", "speed")  # on someone seated below, as a fan without a stated one has


def things_of(patio: Patio) -> tuple[Obstacle | Seat, ...]:
    """All that has a place on the lid."""
    return (*patio.obstacles, *patio.seats)


def new_thing(kind: ThingKind, name: str, system: units.System) -> Obstacle | Seat:
    """One of that kind, nowhere yet. Raises InputError for a kind there is not."""
    if kind == "seat":
        return Seat(name, "", 0.0, 0.0)
    if kind not in SIZES:
        raise InputError("edit-unreadable")
    metric = system == "metric"
    along, back = (units.parse(text, "length") for text in SIZES[kind][metric])
    clearance = units.parse(CLEARANCES[kind][metric], "length")
    return Obstacle(
        name, kind, "", 0.0, 0.0, (along, back), clearance, FAN_SPEED if kind == "fan" else None
    )  # fmt: skip


def new_name(patio: Patio, kind: ThingKind | Literal["hedge"], word: str) -> str:
    """The next free name among those of its kind: L8 after L7, Post 2 after Post, else by its `word`."""
    things: Sequence[Obstacle | Seat | Screen] = {"seat": patio.seats, "hedge": patio.screens}.get(
        kind, patio.obstacles
    )  # type: ignore[assignment]
    alike = [t.name for t in things if kind == "seat" or getattr(t, "kind", None) == kind]
    taken = {thing.name for thing in things}
    stems = [match for name in alike if (match := re.fullmatch(r"(.*?)(\d{1,6})", name))]
    if stems:
        stem, first = stems[-1][1], max(int(m[2]) for m in stems if m[1] == stems[-1][1]) + 1
    elif alike and kind != "seat":
        stem, first = f"{alike[-1]} ", 2
    elif word not in taken:
        return word
    else:
        stem, first = f"{word} ", 2
    return next(name for number in count(first) if (name := f"{stem}{number}") not in taken)


def first_place(patio: Patio, run: Run, kind: ThingKind) -> tuple[float, float]:
    """(along, back) [m]: in the middle of the longest stretch of the run that holds nothing; a post stands at
    the open edge, a door in the wall of the house, all else between the two."""
    things = [thing.along for thing in things_of(patio) if thing.run == run.name]
    stops = sorted({0.0, run.length, *(along for along in things if 0.0 < along < run.length)})
    low, high = max(pairwise(stops), key=lambda gap: gap[1] - gap[0])
    from_start, _ = from_datum(((low + high) / 2,) * 2, run.length, run.datum.end)
    depth = depth_along(patio, patio.runs.index(run), from_start)
    half = units.parse(SIZES["column"][0][1], "length") / 2
    back = {"column": min(half, depth), "door glass": depth}.get(kind, depth / 2)
    return (low + high) / 2, back
