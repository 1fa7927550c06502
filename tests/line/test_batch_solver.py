"""The batched solver against the single one, and what it does with variants that have no answer."""

import dataclasses

import numpy as np
import pytest

from mistcalc.errors import MistcalcError
from mistcalc.line.network.batch_solver import MAY_CHANGE, solve_many
from mistcalc.line.network.solver import solve
from tests.line import networks

BAR = 1e5


def one(net, changed, variant):
    """One variant as a network of its own."""
    return dataclasses.replace(net, **{field: value[:, variant] for field, value in changed.items()})


def uneven(net, rng, variants):
    """Every value that may change, changed: a nozzle in ten plugged, a supply from weak to strong."""

    def about(value, size, spread):
        return np.broadcast_to(value, (size,))[:, None] * np.exp(
            spread * rng.standard_normal((size, variants))
        )

    tubes, nozzles = net.start.size, net.nozzle_node.size
    plugged = rng.random((nozzles, variants)) < 0.1
    strength = np.exp(rng.uniform(-0.5, 0.3, variants))
    return {
        "coefficient": np.where(plugged, 0.0, about(net.coefficient, nozzles, 0.1)),
        "exponent": np.full((nozzles, variants), net.exponent) + rng.uniform(0.0, 0.05, (1, variants)),
        "opens_at": about(net.opens_at, nozzles, 0.05),
        "bore": about(net.bore, tubes, 0.02) * rng.uniform(0.7, 1.1, (1, variants)),
        "roughness": about(net.roughness, tubes, 0.2),
        "minor_k": about(net.minor_k, tubes, 0.3),
        "length": about(net.length, tubes, 0.1),
        "supply_flow": net.supply_flow[:, None] * strength,
        "supply_gauge": net.supply_gauge[:, None] * strength[::-1],
        "density": np.full((tubes, variants), 990.0) + rng.uniform(0.0, 10.0, (1, variants)),
        "viscosity": np.full((tubes, variants), 7e-4) * rng.uniform(0.7, 1.5, (1, variants)),
    }


def agree(net, changed, variants):
    batch = solve_many(net, **changed)
    assert batch.converged.all() and batch.residuals.max() <= 1.0
    for v in range(variants):
        alone = solve(one(net, changed, v))
        # 1e-6 is required; each solver stops at 1e-9 of supply pressure for every element, and a line's
        # errors add up along it
        near = 1e-6 * float(changed["supply_gauge"][0, v])
        np.testing.assert_allclose(batch.node_gauge[:, v], alone.node_gauge, rtol=0, atol=near)
        np.testing.assert_allclose(batch.nozzle_gauge[:, v], alone.nozzle_gauge, rtol=0, atol=near)
        assert abs(batch.supply_gauge[v] - alone.supply_gauge) <= near
        # 1e-9 of supply pressure moves a still tube of no length by 1e-6 of design flow, a nozzle without
        # pressure by less; some tubes make a ring
        each = changed["coefficient"][:, v] * changed["supply_gauge"][0, v] ** changed["exponent"][:, v]
        flow = 1e-5 * (np.sum(each) or changed["supply_flow"][-1, v])  # all plugged: of what the supply has
        np.testing.assert_allclose(batch.nozzle_flow[:, v], alone.nozzle_flow, rtol=0, atol=flow)
        np.testing.assert_allclose(batch.tube_flow[:, v], alone.tube_flow, rtol=0, atol=flow)
        assert abs(batch.supply_flow[v] - alone.supply_flow) <= flow
        assert np.all(batch.nozzle_flow[changed["coefficient"][:, v] == 0.0, v] == 0.0)


@pytest.mark.parametrize("ring", [False, True])
def test_a_line_and_a_ring_agree_with_single_solves(ring):
    rng = np.random.default_rng(11)
    net = networks.even(12, 4, 0.06, 4.318e-3, ring=ring)
    agree(net, uneven(net, rng, 6), 6)


@pytest.mark.thorough
def test_two_hundred_random_lines_agree_with_single_solves():
    rng = np.random.default_rng(12)
    for _ in range(200):
        net = networks.random_line(rng)
        agree(net, uneven(net, rng, 2), 2)


def test_unchanged_is_one_variant_like_the_single_solve():
    net = networks.random_line(np.random.default_rng(3))
    batch, alone = solve_many(net), solve(net)
    assert batch.node_gauge.shape == (net.elevation.size, 1)
    np.testing.assert_allclose(batch.node_gauge[:, 0], alone.node_gauge, atol=1e-6 * net.supply_gauge[0])


def test_short_shapes_mean_the_same_as_full_ones():
    net = networks.even(8, 4, 0.06, 4.318e-3)
    strength = np.array([1.0, 0.8, 0.6])
    full = solve_many(
        net,
        supply_gauge=net.supply_gauge[:, None] * strength,
        viscosity=np.full((8, 3), 7e-4),
        coefficient=np.repeat(net.coefficient[:, None], 3, axis=1),
        bore=np.full((8, 3), 4.318e-3) * [1.0, 1.1, 0.9],
    )
    short = solve_many(
        net,
        supply_gauge=net.supply_gauge[:, None] * strength,
        viscosity=7e-4,
        coefficient=net.coefficient,
        bore=4.318e-3 * np.array([[1.0, 1.1, 0.9]]),
    )
    np.testing.assert_allclose(short.node_gauge, full.node_gauge, rtol=1e-12)


def test_a_leak_is_one_more_nozzle():
    net = networks.even(10, 4, 0.06, 4.318e-3, opens_at=1 * BAR)
    leaky = dataclasses.replace(
        net,
        nozzle_node=np.append(net.nozzle_node, 5),
        coefficient=np.append(net.coefficient, 0.0),
        opens_at=np.append(np.full(10, 1 * BAR), 0.0),
    )
    leak = np.array([0.0, 0.5, 2.0]) * net.coefficient[0]
    coefficient = np.vstack((np.repeat(net.coefficient[:, None], 3, axis=1), leak))
    batch = solve_many(leaky, coefficient=coefficient)
    np.testing.assert_allclose(batch.node_gauge[:, 0], solve(net).node_gauge, atol=1e-6 * 4 * BAR)
    # q = k P^0.5: the leak's own law at the pressure found
    np.testing.assert_allclose(batch.nozzle_flow[-1], leak * batch.nozzle_gauge[-1] ** 0.5, rtol=1e-6)
    assert np.all(np.diff(batch.node_gauge[5]) < 0.0)


def test_one_bad_variant_stops_no_other():
    net = networks.even(6, 4, 0.06, 4.318e-3)
    bore = np.full((6, 5), 4.318e-3)
    bore[2, 1], bore[3, 3] = 0.0, np.nan
    gauge = np.repeat(net.supply_gauge[:, None], 5, axis=1)
    gauge[:, 4] = 4 * BAR, 5 * BAR  # rises
    batch = solve_many(net, bore=bore, supply_gauge=gauge)
    np.testing.assert_array_equal(batch.converged, [True, False, True, False, False])
    np.testing.assert_allclose(batch.nozzle_flow[:, [0, 2]], solve(net).nozzle_flow[:, None] * [1, 1])
    for values in (batch.node_gauge, batch.nozzle_flow, batch.tube_flow, batch.nozzle_gauge):
        assert np.isnan(values[:, ~batch.converged]).all()
    assert np.isnan(batch.supply_flow[~batch.converged]).all() and np.isinf(batch.residuals[1])


def test_all_plugged_stands_still():
    net = networks.even(5, 4, 0.06, 4.318e-3, elevation=np.arange(6.0))
    batch = solve_many(net, coefficient=np.zeros((5, 2)))
    assert batch.converged.all() and np.all(batch.nozzle_flow == 0.0)
    # standing water: 998.2 kg/m3 x 9.80665 m/s2 a metre; 1e-6 of supply pressure
    np.testing.assert_allclose(
        batch.node_gauge[:, 0], 4 * BAR - 998.2 * 9.80665 * np.arange(6.0), atol=0.4 + 1.0
    )


@pytest.mark.parametrize(
    "changed",
    [
        {"bore": np.full((5, 2), 4e-3)},
        {"bore": np.full((6, 2), 4e-3), "density": np.full((1, 3), 998.0)},
        {"bore": np.full(5, 4e-3)},
        {"bore": np.full((6, 2, 2), 4e-3)},
    ],
)
def test_a_shape_that_fits_nothing_is_refused(changed):
    with pytest.raises(MistcalcError) as caught:
        solve_many(networks.even(6, 4, 0.06, 4.318e-3), **changed)
    assert caught.value.code == "network-shape"


def test_what_may_change_is_what_the_docs_say():
    assert set(MAY_CHANGE) == {
        *("coefficient", "exponent", "opens_at", "bore", "minor_k", "minor_laminar", "roughness", "length"),
        *("supply_gauge", "supply_flow", "density", "viscosity"),
    }
    with pytest.raises(TypeError, match="start"):
        solve_many(networks.even(6, 4, 0.06, 4.318e-3), start=np.zeros((6, 2)))
