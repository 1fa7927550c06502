"""Judgements on where liquid falls: dry, damp and wet floors, glasses and faces. Thresholds are here."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from mistcalc.checks.shared import heard
from mistcalc.model.results import CoolingMap, Finding, Layout, Shares, Wetness

GRAM_AN_HOUR = 1e-3 / 3600  # kg/s
DAMP_FLOOR = 0.1  # of what the floor could give back to the air: share of it under drying spots; judgement
# A seated person's convection of about 10 W/m2K takes 15 g/m2h per kelvin of depression: derived.
DRY_FACE = 15 * GRAM_AN_HOUR  # kg/(m2 s K)
WET_FACE = 3 * DRY_FACE  # three times what can dry runs together; judgement
SPOT = 0.02  # kg/m2 on a floor spotted all over: small drops lie 10-20 um flat; judgement
PUDDLE = 0.5  # kg/m2 a level floor holds before it runs off; judgement
DAY = 86400.0  # s: a floor that takes longer to dry does not dry before the next afternoon
RUNNING = 3600.0  # s of mist before the drying time is asked; judgement
WET_PART = 0.03  # share of the floor: a patch one steps in; judgement
DAMP_PART = 0.15  # share of the floor; judgement
FACES_PART = 0.05  # share of the floor over which a glass stays wet; judgement
SOME_SCALE, MOST_SCALE = 0.1, 0.5  # of the most that lands anywhere on any of the afternoons; judgement
BEYOND = 0.05  # share of the water that comes down past an open side: a strip others walk on; judgement


def all_wetness(pictures: Sequence[CoolingMap]) -> tuple[Wetness, ...]:
    """`classify_wetness` of maps shown beside each other: scale is told against the most of all."""
    most = max((float(p.scale_water.max(initial=0.0)) for p in pictures), default=0.0)
    return tuple(classify_wetness(picture, most) for picture in pictures)


def classify_wetness(picture: CoolingMap, most_scale: float | None = None) -> Wetness:
    """Floor and faces of one Picture in classes, and how long the floor takes to dry. most_scale: kg/(m2 s),
    against which scale is told; None: the most of this picture.

    A floor is wet where more lands than the air takes back (water gathers), damp where drying spots cover
    over a tenth of it, else dry. A face or a glass is dry where the air beside it takes up what falls, dewy
    up to three times that, then wet. A drying time of over a day is inf.
    """
    rate, landing = picture.film_rate, picture.floor_water
    floor = np.where(landing > rate, 2, np.where(landing > DAMP_FLOOR * rate, 1, 0))
    floor = np.where(landing > 0, floor, 0)
    held = np.where(floor == 2, np.clip((landing - rate) * RUNNING, SPOT, PUDDLE), np.where(floor, SPOT, 0.0))
    drying = np.where(held > DAY * rate, np.inf, held / max(rate, 1e-12))
    takes = np.maximum(picture.depression, 0.0)
    face = (picture.face_water > DRY_FACE * takes).astype(int) + (picture.face_water > WET_FACE * takes)
    face = np.where(picture.face_water > 0, face, 0)
    most = float(picture.scale_water.max(initial=0.0)) if most_scale is None else most_scale
    part = picture.scale_water / most if most > 0 else 0.0 * picture.scale_water
    scale = (part >= SOME_SCALE).astype(int) + (part >= MOST_SCALE)
    inside = picture.inside
    return Wetness(
        floor=floor, drying=drying, face=face, scale=scale, floor_shares=_shares(floor, inside),
        face_shares=tuple(_shares(classes, inside) for classes in face), scale_shares=_shares(scale, inside),
        longest=float(drying[inside].max(initial=0.0)), key=picture.key,
    )  # fmt: skip


def _shares(classes: np.ndarray, inside: np.ndarray) -> Shares:
    dry, some, most = (float((classes[inside] == level).mean()) for level in range(3))
    return dry, some, most


def picture_findings(layout: Layout, picture: CoolingMap, wet: Wetness) -> tuple[Finding, ...]:
    """What gets wet on one afternoon, where, which seats, and how long the floor takes to dry; one note."""
    _, damp, full = wet.floor_shares
    faces = [dewy + wettest for _, dewy, wettest in wet.face_shares]
    glasses = _seats(layout, picture, wet.face[0] > 0)
    if full >= WET_PART:
        return _note("wet-likely", full, WET_PART, picture, _floor(layout, picture, wet, 2), faces, glasses)
    if damp + full >= DAMP_PART:
        spots = _floor(layout, picture, wet, 1)
        return _note("damp-likely", damp + full, DAMP_PART, picture, spots, faces, glasses)
    if max(faces) >= FACES_PART or glasses:
        return _note("faces-wet", max(faces), FACES_PART, picture, (), faces, glasses)
    return ()


def _note(
    code: str,
    part: float,
    least: float,
    picture: CoolingMap,
    floor: tuple[tuple[str, object], ...],
    faces: list[float],
    glasses: tuple[str, ...],
) -> tuple[Finding, ...]:
    values = (
        ("afternoon", picture.afternoon),
        ("patio", picture.patio),
        *floor,
        ("landed", picture.landed),
        ("beyond", picture.landed_beyond if picture.landed_beyond >= BEYOND else 0.0),
        ("seated", faces[0] if faces[0] >= FACES_PART else 0.0),
        ("standing", faces[-1] if faces[-1] >= FACES_PART else 0.0),
        ("glasses", glasses),
    )
    where, what = f"{picture.patio}/{picture.afternoon}", "share of the floor"
    return heard([Finding(code, "note", where, what, part, least, "1", "judgement", values)], "owner")


def _floor(layout: Layout, picture: CoolingMap, wet: Wetness, level: int) -> tuple[tuple[str, object], ...]:
    """Where the floor is wet (2) or at least damp (1), its seats, and the longest time it takes to dry."""
    hit = picture.inside & (wet.floor >= level)
    near, far = _reach(layout, picture, hit)
    drying = float(wet.drying[hit].max())
    return (
        ("near", near),
        ("far", far),
        ("drying", drying if np.isfinite(drying) else None),
        ("never", not np.isfinite(drying)),
        ("seats", _seats(layout, picture, wet.floor >= level)),
    )


def _seats(layout: Layout, picture: CoolingMap, there: np.ndarray) -> tuple[str, ...]:
    """Names of the seats whose place is so. A stated seat has a name; one supposed has none."""
    return tuple(seat.name for seat in layout.lid.seats if there[picture.cell_at(seat.point)])


def _reach(layout: Layout, picture: CoolingMap, hit: np.ndarray) -> tuple[float, float]:
    """How far in from the soffit's edge [m], as the runs' tapes have it, nine tenths of some cells lie."""
    rows, columns = np.nonzero(hit)
    x, y = picture.x[columns], picture.y[rows]
    gap = np.full(len(x), np.inf)
    for (ax, ay), (bx, by) in (run.edge for run in layout.lid.runs):
        dx, dy = bx - ax, by - ay
        part = (((x - ax) * dx + (y - ay) * dy) / max(dx * dx + dy * dy, 1e-18)).clip(0.0, 1.0)
        gap = np.minimum(gap, np.hypot(x - ax - part * dx, y - ay - part * dy))
    low, high = np.quantile(gap, (0.05, 0.95)) if np.isfinite(gap).all() else (0.0, 0.0)
    return float(low), float(high)
