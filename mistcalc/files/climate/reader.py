"""Read an hourly climate file: EPW, native TMY3 or the plain form, gzip or not, as one `Weather`.

Whatever is wrong with a file is either mended and noted (`Weather.notes`) or refused (DataError); nothing is
computed on in silence. docs/climate-files.md lists every check and its threshold.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from mistcalc.errors import DataError
from mistcalc.files.climate import quality_checks as checks
from mistcalc.files.climate.formats import ClimateRows, read_rows
from mistcalc.files.climate.near_towns import climate_path
from mistcalc.files.climate.quality_checks import HOURS, note
from mistcalc.files.climate.station_file import SAMPLES, decode, load, plain
from mistcalc.files.climate.sunlight_checks import check_zone, sunlight_findings
from mistcalc.model.content_digest import fingerprint
from mistcalc.model.results import DesignHour, Finding, Level, Weather
from mistcalc.physics import air

__all__ = ["climate_path", "read_climate"]


def read_climate(source: str | Path | bytes, name: str = "") -> Weather:
    """A station's year, SI, 8,760 hours of local standard time: of a shipped sample by its name ("el-paso"),
    from a path, or from a file's bytes.

    name: what to call the file in messages; a path's own name by default. Raises DataError, with a code and
    values that say what is wrong, where the file cannot be used.
    """
    if isinstance(source, str) and (source in SAMPLES or _names_a_sample(source)):
        source = climate_path(source, None)
    where = plain(name or ("" if isinstance(source, bytes) else Path(source).name)) or "upload"
    content = source if isinstance(source, bytes) else load(Path(source), where)
    text, findings = decode(content, where)
    rows = read_rows(text, where)
    place, place_findings = _place(rows, where)
    findings += place_findings
    findings += _told(rows, where)
    year, place_findings = _year(rows, where)
    findings += place_findings
    return _weather(where, rows, place, year, findings)


def _names_a_sample(source: str) -> bool:
    """Whether it can only be meant as one: no file is there, and nothing in it is of a path."""
    bare = source.strip()
    return not Path(bare).suffix and Path(bare).name == bare and not Path(source).is_file()


# ------------------------------------------------------------------ the place


@dataclass(frozen=True)
class _Place:
    latitude: float
    longitude: float
    elevation: float
    utc_offset: float
    known: bool  # longitude and offset are both stated


def _place(rows: ClimateRows, where: str) -> tuple[_Place, list[Finding]]:
    """Where the station stands. Latitude and elevation must be stated; the rest is assumed and noted."""

    def stated(field: str, text: str, low: float, high: float) -> float | None:
        if not text:
            return None
        try:
            value = float(text)
        except ValueError:
            value = math.nan
        if not low <= value <= high:
            raise DataError(
                "climate-place", name=where, field=field, text=plain(text)[:40], low=low, high=high
            )
        return value

    latitude = stated("latitude", rows.latitude, -90, 90)
    longitude = stated("longitude", rows.longitude, -180, 180)
    elevation = stated("elevation", rows.elevation, -430, 6000)
    offset = stated("utc_offset", rows.utc_offset, -12, 14)
    if latitude is None or elevation is None:
        missing = "latitude" if latitude is None else "elevation"
        raise DataError("climate-header", name=where, form=rows.form, missing=missing)
    known = longitude is not None and offset is not None
    if offset is None:
        offset = float(round(longitude / 15)) if longitude is not None else 0.0
    if longitude is None:
        longitude = 15 * offset
    notes = (
        []
        if known
        else [note("climate-place-assumed", "note", where, longitude=longitude, utc_offset=offset)]
    )
    return _Place(latitude, longitude, elevation, offset, known), notes


# ------------------------------------------------------------------ rows to a year


def _year(rows: ClimateRows, where: str) -> tuple[dict[str, np.ndarray], list[Finding]]:
    """Columns of 8,760 hours, NaN where the file has no row, in order of time."""
    findings: list[Finding] = []
    month, day, hour = (np.array(x, dtype=int) for x in (rows.month, rows.day, rows.hour))
    if len(month) == 0:
        raise DataError("climate-empty", name=where)
    if rows.hours_counted == "beginning":
        if hour.max() > 23:
            raise DataError("climate-hour-convention", name=where)
        hour = hour + 1
    elif hour.min() == 0 and hour.max() < 24 and rows.hours_counted == "":
        raise DataError("climate-hour-convention", name=where)
    leap = (month == 2) & (day == 29)
    if leap.any():
        findings.append(note("climate-leap-day", "note", where, count=int(leap.sum())))
    # Hour 0 ends where the day before does.
    at = ((checks.MONTH_START[month - 1] + day - 1) * 24 + hour - 1)[~leap] % HOURS
    table = {name: values[~leap] for name, values in rows.columns.items()}
    backward = int(np.count_nonzero(np.diff(at) < 0))
    if backward:
        findings.append(note("climate-shuffled", "note", where, count=backward))
    table, at, repeat_findings = _single(table, at, where)
    findings += repeat_findings
    absent = HOURS - len(at)
    if absent > checks.MOST_MISSING * HOURS:
        held = np.isin(np.arange(HOURS), at)
        first = checks.moment(int(np.flatnonzero(~held)[0]))
        raise DataError("climate-short", name=where, hours=len(at), absent=absent, first=first)
    year = {name: np.full(HOURS, np.nan) for name in table}
    for name, values in table.items():
        year[name][at] = values
    if absent:
        first = checks.moment(int(np.flatnonzero(~np.isin(np.arange(HOURS), at))[0]))
        findings.append(note("climate-rows-missing", "note", where, count=absent, first=first))
    return year, findings


def _single(
    table: dict[str, np.ndarray], at: np.ndarray, where: str
) -> tuple[dict[str, np.ndarray], np.ndarray, list[Finding]]:
    """Each hour once, the first row of it; repeated rows are noted, those that disagree warned of."""
    hours, first, which = np.unique(at, return_index=True, return_inverse=True)
    extra = len(at) - len(hours)
    if not extra:
        return table, at, []
    same = np.ones(len(at), dtype=bool)
    for values in table.values():
        first_values = values[first][which]
        same &= (values == first_values) | (np.isnan(values) & np.isnan(first_values))
    differing = int(np.count_nonzero(~same))
    details: dict[str, object] = {
        "count": extra,
        "first": checks.moment(int(at[np.setdiff1d(np.arange(len(at)), first)[0]])),
    }
    if differing > checks.MOST_DISAGREEING:
        raise DataError("climate-rows-disagree", name=where, differing=differing, **details)
    level: Level = "warn" if differing else "note"
    findings = [note("climate-repeated", level, where, "", **details, differing=differing)]
    return {name: values[first] for name, values in table.items()}, hours, findings


def _told(rows: ClimateRows, where: str) -> list[Finding]:
    """What the form itself had trouble with."""
    findings = []
    if rows.ignored:
        findings.append(note("climate-columns-ignored", "note", where, columns=rows.ignored[:12]))
    most = checks.MOST_IMPOSSIBLE * max(HOURS, len(rows.month))
    if rows.broken:
        details: dict[str, object] = {"count": len(rows.broken), "line": rows.broken[0]}
        if len(rows.broken) > most:
            raise DataError("climate-rows-broken", name=where, **details)
        findings.append(note("climate-rows-broken", "note", where, "", **details))
    if rows.unreadable:
        details = {"count": len(rows.unreadable), "line": rows.unreadable[0]}
        if len(rows.unreadable) > most:
            raise DataError("climate-not-number", name=where, **details)
        findings.append(note("climate-not-number", "note", where, "", **details))
    return findings


# ------------------------------------------------------------------ a year to Weather


def _weather(
    where: str, rows: ClimateRows, place: _Place, year: dict[str, np.ndarray], findings: list[Finding]
) -> Weather:
    year, new_findings = checks.remove_impossible(year, where)
    findings += new_findings
    year = {name: values for name, values in year.items() if not np.isnan(values).all()}
    absent = [name for name in ("temperature", "wind") if name not in year]
    absent += ["dew_point"] if not {"dew_point", "relative_humidity"} & year.keys() else []
    if absent:
        raise DataError("climate-columns-missing", name=where, missing=tuple(absent), known=())
    celsius, new_findings = checks.fill_gaps(year["temperature"], "temperature", where)
    findings += new_findings
    wind, new_findings = checks.fill_gaps(year["wind"], "wind", where)
    findings += new_findings
    t = celsius + air.ZERO_CELSIUS
    pressure, new_findings = _pressure(year.get("air_pressure"), place.elevation, where)
    findings += new_findings
    vapour, new_findings = _vapour(year, t, where)
    findings += new_findings
    # A dew point is over water by custom (WMO-No. 8), so below 0 degC it can pass what air holds over ice.
    ratio = air.MASS_RATIO * vapour / (pressure - vapour)
    ratio = np.minimum(ratio, air.saturated_ratio(t, pressure))
    sun = {name: _optional(year, name, where, findings) for name in ("ghi", "dni", "dhi")}
    direction = _direction(year, wind, where, findings)
    relative = 100 * vapour / air.saturation_pressure(t, "water")
    findings += checks.plausibility_findings(celsius, relative, wind, where)
    findings += checks.stuck_findings(year, wind, where)
    check_zone(place.utc_offset, place.longitude, place.known, where)
    clock = checks.check_time_zone(celsius, sun["ghi"], place.utc_offset, place.longitude, place.known, where)
    if place.known:
        on_earth = place.latitude, place.longitude, place.utc_offset
        sun, clock = sunlight_findings(sun, *on_earth, clock, where)
    findings += clock
    station = plain(rows.station) or where
    arrays = (t, ratio, pressure, wind, direction, sun["ghi"], sun["dni"], sun["dhi"])
    design = tuple(
        DesignHour(share, dry + air.ZERO_CELSIUS, wet + air.ZERO_CELSIUS) for share, dry, wet in rows.design
    )
    return Weather(
        station=station,
        source=re.sub(r"(?i)(\.csv|\.epw|\.tmy3|\.txt|\.gz)+$", "", where) or where,
        latitude=place.latitude,
        longitude=place.longitude,
        elevation=place.elevation,
        utc_offset=place.utc_offset,
        time_standard=np.arange(1.0, HOURS + 1),
        temperature=t,
        ratio=ratio,
        air_pressure=pressure,
        wind=wind,
        direction=direction,
        ghi=sun["ghi"],
        dni=sun["dni"],
        dhi=sun["dhi"],
        notes=checks.merged(findings),
        # Two forms of one year are the same weather.
        key=fingerprint(station, place, *arrays, *([design] if design else [])),
        design=design,
    )


def _pressure(given: np.ndarray | None, elevation: float, where: str) -> tuple[np.ndarray, list[Finding]]:
    """Station pressure; the standard atmosphere's where the file has none or one from another height."""
    standard = float(air.pressure_at_elevation(elevation))
    if given is None:
        return np.full(HOURS, standard), [note("climate-no-pressure", "note", where, standard=standard)]
    usual = float(np.nanmedian(given))
    if abs(usual / standard - 1) > checks.PRESSURE_BAND:
        details = {"usual": usual, "standard": standard, "elevation": elevation}
        return np.full(HOURS, standard), [
            note("climate-pressure-unlikely", "warn", where, "air_pressure", **details)
        ]
    return checks.fill_gaps(given, "air_pressure", where)


def _vapour(year: dict[str, np.ndarray], t: np.ndarray, where: str) -> tuple[np.ndarray, list[Finding]]:
    """Vapour pressure [Pa] from the dew point, and from relative humidity where an hour has none.

    Dew point first: a file's relative humidity is often rounded, or interpolated apart from it.
    """
    findings: list[Finding] = []
    saturated = air.saturation_pressure(t, "water")
    dew, share = year.get("dew_point"), year.get("relative_humidity")
    by_dew = by_share = np.full(HOURS, np.nan)
    if dew is not None:
        held = ~np.isnan(dew)
        by_dew = np.where(
            held, air.saturation_pressure(np.where(held, dew, 0.0) + air.ZERO_CELSIUS, "water"), np.nan
        )
    if share is not None:
        by_share = share / 100 * saturated
    if dew is None:
        findings.append(note("climate-by-relative-humidity", "note", where, "relative_humidity", count=HOURS))
    elif share is not None:
        apart = np.abs(100 * by_dew / saturated - share)
        if count := int(np.count_nonzero(apart > checks.POINTS_APART)):
            worst = float(np.nanmax(apart))
            findings.append(
                note("climate-humidity-apart", "note", where, "relative_humidity", count=count, worst=worst)
            )
        if count := int(np.count_nonzero(np.isnan(by_dew) & ~np.isnan(by_share))):
            findings.append(note("climate-by-relative-humidity", "note", where, "dew_point", count=count))
    vapour, gap_findings = checks.fill_gaps(np.where(np.isnan(by_dew), by_share, by_dew), "humidity", where)
    findings += gap_findings
    over = vapour > saturated * 1.005  # more than rounding to 0.1 K
    if count := int(np.count_nonzero(over)):
        worst = float(100 * np.max(vapour / saturated))
        level: Level = "warn" if worst > 110 or count > checks.MOST_IMPOSSIBLE * HOURS else "note"
        findings.append(note("climate-supersaturated", level, where, "humidity", count=count, worst=worst))
    return np.minimum(vapour, saturated), findings


def _optional(
    year: dict[str, np.ndarray], name: str, where: str, findings: list[Finding]
) -> np.ndarray | None:
    """A column the job can do without: None, and a note, where the file lacks too much of it."""
    if name in year:
        try:
            values, gap_findings = checks.fill_gaps(np.maximum(year[name], 0.0), name, where)
        except DataError:
            findings.append(note("climate-column-unused", "note", where, name, column=name))
            return None
        findings += gap_findings
        return values
    findings.append(note("climate-column-absent", "note", where, name, column=name))
    return None


def _direction(
    year: dict[str, np.ndarray], wind: np.ndarray, where: str, findings: list[Finding]
) -> np.ndarray | None:
    """Where the wind comes from, rad; that of the last hour that had one where it is missing."""
    degrees = year.get("direction")
    if degrees is None:
        findings.append(note("climate-column-absent", "note", where, "direction", column="direction"))
        return None
    gone = np.isnan(degrees)
    count = int(np.count_nonzero(gone & (wind > 0)))  # calm air needs no direction
    if count > checks.MOST_MISSING * HOURS:
        findings.append(note("climate-column-unused", "note", where, "direction", column="direction"))
        return None
    if count:
        starts, lengths = checks.gaps(gone)
        details = {"count": count, "longest": int(lengths.max()), "first": checks.moment(int(starts[0]))}
        findings.append(note("climate-filled", "note", where, "direction", column="direction", **details))
    known = np.flatnonzero(~gone)
    last = known[np.searchsorted(known, np.arange(HOURS), side="right") - 1]  # -1 wraps to December
    return np.radians(degrees[last] % 360.0)
