"""Judgements on the patio's air. Every threshold is here; the numbers come from the cooling room."""

from __future__ import annotations

import numpy as np

from mistcalc.model.project import Patio
from mistcalc.model.results import Cooling, Finding

LITTLE = 2.25  # K (4 degF) at the seats in the middle draw: a homeowner would call less "little"; judgement
FLOOR_WET = 0.10  # share of the water that lands inside in the middle draw; judgement
CARRIED_OUT = 0.5  # share of the water still liquid when the wind takes it away; judgement
SATURATED = 0.85  # relative humidity at the seats above which glasses and skin stay wet; judgement
NO_DEPRESSION = 0.5  # K: air this close to saturation takes no water


def cooling_findings(patio: Patio, cooled: Cooling) -> tuple[Finding, ...]:
    """What the owner should hear about one afternoon: little cooling, wet, carried away."""
    where = f"{patio.name}/{cooled.afternoon}"
    afternoon = (("afternoon", cooled.afternoon), ("patio", patio.name))
    found: list[Finding] = []
    if cooled.water_flow == 0.0:
        return (Finding("no-water", "fail", where, "water flow", 0.0, None, "kg/s", "derived", afternoon),)
    low, middle, high = cooled.band("seats")
    values = (*afternoon, ("low", low), ("high", high), ("depression", cooled.depression))
    if cooled.depression < NO_DEPRESSION:
        found.append(
            Finding(
                "air-saturated",
                "note",
                where,
                "depression",
                cooled.depression,
                NO_DEPRESSION,
                "K",
                "derived",
                values,
            )
        )
    elif middle < LITTLE:
        found.append(
            Finding(
                "little-cooling",
                "note",
                where,
                "drop at seats",
                middle,
                LITTLE,
                "K",
                "judgement",
                (*values, ("fan_more", _fan_does_more(cooled))),
            )
        )
    floor = float(np.median(cooled.floor_share))
    if floor > FLOOR_WET:
        found.append(
            Finding(
                "wet-likely", "note", where, "share on floor", floor, FLOOR_WET, "1", "judgement", afternoon
            )
        )
    out = float(np.median(cooled.carried_out))
    if out > CARRIED_OUT:
        found.append(
            Finding(
                "mist-carried-out",
                "note",
                where,
                "share carried out",
                out,
                CARRIED_OUT,
                "1",
                "judgement",
                afternoon,
            )
        )
    humid = float(np.median(cooled.relative_humidity["seats"]))
    if humid > SATURATED:
        found.append(
            Finding(
                "seats-humid",
                "note",
                where,
                "relative humidity",
                humid,
                SATURATED,
                "1",
                "judgement",
                afternoon,
            )
        )
    return tuple(found)


def _fan_does_more(cooled: Cooling) -> bool:
    """Whether a seat is better off with a fan than with the mist, as SET judges it; no where it cannot."""
    fan, mist = (cooled.feel.band(c, (0.5,)) if cooled.feel else None for c in ("fan", "mist"))
    return fan is not None and mist is not None and fan[0] < mist[0]
