"""The spray plume: conservation, limits, convergence, sense, hostile input."""

import numpy as np
import pytest

from mistcalc.errors import RangeError
from mistcalc.physics import air, droplet, plume

ZERO, P = 273.15, 101325.0


def spray(celsius, rh, p=P, **changed):
    """A common high-pressure nozzle 3 m up, 24 in from the next; `changed` overrides."""
    t = np.asarray(celsius, dtype=float) + ZERO
    given = {
        "wind": 0.0,
        "flow": 6.6 / 3.6e6,
        "gauge": 70e5,
        "median_diameter": 27e-6,
        "spread": 2.5,
        "water_temperature": 303.15,
        "height": 3.0,
        "spacing": 0.6096,
    }
    return plume.spray_plume(t, air.humidity_ratio(t, rh, p), p, **(given | changed))


def grid(*axes):
    return [x.ravel() for x in np.meshgrid(*axes, indexing="ij")]


WINDS = np.array([0.0, 0.1, 0.3, 0.5, 1.0, 2.0, 5.0])


@pytest.mark.parametrize(("celsius", "rh"), [(40, 0.15), (33, 0.6), (28, 0.95), (10, 0.3)])
def test_water_and_enthalpy_are_conserved(celsius, rh):
    """Counted from what the record shows: vapour in the plume, vapour beside it, liquid; heat likewise."""
    one = spray(celsius, rh, wind=WINDS, profile_factor=1.15)
    assert one.water_error.max() < 1e-9
    assert one.enthalpy_error.max() < 1e-9
    brought = one.dry_air * one.surroundings_ratio[:, None]
    vapour = (one.dry_air * one.ratio - brought) / one.water_flow[:, None]
    assert vapour == pytest.approx(one.evaporated_inside, abs=1e-9)
    total = one.evaporated_inside + one.evaporated_outside + one.liquid
    assert total == pytest.approx(np.ones(total.shape), abs=1e-9)
    # While every drop is still in its plume nothing but supply water and air has come in: by hand.
    whole = (np.abs(one.liquid_inside - one.liquid) < 1e-15) & (one.evaporated_outside == 0)
    supply = one.water_flow * air.water_enthalpy(one.water_temperature)
    found = one.dry_air * (air.enthalpy(one.temperature, one.ratio) - air.enthalpy(*_surroundings(one)))
    found = found + one.water_flow[:, None] * one.liquid_inside * air.water_enthalpy(one.drop_temperature)
    gap = np.abs(found - supply[:, None]) / (one.water_flow[:, None] * 2.5e6)
    assert gap[whole].max() < 1e-9
    assert whole.sum() > 100


def _surroundings(one):
    return one.surroundings[:, None], one.surroundings_ratio[:, None]


def test_momentum_of_the_wind_is_what_the_air_brought():
    """One alone. In a row the wind pushes besides: no plume is slower for its neighbors."""
    one = spray(40, 0.15, wind=np.array([0.5, 2.0]), spacing=np.inf)
    row = spray(40, 0.15, wind=np.array([0.5, 2.0]))
    in_row_alone = spray(40, 0.15, wind=np.array([0.5, 2.0]), lift=0.0)
    assert np.all(row.speed * row.sine >= in_row_alone.speed * in_row_alone.sine * (1 - 1e-12))
    carried = one.dry_air * (1 + one.surroundings_ratio[:, None])
    carried = carried + one.water_flow[:, None] * (one.evaporated_inside + one.liquid_inside)
    along = carried * one.speed * one.sine
    gained = (one.dry_air - one.dry_air[:, :1]) * (1 + one.surroundings_ratio[:, None])
    assert along == pytest.approx(gained * np.array([[0.5], [2.0]]), rel=1e-9, abs=1e-12)


def test_no_evaporation_at_saturation():
    """Saturated air and water of its temperature: every drop comes down, none of it gone."""
    for celsius in (15.0, 30.0, 45.0):
        one = spray(celsius, 1.0, water_temperature=celsius + ZERO, wind=np.array([0.0, 0.3]))
        assert one.liquid == pytest.approx(np.ones(one.liquid.shape), abs=1e-6)
        assert np.abs(one.temperature - one.surroundings[:, None]).max() < 1e-3


def test_never_cooler_than_the_mixture_settles_at():
    """Relaxed drops: T >= T*, where T* is of the very mixture shown. 0.2 K: drops follow half a step late."""
    t, rh, wind, warmer = grid([15, 25, 35, 45.0], [0.05, 0.5, 0.9, 1.0], [0, 0.3, 1, 3.0], [0, 10.0])
    one = spray(t, rh, wind=wind, water_temperature=t + ZERO + warmer)
    liquid = one.liquid_inside * one.water_flow[:, None] / one.dry_air
    h = air.enthalpy(one.temperature, one.ratio) + liquid * air.water_enthalpy(one.drop_temperature)
    settled = air.saturated_equilibrium_temperature(h, one.ratio + liquid, P)
    assert (one.temperature - settled).min() > -0.2
    humidity = air.relative_humidity(one.temperature, one.ratio, P)
    assert humidity.max() < 1.01
    cooler = one.surroundings > one.water_temperature - 1  # warm supply may warm saturated air
    depression = one.surroundings - air.wet_bulb(one.surroundings, one.surroundings_ratio, P)
    drop = one.surroundings[:, None] - one.temperature
    assert np.all((drop <= depression[:, None] + 0.2)[cooler])


def test_drying_constant_stands_for_the_single_drop_along_the_path():
    """Taken at the surroundings, used along the wet-bulb line: against full drop theory half way, 1.5 %."""
    for celsius, rh in ((40, 0.15), (33, 0.6), (45, 0.1), (25, 0.4)):
        one = spray(celsius, rh, wind=0.3)
        middle = int(np.argmax(one.depth > 1.0))
        t, w = one.temperature[middle], one.ratio[middle]
        theory = droplet.area_shrink_rate(30e-6, t, w, P) / (2 * (t - air.wet_bulb(t, w, P)))
        outside = droplet.area_shrink_rate(30e-6, one.surroundings, one.surroundings_ratio, P) / 2
        wet = air.wet_bulb(one.surroundings, one.surroundings_ratio, P)
        assert outside / (one.surroundings - wet) == pytest.approx(theory, rel=0.015)


def test_one_drop_in_a_vanishing_spray_dries_as_a_lone_drop():
    """So little water that the air stays as it is: the plume's drop lives as long as the falling one."""
    t, rh = 30 + ZERO, 0.4
    w = float(air.humidity_ratio(t, rh, P))
    one = plume.spray_plume(
        t, w, P, wind=0, flow=1e-12, gauge=25e6, median_diameter=40e-6, spread=20, water_temperature=293,
        height=3, spacing=np.inf, classes=3, steps=1600,
    )  # fmt: skip
    size = 40e-6 * np.cbrt(one.class_liquid[1])  # the middle class is the median
    seen = size > 5e-6
    falling = one.speed[seen] + droplet.terminal_speed(size[seen], t, w, P)
    step = np.diff(one.distance[seen]) * 2 / (falling[1:] + falling[:-1])
    alone = droplet.fall(40e-6, t, w, P, speed=falling[0])
    expected = np.interp(np.concatenate([[0], np.cumsum(step)]), alone.time, alone.diameter)
    # 2 % of the first d^2: even this spray cools its air by 0.15 K of the 11 K that dry it.
    assert np.abs(size[seen] ** 2 - expected**2).max() < 0.02 * 40e-6**2
    assert seen.sum() > 50


@pytest.mark.thorough
@pytest.mark.parametrize(
    ("celsius", "rh", "litre_hour", "micron", "bar"),
    [(40, 0.15, 6.6, 27, 70), (33, 0.6, 6.6, 27, 70), (40, 0.15, 3.6, 110, 4)],
)
def test_steps_and_classes_enough(celsius, rh, litre_hour, micron, bar):
    """60 steps and 16 classes against 960 and 48: 0.5 % of the injected water, 0.1 K."""
    given = {"flow": litre_hour / 3.6e6, "median_diameter": micron * 1e-6, "gauge": bar * 1e5}
    given["wind"] = WINDS[:6]
    usual, fine = spray(celsius, rh, **given), spray(celsius, rh, **given, steps=960, classes=48)
    for depth in (0.75, 1.5, 1.9, 3.0):
        assert np.abs(usual.liquid_at(depth) - fine.liquid_at(depth)).max() < 0.005
        assert np.abs(usual.temperature_at(depth) - fine.temperature_at(depth)).max() < 0.1


def test_sense():
    """Finer, drier, hotter air, higher nozzle, more room: less liquid. More water: colder plume."""

    def falls(**changed):
        return np.all(np.diff(spray(**({"celsius": 38, "rh": 0.25, "wind": 0.2} | changed)).landed) < 1e-9)

    assert falls(median_diameter=np.array([60e-6, 40e-6, 27e-6, 15e-6]))
    assert falls(rh=np.array([0.9, 0.6, 0.3, 0.05]))
    assert falls(height=np.array([2.0, 2.5, 3.0, 4.0]))
    assert falls(spacing=np.array([0.3, 0.6, 1.2, np.inf]))
    assert falls(wind=np.array([0.1, 0.3, 0.6, 1.0]), median_diameter=40e-6)
    more = spray(38, 0.25, wind=0.2, flow=np.array([2, 4, 8.0]) / 3.6e6)
    assert np.all(np.diff(more.temperature_at(1.5)) < 0)
    assert np.all(more.volume_flow_at(1.5) > more.volume_flow_at(0.4))  # it draws air in all the way
    assert np.all(np.diff(more.volume_flow_at(1.5)) > 0)
    wind = spray(38, 0.25, wind=np.array([0.2, 0.5, 1.0, 2.0]))
    assert np.all(np.diff(wind.temperature_at(0.4)) > 0)
    assert np.all(np.diff(wind.drift_at(0.4)) > 0)
    assert np.all(np.diff(spray(38, 0.25, profile_factor=np.array([1.0, 1.15, 4 / 3])).liquid_at(1.5)) > 0)


def test_neighbors_in_a_wind():
    """In a calm, or far from the next, a plume goes as if alone; a row that met in a wind hardly sinks."""

    def depths(**changed):
        one = spray(40, 0.15, **changed)
        return one.depth, one.drift, one.temperature

    for same in ({"wind": 0.0, "spacing": 0.3}, {"wind": 1.0, "spacing": np.inf}):
        for told, alone in zip(depths(**same), depths(**same, lift=0.0), strict=True):
            assert told == pytest.approx(alone, abs=1e-9)
    rows = [spray(40, 0.15, wind=1.0, spacing=s) for s in (0.6, 1.2, 3.0)]
    far = [float(np.interp(3.0, row.drift, row.depth)) for row in rows]
    assert np.all(np.diff(far) > 0.05)
    met = np.sqrt(np.pi * rows[0].volume_flow / rows[0].speed) / 0.6 > np.pi / 2
    assert met.sum() > 5
    alone = spray(40, 0.15, wind=1.0, spacing=0.6, lift=0.0)
    assert np.all(rows[0].cosine[met] < alone.cosine[met] / 2)
    assert rows[0].cosine[met][-1] < 0.06
    assert np.all(np.diff(rows[0].depth) >= 0)


def test_width_and_curtain():
    """Alone, round; with neighbours a curtain whose section is its width times the spacing."""
    one = spray(40, 0.15, spacing=np.inf)
    section = one.volume_flow / one.speed
    assert section == pytest.approx(np.pi * one.radius**2, rel=1e-9)
    near = spray(40, 0.15, spacing=0.3)
    late = near.depth > 4.0
    section = near.volume_flow / near.speed
    assert section[late] == pytest.approx((2 * near.radius * 0.3)[late], rel=1e-9)
    assert np.all(np.diff(near.radius) >= -1e-9)


def test_mist_is_seen_farther_in_humid_air():
    lengths = spray(35, np.array([0.1, 0.4, 0.7, 0.95]), wind=0.2).mist_length()
    assert np.all(np.diff(lengths) > 0)
    assert spray(35, 0.1, flow=0.0).mist_length() < 0.1  # a closed nozzle: what little there is at its mouth


def test_fate_accounts_for_all_the_water():
    one = spray(33, 0.6, wind=WINDS)
    for drift in (0.5, 2.0, np.inf):
        fate = one.fate(3.0, drift)
        assert fate.evaporated + fate.landed + fate.carried == pytest.approx(np.ones(WINDS.shape), abs=1e-12)
        assert np.all((fate.landed >= 0) & (fate.carried >= -1e-12))
    assert one.fate(3.0, 0.5).carried[-1] > 0.5
    assert one.fate(3.0).landed == pytest.approx(one.landed, abs=1e-15)
    assert np.all(np.diff(one.fate(3.0, np.array([[0.5], [1.0], [2.0], [9.0]])).evaporated, axis=0) >= -1e-12)


def test_sensible_cooling_is_latent_heat_spent():
    """What the air lost is what raised the water at T* to vapour at the surroundings' temperature.

    0.2 %: with supply at the wet bulb T* stays there but for a few hundredths of a kelvin.
    """
    t = 40 + ZERO
    wet = float(air.wet_bulb(t, air.humidity_ratio(t, 0.15, P), P))
    one = spray(40, 0.15, water_temperature=wet)
    spent = one.evaporated_inside * one.water_flow * (2501e3 + 1860 * (t - ZERO) - 4186 * (wet - ZERO))
    late = one.depth > 1.0
    assert one.cooling[late] == pytest.approx(spent[late], rel=0.002)


def test_scalar_and_array_agree():
    t, rh, wind = np.array([20.0, 40.0]), np.array([[0.2], [0.9]]), np.array([0.0, 1.5])
    many = spray(t, rh, wind=wind)
    assert many.depth.shape == (2, 2, 61)
    assert many.class_liquid.shape == (2, 2, 16, 61)
    for i in range(2):
        for j in range(2):
            one = spray(t[j], rh[i, 0], wind=wind[j])
            assert one.landed.shape == ()
            assert one.landed == pytest.approx(many.landed[i, j], rel=1e-9, abs=1e-12)
            assert one.temperature == pytest.approx(many.temperature[i, j], rel=1e-12)
            assert one.fate(1.5, 1.0).carried == pytest.approx(many.fate(1.5, 1.0).carried[i, j], abs=1e-12)


@pytest.mark.filterwarnings("error")
def test_hostile_weather_and_nozzles():
    """No NaN, no warning, water kept, over and well beyond what anyone builds."""
    usual = grid([5, 35, 50.0], [0, 0.5, 1.0], [0, 0.3, 12.0], [2, 70, 120.0], [5, 27, 400.0], [60e3, 108e3])
    odd = grid([-40, -5, 60.0], [0, 1.0], [0, 40.0], [0, 250.0], [1, 2000.0], [60e3, 108e3])
    for (t, rh, wind, bar, micron, p), flow in ((usual, 6.6), (odd, 6.6), (odd, 0.0), (odd, 3000.0)):
        one = spray(
            t, rh, p, wind=wind, gauge=bar * 1e5, median_diameter=micron * 1e-6, flow=flow / 3.6e6, classes=5
        )
        shown = [
            one.depth,
            one.drift,
            one.speed,
            one.radius,
            one.temperature,
            one.ratio,
            one.liquid,
            one.heat,
        ]
        fate = one.fate(1.5, 2.0)
        shown += [
            one.landed,
            one.temperature_at(1.5),
            one.drift_at(1.5),
            fate.carried,
            one.cooling,
        ]
        assert all(np.isfinite(x).all() for x in shown)
        assert one.water_error.max() < 1e-9
        assert one.enthalpy_error.max() < 1e-9
        assert one.landed.min() >= 0
        assert one.ratio.min() >= 0


@pytest.mark.parametrize(
    "changed",
    [
        {"wind": -0.1},
        {"wind": np.nan},
        {"flow": -1e-6},
        {"gauge": 30e6},
        {"median_diameter": 0.0},
        {"spread": 0.5},
        {"water_temperature": 250.0},
        {"height": 0.0},
        {"spacing": 0.0},
        {"profile_factor": 0.5},
    ],
)
def test_no_answer_is_refused(changed):
    with pytest.raises(RangeError):
        spray(35, 0.3, **changed)


def test_fog_for_surroundings_is_refused():
    with pytest.raises(RangeError):
        plume.spray_plume(
            300.0, 0.05, P, wind=0, flow=1e-6, gauge=70e5, median_diameter=27e-6, spread=2.5,
            water_temperature=300, height=3, spacing=1,
        )  # fmt: skip
