"""One screen for three people: what to drill, what to buy, what to expect.

At most 40 lines of 80 columns on a terminal, and as many more as what fails takes to be read in full; `full`
lets findings, assumptions and cautions run on.
Every word comes from `words`, every number from the Design.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from itertools import pairwise
from pathlib import Path
from typing import Any

from mistcalc.model.hole_size import reaches_farther
from mistcalc.model.project import Patio
from mistcalc.model.results import PLACES, Cooling, Design, Layout, RunLine
from mistcalc.model.run_extents import SAME
from mistcalc.report.common.assumptions import assumption_sentences
from mistcalc.report.common.change_text import moved_text
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.mark_position import wood_missed
from mistcalc.report.common.mirrored_name import job_name
from mistcalc.report.common.terminal_lines import WIDTH, wrapped
from mistcalc.report.findings_and_cautions import cautions_section, findings_section
from mistcalc.report.installer.checklist import supply_of
from mistcalc.report.owner.afternoon_text import day_name, range_causes, wind_rows, worth_measuring
from mistcalc.report.owner.felt_temperature_text import feel_line
from mistcalc.units import System

LINES = 40
MOST_RUNS, MOST_AFTERNOONS, MOST_PATIOS = 3, 3, 2  # rows shown on one screen
WIDEST_NAME = 12  # of a run, where what follows stands in one column


def job_summary_text(
    design: Design,
    units: System | None = None,
    language: str | None = None,
    files: Sequence[Path] = (),
    full: bool = False,
) -> str:
    """The summary as text ending in a newline. `files`: what was written, named at the end."""
    locale = Locale(units or design.project.units, language or design.project.language)
    before = [*_head(design, locale), *_builder(design, locale, full), *_installer(design, locale, full)]
    before += _owner(design, locale, full)
    after = [*_assumed(design, locale, full), *cautions_section(design, locale, full), *_files(files, locale)]
    room = None if full else LINES - len(before) - len(after)
    return "\n".join([*before, *findings_section(design, locale, room), *after]) + "\n"


# ------------------------------------------------------------------ the parts, top to bottom


def _head(design: Design, locale: Locale) -> list[str]:
    project = design.project
    title = locale.label(
        "summary.title",
        name=job_name(project, locale).upper(),
        letter=project.revision.letter,
        status=project.revision.status,
    )
    code = locale.label("summary.code", code=design.code)
    room = WIDTH - len(code) - 2
    lines = [f"{title[:room]:<{room}}  {code}"]
    about = textwrap.shorten(project.about, WIDTH, placeholder=" ...")
    return [*lines, about] if about else lines


def _builder(design: Design, locale: Locale, full: bool) -> list[str]:
    lines = ["", locale.label("summary.builder")]
    told = [(layout, run) for layout in design.layouts for run in layout.lid.rows]
    names = [_run_name(design, layout, run) for layout, run in told]
    wide = min(max(map(len, names), default=0), WIDEST_NAME)
    rows = [
        wrapped("  ", _run(design, layout, run, f"{name:<{wide}}", locale))
        for (layout, run), name in zip(told, names, strict=True)
    ]
    shown = rows if full else rows[:MOST_RUNS]
    lines += [line for row in shown for line in row]
    if len(rows) > len(shown):
        lines.append("  " + locale.label("summary.more_runs", count=len(rows) - len(shown)))
    wood = [_wood(design, patio, locale) for patio in design.project.patios]
    if len(wood) > 1:
        wood = [f"{layout.patio}: {text}" for layout, text in zip(design.layouts, wood, strict=True)]
    lines += [line for text in wood[: None if full else MOST_PATIOS] for line in wrapped("  ", text)]
    if design.change is not None:
        lines += wrapped("  ", moved_text(design.change, locale))
    return lines


def _run_name(design: Design, layout: Layout, run: RunLine) -> str:
    return run.name if len(design.layouts) == 1 else f"{layout.patio} {run.name}"


def _run(design: Design, layout: Layout, run: RunLine, name: str, locale: Locale) -> str:
    """name: the run's, with room after it where others have a longer one."""
    along = sorted(mark.along for mark in layout.marks if mark.run == run.name)
    if not along:
        return locale.label("summary.run_empty", run=name)
    surface = next(
        (
            r.datum.surface
            for p in design.project.patios
            for r in p.rows
            if (p.name, r.name) == (layout.patio, run.name)
        ),
        "",
    )
    values: dict[str, Any] = {
        "run": name,
        "count": len(along),
        "first": along[0],
        "last": along[-1],
        "surface": surface,
    }
    if len(along) == 1:
        return locale.label("summary.run_one", **values)
    gaps = [after - before for before, after in pairwise(along)]
    if run.pitch is not None:
        even = max(gaps) - min(gaps) < SAME
        return locale.label(f"summary.run_{'even' if even else 'skipped'}", pitch=run.pitch, **values)
    return locale.label("summary.run_uneven", least=min(gaps), most=max(gaps), **values)


def _wood(design: Design, patio: Patio, locale: Locale) -> str:
    layout, assumed = design.layout_of(patio.name), design.project.runs_on_assumed_joists(patio.name)
    holes, wider = layout.holes, reaches_farther(patio, design.line, locale.units)
    keyed_marks = (("summary.stop", holes.stop), ("summary.stop_drilled", holes.stop_drilled))
    stops = " ".join(locale.label(key, marks=some) for key, some in keyed_marks if some)
    return stops or wood_missed(layout, locale, assumed, wider)


def _installer(design: Design, locale: Locale, full: bool) -> list[str]:
    line, duty, plumbing = design.line, design.line.duty, design.project.plumbing
    lines = ["", locale.label(f"summary.installer_{supply_of(plumbing)}")]
    if design.line_verdict.fails:
        lines += wrapped("  ", locale.label("summary.line_fails"))
    lines += wrapped(
        "  ",
        locale.label(
            "summary.far_zones" if len(line.zones) > 1 else "summary.far",
            count=len(line.marks),
            zones=len(line.zones),
            flow=line.total_flow,
            mark=line.far_mark,
            far=line.far_gauge,
            supply=line.supply_gauge,
        ),
    )
    tube = plumbing.tube
    lines += wrapped(
        "  ",
        locale.label(
            "summary.tube" if design.line_verdict.tube_holds else "summary.tube_fails",
            material=tube.material,
            outside=tube.outside,
            rating=duty.tube_rating,
            temperature=duty.tube_rating_temperature,
            needs=plumbing.working,
        ),
    )
    if plumbing.pump is None:
        key = "summary.mains" if duty.inlet_gauge is not None else "summary.inlet_unknown"
        lines += wrapped("  ", locale.label(key, inlet=duty.inlet_gauge))
        return lines
    lines += wrapped("  ", _pump(design, locale))
    if full and duty.full_load_amps is not None:
        amps = {"full_load": duty.full_load_amps, "circuit": duty.circuit_amps, "breaker": duty.breaker_amps}
        lines += wrapped("  ", locale.label("summary.circuit", **amps))
    lines += wrapped(
        "  ",
        locale.label(
            "summary.inlet_unknown"
            if duty.inlet_gauge is None
            else "summary.water_point"
            if plumbing.water.point
            else "summary.water_point_unnamed",
            point=plumbing.water.point,
            inlet=duty.inlet_gauge,
        ),
    )
    return lines


def _pump(design: Design, locale: Locale) -> str:
    duty, pump = design.line.duty, design.project.plumbing.pump
    if duty.from_nameplate and pump is not None and pump.nameplate is not None:
        plate = pump.nameplate
        return locale.label(
            "summary.nameplate",
            flow=plate.flow,
            pressure=plate.pressure,
            motor=plate.motor,
            used=duty.used_share,
            verdict=locale.label(f"verdict.{design.line_verdict.word}"),
        )
    if duty.pick_flow is None:
        return locale.label("summary.no_pick", flow=duty.required_flow)
    return locale.label(
        "summary.pick_fails" if design.line_verdict.fails else "summary.pick",
        flow=duty.pick_flow,
        motor=duty.pick_motor,
        volts=duty.pick_volts,
        used=duty.used_share,
    )


def _owner(design: Design, locale: Locale, full: bool) -> list[str]:
    if not design.cooling:
        return []
    lines = ["", *wrapped("", locale.label("summary.owner"))]
    heads = [locale.label(f"place_short.{place}") for place in PLACES]
    left = locale.label("summary.afternoon")
    lines.append(
        f"  {left:<24}{heads[0]:>13}{heads[1]:>13}{heads[2]:>13}  {locale.label('summary.mist')}".rstrip()
    )
    many = len(design.layouts) > 1
    shown = design.cooling if full else design.cooling[:MOST_AFTERNOONS]
    for cooled in shown:
        ranges = [locale.span(*_ends(cooled, place)) for place in PLACES]
        verdict = design.verdict_of(cooled.patio, cooled.afternoon)
        outcome = locale.label(f"outcome.{verdict.outcome}")
        name = _afternoon(design, cooled, many, locale)
        lines.append(f"  {name:<24}{ranges[0]:>13}{ranges[1]:>13}{ranges[2]:>13}  {outcome}"[:WIDTH])
    if len(design.cooling) > len(shown):
        lines.append("  " + locale.label("summary.more", count=len(design.cooling) - len(shown)))
    for cooled in design.cooling if full else design.cooling[:1]:
        day = locale.label(f"afternoon.{cooled.afternoon}")
        day = f"{cooled.patio[:8]} {day}" if many else day
        lines += wrapped("  ", feel_line(cooled.feel, day, locale))
    lines += [line for text in _sun(design, locale) for line in wrapped("  ", text)]
    lines += wrapped("  ", _ceilings(design, locale))
    lines += [line for text in _little(design, locale) for line in wrapped("  ", text)]
    more = [_range(design, locale), *(_at_length(design, locale) if full else ())]
    return lines + [line for text in more for line in wrapped("  ", text)]


def _sun(design: Design, locale: Locale) -> Iterator[str]:
    """When a clear sun reaches seats, a line a patio; none where it does not."""
    for sun in design.sun:
        if told := [spell for spell in sun.spells if spell.month == sun.month]:
            start, end = min(spell.start for spell in told), max(spell.end for spell in told)
            month = f"month-{sun.month + 1}"
            yield locale.label("sun.summary", patio=sun.patio, month=month, start=start, end=end)


def _range(design: Design, locale: Locale) -> str:
    """What the ranges are of, and what finding out would narrow the first of them."""
    first = design.cooling[0]
    wanted = design.verdict_of(first.patio, first.afternoon).find_out
    names = [locale.label(f"told.key_{name}") for name in wanted[:1]]
    typed = all(air.hours_used == 0 for air in design.afternoons)
    text = locale.label("summary.range_typed" if typed else "summary.range")
    return " ".join([text, locale.label("summary.find_out", things=names)]) if names else text


def _at_length(design: Design, locale: Locale) -> Iterator[str]:
    """The first patio's winds, what the weather makes of its ranges, what to find out, and still air."""
    first = [cooled for cooled in design.cooling if cooled.patio == design.cooling[0].patio]
    for cooled in first:
        winds = "; ".join(f"{row.name} ({row.often}) {row.cooler}" for row in wind_rows(cooled, locale))
        if winds:
            yield f"{locale.label('told.look_up_day', day=day_name(cooled, locale))}: {winds}."
        if text := range_causes(cooled, locale):
            yield text
    head, sentences = worth_measuring(design, first[0], locale)
    if sentences:
        yield f"{head}:"
        yield from sentences
    yield from _still(design, locale)


def _still(design: Design, locale: Locale) -> list[str]:
    """How the cold lies on the first patio's first afternoon with so little wind that it does not mix."""
    for cooled in (c for c in design.cooling if c.patio == design.cooling[0].patio):
        lies = design.verdict_of(cooled.patio, cooled.afternoon).lies
        if lies is not None:
            drops = {"floor": lies.floor, "seated": lies.seated, "standing": lies.standing}
            return [locale.label("summary.still", day=day_name(cooled, locale), **drops)]
    return []


def _ceilings(design: Design, locale: Locale) -> str:
    """The most that any mist could do on each afternoon of the first patio."""
    first = [c for c in design.cooling if c.patio == design.cooling[0].patio]
    phrases = [
        locale.label("summary.on_day", day=day_name(c, locale), drop=c.most()[::2])
        for c in first[:MOST_AFTERNOONS]
    ]
    return locale.label("summary.ceilings", days=", ".join(phrases))


def _little(design: Design, locale: Locale) -> list[str]:
    """Why it is little, in a word or two an afternoon; nothing where it is little on none. Patios that share
    an afternoon and its reasons are told together, by name where others differ."""
    patios_by_day: dict[str, dict[str, list[str]]] = {}
    for verdict in design.verdicts:
        if verdict.little is not None:
            day = locale.label(f"afternoon.{verdict.afternoon}")
            why = ", ".join(locale.label(f"why_short.{name}") for name in verdict.little)
            patios_by_day.setdefault(day, {}).setdefault(why, []).append(verdict.patio)
    phrases = []
    for day, whys in patios_by_day.items():
        for why, patios in whys.items():
            names = "" if len(whys) == 1 else f" {', '.join(dict.fromkeys(patios))}"
            phrases.append(f"{day}{names} ({why})" if why else f"{day}{names}")
    return [locale.label("summary.little", days=", ".join(phrases))] if phrases else []


def _ends(cooled: Cooling, place: str) -> tuple[float, float]:
    low, _, high = cooled.band(place)
    return low, high


def _afternoon(design: Design, cooled: Cooling, many: bool, locale: Locale) -> str:
    name = locale.label(f"afternoon.{cooled.afternoon}")
    air = next((air for air in design.afternoons if air.name == cooled.afternoon), None)
    if air is None:
        return name
    air_text = (
        f"{locale.number(air.middle('temperature'), 'temperature')} "
        f"{locale.number(air.middle('relative_humidity'), 'share')}"
    )
    return f"{cooled.patio[:8]} {name} {air_text}" if many else f"{name} {air_text}"


def _assumed(design: Design, locale: Locale, full: bool) -> list[str]:
    paths = design.project.assumed
    if not paths:
        return []
    sentences = assumption_sentences(design.project, locale, design.line)
    text = locale.label("summary.assumed", count=len(paths), values="; ".join(sentences))
    if full:
        return ["", *wrapped("", text)]
    return ["", *wrapped("", textwrap.shorten(text, 2 * WIDTH - 10, placeholder=" ..."))]


def _files(files: Sequence[Path], locale: Locale) -> list[str]:
    if not files:
        return []
    names = ", ".join(sorted(path.name for path in files))
    sentence = locale.label("summary.files", count=len(files), folder=str(files[0].parent), names=names)
    return [textwrap.shorten(sentence, WIDTH, placeholder=" ...")]
