"""What the component of an afternoon is told: one AfternoonGrid as plain data and words, for `afternoon.js`.

Pure functions of nouns. Maps travel as bytes, a tenth of a kelvin each; the browser tells classes from them.
"""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import Any

import numpy as np

from mistcalc.model.project import Patio, Plumbing
from mistcalc.model.results import COMFORT_COLUMNS, Cooling, CoolingMap, Layout, MistVerdict, Wetness
from mistcalc.model.results.hours_and_winds import WAYS_TO_COOL, AfternoonGrid, UprightCut
from mistcalc.page.plan_data import lid_in_plan
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.owner import map_classes
from mistcalc.report.owner.map_classes import CoolingClasses
from mistcalc.units import COMPASS_POINTS, System, compass_point, degree_of, parse

Data = dict[str, Any]
KEY_STEP: dict[System, str] = {"us": "6 in", "metric": "100 mm"}  # of an arrow key
STEP, LOWEST = 0.1, -5.0  # K of a byte, and what the byte 0 stands for
WINDS: dict[System, tuple[str, ...]] = {
    "us": ("0 mph", "1 mph", "2 mph", "3 mph", "5 mph"),
    "metric": ("0 m/s", "0.5 m/s", "1 m/s", "1.5 m/s", "2.5 m/s"),
}
LITTLE = ("little", "damp", "fan")  # calls where the mist alone does little


def winds(units: System) -> tuple[float, ...]:
    """The winds of the slider, m/s."""
    return tuple(float(parse(text, "speed")) for text in WINDS[units])


def advised(day: Cooling, verdict: MistVerdict) -> str:
    """The way the verdict calls for: what we would run is drawn solid."""
    if verdict.call == "run":
        return "both" if day.feel is not None and day.feel.fan_supposed is None else "mist"
    return verdict.instead if verdict.call in LITTLE else "shade"


def advised_words(way: str, verdict: MistVerdict) -> str:
    """What is said at the way advised; of the mist alone, that a fan would do more with it; of nothing
    running, why."""
    if way == "shade":
        return "ways.advised_shade" if verdict.call in LITTLE else "ways.advised_off"
    if way == "fan":
        return "ways.advised_fan"
    return "ways.advised_no_fan" if way == "mist" and verdict.fan_wanted else "ways.advised"


def felt_classes(days: Sequence[Cooling], units: System) -> CoolingClasses:
    """Classes of what is felt, common to all afternoons: six that hold the middle of every way on all."""
    felt = [day.feel.cooler(way, (0.5,)) for day in days if day.feel is not None for way in WAYS_TO_COOL]
    most = max((band[0] for band in felt if band is not None), default=0.0)
    return map_classes.classes_up_to(most, units)


@lru_cache(maxsize=8)
def component_data(
    grid: AfternoonGrid,
    laid: Layout,
    patio: Patio,
    scale: CoolingClasses,
    way: str,
    best: str,
    bearing: float,
    floor: tuple[CoolingMap, Wetness] | None,
    locale: Locale,
    plumbing: Plumbing,
) -> Data:
    """Everything the component draws. way: the one advised, shown first. best: what is said at it. bearing:
    heading of +x, rad. floor: where it gets wet, mid-range. plumbing: what the tube is joined to."""
    told = _WordsOfHours(grid, laid, bearing, locale)
    plan = lid_in_plan(laid, patio, locale, plumbing)
    return {
        "key": grid.key,
        "day": grid.afternoon,
        "plan": {
            name: plan[name]
            for name in ("box", "outlines", "walls", "screens", "tubes", "marks", "things", "runs")
        },
        "grid": {
            "x": [float(grid.x[0]), float(grid.x[-1]), len(grid.x)],
            "y": [float(grid.y[0]), float(grid.y[-1]), len(grid.y)],
            "inside": _bytes(grid.inside),
            "mist": _maps(grid.mist),
            "fan_at": _bytes(grid.fan_at),
            "fan": grid.fan.tolist(),
            "both": grid.both.tolist(),
        },
        "cuts": [_cut(cut) for cut in grid.cuts],
        "toward": grid.toward.tolist(),
        "seats": [list(point) for point in grid.seats],
        "stated": [bool(laid.lid.seats)] * len(grid.seats),  # only what the file has can be moved in it
        "step": float(parse(KEY_STEP[locale.units], "length")),
        "hours": told.hours(),
        "winds": [locale.number(wind, "speed") for wind in grid.winds],
        "first": first_place(grid),
        "classes": {
            "step": scale.step * scale.degree,
            "degree": scale.degree,
            "names": [scale.name(level, locale) for level in range(map_classes.CLASSES)],
        },
        "byte": [STEP, LOWEST],
        "advised": way,
        "told": [[told.moment(h, w) for w in range(len(grid.winds))] for h in range(len(grid.clock))],
        "sun": None
        if not any(toward is not None for toward in grid.sun_toward)
        else {
            "maps": _bytes(grid.sun > 0.5),
            "toward": list(grid.sun_toward),
            "height": list(grid.sun_height),
            "north": bearing,
            "told": told.sun(),
        },
        "wet": None if floor is None else _wet(*floor, locale),
        "words": told.words(best),
    }


def first_place(grid: AfternoonGrid) -> list[int]:
    """The hour and wind shown first: the hottest hour, and a light air."""
    return [int(grid.air.argmax()), min(2, len(grid.winds) - 1)]


def _wet(picture: CoolingMap, wet: Wetness, locale: Locale) -> Data:
    told = map_classes.floor_words(wet, locale)
    _, dewy, soaked = wet.face_shares[0]
    both = "faces" if soaked > 0.0 else "faces_dewy"
    key = both if dewy > 0.0 else "faces_wet" if soaked > 0.0 else "faces_dry"
    faces = locale.label(f"hours.{key}", some=dewy, most=soaked)
    return {
        "x": [float(picture.x[0]), float(picture.x[-1]), len(picture.x)],
        "y": [float(picture.y[0]), float(picture.y[-1]), len(picture.y)],
        "floor": _bytes(wet.floor),
        "told": f"{told} {faces}",
    }


def _cut(cut: UprightCut) -> Data:
    return {
        "seat": cut.seat,
        "length": float(cut.along[-1] + cut.along[0]),
        "height": float(cut.up[-1] + cut.up[0]),
        "places": len(cut.along),
        "levels": len(cut.up),
        "seat_along": cut.seat_along,
        "line_along": cut.line_along,
        "wall": cut.wall,
        "inward": cut.inward,
        "mist": _maps(cut.mist),
        "fan_at": _bytes(cut.fan_at),
    }


def _maps(kelvin: np.ndarray) -> str:
    return _bytes(np.clip(np.round((kelvin - LOWEST) / STEP), 0, 255))


def _bytes(values: np.ndarray) -> str:
    return b64encode(np.ascontiguousarray(values, dtype=np.uint8).tobytes()).decode()


class _WordsOfHours:
    """The words of every hour and wind."""

    def __init__(self, grid: AfternoonGrid, laid: Layout, bearing: float, locale: Locale) -> None:
        self.grid, self.bearing, self.locale, self.label = grid, bearing, locale, locale.label
        names = [seat.name for seat in laid.lid.seats]
        self.names = names or [self.label("hours.your_seat")] * len(grid.seats)
        low, high = float(grid.felt.min()), float(grid.felt.max())
        self.low, self.wide = low, max(high - low, 1.0)

    def hours(self) -> list[str]:
        return [self._clock(at) for at in self.grid.clock]

    def _clock(self, at: int | None) -> str:
        return self.label("hours.typed") if at is None else self.locale.number(float(at), "clock")

    def moment(self, h: int, w: int) -> Data:
        grid, label = self.grid, self.label
        side = ""
        if grid.wind_known and grid.winds[w] > 0:
            comes_from = self.bearing - float(grid.toward[h, w]) + np.pi
            side = label("hours.side", side=label(f"word.{compass_point(comes_from)}"))
        when = label("hours.when", clock=self._clock(grid.clock[h]), wind=grid.winds[w], side=side)
        limit = label("hours.limit", air=float(grid.air[h]), wet_bulb=float(grid.wet_bulb[h]))
        return {
            "when": when,
            "side": side,
            "limit": limit,
            "ways": dict(zip(COMFORT_COLUMNS, self._ways(h, w, when), strict=True)),
        }

    def _ways(self, h: int, w: int, when: str) -> Iterator[Data]:
        grid, label = self.grid, self.label
        for column, name in enumerate(COMFORT_COLUMNS):
            felt = grid.felt[h, w, column]
            shape = [round(100 * (float(kelvin) - self.low) / self.wide, 2) for kelvin in felt]
            low, high = (self.locale.number(float(kelvin), "reading") for kelvin in (felt[0], felt[-1]))
            reading = low if low == high else label("feel.span", low=float(felt[0]), high=float(felt[-1]))
            told = {"reading": f"{reading} {label('ways.degree')}", "shape": shape}
            if name == "shade":
                yield told | {
                    "head": label("hours.shade", when=when),
                    "sentence": label("ways.shade"),
                    "seats": [],
                }
                continue
            way = WAYS_TO_COOL.index(name)
            bands = [(float(band[0]), float(band[-1])) for band in grid.seat_bands[h, w, way]]
            cooler = (float(grid.cooler[h, w, way][0]), float(grid.cooler[h, w, way][-1]))
            all_seats = dict(zip(self.names, bands, strict=True))
            chairs = [label("hours.seat", name=seat, span=band) for seat, band in all_seats.items()]
            if len(set(self.names)) < len(self.names):
                chairs = [label("hours.seat", name="", span=cooler).strip()]
            yield told | {
                "head": label(f"hours.{name}", when=when, seats=tuple(chairs)),
                "sentence": self._sentence(name, h, w, cooler),
                "seats": [self.locale.span(*band) for band in bands],
            }

    def _sentence(self, name: str, h: int, w: int, cooler: tuple[float, float]) -> str:
        """What a way does: how much cooler it feels, and what the air itself does."""
        grid = self.grid
        if name == "fan":
            return self.label("hours.fan_does", cooler=cooler, air=float(grid.air[h]))
        low, _, high = grid.drop[h, w]
        air = (float(low), float(high))
        return self.label("hours.mist_does" if name == "mist" else "hours.both_do", cooler=cooler, air=air)

    def sun(self) -> list[str]:
        grid = self.grid
        out = []
        for h, at in enumerate(grid.clock):
            clock = self._clock(at)
            there = np.zeros(len(self.names), dtype=bool) if grid.in_sun is None else grid.in_sun[h]
            lit = tuple(name for name, sunny in zip(self.names, there, strict=True) if sunny)
            if grid.sun_toward[h] is None:
                out.append(self.label("hours.sun_down", clock=clock))
            elif lit:
                out.append(self.label("hours.sun_on", clock=clock, seats=tuple(dict.fromkeys(lit))))
            else:
                under = bool((grid.sun[h] > 0.5)[grid.inside].any())
                out.append(self.label("hours.sun_beside" if under else "hours.sun_out", clock=clock))
        return [f"{told} {self._stands(h)}".strip() for h, told in enumerate(out)]

    def _stands(self, h: int) -> str:
        """Where the sun is at an hour, in words."""
        toward, height = self.grid.sun_toward[h], self.grid.sun_height[h]
        if toward is None or height is None:
            return ""
        comes_from = compass_point(self.bearing - toward + np.pi)
        return self.label("hours.sun_stands", height=height, side=self.label(f"word.{comes_from}"))

    def words(self, best: str) -> Data:
        label, locale = self.label, self.locale
        keys = (
            "hour",
            "wind",
            "plan",
            "meant",
            "legend",
            "ways",
            "ways_do",
            "sun",
            "swatch",
            "sun_path",
            "move",
            "wet",
            "wet_swatch",
        )
        words: Data = {key: label(f"hours.{key}") for key in keys}
        words["names"] = self.names
        words["compass"] = [label(f"told.side_{point}") for point in COMPASS_POINTS[::2]]
        words["cut_of"] = [label("hours.cut_of", name=name) for name in self.names]
        words["best"] = label(best)
        words["columns"] = {column: label(f"page.col_{column}") for column in COMFORT_COLUMNS}
        degree = degree_of(locale.units)
        words["here"] = [label("hours.here", span=(n * degree, n * degree)) for n in range(41)]
        words["here_none"] = label("hours.here_none")
        return words
