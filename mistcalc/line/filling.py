"""The line filled, brought up to pressure, and emptied again."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from mistcalc.line.supply import Curve, gauge_at
from mistcalc.line.tube_duty import weakest_tube
from mistcalc.line.ways import shortest, way_to
from mistcalc.model.project import Plumbing
from mistcalc.model.results import Filling, Layout, LineTube, SolvedLine
from mistcalc.physics import elastic, pipe, water

AIR_SHARE = 0.1 / 0.86  # air left in a filled line, of its volume at 1 atm: at most; judgement
ATMOSPHERE = 101325.0  # Pa
UP = 0.95  # of working pressure, where the gauge is said to be up
LEVEL = 1e-3  # m: nothing is called lower than another by less
_STEPS = 200


def filling(
    plumbing: Plumbing, layouts: Sequence[Layout], solved: SolvedLine, rated: float | None
) -> Filling:
    """Times to fill and to come up to pressure, what runs out of the drain and what is left standing.

    rated: the pump's flow [m3/s], at which it fills the line too; None on the main, which fills it at what
    friction leaves. Runs fall toward the drain by its slope, on top of what the project says of heights.
    """
    volume = sum(_volume(tube) for tube in solved.tubes)
    flow = rated if rated is not None else _filling_flow(solved)
    height = _heights(plumbing, solved)
    runs = {name for tube in solved.tubes if tube.run for name in (tube.start, tube.end)} or {
        solved.supply_node
    }
    lowest = min(runs, key=lambda name: height[name])
    drain = str(plumbing.drain.at) if plumbing.drain is not None else None
    drained = None
    if drain is not None and drain in height:
        drained = sum(
            _volume(t) * _above(height[t.start], height[t.end], height[drain]) for t in solved.tubes
        )
    standing, dribbling = _dribbling(plumbing, layouts, solved, height, runs)
    return Filling(
        flow=flow,
        time=volume / flow,
        pressure_time=_pressure_time(plumbing, solved, volume, rated),
        low_point=lowest,
        drain_volume=drained,
        left_volume=volume - (drained or 0.0),
        drain_low=drained is not None and height[drain or ""] <= height[lowest] + LEVEL,
        standing=standing,
        dribbling=dribbling,
    )


def _volume(tube: LineTube) -> float:
    return float(np.pi / 4.0 * tube.bore**2 * tube.length)


def _above(one: float, other: float, level: float) -> float:
    """Share of a straight tube between two heights that lies at or above a level."""
    low, high = min(one, other), max(one, other)
    if high - low < LEVEL:
        return 1.0 if low >= level - LEVEL else 0.0
    return float(np.clip((high - level) / (high - low), 0.0, 1.0))


# ------------------------------------------------------------------ heights


def _heights(plumbing: Plumbing, solved: SolvedLine) -> dict[str, float]:
    """Height of every node [m], level runs let down toward the drain by its slope."""
    height = {node.name: node.elevation for node in solved.nodes}
    if plumbing.drain is None or str(plumbing.drain.at) not in height:
        return height
    level = [t for t in solved.tubes if t.run or abs(height[t.start] - height[t.end]) < LEVEL]
    far, _ = shortest(str(plumbing.drain.at), level)
    return {name: z + plumbing.drain.slope * far.get(name, 0.0) for name, z in height.items()}


def _dribbling(
    plumbing: Plumbing,
    layouts: Sequence[Layout],
    solved: SolvedLine,
    height: Mapping[str, float],
    runs: set[str],
) -> tuple[float, tuple[str, ...]]:
    """(greatest standing pressure on a nozzle, marks that let it out) once the supply is shut.

    Water above a nozzle weighs on it until its anti-drip check holds it; without a check any nozzle below
    the highest point lets out what stands above it while the higher ones let air in.
    """
    top = max(height[name] for name in runs)
    greatest, low = 0.0, []
    for mark in (mark for layout in layouts for mark in layout.marks):
        name = mark.name if mark.name in height else f"{mark.patio}/{mark.name}"
        standing = solved.water.density * pipe.GRAVITY * (top - height.get(name, top))
        greatest = max(greatest, standing)
        held = plumbing.nozzle_at(mark.run, mark.name).opens_at or solved.water.density * pipe.GRAVITY * LEVEL
        if standing > held:
            low.append(mark.name)
    return greatest, tuple(low)


# ------------------------------------------------------------------ time


def _filling_flow(solved: SolvedLine) -> float:
    """Flow [m3/s] the main gives when the water's front stands at the far nozzle: the slowest it gets."""
    reached, _ = shortest(solved.supply_node, solved.tubes)
    far = way_to(solved, max(reached, key=reached.__getitem__))
    state, z = solved.water, {node.name: node.elevation for node in solved.nodes}
    lift = state.density * pipe.GRAVITY * (max(z.values()) - z[solved.supply_node])
    low, high = 0.0, solved.supply[-1][0]
    for _ in range(60):
        flow = (low + high) / 2.0
        lost = sum(
            float(
                pipe.pressure_loss(
                    flow,
                    tube.length,
                    tube.bore,
                    tube.roughness,
                    density=state.density,
                    viscosity=state.viscosity,
                    minor_k=tube.minor_k,
                )
            )
            for tube in far
        )
        low, high = (flow, high) if gauge_at(solved.supply, flow) > lost + lift else (low, flow)
    return max(low, 1e-9)


def _pressure_time(
    plumbing: Plumbing, solved: SolvedLine, volume: float, rated: float | None
) -> float | None:
    """Seconds from full to 95 % of set pressure, or of what the main holds.

    What comes in over what the nozzles let out presses the air that is left, the water and the tube. None
    where it never gets there.
    """
    tube, state = weakest_tube(plumbing), solved.water
    give = float(water.compressibility(state.temperature)) + float(
        elastic.stretch(tube.material, tube.outside, tube.wall)
    )
    working = plumbing.pump.set_pressure if plumbing.pump is not None else solved.supply_gauge
    gauge = np.linspace(0.0, UP * working, _STEPS + 1)
    air = AIR_SHARE * volume * ATMOSPHERE / (gauge + ATMOSPHERE) ** 2
    come = np.full(gauge.shape, rated) if rated is not None else _main_at(solved.supply, gauge)
    let = solved.total_flow * (gauge / solved.supply_gauge) ** solved.nozzle_exponent
    if solved.opens_at:
        let = np.where(gauge >= solved.opens_at, let, 0.0)
    surplus = come - let
    if np.any(surplus <= 0.0):
        return None
    return float(np.trapezoid((air + volume * give) / surplus, gauge))


def _main_at(curve: Curve, gauge: np.ndarray) -> np.ndarray:
    """Flow [m3/s] a falling supply gives at each pressure."""
    flow, held = (np.array(side) for side in zip(*curve, strict=True))
    return np.interp(-gauge, -held, flow)
