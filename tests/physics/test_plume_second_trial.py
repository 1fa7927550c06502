"""The plume against an independent trial of the same equations, written by other hands before this code.

Not a measurement: it guards against mistakes of programming, not of physics. Its conditions: 101,325 Pa,
spread 2.5, supply 30 degC, profile factor 1, spacing 24 in, nozzle 3 m up, wind square to the line;
neighbors do not lift each other in it (`lift` 0). Figures
were printed to 1 % of the injected water, 0.1 K and 0.1 m; tolerance 1.5 times that where both round, and
2 % of the water where the trial's drying constant (1.03) differs most from ours (1.03-1.05).
"""

import numpy as np
import pytest

from mistcalc.physics import air, plume

WINDS = np.array([0.0, 0.5, 1.0, 2.0])


def _spray(celsius, rh, litre_hour, micron, bar):
    t = celsius + 273.15
    return plume.spray_plume(
        t, air.humidity_ratio(t, rh, 101325), 101325, wind=WINDS, flow=litre_hour / 3.6e6, gauge=bar * 1e5,
        median_diameter=micron * 1e-6, spread=2.5, water_temperature=303.15, height=3, spacing=0.6096,
        lift=0.0,
    )  # fmt: skip


def test_desert_afternoon():
    one = _spray(40, 0.15, 6.6, 27, 70)
    assert one.liquid_at(1.5) * 100 == pytest.approx([35, 5, 0, 0], abs=2)
    assert one.temperature_at(1.5) - 273.15 == pytest.approx([25.8, 32.1, 35.3, 37.5], abs=0.15)
    assert one.drift_at(1.5) == pytest.approx([0, 0.7, 2.1, 6.4], abs=0.15)


def test_humid_afternoon():
    one = _spray(33, 0.6, 6.6, 27, 70)
    assert one.liquid_at(1.5) * 100 == pytest.approx([74, 43, 22, 7], abs=2)
    assert one.temperature_at(1.5) - 273.15 == pytest.approx([27.3, 28.3, 29.4, 30.7], abs=0.15)


def test_mains_pressure_nozzle():
    one = _spray(40, 0.15, 3.6, 110, 4)
    assert one.liquid_at(1.5) * 100 == pytest.approx([70, 44, 35, 30], abs=2)
    assert one.landed * 100 == pytest.approx([47, 19, 14, 11], abs=2)
