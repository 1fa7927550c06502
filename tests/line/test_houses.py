"""Lines as a fitter writes them: rings, tees, drain legs, several patios, own tube and nozzles."""

import dataclasses
import math

import numpy as np
import pytest

from mistcalc import design, files, words
from mistcalc.cooling.case import dominant_nozzle
from mistcalc.line.network.batch_solver import solve_many
from mistcalc.line.network.solver import solve
from mistcalc.line.piping.build_network import network_of
from mistcalc.line.piping.pipe_graph import distance_along_tube, inlet_rise, lay_route
from mistcalc.line.solution import solve_line
from mistcalc.physics import pipe
from tests.line import houses

PSI, GPM, FT, IN = 6894.757293168, 3.785411784e-3 / 60, 0.3048, 0.0254
G = 9.80665


def named(line):
    nodes = {node.name: node for node in line.nodes}
    return nodes, {(tube.start, tube.end): tube for tube in line.tubes}


def balances(line):
    """Water in equals water out at every node [m3/s], the source's inflow apart."""
    nodes, _ = named(line)
    net = dict.fromkeys(nodes, 0.0)
    net[line.supply_node] += line.total_flow
    for tube in line.tubes:
        net[tube.start] -= tube.flow
        net[tube.end] += tube.flow
    for mark in line.marks:
        if mark.zone in line.duty.largest_zones:
            net[mark.name] -= mark.flow
    return max(abs(left) for left in net.values()) / line.total_flow


@pytest.mark.parametrize(
    "text", [houses.RING, houses.BRANCHES, houses.TWO_PATIOS, houses.MIXED, houses.TWO_ROWS]
)
def test_every_house_closes(text):
    line = houses.solved(text)
    nodes, _ = named(line)
    assert balances(line) < 1e-6  # the solver's own promise
    for tube in line.tubes:
        start, end = nodes[tube.start], nodes[tube.end]
        warm = line.water.density if tube.temperature is None else None
        if warm is not None or abs(tube.temperature - line.water.temperature) < 1e-9:
            weight = line.water.density * G * (end.elevation - start.elevation)
            fall = start.pressure_gauge - end.pressure_gauge
            assert fall == pytest.approx(tube.loss + weight, abs=3e-9 * line.supply_gauge)
    assert all(mark.state == "open" for mark in line.marks)
    assert files.rewrite(text, files.parse_project(text)) == text


def test_water_goes_round_a_ring_both_ways():
    line = houses.solved(houses.RING)
    nodes, tubes = named(line)
    assert tubes["pump", "A start"].flow > 0 and tubes["B end", "pump"].flow < 0
    assert nodes["B end"].elevation == pytest.approx(9 * FT)  # the piece that closes it falls again
    dead = houses.solved(houses.RING.replace('to = "pump"    ', 'to = "drain"   '))
    assert line.flow_spread < dead.flow_spread / 3
    assert line.far_mark not in ("B1", dead.far_mark)


def test_two_rings():
    more = """
[[line.piece]]
from = "A at 12 ft"
to = "B at 9 ft"
length = "20 ft"
[pump]
"""
    one = houses.solved(houses.RING)
    two = houses.solved(houses.RING.replace("[pump]\n", more))
    assert balances(two) < 1e-6 and len(two.tubes) == len(one.tubes) + 3  # the piece, and two runs parted
    nodes, tubes = named(two)
    chord = tubes["A at 12 ft", "B at 9 ft"]
    fall = nodes["A at 12 ft"].pressure_gauge - nodes["B at 9 ft"].pressure_gauge
    assert abs(chord.flow) > 1e-3 * two.total_flow and chord.flow * fall > 0
    assert chord.loss == pytest.approx(fall, abs=3e-9 * two.supply_gauge)


def test_branches_leave_where_they_are_said_to():
    line = houses.solved(houses.BRANCHES)
    nodes, tubes = named(line)
    assert nodes["A at 12 ft"].point[0] == pytest.approx(12 * FT)
    assert nodes["C start"].elevation == pytest.approx(8 * FT)
    # water meets the branch of a tee where it turns off, its run where it goes straight on
    for key, kind, listed in (
        (("tee 1", "A start"), "tee branch", ()),
        (("tee 1", "B start"), "tee branch", ("elbow", "elbow")),
        (("A at 12 ft", "C start"), "tee branch", ("elbow",) * 3),
    ):
        tube = tubes[key]
        re = float(pipe.reynolds(tube.flow, tube.bore, line.water.viscosity / line.water.density))
        found = [pipe.fitting(name) for name in (kind, *listed)]
        assert tube.minor_k == pytest.approx(sum(f.k + f.laminar / re for f in found), rel=1e-9)
    (on,) = (tube for (start, _), tube in tubes.items() if start == "A at 12 ft" and tube.run == "A")
    assert pipe.fitting("tee run").k < on.minor_k < pipe.fitting("tee branch").k


def test_a_drain_leg_stands_still_and_counts():
    line = houses.solved(houses.BRANCHES)
    nodes, tubes = named(line)
    leg = tubes["B end", "drain"]
    assert abs(leg.flow) < 1e-6 * line.total_flow
    weight = line.water.density * G * 8 * FT
    assert nodes["drain"].pressure_gauge - nodes["B end"].pressure_gauge == pytest.approx(weight, rel=1e-6)
    dry = houses.BRANCHES.replace('at = "drain"', 'at = "B end"').split('[[line.piece]]\nfrom = "B end"')
    without = houses.solved(dry[0] + dry[1][dry[1].index("[line.drain]") :])
    more = line.duty.fill_volume - without.duty.fill_volume
    assert more == pytest.approx(math.pi / 4 * (0.305 * IN) ** 2 * 8 * FT, rel=1e-9)
    np.testing.assert_allclose([m.flow for m in line.marks], [m.flow for m in without.marks], rtol=1e-9)


def test_two_patios_tubes_and_nozzles_of_their_own():
    line = houses.solved(houses.TWO_PATIOS)
    nodes, tubes = named(line)
    assert tubes["pump", "tee"].bore == pytest.approx((0.5 - 2 * 0.049) * IN)
    assert tubes["tee", "A start"].bore == pytest.approx(0.305 * IN)
    bores = {tube.run: tube.bore for tube in line.tubes if tube.run}
    assert bores == pytest.approx({"A": 0.305 * IN, "P": 0.18 * IN})
    assert nodes["P1"].elevation - nodes["A1"].elevation == pytest.approx(2 * FT)
    fine = 0.0208 * GPM / (1000 * PSI) ** 0.5
    for mark in line.marks:
        pergola = mark.patio == "pergola"
        assert mark.opens_at == (pytest.approx(60 * PSI) if pergola else None)
        law = fine if pergola else 0.029 * GPM / (1000 * PSI) ** 0.5
        assert mark.coefficient == pytest.approx(law)
        assert mark.flow == pytest.approx(law * mark.pressure_gauge**0.5, rel=1e-7)
    asked = sum(0.0208 if mark.patio == "pergola" else 0.029 for mark in line.marks)
    assert line.duty.required_flow / GPM == pytest.approx(asked)


def test_water_of_its_own_temperature():
    """Where flow is laminar loss goes with viscosity: IAPWS, 0.6527 mPa s at 40 degC and 0.8900 at 25."""
    cool = "\n".join(row for row in houses.MIXED.split("\n") if not row.startswith("temperature"))
    warm, cold = houses.solved(houses.MIXED), houses.solved(cool)
    assert all(tube.temperature == pytest.approx(313.15) for tube in warm.tubes if tube.run)
    assert named(warm)[1]["water point", "A start"].temperature == pytest.approx(308.15)
    one, other = (min((t for t in line.tubes if t.run), key=lambda t: abs(t.flow)) for line in (warm, cold))
    speeds = (abs(t.flow) / (math.pi / 4 * t.bore**2) for t in (one, other))
    straight = [
        abs(t.loss) - t.minor_k * rho * v**2 / 2
        for t, v, rho in zip((one, other), speeds, (992.2, 997.0), strict=True)
    ]
    viscosity = (straight[0] / one.flow) / (straight[1] / other.flow)
    assert viscosity == pytest.approx(0.6527 / 0.8900, rel=2e-3)  # density typed to four figures
    assert warm.far_gauge > cold.far_gauge


def test_narrow_tube_loses_as_the_textbook_says():
    """Hagen-Poiseuille in the last tube of run P, where one nozzle's water runs: 128 mu L q / (pi D^4)."""
    line = houses.solved(houses.TWO_PATIOS)
    last = min((t for t in line.tubes if t.run == "P"), key=lambda t: abs(t.flow))
    laminar = 128 * line.water.viscosity * last.length * abs(last.flow) / (math.pi * (0.18 * IN) ** 4)
    speed = abs(last.flow) / (math.pi / 4 * (0.18 * IN) ** 2)
    fitting = last.minor_k * line.water.density * speed**2 / 2
    assert abs(last.loss) == pytest.approx(laminar + fitting, rel=1e-3)  # Churchill nears 64/Re that far


# ------------------------------------------------------------------ check valves

CHECK = """fittings = { elbow = 4, "ball valve" = 1, "check valve" = 1 }
check_opens_at = "5 psi" """
PLAIN = 'fittings = { elbow = 4, "ball valve" = 1 }'


def test_a_check_valve_keeps_its_pressure():
    plain = houses.BRANCHES.replace('fittings = { elbow = 2, "ball valve" = 1 }', PLAIN)
    sprung = plain.replace(PLAIN, CHECK)
    free, held = houses.solved(plain), houses.solved(sprung)
    _, tubes = named(held)
    _, before = named(free)
    key = ("pump", "tee 1")
    valve = pipe.fitting("check valve")
    speed = tubes[key].speed
    re = float(pipe.reynolds(tubes[key].flow, tubes[key].bore, held.water.viscosity / held.water.density))
    body = (valve.k + valve.laminar / re) * held.water.density * speed**2 / 2
    scale = (tubes[key].flow / before[key].flow) ** 1.8  # friction of 0.2 % less flow
    assert tubes[key].loss == pytest.approx(before[key].loss * scale + body + 5 * PSI, rel=1e-3)


def test_a_check_valve_parts_a_ring():
    """Only B end to pump: no water runs from the pump to B end, and every nozzle is served through A."""
    ring = houses.RING.replace("fittings = { elbow = 3 }", 'fittings = { elbow = 3, "check valve" = 1 }')
    line = houses.solved(ring)
    _nodes, tubes = named(line)
    back = tubes["B end", "pump"]
    assert abs(back.flow) < 1e-8 * line.total_flow
    dead = houses.solved(houses.RING.replace('to = "pump"    ', 'to = "drain"   '))
    for one, other in zip(line.marks, dead.marks, strict=True):
        assert one.flow == pytest.approx(other.flow, rel=1e-3)  # the tee at the pump is all that differs
    # turned round it lets water through, as if it were not there but for its body
    turned = ring.replace('from = "B end"\nto = "pump"', 'from = "pump"\nto = "B end"')
    assert named(houses.solved(turned))[1]["pump", "B end"].flow > 0.4 * line.total_flow


def test_a_check_valve_the_wrong_way_round_is_a_finding():
    wrong = (
        houses.MIXED.replace("fittings = { elbow = 2 }", 'fittings = { "check valve" = 1 }')
        .replace('from = "water point"\nto = "A start"', 'from = "A start"\nto = "water point"')
        .replace('rise = "8 ft"', 'rise = "-8 ft"')
    )
    plumbing, layouts = houses.laid(wrong)
    line, found = design.solve_line(plumbing, layouts)
    assert line.total_flow < 1e-6 * 3 * GPM
    (finding,) = (f for f in found if f.code == "check-valve-shut")
    assert finding.level == "fail" and finding.where == "line/A start to water point"


# ------------------------------------------------------------------ the inlet side


def test_the_inlet_may_have_pieces_and_tees_of_its_own():
    inlet = """
[[line.piece]]
from = "filter"
to = "water point"
length = "10 ft"
rise = "-2 ft"
tube = { outside = "1/2 in", wall = "0.049 in" }
[[line.piece]]
from = "filter"
to = "pump"
length = "4 ft"
rise = "-1 ft"
[pump]
"""
    plumbing, layouts = houses.laid(houses.RING.replace("[pump]\n", inlet))
    assert len(plumbing.inlet) == 2
    assert inlet_rise(plumbing) == pytest.approx(1 * FT)
    line = solve_line(plumbing, layouts)
    plain = houses.solved(houses.RING)
    assert [m.flow for m in line.marks] == [m.flow for m in plain.marks]
    assert plain.duty.inlet_gauge - line.duty.inlet_gauge > 1 * FT * G * 995


# ------------------------------------------------------------------ places


def test_a_place_is_told_from_the_runs_own_datum():
    """B is measured from its far end: 5 ft from there is 13 ft from its start, along an 18 ft edge; the tube,
    6 in behind the edge at an inside corner, starts 6 in sooner."""
    _plumbing, layouts = houses.laid(houses.RING)
    run = next(run for run in layouts[0].lid.runs if run.name == "B")
    assert not run.datum_at_start
    assert distance_along_tube(run, 5 * FT) == pytest.approx(13 * FT + (run.tube_length - 18 * FT))
    for mark in (mark for layout in layouts for mark in layout.marks):
        line = next(run for run in layouts[0].lid.runs if run.name == mark.run)
        assert distance_along_tube(line, mark.along) == pytest.approx(mark.tube_along, abs=1e-9)


def test_a_tap_at_a_mark_and_at_an_end_is_one_place_with_it():
    plumbing, layouts = houses.laid(houses.BRANCHES)
    mark = next(m for m in layouts[0].marks if m.name == "A3")
    moved = dataclasses.replace(plumbing.pieces[3].start, along=mark.along)
    pieces = (*plumbing.pieces[:3], dataclasses.replace(plumbing.pieces[3], start=moved), plumbing.pieces[4])
    line = solve_line(dataclasses.replace(plumbing, pieces=pieces), layouts)
    nodes, _ = named(line)
    gap = abs(nodes["A3"].pressure_gauge - nodes["A at 12 ft"].pressure_gauge)
    assert gap < 1e-4 * line.supply_gauge and balances(line) < 1e-6


def test_a_change_of_size_is_paid_in_the_narrow_tube():
    """At most one velocity head of the narrow tube (Borda-Carnot: (1 - A1/A2)^2 of it, White eq. 6.80)."""
    route = houses.routed(houses.TWO_PATIOS)
    changes = {(t.start, t.end): t.fittings.count("size change") for t in route.tubes}
    narrow = [ends for ends, count in changes.items() if count]
    first = next(ends for ends in changes if "P end" in ends and ends != ("tee", "P end"))
    assert sorted(narrow) == sorted([("tee", "A start"), ("tee", "P end"), first])
    assert all(t.fittings.count("size change") == 0 for t in houses.routed(houses.RING).tubes)


def test_nozzles_of_two_sizes_are_not_called_uneven():
    """Spread and uniformity compare each nozzle with what it is meant to give."""
    line = houses.solved(houses.TWO_PATIOS)
    each = [m.pressure_gauge**0.5 for m in line.marks]  # all are orifices: flow over rated flow
    assert line.flow_spread == pytest.approx(1 - min(each) / max(each), rel=1e-6)
    assert max(m.flow for m in line.marks) > 1.3 * min(m.flow for m in line.marks)


def test_a_shut_nozzle_is_told_with_its_own_check():
    stiff = houses.MIXED.replace('at = "40 psi" }', 'at = "40 psi", opens_at = "70 psi" }')
    plumbing, layouts = houses.laid(stiff)
    line, found = design.solve_line(plumbing, layouts)
    assert next(m for m in line.marks if m.name == "A5").state == "shut"
    (finding,) = (f for f in found if f.code == "nozzle-shut")
    assert finding.where == "yard/A5" and finding.required == pytest.approx(70 * PSI)


def test_each_patio_is_cooled_by_its_own_nozzles():
    plumbing, (porch, pergola) = houses.laid(houses.TWO_PATIOS)
    assert dominant_nozzle(plumbing, porch) is plumbing.nozzle
    assert dominant_nozzle(plumbing, pergola).label == "0.008 in orifice"


def test_nozzles_above_what_the_main_lifts_are_named():
    """60 psi lifts water 138 ft (0.433 psi a foot); 160 ft up there is no pressure left."""
    high = houses.MIXED.replace('length = "40 ft"\nrise = "8 ft"', 'length = "200 ft"\nrise = "160 ft"')
    plumbing, layouts = houses.laid(high)
    line, found = design.solve_line(plumbing, layouts)
    (finding,) = (f for f in found if f.code == "nozzle-dry")
    assert finding.level == "fail" and finding.provided == pytest.approx((60 - 0.433 * 160) * PSI, rel=0.06)
    assert len(dict(finding.values)["marks"]) == len(line.marks) and line.total_flow < 1e-9
    assert "no pressure" in words.say(finding)


@pytest.mark.parametrize("parts", [3, 2])
def test_many_at_once_know_check_valves_too(parts):
    """One set of laws behind both solvers: a shut valve in a ring, and the same ring with a weaker supply."""
    listed = f'fittings = {{ elbow = {parts}, "check valve" = 1 }}\ncheck_opens_at = "3 psi"'
    plumbing, layouts = houses.laid(houses.RING.replace("fittings = { elbow = 3 }", listed))
    line = solve_line(plumbing, layouts)
    net = network_of(plumbing, lay_route(plumbing, layouts), line.supply)
    many = solve_many(net, supply_gauge=np.array(net.supply_gauge)[:, None] * [1.0, 0.5])
    assert many.converged.all()
    alone = [solve(dataclasses.replace(net, supply_gauge=net.supply_gauge * part)) for part in (1.0, 0.5)]
    for column, one in enumerate(alone):
        np.testing.assert_allclose(many.node_gauge[:, column], one.node_gauge, atol=1e-6 * one.supply_gauge)
