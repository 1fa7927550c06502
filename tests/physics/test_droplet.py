"""One drop: limits, balances, a second method, scalar and array alike."""

import numpy as np
import pytest

from mistcalc.errors import RangeError
from mistcalc.physics import air, droplet
from tests.properties import PropsSI

P = 101325.0


def test_saturated_air_leaves_the_drop_alone():
    for t in (278.15, 300.0, 318.15):
        w = air.saturated_ratio(t, P)
        assert droplet.area_shrink_rate(40e-6, t, w, P, speed=3.0) == pytest.approx(0, abs=1e-15)
        assert droplet.wet_temperature(t, w, P) == pytest.approx(t, abs=1e-3)


def test_drop_is_cooler_than_the_wet_bulb_by_up_to_a_kelvin_and_a_half():
    t = np.linspace(290, 318, 8)
    w = air.humidity_ratio(t, 0.1, P)
    gap = air.wet_bulb(t, w, P) - droplet.wet_temperature(t, w, P)
    assert np.all((gap > 0.5) & (gap < 1.5))


def test_heat_arriving_feeds_the_vapour():
    """At speed 0: conduction with blowing against latent heat, both sides written out here."""
    t, w = 313.15, float(air.humidity_ratio(313.15, 0.15, P))
    d = 40e-6
    drop = droplet.wet_temperature(t, w, P)
    film = drop + (t - drop) / 3
    latent = air.latent_heat(drop)
    flow = np.pi / 4 * d * droplet.water_density(drop) * droplet.area_shrink_rate(d, t, w, P)
    phi = flow * air.CP_VAPOUR / (2 * np.pi * d * droplet.conductivity(film))
    heat = 2 * np.pi * d * droplet.conductivity(film) * (t - drop) * phi / np.expm1(phi)
    assert heat == pytest.approx(flow * latent, rel=1e-6)


def test_steps_enough():
    """The balance of heat and vapour holds to 1e-6 K over the whole range: mass side against heat side."""
    t, rh, d, v = np.meshgrid([240, 270, 300, 333], [0, 0.3, 0.9], [1e-6, 40e-6, 2e-3], [0, 1, 60])
    w = air.humidity_ratio(t, rh, 60e3)
    drop = droplet.wet_temperature(t, w, 60e3, d, v)
    film = drop + (t - drop) / 3
    surface = air.saturated_ratio(drop, 60e3, "water")
    surface = surface / (1 + surface)
    share = surface + (w / (1 + w) - surface) / 3
    nusselt = 2 + 0.6 * np.sqrt(v * d * air.density(t, w, 60e3) / droplet.viscosity(film)) * np.cbrt(
        droplet.viscosity(film) * (1006 + 854 * share) / droplet.conductivity(film)
    )
    heat = nusselt * droplet.conductivity(film) / 1860 * np.log1p(1860 * (t - drop) / air.latent_heat(drop))
    mass = droplet.area_shrink_rate(d, t, w, 60e3, v) * droplet.water_density(drop) / 4
    assert np.abs(mass - heat).max() < 1e-6 * np.abs(heat).max()


def test_terminal_speed_limits():
    """Stokes below 30 um (1 %), and drag equal to weight at any size."""
    d = np.array([1e-6, 5e-6, 20e-6])
    rho, mu = air.density(300, 0.01, P), droplet.viscosity(300)
    stokes = (droplet.water_density(300) - rho) * droplet.GRAVITY * d**2 / (18 * mu)
    assert droplet.terminal_speed(d, 300, 0.01, P) == pytest.approx(stokes, rel=0.01)
    d = np.geomspace(1e-6, 2e-3, 30)
    v = droplet.terminal_speed(d, 300, 0.01, P)
    drag = droplet.drag_coefficient(rho * v * d / mu) * np.pi / 8 * rho * v**2 * d**2
    weight = (droplet.water_density(300) - rho) * droplet.GRAVITY * np.pi / 6 * d**3
    assert drag == pytest.approx(weight, rel=1e-6)


def test_settling_without_iterating():
    """The explicit fit the plume uses against the solved balance: 0.5 % from 1 um to 2 mm."""
    d = np.geomspace(1e-6, 2e-3, 200)
    rho, mu = air.density(310, 0.01, P), droplet.viscosity(310)
    weight = (droplet.water_density(310) - rho) * rho * droplet.GRAVITY * d**3 / (18 * mu**2)
    fast = droplet.settling_reynolds(weight) * mu / (rho * d)
    assert fast == pytest.approx(droplet.terminal_speed(d, 310, 0.01, P), rel=5e-3)


def test_properties_against_coolprop():
    """Dry air and liquid water by a general-purpose library: 1 % (diffusivity it does not know)."""
    for t in (278.15, 300.0, 320.0):
        assert droplet.conductivity(t) == pytest.approx(PropsSI("L", "T", t, "P", P, "Air"), rel=0.01)
        assert droplet.viscosity(t) == pytest.approx(PropsSI("V", "T", t, "P", P, "Air"), rel=0.01)
        assert droplet.water_density(t) == pytest.approx(PropsSI("D", "T", t, "P", P, "Water"), rel=1e-3)


@pytest.mark.thorough
def test_fall_settles_and_converges():
    """A heavy drop in saturated air reaches terminal speed; halving the steps moves nothing by 0.5 %."""
    t = 298.15
    still = droplet.fall(300e-6, t, air.saturated_ratio(t, P), P, duration=20)
    assert still.speed[-1] == pytest.approx(
        droplet.terminal_speed(300e-6, t, air.saturated_ratio(t, P), P), rel=1e-4
    )
    assert still.diameter[-1] == pytest.approx(300e-6, rel=1e-6)
    w = air.humidity_ratio(t, 0.3, P)
    fine, coarse = (droplet.fall([20e-6, 100e-6], t, w, P, steps=n) for n in (400, 100))
    assert coarse.distance[:, -1] == pytest.approx(fine.distance[:, -1], rel=5e-3)
    assert coarse.time[:, -1] == pytest.approx(fine.time[:, -1], rel=5e-3)
    assert np.all(fine.diameter[:, -1] == 0)
    assert np.all(np.diff(fine.distance, axis=-1) >= 0)


def test_scalar_and_array_agree():
    d, t = np.array([[10e-6], [200e-6]]), np.array([265.0, 300.0, 318.0])
    w = air.humidity_ratio(t, 0.3, P)
    rate, speed = droplet.area_shrink_rate(d, t, w, P, 1.0), droplet.terminal_speed(d, t, w, P)
    for i in range(2):
        for j in range(3):
            one = (t[j], w[j], P)
            assert droplet.area_shrink_rate(d[i, 0], *one, 1.0) == pytest.approx(rate[i, j], rel=1e-12)
            assert droplet.terminal_speed(d[i, 0], *one) == pytest.approx(speed[i, j], rel=1e-12)
    assert droplet.fall(d, t, w, P, steps=5).time.shape == (2, 3, 11)


def test_no_answer_is_refused():
    for call in (
        lambda: droplet.area_shrink_rate(-1e-6, 300, 0.01, P),
        lambda: droplet.area_shrink_rate(40e-6, 400, 0.01, P),
        lambda: droplet.terminal_speed(np.nan, 300, 0.01, P),
        lambda: droplet.wet_temperature(300, 0.01, P, speed=-1),
    ):
        with pytest.raises(RangeError):
            call()
