"""The solved line as an EPANET 2.2 input file, so that anyone can check it in an independent engine.

Nothing is computed but units: the file holds what the Line holds. What the engine cannot hold is said in its
head: an anti-drip check (its nozzles are open at any pressure), our friction law, other zones (their valves
are shut, their marks closed), water of more than one temperature, nozzles of more than one exponent.
"""

from __future__ import annotations

from mistcalc.model.results import Design, Line, LineTube, MarkFlow
from mistcalc.units import to_si

ENGINE_GRAVITY = to_si(
    32.2, "ft", "length"
)  # m/s2, in the engine: heads converted with it give our pressures
ENGINE_VISCOSITY = to_si(1.1e-5, "sq ft", "area")  # m2/s: what the engine calls a viscosity of 1
TRICKLE = 1e-4  # L/s: a spring check valve is taken to be open from here on
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
    rows = [
        "[TITLE]",
        *([_clean(title)] if title else []),
        "Pressures are heads of the line's own water; 1 m = " + f"{metre:.6g} Pa.",
        f"Open: {_clean(', '.join(line.duty.largest_zones))}. Anti-drip checks are left out.",
        f"Solved with the {line.friction_law} friction law; the engine's own differs at Re 2000-4000.",
        *_left_out(line),
        "",
        "[JUNCTIONS]",
        *(f" {nodes[n.name]} {_figure(n.elevation)} 0 ;{_clean(n.name)}" for n in line.nodes),
        *(f" {_between(i)} {_figure(_elevation(line, t.end))} 0" for i, t in _sprung(line)),
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
        *_springs(line, nodes),
        "[CURVES]",
        *(
            f" SUPPLY {_figure(flow * 1e3)} {_figure(gauge / metre)}"
            for flow, gauge in _straight(line.supply)
        ),
        *(row for i, t in _sprung(line) for row in _spring(i, t.opens_at / metre)),
        "",
        "[EMITTERS]",
        *_emitters(line, nodes, metre),
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


def _left_out(line: Line) -> list[str]:
    """What this line has and the engine has not."""
    sentences = []
    if any(mark.exponent != line.nozzle_exponent for mark in line.marks):
        sentences.append(
            "Nozzles of another exponent are given the coefficient that is right at their pressure."
        )
    if any(_own_water(line, tube) for tube in line.tubes):
        sentences.append("All water is as warm as at the source; tubes solved with warmer or colder say so.")
    if any(_status(tube) == "Closed" for tube in line.tubes):
        sentences.append("Closed tubes are shut zone valves, and check valves that their springs hold shut.")
    return sentences


def _emitters(line: Line, nodes: dict[str, str], metre: float) -> list[str]:
    labels = _mark_nodes(line)
    return [
        f" {nodes[labels[mark.patio, mark.name]]} {_figure(_emitter(line, mark, metre))}"
        for mark in line.marks
        if mark.zone in line.duty.largest_zones
    ]


def _emitter(line: Line, mark: MarkFlow, metre: float) -> float:
    """Litres per second at one metre, for the one exponent the engine knows."""
    gauge = mark.pressure_gauge if mark.pressure_gauge > 0.0 else line.supply_gauge
    here = mark.coefficient * gauge ** (mark.exponent - line.nozzle_exponent)
    return here * metre**line.nozzle_exponent * 1e3


def _pipes(line: Line, nodes: dict[str, str]) -> list[str]:
    """A check valve is the engine's own; one with a spring has the spring behind it."""
    sprung = dict(_sprung(line))
    return [
        f" T{i} {nodes[t.start]} {_between(i) if i in sprung else nodes[t.end]} "
        f"{_figure(max(t.length, SHORTEST))} {_figure(t.bore * 1e3)} {_figure(t.roughness * 1e3)} "
        f"{_figure(t.minor_k)} {_status(t)}"
        + (f" ;water at {t.temperature:.1f} K" if _own_water(line, t) else "")
        for i, t in enumerate(line.tubes, 1)
    ]


def _springs(line: Line, nodes: dict[str, str]) -> list[str]:
    """The spring of a check valve as a valve with a curve of its own: flow against head."""
    rows = [
        f" V{i} {_between(i)} {nodes[t.end]} {_figure(t.bore * 1e3)} GPV SPRING{i} 0"
        for i, t in _sprung(line)
    ]
    return ["[VALVES]", *rows, ""] if rows else []


def _spring(number: int, head: float) -> list[str]:
    """Full head from a trickle on; the engine wants it to rise."""
    points = ((0.0, 0.0), (TRICKLE, head), (1.0, head * (1.0 + 1e-6)))
    return [f" SPRING{number} {_figure(flow)} {_figure(lost)}" for flow, lost in points]


def _sprung(line: Line) -> list[tuple[int, LineTube]]:
    """Tubes whose open check valve takes a pressure, and their number. The engine does not settle on a spring
    behind a shut valve."""
    return [
        (i, t) for i, t in enumerate(line.tubes, 1) if t.one_way and not t.shut and t.loss >= t.opens_at > 0.0
    ]


def _status(tube: LineTube) -> str:
    """A valve that its spring alone holds shut, though a little pressure pushes, is closed for the engine."""
    if tube.shut:
        return "Closed"
    if tube.one_way and 0.0 <= tube.loss < tube.opens_at:
        return "Closed"
    return "CV" if tube.one_way else "Open"


def _between(number: int) -> str:
    """The node between a tube and the spring of its check valve."""
    return f"C{number}"


def _own_water(line: Line, tube: LineTube) -> bool:
    return tube.temperature is not None and abs(tube.temperature - line.water.temperature) > 0.01


def _straight(points: tuple[tuple[float, float], ...]) -> list[tuple[float, float]]:
    """The supply's points, at least four: three the engine would read as a power law. Points below no
    pressure it refuses: the last straight line is cut where it gets there."""
    curve = [point for point in points if point[1] >= 0.0]
    if len(curve) < len(points) and curve[-1][1] > 0.0:
        (q0, p0), (q1, p1) = curve[-1], points[len(curve)]
        curve.append((q0 + (q1 - q0) * p0 / (p0 - p1), 0.0))
    while len(curve) < 4:
        (q0, p0), (q1, p1) = curve[:2]
        curve.insert(1, ((q0 + q1) / 2, (p0 + p1) / 2))
    return curve


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
    plain = text.encode("ascii", "replace").decode().translate({ord(c): " " for c in '[];"\r\n\t'})
    return " ".join(plain.split())[:80]
