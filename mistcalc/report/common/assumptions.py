"""What the project file left open, in words and with the value taken: every sheet set says it."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from typing import Any, NamedTuple

from mistcalc.model.project import Patio, Project, Tariffs
from mistcalc.model.results import Line
from mistcalc.report.common.locale_text import Locale, town_of

Stated = tuple[str, str, Any]  # key without names, name of the thing that has it, value


SET_POINTS = 6  # of a control: what may be assumed of it


class Assumption(NamedTuple):
    """A value taken: its key in the file, without names, and what is said of it."""

    key: str
    sentence: str


FINISHES = {"wood": "boards", "none": "open_framing"}  # what is there instead of plaster


def assumption_sentences(project: Project, locale: Locale, line: Line | None = None) -> tuple[str, ...]:
    return tuple(assumption.sentence for assumption in list_assumptions(project, locale, line))


def list_assumptions(project: Project, locale: Locale, line: Line | None = None) -> tuple[Assumption, ...]:
    """One a value, alike ones of several things together: "L1, L3: clearance 3 ft". line: as piped; zones
    that cannot run one at a time are not said to."""
    bound = line is not None and any(
        zone.piping.behind or zone.piping.leaks_with is not None for zone in line.zones
    )
    known = {path: (key, owner, value) for path, key, owner, value in _paths(project)}
    groups: dict[tuple[str, str], list[str]] = {}
    bare = {f"patio[{patio.name}].plaster." for patio in project.patios if not patio.plaster.covered}
    unasked = {
        f"patio[{patio.name}].{key}"
        for patio in project.patios
        if not patio.plaster.plastered and not any(run.joints for run in patio.runs)
        for key in ("plaster.sheathing", "marks.clear_of_joints")  # of boards, and of no ceiling at all
    }
    for path in project.assumed:
        if path.startswith(tuple(bare)) and not path.endswith(".trim"):
            continue  # no plaster: nothing about it matters
        if path in unasked or (bound and path == "line.together"):
            continue
        key, _, value = known.get(path, (path, "", None))
        groups.setdefault((key, repr(value)), []).append(path)
    if feeds := project.plumbing.row_feeds:
        tube = sum(piece.length for piece in feeds)  # all of it: it is told once, of all rows
        rows = dict.fromkeys(str(piece.end).rpartition(" ")[0] for piece in feeds)
        known |= {f"line.row_feeds[{row}]": ("line.row_feeds", row, tube) for row in rows}
        groups["line.row_feeds", ""] = [f"line.row_feeds[{row}]" for row in rows]
    by_reader = sorted(groups, key=lambda group: _rank(group[0]))
    return tuple(Assumption(group[0], _sentence(groups[group], known, locale)) for group in by_reader)


def control_assumed(project: Project, locale: Locale) -> str:
    """That the control is not the file's own, or what of it is not; nothing where it is."""
    told = [a.sentence for a in list_assumptions(project, locale) if a.key.startswith("control.")]
    if len(told) == SET_POINTS:
        return locale.label("season.control_assumed")
    return locale.label("season.control_assumed_in_part", told="; ".join(told)) if told else ""


def about_the_line(path: str) -> bool:
    """Whether a key path of the project file is the installer's to look at."""
    return path.startswith(("line", "pump", "water"))


def _rank(key: str) -> int:
    """The lid first, then the house round it, the line, the rest."""
    if key.startswith("patio"):
        return int(key.startswith("patio.house"))
    return 2 if about_the_line(key) else 3


def _sentence(paths: list[str], known: dict[str, Stated], locale: Locale) -> str:
    """A path that no noun or no sentence answers to stands as it is in the file; a test finds none."""
    if paths[0] in known:
        key, _, value = known[paths[0]]
        value = town_of(value) if key == "place.climate" else value
        first, last = value if isinstance(value, tuple) else (value, value)
        if key == "control.months":
            first, last = f"month-{first}", f"month-{last}"
        owners = tuple(dict.fromkeys(owner for path in paths if (owner := known[path][1])))
        try:
            return locale.label(
                f"paper_assumed.{key}", value=value, owners=owners, count=len(owners), first=first, last=last
            )
        except KeyError:
            pass
    return "; ".join(paths)


def _paths(project: Project) -> Iterator[tuple[str, str, str, Any]]:
    """(path as the reader writes it, key without names, name of the thing, value) of every plain value."""
    for patio in project.patios:
        yield from _of_patio(patio, len(project.patios) > 1)
    plumbing = project.plumbing
    yield from _plain("line", "line", "", plumbing)
    for name in ("nozzle", "tube"):
        yield from _plain(f"line.{name}", f"line.{name}", "", getattr(plumbing, name))
    for n, drain in enumerate(plumbing.drains, 1):
        yield from _plain("line.drain", "line.drain", "", drain)  # the only one, written as a table
        yield from _plain(f"line.drain[{n}]", "line.drain", "", drain)
    for zone in plumbing.zones:  # these have no value: the pieces say where it stands
        yield f"line.zone[{zone.name}].valves", "line.zone.valves", zone.name, ""
    yield "line.together", "line.together", "", ""
    yield "line.nozzle.drop_median", "line.nozzle.drop_median", "", ""  # assumed has no value: from a formula
    for kind, entries in (("run", plumbing.runs), ("mark", plumbing.marks)):
        for entry in entries:
            at = f"line.{kind}[{entry.name}].nozzle"
            yield from _plain(at, "line.own.nozzle", entry.name, entry.nozzle)
            yield f"{at}.drop_median", "line.own.nozzle.drop_median", entry.name, ""
    tubes = [(f"run[{run.name}]", run.tube) for run in plumbing.runs]
    tubes += [(f"piece[{n}]", piece.tube) for n, piece in enumerate(plumbing.pieces, 1)]
    for where, tube in tubes:  # of another material than the line's: sold and joined as that is
        yield from _plain(f"line.{where}.tube", "line.own.tube", "", tube)
    yield "line.piece", "line.piece", "", sum(piece.length for piece in plumbing.pieces)
    yield from _plain("pump", "pump", "", plumbing.pump)
    yield from _household_use(project.tariff)
    for name in ("water", "place", "revision", "control", "prices", "dates", "paper"):
        noun = plumbing.water if name == "water" else getattr(project, name)
        yield from _plain(name, name, "", noun)
    for name in ("hours", "months"):
        yield f"control.{name}", f"control.{name}", "", getattr(project.control, name)


def _household_use(tariffs: Tariffs | None) -> Iterator[tuple[str, str, str, Any]]:
    """What is assumed of the house's own use is one figure for every month."""
    for key in ("tariff.household_water", "tariff.household_power"):
        use = getattr(tariffs, key.removeprefix("tariff."), None)
        if use is not None:
            yield key, key, "", max(use)


def _of_patio(patio: Patio, many: bool) -> Iterator[tuple[str, str, str, Any]]:
    at, owner = f"patio[{patio.name}]", patio.name if many else ""
    yield from _plain(at, "patio", owner, patio)
    for name in ("edge_beam", "plaster", "marks", "house"):
        called = FINISHES.get(patio.plaster.system, name) if name == "plaster" else name
        yield from _plain(f"{at}.{name}", f"patio.{called}", owner, getattr(patio, name))
    for run in patio.runs:
        yield from _plain(f"{at}.run[{run.name}]", "patio.run", run.name, run)
        for name in ("datum", "framing"):
            noun = getattr(run, name)
            yield from _plain(f"{at}.run[{run.name}].{name}", f"patio.run.{name}", run.name, noun)
    for thing in patio.obstacles:
        yield from _plain(f"{at}.obstacle[{thing.name}]", "patio.obstacle", thing.name, thing)
    for screen in patio.screens:
        yield from _plain(f"{at}.screen[{screen.name}]", "patio.screen", screen.name, screen)


def _plain(at: str, key: str, owner: str, noun: Any) -> Iterator[tuple[str, str, str, Any]]:
    for name in getattr(noun, "__dataclass_fields__", ()):
        value = getattr(noun, name)
        if name == "size" and isinstance(value, tuple):
            value = value[0]
        if isinstance(value, (str, int, float, datetime.date)):
            yield f"{at}.{name}", f"{key}.{name}", owner, value
