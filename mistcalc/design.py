"""The conductor: one function a stage, and `run`. The only module that opens a room.

A stage takes only the nouns it reads, so its arguments are its cache key: on the page a drag calls
`lay` and finds everything else where it was.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache

from mistcalc import checks, cooling, layout, line, site, takeoff
from mistcalc.errors import InputError
from mistcalc.model.fingerprint import fingerprint
from mistcalc.model.judgement import CallBackBasis
from mistcalc.model.measuring_day import MeasuringDay
from mistcalc.model.project import (
    ALONE,
    FixedMark,
    HouseNames,
    Patio,
    Place,
    Plumbing,
    Prices,
    Project,
)
from mistcalc.model.results import (
    Air,
    CallBack,
    Cooling,
    Design,
    Diagnosis,
    ExpectedReading,
    Finding,
    Hold,
    HoldBounds,
    HoldPlan,
    HoldReading,
    HoldVerdict,
    Layout,
    Line,
    LineVerdict,
    Picture,
    Readings,
    Sheet,
    StateCard,
    WaterUse,
    Weather,
    Wetness,
)
from mistcalc.model.site import SiteEntry, standing

Findings = tuple[Finding, ...]
Answered = tuple[tuple[CallBack, Diagnosis | None], ...]


@lru_cache(maxsize=128)
def lay(patio: Patio, kept: tuple[FixedMark, ...] = (), house: HouseNames = ALONE) -> tuple[Layout, Findings]:
    """A mark for every nozzle of one patio. `kept`: marks already drilled, whatever the file now says.
    `house`: `Project.house_names`, so that no mark is called as one of another patio."""
    laid = layout.lay(patio, kept, house)
    found = checks.lid_findings(patio, laid)
    return replace(laid, holes=checks.holes_verdict(laid, found)), found


def lay_all(project: Project) -> tuple[tuple[Layout, Findings], ...]:
    """`lay`, of every patio of a house."""
    names = project.house_names
    return tuple(lay(patio, house=names) for patio in project.patios)


@lru_cache(maxsize=32)
def plumb(
    plumbing: Plumbing, layouts: tuple[Layout, ...], hottest: float | None = None
) -> tuple[Line, Findings]:
    """Pressure and flow at every nozzle, and what the pump set must do. hottest: dry bulb of the hottest
    afternoon [K], for how hot the tube is rated; None takes what the project states."""
    rated = replace(plumbing, tube_temperature=checks.tube_heat(plumbing, hottest))
    solved = line.plumb(rated, layouts)
    return solved, checks.line_findings(plumbing, solved, hottest)


def hottest(weather: Weather | None, place: Place) -> float:
    """Dry bulb [K] of the job's hottest afternoon. Raises InputError where there is no air at all."""
    return max(float(air.temperature.max()) for air in breathe(weather, place)[0])


def installer(project: Project, solved: Line, found: Findings) -> tuple[LineVerdict, WaterUse]:
    """The verdict on line and pump with every item of its check, and water used by the hours of the control.
    found: what `plumb` found."""
    plumbing = project.plumbing
    verdict = checks.line_verdict(plumbing, solved, found, project.assumed, project.call_back)
    return verdict, line.water_use(plumbing, solved, project.control)


@lru_cache(maxsize=4)
def fault_table(
    plumbing: Plumbing, basis: CallBackBasis, solved: Line, zone: str = "", sheet: Sheet | None = None
) -> line.FaultTable:
    """What each of nine causes makes of this line's readings; seconds of work. zone: "" is the largest.
    sheet: what the line read when it was handed over."""
    case = line.fault_case(plumbing, solved, zone, sheet)
    return line.fault_table(case, basis.judgement, basis.errors)


@lru_cache(maxsize=16)
def sound_readings(project: Project, solved: Line) -> tuple[ExpectedReading, ...]:
    """What the line's largest zone shows when nothing is wrong, of everything that can be read on it."""
    case = line.fault_case(project.plumbing, solved)
    return line.expected_readings(line.sound_table(case, project.call_back.errors))


def judge_call_backs(
    project: Project, solved: Line, entries: tuple[SiteEntry, ...]
) -> tuple[Answered, Findings]:
    """The last call-back of each zone in a site log. What cannot be is left out and said; where nothing is
    left there is no diagnosis. For doors; not in `run`."""
    answered: list[tuple[CallBack, Diagnosis | None]] = []
    found: list[Finding] = []
    for one in line.call_backs(standing(entries).kept):
        told, said = _answer(project, solved, one)
        answered.append((one, told))
        found.extend(said)
    return tuple(answered), tuple(found)


def _answer(project: Project, solved: Line, one: CallBack) -> tuple[Diagnosis | None, Findings]:
    plumbing, basis = project.plumbing, project.call_back
    zone, sheet = one.readings.zone, one.sheet
    said: list[Finding] = []
    try:
        table = fault_table(plumbing, basis, solved, zone, sheet)
    except InputError as mistake:
        if mistake.code in ("callback-zone", "callback-empty"):
            return None, checks.callback_left_out(one, ("zone",))
        said.extend(checks.callback_left_out(one, ("sheet",)))
        table = fault_table(plumbing, basis, solved, zone)
    readings, out = line.possible_part(table, one.readings)
    said.extend(checks.callback_left_out(one, out))
    if readings == Readings(zone=zone):
        return None, tuple(said)
    told = line.diagnose(table, readings)
    found = checks.callback_findings(told, plumbing.pump is not None)
    return told, (*said, *checks.callback_visit(one), *found)


@lru_cache(maxsize=32)
def hold(
    plumbing: Plumbing,
    solved: Line,
    place: Place,
    weather: Weather | None,
    scratch_coat: datetime.date | None,
    plastered: bool,
) -> tuple[HoldPlan | None, Findings]:
    """What the test by gauge and the watch must show, and frost in the watch. None: nothing to fill."""
    if solved.duty.fill_volume <= 0.0:
        return None, ()
    limits = (checks.LEAK_LIMIT, checks.WATCH_LIMIT)
    plan = line.hold_plan(plumbing, solved, place.elevation, *limits, weather, scratch_coat, plastered)
    return replace(plan, allowed=checks.may_test(plan, solved)), checks.plan_findings(plan)


def shut_in(project: Project, solved: Line, weather: Weather | None) -> tuple[HoldPlan | None, Findings]:
    """`hold`, of a whole project."""
    plastered = any(patio.plaster.system != "none" for patio in project.patios)
    return hold(project.plumbing, solved, project.place, weather, project.dates.scratch_coat, plastered)


def struck_out(entries: tuple[SiteEntry, ...]) -> Findings:
    """Lines of a site log that were struck out and count no more, and strikes that meet none. For doors."""
    return checks.struck_findings(standing(entries))


def judge_log(
    plumbing: Plumbing, solved: Line, place: Place, plan: HoldPlan, entries: tuple[SiteEntry, ...]
) -> tuple[tuple[HoldVerdict, ...], Findings]:
    """The tests and watches written in a site log. For doors; not in `run`."""
    holds, gaps = line.holds(standing(entries).kept, plumbing, solved, place.elevation)
    verdicts: list[HoldVerdict] = []
    last: dict[tuple[str, str, int], tuple[Hold, HoldBounds]] = {}
    states: dict[str, checks.WatchState] = {}
    starts: dict[str, HoldReading] = {}
    for one in holds:  # those of one series stand in the order of time
        state = None
        if one.kind == "watch":
            if one.number == 1 and one.start != starts.get(one.place):
                states.pop(one.place, None)  # a new series: it begins anew
            state, starts[one.place] = states.get(one.place, checks.WatchState()), one.start
        begun = state is None or state.begun
        found = line.hold_bounds(plumbing, solved, place.elevation, plan, one, begun)
        earlier = last.get((one.kind, one.place, one.number - 1)) if one.before > 0.0 else None
        verdicts.append(checks.hold_verdict(one, found, checks.limit_of(one), earlier, state))
        last[one.kind, one.place, one.number] = (one, found)
        if state is not None:
            states[one.place] = state.after(verdicts[-1])
    return tuple(verdicts), checks.hold_findings(verdicts, gaps)


def judge_day(job: Design, day: MeasuringDay) -> Findings:
    """What a measuring day says of its patio, and the patio's ranges told again with it. For doors."""
    place, plumbing = job.project.place, job.project.plumbing
    air = site.on_the_day(place, *cooling.outdoors(day, place.bearing), day.source)
    drops = cooling.measured_drops(day, float(air.air_pressure[0]))
    judged = checks.sensors(drops)
    patio = next(patio for patio in job.project.patios if patio.name == day.patio)
    before = [cooled for cooled in job.cooling if cooled.patio == day.patio]
    laid = job.layout_of(day.patio)
    told = cooling.narrowed(patio, laid, job.line, plumbing, air, place.bearing, judged.dry, before)
    return checks.day_findings(day, drops, judged, told)


@lru_cache(maxsize=32)
def breathe(weather: Weather | None, place: Place) -> tuple[tuple[Air, ...], tuple[StateCard, ...]]:
    """Outdoor air at the patio on a hot, a typical and a humid afternoon: typed in, else from the file."""
    airs = site.afternoons(weather, place)
    return airs, tuple(cooling.state_card(air) for air in airs)


@lru_cache(maxsize=64)
def afternoons(
    patio: Patio, laid: Layout, solved: Line, plumbing: Plumbing, airs: tuple[Air, ...], bearing: float
) -> tuple[tuple[Cooling, ...], Findings]:
    """What each afternoon is like under the lid, as a range. bearing: heading of the first run, rad."""
    cooled = cooling.afternoons(patio, laid, solved, plumbing, airs, bearing)
    found = [f for one in cooled for f in checks.cooling_findings(patio, one)]
    return cooled, (*found, *(f for one in cooled[:1] for f in checks.side_findings(one)))


@lru_cache(maxsize=32)
def pictures(
    patio: Patio, laid: Layout, solved: Line, plumbing: Plumbing, airs: tuple[Air, ...], bearing: float
) -> tuple[tuple[Picture, ...], tuple[Wetness, ...]]:
    """The patio in plan, each afternoon beside the others, and where it is wet."""
    cooled, _ = afternoons(patio, laid, solved, plumbing, airs, bearing)
    shown = tuple(one.middle for one in cooled)
    drawn = cooling.pictures(patio, laid, solved, plumbing, airs, shown, bearing)
    return drawn, checks.all_wetness(drawn)


@lru_cache(maxsize=32)
def breezes(
    patio: Patio, laid: Layout, solved: Line, plumbing: Plumbing, airs: tuple[Air, ...], bearing: float
) -> Findings:
    """From which wind on the first of `airs` keeps little cooling at the seats; whether the drops are odd."""
    blown = cooling.breeze(patio, laid, solved, plumbing, airs[0], bearing) if airs else None
    return (*checks.drop_findings(blown), *checks.breeze_findings(patio, blown))


def run(project: Project, weather: Weather | None) -> Design:
    """The whole job. `weather` may be None where every afternoon is typed in."""
    laid = lay_all(project)
    layouts = tuple(layout for layout, _ in laid)
    airs, cards = breathe(weather, project.place)
    by_name = {air.name: air for air in airs}
    solved, line_findings = plumb(project.plumbing, layouts, hottest(weather, project.place))
    asked = [
        (patio, layout, solved, project.plumbing, airs, project.place.bearing)
        for patio, layout in zip(project.patios, layouts, strict=True)
    ]
    cooled = [afternoons(*one) for one in asked]
    drawn = [pictures(*one) for one in asked]
    verdict, use = installer(project, solved, line_findings)
    plan, hold_findings = shut_in(project, solved, weather)
    notes = weather.notes if weather is not None else ()
    findings = (
        *(f for _, found in laid for f in found),
        *line_findings,
        *(f for patio in project.patios for f in checks.hole_findings(patio, solved, project.units)),
        *hold_findings,
        *(f for _, found in cooled for f in found),
        *(f for patio in project.patios for f in checks.zone_findings(patio, solved, tuple(by_name))),
        *_wet(layouts, drawn),
        *(f for one in asked for f in breezes(*one)),
        *notes,
        *cautions(project, hottest(weather, project.place)),
    )
    coolings = tuple(one for days, _ in cooled for one in days)
    return Design(
        project=project,
        weather_notes=notes,
        air_source=weather.source if weather is not None else "typed in",
        afternoons=airs,
        layouts=layouts,
        line=solved,
        line_verdict=verdict,
        cooling=coolings,
        pictures=tuple(one for seen, _ in drawn for one in seen),
        wetness=tuple(one for _, wet in drawn for one in wet),
        parts=takeoff.list_parts(project, layouts, solved),
        cards=cards,
        findings=findings,
        code=content_code(project, airs),
        use=use,
        hold=plan,
        verdicts=tuple(
            checks.mist_verdict(one, findings, by_name[one.afternoon], project.control) for one in coolings
        ),
    )


def _wet(
    layouts: tuple[Layout, ...], drawn: list[tuple[tuple[Picture, ...], tuple[Wetness, ...]]]
) -> Iterator[Finding]:
    for laid, (seen, wet) in zip(layouts, drawn, strict=True):
        for one, judged in zip(seen, wet, strict=True):
            yield from checks.picture_findings(laid, one, judged)


def cautions(project: Project, hottest: float | None = None) -> Findings:
    """What to warn of whatever the numbers say. hottest: as for `plumb`, for how hot the tube gets."""
    heat = checks.tube_heat(project.plumbing, hottest)
    return checks.cautions(replace(project, plumbing=replace(project.plumbing, tube_temperature=heat)))


def _shown(project: Project) -> Project:
    """The project without what no sheet is made from: prices, and what turns the mist on through a season."""
    return replace(
        project,
        prices=Prices(),
        control=replace(project.control, on_above=0.0, off_below=0.0),
        place=replace(project.place, daylight_saving="none"),
    )


def content_code(project: Project, airs: tuple[Air, ...]) -> str:
    """Six letters and figures that change with anything the sheets show: stale paper gives itself away.

    No 0, 1, I, L, O or U, which a builder could misread over the telephone.
    """
    alphabet = "23456789ABCDEFGHJKMNPQRSTVWXYZ"
    number = int(fingerprint(_shown(project), airs), 16)
    signs = ""
    for _ in range(6):
        number, digit = divmod(number, len(alphabet))
        signs += alphabet[digit]
    return f"{signs[:3]} {signs[3:]}"
