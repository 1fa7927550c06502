"""Nozzle flow, drop size and exit speed against tables and correlations; a source beside each."""

import numpy as np
import pytest

from mistcalc.physics import nozzle


def test_bre_low_pressure_flow():
    """BRE spray tests (NIST's database of fire experiments), nozzle A, rated at the table's mean flow over
    the square root of pressure, 0.357 at 1 bar: 10 % as measured (2 bar +9 %, 5 bar -6 %, the others 2 %)."""
    bar = np.array([1, 2, 3, 4, 5, 6, 7, 8])
    litre_minute = np.array([0.35, 0.55, 0.625, 0.70, 0.75, 0.875, 0.95, 1.0])
    assert nozzle.flow(bar * 1e5, 0.357, 1e5) == pytest.approx(litre_minute, rel=0.10)


def test_bre_low_pressure_drop_size():
    """The same nozzle's Dv50, carried from 4 bar: 30 %, as the readings scatter (2 to 7 bar; at 1 bar the
    sheet had not opened, at 8 bar the reading turns back up)."""
    bar = np.array([3, 4, 5, 6, 7])
    micron = np.array([110, 104, 102, 102, 93])
    assert nozzle.diameter_at(bar * 1e5, 104e-6, 4e5) * 1e6 == pytest.approx(micron, rel=0.30)


def test_vtt_exit_speed_and_flow():
    """VTT, one water-mist nozzle (NIST's database): 20 bar, 60 m/s stated; k 4.09e-6 kg/(s Pa^0.5) gives the
    0.347 L/min. 2 %: figures rounded to that."""
    assert nozzle.exit_speed(20e5) == pytest.approx(60, rel=0.02)
    assert nozzle.flow(20e5, 4.09e-6 * 1e5**0.5, 1e5) * 60 / 0.998 == pytest.approx(0.347, rel=0.02)


def test_trade_table_is_no_fixed_discharge_coefficient():
    """Common practice, no source: orifices of 0.006-0.020 in at 1,000 psi. Read as Cd they fall from 0.36 to
    0.14, which is why flow is never computed from an orifice."""
    inch = np.array([0.006, 0.008, 0.012, 0.016, 0.020])
    gpm = np.array([0.0122, 0.0208, 0.0290, 0.0398, 0.0543])
    ideal = np.pi / 4 * (inch * 0.0254) ** 2 * nozzle.exit_speed(6.895e6, coefficient=1.0)
    implied = gpm * 3.785412e-3 / 60 / ideal
    assert implied[0] == pytest.approx(0.36, rel=0.10)
    assert implied[-1] == pytest.approx(0.14, rel=0.10)
    assert np.all(np.diff(implied) < 0)


def test_lefebvre_1987():
    """The formula as recalled, by hand: 7 MPa, 1 g/s, water 20 degC, air 1.2 kg/m3: 13.35 um."""
    assert nozzle.swirl_sauter_diameter(1e-3, 7e6) == pytest.approx(13.35e-6, rel=1e-3)


@pytest.mark.parametrize(("metre", "pascal", "micron"), [(0.2e-3, 7e6, 26), (0.5e-3, 5e6, 54)])
def test_fan_spray_asme_111_342(metre, pascal, micron):
    """The abstract's formula worked by hand, to the whole micrometre (2 %)."""
    assert nozzle.fan_sauter_diameter(metre, pascal) * 1e6 == pytest.approx(micron, rel=0.02)


@pytest.mark.parametrize(("spread", "ratio"), [(2.1, 0.703), (2.875, 0.823), (3.67, 0.879)])
def test_sauter_over_median(spread, ratio):
    """Lefebvre 1989 ch. 3, Rosin-Rammler identity; three printed digits."""
    assert nozzle.sauter_over_median(spread) == pytest.approx(ratio, abs=1e-3)
