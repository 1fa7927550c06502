"""The line filled, brought up to pressure, and emptied again."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from mistcalc.line.network.supply_curve import Curve, gauge_at
from mistcalc.line.piping.shortest_path import shortest, way_to
from mistcalc.line.sizing.tube_loads import weakest_tube
from mistcalc.model.practice import AIR_LEFT
from mistcalc.model.project import Drain, Plumbing
from mistcalc.model.results import FillAndDrain, Layout, LineTube, SolvedLine, ZoneDrain
from mistcalc.physics import pipe, tube_elasticity, water
from mistcalc.physics.air import pressure_at_elevation

UP = 0.95  # of working pressure, where the gauge is said to be up
LEVEL = 1e-3  # m: nothing is called lower than another by less
_STEPS = 200
_ATMOSPHERE = float(pressure_at_elevation(0.0))  # Pa


def fill_and_drain_of(
    plumbing: Plumbing, layouts: Sequence[Layout], solved: SolvedLine, rated: float | None
) -> FillAndDrain:
    """Times to fill and to come up to pressure, what runs out of the drains and what is left standing.

    rated: the pump's flow [m3/s], at which it fills the line too; None on the main, which fills it at what
    friction leaves. Runs fall toward their drain by its slope, on top of what the project says of heights. A
    drain empties only what hangs together with it while all zone valves are shut.
    """
    volume = sum(_volume(tube) for tube in solved.tubes)
    flow = rated if rated is not None else _filling_flow(solved)
    far, _ = shortest(solved.supply_node, solved.tubes)
    parts = parts_of(plumbing, solved, far)
    height = {name: z for part in parts for name, z in part.height.items()}
    runs = {name for part in parts for name in part.runs} or {solved.supply_node}
    drained = sum(_drained(part) for part in parts)
    zones = tuple(_zone_drain(zone.name, layouts, plumbing, parts, far) for zone in solved.zones)
    standing, dribbling = _dribbling(plumbing, layouts, solved, parts)
    feed_low, feed_left = _shut_feed(plumbing, solved, height, far)
    return FillAndDrain(
        flow=flow,
        time=volume / flow,
        pressure_time=_pressure_time(plumbing, solved, volume, rated),
        low_point=_lowest({name: height[name] for name in runs}, far),
        drain_volume=drained if any(part.drains for part in parts) else None,
        left_volume=volume - drained,
        drain_low=all(zone.low for zone in zones),
        standing=standing,
        dribbling=dribbling,
        zones=zones,
        feed_low=feed_low,
        feed_left=feed_left,
    )


def _shut_feed(
    plumbing: Plumbing, solved: SolvedLine, height: Mapping[str, float], far: Mapping[str, float]
) -> tuple[str, float]:
    """(lowest place, m3 in it) of the tube between the supply and the zone valves where no drain is on it."""
    free = [tube for tube in solved.tubes if not tube.valves]
    reached, _ = shortest(solved.supply_node, free)
    feed = [tube for tube in free if tube.start in reached and tube.end in reached]
    drained = any(str(drain.at) in reached for drain in plumbing.drains)
    if not feed or drained or any(tube.run for tube in feed):
        return "", 0.0
    ends = {end for tube in feed for end in (tube.start, tube.end)}
    return _lowest({name: height[name] for name in ends}, far), sum(_volume(tube) for tube in feed)


def _volume(tube: LineTube) -> float:
    return float(np.pi / 4.0 * tube.bore**2 * tube.length)


def _above(height: float, other: float, level: float) -> float:
    """Share of a straight tube between two heights that lies at or above a level."""
    low, high = min(height, other), max(height, other)
    if high - low < LEVEL:
        return 1.0 if low >= level - LEVEL else 0.0
    return min(max((high - level) / (high - low), 0.0), 1.0)


# ------------------------------------------------------------------ what hangs together


@dataclass(frozen=True)
class IsolatedSection:
    """What of the line hangs together while all zone valves are shut, and how high it lies [m]."""

    tubes: tuple[LineTube, ...]
    height: Mapping[str, float]
    drains: tuple[str, ...]  # their nodes

    @cached_property
    def runs(self) -> set[str]:
        """Nodes on runs."""
        return {name for tube in self.tubes if tube.run for name in (tube.start, tube.end)}


def parts_of(plumbing: Plumbing, solved: SolvedLine, far: Mapping[str, float]) -> list[IsolatedSection]:
    """The line parted by its zone valves. A valve stands where its piece sets out from the source; far: each
    node's way from there."""
    group: dict[str, set[str]] = {node.name: {node.name} for node in solved.nodes}
    for tube in solved.tubes:
        start_group, other = group[tube.start], group[tube.end]
        if not tube.valves and start_group is not other:
            start_group |= other
            group.update(dict.fromkeys(other, start_group))
    inside: dict[int, list[LineTube]] = {}
    for tube in solved.tubes:
        behind = max(tube.start, tube.end, key=lambda name: far.get(name, np.inf))
        inside.setdefault(id(group[behind]), []).append(tube)
    elevation = {node.name: node.elevation for node in solved.nodes}
    made = []
    for names in {id(names): names for names in group.values()}.values():
        tubes = inside.get(id(names), [])
        drains = [drain for drain in plumbing.drains if str(drain.at) in names]
        ends = {
            end for tube in tubes for end in (tube.start, tube.end)
        }  # of a valve's piece the far side too
        z = {name: elevation[name] for name in sorted(names | ends)}
        made.append(
            IsolatedSection(tuple(tubes), _fallen(z, tubes, drains), tuple(str(drain.at) for drain in drains))
        )
    return made


def _fallen(
    height: Mapping[str, float], tubes: Sequence[LineTube], drains: Sequence[Drain]
) -> dict[str, float]:
    """Heights with level runs let down toward the nearest drain by its slope."""
    level = [t for t in tubes if t.run or abs(height[t.start] - height[t.end]) < LEVEL]
    ways = [(drain.slope, shortest(str(drain.at), level)[0]) for drain in drains]
    return {
        name: z + min((slope * way[name] for slope, way in ways if name in way), default=0.0)
        for name, z in height.items()
    }


def _drained(part: IsolatedSection) -> float:
    """What runs out of a part's lowest drain [m3]."""
    if not part.drains:
        return 0.0
    level = min(part.height[name] for name in part.drains)
    return sum(_volume(t) * _above(part.height[t.start], part.height[t.end], level) for t in part.tubes)


def _lowest(height: Mapping[str, float], far: Mapping[str, float]) -> str:
    """The lowest of some places; on a level line the one with the shortest way from the source."""
    level = min(height.values(), default=0.0) + LEVEL
    low = (name for name, z in height.items() if z <= level)
    return min(low, key=lambda name: (far.get(name, np.inf), name), default="")


def _zone_drain(
    zone: str,
    layouts: Sequence[Layout],
    plumbing: Plumbing,
    parts: Sequence[IsolatedSection],
    far: Mapping[str, float],
) -> ZoneDrain:
    runs = {run for stated_zone in plumbing.zones if stated_zone.name == zone for run in stated_zone.runs}
    runs = runs or {run.name for layout in layouts for run in layout.lid.rows}
    here = [part for part in parts if any(tube.run in runs for tube in part.tubes)]
    height = {name: z for part in here for name, z in part.height.items() if name in part.runs}
    drained = sum(_drained(part) for part in here)
    return ZoneDrain(
        zone=zone,
        low_point=_lowest(height, far),
        drains=tuple(name for part in here for name in part.drains),
        low=bool(here) and all(_low(part) for part in here),
        drained=drained,
        left=sum(_volume(tube) for part in here for tube in part.tubes) - drained,
    )


def _low(part: IsolatedSection) -> bool:
    """Is a drain of it as low as the lowest place of its runs?"""
    lowest = min(part.height[name] for name in part.runs)
    return any(part.height[name] <= lowest + LEVEL for name in part.drains)


def _dribbling(
    plumbing: Plumbing, layouts: Sequence[Layout], solved: SolvedLine, parts: Sequence[IsolatedSection]
) -> tuple[float, tuple[str, ...]]:
    """(greatest standing pressure on a nozzle, marks that let it out) once supply and valves are shut.

    Water above a nozzle weighs on it until its anti-drip check holds it; without a check any nozzle below
    the highest point lets out what stands above it while the higher ones let air in.
    """
    above: dict[str, float] = {}
    for part in parts:
        highest = max((part.height[name] for name in part.runs), default=0.0)
        above |= {name: highest - part.height[name] for name in part.runs}
    weight = solved.water.density * pipe.GRAVITY
    greatest, low = 0.0, []
    for mark in (mark for layout in layouts for mark in layout.marks):
        both = f"{mark.patio}/{mark.name}"
        standing = weight * above.get(both, above.get(mark.name, 0.0))
        greatest = max(greatest, standing)
        held = plumbing.nozzle_at(mark.run, mark.name).opens_at or weight * LEVEL
        if standing > held:
            low.append(mark.name)
    return greatest, tuple(low)


# ------------------------------------------------------------------ time


def _filling_flow(solved: SolvedLine) -> float:
    """Flow [m3/s] the main gives when the water's front stands at the far nozzle: the slowest it gets."""
    reached, _ = shortest(solved.supply_node, solved.tubes)
    far = way_to(solved.supply_node, solved.tubes, max(reached, key=reached.__getitem__))
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
    where it never gets there, or where a line that falls away draws more through the pump than it can give.
    """
    if solved.supply_gauge <= 0.0:
        return None
    tube, state = weakest_tube(plumbing), solved.water
    give = float(water.compressibility(state.temperature)) + float(
        tube_elasticity.volume_compliance(tube.material, tube.outside, tube.wall)
    )
    working = plumbing.pump.set_pressure if plumbing.pump is not None else solved.supply_gauge
    gauge = np.linspace(0.0, UP * working, _STEPS + 1)
    air = AIR_LEFT * volume * _ATMOSPHERE / (gauge + _ATMOSPHERE) ** 2
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
