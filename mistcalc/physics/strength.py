"""How much pressure a tube or a soldered joint may hold, cold or hot.

Metal tube by the pressure design equation of the piping code; plastic by its makers' habit, a share of the
burst stress, derated with heat. All pressures are gauge, Pa; temperatures K; sizes m.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from mistcalc.errors import MistcalcError, RangeError

Floats = NDArray[np.float64]

PSI = 6894.757293168  # Pa
INCH = 0.0254  # m


def _kelvin(fahrenheit: float) -> float:
    return (fahrenheit + 459.67) / 1.8


class Material(NamedTuple):
    """Allowable stress against temperature, and how a tube's size may stray from what is printed on it."""

    stress: tuple[tuple[float, float], ...]  # (K, Pa), straight between points; constant below the first
    family: str  # "stainless" | "copper" | "plastic"


def _points(*pairs: tuple[float, float]) -> tuple[tuple[float, float], ...]:
    return tuple((_kelvin(f), psi * PSI) for f, psi in pairs)


# Stainless: 20,000 psi to 300 degF, ASME B31.3 table A-1 for 304 and 316 seamless.
# Copper: Copper Tube Handbook (Copper Development Association), table 3c.
# PVC: hydrostatic design stress 2,000 psi of ASTM D1785, with the temperature factors usually printed with
# it. PE-X: hydrostatic design stress of ASTM F876. Nylon 12: burst hoop stress 22 MPa over 4, with the
# temperature factors of DIN 73378. The plastics are typed from memory: the tube's own maker rules.
MATERIALS: dict[tuple[str, str], Material] = {
    ("stainless 304", ""): Material(_points((100, 20000), (300, 20000)), "stainless"),
    ("stainless 316", ""): Material(_points((100, 20000), (300, 20000)), "stainless"),
    ("copper", "annealed"): Material(_points((100, 6000), (150, 5100), (200, 4900)), "copper"),
    ("copper", "drawn"): Material(_points((100, 10300), (250, 10300)), "copper"),
    ("pvc", ""): Material(
        _points(
            (73, 2000), (80, 1760), (90, 1500), (100, 1240), (110, 1020), (120, 800), (130, 620), (140, 440)
        ),
        "plastic",
    ),
    ("pex", ""): Material(_points((73.4, 630), (180, 400), (200, 315)), "plastic"),
    ("nylon", ""): Material(
        _points((68, 800), (86, 664), (104, 576), (122, 512), (140, 456), (158, 416), (176, 376)), "plastic"
    ),
}

# ASTM B88 and B280, least wall of copper tube: (wall, tolerance) in inches. Any other wall: 10 %.
_COPPER_WALL = ((0.025, 0.002), (0.028, 0.003), (0.030, 0.003), (0.032, 0.003), (0.035, 0.0035))

# 95-5 tin-antimony soldered joints up to 1 in tube: the older ASME B16.22 / ASHRAE table, which is stricter
# than the current Copper Tube Handbook (1,090, 625, 505 psi at the same temperatures).
SOLDER_95_5 = _points((100, 500), (150, 400), (200, 300))


def materials() -> tuple[str, ...]:
    """Names `rated_gauge` knows [text]. Source: the keys of MATERIALS, where their stresses are."""
    return tuple(dict.fromkeys(name for name, _ in MATERIALS))


def rated_gauge(
    material: str,
    outside_diameter: ArrayLike,
    wall: ArrayLike,
    temperature: ArrayLike,
    temper: str | None = None,
) -> Floats:
    """Highest working pressure of a tube at its temperature, mill tolerance taken off [Pa gauge].

    Parameters
    ----------
    material : one of `materials()`: "stainless 304", "stainless 316", "copper", "pvc", "pex", "nylon".
    outside_diameter, wall : nominal, m; the wall less than half the diameter.
    temperature : of the tube, K; above the highest of the material's table there is no rating: a metal
        raises RangeError, a plastic is worth 0 (it must not be used there).
    temper : copper only, "annealed" or "drawn"; None is annealed, which also holds for drawn tube that
        has been brazed (Copper Tube Handbook, note to table 3).

    P = 2 S E t / (D - 2 Y t), E = 1 (seamless), t and D at the worst of their tolerances; Y = 0.4, and
    d / (D + d) from t = D/6 up. Raises MistcalcError for a material, temper or size that is not one.
    Source: ASME B31.3, 304.1.2 eq. 3a and 304.1.1; stresses at MATERIALS.
    """
    properties = _material(material, temper)
    outside, nominal = np.asarray(outside_diameter, float), np.asarray(wall, float)
    if not np.all((nominal > 0.0) & (2.0 * nominal < outside)):
        raise MistcalcError("tube-size", outside=outside.tolist(), wall=nominal.tolist())
    thinnest, widest = _worst_size(properties.family, temper, outside, nominal)
    bore = widest - 2.0 * thinnest
    y = np.where(thinnest < widest / 6.0, 0.4, bore / (widest + bore))
    return 2.0 * _stress(material, properties, temperature) * thinnest / (widest - 2.0 * y * thinnest)


def strength_left(material: str, temperature: ArrayLike, temper: str | None = None) -> Floats:
    """Share of a tube's cold strength that is left at `temperature` [1]: its allowable stress over that at
    the first temperature of its table.

    For a working pressure its maker prints, which holds cold. Arguments and errors as for `rated_gauge`.
    Source: the stresses at MATERIALS.
    """
    properties = _material(material, temper)
    return _stress(material, properties, temperature) / properties.stress[0][1]


def soldered_joint_gauge(temperature: ArrayLike) -> Floats:
    """Highest working pressure of a 95-5 tin-antimony soldered joint in tube up to 1 in [Pa gauge].

    `temperature` in K, up to 366.5 (200 degF); RangeError above. Source: see SOLDER_95_5.
    """
    kelvin, pascal = zip(*SOLDER_95_5, strict=True)
    t = np.asarray(temperature, float)
    if not np.all(t <= kelvin[-1] + 1e-6):
        raise RangeError("joint temperature", float(np.max(t)), 0.0, kelvin[-1], "K")
    return np.interp(t, kelvin, pascal)


def _material(material: str, temper: str | None) -> Material:
    if material not in materials():
        raise MistcalcError("unknown-material", material=material, known=materials())
    if material != "copper":
        return MATERIALS[material, ""]
    try:
        return MATERIALS[material, temper or "annealed"]
    except KeyError:
        raise MistcalcError("unknown-temper", temper=temper, known=("annealed", "drawn")) from None


def _stress(name: str, material: Material, temperature: ArrayLike) -> Floats:
    kelvin, pascal = zip(*material.stress, strict=True)
    t = np.asarray(temperature, float)
    within = t <= kelvin[-1] + 1e-6  # a table's own last temperature, typed in degF, is inside
    if not np.all(np.isfinite(t)) or (material.family != "plastic" and not np.all(within)):
        raise RangeError(f"temperature of {name} tube", float(np.max(t)), 0.0, kelvin[-1], "K")
    return np.where(within, np.interp(t, kelvin, pascal), 0.0)


def _worst_size(family: str, temper: str | None, outside: Floats, wall: Floats) -> tuple[Floats, Floats]:
    """Thinnest wall and widest outside diameter that may be delivered under the nominal size.

    Stainless: ASTM A269 (wall -15 % below 1/2 in OD, -10 % from there; OD +0.005 in). Copper: ASTM B88 and
    B280. Plastic: wall -10 %, OD +0.005 in, common practice, no source.
    """
    half_inch = 0.5 * INCH - 1e-6
    if family == "stainless":
        return wall * np.where(outside < half_inch, 0.85, 0.90), outside + 0.005 * INCH
    if family == "plastic":
        return wall * 0.90, outside + 0.005 * INCH
    tolerance = 0.10 * wall
    for nominal, minus in _COPPER_WALL:
        tolerance = np.where(np.abs(wall - nominal * INCH) < 2e-6, minus * INCH, tolerance)
    plus = 0.001 if temper == "drawn" else np.where(outside < half_inch, 0.002, 0.0025)
    return wall - tolerance, outside + plus * INCH
