"""What is dissolved in the water: whether it scales, and what it leaves behind.

Concentrations in kg/m3 (1 g/L); hardness, calcium and alkalinity as CaCO3. Temperatures K.
"""

from __future__ import annotations

from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from mistcalc.errors import RangeError
from mistcalc.physics.strength import Floats

HardnessClass = Literal["soft", "moderate", "hard", "very hard"]
# mg/L as CaCO3, upper ends: U.S. Geological Survey, after Durfor and Becker 1964
_CLASSES: tuple[tuple[float, HardnessClass], ...] = ((60.0, "soft"), (120.0, "moderate"), (180.0, "hard"))
MILLIGRAM = 1e-3  # kg/m3 in a mg/L


def hardness_class(hardness: float) -> HardnessClass:
    """Class of water by its `hardness` [kg/m3 as CaCO3]: soft to 60 mg/L, moderate to 120, hard to 180.

    RangeError below 0. Source: U.S. Geological Survey.
    """
    milligrams = _positive("hardness", hardness, least=0.0) / MILLIGRAM
    return next((name for most, name in _CLASSES if milligrams <= most * (1 + 1e-9)), "very hard")


def saturation_ph(
    temperature: ArrayLike, solids: ArrayLike, calcium: ArrayLike, alkalinity: ArrayLike
) -> Floats:
    """pH [1] at which this water neither drops nor takes up calcium carbonate.

    temperature: K, 273-373; solids: total dissolved, calcium and alkalinity as CaCO3 [kg/m3], each above 0.
    pHs = 9.3 + A + B - C - D, A = (log10 TDS - 1)/10, B = -13.12 log10 T + 34.55, C = log10 Ca - 0.4, D =
    log10 alkalinity, in mg/L. An index of tendency: it says nothing of how much, and it is rough by 0.2.
    Source: Carrier, Handbook of Air Conditioning System Design, 1965, part 5 (after Langelier 1936).
    """
    t = np.asarray(temperature, float)
    if not np.all((t >= 272.0) & (t <= 374.0)):
        raise RangeError("water temperature", float(t.flat[0]), 272.0, 374.0, "K")
    tds, ca, alk = (
        _positive(name, value) / MILLIGRAM
        for name, value in (("solids", solids), ("calcium", calcium), ("alkalinity", alkalinity))
    )
    # 273 and not 273.15: the constant of the published form
    temperature_term = -13.12 * np.log10(t - 0.15) + 34.55
    return 9.3 + (np.log10(tds) - 1.0) / 10.0 + temperature_term - (np.log10(ca) - 0.4) - np.log10(alk)


def mineral_rate(flow: ArrayLike, solids: ArrayLike) -> Floats:
    """Solids left behind [kg/s] when `flow` [m3/s] with `solids` [kg/m3] dries up. Source: a product."""
    return np.asarray(flow, float) * np.asarray(solids, float)


def _positive(name: str, value: ArrayLike, least: float = 1e-12) -> Floats:
    array = np.asarray(value, float)
    if not np.all(array >= least):
        raise RangeError(name, float(np.min(array)), least, np.inf, "kg/m3")
    return array
