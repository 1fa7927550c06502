"""Moist air: saturation, humidity, enthalpy, density, dew point, thermodynamic wet bulb.

Ideal-gas equations of the ASHRAE Handbook of Fundamentals 2017, chapter 1 ("HoF" below), with the
saturation pressure of Hyland & Wexler (1983). Against real-gas tables the saturated humidity ratio is
0.4-0.6 % low; the wet bulb is within 0.03 K.

Symbols: t dry bulb [K], ratio humidity ratio [kg vapour / kg dry air], air_pressure [Pa, absolute],
enthalpy [J / kg dry air], zero for dry air and for liquid water at 0 degC.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import psychrolib
from numpy.typing import ArrayLike, NDArray

from mistcalc.errors import RangeError

psychrolib.SetUnitSystem(psychrolib.SI)  # a module global of that library: set here, once

Floats = NDArray[np.float64]
Surface = Literal["water", "ice"]

ZERO_CELSIUS = 273.15  # K
TRIPLE_POINT = 273.16  # K, below it ice is the stable surface
MASS_RATIO = 0.621945  # molar mass of water over that of dry air, HoF eq. 20
GAS_CONSTANT = 287.042  # J/(kg K), dry air, HoF eq. 1
VIRTUAL = 1.607858  # 1 / MASS_RATIO as HoF eq. 26 rounds it
CP_DRY = 1006.0  # J/(kg K), HoF eq. 30
CP_VAPOUR = 1860.0  # J/(kg K), HoF eq. 30
CP_WATER = 4186.0  # J/(kg K), HoF eq. 33
LATENT_AT_ZERO = 2501e3  # J/kg, HoF eq. 30
CP_ICE = 2100.0  # J/(kg K), HoF eq. 35
ICE_AT_ZERO = -329e3  # J/kg, enthalpy of ice at 0 degC implied by HoF eq. 35 (2501 - 2830)
COLDEST, HOTTEST = 173.15, 473.15  # K, range of the saturation equations

# Hyland & Wexler coefficients: ln p = c0/T + c1 + c2 T + ... + c_ln ln T. HoF eq. 5 (ice), 6 (water).
_ICE = (-5.6745359e3, 6.3925247, -9.677843e-3, 6.2215701e-7, 2.0747825e-9, -9.484024e-13, 4.1635019)
_WATER = (-5.8002206e3, 1.3914993, -4.8640239e-2, 4.1764768e-5, -1.4452093e-8, 0.0, 6.5459673)


def within(quantity: str, value: ArrayLike, low: float, high: float, unit: str) -> Floats:
    """`value` as a float array, or RangeError naming the first element outside low..high (NaN too)."""
    values = np.asarray(value, dtype=float)
    if values.size and not (values.min() >= low and values.max() <= high):  # a NaN fails both
        good = (values >= low) & (values <= high)
        raise RangeError(quantity, float(values[~good].flat[0]), low, high, unit)
    return values


def ratio_within(ratio: ArrayLike) -> Floats:
    """A humidity ratio as a float array; RangeError where it is negative or above 1 kg/kg."""
    return within("humidity_ratio", ratio, 0.0, 1.0, "kg/kg")


def pressure_within(air_pressure: ArrayLike) -> Floats:
    """An absolute air pressure as a float array; RangeError outside 20-120 kPa."""
    return within("air_pressure", air_pressure, 20e3, 120e3, "Pa")


def _log_saturation(t: Floats, c: tuple[float, ...]) -> Floats:
    return c[0] / t + (c[1] + t * (c[2] + t * (c[3] + t * (c[4] + t * c[5])))) + c[6] * np.log(t)


def _log_slope(t: Floats, c: tuple[float, ...]) -> Floats:
    return (c[6] - c[0] / t) / t + (c[2] + t * (2 * c[3] + t * (3 * c[4] + t * 4 * c[5])))


def saturation_pressure(t: ArrayLike, surface: Surface | None = None) -> Floats:
    """Pressure of water vapour in equilibrium with a flat surface at t [Pa].

    t: K, 173.15-473.15. surface: "water" (also supercooled), "ice", or None for the stable one (ice below
    the triple point). Source: Hyland & Wexler 1983, HoF 2017 ch. 1 eq. 5 and 6.
    """
    t = within("temperature", t, COLDEST, HOTTEST, "K")
    if surface == "ice":
        return np.exp(_log_saturation(t, _ICE))
    pressure = np.asarray(np.exp(_log_saturation(t, _WATER)))
    if surface is None and np.any(frozen := t < TRIPLE_POINT):
        pressure[frozen] = np.exp(_log_saturation(t[frozen], _ICE))
    return pressure[()]


def _ratio(vapour_pressure: Floats, air_pressure: Floats) -> Floats:
    """HoF 2017 ch. 1 eq. 20."""
    return MASS_RATIO * vapour_pressure / (air_pressure - vapour_pressure)


def humidity_ratio(t: ArrayLike, relative_humidity: ArrayLike, air_pressure: ArrayLike) -> Floats:
    """Humidity ratio of air at t and a relative humidity of 0-1 [kg/kg].

    t: K; relative_humidity: over the stable surface; air_pressure: Pa. RangeError where the vapour alone
    would reach the air pressure. Source: HoF 2017 ch. 1 eq. 20 and 22.
    """
    p = pressure_within(air_pressure)
    vapour = within("relative_humidity", relative_humidity, 0.0, 1.0, "1") * saturation_pressure(t)
    highest = float(np.min(p)) / (1 + MASS_RATIO)  # ratio 1 kg/kg
    if np.any(vapour >= p / (1 + MASS_RATIO)):
        raise RangeError("vapour_pressure", float(np.max(vapour)), 0.0, highest, "Pa")
    return _ratio(vapour, p)


def saturated_ratio(t: ArrayLike, air_pressure: ArrayLike, surface: Surface | None = None) -> Floats:
    """Humidity ratio of saturated air at t [kg/kg]. Source: HoF 2017 ch. 1 eq. 20.

    t: K, 173.15-473.15; air_pressure: Pa; `surface` as in `saturation_pressure`. RangeError where it boils.
    """
    p = pressure_within(air_pressure)
    vapour = saturation_pressure(t, surface)
    if np.any(vapour >= p):
        raise RangeError("saturation_pressure", float(np.max(vapour)), 0.0, float(np.min(p)), "Pa")
    return _ratio(vapour, p)


def vapour_pressure(ratio: ArrayLike, air_pressure: ArrayLike) -> Floats:
    """Partial pressure of the vapour in air of a humidity ratio [Pa].

    Source: HoF 2017 ch. 1 eq. 20 inverted.
    """
    ratio = ratio_within(ratio)
    return pressure_within(air_pressure) * ratio / (MASS_RATIO + ratio)


def relative_humidity(t: ArrayLike, ratio: ArrayLike, air_pressure: ArrayLike) -> Floats:
    """Relative humidity over the stable surface [1]. Above 1 where the air holds more than it can.

    Source: HoF 2017 ch. 1 eq. 22.
    """
    return vapour_pressure(ratio, air_pressure) / saturation_pressure(t)


def enthalpy(t: ArrayLike, ratio: ArrayLike) -> Floats:
    """Enthalpy of moist air [J per kg of dry air], zero for dry air and liquid water at 0 degC.

    Source: HoF 2017 ch. 1 eq. 30.
    """
    celsius = within("temperature", t, COLDEST, HOTTEST, "K") - ZERO_CELSIUS
    return CP_DRY * celsius + ratio_within(ratio) * (LATENT_AT_ZERO + CP_VAPOUR * celsius)


def temperature(h: ArrayLike, ratio: ArrayLike) -> Floats:
    """Dry bulb of air of a given enthalpy and humidity ratio [K]: `enthalpy` inverted.

    h: J per kg of dry air; ratio: kg/kg. Source: HoF 2017 ch. 1 eq. 30.
    """
    w = ratio_within(ratio)
    t = ZERO_CELSIUS + (np.asarray(h, dtype=float) - w * LATENT_AT_ZERO) / (CP_DRY + w * CP_VAPOUR)
    return within("temperature", t, COLDEST, HOTTEST, "K")


def water_enthalpy(t: ArrayLike) -> Floats:
    """Enthalpy of liquid water [J/kg], zero at 0 degC. Source: the 4.186 t of HoF 2017 ch. 1 eq. 33."""
    return CP_WATER * (within("temperature", t, COLDEST, HOTTEST, "K") - ZERO_CELSIUS)


def latent_heat(t: ArrayLike) -> Floats:
    """Latent heat of evaporation [J/kg], vapour less liquid enthalpy.

    Source: HoF 2017 ch. 1 eq. 30 and 33.
    """
    celsius = within("temperature", t, COLDEST, HOTTEST, "K") - ZERO_CELSIUS
    return LATENT_AT_ZERO - (CP_WATER - CP_VAPOUR) * celsius


def density(t: ArrayLike, ratio: ArrayLike, air_pressure: ArrayLike) -> Floats:
    """Density of moist air, dry air and vapour together [kg/m3]. Source: HoF 2017 ch. 1 eq. 11 and 26."""
    return pressure_within(air_pressure) / (GAS_CONSTANT * virtual_temperature(t, ratio))


def virtual_temperature(t: ArrayLike, ratio: ArrayLike) -> Floats:
    """Temperature of dry air that would be as light as this moist air at the same pressure [K].

    Source: HoF 2017 ch. 1 eq. 11 and 26.
    """
    t, w = within("temperature", t, COLDEST, HOTTEST, "K"), ratio_within(ratio)
    return t * (1 + VIRTUAL * w) / (1 + w)


def pressure_at_elevation(z: ArrayLike) -> Floats:
    """Standard-atmosphere air pressure at an elevation [Pa]. z: m, -5,000 to 11,000.

    Source: HoF 2017 ch. 1 eq. 3.
    """
    z = within("elevation", z, -5000.0, 11000.0, "m")
    return 101325 * (1 - 2.25577e-5 * z) ** 5.2559


def dew_point(ratio: ArrayLike, air_pressure: ArrayLike) -> Floats:
    """Temperature at which the air's vapour is saturated over the stable surface [K]; a frost point below 0.

    Newton on ln p, five fixed steps (error < 1e-6 K). RangeError where the air is so dry that the answer
    lies below -100 degC, dry air with ratio 0 among it. Source: HoF 2017 ch. 1 eq. 5 and 6 inverted.
    """
    vapour = vapour_pressure(ratio, air_pressure)
    lowest = float(np.exp(_log_saturation(np.float64(COLDEST), _ICE)))  # type: ignore[arg-type]
    vapour = within("vapour_pressure", vapour, lowest, 120e3, "Pa")
    target = np.log(vapour)
    t = np.asarray(_invert_log(target, _WATER))
    if np.any(frost := target < np.log(_TRIPLE_PRESSURE)):
        t[frost] = _invert_log(target[frost], _ICE)
    return t[()]


_TRIPLE_PRESSURE = float(np.exp(_log_saturation(np.float64(TRIPLE_POINT), _WATER)))  # type: ignore[arg-type]


def _invert_log(target: Floats, c: tuple[float, ...]) -> Floats:
    # ln p is almost straight in 1/T, so Newton runs in 1/T from the triple point.
    inverse = 1 / TRIPLE_POINT - (target - np.log(_TRIPLE_PRESSURE)) / 5800.0
    for _ in range(5):
        t = 1 / inverse
        inverse = inverse + (_log_saturation(t, c) - target) / (_log_slope(t, c) * t * t)
    return 1 / inverse


def wet_bulb(
    t: ArrayLike, ratio: ArrayLike, air_pressure: ArrayLike, surface: Surface | None = None
) -> Floats:
    """Thermodynamic wet bulb [K]: where water fed at that temperature would just saturate the air.

    t: K; ratio: kg/kg; air_pressure: Pa. surface: "water" or "ice" wets the bulb; None takes water where
    that gives 0 degC or more and ice elsewhere. (From 0 to 0.7 degC both have an answer.) Saturated or
    supersaturated air returns the temperature its mist settles at. Halley's method, three fixed steps:
    error below 0.1 mK (0.01 from 5 to 55 degC) for -40 to 60 degC, 60-108 kPa. Source: HoF 2017 ch. 1 eq.
    33 and 35.
    """
    w = ratio_within(ratio)
    p = pressure_within(air_pressure)
    h = enthalpy(within("temperature", t, 203.15, 343.15, "K"), w)
    if surface == "ice":
        return _settled(h, w, p, _ICE, ICE_AT_ZERO, CP_ICE, 263.15)
    wet = np.asarray(saturated_equilibrium_temperature(h, w, p))
    if surface is None and np.any(frozen := wet < ZERO_CELSIUS):
        h, w, p = (np.broadcast_to(x, wet.shape)[frozen] for x in (h, w, p))
        wet[frozen] = _settled(h, w, p, _ICE, ICE_AT_ZERO, CP_ICE, 263.15)
    return wet[()]


def saturated_equilibrium_temperature(
    h: Floats, water: Floats, air_pressure: Floats, start: Floats | float = 303.15, steps: int = 3
) -> Floats:
    """Temperature at which air and all the water it carries settle, saturated [K].

    Solves h = h_s(T) + (water - w_s(T)) h_l(T) per kg of dry air: h total enthalpy [J/kg], water vapour and
    liquid together [kg/kg]. The liquid may come out negative: then T is the thermodynamic wet bulb of
    unsaturated air. Halley's method, fixed `steps` from `start` [K]. Nothing is checked: this is the core of
    `wet_bulb` and of the plume. Source: HoF 2017 ch. 1 eq. 33, which is this same balance.
    """
    return _settled(h, water, air_pressure, _WATER, 0.0, CP_WATER, start, steps)


def _settled(
    h: Floats,
    water: Floats,
    air_pressure: Floats,
    curve: tuple[float, ...],
    condensed_at_zero: float,
    cp_condensed: float,
    start: Floats | float,
    steps: int = 3,
) -> Floats:
    """`saturated_equilibrium_temperature` over water or ice of enthalpy condensed_at_zero + cp t."""
    latent_at_zero = LATENT_AT_ZERO - condensed_at_zero
    cp_gap = cp_condensed - CP_VAPOUR
    heat_capacity = CP_DRY + water * cp_condensed
    aim = h - water * condensed_at_zero
    t: Floats = np.asarray(start, dtype=float)
    for _ in range(steps):
        vapour = np.exp(_log_saturation(t, curve))
        slope = _log_slope(t, curve)
        w = MASS_RATIO * vapour / (air_pressure - vapour)
        w1 = w * slope * (1 + VIRTUAL * w)
        celsius = t - ZERO_CELSIUS
        latent = latent_at_zero - cp_gap * celsius
        f1 = heat_capacity + w1 * latent - cp_gap * w
        newton = (heat_capacity * celsius + w * latent - aim) / f1
        # Halley: of the second derivative only the leading part; it buys the order, not the answer.
        t = t - newton / (1 - 0.5 * newton * w1 * slope * latent / f1)
    return t


@dataclass(frozen=True)
class MoistAirState:
    """One state of moist air by two independent hands: PsychroLib's figures beside the kernel's wet bulb.

    SI: K, 1, Pa, kg/kg, J/kg of dry air, kg/m3. `dew_point` is None for air so dry that it has none
    above -100 degC.
    """

    temperature: float
    relative_humidity: float
    air_pressure: float
    ratio: float
    wet_bulb: float
    dew_point: float | None
    enthalpy: float
    density: float
    kernel_wet_bulb: float

    @property
    def wet_bulb_difference(self) -> float:
        """Kernel less PsychroLib [K]; worth a word to the reader when it exceeds 0.02 K."""
        return self.kernel_wet_bulb - self.wet_bulb


def moist_air_state(t: float, relative_humidity: float, air_pressure: float) -> MoistAirState:
    """A single state of moist air [`MoistAirState`], from PsychroLib, with this module's wet bulb to compare.

    t: K, 203.15-343.15; relative_humidity: 0-1; air_pressure: Pa. Scalars only, checked before the
    library sees them, for it answers some impossible states without complaint. Source: PsychroLib.
    """
    t = float(within("temperature", t, 203.15, 343.15, "K"))
    p = float(pressure_within(air_pressure))
    ratio = humidity_ratio(t, relative_humidity, p)
    kernel = float(wet_bulb(t, ratio, p))
    celsius, rh = t - ZERO_CELSIUS, float(relative_humidity)
    w = psychrolib.GetHumRatioFromRelHum(celsius, rh, p)
    wet = celsius if rh == 1 else psychrolib.GetTWetBulbFromHumRatio(celsius, w, p)
    dry = rh * saturation_pressure(t) < 1.01 * saturation_pressure(COLDEST)  # the library's lowest dew point
    dew = None if dry else psychrolib.GetTDewPointFromRelHum(celsius, rh) + ZERO_CELSIUS
    return MoistAirState(
        temperature=t,
        relative_humidity=rh,
        air_pressure=p,
        ratio=w,
        wet_bulb=wet + ZERO_CELSIUS,
        dew_point=dew,
        enthalpy=psychrolib.GetMoistAirEnthalpy(celsius, w),
        density=psychrolib.GetMoistAirDensity(celsius, w, p),
        kernel_wet_bulb=kernel,
    )


def relative_humidity_at_wet_bulb(t: float, wet_bulb: float, air_pressure: float) -> float:
    """Relative humidity [1] of air of a dry and a wet bulb, both in K; 0 where no air is so dry.

    t: K, 203.15-343.15; wet_bulb: K, at most t; air_pressure: Pa. Scalars only. Source: PsychroLib.
    """
    t = float(within("temperature", t, 203.15, 343.15, "K"))
    wet = float(within("wet_bulb", wet_bulb, 173.15, t, "K"))
    p = float(pressure_within(air_pressure))
    return float(psychrolib.GetRelHumFromTWetBulb(t - ZERO_CELSIUS, wet - ZERO_CELSIUS, p))
