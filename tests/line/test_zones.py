"""Zones as they are piped: where valves stand, what runs with what, which drain empties which.

No published source: what has water is told by following the tube by hand, and flows by solving the same
nozzles as a line in one zone. Two zones at once against the engine: tests/report/test_network_inp.py.
"""

from __future__ import annotations

import dataclasses

import pytest

from mistcalc.checks.line import line_findings
from mistcalc.line import solve_line
from mistcalc.line.piping.pipe_graph import lay_route
from mistcalc.line.piping.zone_valves import zoning_of
from mistcalc.model.project import Drain, Nameplate, Piece, Zone
from tests.line.rows import FEED, VALVE, porch, zoned_porch

PSI, GPM, HP = 6894.757293168, 3.785411784e-3 / 60, 745.699872
EACH = 0.029  # gpm at 1,000 psi


def solve(plumbing, layouts, **changes):
    plumbing = dataclasses.replace(plumbing, **changes)
    return plumbing, solve_line(plumbing, layouts)


def found(plumbing, line):
    return {f.code: f for f in line_findings(plumbing, line)}


def zones(line):
    return {zone.name: zone for zone in line.zones}


def test_a_mark_called_like_the_end_of_another_run_is_not_joined_to_that_end():
    """B is worked out before A: its last mark, called "A start", stays where B has it."""
    plumbing, layouts = porch({"B": 2, "A": 3})
    last = next(mark for mark in layouts[0].marks if mark.name == "B2")
    renamed = tuple(
        dataclasses.replace(mark, name="A start") if mark is last else mark for mark in layouts[0].marks
    )
    layouts = (dataclasses.replace(layouts[0], marks=renamed), *layouts[1:])
    plumbing = dataclasses.replace(plumbing, pieces=(piece("pump", "A end"), piece("A end", "B start")))
    tubes = lay_route(plumbing, layouts).tubes
    joined = {end for tube in tubes if tube.run == "A" for end in (tube.start, tube.end)}
    assert joined == {"A1", "A2", "A3", "A end"}


# ------------------------------------------------------------------ valves


def valves(pieces, runs=("A", "B"), **stated):
    """Names of the pieces that each zone's valve is put in."""
    plumbing, layouts = porch(dict.fromkeys(runs, 3))
    made = tuple(Zone(run, (run,), stated.get(run, ())) for run in runs)
    plumbing = dataclasses.replace(plumbing, pieces=tuple(pieces), zones=made)
    route = lay_route(plumbing, layouts)
    found = zoning_of(plumbing, route).valves
    name = [f"{t.start} to {t.end}" for t in route.tubes]
    return {zone: tuple(name[n] for n in tubes) for zone, tubes in found.items()}


def piece(start, end, *fittings):
    return Piece(start, end, 3.0, 0.0, fittings)


SOLENOID = ("solenoid valve", 1)


def test_a_valve_is_put_in_the_piece_that_feeds_its_zone_alone():
    tee = [piece("pump", "tee"), piece("tee", "A start"), piece("tee", "B start")]
    assert valves(tee) == {"A": ("tee to A start",), "B": ("tee to B start",)}


def test_of_several_such_pieces_in_the_one_that_lists_a_solenoid_valve_else_near_the_source():
    feed = [piece("pump", "tee"), piece("tee", "A start"), piece("tee", "x")]
    assert valves([*feed, piece("x", "B start")])["B"] == ("tee to x",)
    assert valves([*feed, piece("x", "B start", SOLENOID)])["B"] == ("x to B start",)
    assert valves([*feed, piece("x", "B start", SOLENOID)], B=("tee to x",))["B"] == ("tee to x",)


def test_a_zone_fed_at_both_ends_has_the_valves_it_lists():
    ring = [
        piece("pump", "tee"), piece("tee", "A start"), piece("tee", "B start", SOLENOID),
        piece("tee", "B end", SOLENOID),
    ]  # fmt: skip
    assert valves(ring)["B"] == ("tee to B start", "tee to B end")


def test_a_line_in_one_zone_has_a_valve_where_it_lists_one():
    assert valves([piece("pump", "A start")], runs=("A",)) == {"A": ()}
    assert valves([piece("pump", "A start", SOLENOID)], runs=("A",)) == {"A": ("pump to A start",)}


# ------------------------------------------------------------------ what runs with what


def test_a_zone_behind_anothers_nozzles_fails_and_says_how_to_pipe_it():
    """19 and 14 nozzles in a row, in two zones: opening the second opens both, 33 x 0.029 = 0.957 gpm."""
    plumbing, layouts = porch({"A": 19, "B": 14})
    plumbing, line = solve(plumbing, layouts, zones=(Zone("front", ("A",)), Zone("back", ("B",))))
    assert line.duty.required_flow / GPM == pytest.approx(33 * EACH)
    assert line.duty.pick_flow / GPM == pytest.approx(1.5)  # 1 gpm would be used to 96 %
    assert line.duty.largest_zones == ("front", "back") and line.duty.smallest_zones == ("front",)
    whole = solve_line(*porch({"A": 19, "B": 14}))
    assert line.total_flow == pytest.approx(whole.total_flow, rel=1e-3)  # a valve more in the way
    one = found(plumbing, line)["zone-through"]
    told = (one.level, one.value("zone"), one.value("behind"), one.value("cut"))
    assert told == ("fail", "back", ("front",), "A end to B start")
    assert (one.value("tee"), one.value("end"), one.value("move")) == ("pump", "B start", "")


def test_the_same_zones_each_from_a_tee_of_their_own_pass():
    plumbing, layouts = zoned_porch({"A": 19, "B": 14})
    plumbing, line = solve(plumbing, layouts)
    assert line.duty.required_flow / GPM == pytest.approx(19 * EACH)
    assert line.duty.pick_flow / GPM == pytest.approx(0.75)
    assert not [code for code in found(plumbing, line) if code.startswith("zone-")]
    shut = {f"{t.start} to {t.end}" for t in line.tubes if t.shut}
    assert shut == {"tee to B start"} and all(t.flow == 0.0 for t in line.tubes if t.run == "B")


def test_a_valve_that_shuts_more_than_its_zone_is_to_be_moved():
    plumbing, layouts = zoned_porch({"A": 9, "B": 5})
    made = (Zone("A", ("A",), ("pump to tee",)), Zone("B", ("B",)))
    plumbing, line = solve(plumbing, layouts, zones=made)
    one = found(plumbing, line)["zone-through"]
    assert (one.value("zone"), one.value("move"), one.value("cut")) == ("B", "pump to tee", "")


@pytest.mark.parametrize("check", [0, 1])
def test_a_shared_drain_leg_leaks_unless_check_valves_part_it(check):
    plumbing, layouts = zoned_porch({"A": 9, "B": 5})
    legs = tuple(Piece(f"{run} end", "drain", 4.0, -2.5, (("check valve", check),)) for run in "AB")
    stated = tuple(Zone(run, (run,), (f"tee to {run} start",)) for run in "AB")
    drains = (Drain("drain", 0.0, False),)
    plumbing, line = solve(plumbing, layouts, pieces=plumbing.pieces + legs, zones=stated, drains=drains)
    one = found(plumbing, line).get("zone-leaks")
    if check:
        assert one is None and line.duty.required_flow / GPM == pytest.approx(9 * EACH)
        return
    assert one.level == "fail" and one.value("with") and one.value("by").endswith("to drain")
    assert line.duty.required_flow / GPM == pytest.approx(14 * EACH)


def test_a_zone_no_valve_shuts_is_always_open():
    plumbing, layouts = zoned_porch({"A": 9, "B": 5})
    made = (Zone("A", ("A",)), Zone("B", ("B",), ("tee to A start",)))
    plumbing, line = solve(plumbing, layouts, zones=made)
    one = found(plumbing, line)["zone-leaks"]
    assert one.value("zone") == "B" and one.value("always")
    assert zones(line)["B"].piping.leaks_with == ()


def test_a_zone_fed_from_both_sides_is_cut_off_by_two_valves():
    """With both shut its tube is no way round for the others' water."""
    plumbing, layouts = zoned_porch({"A": 9, "B": 5})
    far = (Piece("pump", "B end", 20.0, 2.7, VALVE),)
    both = Zone("B", ("B",), ("tee to B start", "pump to B end"))
    pieces = plumbing.pieces + far
    plumbing, line = solve(plumbing, layouts, pieces=pieces, zones=(Zone("A", ("A",)), both))
    assert zones(line)["A"].runs_with == ("A",)
    assert not [code for code in found(plumbing, line) if code.startswith("zone-")]
    assert all(t.flow == 0.0 for t in line.tubes if t.run == "B")
    plain = solve_line(*zoned_porch({"A": 9, "B": 5}))
    assert line.total_flow == pytest.approx(plain.total_flow, rel=1e-4)


# ------------------------------------------------------------------ sets that run together


def test_the_pump_is_sized_for_the_worst_set_and_its_bypass_judged_by_the_smallest():
    plumbing, layouts = zoned_porch({"A": 12, "B": 9, "C": 5})
    plumbing, line = solve(plumbing, layouts, together=(("B", "C"), ("A", "C")))
    assert line.duty.largest_zones == ("A", "C") and line.duty.smallest_zones == ("C",)
    assert line.duty.required_flow / GPM == pytest.approx(17 * EACH)
    assert line.duty.smallest_flow / GPM == pytest.approx(5 * EACH)
    assert [one.zones for one in line.sets] == [("A",), ("B",), ("C",), ("B", "C"), ("A", "C")]
    told = zones(line)
    assert told["B"].runs_with == ("B", "C") and told["C"].runs_with == ("A", "C")
    # the same two zones as one line: every nozzle passes the same
    both, rows = zoned_porch({"A": 12, "C": 5})
    branches = [p for p in plumbing.pieces if "B start" not in p.name]
    alone = solve_line(
        dataclasses.replace(both, pieces=tuple(branches), zones=(Zone("all", ("A", "C")),)), rows
    )
    flows = {m.name: m.flow for m in alone.marks}
    assert {m.name: m.flow for m in line.marks if m.zone != "B"} == pytest.approx(flows, rel=1e-6)
    assert line.total_flow == pytest.approx(alone.total_flow, rel=1e-6)


def test_all_that_follows_the_flow_follows_the_set():
    plumbing, layouts = zoned_porch({"A": 30, "B": 30})
    _, apart = solve(plumbing, layouts)
    plumbing, both = solve(plumbing, layouts, together=(("A", "B"),))
    one, two = apart.duty, both.duty
    assert two.required_flow == pytest.approx(2 * one.required_flow)
    assert two.pick_flow > one.pick_flow and two.shaft_power > one.shaft_power
    assert two.inlet_gauge < one.inlet_gauge and two.feed_friction > 2 * one.feed_friction
    assert two.electric_power > one.electric_power and two.point.flow > one.point.flow


# ------------------------------------------------------------------ evenness


def test_evenness_is_of_one_zone_and_a_starved_pump_asks_for_no_wider_tube():
    """62, 38 and 22 nozzles on 1.5 gpm at 1,500 psi: 2.2 gpm wanted by the first. Over all zones the flows
    differ by a quarter, within each by little."""
    plumbing, layouts = zoned_porch({"N": 62, "W": 38, "P": 22})
    plate = Nameplate(1.5 * GPM, 1500 * PSI, 2.0 * HP, 230.0, 1700 * PSI)
    pump = dataclasses.replace(plumbing.pump, set_pressure=1500 * PSI, nameplate=plate)
    plumbing, line = solve(plumbing, layouts, pump=pump)
    everywhere = [mark.flow for mark in line.marks]
    assert 1 - min(everywhere) / max(everywhere) > 0.2
    assert line.flow_spread == max(zone.flow_spread for zone in line.zones) < 0.10
    codes = found(plumbing, line)
    assert "flow-spread" not in codes and codes["pump-too-small"].value("zones") == ("N",)


def test_where_a_starved_line_is_uneven_too_the_pressure_comes_first():
    plumbing, layouts = zoned_porch({"N": 90, "P": 22})
    plate = Nameplate(1.5 * GPM, 1000 * PSI, 1.0 * HP, 115.0, 1150 * PSI)
    thin = dataclasses.replace(plumbing.tube, outside=0.25 * 0.0254)
    pump = dataclasses.replace(plumbing.pump, nameplate=plate)
    plumbing, line = solve(plumbing, layouts, pump=pump, tube=thin)
    one = found(plumbing, line)["flow-spread"]
    assert one.value("zone") == "N" and one.value("starved") and not one.value("tube")
    enough = dataclasses.replace(plate, flow=4.0 * GPM, motor=3.0 * HP, volts=230.0)
    pump = dataclasses.replace(pump, nameplate=enough)
    plumbing, line = solve(plumbing, layouts, pump=pump)
    one = found(plumbing, line)["flow-spread"]
    assert one.value("tube") and not one.value("starved")


def test_each_zone_has_its_own_hand_check():
    """Christiansen's factor against the solver, in the set that each zone runs in."""
    plumbing, layouts = zoned_porch({"A": 40, "B": 25})
    _, line = solve(plumbing, layouts)
    for zone in line.zones:
        assert zone.christiansen_loss == pytest.approx(zone.solver_loss, rel=0.05), zone.name
    assert line.duty.solver_loss == zones(line)["A"].solver_loss > zones(line)["B"].solver_loss > 0.0


# ------------------------------------------------------------------ drains


def test_one_drain_empties_its_own_zone_and_no_other():
    plumbing, layouts = zoned_porch({"A": 12, "B": 9})
    one = (Drain("A end", 0.01, True),)
    plumbing, line = solve(plumbing, layouts, drains=one)
    a, b = line.duty.filling.zones
    assert (a.drains, b.drains, b.drained) == (("A end",), (), 0.0)
    area = 3.141592653589793 / 4 * plumbing.tube.bore**2
    behind = {"A": 3.0, "B": 7.0}  # of the piece with the valve, which stands at the tee

    def length(line, run):
        return sum(t.length for t in line.tubes if t.run == run) + behind[run]

    assert b.left == pytest.approx(area * length(line, "B"), rel=1e-9)
    assert a.drained == pytest.approx(area * length(line, "A"), rel=1e-9) and a.low
    full = line.duty.filling
    assert full.drain_volume == pytest.approx(a.drained) and not full.drain_low
    told = found(plumbing, line)["drain-zone"]
    assert (told.level, told.value("zone")) == ("warn", "B") and told.required == b.left
    plumbing, line = solve(plumbing, layouts, drains=(*one, Drain("B end", 0.01, False)))
    assert "drain-zone" not in found(plumbing, line)
    drained = area * (length(line, "A") + length(line, "B"))
    assert line.duty.filling.drain_volume == pytest.approx(drained, rel=1e-9)


def test_a_feed_shut_in_by_zone_valves_needs_a_drain_of_its_own():
    """By hand: pump to tee is 6 m of 0.305 in bore that no zone's drain empties."""
    plumbing, layouts = zoned_porch({"A": 4, "B": 3})
    ends = (Drain("A end", 0.01, True), Drain("B end", 0.01, False))
    plumbing, line = solve(plumbing, layouts, drains=ends)
    told = found(plumbing, line)["drain-feed"]
    bore = plumbing.tube.outside - 2 * plumbing.tube.wall
    assert (told.level, told.value("low")) == ("warn", "pump")
    assert told.required == pytest.approx(3.14159265 / 4 * bore**2 * 6.0, rel=1e-6)
    plumbing, line = solve(plumbing, layouts, drains=(*ends, Drain("tee", 0.01, False)))
    assert "drain-feed" not in found(plumbing, line)
    plumbing, line = solve(*porch({"A": 4}), drains=(Drain("A end", 0.01, True),))  # no valve shuts it in
    assert "drain-feed" not in found(plumbing, line)


def test_in_one_zone_a_drain_empties_the_feed_above_it_as_before():
    plumbing, layouts = porch({"A": 8})
    with_valve = (Piece("pump", "A start", 6.0, 2.7, (*FEED, *VALVE)),)
    for pieces in (plumbing.pieces, with_valve):
        _, line = solve(plumbing, layouts, pieces=pieces, drains=(Drain("A end", 0.0, True),))
        area = 3.141592653589793 / 4 * plumbing.tube.bore**2
        run = sum(t.length for t in line.tubes if t.run)
        assert line.duty.filling.drain_volume == pytest.approx(area * run, rel=1e-6)


def test_the_lowest_place_of_a_level_line_is_its_near_end_every_time():
    """By hand: all of a level run is as low, so the drain is asked for where the feed comes to it."""
    plumbing, layouts = zoned_porch({"A": 12, "B": 3})
    _, line = solve(plumbing, layouts, drains=())
    assert line.duty.filling.low_point == "A start"
    assert [zone.low_point for zone in line.duty.filling.zones] == ["A start", "B start"]
