"""What an installer checks of line and pump: every item with what the plan expects and how it was judged.

One list for the check sheet and for the page. Numbers are the Line's, verdicts the checks'.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace

from mistcalc.model.project import Patio, Plumbing
from mistcalc.model.results import Line, LineVerdict, WaterUse, ZoneFlow
from mistcalc.report.common.locale_text import Locale
from mistcalc.units import meter_volume

KINDS = {
    "flow": "flow", "bypass": "share", "pressure": "pressure", "motor": "motor", "volts": "voltage",
    "circuit": "amps", "relief": "pressure", "static": "pressure", "inlet": "pressure", "far": "pressure",
    "tube": "pressure", "opening": "pressure", "drop": "drop_size", "holds": "pressure",
    "filter": "drop_size", "joints": "pressure",
}  # fmt: skip
NAME = 24  # letters of a mark's name


@dataclass(frozen=True)
class ChecklistItem:
    """One line: what to look at, what it should be, and the verdict on the plan ("" where none is given)."""

    what: str
    wanted: str
    verdict: str = ""


@dataclass(frozen=True)
class Group:
    name: str
    words: str
    items: tuple[ChecklistItem, ...]


@dataclass(frozen=True)
class ChecklistInput:
    """What the list is made from, and for whom."""

    plumbing: Plumbing
    line: Line
    verdict: LineVerdict
    use: WaterUse
    locale: Locale
    patios: tuple[Patio, ...] = ()

    @property
    def supply(self) -> str:
        """What drives the line, as titles have it: "pump" or "mains"."""
        return supply_of(self.plumbing)

    def label(self, key: str, **values: object) -> str:
        return self.locale.label(key, **values)

    def number(self, value: float | None, kind: str) -> str:
        return self.locale.number(value, kind)

    def item(self, name: str, what: str = "") -> Iterator[ChecklistItem]:
        """The line of one judged item, where it was judged."""
        check = next((item for item in self.verdict.items if item.item == name), None)
        if check is None:
            return
        wanted = self.number(check.has, KINDS[name])
        wanted = self.label("paper_check.unstated") if check.has is None else wanted
        if check.needs is not None:
            key = "most" if check.most else "least"
            wanted = self.label(
                f"paper_check.{key}", value=wanted, limit=self.number(check.needs, KINDS[name])
            )
        yield ChecklistItem(what or self.label(f"paper_check.item_{name}"), wanted, check.verdict)


def supply_of(plumbing: Plumbing) -> str:
    return "pump" if plumbing.pump is not None else "mains"


def groups(job: ChecklistInput) -> tuple[Group, ...]:
    """Every check, in the order it is done."""
    duty = job.line.duty
    made: Mapping[str, Callable[[ChecklistInput], Iterator[ChecklistItem]]] = {
        "water": _water, "pump": _pump, "tube": _tube, "fill": _fill, "running": _running,
        "cups": _cups,
    }  # fmt: skip
    values_by_group: dict[str, dict[str, object]] = {
        "tube": {
            "rating": duty.tube_rating,
            "temperature": duty.tube_rating_temperature,
            "weakest": job.label(f"paper_check.weakest_{duty.tube.weakest}"),
        },
        "cups": {"pumped": job.supply == "pump", "mains": job.supply == "mains"},
    }
    every = [
        Group(
            job.label(f"paper_check.group_{name}"),
            job.label(f"paper_check.{_note_key(name, job)}", **values_by_group.get(name, {})),
            tuple(make(job)),
        )
        for name, make in made.items()
    ]
    return tuple(group for group in every if group.items)


def _note_key(name: str, job: ChecklistInput) -> str:
    if name == "pump" and not job.line.duty.from_nameplate:
        return "note_pump_pick"
    return f"note_{name}"


def _water(job: ChecklistInput) -> Iterator[ChecklistItem]:
    water, water_result = job.plumbing.water, job.line.duty.water
    yield from job.item("static")
    yield ChecklistItem(
        job.label("paper_check.residual", flow=water.at_flow), job.number(water.residual, "pressure")
    )
    yield from job.item("filter")
    if water.hardness is not None:
        hard = job.label("paper_check.hardness_told", value=water.hardness, name=water_result.hardness)
        yield ChecklistItem(job.label("paper_check.hardness"), hard)


def _pump(job: ChecklistInput) -> Iterator[ChecklistItem]:
    pump, duty = job.plumbing.pump, job.line.duty
    if pump is None:
        return
    for name in ("flow", "pressure"):
        yield from job.item(name)
    if not duty.from_nameplate:
        yield ChecklistItem(job.label("paper_check.item_pressure"), job.number(pump.set_pressure, "pressure"))
    judged = [*job.item("motor"), *job.item("volts")]
    if not judged and duty.pick_motor is not None:
        motor, volts = job.number(duty.pick_motor, "motor"), job.number(duty.pick_volts, "voltage")
        judged = [
            ChecklistItem(
                job.label("paper_check.item_motor"), job.label("paper_check.at", value=motor, other=volts)
            )
        ]
    yield from judged
    if duty.full_load_amps is not None:
        yield ChecklistItem(job.label("paper_check.full_load"), job.number(duty.full_load_amps, "amps"))
    for item in job.item("circuit"):  # judged against the usual circuit, told as what it must carry
        yield replace(item, wanted=job.number(duty.circuit_amps, "amps"))
    if duty.breaker_amps is not None:
        key = "breaker" if duty.breaker_most_amps is None else "breaker_most"
        breaker_text = job.label(f"paper_check.{key}", least=duty.breaker_amps, most=duty.breaker_most_amps)
        yield ChecklistItem(job.label("paper_check.item_breaker"), breaker_text)
    yield ChecklistItem(
        job.label("paper_check.item_ground_fault"), job.label(f"paper_check.ground_fault_{pump.motors}")
    )
    yield from job.item("relief")
    if not duty.from_nameplate and duty.relief_range is not None:
        low, high = duty.relief_range
        yield ChecklistItem(
            job.label("paper_check.item_relief"), job.label("paper_check.pick_relief", low=low, high=high)
        )
    shared = "bypass" if len(job.line.zones) > 1 else "bypass_all"
    yield from job.item("bypass", job.label(f"paper_check.item_{shared}", zones=duty.smallest_zones))


def _tube(job: ChecklistInput) -> Iterator[ChecklistItem]:
    plumbing, duty = job.plumbing, job.line.duty
    tube, pump = plumbing.tube, plumbing.pump
    worst = plumbing.working if pump is None else (duty.relief_range or (0.0, pump.set_pressure))[1]
    if pump is not None and pump.nameplate is not None and pump.nameplate.relief is not None:
        worst = max(worst, pump.nameplate.relief)
    size = job.label("paper_check.tube_size", outside=tube.outside, wall=tube.wall)
    hot = job.number(duty.tube_rating_temperature, "temperature")
    yield ChecklistItem(job.label("paper_check.tube", material=tube.material, joints=tube.joints), size)
    yield from job.item("tube")
    yield from job.item("joints")
    yield ChecklistItem(
        job.label("paper_check.rating"),
        job.label("paper_check.at", value=job.number(worst, "pressure"), other=hot),
    )


def _fill(job: ChecklistInput) -> Iterator[ChecklistItem]:
    duty, full = job.line.duty, job.line.duty.filling
    yield ChecklistItem(job.label("paper_check.fill"), job.number(duty.fill_volume, "volume"))
    yield ChecklistItem(
        job.label("paper_check.fill_time"), job.label("paper_check.seconds", value=max(1, round(full.time)))
    )
    if full.pressure_time is not None:
        seconds = job.label("paper_check.seconds", value=max(1, round(full.pressure_time)))
        yield ChecklistItem(job.label("paper_check.pressure_time"), seconds)
    for zone in full.zones:
        if zone.drains and len(full.zones) > 1:
            what = job.label("paper_check.zone_drained", zone=zone.zone, at=zone.drains)
            yield ChecklistItem(what, job.number(zone.drained, "volume"))
        elif zone.drains:
            what = job.label("paper_check.drained", at=zone.drains)
            yield ChecklistItem(what, job.number(full.drain_volume, "volume"))


def _running(job: ChecklistInput) -> Iterator[ChecklistItem]:
    line = job.line
    yield from job.item("inlet")
    for zones in zones_by_set(line):
        yield from _set(job, zones)
    yield from job.item("far", job.label("paper_check.item_far", mark=_short(line.far_mark)))
    yield from job.item("drop")
    opens = next((mark.opens_at for mark in line.marks if mark.name == line.far_mark), None)
    yield from job.item(
        "opening", job.label("paper_check.item_opening", mark=_short(line.far_mark), opens=opens)
    )


def zones_by_set(line: Line) -> tuple[tuple[ZoneFlow, ...], ...]:
    """Zones with nozzles by the set they are told for, the largest first and the smallest last."""
    by_set: dict[tuple[str, ...], list[ZoneFlow]] = {}
    for zone in line.zones:
        if zone.marks:
            by_set.setdefault(zone.runs_with, []).append(zone)
    return tuple(sorted(map(tuple, by_set.values()), key=lambda zones: -line.set_of(zones[0].name).flow))


def _set(job: ChecklistInput, zones: tuple[ZoneFlow, ...]) -> Iterator[ChecklistItem]:
    """Gauge and meter while a set of zones runs: what a call-back is compared with later."""
    line = job.line
    marks = line.marks_with(zones[0].name)
    flow = line.set_of(zones[0].name).flow
    key = "zone" if len(line.zones) > 1 else "all"
    pumped = "set" if job.plumbing.pump is not None else "start"
    here = zones[0].runs_with

    def what(name: str, **values: object) -> str:
        return job.label(f"paper_check.{key}_{name}", zones=here, **values)

    yield ChecklistItem(what(pumped), job.number(zones[0].supply_gauge, "pressure"))
    yield ChecklistItem(what("flow", count=len(marks)), _between(job, flow, "flow"))
    if job.line.duty.point.reject == 0.0 and job.plumbing.water.tank is None:
        volume = meter_volume(flow, job.locale.units)
        meter_text = _between(job, flow, "meter", lambda passed: f"{volume / passed:.0f} s")
        yield ChecklistItem(what("meter", volume=job.number(volume, "volume")), meter_text)
    if pumped == "set" or key == "zone":  # on the main the one zone's far pressure is judged below
        for zone in zones:
            far = job.label(f"paper_check.{key}_far", zones=(zone.name,), mark=_short(zone.far_mark))
            yield ChecklistItem(far, job.number(zone.far_gauge, "pressure"))


def _cups(job: ChecklistInput) -> Iterator[ChecklistItem]:
    """Nozzles with most and least pressure of each set, by hose into a cup: no hand near a live nozzle."""
    key = "zone" if len(job.line.zones) > 1 else "all"
    for zones in zones_by_set(job.line):
        marks = job.line.marks_with(zones[0].name)
        most, least = (pick(marks, key=lambda m: m.pressure_gauge) for pick in (max, min))
        for mark in (most, least) if most is not least else (most,):
            cup = f"paper_check.{key}_bucket"
            what = job.label(cup, zones=zones[0].runs_with, mark=_short(mark.name))
            yield ChecklistItem(what, _between(job, mark.flow, "bucket"))


def _between(
    job: ChecklistInput, flow: float, kind: str, as_read: Callable[[float], str] | None = None
) -> str:
    """A flow as it is read, and in brackets between what a sound line shows while its gauge is as wanted."""
    read = as_read or (lambda passed: job.locale.number(passed, kind, like=flow))
    if flow <= 0.0:
        return job.number(flow, "flow")
    sound = job.verdict.sound(flow, cup=kind == "bucket")
    ends = reversed(sound) if kind == "meter" else sound  # read in time: more flow, fewer seconds
    low, high = (read(end).rpartition(" ")[0] for end in ends)
    return job.label("paper_check.between", value=read(flow), low=low, high=high)


def _short(name: str) -> str:
    return name if len(name) <= NAME else f"{name[: NAME - 1]}…"
