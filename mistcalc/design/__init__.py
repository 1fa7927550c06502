"""The conductor: one function a stage, and `run`. The only package that opens a room. What was read on site
is judged in `site`.

A stage takes only the nouns it reads, so its arguments are its cache key: on the page a drag calls
`lay` and finds everything else where it was.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import lru_cache

from mistcalc import carpentry, checks, cooling, layout, line, outdoor_air, takeoff
from mistcalc.design.above_ceiling import builder_findings
from mistcalc.design.bids import bid_column, to_buy
from mistcalc.design.close_in import dates
from mistcalc.design.revision import change_since, marks_before, revised
from mistcalc.design.site import (
    Answered,
    judge_call_backs,
    judge_day,
    judge_holes,
    judge_pressure_tests,
    sound_readings,
    struck_out,
    with_holes,
)
from mistcalc.design.sun import sun_of, sun_on_patio
from mistcalc.design.year import season_year, with_money
from mistcalc.errors import InputError
from mistcalc.model.content_code import code_of_contents
from mistcalc.model.earlier_set import EarlierMark, EarlierSet
from mistcalc.model.project import (
    ALONE,
    Control,
    HouseNames,
    Patio,
    Place,
    Plumbing,
    Project,
)
from mistcalc.model.results import (
    Air,
    Cooling,
    CoolingMap,
    Design,
    Finding,
    Layout,
    Line,
    LineVerdict,
    MistVerdict,
    PressureTestPlan,
    Season,
    WaterUse,
    Weather,
    Wetness,
)

Findings = tuple[Finding, ...]


@lru_cache(maxsize=128)
def lay(
    patio: Patio, earlier: tuple[EarlierMark, ...] = (), house: HouseNames = ALONE, fixes: bool = True
) -> tuple[Layout, Findings]:
    """A mark for every nozzle of one patio. `earlier`: its marks of the set before, changed as little as may
    be. `house`: `Project.house_names`, so that no mark is called as one of another patio. `fixes`: whether
    findings name what would end them."""
    jointed = layout.with_proposed_joints(patio, earlier)
    laid = layout.lay(jointed, earlier, house, fixes)
    findings = (*checks.lid_findings(jointed, laid), *checks.proposed_joint_findings(patio, laid))
    return replace(laid, holes=checks.holes_verdict(laid, findings)), findings


def lay_all(
    project: Project, before: EarlierSet | None = None, fixes: bool = True
) -> tuple[tuple[Layout, Findings], ...]:
    """`lay`, of every patio of a house, as it stood in the set before."""
    names = replace(project.house_names, earlier=() if before is None else before.names)
    return tuple(lay(patio, marks_before(before, patio.name), names, fixes) for patio in project.patios)


@lru_cache(maxsize=32)
def solve_line(
    plumbing: Plumbing, layouts: tuple[Layout, ...], hottest: float | None = None
) -> tuple[Line, Findings]:
    """Pressure and flow at every nozzle, and what the pump set must do. hottest: dry bulb of the hottest
    afternoon [K], for how hot the tube is rated; None takes what the project states."""
    rated = replace(plumbing, tube_temperature=checks.tube_rating_temperature(plumbing, hottest))
    solved = line.solve_line(rated, layouts)
    return solved, checks.line_findings(plumbing, solved, hottest)


def hottest(weather: Weather | None, place: Place) -> float:
    """Dry bulb [K] of the job's hottest afternoon. Raises InputError where there is no air at all."""
    return max(float(air.temperature.max()) for air in outdoor_conditions(weather, place))


def installer(project: Project, solved: Line, findings: Findings) -> tuple[LineVerdict, WaterUse]:
    """The verdict on line and pump with every item of its check, and water used by the hours of the control.
    found: what `solve_line` found."""
    plumbing = project.plumbing
    verdict = checks.line_verdict(plumbing, solved, findings, project.assumed, project.call_back)
    return verdict, line.water_use(plumbing, solved, project.control)


@lru_cache(maxsize=32)
def pressure_test_plan(
    plumbing: Plumbing,
    solved: Line,
    place: Place,
    weather: Weather | None,
    filled: datetime.date | None,
    scratch_coat: datetime.date | None,
    plastered: bool,
) -> tuple[PressureTestPlan | None, Findings]:
    """What the test by gauge and the watch must show, and frost on the full line. None: nothing to fill."""
    if solved.duty.fill_volume <= 0.0:
        return None, ()
    limits = (checks.LEAK_LIMIT, checks.WATCH_LIMIT)
    plan = line.pressure_test_plan(
        plumbing, solved, place.elevation, *limits, weather, filled, scratch_coat, plastered
    )
    return replace(plan, allowed=checks.may_test(plan, solved)), checks.pressure_test_plan_findings(plan)


def project_pressure_test_plan(
    project: Project, solved: Line, weather: Weather | None
) -> tuple[PressureTestPlan | None, Findings]:
    """`pressure_test_plan`, of a whole project."""
    plastered = any(patio.plaster.plastered for patio in project.patios)
    calendar, _ = dates(project)
    test = calendar.hold("open") if calendar is not None else None
    scratch = project.dates.scratch_coat
    filled = min(test.first, scratch) if test is not None and scratch is not None else scratch
    return pressure_test_plan(project.plumbing, solved, project.place, weather, filled, scratch, plastered)


@lru_cache(maxsize=32)
def outdoor_conditions(weather: Weather | None, place: Place) -> tuple[Air, ...]:
    """Outdoor air at the patio on a hot, a typical and a humid afternoon: typed in, else from the file."""
    return outdoor_air.outdoor_afternoons(weather, place)


@lru_cache(maxsize=64)
def afternoons(
    patio: Patio, laid: Layout, solved: Line, plumbing: Plumbing, airs: tuple[Air, ...], bearing: float
) -> tuple[tuple[Cooling, ...], Findings]:
    """What each afternoon is like under the lid, as a range. bearing: heading of the first run, rad."""
    cooled = cooling.afternoon_cooling(patio, laid, solved, plumbing, airs, bearing)
    findings = [f for afternoon in cooled for f in checks.cooling_findings(patio, afternoon)]
    sides = (f for afternoon in cooled[:1] for f in checks.side_findings(afternoon))
    return cooled, (*findings, *sides, *checks.unmeasured_findings(cooled))


@lru_cache(maxsize=32)
def cooling_maps(
    patio: Patio, laid: Layout, solved: Line, plumbing: Plumbing, airs: tuple[Air, ...], bearing: float
) -> tuple[tuple[CoolingMap, ...], tuple[Wetness, ...]]:
    """The patio in plan, each afternoon beside the others, and where it is wet."""
    cooled, _ = afternoons(patio, laid, solved, plumbing, airs, bearing)
    shown = tuple(afternoon.middle for afternoon in cooled)
    drawn = cooling.cooling_maps(patio, laid, solved, plumbing, airs, shown, bearing)
    return drawn, checks.all_wetness(drawn)


@lru_cache(maxsize=32)
def wind_sweep_findings(
    patio: Patio, laid: Layout, solved: Line, plumbing: Plumbing, airs: tuple[Air, ...], bearing: float
) -> Findings:
    """From which wind on the first of `airs` keeps little cooling at the seats; whether the drops are odd."""
    blown = cooling.wind_sweep(patio, laid, solved, plumbing, airs[0], bearing) if airs else None
    odd = () if blown is None else checks.drop_findings(blown.patio, blown.drop_size, blown.gauge)
    return (*odd, *checks.wind_limit_findings(patio, blown))


def season_of(project: Project, weather: Weather | None) -> tuple[Season, Findings]:
    """A typical year as the project's control runs the mist; what was wrong with its file is among the
    findings. Raises InputError("season-no-climate") where there is no file: an afternoon typed in is no year.
    Not in `run`: it takes seconds."""
    if weather is None:
        raise InputError("season-no-climate", "place.climate")
    layouts = tuple(laid for laid, _ in lay_all(project))
    solved, _ = solve_line(project.plumbing, layouts, hottest(weather, project.place))
    answer, findings = season_year(
        project.place, project.patios, project.plumbing, project.control, layouts, solved, weather
    )
    _, parts = to_buy(project, layouts, solved)
    first = takeoff.first_cost(parts, project.prices, project.plumbing.tube)
    answer, more = with_money(answer, project, first)
    findings = (*findings, *more)
    of_file = of_climate(weather, project.place, outdoor_conditions(weather, project.place))
    return answer, (*findings, *(note for note in of_file if note.level != "note"))


def with_bids(job: Design, alternates: Sequence[Project], weather: Weather | None) -> Design:
    """The job with its alternates beside it. alternates: what each of the project's own makes of it."""
    if not alternates:
        return job
    # The own column is of the own marks: a set that keeps drilled holes has others than one laid afresh.
    own = (job.cut_plans, job.parts)
    columns = [bid_column("", (), job.project, job.layouts, job.line, job.line_verdict, own)]
    for one, project in zip(job.project.alternates, alternates, strict=True):
        layouts = tuple(laid for laid, _ in lay_all(project))
        solved, found = solve_line(project.plumbing, layouts, hottest(weather, project.place))
        verdict, _ = installer(project, solved, found)
        bought = to_buy(project, layouts, solved)
        columns.append(bid_column(one.name, one.change, project, layouts, solved, verdict, bought))
    return replace(job, bids=tuple(columns))


def with_season(job: Design, weather: Weather | None) -> Design:
    """The job with its typical year and what was found of it; as it is where there is no climate file."""
    if weather is None:
        return job
    project = job.project
    answer, findings = season_year(
        project.place, project.patios, project.plumbing, project.control, job.layouts, job.line, weather
    )
    answer, more = with_money(answer, project, job.first_cost)
    return replace(job, season=answer, findings=(*job.findings, *findings, *more))


def run(project: Project, weather: Weather | None = None, before: EarlierSet | None = None) -> Design:
    """The whole job; `before`: the set of sheets it is a revision of (`revised`). InputError where the
    project names a climate file and there is no `weather`."""
    job = _built(project, weather, before)
    airs, layouts = job.afternoons, job.layouts
    pairs = zip(project.patios, layouts, strict=True)
    asked = [(p, laid, job.line, project.plumbing, airs, project.heading(p.name)) for p, laid in pairs]
    cooled = [afternoons(*arguments) for arguments in asked]
    drawn = [cooling_maps(*arguments) for arguments in asked]
    sunny, sun_findings = sun_of(project, layouts, weather)
    findings = (
        *job.findings,
        *of_air(project.patios, job.line, cooled),
        *_wet(layouts, drawn),
        *(f for arguments in asked for f in wind_sweep_findings(*arguments)),
        *sun_findings,
        *_of_place(project, weather, airs),
    )
    return replace(
        job,
        cooling=tuple(day for days, _ in cooled for day in days),
        pictures=tuple(cooling_map for maps, _ in drawn for cooling_map in maps),
        wetness=tuple(wetness for _, judged in drawn for wetness in judged),
        findings=findings,
        sun=sunny,
        verdicts=tuple(v for days, _ in cooled for v in _judged(days, findings, airs, project.control)),
    )


def run_without_air(
    project: Project, weather: Weather | None = None, before: EarlierSet | None = None
) -> Design:
    """What crews drill, bore, cut and test by, code and all: `run` but the air under the lid, which takes
    most of its time. Raises as it does."""
    job = _built(project, weather, before)
    return replace(job, findings=(*job.findings, *_of_place(project, weather, job.afternoons)))


def _built(project: Project, weather: Weather | None, before: EarlierSet | None) -> Design:
    """That, its findings up to those of air and place."""
    if weather is None and project.place.climate is not None:
        raise InputError("weather-not-given", "place.climate", climate=project.place.climate)
    laid = lay_all(project, before)
    layouts = tuple(layout for layout, _ in laid)
    airs = outdoor_conditions(weather, project.place)
    solved, line_findings = solve_line(project.plumbing, layouts, hottest(weather, project.place))
    verdict, use = installer(project, solved, line_findings)
    plan, hold_findings = project_pressure_test_plan(project, solved, weather)
    calendar, calendar_findings = dates(project)
    woodwork = carpentry.carpentry_of(project, layouts, solved)
    plans, parts = to_buy(project, layouts, solved)
    findings = (
        *(f for _, patio_findings in laid for f in patio_findings),
        *line_findings,
        *(f for patio in project.patios for f in checks.hole_findings(patio, solved, project.units)),
        *checks.coupling_findings(plans),
        *hold_findings,
        *calendar_findings,
        *checks.carpentry_findings(woodwork),
    )
    job = Design(
        project=project,
        air_source=weather.source if weather is not None else "typed in",
        afternoons=airs,
        layouts=layouts,
        line=solved,
        line_verdict=verdict,
        cooling=(),
        parts=parts,
        cut_plans=plans,
        first_cost=takeoff.first_cost(parts, project.prices, project.plumbing.tube),
        findings=findings,
        code="",
        change=None if before is None else change_since(before, project, layouts),
        use=use,
        hold=plan,
        calendar=calendar,
        carpentry=woodwork,
    )
    return replace(job, code=code_of_contents(job, before))


def _of_place(project: Project, weather: Weather | None, airs: tuple[Air, ...]) -> Findings:
    told = of_climate(weather, project.place, airs)
    return (*told, *cautions(project, hottest(weather, project.place)))


def _judged(
    days: tuple[Cooling, ...], found: Findings, airs: tuple[Air, ...], control: Control
) -> Iterator[MistVerdict]:
    for day, air in zip(days, airs, strict=True):
        yield checks.mist_verdict(day, found, air, control)


def of_climate(weather: Weather | None, place: Place, airs: tuple[Air, ...]) -> Findings:
    if weather is None:
        return ()
    humidity = outdoor_air.rare_humidity(weather)
    return (*weather.notes, *checks.climate_findings(weather, place, airs, humidity))


def of_air(
    patios: tuple[Patio, ...], solved: Line, cooled: list[tuple[tuple[Cooling, ...], Findings]]
) -> Iterator[Finding]:
    for _, found in cooled:
        yield from found
    for patio, (days, _) in zip(patios, cooled, strict=True):
        yield from checks.zone_cooling_findings(patio, solved, tuple(day.afternoon for day in days))


def _wet(
    layouts: tuple[Layout, ...], drawn: list[tuple[tuple[CoolingMap, ...], tuple[Wetness, ...]]]
) -> Iterator[Finding]:
    for laid, (seen, wet) in zip(layouts, drawn, strict=True):
        for cooling_map, judged in zip(seen, wet, strict=True):
            yield from checks.picture_findings(laid, cooling_map, judged)


def cautions(project: Project, hottest: float | None = None) -> Findings:
    """What to warn of whatever the numbers say. hottest: as for `solve_line`, for how hot the tube gets."""
    heat = checks.tube_rating_temperature(project.plumbing, hottest)
    return checks.all_cautions(replace(project, plumbing=replace(project.plumbing, tube_temperature=heat)))
