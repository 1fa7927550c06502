"""A fleet on one screen: how many lots stand how, what is wrong first, what facing costs, what is written."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from pathlib import Path

from mistcalc import words
from mistcalc.fleet.overview import FacingFamily, FleetReport, group_text
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.terminal_lines import WIDTH, wrapped
from mistcalc.units import compass_point

MOST_GROUPS, MOST_FAMILIES, MOST_LOTS = 8, 3, 6  # on one screen


def summary_text(report: FleetReport, written: Sequence[Path], locale: Locale) -> str:
    """Ends in a newline."""
    lines = [*wrapped("", counted(report, locale))]
    for section in (_exceptions(report, locale), _facing(report, locale), _kept(report, locale)):
        told = list(section)
        lines += ["", *told] if told else []
    if report.cautions:
        lines += ["", *wrapped("", locale.label("fleet.cautions"))]
    if written:
        names = ", ".join(path.name for path in written)
        text = locale.label("fleet.wrote", folder=str(written[0].parent), names=names)
        lines += ["", *wrapped("", text)]
    return "\n".join(lines) + "\n"


def counted(report: FleetReport, locale: Locale) -> str:
    """ "400 lots, 48 designs: 380 fine, 12 to look at, 5 fail, 3 without an answer." """
    counts = [
        locale.label(f"fleet.count_{state}", count=count)
        for state, count in reversed(report.states.items())
        if count
    ]
    return locale.label(
        "fleet.counted", lots=len(report.fleet.rows), designs=report.fleet.designs, counts=tuple(counts)
    )


def lot_names(lots: Sequence[str], most: int, locale: Locale) -> str:
    """ "12, 14, 15 and 9 more"; a lot that stands twice in the table, once."""
    lots = list(dict.fromkeys(lots))
    if len(lots) <= most:
        return ", ".join(lots)
    return locale.label("fleet.and_more", lots=", ".join(lots[: most - 1]), count=len(lots) - most + 1)


def _exceptions(report: FleetReport, locale: Locale) -> Iterator[str]:
    """No answer, then what fails, then what to look at, most lots first."""
    groups = [("error", one.text, one.lots) for one in report.errors]
    groups += [(one.finding.level, group_text(one, locale), one.lots) for one in report.found]
    for level, text, lots in groups[:MOST_GROUPS]:
        word = locale.label("fleet.level_error") if level == "error" else locale.label(f"level.{level}")
        names = lot_names(lots, MOST_LOTS, locale)
        short = textwrap.shorten(text, 3 * WIDTH, placeholder=" ...")
        yield from wrapped(f"{word}  ", locale.label("fleet.group", count=len(lots), text=short, lots=names))
    if len(groups) > MOST_GROUPS:
        yield locale.label("fleet.more_groups", count=len(groups) - MOST_GROUPS)


def _facing(report: FleetReport, locale: Locale) -> Iterator[str]:
    for family in report.costliest[:MOST_FAMILIES]:
        yield from wrapped("", facing_text(family, locale))


def facing_text(family: FacingFamily, locale: Locale) -> str:
    """ "plan-b.toml, mirrored, el-paso: looking W, 3.0 °F less cooling than looking N (4 lots)." """
    facing, cost, lots = family.ways[-1]
    return locale.label(
        "fleet.facing",
        plan=plan_text(family, locale),
        facing=side(facing, locale),
        less=cost.less,
        best=side(cost.best, locale),
        count=len(lots),
    )


def plan_text(family: FacingFamily, locale: Locale) -> str:
    mirrored = [locale.label("fleet.mirrored")] if family.mirrored else []
    return ", ".join([family.plan, *mirrored, *([family.climate] if family.climate else [])])


def side(facing: float, locale: Locale) -> str:
    return locale.label(f"word.{compass_point(facing)}")


def _kept(report: FleetReport, locale: Locale) -> Iterator[str]:
    """What was worked out now and what was there, and whatever else befell the folder."""
    fleet = report.fleet
    yield from wrapped("", locale.label("fleet.worked", worked=fleet.worked, had=fleet.had))
    for notice in fleet.notices:
        yield from wrapped("", words.say(notice, locale.units, locale.language))
    for key, count in (
        ("fleet.unkept", fleet.unkept),
        ("fleet.damaged", fleet.damaged),
        ("fleet.other_versions", fleet.other_versions),
    ):
        if count:
            yield from wrapped("", locale.label(key, count=count))
