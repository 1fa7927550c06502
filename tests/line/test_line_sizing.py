"""Pump, motor, amperes, rating and hand checks against tables and worked figures."""

import numpy as np
import pytest

from mistcalc.line import even_flow
from mistcalc.line.network.supply_curve import mains_curve
from mistcalc.line.sizing import motor, pump_sizing, tube_loads
from mistcalc.model.project import Tube

PSI, GPM, INCH, HP = 6894.757293168, 3.785411784e-3 / 60, 0.0254, 745.699872


@pytest.mark.parametrize(("gpm", "horsepower"), [(0.5, 0.5), (1.0, 1.0), (1.5, 1.5), (2.0, 2.0)])
def test_motor_of_the_usual_pumps_at_1000_psi(gpm, horsepower):
    shaft = pump_sizing.shaft_power(1000 * PSI, gpm * GPM)  # common practice, no source: 1/2, 1, 1-1/2, 2 hp
    assert motor.pick_motor(shaft) / HP == pytest.approx(horsepower)
    assert motor.pick_motor(shaft, "IEC") >= 1.15 * shaft


# NEC (NFPA 70) table 430.248, single-phase: hp, 115 V, 230 V
@pytest.mark.parametrize(
    ("hp", "at_115", "at_230"),
    [
        (1 / 6, 4.4, 2.2),
        (1 / 4, 5.8, 2.9),
        (1 / 3, 7.2, 3.6),
        (1 / 2, 9.8, 4.9),
        (3 / 4, 13.8, 6.9),
        (1, 16, 8.0),
        (1.5, 20, 10),
        (2, 24, 12),
        (3, 34, 17),
    ],
)
def test_full_load_amps_of_the_code_table(hp, at_115, at_230):
    for volts, amps in ((115, at_115), (120, at_115), (230, at_230), (240, at_230)):
        assert motor.full_load_amps(hp * HP, volts) == amps


def test_motors_between_and_beyond_the_table():
    assert motor.full_load_amps(750.0, 230) == 8.0  # an IEC 0.75 kW is sold as 1 hp
    assert motor.full_load_amps(550.0, 230) == 6.9  # next size up
    assert motor.full_load_amps(20 * HP, 230) is None
    assert motor.pick_motor(20 * HP) is None
    assert motor.pick_volts(1.0 * HP) == 115 and motor.pick_volts(1.5 * HP) == 230


def test_pump_ladder_leaves_a_tenth():
    # 34 nozzles of 0.029 gpm take 0.986 gpm: more than 90 % of 1 gpm
    assert pump_sizing.pick_pump(34 * 0.029 * GPM) / GPM == pytest.approx(1.5)
    assert pump_sizing.pick_pump(31 * 0.029 * GPM) / GPM == pytest.approx(1.0)
    assert pump_sizing.pick_pump(0.0) / GPM == pytest.approx(0.3)
    assert pump_sizing.pick_pump(9.5 * GPM) is None


def tube(material, joints, temper=None, wall=0.032):
    return Tube(material, 0.375 * INCH, wall * INCH, 3.0, 0.0, joints, temper)


def test_joints_govern_the_tube():
    hot = (150 + 459.67) / 1.8
    # at 150 degF: 3/8 OD x .032 annealed 836 psi (Copper Tube Handbook), 95-5 solder 400 psi (older B16.22)
    assert tube_loads.tube_rating(tube("copper", "compression"), hot) / PSI == pytest.approx(836, abs=1)
    drawn = tube_loads.tube_rating(tube("copper", "compression", "drawn"), hot)
    assert drawn / PSI > 1400
    assert tube_loads.tube_rating(tube("copper", "brazed", "drawn"), hot) / PSI == pytest.approx(836, abs=1)
    assert tube_loads.tube_rating(tube("copper", "Soldered 95-5", "drawn"), hot) / PSI == pytest.approx(
        400, rel=1e-6
    )
    assert tube_loads.tube_rating(tube("stainless 304", "compression", wall=0.035), hot) / PSI > 3000


def test_uniformity_of_the_published_example():
    # Catch cans of a sprinkler test (irrigation text): CU 69.13955 %
    cans = [47, 42, 45, 24, 13, 26, 33, 34, 27, 30, 40, 44, 32, 12, 12]
    spread, cu, du = even_flow.uniformity(cans)
    assert cu == pytest.approx(0.6913955, abs=1e-7)
    assert spread == pytest.approx(1 - 12 / 47)
    assert du == pytest.approx(
        np.mean([12, 12, 13, 24]) / np.mean(cans)
    )  # the lowest quarter of 15 is 4 cans
    assert even_flow.uniformity([]) == even_flow.uniformity([0.0, 0.0]) == (0.0, 1.0, 1.0)


def test_inlet_after_main_filter_and_feed():
    mains = mains_curve(60 * PSI, 48 * PSI, 3 * GPM)
    clean = pump_sizing.inlet_gauge(mains, 3 * GPM, 2 * PSI)
    assert clean / PSI == pytest.approx(46.0)
    # common practice, no source: a used cartridge loses 5 psi at 2 gpm, in proportion to flow
    filtered = pump_sizing.inlet_gauge(pump_sizing.through_filter(mains), 3 * GPM, 2 * PSI)
    assert filtered / PSI == pytest.approx(46.0 - 7.5)


def test_hand_check_is_a_plain_sum_of_segments():
    # 20 outlets, friction nearly as flow to 1.75: the factor against adding the 20 pieces up
    from mistcalc.physics import pipe

    each, spacing, bore, density, viscosity = 1e-5, 0.6, 6e-3, 997.0, 9e-4
    nozzle = pipe.fitting("nozzle")

    def pieces(first, last):
        flow = each * np.arange(first, last + 1)
        return pipe.pressure_loss(
            flow,
            spacing,
            bore,
            density=density,
            viscosity=viscosity,
            minor_k=nozzle.k,
            minor_laminar=nozzle.laminar,
        ).sum()

    dead_end = even_flow.hand_check(20 * each, 20, spacing, 0.0, bore, density, viscosity)
    assert dead_end == pytest.approx(pieces(1, 20), rel=0.03)  # the exponent is taken at the inlet alone
    passing_on = even_flow.hand_check(20 * each, 8, spacing, 12 * each, bore, density, viscosity)
    assert passing_on == pytest.approx(pieces(13, 20), rel=0.03)
    assert even_flow.hand_check(each, 0, spacing, 0.0, bore, density, viscosity) == 0.0
