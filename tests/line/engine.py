"""The same arrays solved by an independent engine (EPANET 2.2 through `wntr`): the tests' own writer.

Its libraries take seconds to load, and every worker reads this file: they are loaded by the test that asks.
"""

from contextlib import contextmanager

import numpy as np

ENGINE_NODE_DEMAND, ENGINE_NODE_HEAD, ENGINE_LINK_FLOW = 9, 10, 8  # EN_DEMAND, EN_HEAD, EN_FLOW
ENGINE_VISCOSITY = 1.1e-5 * 0.3048**2  # m2/s: what the engine calls viscosity 1


def inp(net):
    """Text of an `.inp` in LPS units; heads are metres of this water at the network's own gravity.

    The supply is a reservoir and a pump with the supply's curve. The engine knows no anti-drip check and no
    K1/Re: leave them out of `net`.
    """
    density, viscosity = float(np.max(net.density)), float(np.max(net.viscosity))
    metre = density * net.gravity
    exponent = float(np.max(net.exponent))
    minor = np.broadcast_to(net.minor_k, net.start.shape)
    rough = np.broadcast_to(net.roughness, net.start.shape)
    rows = ["[JUNCTIONS]"]
    rows += [f"N{i} {z!r} 0" for i, z in enumerate(map(float, net.elevation))]
    rows += ["[RESERVOIRS]", f"SOURCE {float(net.elevation[net.supply_node])!r}", "[PIPES]"]
    rows += [
        f"T{i} N{a} N{b} {length!r} {bore * 1e3!r} {e * 1e3!r} {k!r} Open"
        for i, (a, b, length, bore, e, k) in enumerate(
            zip(*(x.tolist() for x in (net.start, net.end, net.length, net.bore, rough, minor)), strict=True)
        )
    ]
    rows += ["[PUMPS]", f"SUPPLY SOURCE N{net.supply_node} HEAD CURVE", "[CURVES]"]
    points = list(zip(net.supply_flow.tolist(), net.supply_gauge.tolist(), strict=True))
    # three points would be read as a power law: one more on the first straight line keeps them straight
    (q0, p0), (q1, p1) = points[:2]
    points.insert(1, ((q0 + q1) / 2, (p0 + p1) / 2))
    rows += [f"CURVE {q * 1e3!r} {max(p / metre, 0.0)!r}" for q, p in points]
    rows += ["[EMITTERS]"]
    rows += [
        f"N{n} {c * metre**exponent * 1e3!r}"
        for n, c in zip(net.nozzle_node.tolist(), net.coefficient.tolist(), strict=True)
    ]
    rows += ["[OPTIONS]", "UNITS LPS", "HEADLOSS D-W", "TRIALS 500", "ACCURACY 0.00001"]
    rows += [f"EMITTER EXPONENT {exponent}", f"VISCOSITY {viscosity / density / ENGINE_VISCOSITY!r}"]
    return "\n".join([*rows, "[TIMES]", "DURATION 0", "[END]", ""])


def solve(net, folder):
    """Node gauge pressures [Pa], nozzle flows and tube flows [m3/s] as the engine has them."""
    from wntr.epanet import toolkit

    path = folder / "line.inp"
    path.write_text(inp(net))
    engine = toolkit.ENepanet(version=2.2)
    engine.ENopen(str(path), str(folder / "line.rpt"), str(folder / "line.out"))
    engine.ENopenH()
    engine.ENinitH(0)
    engine.ENrunH()

    def at_nodes(code):
        index = [engine.ENgetnodeindex(f"N{i}") for i in range(net.elevation.size)]
        return np.array([engine.ENgetnodevalue(i, code) for i in index])

    head, demand = at_nodes(ENGINE_NODE_HEAD), at_nodes(ENGINE_NODE_DEMAND)
    links = [engine.ENgetlinkindex(f"T{i}") for i in range(net.start.size)]
    tubes = np.array([engine.ENgetlinkvalue(i, ENGINE_LINK_FLOW) for i in links]) * 1e-3
    engine.ENcloseH()
    engine.ENclose()
    gauge = (head - net.elevation) * float(np.max(net.density)) * net.gravity
    return gauge, demand[net.nozzle_node] * 1e-3, tubes


@contextmanager
def core(net, folder):
    """A call that solves the network by the engine's core alone, from its own first flows."""
    from wntr.epanet import toolkit

    path = folder / "core.inp"
    path.write_text(inp(net))
    engine = toolkit.ENepanet(version=2.2)
    engine.ENopen(str(path), str(folder / "core.rpt"), str(folder / "core.out"))
    engine.ENopenH()

    def run():
        engine.ENinitH(10)  # do not save, do start afresh
        engine.ENrunH()

    yield run
    engine.ENcloseH()
    engine.ENclose()


def model(net, folder):
    """The same network as a `wntr` model."""
    import wntr

    path = folder / "model.inp"
    path.write_text(inp(net))
    return wntr.network.WaterNetworkModel(str(path))
