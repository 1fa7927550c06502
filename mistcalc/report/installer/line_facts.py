"""What to know of line, pump, tube and water, and not to measure: sentences beside the checklist."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from mistcalc.model.hole_size import drill_size
from mistcalc.model.project import Plumbing
from mistcalc.model.results import Line
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.installer.checklist import ChecklistInput


def facts(job: ChecklistInput) -> tuple[tuple[str, str, tuple[str, ...]], ...]:
    """What to know and not to measure: (name, head, sentences)."""
    parts = {"line": _about_line, "pump": _about_pump, "tube": _about_tube, "water": _about_water}
    sections = [
        (name, job.label(f"paper_check.facts_{name}"), tuple(make(job))) for name, make in parts.items()
    ]
    return tuple(section for section in sections if section[2])


def _about_line(job: ChecklistInput) -> Iterator[str]:
    line = job.line
    fitted = Counter(mark.nozzle or job.plumbing.nozzle for mark in line.marks) or {job.plumbing.nozzle: 0}
    for nozzle, count in fitted.items():
        yield job.label("paper_check.nozzles", count=count, nozzle=nozzle.label)
        yield job.label("paper_check.each", flow=nozzle.flow, at=nozzle.at)
    duty = line.duty
    tube, fittings = duty.feed_friction - duty.feed_fittings, duty.feed_fittings
    yield job.label(
        "paper_check.feed",
        length=duty.feed_length,
        tube=tube if job.verdict.feed_tells else None,
        fittings=fittings,
    )
    many = sum(zone.marks > 0 for zone in line.zones) > 1
    for zone in line.zones:
        if zone.marks:
            even = (("spread", zone.flow_spread), ("cu", zone.uniformity_cu), ("du", zone.uniformity_du))
            name = zone.name if many else ""
            yield job.label("paper_check.even", **dict(even), zone=name)
            if zone.name in job.verdict.zones_tell:
                losses = {"solver": zone.solver_loss, "hand": zone.christiansen_loss}
                yield job.label("paper_check.hand", **losses, zone=name)
    yield job.label("paper_check.fastest", speed=duty.fastest)


def _about_pump(job: ChecklistInput) -> Iterator[str]:
    duty = job.line.duty
    if duty.used_share is None:
        return
    yield job.label("paper_check.used", used=duty.used_share, flow=duty.required_flow)
    yield job.label("paper_check.power", shaft=duty.shaft_power, electric=duty.electric_power)
    pump = job.plumbing.pump
    if duty.full_load_amps is not None and pump is not None:
        yield job.label(f"paper_check.currents_{pump.motors}")
    if duty.point.bypass_warming is not None:
        yield job.label("paper_check.warming", once=duty.point.pass_warming, steady=duty.point.bypass_warming)
    if duty.relief_range is not None:
        low, high = duty.relief_range
        yield job.label("paper_check.relief_range", low=low, high=high)


def _about_tube(job: ChecklistInput) -> Iterator[str]:
    duty, tube = job.line.duty, job.line.duty.tube
    yield job.label("paper_check.surge", surge=tube.surge, closing=f"{tube.slow_closing:.2g}")
    yield from trapped_water_sentences(job.plumbing, job.line, job.verdict.trapped, job.locale)
    holes = {patio.name: drill_size(patio, job.line, job.locale.units) for patio in job.patios}
    for run in tube.runs:
        if run.clips and run.held == "middle":
            yield job.label(
                "paper_check.anchor",
                run=run.run,
                at=run.anchor,
                clips=run.clip_count,
                gap=run.clip_gap,
                movement=run.movement,
                hole=holes.get(run.patio, run.hole),
            )
    if any(run.held == "marks" and run.clips for run in tube.runs):
        yield job.label("paper_check.held")
    if any(run.clips and run.held == "middle" for run in tube.runs):  # of the movements just told
        yield job.label("paper_check.swing", cold=tube.coldest, hot=duty.tube_rating_temperature)


def trapped_water_sentences(plumbing: Plumbing, line: Line, trapped: bool, locale: Locale) -> Iterator[str]:
    """What the sun does to the line valved off full: one figure on every sheet."""
    duty, tube = line.duty, line.duty.tube
    hot, warming = duty.tube_rating_temperature, tube.trapped_warming
    working = plumbing.working
    if warming is not None and trapped:
        values = {"working": working, "start": hot - warming, "warming": warming, "rating": duty.tube_rating}
        yield locale.label("paper_check.trapped", **values)
    elif tube.trapped_slope > 0.0:
        yield locale.label("paper_check.trapped_never", slope=tube.trapped_slope, hot=hot)


def _about_water(job: ChecklistInput) -> Iterator[str]:
    water, use = job.line.duty.water, job.use
    if water.langelier is not None:
        yield job.label(
            "paper_check.index", langelier=f"{water.langelier:+.1f}", ryznar=f"{water.ryznar:.1f}"
        )
    yield job.label("paper_check.use_hour", hour=use.an_hour)
    hours = f"{use.hours:.3g}"
    yield job.label("paper_check.use_most", day=use.a_day, hours=hours)
    if use.dust_hour is not None:
        key = "dust_least" if water.solids_from == "hardness" else "dust"
        yield job.label(f"paper_check.{key}", hour=use.dust_hour, day=use.dust_day)
