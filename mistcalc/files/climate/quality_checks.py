"""What can be wrong with a year of weather, and how it is named. Numbers in, Findings or DataError out.

Two kinds. A *repair* (a gap filled, a repeated row dropped) is a note, or a warning where it is large; a
*doubt* (wind that never changes) is a warning and leaves the numbers alone. What nobody should compute on
raises DataError. Every threshold is here, with its reason.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from mistcalc.errors import DataError
from mistcalc.model.results import Finding, Level

HOURS = 8760
MONTH_DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
MONTH_START = np.cumsum((0, *MONTH_DAYS))  # day of the year each month begins after

# Outside these a value cannot be: WMO's world records of temperature (-89.2, 56.7 degC) and of sea-level
# pressure, the solar constant with cloud-edge gain; dew point 35 degC (Dhahran 2003), wind and humidity
# common practice, no source. Relative humidity up to 105 is an honest sensor at saturation.
POSSIBLE = {
    "temperature": (-90.0, 57.0),  # degC
    "dew_point": (-90.0, 36.0),  # degC
    "relative_humidity": (0.1, 105.0),  # %
    "air_pressure": (40e3, 109e3),  # Pa
    "wind": (0.0, 60.0),  # m/s, hourly mean
    "direction": (0.0, 360.0),  # degrees
    "ghi": (-20.0, 1600.0),  # W/m2; instruments read a little below zero at night
    "dni": (-20.0, 1400.0),
    "dhi": (-20.0, 1200.0),
}
# Units as a person reads them in a message: (unit, ours over it).
UNIT = {
    "relative_humidity": ("%", 1.0),
    "air_pressure": ("hPa", 100.0),
    "wind": ("m/s", 1.0),
    "direction": ("deg", 1.0),
}
UNIT |= dict.fromkeys(("temperature", "dew_point"), ("degC", 1.0))
UNIT |= dict.fromkeys(("ghi", "dni", "dhi"), ("W/m2", 1.0))
MOST_IMPOSSIBLE = 0.01  # share of a column: more is a wrong unit or a wrong column, not an outlier
MOST_MISSING = 0.05  # share of a column that may be filled
LONGEST_GAP = 72  # hours; the same hours of the days either side still say something
STRAIGHT_GAP = 6  # hours a straight line may bridge
MOST_DISAGREEING = 24  # repeated hours with other values: more is two years in one file
# The seven shipped stations hold within 17 hours inside such a band (humidity) or at one value (dry bulb).
FILLER_HOURS = 36
FILLER_BAND = 1.2  # points of relative humidity: what a dew point rounded to 0.1 K scatters
FILLER_SWING = 3.0  # K the dry bulb moves meanwhile; then a constant humidity is no fog
MOST_FILLER = 0.5
MOST_SAME_WIND = 0.6  # the shipped stations: 0.16
PRESSURE_BAND = 0.06  # from the standard atmosphere; stations stay within 0.03
# Sunlight of the shipped stations is centred within 0.05 h of true solar noon. Rows stamped at the start of
# the hour, or on daylight time, are one hour off.
NOON_DOUBT, NOON_WRONG = 0.4, 1.5  # hours
# Daily wave of the dry bulb, solar time of its crest: 14.4-15.6 h at the shipped stations.
CREST_DOUBT, CREST_WRONG = (12.5, 17.5), (10.5, 19.0)
POINTS_APART = 5.0  # relative humidity against dew point


def moment(hour: int) -> str:
    """ "07-03 15:00" for the hour of the year (from 0) that ends then."""
    day, ends = divmod(hour % HOURS, 24)
    month = int(np.searchsorted(MONTH_START, day, side="right"))
    return f"{month:02d}-{day - int(MONTH_START[month - 1]) + 1:02d} {ends + 1:02d}:00"


def note(code: str, level: Level, where: str, quantity: str = "", **values: object) -> Finding:
    return Finding(code, level, where, quantity=quantity, values=tuple(values.items()))


def merged(findings: list[Finding]) -> tuple[Finding, ...]:
    """Findings that say the same of several columns said once, with `columns` for `column`."""
    groups: dict[tuple, list[Finding]] = {}
    for finding in findings:
        rest = tuple(pair for pair in finding.values if pair[0] != "column")
        groups.setdefault((finding.code, finding.level, rest), []).append(finding)
    result = []
    for (_, _, rest), group in groups.items():
        columns = tuple(f.value("column") for f in group if f.value("column") is not None)
        result.append(replace(group[0], values=(("columns", columns), *rest) if columns else rest))
    return tuple(result)


def remove_impossible(
    columns: Mapping[str, np.ndarray], where: str
) -> tuple[dict[str, np.ndarray], list[Finding]]:
    """Columns with impossible values taken out (NaN), and a warning for each column that had some."""
    cleaned, findings = {}, []
    for name, values in columns.items():
        low, high = POSSIBLE[name]
        wrong = np.isfinite(values) & ((values < low) | (values > high)) | np.isinf(values)
        cleaned[name] = np.where(wrong, np.nan, values)
        if not (count := int(wrong.sum())):
            continue
        worst = float(values[wrong][np.argmax(np.abs(values[wrong] - (low + high) / 2))])
        if not np.isfinite(worst):
            worst = float(np.sign(worst)) * 1e9  # a number that any sentence can hold
        unit, factor = UNIT[name]
        details: dict[str, object] = {"column": name, "count": count, "unit": unit}
        details |= {"worst": round(worst / factor, 1), "low": low / factor, "high": high / factor}
        if count > MOST_IMPOSSIBLE * max(1, int(np.count_nonzero(~np.isnan(values)))):
            raise DataError("climate-impossible", name=where, **details)
        first = moment(int(np.flatnonzero(wrong)[0]))
        findings.append(note("climate-impossible", "warn", where, name, **details, first=first))
    return cleaned, findings


def fill_gaps(values: np.ndarray, name: str, where: str) -> tuple[np.ndarray, list[Finding]]:
    """A year without gaps: straight lines over short ones, the same hours of near days over longer ones.

    The year is a ring: 31 December is followed by 1 January. DataError where too much is missing.
    """
    gone = np.isnan(values)
    count = int(gone.sum())
    if not count:
        return values, []
    starts, lengths = gaps(gone)
    longest = int(lengths.max(initial=0))
    if count > MOST_MISSING * HOURS or longest > LONGEST_GAP:
        at = moment(int(starts[np.argmax(lengths)])) if len(starts) else moment(0)
        raise DataError("climate-gap", name=where, column=name, count=count, longest=longest, first=at)
    known = np.flatnonzero(~gone)
    result = np.interp(np.arange(HOURS), known, values[known], period=HOURS)
    for start, length in zip(starts, lengths, strict=True):
        if length > STRAIGHT_GAP:
            for hour in range(start, start + length):
                result[hour % HOURS] = _like_days(values, hour)
    level: Level = "warn" if longest > STRAIGHT_GAP else "note"
    details = {"column": name, "count": count, "longest": longest, "first": moment(int(starts[0]))}
    return result, [note("climate-filled", level, where, name, **details)]


def gaps(gone: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Start and length of every stretch of True, on a ring."""
    if gone.all():
        return np.array([0]), np.array([len(gone)])
    starts = np.flatnonzero(gone & ~np.roll(gone, 1))
    ends = np.flatnonzero(gone & ~np.roll(gone, -1))
    if len(ends) and ends[0] < starts[0]:
        ends = np.roll(ends, -1)
    return starts, (ends - starts) % len(gone) + 1


def _like_days(values: np.ndarray, hour: int) -> float:
    """Mean of the same hour on the nearest day before and after that has it."""
    near_values = []
    for step in (-24, 24):
        near = (values[(hour + step * n) % HOURS] for n in range(1, 11))
        near_values += [value for value in near if np.isfinite(value)][:1]
    return float(np.mean(near_values))


def plausibility_findings(
    t: np.ndarray, relative_humidity: np.ndarray, wind: np.ndarray, where: str
) -> list[Finding]:
    """Columns that look made up. t: degC; relative_humidity: %; wind: m/s; a whole year each."""
    findings = []
    held = _held(relative_humidity, FILLER_BAND) & (_windows(t, FILLER_HOURS) > FILLER_SWING)
    held &= np.lib.stride_tricks.sliding_window_view(relative_humidity, FILLER_HOURS).max(axis=1) < 98
    if hours := _covered(held):
        if hours > MOST_FILLER * HOURS:
            level_value = float(np.median(relative_humidity))
            raise DataError("climate-humidity-constant", name=where, hours=hours, value=level_value)
        first = moment(int(np.flatnonzero(held)[0]))
        findings.append(
            note("climate-humidity-constant", "warn", where, "relative_humidity", hours=hours, first=first)
        )
    stuck = _held(t, 0.0)
    if hours := _covered(stuck):
        if hours > MOST_FILLER * HOURS:
            raise DataError(
                "climate-temperature-constant", name=where, hours=hours, value=float(np.median(t))
            )
        first = moment(int(np.flatnonzero(stuck)[0]))
        findings.append(
            note("climate-temperature-constant", "warn", where, "temperature", hours=hours, first=first)
        )
    values, counts = np.unique(wind, return_counts=True)
    if (share := float(counts.max() / HOURS)) > MOST_SAME_WIND:
        details = {"value": float(values[np.argmax(counts)]), "share": share}
        findings.append(note("climate-wind-constant", "warn", where, "wind", **details))
    return findings


def stuck_findings(year: Mapping[str, np.ndarray], wind: np.ndarray, where: str) -> list[Finding]:
    """Sensors that write one value for a day and a half: `plausibility_findings` sees to dry bulb and wind
    that never changes. wind: m/s."""
    findings = []
    moving = wind > 0
    for name in ("dew_point", "air_pressure", "direction", "wind"):
        if name not in year:
            continue
        values = np.where(moving, year[name], np.nan) if name in ("direction", "wind") else year[name]
        if (hours := hours_held(values)) >= FILLER_HOURS:
            findings.append(note("climate-stuck", "warn", where, name, column=name, hours=hours))
    return findings


def hours_held(values: np.ndarray) -> int:
    """The longest stretch of one value, hours; NaN parts stretches."""
    starts, lengths = gaps(np.diff(values, append=values[:1]) == 0.0)
    return int(lengths.max()) + 1 if len(starts) else 1


def _windows(values: np.ndarray, hours: int) -> np.ndarray:
    """Spread (highest less lowest) in every stretch of so many hours."""
    view = np.lib.stride_tricks.sliding_window_view(values, hours)
    return view.max(axis=1) - view.min(axis=1)


def _held(values: np.ndarray, band: float) -> np.ndarray:
    return _windows(values, FILLER_HOURS) <= band


def _covered(starts: np.ndarray) -> int:
    """Hours inside any of the stretches that start where True."""
    return int(np.count_nonzero(np.convolve(starts, np.ones(FILLER_HOURS))))


def check_time_zone(
    t: np.ndarray, ghi: np.ndarray | None, utc_offset: float, longitude: float, known: bool, where: str
) -> list[Finding]:
    """Whether the rows run on local standard time: where the sun, or else the daily wave of t, says noon is.

    `known`: the file states its place on the globe; otherwise only gross errors show.
    """
    # Solar noon by the standard clock, the equation of time averaged out over the year.
    noon = 12 + (15 * utc_offset - longitude) / 15
    if ghi is not None and ghi.max() > 100:
        days = ghi.reshape(-1, 24)
        off = wrapped_hours(light_centre([days[a:b] for a, b in itertools.pairwise(MONTH_START)]) - noon)
        wrong, doubtful = abs(off) > NOON_WRONG, abs(off) > NOON_DOUBT and known
        by = "sun"
    else:
        crest = wrapped_hours(_crest(t) - noon) + 12  # solar time
        off = crest - 15.0
        wrong = not CREST_WRONG[0] <= crest <= CREST_WRONG[1]
        doubtful = known and not CREST_DOUBT[0] <= crest <= CREST_DOUBT[1]
        by = "temperature"
    if wrong:
        like_utc = known and abs(utc_offset) >= 2 and abs(wrapped_hours(off + utc_offset)) < 1.0
        details = {"name": where, "hours": round(off, 1), "by": by, "utc_offset": utc_offset}
        raise DataError("climate-clock-utc" if like_utc else "climate-clock", **details)
    if doubtful:
        return [note("climate-noon-off", "warn", where, "time", hours=round(off, 1), by=by)]
    return []


def light_centre(months: Sequence[np.ndarray]) -> float:
    """Hour of the day about which clear days' light is even, on a 24-hour ring. months: light of each, [day,
    hour].

    The 90th percentile of each month and hour is nearly cloudless, so that stormy afternoons do not pull.
    """
    clear = sum(np.quantile(month, 0.9, axis=0) for month in months)
    return _ring_mean(np.asarray(clear), np.arange(24) + 0.5)


def _crest(t: np.ndarray) -> float:
    return _ring_mean(t.reshape(-1, 24).mean(axis=0), np.arange(1, 25))


def _ring_mean(weights: np.ndarray, hours: np.ndarray) -> float:
    """Phase of the daily wave in `weights`, hours."""
    angle = np.angle(np.sum(weights * np.exp(2j * np.pi * hours / 24)))
    return float(angle * 24 / (2 * np.pi)) % 24


def wrapped_hours(hours: float) -> float:
    """The same hour of the clock between -12 and 12."""
    return (hours + 12) % 24 - 12
