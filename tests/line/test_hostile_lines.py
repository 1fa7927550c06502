"""Lines as bad as arrays can make them: an answer that closes, or one error that names the thing."""

import dataclasses

import numpy as np
import pytest

from mistcalc.errors import MistcalcError
from mistcalc.line.network.batch_solver import solve_many
from mistcalc.line.network.solver import OPEN, SHUT, solve
from mistcalc.line.network.supply_curve import pump_curve
from tests.line import houses, networks

BAR = 1e5


def line(nozzles=6, **changes):
    return dataclasses.replace(networks.even(nozzles, 4, 0.06, 4.318e-3), **changes)


@pytest.mark.parametrize("field", ["bore", "length", "density", "viscosity", "coefficient", "supply_gauge"])
@pytest.mark.parametrize("value", [-1.0, np.nan, np.inf])
def test_a_value_that_cannot_be_is_named(field, value):
    net = line()
    values = np.array(np.broadcast_to(getattr(net, field), (2,) if field == "supply_gauge" else (6,)))
    at = values.size - 1 if not (field == "supply_gauge" and value == -1.0) else 0
    values[at] = value
    with pytest.raises(MistcalcError) as caught:
        solve(dataclasses.replace(net, **{field: values}))
    assert caught.value.code == "network-value"
    assert (caught.value.values["field"], caught.value.values["index"]) == (field, at)


def test_a_bore_of_nothing_is_named():
    with pytest.raises(MistcalcError) as caught:
        solve(line(bore=np.array([4e-3, 4e-3, 0.0, 4e-3, 4e-3, 4e-3])))
    assert (caught.value.values["field"], caught.value.values["index"]) == ("bore", 2)


def test_a_nozzle_no_tube_reaches_is_named():
    net = line(names=("pump", "M1", "M2", "M3", "M4", "M5", "M6"))
    cut = dataclasses.replace(net, start=np.array([0, 1, 2, 0, 4, 5]), end=np.array([1, 2, 1, 4, 5, 6]))
    for call in (solve, solve_many):
        with pytest.raises(MistcalcError) as caught:
            call(cut)
        assert caught.value.code == "unconnected-node" and caught.value.values["node"] == "M3"


def test_a_supply_that_never_meets_the_line_is_an_answer():
    # a pump of 1 % of what the nozzles take: they share its flow at (1 %)^2 of the pressure, more or less
    wanted = 6 * 0.06 * networks.LITRE_PER_MINUTE
    curve = np.array(pump_curve(4 * BAR, 0.01 * wanted))
    solved = solve(line(supply_flow=curve[:, 0], supply_gauge=curve[:, 1]))
    # the pump passes its flow plus at most its slip, 3 %
    assert 0.01 * wanted <= solved.supply_flow <= 0.0103 * wanted
    assert solved.nozzle_flow.sum() == pytest.approx(solved.supply_flow, rel=1e-4)
    assert 0.0 < solved.nozzle_gauge.max() < 1e-3 * 4 * BAR


@pytest.mark.parametrize("opens", [4.01, 7.0, 50.0])
def test_a_line_that_never_opens_stands_still(opens):
    net = line(opens_at=opens * BAR)
    solved = solve(net)
    assert np.all(solved.nozzle_flow == 0.0) and np.all(solved.nozzle_state == SHUT)
    # within a shut nozzle's tolerance, 1e-6 of design flow each
    design = np.sum(net.coefficient * (4 * BAR) ** 0.5)
    assert abs(solved.supply_flow) <= 6e-6 * design
    np.testing.assert_allclose(solved.node_gauge, 4 * BAR, rtol=1e-5)


def test_nozzles_above_the_supplys_head_draw_no_air():
    # 4 bar lifts water 40.9 m; three nozzles stand above that
    net = line(elevation=np.array([0.0, 10.0, 20.0, 30.0, 42.0, 50.0, 60.0]))
    solved = solve(net)
    high = np.array([False, False, False, True, True, True])
    assert np.all(solved.nozzle_flow[high] == 0.0) and np.all(solved.nozzle_gauge[high] < 0.0)
    assert np.all(solved.nozzle_flow[~high] > 0.0) and np.all(solved.nozzle_state[~high] == OPEN)
    # standing water above the highest open one: 998.2 kg/m3 x 9.80665 m/s2 a metre
    fall = 998.2 * 9.80665 * np.diff(net.elevation[3:])
    np.testing.assert_allclose(-np.diff(solved.node_gauge[3:]), fall, rtol=1e-4)


def test_every_nozzle_plugged_is_an_answer_too():
    solved = solve(line(coefficient=np.zeros(6)))
    assert np.all(solved.nozzle_flow == 0.0)
    np.testing.assert_allclose(solved.node_gauge, 4 * BAR, rtol=1e-5)


def test_one_nozzle_among_plugged_ones():
    coefficient = np.zeros(6)
    coefficient[3] = line().coefficient[3]
    solved, batch = solve(line(coefficient=coefficient)), solve_many(line(), coefficient=coefficient)
    assert np.count_nonzero(solved.nozzle_flow) == 1
    np.testing.assert_allclose(batch.nozzle_flow[:, 0], solved.nozzle_flow, rtol=1e-6)


def test_no_nozzle_at_all_is_standing_water():
    solved = solve(line(nozzle_node=np.zeros(0, int), coefficient=np.zeros(0)))
    assert solved.nozzle_flow.size == 0
    np.testing.assert_allclose(solved.node_gauge, 4 * BAR, rtol=1e-6)


def test_two_tubes_side_by_side_share_the_flow():
    net = line(1, start=np.array([0, 0]), end=np.array([1, 1]), length=np.array([5.0, 5.0]), bore=2e-3)
    solved = solve(net)
    assert solved.tube_flow[0] == pytest.approx(solved.tube_flow[1], rel=1e-9)
    assert solved.tube_flow.sum() == pytest.approx(solved.nozzle_flow[0], rel=1e-6)
    np.testing.assert_allclose(solve_many(net).tube_flow[:, 0], solved.tube_flow, rtol=1e-6)


def test_a_line_that_falls_away_from_a_pump_it_outdraws():
    """Water runs down to the nozzles faster than the pump gives it: its gauge stands below nothing."""
    feed = '[[line.piece]]\nfrom = "pump"\nto = "A start"\nlength = "300 ft"\nrise = "-290 ft"\n'
    plate = (
        '[pump]\nnameplate = { flow = "0.3 L/h", pressure = "100 bar", motor = "1 hp", volts = "230 V" }\n'
    )
    line = houses.solved(houses.house(("yard", "8 ft", houses.runs(("A", "20 ft", ""))), line=feed + plate))
    assert line.supply_gauge < 0.0
    assert line.duty.filling.pressure_time is None
