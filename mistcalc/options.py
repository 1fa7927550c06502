"""Other ways to build the same line, and the few of them worth choosing among.

Every way is a whole project, worked out as the project itself is: nothing is interpolated, and what is asked
is never relaxed. Told apart are only ways whose middles differ by more than a person could feel.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from mistcalc.design import outdoor_conditions
from mistcalc.design.options import BuiltSo, Sawn, built_so, felt_under, screened, with_air, with_year
from mistcalc.errors import InputError
from mistcalc.model.practice import NOZZLE_CLASSES, PITCHES, PRESSURES, ROW_DEPTHS, SCREEN, SETBACKS, TWO_ROWS
from mistcalc.model.project import Nozzle, Patio, Project, Screen
from mistcalc.model.results import BREAKS, SAME, BesideIt, BuildOption, OptionLadder, Weather, Wishes
from mistcalc.model.second_rows import tried_rows, with_row_feeds
from mistcalc.units import System, parse

SAME_NOZZLE = 0.05  # of its flow: a class that is the project's own nozzle
AS_MUCH = 0.05  # of the water: a cheaper way may take so much more and be the same rung; judgement
RUNGS = 6  # at most


def options_of(
    project: Project, weather: Weather | None, system: System, wishes: Wishes, patio: str = ""
) -> OptionLadder:
    """Pitches, setbacks, rows, nozzles and pressures one meets in the trade, each as a whole project; those
    that keep what is asked as a ladder. patio: whose seats (the first). Raises InputError as `run` does, and
    where a limit of money meets parts that have no price."""
    name = patio or project.patios[0].name
    sawn: Sawn = {}
    stated = built_so(project, weather, name, wishes, True, sawn)
    if wishes.cost is not None and stated.option.cost is None:
        raise InputError("cost-without-prices", "prices")
    every = [stated, *(built_so(way, weather, name, wishes, False, sawn) for way in ways(project, system))]
    in_air = [way for way in every if not way.option.breaks]
    aired = with_air(in_air, weather, name, wishes, roughly=True)
    of_option = dict(zip(map(id, aired), in_air, strict=True))
    best = [of_option[id(option)] for option in rungs([option for option in aired if not option.breaks])]
    finely = (*with_air(best, weather, name, Wishes()), *with_air([stated], weather, name, wishes))
    *chosen, now = with_year(finely, [*best, stated], stated, weather)
    known = [*(way.option for way in every if way.option.breaks), *aired]
    counts = ((what, sum(what in option.breaks for option in known)) for what in BREAKS)
    return OptionLadder(
        afternoon=outdoor_conditions(weather, project.place)[0].name,
        patio=name,
        wishes=wishes,
        currency=project.prices.currency,
        rungs=tuple(chosen),
        stated=now,
        felt=felt_under(stated, weather, name)[0],
        beside=tuple(beside(stated, weather, name)),
        tried=len(every),
        broken=tuple((what, count) for what, count in counts if count),
        least=_least(every, aired, weather, name, wishes, bool(chosen)),
    )


def _least(
    every: Sequence[BuiltSo],
    aired: Sequence[BuildOption],
    weather: Weather | None,
    name: str,
    wishes: Wishes,
    met: bool,
) -> Wishes:
    """The least of each thing among all ways that keep the hard rules; of the floor, where what was asked is
    met, among those that keep the other limits too: the others' air is not worked out for it."""
    able = [way for way in every if not {"lid", "line"} & set(way.option.breaks)]
    floors = [option.landing for option in aired]
    if wishes.floor is not None and not met:
        rest = [way for way in able if way.option.breaks]
        floors += [option.landing for option in with_air(rest, weather, name, Wishes(), roughly=True)]
    options = [way.option for way in able]
    return Wishes(
        water=min((option.water for option in options), default=None),
        motor=min((option.motor for option in options if option.motor is not None), default=None),
        floor=min(floors, default=None),
        cost=min((float(option.cost.total) for option in options if option.cost is not None), default=None),
    )


def amount(text: str) -> float:
    """A limit of money as people write it: "2500", "$2,500". Raises InputError."""
    return parse(text if text.strip().endswith("each") else f"{text} each", "price_each")


# ------------------------------------------------------------------ the ways


def ways(project: Project, system: System) -> Iterator[Project]:
    """Every other pitch, setback, count of rows, nozzle and pressure; on the mains without the last two."""
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
    for patios in _plans(project, system):
        for nozzle in nozzles:
            for pressure in pressures:
                if patios is project.patios and nozzle is own and pressure is None:
                    continue
                yield _way(project, patios, nozzle, pressure)


def _plans(project: Project, system: System) -> Iterator[tuple[Patio, ...]]:
    """The patios as they are, and with every other pitch and setback; with every pitch in two rows at other
    depths, or in one where they have two."""
    others = tuple(tried_rows(project.patios, TWO_ROWS[system], ROW_DEPTHS))
    for pitch in _pitches(project, system):
        for setback in _setbacks(project, system):
            same = pitch is None and setback is None
            yield project.patios if same else _laid(project.patios, pitch, setback)
        yield from (_laid(rows, pitch, None) for rows in others)


def _laid(patios: Sequence[Patio], pitch: float | None, setback: float | None) -> tuple[Patio, ...]:
    """None: each patio's own."""
    return tuple(
        replace(
            patio,
            line_behind_edge=patio.line_behind_edge if setback is None else setback,
            marks=patio.marks if pitch is None else replace(patio.marks, pitch=pitch),
        )
        for patio in patios
    )


def _pitches(project: Project, system: System) -> Iterator[float | None]:
    """None: each patio's own. Others lie within what every patio allows."""
    yield None
    own = {patio.marks.pitch for patio in project.patios}
    low = max(patio.marks.closest for patio in project.patios)
    high = min(patio.marks.widest for patio in project.patios)
    for pitch in PITCHES[system]:
        if low <= pitch <= high and _is_new(pitch, own, project):
            yield pitch


def _setbacks(project: Project, system: System) -> Iterator[float | None]:
    """None: each patio's own. Others lie behind the edge beam, in the half of every lid toward its edge."""
    yield None
    own = {patio.line_behind_edge for patio in project.patios}
    low = max(patio.edge_beam.width for patio in project.patios)
    high = min(patio.depth_over(n) for patio in project.patios for n in range(len(patio.runs))) / 2
    for setback in SETBACKS[system]:
        if low < setback <= high and _is_new(setback, own, project):
            yield setback


def _is_new(length: float, own: set[float], project: Project) -> bool:
    return not any(abs(length - known) < project.patios[0].marks.grid for known in own)


def _way(project: Project, patios: tuple[Patio, ...], nozzle: Nozzle, pressure: float | None) -> Project:
    plumbing = replace(project.plumbing, nozzle=nozzle)
    if pressure is not None and plumbing.pump is not None:
        plumbing = replace(plumbing, pump=replace(plumbing.pump, set_pressure=pressure))
    return with_row_feeds(replace(project, patios=patios, plumbing=plumbing))


def beside(stated: BuiltSo, weather: Weather | None, name: str) -> Iterator[BesideIt]:
    """A screen at the open side of each run that has none, with the line as stated."""
    project = stated.project
    patio, _ = stated.at(name)
    known = {screen.run for screen in patio.screens if screen.side == "edge"}
    for run in patio.runs:
        if run.name in known:
            continue
        screen = Screen(f"screen at {run.name}", run.name, SCREEN[project.units])
        more = replace(patio, screens=(*patio.screens, screen))
        patios = tuple(more if one is patio else one for one in project.patios)
        way = built_so(replace(project, patios=patios), weather, name, Wishes())
        yield screened(stated, way, weather, name, run.name, screen.height)


# ------------------------------------------------------------------ the ladder


def rungs(options: Sequence[BuildOption]) -> tuple[BuildOption, ...]:
    """Least water first, each by more than SAME cooler than the rung below.

    A rung is the cheapest of those ways that nobody could tell apart: within SAME of the coolest for their
    water, with AS_MUCH more water than the first of them at most. Of more than RUNGS those are left out that
    are nearest to a neighbor, never the first or the last.
    """
    coolest, good = -float("inf"), []
    for option in sorted(options, key=lambda option: (option.water, -option.middle)):
        coolest = max(coolest, option.middle)
        if option.middle >= coolest - SAME:
            good.append(option)
    chosen: list[BuildOption] = []
    for first in good:
        if chosen and not _is_above(first, chosen[-1]):
            continue
        alike = [
            option
            for option in good
            if first.water <= option.water <= first.water * (1 + AS_MUCH)
            and abs(option.middle - first.middle) <= SAME
            and (not chosen or _is_above(option, chosen[-1]))
        ]
        chosen.append(min(alike, key=_dearness))
    while len(chosen) > RUNGS:
        steps = [above.middle - below.middle for below, above in zip(chosen[:-2], chosen[2:], strict=True)]
        del chosen[1 + steps.index(min(steps))]
    return tuple(chosen)


def _is_above(option: BuildOption, rung: BuildOption) -> bool:
    return option.middle > rung.middle + SAME and option.water > rung.water


def _dearness(option: BuildOption) -> tuple[float, ...]:
    """By money where parts have prices, else by nozzles and pump; then by water."""
    cost = float(option.cost.total) if option.cost is not None else 0.0
    return cost, option.marks, option.motor or 0.0, option.water, -option.middle
