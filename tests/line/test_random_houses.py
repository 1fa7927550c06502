"""Random lines as project files: tees, taps, rings, drain legs, own tube; read, solved, exported."""

import dataclasses
import random

import numpy as np
import pytest

from mistcalc import files
from mistcalc.line.network.arrays import joined_to_supply, subnetwork
from mistcalc.line.network.solver import solve
from mistcalc.line.piping.build_network import network_of
from mistcalc.line.piping.pipe_graph import lay_route
from mistcalc.report.exports import network_inp
from tests.line import houses
from tests.line.test_houses import balances, named
from tests.report.test_inp_houses import ENGINE_GRAVITY
from tests.report.test_network_inp import engine

TUBES = ((0.375, 0.035), (0.25, 0.035), (0.5, 0.049))


def _piece(start, end, length, **more):
    rows = [f'from = "{start}"', f'to = "{end}"', f'length = "{length:.2f} ft"']
    rows += [f"{key} = {value}" for key, value in more.items()]
    return "\n".join(["[[line.piece]]", *rows, ""])


def random_house(seed):
    """Two to five patios of one run each, hung onto the line at random; sometimes a ring, a drain leg."""
    pick = random.Random(seed)
    names = "ABCDE"[: pick.randint(2, 5)]
    lengths = {name: pick.randint(8, 30) for name in names}
    pumped = pick.random() < 0.7
    source = "pump" if pumped else "water point"
    pieces, spots = [_piece(source, "tee", 20, rise='"9 ft"', fittings="{ elbow = 2 }")], ["tee"]
    free = []
    for name in names:
        more = {}
        if pick.random() < 0.3:
            outside, wall = pick.choice(TUBES)
            more["tube"] = f'{{ outside = "{outside} in", wall = "{wall} in" }}'
        if pick.random() < 0.3:
            more.update(fittings='{ "check valve" = 1 }', check_opens_at=f'"{pick.randint(0, 2)} psi"')
        near, far = ("start", "end") if pick.random() < 0.7 else ("end", "start")
        start = pick.choice(spots)
        pieces.append(_piece(start, f"{name} {near}", pick.uniform(3, 40), **more))
        spots += [f"{name} {far}", f"{name} at {pick.randint(1, lengths[name] - 1)}.37 ft"]
        free.append(f"{name} {far}")
    for _ in range(pick.choice((0, 1, 1, 2))):
        one, other = pick.sample(spots, 2)
        pieces.append(_piece(one, other, pick.uniform(5, 50), fittings="{ elbow = 1 }"))
    drain = ""
    if pick.random() < 0.5:
        pieces.append(_piece(pick.choice(free), "drain", 9, rise='"-9 ft"'))
        drain = '[line.drain]\nat = "drain"\n'
    drain += _zones(pick, names, pieces)
    patios = [(f"patio {n}", "9 ft", houses.runs((n, f"{lengths[n]} ft", ""))) for n in names]
    return houses.house(*patios, line="".join(pieces) + drain + ("[pump]\n" if pumped else ""))


def _zones(pick, names, pieces):
    """Runs parted into zones wherever they hang, valves stated or not, sets that run together, drains."""
    if pick.random() < 0.5:
        return ""
    parts = [list(names[i::2]) for i in range(2)] if pick.random() < 0.5 else [[name] for name in names]
    ends = [piece.split('"')[1::2][:2] for piece in pieces]
    told = ""
    for n, part in enumerate(parts):
        told += f'[[line.zone]]\nname = "zone {n}"\nruns = {part}\n'.replace("'", '"')
        if pick.random() < 0.4:
            told += 'valves = ["{} to {}"]\n'.format(*pick.choice(ends))
    if pick.random() < 0.5:
        told += '[[line.together]]\nzones = ["zone 0", "zone 1"]\n'
    if pick.random() < 0.5 and not any('"drain"' in piece for piece in pieces):
        told += "".join(f'[[line.drain]]\nat = "{name} end"\n' for name in names)
    if pick.random() < 0.3:
        told += '[water]\ntreatment = "reverse osmosis"\n'
        told += 'tank = { lift = "45 psi", at_flow = "6 gpm" }\n' if pick.random() < 0.7 else ""
    return told


def behind_shut(mark, line):
    """A check valve the wrong way round, or a valve stated where it parts a zone: no water, and no flow."""
    return mark.flow == 0.0 and mark.pressure_gauge < 0.5 * line.supply_gauge


def check(seed, folder=None):
    text = random_house(seed)
    project = files.parse_project(text)
    assert files.rewrite(text, project) == text
    line = houses.solved(text)
    nodes, _ = named(line)
    assert balances(line) < 1e-6, seed
    open_ = {name for one in line.sets for name in one.zones}
    assert len(line.marks) > 5 and open_ == {zone.name for zone in line.zones}
    assert all(mark.state == "open" or behind_shut(mark, line) for mark in line.marks)
    largest = [m for m in line.marks if m.zone in line.duty.largest_zones]
    assert sum(m.flow for m in largest) == pytest.approx(line.total_flow)
    assert line.duty.required_flow >= max(one.wanted for one in line.sets) * (1 - 1e-12)
    for one in line.duty.filling.zones:
        assert one.drained >= 0.0 and one.left >= -1e-12 and one.low <= bool(one.drains)
    for tube in line.tubes:  # every rise adds up round every ring
        weight = line.water.density * 9.80665 * (nodes[tube.end].elevation - nodes[tube.start].elevation)
        fall = nodes[tube.start].pressure_gauge - nodes[tube.end].pressure_gauge
        if tube.shut:
            assert tube.flow == 0.0
            continue
        assert fall == pytest.approx(tube.loss + weight, abs=3e-9 * line.supply_gauge), seed
        assert not tube.one_way or tube.flow > -1e-8 * line.total_flow
    if folder is None:
        return 0.0
    plumbing, layouts = houses.laid(text)
    demand, _ = engine(network_inp.line_text(line, "random"), folder)
    route = lay_route(plumbing, layouts)
    whole = dataclasses.replace(
        network_of(plumbing, route, line.supply),
        minor_k=np.array([tube.minor_k for tube in line.tubes]),
        minor_laminar=0.0,
        friction="swamee-jain-cubic",
        gravity=ENGINE_GRAVITY,
    )
    open_ = np.array([not tube.shut for tube in line.tubes])
    served = joined_to_supply(whole, open_)
    zone = {mark.name: mark.zone for mark in line.marks}
    runs = np.array([zone[mark.name] in line.duty.largest_zones for mark in route.marks.values()])
    runs &= served[whole.nozzle_node]
    ours = solve(subnetwork(whole, served, open_ & served[whole.start], runs)).nozzle_flow
    ids = {node.name: f"N{i}" for i, node in enumerate(line.nodes, 1)}
    theirs = np.array([demand[ids[node]] for node, shown in zip(route.marks, runs, strict=True) if shown])
    return float(np.max(np.abs(ours - theirs) / np.maximum(theirs, 1e-3 * theirs.max())))


@pytest.mark.parametrize("seed", range(4))
def test_random_houses_close(seed):
    check(seed)


@pytest.mark.thorough
def test_many_random_houses_close():
    for seed in range(4, 60):
        check(seed)


@pytest.mark.thorough
def test_random_houses_are_the_engines_own(tmp_path):
    """5e-4 on every nozzle, as for the houses typed out in tests/report/test_inp_houses.py."""
    worst = {seed: check(seed, tmp_path) for seed in range(100, 125)}
    assert max(worst.values()) < 5e-4, worst
