"""Judgments on a climate file as the weather of this place: how high its station stands, how hot it gets."""

from __future__ import annotations

import math
import re

import numpy as np

from mistcalc.checks.shared import DERIVED, JUDGEMENT, heard
from mistcalc.model.on_earth import way_between
from mistcalc.model.project import Place
from mistcalc.model.results import Air, Finding, Level, Weather
from mistcalc.units import compass_point

FAR = 96_560.0  # m, 60 miles from station to place: beyond it the weather may be another; judgment
NEAR_BY = 8_000.0  # m: a town is that wide, and its place is known no better
HIGHER = 300.0  # m between station and place: air is some 2 K warmer or cooler; judgment
ABOUT_LEVEL = 30.0  # m: a fifth of a degree, and no town is flatter
LAPSE = 0.0065  # K/m, of the standard atmosphere


def climate_findings(
    weather: Weather, place: Place, airs: tuple[Air, ...], humidity: tuple[float, ...]
) -> tuple[Finding, ...]:
    """What is said of the year beside its own notes. airs: the afternoons; humidity: relative, of each of
    `Weather.design`."""
    return (*_station(weather, place), *_rare_heat(weather, airs, humidity))


def _station(weather: Weather, place: Place) -> tuple[Finding, ...]:
    """How far the station is and how much higher: told where the project says where on earth it is."""
    unknown = any(note.code == "climate-place-assumed" for note in weather.notes)
    if place.latitude is None or place.longitude is None or unknown:
        return _height(weather, place)
    there = math.radians(weather.latitude), math.radians(weather.longitude)
    away, course = way_between((place.latitude, place.longitude), there)
    up = weather.elevation - place.elevation
    beyond = away > FAR or abs(up) > HIGHER
    height = "level" if abs(up) < ABOUT_LEVEL else "higher" if up > 0 else "lower"
    values = (
        ("station", _station_name(weather.station)), ("away", away), ("point", compass_point(course)),
        ("near_by" if away < NEAR_BY else "distant", True), (height, True), ("up", abs(up)),
        ("kelvin", LAPSE * abs(up)), ("beyond", beyond), ("judge", not beyond),
        ("far", FAR), ("most_up", HIGHER),
    )  # fmt: skip
    level: Level = "warn" if beyond else "note"
    found = Finding("climate-station", level, "place.climate", "distance", away, FAR, "m", JUDGEMENT, values)
    return heard([found], "owner")


def _station_name(head: str) -> str:
    """A station as its file has it, less shouted: "EL PASO INTERNATIONAL AP [UT]" is its airport."""
    name = re.sub(r"\s*\[[^]]*\]$", "", head)
    return re.sub(r"(?i)\bap$", "Airport", name.title() if name.isupper() else name)


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
        told: tuple[tuple[str, str | float], ...] = (
            ("climate", weather.source), ("hot", middle),
            ("often", hot.rare), ("wet", hot.middle("wet_bulb")),
        )  # fmt: skip
        if hot.file_middle is not None and hot.file_middle > middle:
            told = (*told, ("own", hot.file_middle), ("cooler", True))
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
