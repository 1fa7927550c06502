"""Whether a year's sunlight can be of the place its head names, by where the sun stands there.

Doubts are warnings; light that cannot be measured sunlight is left out, so that no sun is reckoned from it.
"""

from __future__ import annotations

import itertools

import numpy as np

from mistcalc.errors import DataError
from mistcalc.files.climate.quality_checks import (
    HOURS,
    MONTH_START,
    hours_held,
    light_centre,
    note,
    wrapped_hours,
)
from mistcalc.model.results import Finding
from mistcalc.physics import sun

# The shipped stations: months within 0.15 h of true noon, no light in the dark, none dark by day (0.0006 of
# hours), none in which beam and sky do not make up the whole, a value held 9 hours at most.
MOST_DRIFT = 0.5  # h, between the earliest and the latest month
MOST_AT_NIGHT = 0.01  # of a year's light with the sun 6 degrees down, the end of civil twilight
MOST_DARK = 0.02  # of hours with the sun over 15 degrees
MOST_APART = 0.1  # of hours with the sun over 10 degrees in which the whole is a fifth off
MOST_HELD = 16  # hours of one value
FARTHEST_ZONE = 3.2  # h between a clock and the sun: western China keeps the widest, 3 h


def check_zone(utc_offset: float, longitude: float, known: bool, where: str) -> None:
    """DataError where the offset stated is none that anyone lives by at that longitude: as of a file in UTC
    that says so."""
    if known and abs(wrapped_hours(utc_offset - longitude / 15)) > FARTHEST_ZONE:
        local = round(longitude / 15)
        raise DataError(
            "climate-zone-far", name=where, utc_offset=utc_offset, longitude=longitude, local=local
        )


def sunlight_findings(
    light: dict[str, np.ndarray | None],
    latitude: float,
    longitude: float,
    utc_offset: float,
    clock: list[Finding],
    where: str,
) -> tuple[dict[str, np.ndarray | None], list[Finding]]:
    """The columns ghi, dni, dhi, the last two None where they are no sunlight; and what is wrong with any.

    clock: what is wrong with the year's noon as a whole, which a noon that moves tells better; with an hour
    off nothing else can be told.
    """
    whole, beam, sky = light["ghi"], light["dni"], light["dhi"]
    if whole is None or whole.max() <= 0.0:
        return light, clock
    days = sun.TYPICAL_YEAR + (np.arange(HOURS) + 0.5 - utc_offset) / 24
    height, _ = sun.sun_position(days, np.radians(latitude), np.radians(longitude))
    findings = _drift(whole, longitude, utc_offset, where) or clock
    noon_fits = not findings
    night = float(whole[height < np.radians(-6.0)].sum() / whole.sum())
    if night > MOST_AT_NIGHT and noon_fits:
        findings = [note("climate-sun-place", "warn", where, "ghi", share=night, latitude=latitude)]
    if beam is None or sky is None:
        return light, findings
    reasons: dict[str, object] = {}
    by_day = height > np.radians(15.0)
    if (dark := float(((whole <= 5.0) & by_day).sum() / by_day.sum())) > MOST_DARK:
        reasons["dark"] = dark
    high = height > np.radians(10.0)
    sum_of_both = beam * np.sin(np.maximum(height, 0.0)) + sky
    apart = np.abs(whole - sum_of_both) > 0.2 * np.maximum(whole, 50.0)
    if not findings and (share := float((apart & high).sum() / high.sum())) > MOST_APART:
        reasons["apart"] = share
    longest = max(hours_held(np.where(values > 0.0, values, np.nan)) for values in (whole, beam, sky))
    if longest > MOST_HELD:
        reasons["stuck"] = longest
    if not reasons:
        return light, findings
    made_up = note("climate-sun-unlikely", "warn", where, "dni", **reasons)
    return light | {"dni": None, "dhi": None}, [*findings, made_up]


def _drift(whole: np.ndarray, longitude: float, utc_offset: float, where: str) -> list[Finding]:
    """Months whose noon is off while the year's mean is not: daylight time, or a clock that runs away."""
    days = whole.reshape(-1, 24)
    off = []
    for first, last in itertools.pairwise(MONTH_START):
        middle = sun.TYPICAL_YEAR + (first + last) / 2
        noon = 12 + utc_offset - longitude / 15 - float(sun.equation_of_time(middle)) / 3600
        off.append(wrapped_hours(light_centre([days[first:last]]) - noon))
    early, late = int(np.argmin(off)), int(np.argmax(off))
    if off[late] - off[early] <= MOST_DRIFT:
        return []
    details = {"hours": round(off[late] - off[early], 1), "early": f"month-{early + 1}"}
    return [note("climate-noon-drifts", "warn", where, "time", **details, late=f"month-{late + 1}")]
