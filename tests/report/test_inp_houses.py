"""Houses from the text of their project file to the engine: EPANET 2.2 through `wntr` reads our `.inp`."""

import dataclasses

import numpy as np
import pytest

from mistcalc.line.network.solver import solve
from mistcalc.line.piping.build_network import network_of
from mistcalc.line.piping.pipe_graph import lay_route
from mistcalc.report.exports import network_inp
from tests.line import houses
from tests.report.test_network_inp import engine

ENGINE_GRAVITY = 32.2 * 0.3048
HOUSES = {
    "ring": houses.RING,
    "three branches": houses.BRANCHES,
    "two patios": houses.TWO_PATIOS,
    "two rows": houses.TWO_ROWS,
    "spring in the feed": houses.BRANCHES.replace(
        'fittings = { elbow = 2, "ball valve" = 1 }',
        'fittings = { elbow = 2, "check valve" = 1 }\ncheck_opens_at = "15 psi"',
    ),
    "ring parted by a check valve": houses.RING.replace(
        "fittings = { elbow = 3 }", 'fittings = { elbow = 3, "check valve" = 1 }'
    ),
}


@pytest.mark.parametrize("name", HOUSES)
def test_a_house_is_the_engines_own(name, tmp_path):
    """With the engine's friction law and gravity every nozzle's flow is the engine's within 5e-4: its own
    stopping rule (1e-5 on flow changes) and rounding of its constants leave that much."""
    plumbing, layouts = houses.laid(HOUSES[name])
    line = houses.solved(HOUSES[name])
    demand, _ = engine(network_inp.line_text(line, name), tmp_path)
    route = lay_route(plumbing, layouts)
    ours = dataclasses.replace(
        network_of(plumbing, route, line.supply),
        minor_k=np.array([tube.minor_k for tube in line.tubes]),  # as written: at our own flows
        minor_laminar=0.0,
        opens_at=0.0,
        friction="swamee-jain-cubic",
        gravity=ENGINE_GRAVITY,
    )
    ids = {node.name: f"N{i}" for i, node in enumerate(line.nodes, 1)}
    theirs = [demand[ids[node]] for node in route.marks]
    np.testing.assert_allclose(solve(ours).nozzle_flow, theirs, rtol=5e-4)
    # and the line as planned, with Churchill's friction: 5e-3, the two laws' difference
    np.testing.assert_allclose([mark.flow for mark in line.marks], theirs, rtol=5e-3)


def test_mixed_nozzles_and_warm_water_are_said(tmp_path):
    line = houses.solved(houses.MIXED)
    text = network_inp.line_text(line)
    assert text.count(";water at 308.1 K") == 1 and text.count(";water at 313.1 K") > 5
    demand, _ = engine(text, tmp_path)
    coarse = next(mark for mark in line.marks if mark.name == "A5")
    node = next(f"N{i}" for i, n in enumerate(line.nodes, 1) if n.name == "A5")
    # colder water in the file's narrow tube: friction is up to 10 % more, of a few percent of the pressure
    assert demand[node] == pytest.approx(coarse.flow, rel=5e-3)
    assert coarse.flow > 3 * min(mark.flow for mark in line.marks)
