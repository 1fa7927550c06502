"""Judgements on the patio's air. Every threshold is here; the numbers come from the cooling room."""

from __future__ import annotations

import numpy as np

from mistcalc.checks.shared import DERIVED, JUDGEMENT, PRACTICE, heard
from mistcalc.model.project import Patio
from mistcalc.model.results import Cooling, Finding, Line, WindSweep
from mistcalc.units import compass_point

LITTLE = 2.25  # K (4 degF) at the seats in the middle draw: a homeowner would call less "little"; judgement
LITTLE_FELT = 1.1  # K (2 degF) of SET: less is hardly noticed sitting still; judgement
SUNNY = 0.2  # of the seats and hours: from there on the sun is told to be what takes from the mist; judgement
FAN_FELT = 0.5  # K (1 degF) of SET: less between fan and mist, or fan and shade, is no difference; judgement
DAMP = 8.5  # K (15 degF) of wet-bulb depression: below it even a good line has little to work with; judgement
# share of the depression at the seats; below it the place, not the air, is to blame; judgement
REACHED = 0.25
STAYS = 0.75  # share of the water that ends under the ceiling: with less, the wind takes some; judgment
SHELTERED = 0.5  # of the patio in the lee, or of the air change by weight: wind takes little; judgement
ALIKE = 0.5  # of what the best side of the wind leaves: a side that leaves less takes it; judgement
# share of the water; where less dries the drops are too coarse for the fall they have; judgement
DRIES = 0.90
CARRIED_OUT = 0.5  # share of the water still liquid when the wind takes it away; judgement
SATURATED = 0.85  # relative humidity at the seats above which glasses and skin stay wet; judgement
NO_DEPRESSION = 0.5  # K: air this close to saturation takes no water
# m, Dv50 that the trade's nozzles give at high pressure; common practice, no source
FINE_DROPS = (10e-6, 60e-6)
# K, the largest drop under overhead mist outdoors in what was read (Ulpiani and others, abstract)
MOST_MEASURED = 8.2
HIGH_PRESSURE = 5e6  # Pa gauge, from which that holds


def cooling_findings(patio: Patio, cooled: Cooling) -> tuple[Finding, ...]:
    """What the owner should hear about one afternoon: little cooling and why, damp, carried away."""
    where = f"{patio.name}/{cooled.afternoon}"
    named = (("afternoon", cooled.afternoon), ("patio", patio.name))

    def note(
        code: str,
        quantity: str,
        provided: float,
        required: float,
        unit: str,
        values: tuple[tuple[str, object], ...] = named,
        source: str = JUDGEMENT,
    ) -> Finding:
        return Finding(code, "note", where, quantity, provided, required, unit, source, values)

    if cooled.water_flow == 0.0:
        none = Finding("no-water", "fail", where, "water flow", 0.0, None, "kg/s", DERIVED, named)
        return heard([none], "owner")
    findings: list[Finding] = []
    low, middle, high = cooled.band("seats")
    felt = felt_gain(cooled)
    values = (*named, ("span", (low, high)), *_why(cooled))
    depression = float(np.median(cooled.depression))
    if depression < NO_DEPRESSION:
        findings.append(note("air-saturated", "depression", depression, NO_DEPRESSION, "K", values, DERIVED))
    elif middle < LITTLE:
        findings.append(note("little-cooling", "drop at seats", middle, LITTLE, "K", values))
    elif felt is not None and felt < LITTLE_FELT:
        findings.append(note("little-felt", "drop of SET at seats", felt, LITTLE_FELT, "K", values))
    out = float(np.median(cooled.carried_out))
    if out > CARRIED_OUT:
        findings.append(note("mist-carried-out", "share carried out", out, CARRIED_OUT, "1"))
    humid = float(np.median(cooled.relative_humidity["seats"]))
    if humid > SATURATED:
        findings.append(note("seats-humid", "relative humidity", humid, SATURATED, "1"))
    return heard(findings, "owner")


def zone_cooling_findings(patio: Patio, line: Line, afternoons: tuple[str, ...]) -> tuple[Finding, ...]:
    """A patio whose nozzles never all run at once: its cooling, worked with all of them, is of no hour."""
    zones = tuple(dict.fromkeys(m.zone for m in line.marks if m.patio == patio.name and m.flow > 0))
    if len(zones) < 2 or not afternoons or any(set(zones) <= set(ran.zones) for ran in line.sets):
        return ()
    where, values = f"{patio.name}/{afternoons[0]}", (("zones", zones), ("patio", patio.name))
    return heard([Finding("zones-apart", "warn", where, source=DERIVED, values=values)], "owner")


def wind_limit_findings(patio: Patio, blown: WindSweep | None) -> tuple[Finding, ...]:
    """The wind from which on little is left at the seats; none where no wind up to the last tried does that,
    or where there is little without any."""
    if blown is None:
        return ()
    speed, drop, carried = (np.array(v) for v in (blown.speed, blown.drop, blown.carried_out))
    enough = drop >= LITTLE
    if not enough.any() or enough[-1]:
        return ()
    last = int(np.flatnonzero(enough)[-1])
    part = (drop[last] - LITTLE) / (drop[last] - drop[last + 1])
    limit = float(speed[last] + part * (speed[last + 1] - speed[last]))
    values = (("afternoon", blown.afternoon), ("patio", blown.patio), ("little", LITTLE),
              ("out", float(np.interp(limit, speed, carried))))  # fmt: skip
    where = f"{patio.name}/{blown.afternoon}"
    note = Finding("wind-limit", "note", where, "wind in the yard", limit, None, "m/s", JUDGEMENT, values)
    return heard([note], "owner")


def side_findings(cooled: Cooling) -> tuple[Finding, ...]:
    """From which side the wind leaves the seats clearly more than from another."""
    wind_by_name = {wind.name: wind for wind in cooled.winds}
    best, worst = wind_by_name.get("best_side"), wind_by_name.get("worst_side")
    if best is None or worst is None or best.band is None or worst.band is None:
        return ()
    gap = best.band[1] - worst.band[1]
    if gap < LITTLE or best.side is None or worst.side is None:
        return ()
    values = (
        ("afternoon", cooled.afternoon), ("patio", cooled.patio),
        ("best", compass_point(best.side)), ("most", best.band[::2]), ("lee", best.lee >= SHELTERED),
        ("worst", compass_point(worst.side)), ("least", worst.band[::2]),
    )  # fmt: skip
    where = f"{cooled.patio}/{cooled.afternoon}"
    note = Finding("wind-sides", "note", where, "drop at seats", gap, None, "K", JUDGEMENT, values)
    return heard([note], "owner")


def unmeasured_findings(cooled: tuple[Cooling, ...]) -> tuple[Finding, ...]:
    """Of a patio's afternoons the one that promises most, where that is more than was ever measured."""
    most = max(cooled, key=lambda one: one.band("seats")[2], default=None)
    if most is None or most.band("seats")[2] <= MOST_MEASURED:
        return ()
    values = (("afternoon", most.afternoon), ("patio", most.patio), ("most", MOST_MEASURED))
    where, high = f"{most.patio}/{most.afternoon}", most.band("seats")[2]
    source = "Ulpiani, Build. Environ., abstract"
    note = Finding("past-measured", "note", where, "drop at seats", high, MOST_MEASURED, "K", source, values)
    return heard([note], "owner")


def drop_findings(patio: str, size: float | None, gauge: float) -> tuple[Finding, ...]:
    """Drops that no misting nozzle gives at its pressure: the stated size is probably wrong. size: median
    [m] at `gauge` [Pa]; None: none is stated."""
    if size is None or gauge < HIGH_PRESSURE:
        return ()
    low, high = FINE_DROPS
    if low <= size <= high:
        return ()
    nearest = low if size < low else high
    values = (("low", low), ("high", high), ("gauge", gauge), ("patio", patio))
    odd = Finding("nozzle-drop-odd", "warn", patio, "drop size", size, nearest, "m", PRACTICE, values)
    return heard([odd], "installer")


def felt_gain(cooled: Cooling) -> float | None:
    """How much cooler the mist feels than the same shade, SET, middle draw [K]; None outside its range."""
    shade, mist = (cooled.feel.band(c, (0.5,)) if cooled.feel else None for c in ("shade", "mist"))
    return shade[0] - mist[0] if shade is not None and mist is not None else None


def _why(cooled: Cooling) -> tuple[tuple[str, object], ...]:
    """What keeps the cooling small: how much the air allows, how much arrives, what takes the rest."""
    depression = float(np.median(cooled.depression))
    reached = cooled.band("seats")[1] / depression if depression > 0 else 0.0
    dried = float(np.median(cooled.dried))
    felt = felt_gain(cooled)
    return (
        ("depression", depression),
        ("reached", reached),
        ("damp", depression < DAMP),
        ("coarse", dried < DRIES),
        ("blown", reached < REACHED and dried >= DRIES and not _sheltered(cooled)),
        ("small", reached < REACHED and dried >= DRIES and _sheltered(cooled) and _sides_alike(cooled)),
        ("dried", dried),
        ("felt", felt),
        ("sunny", _in_sun(cooled)),
        ("fan_more", _fan_does_more(cooled)),
    )


def _in_sun(cooled: Cooling) -> float:
    """Share of seats and hours that are in the sun, 0 where it is too little to tell of."""
    lit = None if cooled.feel is None else cooled.feel.lit
    share = 0.0 if lit is None else float(lit.mean())
    return share if share >= SUNNY else 0.0


def _sheltered(cooled: Cooling) -> bool:
    """Whether in most cases the patio lies in the house's lee, or cold air's own weight moves it: what the
    mist gives stays, so where little arrives there is little mist."""
    still = 0.0 if cooled.layers is None else cooled.layers.still
    lee = 0.0 if cooled.lee is None else cooled.lee
    under = cooled.fates["dried_under"] + cooled.fates["floor_under"]
    return bool(np.median(np.maximum(still, lee)) >= SHELTERED and np.median(under) >= STAYS)


def _sides_alike(cooled: Cooling) -> bool:
    """Whether no side of the wind leaves clearly less than another (`side_findings` tells where one does, as
    through a breezeway): else the line may be large enough and the wind takes it on the wrong days."""
    wind_by_name = {wind.name: wind.band for wind in cooled.winds}
    best, worst = wind_by_name.get("best_side"), wind_by_name.get("worst_side")
    return best is None or worst is None or worst[1] >= ALIKE * best[1]


def fan_cools(cooled: Cooling) -> bool:
    """Whether a fan clearly cools a seat, as SET judges it: in hot dry air, or in a breeze, it does not."""
    shade, fan = (cooled.feel.band(c, (0.5,)) if cooled.feel else None for c in ("shade", "fan"))
    return shade is not None and fan is not None and shade[0] - fan[0] >= FAN_FELT


def _fan_does_more(cooled: Cooling) -> bool:
    """Whether a fan cools a seat, and clearly more than the mist, as SET judges it; no where it cannot."""
    fan, mist = (cooled.feel.band(c, (0.5,)) if cooled.feel else None for c in ("fan", "mist"))
    return fan is not None and mist is not None and fan_cools(cooled) and mist[0] - fan[0] >= FAN_FELT
