"""The control's rule as found: one sentence, what each part is worth, the keys to paste."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import isfinite

from mistcalc.model.project import Control, Project
from mistcalc.model.results import RULE_PARTS, Band, FoundRule, RulePartName
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.mirrored_name import job_name
from mistcalc.report.common.terminal_lines import wrapped
from mistcalc.report.owner.text_blocks import hours
from mistcalc.units import System

FIGURES, WIDTH = 34, 80  # columns of a terminal
STOPS = ("humidity", "wind")


def rule_sentences(
    found: FoundRule, project: Project, keys: Sequence[str], units: System, language: str
) -> str:
    """For a terminal. keys: the lines of `[control]` that state the rule."""
    locale = Locale(units, language)
    label = locale.label
    lines = wrapped("", label("rule.title", name=job_name(project, locale)))
    if found.control is None:
        lines += ["", *_none(found, project.control, locale)]
        return "\n".join(lines) + "\n"
    lines += ["", *wrapped("", rule_sentence(found, locale), ""), ""]
    goal = "rule.goal" if isfinite(found.most_water) else "rule.goal_any_water"
    lines += wrapped("", label(goal, limit=found.bearable, most=found.most_water), "")
    if project.control.most_a_day is not None:
        lines += wrapped("", label("rule.goal_day", **_days_water(found, project.control)), "")
    lines += ["", *_parts(found, locale), ""]
    for key, score in (("with", found.found), ("stated", found.stated)):
        water = locale.number(score.runs[1] * found.an_hour, "volume")
        values = {"runs": hours(score.runs, locale), "gained": hours(score.gained, locale), "water": water}
        lines += wrapped("", label(f"rule.{key}", **values), "  ")
    if found.keep_stated:
        lines += wrapped("", label("rule.keep"), "  ")
    lines += wrapped("", label("rule.best", gained=hours(found.best, locale)), "  ")
    (chosen, mean), (held, other) = found.chosen_on, found.held_out
    lines += wrapped("", label("rule.held_out", chosen=chosen, mean=mean, held=held, other=other), "  ")
    lines += ["", *_timings(found, project, locale)]
    lines += wrapped("", label("rule.limits"), "  ")
    if found.keep_stated:
        return "\n".join(lines) + "\n"
    pasted = (_pasted(key, found.control, locale) for key in keys)
    return "\n".join([*lines, "", label("rule.paste"), "[control]", *pasted]) + "\n"


def _none(found: FoundRule, control: Control, locale: Locale) -> Iterator[str]:
    """Why there is no rule: a limit of water in which no hour of mist fits, else that none gains an hour."""
    label, an_hour = locale.label, found.an_hour
    if control.most_a_day is not None and control.most_a_day < an_hour:
        yield from wrapped("", label("rule.none_in_a_day", **_days_water(found, control)))
        return
    if found.most_water < an_hour:
        yield from wrapped("", label("rule.none_in_a_year", most=found.most_water, an_hour=an_hour))
        return
    asked = "rule.none" if isfinite(found.most_water) else "rule.none_any_water"
    yield from wrapped("", label(asked, limit=found.bearable, most=found.most_water))
    if control.most_a_day is not None:
        yield from wrapped("", label("rule.goal_day", **_days_water(found, control)))
    yield ""
    yield from _parts(found, locale)


def _days_water(found: FoundRule, control: Control) -> dict[str, float | None]:
    return {"most": control.most_a_day, "an_hour": found.an_hour}


def _pasted(line: str, control: Control, locale: Locale) -> str:
    """A line of the file; a stop that nothing reaches says so, that nobody takes 130 mph for advice."""
    stop = next((name for name in STOPS if line.startswith(f"{name}_stop")), None)
    never = stop is not None and not control.stops_by(stop)
    return f"{line}   # {locale.label('rule.no_stop')}" if never else line


def rule_sentence(found: FoundRule, locale: Locale) -> str:
    """ "Run it 2 pm to 8 pm, May to September, over 92 °F, with at most 8 mph of wind at a weather mast." """
    control = found.control
    assert control is not None
    kept = {part.name for part in found.parts if part.kept}
    pieces = [
        _named(name, control, locale)
        for name in RULE_PARTS
        if name in kept and name not in ("temperature", "hours") and _limits(control, name)
    ]
    if control.least_run or control.least_rest:
        pieces.append(_timing(control.least_run, control.least_rest, locale))
    if control.days is not None:  # restrictions the owner stated: a controller set by this must keep them
        pieces.append(locale.label("rule.days", days=tuple(f"weekday-{day}" for day in control.days)))
    if control.most_a_day is not None:
        pieces.append(locale.label("rule.most_a_day", most=control.most_a_day))
    more = "".join(locale.label("rule.piece", text=text) for text in pieces)
    return locale.label(
        "rule.sentence", start=control.hours[0], end=control.hours[1], first=f"month-{control.months[0]}",
        last=f"month-{control.months[1]}", on=control.on_above, off=control.off_below, more=more,
    )  # fmt: skip


def _limits(control: Control, name: RulePartName) -> bool:
    """Whether the rule has a limit of that part at all: some are worth something beside others alone."""
    return bool(control.not_from) if name == "sides" else control.stops_by(name)


def _parts(found: FoundRule, locale: Locale) -> Iterator[str]:
    """A line a part: what it makes of it, and what it adds."""
    yield from wrapped("", locale.label("rule.parts", limit=found.bearable), "  ")
    for part in found.parts:
        gained = hours(part.gained, locale)
        if part.control is None:
            figures = locale.label("rule.too_much")
        elif part.name == "temperature":
            figures = gained
        elif part.kept:
            figures = locale.label("rule.adds", gained=gained, added=_plus(part.added, locale))
        else:
            figures = locale.label("rule.left_out", added=_plus(part.added, locale))
        name = _named(part.name, part.control, locale)
        joined = f"  {name:<{WIDTH - FIGURES - 2}}{figures:>{FIGURES}}"
        yield from [joined] if len(joined) <= WIDTH else wrapped("  ", f"{name}: {figures}", "    ")
    last = found.parts[-1]
    if last.name == "humidity" and not last.kept:
        yield from wrapped("  ", locale.label("rule.dry"), "  ")


def _timings(found: FoundRule, project: Project, locale: Locale) -> Iterator[str]:
    """A line a least run and rest: how often it comes on then, how long it runs, what it gains; those that
    change no figure once."""
    label = locale.label
    yield from wrapped("", label("rule.timings"), "  ")
    told: set[str] = set()
    for timing in found.timings:
        figures = label(
            "rule.timing_figures", starts=hours(timing.starts, locale), runs=hours(timing.score.runs, locale),
            gained=hours(timing.score.gained, locale),
        )  # fmt: skip
        if figures in told and not timing.chosen:
            continue
        told.add(figures)
        named = _timing(timing.least_run, timing.least_rest, locale)
        mark = label("rule.timing_chosen") if timing.chosen else ""
        yield from wrapped("  ", f"{named}: {figures}{mark}", "    ")
    if len(told) == 1:
        yield from wrapped("  ", label("rule.timings_same"), "  ")
    yield from wrapped("  ", label("rule.timings_hour"), "  ")


def _timing(least_run: float, least_rest: float, locale: Locale) -> str:
    named = [("run", least_run), ("rest", least_rest)]
    pieces = [locale.label(f"rule.timing_{name}", **{name: least}) for name, least in named if least]
    return ", ".join(pieces) or locale.label("rule.timing_none")


def _named(name: RulePartName, control: Control | None, locale: Locale) -> str:
    """A part with its limit; where the best limit is none at all, the part alone."""
    label = locale.label
    if control is None:
        return label(f"rule.no_{name}")
    if name == "temperature":
        return label("rule.temperature", on=control.on_above)
    if name == "hours":
        return label("rule.hours", start=control.hours[0], end=control.hours[1])
    if name == "sides":
        sides = tuple(f"wind-{side}" for side in control.not_from)
        return label("rule.sides", sides=sides) if sides else label("rule.no_sides")
    stop = control.wind_stop if name == "wind" else control.humidity_stop
    if not control.stops_by(name):
        return label(f"rule.no_{name}")
    return label(f"rule.{name}", stop=stop, place=label(f"rule.place_{control.wind_measured_at}"))


def _plus(band: Band, locale: Locale) -> str:
    ends = [f"{round(value):+d}" for value in (band[0], band[2])]
    return ends[0] if ends[0] == ends[1] else locale.label("rule.span", low=ends[0], high=ends[1])
