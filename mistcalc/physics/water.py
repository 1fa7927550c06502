"""Liquid water in a tube: density, how it swells and yields, viscosity and vapour pressure by temperature.

Misting lines run from 1 to 100 bar. Pressure changes these properties by less than 0.5 % over that range
(water is 0.3 % denser at 70 bar), so they are functions of temperature alone, at 0.1 MPa.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from mistcalc.errors import RangeError
from mistcalc.physics.water_chemistry import MILLIGRAM, saturation_ph

LOW, HIGH = 253.15, 383.15  # K, range of the density and viscosity formulas (metastable below 273.15 K)

_GAS_CONSTANT = 461.51805  # J/(kg K)
_PRESSURE = 1e5  # Pa
_VOLUME_ALPHA = (  # (coefficient, exponent), in 10 K / (593 K - T)
    (6.74458446e3, 4),
    (-2.22521604e5, 5),
    (1.00231247e8, 7),
    (-1.63552118e9, 8),
    (8.32299658e9, 9),
)
_VOLUME_BETA = (  # (coefficient, exponent), in 10 K / (T - 232 K)
    (5.78545292e-3, 1),
    (-1.53195665e-2, 2),
    (3.11337859e-2, 3),
    (-4.23546241e-2, 4),
    (3.38713507e-2, 5),
    (-1.19946761e-2, 6),
)
_PRESSURE_ALPHA = (  # of the derivative of volume by pressure, as _VOLUME_ALPHA
    (-7.5245878e-6, 1),
    (-1.3767418e-2, 3),
    (1.0627293e1, 5),
    (-2.0457795e2, 6),
    (1.2037414e3, 7),
)
_PRESSURE_BETA = (
    (-3.1091470e-6, 1),
    (2.8964919e-5, 3),
    (-1.3112763e-4, 4),
    (3.0410453e-4, 5),
    (-3.9034594e-4, 6),
    (2.3403117e-4, 7),
    (-4.8510101e-5, 9),
)
_VISCOSITY = ((280.68, -1.9), (511.45, -7.7), (61.131, -19.6), (0.45903, -40.0))  # in T / 300 K

_CRITICAL_TEMPERATURE, _CRITICAL_PRESSURE, _TRIPLE_TEMPERATURE = 647.096, 22.064e6, 273.16
_SATURATION = (
    (-7.85951783, 1.0),
    (1.84408259, 1.5),
    (-11.7866497, 3.0),
    (22.6807411, 3.5),
    (-15.9618719, 4.0),
    (1.80122502, 7.5),
)


def _inside(temperature: ArrayLike, low: float, high: float) -> NDArray[np.float64]:
    t = np.asarray(temperature, dtype=float)
    bad = ~((t >= low) & (t <= high))  # also catches NaN
    if np.any(bad):
        raise RangeError("water temperature", float(t[bad].flat[0]), low, high, "K")
    return t


def density(temperature: ArrayLike) -> NDArray[np.float64]:
    """Density of liquid water at 0.1 MPa [kg/m3].

    Parameters: `temperature` [K], any shape, 253.15 to 383.15.
    Returns: kg/m3, same shape. Raises RangeError outside the range.
    Source: IAPWS SR6-08(2011), Revised Supplementary Release on Properties of Liquid Water at 0.1 MPa,
    eq. 2 and table 1 (Patek et al., J. Phys. Chem. Ref. Data 38, 2009).
    """
    return np.asarray(_PRESSURE / (_GAS_CONSTANT * 10.0 * _volume(_inside(temperature, LOW, HIGH))))


def expansion(temperature: ArrayLike) -> NDArray[np.float64]:
    """Thermal expansion of liquid water at 0.1 MPa: share its volume grows by per kelvin [1/K].

    Parameters: `temperature` [K], any shape, 253.15 to 383.15.
    Returns: 1/K, same shape; below 0 under 277.1 K. Raises RangeError outside the range.
    Pressure adds about 1 % per 30 bar at 300 K. Source: the derivative of IAPWS SR6-08(2011), eq. 2.
    """
    t = _inside(temperature, LOW, HIGH)
    alpha, beta = 10.0 / (593.0 - t), 10.0 / (t - 232.0)
    slope = sum(a * n * alpha ** (n + 1) for a, n in _VOLUME_ALPHA) / 10.0
    slope = slope - sum(b * m * beta ** (m + 1) for b, m in _VOLUME_BETA) / 10.0
    return np.asarray(slope / _volume(t))


def compressibility(temperature: ArrayLike) -> NDArray[np.float64]:
    """Isothermal compressibility of liquid water at 0.1 MPa: share its volume yields per pascal [1/Pa].

    Parameters: `temperature` [K], any shape, 253.15 to 383.15.
    Returns: 1/Pa, same shape. Raises RangeError outside the range.
    It falls by about 2 % at 70 bar. Source: IAPWS SR6-08(2011), eq. 3 and table 1.
    """
    t = _inside(temperature, LOW, HIGH)
    alpha, beta = 10.0 / (593.0 - t), 10.0 / (t - 232.0)
    by_pressure = sum(a * alpha**n for a, n in _PRESSURE_ALPHA) + sum(b * beta**m for b, m in _PRESSURE_BETA)
    return np.asarray(-by_pressure / (_PRESSURE * _volume(t)))


def _volume(t: NDArray[np.float64]) -> NDArray[np.float64]:
    """Specific volume over R 10 K / 0.1 MPa: eq. 2 of the release without its factor."""
    alpha, beta = 10.0 / (593.0 - t), 10.0 / (t - 232.0)
    terms = 1.93763157e-2 + sum(a * alpha**n for a, n in _VOLUME_ALPHA)
    return np.asarray(terms + sum(b * beta**m for b, m in _VOLUME_BETA))


def viscosity(temperature: ArrayLike) -> NDArray[np.float64]:
    """Dynamic viscosity of liquid water at 0.1 MPa [Pa s].

    Parameters: `temperature` [K], any shape, 253.15 to 383.15.
    Returns: Pa s, same shape. Raises RangeError outside the range.
    Source: IAPWS SR6-08(2011), eq. 7 and table 4 (1 % uncertainty).
    """
    t = _inside(temperature, LOW, HIGH) / 300.0
    return np.asarray(1e-6 * sum(a * t**b for a, b in _VISCOSITY))


def vapour_pressure(temperature: ArrayLike) -> NDArray[np.float64]:
    """Pressure at which liquid water boils [Pa absolute]: below it a pump's inlet cavitates.

    Parameters: `temperature` [K], any shape, 273.16 to 647.096.
    Returns: Pa absolute, same shape. Raises RangeError outside the range.
    Source: IAPWS SR1-86(1992), Revised Supplementary Release on Saturation Properties, eq. 1
    (Wagner and Pruss, J. Phys. Chem. Ref. Data 22, 1993).
    """
    t = _inside(temperature, _TRIPLE_TEMPERATURE, _CRITICAL_TEMPERATURE)
    tau = 1.0 - t / _CRITICAL_TEMPERATURE
    exponent = sum(a * tau**n for a, n in _SATURATION)
    return np.asarray(_CRITICAL_PRESSURE * np.exp(_CRITICAL_TEMPERATURE / t * exponent))


def langelier_index(
    ph: ArrayLike,
    dissolved_solids: ArrayLike,
    calcium_hardness: ArrayLike,
    alkalinity: ArrayLike,
    temperature: ArrayLike,
) -> NDArray[np.float64]:
    """Langelier's saturation index pH - pHs [1]: above 0 the water lays down scale, below it takes it up.

    ph: 1; dissolved_solids, calcium_hardness and alkalinity: mg/L as a water report prints them, the last two
    as CaCO3, each above 0; temperature: K, 273-373. Source: Langelier 1936; pHs by
    `water_chemistry.saturation_ph`.
    """
    report = (dissolved_solids, calcium_hardness, alkalinity)
    return np.asarray(ph, float) - saturation_ph(
        temperature, *(np.asarray(c, float) * MILLIGRAM for c in report)
    )


def ryznar_index(
    ph: ArrayLike,
    dissolved_solids: ArrayLike,
    calcium_hardness: ArrayLike,
    alkalinity: ArrayLike,
    temperature: ArrayLike,
) -> NDArray[np.float64]:
    """Ryznar's stability index 2 pHs - pH [1]: under 6 the water scales, over 7 it corrodes.

    Arguments as for `langelier_index`. Source: Ryznar, J. AWWA 36, 1944.
    """
    index = langelier_index(ph, dissolved_solids, calcium_hardness, alkalinity, temperature)
    return np.asarray(ph, float) - 2.0 * index
