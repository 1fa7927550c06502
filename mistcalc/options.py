"""Other ways to build the same line, and the few of them worth choosing among.

Every way is a whole project, worked out as the project itself is: nothing is interpolated, and what is asked
is never relaxed. Told apart are only ways whose middles differ by more than a person could feel.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from mistcalc.design.options import built_so
from mistcalc.model.practice import NOZZLE_CLASSES, PITCHES, PRESSURES
from mistcalc.model.project import Nozzle, Project
from mistcalc.model.results import BREAKS, BuildOption, OptionLadder, Weather, Wishes
from mistcalc.units import System

SAME_NOZZLE = 0.05  # of its flow: a class that is the project's own nozzle
SAME = 0.2  # K: options closer than that in the middle of their ranges are called equal
RUNGS = 6  # at most


def options_of(
    project: Project, weather: Weather | None, system: System, wishes: Wishes, patio: str = ""
) -> OptionLadder:
    """Pitches, nozzles and pressures one meets in the trade, each as a whole project; those that keep what is
    asked as a ladder. patio: whose seats (the first). Raises InputError as `run` does."""
    name = patio or project.patios[0].name
    stated = built_so(project, weather, name, wishes, as_stated=True)
    every = [stated, *(built_so(way, weather, name, wishes) for way in ways(project, system))]
    sound = [option for option in every if not option.breaks]
    counts = ((what, sum(what in option.breaks for option in every)) for what in BREAKS)
    broken = tuple((what, count) for what, count in counts if count)
    able = [option for option in every if not {"lid", "line"} & set(option.breaks)]
    least = Wishes(
        min((option.water for option in able), default=None),
        min((option.motor for option in able if option.motor is not None), default=None),
        min((option.landing for option in able), default=None),
    )
    return OptionLadder(stated.afternoon, name, wishes, rungs(sound), stated, len(every), broken, least)


def ways(project: Project, system: System) -> Iterator[Project]:
    """Every other pitch, nozzle and pressure. A line on the mains keeps its nozzle and its pressure."""
    plumbing = project.plumbing
    own = plumbing.nozzle
    nozzles: list[Nozzle] = [own]
    pressures: list[float | None] = [None]
    if plumbing.pump is not None:
        nozzles += [
            replace(own, label=label, flow=flow, at=at, drop_median=None, drop_sauter=None)
            for label, flow, at in NOZZLE_CLASSES
            if abs(flow - own.flow * (at / own.at) ** own.exponent) > SAME_NOZZLE * flow
        ]
        pressures += [p for p in PRESSURES if abs(p - plumbing.pump.set_pressure) > SAME_NOZZLE * p]
    for pitch in _pitches(project, system):
        for nozzle in nozzles:
            for pressure in pressures:
                if pitch is None and nozzle is own and pressure is None:
                    continue
                yield _way(project, pitch, nozzle, pressure)


def _pitches(project: Project, system: System) -> Iterator[float | None]:
    """None: each patio's own. Others lie within what every patio allows."""
    yield None
    own = {patio.marks.pitch for patio in project.patios}
    low = max(patio.marks.closest for patio in project.patios)
    high = min(patio.marks.widest for patio in project.patios)
    for pitch in PITCHES[system]:
        if low <= pitch <= high and not any(
            abs(pitch - known) < project.patios[0].marks.grid for known in own
        ):
            yield pitch


def _way(project: Project, pitch: float | None, nozzle: Nozzle, pressure: float | None) -> Project:
    plumbing = replace(project.plumbing, nozzle=nozzle)
    if pressure is not None and plumbing.pump is not None:
        plumbing = replace(plumbing, pump=replace(plumbing.pump, set_pressure=pressure))
    patios = project.patios
    if pitch is not None:
        patios = tuple(replace(patio, marks=replace(patio.marks, pitch=pitch)) for patio in patios)
    return replace(project, patios=patios, plumbing=plumbing)


def rungs(options: Sequence[BuildOption]) -> tuple[BuildOption, ...]:
    """Least water first. Each is the coolest for as much water, by more than SAME over the rung below; of
    more than RUNGS those are left out that are nearest to a neighbor, never the first or the last."""
    chosen: list[BuildOption] = []
    for option in sorted(options, key=lambda option: (option.water, option.marks, -option.middle)):
        if not chosen or option.middle > chosen[-1].middle + SAME:
            chosen.append(option)
    while len(chosen) > RUNGS:
        steps = [above.middle - below.middle for below, above in zip(chosen[:-2], chosen[2:], strict=True)]
        del chosen[1 + steps.index(min(steps))]
    return tuple(chosen)
