"""The solved line as an EPANET 2.2 input file, so that anyone can check it in an independent engine.

Nothing is computed but units: the file holds what the Line holds. Three things the engine cannot hold are
said in its head: an anti-drip check (its nozzles are open at any pressure), our friction law, and zones
(the marks of other zones are shut).
"""

from __future__ import annotations

from mistcalc.model.results import Design, Line

ENGINE_GRAVITY = (
    32.2 * 0.3048
)  # m/s2, used inside the engine: heads converted with it give our pressures back
ENGINE_VISCOSITY = 1.1e-5 * 0.3048**2  # m2/s: what the engine calls a viscosity of 1
SHORTEST = 1e-3  # m: the engine refuses a pipe of no length


def text(design: Design) -> str:
    """The `.inp` of a design's line."""
    project = design.project
    return line_text(design.line, f"{project.name}, revision {project.revision.letter}, code {design.code}")


def line_text(line: Line, title: str = "") -> str:
    """The `.inp` of one solved line: litres per second, metres of this water, Darcy-Weisbach.

    Nodes become N1, N2, ... (names may be longer than the engine allows) with their own name beside them.
    """
    nodes = {node.name: f"N{i}" for i, node in enumerate(line.nodes, 1)}
    metre = line.water.density * ENGINE_GRAVITY  # Pa
    coefficient = line.nozzle_coefficient * metre**line.nozzle_exponent * 1e3
    open_here = [mark for mark in line.marks if mark.zone == line.duty.largest_zone]
    labels = _mark_nodes(line)
    rows = [
        "[TITLE]",
        *([_clean(title)] if title else []),
        "Pressures are heads of the line's own water; 1 m = " + f"{metre:.6g} Pa.",
        f"Zone open: {_clean(line.duty.largest_zone)}. Anti-drip checks are left out.",
        f"Solved with the {line.friction_law} friction law; the engine's own differs at Re 2000-4000.",
        "",
        "[JUNCTIONS]",
        *(f" {nodes[n.name]} {_figure(n.elevation)} 0 ;{_clean(n.name)}" for n in line.nodes),
        "",
        "[RESERVOIRS]",
        f" SOURCE {_figure(_elevation(line, line.supply_node))}",
        "",
        "[PIPES]",
        *_pipes(line, nodes),
        "",
        "[PUMPS]",
        f" SUPPLY SOURCE {nodes[line.supply_node]} HEAD SUPPLY",
        "",
        "[CURVES]",
        *(
            f" SUPPLY {_figure(flow * 1e3)} {_figure(gauge / metre)}"
            for flow, gauge in _straight(line.supply)
        ),
        "",
        "[EMITTERS]",
        *(f" {nodes[labels[mark.patio, mark.name]]} {_figure(coefficient)}" for mark in open_here),
        "",
        "[OPTIONS]",
        " UNITS LPS",
        " HEADLOSS D-W",
        f" VISCOSITY {_figure(line.water.viscosity / line.water.density / ENGINE_VISCOSITY)}",
        f" EMITTER EXPONENT {_figure(line.nozzle_exponent)}",
        " TRIALS 500",
        " ACCURACY 0.00001",
        "",
        "[TIMES]",
        " DURATION 0",
        "",
        "[COORDINATES]",
        *(f" {nodes[n.name]} {_figure(n.point[0])} {_figure(n.point[1])}" for n in line.nodes if n.point),
        "",
        "[END]",
    ]
    return "\n".join(rows) + "\n"


def _pipes(line: Line, nodes: dict[str, str]) -> list[str]:
    return [
        f" T{i} {nodes[t.start]} {nodes[t.end]} {_figure(max(t.length, SHORTEST))} {_figure(t.bore * 1e3)} "
        f"{_figure(t.roughness * 1e3)} {_figure(t.minor_k)} Open"
        for i, t in enumerate(line.tubes, 1)
    ]


def _straight(points: tuple[tuple[float, float], ...]) -> list[tuple[float, float]]:
    """The supply's points, at least four: three the engine would read as a power law. Points below no
    pressure it refuses: the last straight line is cut where it gets there."""
    kept = [point for point in points if point[1] >= 0.0]
    if len(kept) < len(points) and kept[-1][1] > 0.0:
        (q0, p0), (q1, p1) = kept[-1], points[len(kept)]
        kept.append((q0 + (q1 - q0) * p0 / (p0 - p1), 0.0))
    while len(kept) < 4:
        (q0, p0), (q1, p1) = kept[:2]
        kept.insert(1, ((q0 + q1) / 2, (p0 + p1) / 2))
    return kept


def _mark_nodes(line: Line) -> dict[tuple[str, str], str]:
    """Node name of each mark: its own, or with its patio before it where two patios share the name."""
    known = {node.name for node in line.nodes}
    return {
        (mark.patio, mark.name): both if (both := f"{mark.patio}/{mark.name}") in known else mark.name
        for mark in line.marks
    }


def _elevation(line: Line, name: str) -> float:
    return next(node.elevation for node in line.nodes if node.name == name)


def _figure(value: float) -> str:
    return f"{value:.9g}"


def _clean(text: str) -> str:
    """One line of plain ASCII without what the format gives a meaning to."""
    told = text.encode("ascii", "replace").decode().translate({ord(c): " " for c in '[];"\r\n\t'})
    return " ".join(told.split())[:80]
