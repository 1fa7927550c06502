"""Friction, fittings and multiple outlets against handbooks and an independent library."""

import fluids.friction
import numpy as np
import pytest

from mistcalc.errors import MistcalcError, RangeError
from mistcalc.physics import pipe, water

FOOT, INCH, GALLON, PSI = 0.3048, 0.0254, 3.785411784e-3, 6894.757293168
GPM = GALLON / 60


def test_churchill_1977_at_the_values_of_fluids():
    # Churchill (1977) at Re 1e5: 0.018462625 for e/D 1e-4 (`fluids` docstring example, 9 figures).
    assert pipe.friction_factor(1e5, 1e-4) == pytest.approx(0.018462625, rel=1e-7)
    # Colebrook: 0.018513866 rough, 0.017989773 smooth (`fluids` tests). Explicit laws are stated to be
    # within about 1 % of Colebrook there.
    for law in ("churchill", "swamee-jain-cubic"):
        assert pipe.friction_factor(1e5, 1e-4, law) == pytest.approx(0.018513866, rel=0.01)
        assert pipe.friction_factor(1e5, 0.0, law) == pytest.approx(0.017989773, rel=0.01)
        assert pipe.friction_factor(128.0, 0.0, law) == pytest.approx(0.5, rel=1e-9)  # 64/Re


def test_both_laws_against_an_independent_library():
    re = np.geomspace(4001.0, 1e8, 60)
    for rough in (0.0, 1e-5, 2e-4, 5e-3, 0.05):
        churchill = [fluids.friction.Churchill_1977(r, rough) for r in re]
        np.testing.assert_allclose(pipe.friction_factor(re, rough), churchill, rtol=1e-9)
        swamee = [fluids.friction.Swamee_Jain_1976(r, rough) for r in re]
        # that library uses 6.97 / Re (inside a 0.9th power) and 3.7 where the engine writes 5.74: the two
        # roundings of one equation
        np.testing.assert_allclose(pipe.friction_factor(re, rough, "swamee-jain-cubic"), swamee, rtol=2e-3)


def test_white_example_of_oil_in_a_cast_pipe():
    # White, Fluid Mechanics (example on head loss, from memory): oil, 200 mm, e/D 0.0013, 0.2 m3/s,
    # nu 1e-5 m2/s, 500 m of pipe: f 0.0227, head loss 117 m. The book's f is Colebrook's; Churchill's is
    # within 1 % of it. With the book's own f the head loss must agree to the rounding of 117, 0.5 %.
    f = pipe.friction_factor(pipe.reynolds(0.2, 0.2, 1e-5), 0.0013)
    assert f == pytest.approx(0.0227, rel=0.01)
    loss = pipe.pressure_loss(0.2, 500.0, 0.2, 0.0013 * 0.2, density=900.0, viscosity=900.0 * 1e-5)
    assert pipe.head_loss(loss, 900.0, 9.81) * 0.0227 / f == pytest.approx(117.0, rel=0.005)


def test_crane_example_7_15_pump_head_and_power():
    # Crane TP-410 example 7.15: water at 70 degF (62.298 lb/ft3, 0.95 cP), 100 gpm through 500 ft of 3 in
    # schedule 40 (bore 3.068 in, roughness 0.0022 in), lift 400 ft, four elbows K 0.516, gate valve 0.138,
    # lift check 25.20, exit 1: 421 ft of head and 15.2 hp at 0.70 efficiency in the book; 420.3 ft and
    # 15.15 hp worked with more figures. 0.3 % is the rounding of the book's own figures.
    density = 62.298 * 0.45359237 / FOOT**3
    loss = pipe.pressure_loss(
        100 * GPM,
        500 * FOOT,
        3.068 * INCH,
        0.0022 * INCH,
        density=density,
        viscosity=0.95e-3,
        minor_k=4 * 0.516 + 0.138 + 25.20 + 1.0,
    )
    head = 400 * FOOT + pipe.head_loss(loss, density)
    assert head / FOOT == pytest.approx(420.3, rel=3e-3)
    power = density * pipe.GRAVITY * head * 100 * GPM / 0.70
    assert power / 745.699872 == pytest.approx(15.15, rel=3e-3)


@pytest.mark.parametrize(("gpm", "psi"), [(1, 1.20), (2, 4.33), (4, 15.67)])
def test_copper_tube_against_irrigation_tables(gpm, psi):
    # Type K 1/2 in copper, bore 0.527 in, psi per 100 ft: irrigation friction tables. They follow
    # Hazen-Williams, whose slope does not fit smooth small bores: Darcy-Weisbach at 60 degF is within 15 %.
    t = (60 + 459.67) / 1.8
    loss = pipe.pressure_loss(
        gpm * GPM, 100 * FOOT, 0.527 * INCH, density=water.density(t), viscosity=water.viscosity(t)
    )
    assert loss / PSI == pytest.approx(psi, rel=0.15)


@pytest.mark.parametrize(("outlets", "expected"), [(2, 0.639), (10, 0.402), (40, 0.363)])
def test_christiansen_factor_of_the_published_table(outlets, expected):
    # Christiansen's F for m = 1.852, first outlet one spacing in (Keller and Bliesner, table 8.7): 3 figures.
    assert pipe.multi_outlet_factor(outlets, 1.852) == pytest.approx(expected, abs=1e-3)


def test_christiansen_factor_against_the_sum_it_stands_for():
    for exponent in (1.75, 1.852, 2.0):
        for n in (2, 3, 7, 40, 400):
            exact = sum((k / n) ** exponent for k in range(1, n + 1)) / n
            # Euler-Maclaurin: the closed form is out by (m/12 - sqrt(m-1)/6)/N^2 <= 0.0015/N^2 and by the
            # dropped constant zeta(-m)/N^(m+1), < 0.008/N^2.75
            assert pipe.multi_outlet_factor(n, exponent) == pytest.approx(exact, abs=0.005 / n**2)
    assert pipe.multi_outlet_factor(1, 1.852) == 1.0  # one outlet: all the water goes to the end


def test_fittings_of_the_handbook_table_and_none_is_free():
    # Screwed fittings: tee run 0.9, tee branch 2.0, 90 degree elbow 1.5, open ball valve 0.05 (Munson et al.,
    # table 8.2).
    for kind, k in (("tee run", 0.9), ("tee branch", 2.0), ("elbow", 1.5), ("ball valve", 0.05)):
        assert pipe.fitting(kind).k == k
    assert all(f.k > 0 and f.laminar > 0 for f in pipe.FITTINGS.values())
    with pytest.raises(MistcalcError, match="unknown-fitting"):
        pipe.fitting("gizmo")


def test_slow_flow_is_poiseuille_and_still_water_has_its_slope():
    law = pipe.tube_law(2.0, 0.004, 1.5e-6, 998.0, 1e-3)
    exact = 128 * 1e-3 * 2.0 / (np.pi * 0.004**4)
    loss, slope = pipe.loss_and_slope(law, np.array([0.0, 1e-9, -1e-9]))
    np.testing.assert_allclose(loss, exact * np.array([0.0, 1e-9, -1e-9]), rtol=1e-9)
    np.testing.assert_allclose(slope, exact, rtol=1e-9)


@pytest.mark.parametrize("friction", ["churchill", "swamee-jain-cubic"])
@pytest.mark.parametrize("rough", [0.0, 2e-4, 0.02, 0.05])
def test_loss_rises_with_flow_everywhere_and_its_slope_is_its_derivative(friction, rough):
    bore = 0.006
    law = pipe.tube_law(3.0, bore, rough * bore, 998.0, 1e-3, 0.9, 200.0, friction)
    flow = np.geomspace(1.0, 2e5, 40001) / law.reynolds_per_flow
    loss, slope = pipe.loss_and_slope(law, flow)
    assert np.all(np.diff(loss) > 0) and np.all(slope > 0)
    step = flow * 1e-6
    # central difference of a function whose values carry 1e-16: good to about 1e-8 where smooth; the
    # published cubic's rounded constants leave a step of 1e-6 at Re 4000
    measured = (pipe.loss_and_slope(law, flow + step)[0] - pipe.loss_and_slope(law, flow - step)[0]) / (
        2 * step
    )
    joint = np.minimum(
        abs(flow * law.reynolds_per_flow / 2000 - 1), abs(flow * law.reynolds_per_flow / 4000 - 1)
    )
    smooth = joint > 1e-4
    np.testing.assert_allclose(slope[smooth], measured[smooth], rtol=1e-6)
    np.testing.assert_array_equal(pipe.loss_and_slope(law, -flow)[0], -loss)


def test_the_cubic_joins_without_a_step():
    for rough in (0.0, 1e-3, 0.05):
        for joint in (2000.0, 4000.0):
            below, above = pipe.friction_factor(
                [joint * (1 - 1e-9), joint * (1 + 1e-9)], rough, "swamee-jain-cubic"
            )
            assert below == pytest.approx(above, rel=1e-6)


def test_what_is_out_of_range_is_named():
    for bad in (-1.0, np.nan):
        with pytest.raises(RangeError):
            pipe.friction_factor(bad, 0.0)
    with pytest.raises(RangeError):
        pipe.friction_factor(1e5, 0.2)
    with pytest.raises(RangeError):
        pipe.multi_outlet_factor(0)
    with pytest.raises(MistcalcError, match="unknown-friction-law"):
        pipe.friction_factor(1e5, 0.0, "guess")
