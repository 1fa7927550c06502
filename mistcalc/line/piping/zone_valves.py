"""Where the valves of the zones stand, and what has water while some of them are open.

A zone is made of runs, and a run is in one zone, so that all of a run is one place here: what is left is a
small graph of runs, pieces and named places. Check valves let water through one way.
"""

from __future__ import annotations

import heapq
from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from mistcalc.line.piping.pipe_graph import Route
from mistcalc.model.project import Plumbing

VALVE = "solenoid valve"
Beside = dict[str, list[tuple[str, int]]]  # where water may go from each place, and by which tube


@dataclass(frozen=True)
class RunningZones:
    """Zones asked to run, all that then pass water, and the tubes in which a zone's valve is shut."""

    asked: tuple[str, ...]
    zones: tuple[str, ...]
    opened: tuple[str, ...]  # whose valves must be open for it
    shut: frozenset[int]


@dataclass(frozen=True)
class ZonePath:
    """Tubes from the source to a place, in order, and the zones whose shut valves it passes."""

    tubes: tuple[int, ...]
    passes: frozenset[str]


@dataclass(frozen=True)
class Zoning:
    """The zones of a routed line. valves: tubes by their number in the route."""

    route: Route
    runs: dict[str, tuple[str, ...]]  # of each zone
    valves: dict[str, tuple[int, ...]]
    allowed: tuple[tuple[str, ...], ...]  # sets stated to run together

    @cached_property
    def zone_of(self) -> dict[str, str]:
        """The zone of each run; of one that no zone names, the first."""
        first = next(iter(self.runs))
        zone_by_run = {mark.run: first for mark in self.route.marks.values()}
        return zone_by_run | {run: zone for zone, runs in self.runs.items() for run in runs}

    @cached_property
    def place_of(self) -> dict[str, str]:
        return _places(self.route)

    @cached_property
    def beside(self) -> Beside:
        return _beside(self.route, self.place_of)

    @cached_property
    def source(self) -> str:
        return self.place_of.get(self.route.source, self.route.source)

    @cached_property
    def sets(self) -> tuple[RunningZones, ...]:
        """Every zone alone, then the sets that are allowed; each way of running once."""
        zone_sets: dict[tuple[tuple[str, ...], frozenset[int]], RunningZones] = {}
        for asked in (*((zone,) for zone in self.runs), *self.allowed):
            zone_set = self.open_set(asked)
            zone_sets.setdefault((zone_set.zones, zone_set.shut), zone_set)
        return tuple(zone_sets.values())

    def open_set(self, asked: Collection[str]) -> RunningZones:
        """What runs when these zones are asked for: theirs, those they hang behind, those that leak."""
        opened = set(asked)
        for zone in asked:
            for run in self._wetted(zone):
                way = self.way(run, opened)
                opened |= way.passes if way is not None else set()
        running = self.watered(opened) | set(asked)
        return RunningZones(
            tuple(zone for zone in self.runs if zone in asked),
            tuple(zone for zone in self.runs if zone in running),
            tuple(zone for zone in self.runs if zone in opened),
            self.shut(opened),
        )

    def shut(self, opened: Collection[str]) -> frozenset[int]:
        """Tubes in which some valve is shut."""
        return frozenset(n for zone, tubes in self.valves.items() if zone not in opened for n in tubes)

    def watered(self, opened: Collection[str]) -> set[str]:
        """Zones of which a run has water while these valves are open."""
        reached = _reached(self.beside, self.source, self.shut(opened))
        return {self.zone_of[run] for run in self.zone_of if run in reached}

    def way(self, place: str, opened: Collection[str], never: Collection[int] = ()) -> ZonePath | None:
        """The way to a place past the fewest shut valves, not through some tubes; None: there is none."""
        shut_in: dict[int, set[str]] = {}
        for zone, tubes in self.valves.items():
            for n in tubes if zone not in opened else ():
                shut_in.setdefault(n, set()).add(zone)
        queue: list[tuple[int, int, str, tuple[int, ...], frozenset[str]]]
        queue = [(0, 0, self.source, (), frozenset())]
        seen: set[str] = set()
        while queue:
            _, steps, here, tubes, passed = heapq.heappop(queue)
            if here == place:
                return ZonePath(tubes, passed)
            if here in seen:
                continue
            seen.add(here)
            for there, n in self.beside.get(here, ()):
                if n not in never:
                    now = passed | shut_in.get(n, set())
                    heapq.heappush(queue, (len(now), steps + 1, there, (*tubes, n), now))
        return None

    def leak(self, zone: str) -> tuple[tuple[str, ...], int] | None:
        """(zones that are open, the tube it comes by) when water reaches a zone whose valve is shut. Nothing
        open comes first."""
        for asked in ((), *((other,) for other in self.runs if other != zone)):
            opened = self.open_set(asked).opened
            if zone in opened or zone not in self.watered(opened):
                continue
            for run in self._wetted(zone):
                way = self.way(run, opened, self.shut(opened))
                if way is not None and way.tubes:
                    return asked, way.tubes[-1]
        return None

    def leaves(self, zone: str, behind: Collection[str]) -> tuple[int, str] | None:
        """(the last tube on the way to a zone that sets out from a run of these others, its far end)."""
        runs = {run for other in behind for run in self.runs[other]}
        for run in self._wetted(zone):
            way = self.way(run, (zone, *behind))
            here, branch = self.source, None
            for n in way.tubes if way is not None else ():
                start, end = _ends(self.route, self.place_of, n)
                forward = start == here
                if here in runs:
                    tube = self.route.tubes[n]
                    branch = n, tube.end if forward else tube.start
                here = end if forward else start
            if branch is not None:
                return branch
        return None

    def nearness(self, n: int) -> int:
        """Place of a tube's nearer end among all nodes in order of their distance from the source."""
        order = list(self.route.elevation)
        return order.index(self.near_end(n))

    def near_end(self, n: int) -> str:
        tube = self.route.tubes[n]
        return min(tube.start, tube.end, key=list(self.route.elevation).index)

    def _wetted(self, zone: str) -> Iterator[str]:
        """Runs of a zone that have a mark or a tube."""
        known = set(self.place_of.values())
        return (run for run in self.runs[zone] if run in known)


def zoning_of(plumbing: Plumbing, route: Route) -> Zoning:
    """Zones with their valves: where the project says, else where one would be put.

    That is in the piece which brings water to this zone alone (else to the fewest others), rather in one that
    lists a solenoid valve, rather near the source. Where no single piece does, in its feeds that list one. A
    line in one zone has a valve only where a piece lists it.
    """
    zones = {zone.name: zone.runs for zone in plumbing.zones} or {"": ()}
    stated = {zone.name: zone.valves for zone in plumbing.zones}
    place_of = _places(route)
    beside, source = _beside(route, place_of), place_of.get(route.source, route.source)
    names = [f"{tube.start} to {tube.end}" if not tube.run else "" for tube in route.tubes]
    cuts = {
        n: set(place_of.values()) - _reached(beside, source, {n})
        for n, tube in enumerate(route.tubes)
        if not tube.run and (len(zones) > 1 or VALVE in tube.fittings)
    }
    valves = {}
    for zone, zone_runs in zones.items():
        if stated.get(zone):
            valves[zone] = tuple(n for n, name in enumerate(names) if name in stated[zone])
        else:
            wanted = set(zone_runs) or {mark.run for mark in route.marks.values()}
            wanted &= set(place_of.values())
            valves[zone] = _usual(route, place_of, beside, wanted, cuts, len(zones) == 1)
    return Zoning(route, zones, valves, plumbing.together)


def with_valves(route: Route, zoning: Zoning) -> Route:
    """The route with the loss of every zone's valve in it, listed by the piece or not."""
    held = {n for tubes in zoning.valves.values() for n in tubes}
    tubes = tuple(
        tube._replace(fittings=(*tube.fittings, VALVE)) if n in held and VALVE not in tube.fittings else tube
        for n, tube in enumerate(route.tubes)
    )
    return replace(route, tubes=tubes)


# ------------------------------------------------------------------ inside


def _usual(
    route: Route,
    place_of: dict[str, str],
    beside: Beside,
    wanted: set[str],
    cuts: dict[int, set[str]],
    alone: bool,
) -> tuple[int, ...]:
    """Tubes that a zone's valve is put in where nobody says."""
    if not wanted:
        return ()
    order = {name: n for n, name in enumerate(route.elevation)}
    runs = {mark.run for mark in route.marks.values()}

    def rank(n: int) -> tuple[int, bool, int, int]:
        tube = route.tubes[n]
        others = len((cuts[n] & runs) - wanted)
        return others, VALVE not in tube.fittings, min(order[tube.start], order[tube.end]), n

    whole = [n for n, cut in cuts.items() if wanted <= cut]
    best = min(whole, key=rank, default=None)
    if (best is not None and rank(best)[0] == 0) or alone:
        return (best,) if best is not None else ()
    touching = {n for n in cuts if wanted & set(_ends(route, place_of, n))}
    source = place_of.get(route.source, route.source)
    outside = _reached(beside, source, touching)
    feeds = [n for n in touching if outside & set(_ends(route, place_of, n))]
    listed = tuple(n for n in feeds if VALVE in route.tubes[n].fittings)
    if listed and not wanted & _reached(beside, source, listed):
        return listed
    return (best,) if best is not None else tuple(sorted(feeds, key=rank)[:1])


def _places(route: Route) -> dict[str, str]:
    """The run that a node lies on; a node beside the runs is a place of its own, that no run is called as:
    no name holds a line break, and a run may be called pump."""
    places = {name: f"\n{name}" for name in route.elevation}
    places |= {end: tube.run for tube in route.tubes if tube.run for end in (tube.start, tube.end)}
    return places | {name: mark.run for name, mark in route.marks.items()}


def _ends(route: Route, place_of: dict[str, str], n: int) -> tuple[str, str]:
    tube = route.tubes[n]
    return place_of.get(tube.start, tube.start), place_of.get(tube.end, tube.end)


def _beside(route: Route, place_of: dict[str, str]) -> Beside:
    """Where water may go from each place, and by which tube."""
    beside: Beside = {}
    for n, tube in enumerate(route.tubes):
        if not tube.run:
            start, end = _ends(route, place_of, n)
            beside.setdefault(start, []).append((end, n))
            if not tube.one_way:
                beside.setdefault(end, []).append((start, n))
    return beside


def _reached(beside: Beside, source: str, shut: Collection[int]) -> set[str]:
    """Places that water reaches from the source, not through some tubes."""
    seen, todo = {source}, [source]
    while todo:
        for there, n in beside.get(todo.pop(), ()):
            if n not in shut and there not in seen:
                seen.add(there)
                todo.append(there)
    return seen
