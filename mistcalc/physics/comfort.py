"""What air feels like: heat index, standard effective temperature, UTCI, and the heat a shade radiates.

The heat index knows only temperature and humidity; UTCI adds wind and radiation for someone walking in
clothes of his own choice; only the standard effective temperature (SET) also knows how little is worn and
how still one sits, so only it can weigh a fan against a mist.
"""

from __future__ import annotations

from typing import Literal, NamedTuple

import numpy as np
import thermofeel
from numpy.typing import ArrayLike

from mistcalc.physics.air import Floats, saturation_pressure, within

COLDEST, HOTTEST = 253.15, 333.15  # K
Beyond = Literal["raise", "nan"]  # what an index does with an element outside its range
SIMPLE_BELOW = 80.0  # degF: where the simple form's answer is below this it stands

# Rothfusz's regression in degF and %, T^i R^j as (i, j, coefficient).
_TERMS = (
    (0, 0, -42.379),
    (1, 0, 2.04901523),
    (0, 1, 10.14333127),
    (1, 1, -0.22475541),
    (2, 0, -6.83783e-3),
    (0, 2, -5.481717e-2),
    (2, 1, 1.22874e-3),
    (1, 2, 8.5282e-4),
    (2, 2, -1.99e-6),
)


class _Ranges:
    """An index's ranges, asked one by one: RangeError outside, or NaN in the elements that are."""

    def __init__(self, beyond: Beyond) -> None:
        self.outside: np.ndarray | None = None if beyond == "raise" else np.zeros(())

    def within(self, quantity: str, value: ArrayLike, low: float, high: float, unit: str) -> Floats:
        if self.outside is None:
            return within(quantity, value, low, high, unit)
        values = np.asarray(value, dtype=float)
        held = (values >= low) & (values <= high)
        self.outside = np.logical_or(self.outside, ~held)
        return np.where(held, values, low)  # something to compute with; the answer there is not given

    def answered(self, index: Floats) -> Floats:
        index = np.asarray(index, dtype=float)
        return (index if self.outside is None else np.where(self.outside, np.nan, index))[()]


def heat_index(t: ArrayLike, relative_humidity: ArrayLike, *, beyond: Beyond = "raise") -> Floats:
    """Heat index in the shade [K], as the US National Weather Service computes it.

    t: dry bulb, K, 253-333; relative_humidity: 0-1. The simple form, averaged with the dry bulb, stands
    while it is below 80 degF; else Rothfusz's regression, less its adjustment for dry air (RH below 13 %,
    80-112 degF) or plus the one for humid air (above 85 %, 80-87 degF). In air cooler than about 80 degF, or
    very dry, the index says little more than the dry bulb. Beyond the chart (about 110 degF at 40 %) it is an
    extrapolation. Light wind, shade, people at rest or walking. Outside the ranges RangeError, or with
    beyond="nan" NaN in those elements.
    Source: Rothfusz 1990, NWS Technical Attachment SR 90-23; NWS Weather Prediction Center, "The Heat Index
    Equation".
    """
    ranges = _Ranges(beyond)
    f = (ranges.within("temperature", t, COLDEST, HOTTEST, "K") - 273.15) * 1.8 + 32
    rh = ranges.within("relative_humidity", relative_humidity, 0.0, 1.0, "1") * 100
    simple = 0.5 * (f + 0.5 * (f + 61 + (f - 68) * 1.2 + rh * 0.094))
    full = sum((c * f**i * rh**j for i, j, c in _TERMS), np.zeros(np.broadcast_shapes(f.shape, rh.shape)))
    dry = (13 - rh) / 4 * np.sqrt(np.maximum(17 - np.abs(f - 95), 0.0) / 17)
    humid = (rh - 85) / 10 * (87 - f) / 5
    full = full - np.where((rh < 13) & (f >= 80) & (f <= 112), dry, 0.0)
    full = full + np.where((rh > 85) & (f >= 80) & (f <= 87), humid, 0.0)
    index = np.where(simple < SIMPLE_BELOW, simple, full)
    return ranges.answered((index - 32) / 1.8 + 273.15)


# ------------------------------------------------------------------ standard effective temperature

# The standard person and his two nodes, core and skin. Gagge, Fobelets & Berglund 1986, ASHRAE Trans. 92(2B)
# 709-731, with the constants of ASHRAE Standard 55's listing of the model (typed from memory of both).
BODY_AREA = 1.8258  # m2
BODY_MASS = 69.9  # kg
BODY_HEAT = 0.97  # W h/(kg K)
MET = 58.2  # W/m2
STEFAN_BOLTZMANN = 5.6697e-8  # W/(m2 K4), as the model has it
RADIATING = 0.95 * 0.73  # emissivity, times the share of a standing body's surface that faces outward
SKIN_NEUTRAL, CORE_NEUTRAL, BODY_NEUTRAL = 33.7, 36.8, 36.49  # degC
BLOOD_NEUTRAL = 6.3  # L/(m2 h)
LEWIS = 2.2  # K/Torr at one atmosphere, evaporative over convective transfer
PERMEABILITY = 0.45  # of clothing to vapour
STILL = 0.1  # m/s, a body's own warmth moves the air about it: slower air counts as this
MINUTES = 60
FASTEST = 10.0  # m/s


def standard_effective_temperature(
    t: ArrayLike,
    radiant: ArrayLike,
    speed: ArrayLike,
    relative_humidity: ArrayLike,
    met: ArrayLike = 1.0,
    clo: ArrayLike = 0.5,
    air_pressure: ArrayLike = 101325.0,
    *,
    beyond: Beyond = "raise",
) -> Floats:
    """SET [K]: the even, still air of 50 % RH in which skin would lose as much heat, as wet and as warm.

    t: dry bulb, K, 253-333; radiant: mean radiant temperature, K, 233-373; speed: of the air on the body,
    m/s, 0-10, where less than 0.1 counts as 0.1 (the model's own rule); relative_humidity: 0-1; met: heat
    made by the body, 0.8-4 met of 58.2 W/m2 (1.0 seated, quiet); clo: clothing, 0.1-3 clo (0.5 light summer
    wear; bare skin would follow other rules); air_pressure: Pa, 60-108 kPa. All broadcast. The body is
    standing, does no work on its surroundings, and is taken after an hour: 60 steps of one minute from a
    neutral start. Outside the ranges RangeError, or with beyond="nan" NaN in those elements.
    SET judges heat lost together with how wet the skin is, so in hot dry air it credits a fan for drying the
    skin although the body gains heat by it: above about 40 degC it is no advice to sit before a fan. Above
    about 45 degC, or below freezing in such clothes, it serves comparison only. Among walls so much colder
    than damp air that skin falls below the dew point, the model takes all skin as wet and SET jumps up.
    Source: Gagge, Fobelets & Berglund 1986, ASHRAE Trans. 92(2B), 709-731; ANSI/ASHRAE Standard 55, the
    normative appendix that lists the model.
    """
    ranges = _Ranges(beyond)
    t = ranges.within("temperature", t, COLDEST, HOTTEST, "K") - 273.15
    radiant = ranges.within("radiant", radiant, 233.15, 373.15, "K") - 273.15
    speed = np.maximum(ranges.within("speed", speed, 0.0, FASTEST, "m/s"), STILL)
    vapour = ranges.within("relative_humidity", relative_humidity, 0.0, 1.0, "1") * _torr(t)
    met = ranges.within("met", met, 0.8, 4.0, "met")
    clo = ranges.within("clo", clo, 0.1, 3.0, "clo")
    atmospheres = ranges.within("air_pressure", air_pressure, 60e3, 108e3, "Pa") / 101325
    t, radiant, speed, vapour, met, clo, atmospheres = np.broadcast_arrays(
        t, radiant, speed, vapour, met, clo, atmospheres
    )
    convective = _convective(speed, met, atmospheres)
    skin, heat, wet, radiative = _an_hour(t, radiant, speed, vapour, met, clo, atmospheres, convective)
    return ranges.answered(_standard(skin, heat, wet, radiative, met, atmospheres) + 273.15)


def _torr(t: Floats) -> Floats:
    """Saturation pressure at t degC [Torr], the model's own curve."""
    return np.exp(18.6686 - 4030.183 / (t + 235.0))


def _convective(speed: Floats | float, met: Floats, atmospheres: Floats) -> Floats:
    """W/(m2 K): the most of still air, moving air, and limbs that move."""
    still = 3.0 * atmospheres**0.53
    moving = 8.600001 * (speed * atmospheres) ** 0.53
    return np.maximum(np.maximum(still, moving), 5.66 * np.maximum(met - 0.85, 0.0) ** 0.39)


def _an_hour(
    t: Floats,
    radiant: Floats,
    speed: Floats,
    vapour: Floats,
    met: Floats,
    clo: Floats,
    atmospheres: Floats,
    convective: Floats,
) -> tuple[Floats, Floats, Floats, Floats]:
    """(skin [degC], heat it loses [W/m2], its wetted share, radiative transfer [W/(m2 K)]) after an hour."""
    dressed = 0.155 * clo  # m2 K/W
    area = 1 + 0.15 * clo  # of clothed over bare body
    lewis = LEWIS / atmospheres
    wettest = 0.59 * speed**-0.08  # share of the skin: the rest of the sweat drips
    to_vapour = 1 / (lewis * area * convective) + dressed / (lewis * PERMEABILITY)
    made = resting = met * MET
    skin, core = np.full(t.shape, SKIN_NEUTRAL), np.full(t.shape, CORE_NEUTRAL)
    blood, skin_share = np.full(t.shape, BLOOD_NEUTRAL), np.full(t.shape, 0.1)
    evaporated, surface = 0.1 * met, t + (skin - t) / 2
    through = dressed * area  # of the clothes' own resistance, on the bare body's area
    half_radiant, blown = radiant / 2 + 273.15, convective * t
    for _ in range(MINUTES):
        for _ in range(3):  # the clothes' own temperature; each minute starts from the last, so three do
            between = surface / 2 + half_radiant
            radiative = 4 * STEFAN_BOLTZMANN * RADIATING * (between * between * between)
            gained, loses = radiative * radiant + blown, through * (radiative + convective)
            surface = (skin + through * gained) / (1 + loses)
        dry = (skin - surface) / dressed
        from_core = (core - skin) * (5.28 + 1.163 * blood)
        breath = made * (0.0023 * (44.0 - vapour) + 0.0014 * (34.0 - t))
        hours = 1 / MINUTES
        skin_gain = (from_core - dry - evaporated) * BODY_AREA * hours
        core_gain = (made - from_core - breath) * BODY_AREA * hours
        skin = skin + skin_gain / (BODY_HEAT * skin_share * BODY_MASS)
        core = core + core_gain / (BODY_HEAT * (1 - skin_share) * BODY_MASS)
        body = skin_share * skin + (1 - skin_share) * core
        warm_skin, cold_skin = np.maximum(skin - SKIN_NEUTRAL, 0), np.maximum(SKIN_NEUTRAL - skin, 0)
        warm_core, cold_core = np.maximum(core - CORE_NEUTRAL, 0), np.maximum(CORE_NEUTRAL - core, 0)
        blood = ((BLOOD_NEUTRAL + 120 * warm_core) / (1 + 0.5 * cold_skin)).clip(0.5, 90)
        sweat = 170 * np.maximum(body - BODY_NEUTRAL, 0) * np.exp(warm_skin / 10.7)
        sweat = 0.68 * np.minimum(sweat, 500.0)  # W/m2 if all of it dries
        most = (_torr(skin) - vapour) / to_vapour
        wet, evaporated = _wetted(sweat, most, wettest)
        made = resting + 19.4 * cold_skin * cold_core  # shivering
        skin_share = 0.0417737 + 0.7451833 / (blood + 0.585417)
    return skin, dry + evaporated, wet, radiative


def _wetted(sweat: Floats, most: Floats, wettest: Floats) -> tuple[Floats, Floats]:
    """(wetted share of the skin, heat that evaporates from it [W/m2]); sweat beyond that drips.

    Dry skin still passes 6 % of the most it could. Air too damp to take anything leaves it as wet as can be.
    """
    takes = most > 0
    share = sweat / np.where(takes, most, 1.0)
    wet = np.where(takes, np.minimum(0.06 + 0.94 * share, wettest), wettest)
    return wet, np.where(takes, wet * most, 0.0)


def _standard(
    skin: Floats, heat: Floats, wet: Floats, radiative: Floats, met: Floats, atmospheres: Floats
) -> Floats:
    """Temperature [degC] of still air at 50 % RH that takes `heat` from such skin in standard clothes."""
    clo = 1.52 / (met + 0.6944) - 0.1835
    dressed, area = 0.155 * clo, 1 + 0.25 * clo
    convective = np.maximum(_convective(0.0, met, atmospheres), 3.0)  # never less than at sea level
    both = convective + radiative
    cover = 1 / (1 + 0.155 * area * both * clo)
    part = convective / both
    permeability = PERMEABILITY * part * (1 - cover) / (part - cover * PERMEABILITY)
    lewis = LEWIS / atmospheres
    to_air = 1 / (1 / (area * both) + dressed)
    to_vapour = wet / (1 / (lewis * area * convective) + dressed / (lewis * permeability))
    temperature = skin
    for _ in range(10):  # Newton; the balance bends one way only, so it cannot overshoot twice
        half = 0.5 * _torr(temperature)
        missed = to_air * (skin - temperature) + to_vapour * (_torr(skin) - half) - heat
        temperature = temperature + missed / (
            to_air + to_vapour * half * 4030.183 / (temperature + 235.0) ** 2
        )
    return temperature


# ------------------------------------------------------------------ UTCI

UTCI_COLDEST, UTCI_HOTTEST = 223.15, 323.15  # K, dry bulb
UTCI_WIND = (0.5, 17.0)  # m/s at 10 m
UTCI_RADIANT = (-30.0, 70.0)  # K, mean radiant less dry bulb
UTCI_VAPOUR = 5000.0  # Pa


def utci(
    t: ArrayLike,
    radiant: ArrayLike,
    wind: ArrayLike,
    relative_humidity: ArrayLike,
    *,
    beyond: Beyond = "raise",
) -> Floats:
    """Universal Thermal Climate Index [K], by the polynomial of its authors.

    t: dry bulb, K, 223-323; radiant: mean radiant temperature, K, from 30 below the dry bulb to 70 above;
    wind: m/s at 10 m over open ground, 0.5-17 (about 1.5 times that at 1.1 m); relative_humidity: 0-1 over
    liquid water, up to 5 kPa of vapour. Outside, where a polynomial says nothing, RangeError, or with
    beyond="nan" NaN in those elements.
    Source: Brode et al. 2012, Int. J. Biometeorol. 56, 481-494, in the library thermofeel.
    """
    ranges = _Ranges(beyond)
    t = ranges.within("temperature", t, UTCI_COLDEST, UTCI_HOTTEST, "K")
    radiant = ranges.within("radiant", radiant, 0.0, np.inf, "K")
    ranges.within("radiant_less_air", radiant - t, *UTCI_RADIANT, "K")
    wind = ranges.within("wind", wind, *UTCI_WIND, "m/s")
    rh = ranges.within("relative_humidity", relative_humidity, 0.0, 1.0, "1")
    # The library's curve, the one the polynomial's published values go with; ours differs by 0.1 %.
    vapour = rh * thermofeel.calculate_saturation_vapour_pressure(t)
    ranges.within("vapour_pressure", vapour * 100, 0.0, UTCI_VAPOUR, "Pa")
    return ranges.answered(thermofeel.calculate_utci(t, wind, radiant, ehPa=vapour))


# ------------------------------------------------------------------ radiation in the shade


class Views(NamedTuple):
    """What share of all directions a seat sees each surface in; the four sum to 1."""

    lid: float
    sky: float
    sunlit: float  # ground beyond the lid
    shaded: float  # floor and walls under it


# Judgement, for a chair in the middle of a lid about 3 m up and 4 m deep with one long open side: the lid
# fills two fifths, the open side a fifth, half of it sky and half ground.
SEAT_VIEWS = Views(lid=0.40, sky=0.10, sunlit=0.10, shaded=0.40)
LID_EXCESS = 3.0  # K, plastered and framed lid, sun on the roof above; bare sheet metal may be 15 K or more
SUNLIT_EXCESS = 15.0  # K, light paving or soil on a clear afternoon; dark paving more, grass about 3 K


def sky_temperature(t: ArrayLike, relative_humidity: ArrayLike) -> Floats:
    """Temperature [K] of the black surface that would radiate like a clear sky.

    t: dry bulb near the ground, K, 253-333; relative_humidity: 0-1. Brunt's form, emissivity
    0.52 + 0.065 sqrt(vapour pressure in hPa), at most 1. A cloudy sky is warmer, up to the dry bulb.
    Source: Brunt 1932, Q. J. R. Meteorol. Soc. 58, 389-420 (coefficients from memory).
    """
    t = within("temperature", t, COLDEST, HOTTEST, "K")
    vapour = within("relative_humidity", relative_humidity, 0.0, 1.0, "1") * saturation_pressure(t)
    return (t * np.minimum(0.52 + 0.065 * np.sqrt(vapour / 100), 1.0) ** 0.25)[()]


def shade_radiant(
    t: ArrayLike,
    sky: ArrayLike,
    lid_excess: ArrayLike = LID_EXCESS,
    sunlit_excess: ArrayLike = SUNLIT_EXCESS,
    views: Views = SEAT_VIEWS,
) -> Floats:
    """Mean radiant temperature of a seat in full shade [K]: (sum of F T^4)^1/4 over what it sees.

    t: dry bulb outdoors, K, 253-333; the shaded floor and walls are taken at it; sky: its temperature, K,
    150-333. lid_excess, sunlit_excess: how much warmer than t the lid's underside and the sunlit ground
    are, K, -20 to 60; they and `views` are judgment where nobody measured. Every surface is taken black.
    No sun on the body, neither direct nor thrown up by the ground. Mist under the lid leaves it alone.
    RangeError outside the ranges, or where the views do not sum to 1.
    Source: Fanger 1970, Thermal Comfort (mean radiant temperature of black surfaces).
    """
    t = within("temperature", t, COLDEST, HOTTEST, "K")
    sky = within("sky", sky, 150.0, HOTTEST, "K")
    lid = t + within("lid_excess", lid_excess, -20.0, 60.0, "K")
    sunlit = t + within("sunlit_excess", sunlit_excess, -20.0, 60.0, "K")
    within("views", views, 0.0, 1.0, "1")
    within("sum of views", sum(views), 1 - 1e-6, 1 + 1e-6, "1")
    total = views.lid * lid**4 + views.sky * sky**4 + views.sunlit * sunlit**4 + views.shaded * t**4
    return np.asarray(total**0.25)[()]
