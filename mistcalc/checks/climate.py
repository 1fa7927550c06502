"""Judgments on a climate file as the weather of this place: how high its station stands, how hot it gets."""

from __future__ import annotations

import numpy as np

from mistcalc.checks.shared import DERIVED, JUDGEMENT
from mistcalc.model.project import Place
from mistcalc.model.results import Air, Finding, Weather

HIGHER = 300.0  # m between station and place: air is some 2 K warmer or cooler; judgment
LAPSE = 0.0065  # K/m, of the standard atmosphere


def climate_findings(
    weather: Weather, place: Place, airs: tuple[Air, ...], humidity: tuple[float, ...]
) -> tuple[Finding, ...]:
    """What is said of the year beside its own notes. airs: the afternoons; humidity: relative, of each of
    `Weather.design`."""
    return (*_height(weather, place), *_rare_heat(weather, airs, humidity))


def _height(weather: Weather, place: Place) -> tuple[Finding, ...]:
    up = place.elevation - weather.elevation
    if abs(up) <= HIGHER:
        return ()
    values = (
        ("climate", weather.source), ("station", weather.elevation), ("place", place.elevation),
        ("kelvin", LAPSE * abs(up)), ("cooler" if up > 0 else "warmer", True), ("advice", True),
    )  # fmt: skip
    source = JUDGEMENT
    return (Finding("climate-height", "warn", "place.climate", "elevation", up, HIGHER, "m", source, values),)


def _rare_heat(weather: Weather, airs: tuple[Air, ...], humidity: tuple[float, ...]) -> tuple[Finding, ...]:
    """The rarest heat that the file's head names, where the hot afternoon does not reach it."""
    hot = next((air for air in airs if air.name == "hot" and air.hours_used), None)
    if hot is None or not weather.design:
        return ()
    middle = float(np.median(hot.temperature))
    if hot.rare is not None:
        told = (
            ("climate", weather.source), ("hot", middle),
            ("often", hot.rare), ("wet", hot.middle("wet_bulb")),
        )  # fmt: skip
        of_head = "dry bulb", middle, middle, "K", DERIVED, told
        return (Finding("climate-rare-taken", "note", "place.hot_afternoon", *of_head),)
    if weather.design[0].dry_bulb <= middle:
        return ()
    rare, often = (
        (
            (f"{name}_dry", hour.dry_bulb), (f"{name}_wet", hour.wet_bulb), (f"{name}_humidity", share),
            (f"{name}_in", round(1 / hour.share)),
        )
        for name, hour, share in (
            ("rare", weather.design[0], humidity[0]), ("often", weather.design[-1], humidity[-1])
        )
    )  # fmt: skip
    values = (("climate", weather.source), ("hot", middle), *rare, *often)
    most = weather.design[0].dry_bulb
    return (
        Finding("climate-rare-heat", "note", "place.climate", "dry bulb", most, middle, "K", DERIVED, values),
    )
