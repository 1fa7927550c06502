"""What the lid component is told: one Layout as plain data, in metres, for `lid.js` to draw.

Pure functions of nouns. No markup is made here and none is made from project text there. Nor is a length
spelled there: where a hand can put something, the texts of every step come along (units/tape_table.py).
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Any

from mistcalc.model.project import Patio, Plumbing, Run, Screen, Seat
from mistcalc.model.results import Layout, Mark, PlacedObstacle
from mistcalc.page.mark_reasons import why_here
from mistcalc.page.new_things import KINDS, first_place, new_name
from mistcalc.page.nouns_by_name import named
from mistcalc.page.plan_data import Signs, laid_tube, lid_in_plan, stopped
from mistcalc.page.plan_edit_nouns import ScreenSide
from mistcalc.page.plan_edits import (
    joist_centres,
    joist_range,
    mark_range,
    run_lengths,
    thing_range,
)
from mistcalc.page.screen_edits import FARTHEST_OUT, across, new_screen, open_sides, screen_place
from mistcalc.report.common.locale_text import Locale
from mistcalc.units import System, on_grid, parse, spell
from mistcalc.units.tape_table import tape_texts

Names = tuple[str, ...]
Data = dict[str, Any]
PAGE: dict[System, float] = {"us": parse("1 in", "length"), "metric": 0.025}  # m: a press of Page up
ROOM = 0.3  # m shown beyond what lies past the run
PULL = 5.0  # m a run can be made longer by one drag
TABLE_STEP = 8.0  # m: texts are made for whole stretches of so much, so that a pull seldom makes them anew


@lru_cache(maxsize=16)
def component_data(
    layout: Layout,
    patio: Patio,
    row: str,
    locale: Locale,
    plumbing: Plumbing | None = None,
    signs: Signs = (),
) -> Data:
    """Everything the component draws of one patio, the strip for one row of a run. Lengths m; `along` from a
    run's datum. plumbing: what its tube is joined to. signs: as `lid_in_plan` takes them."""
    run_name = layout.lid.run_of(row)
    run = next(run for run in patio.runs if run.name == run_name)
    line = next(line for line in layout.lid.rows if line.name == row)
    ends = mark_range(line)
    marks = [_mark(mark, ends, patio, layout, locale) for mark in layout.marks if mark.run == row]
    things, pulls = _things(patio, layout, signs, locale), [_pull(patio, one, locale) for one in patio.runs]
    screens = [made for one in patio.screens if (made := _screen(patio, one, locale)) is not None]
    members = [m for m in layout.lid.members if m.run == run_name and m.along is not None]
    across = [line.joint for line in layout.lid.joints if line.run == run_name]
    joints = [{"name": joint.name, "along": joint.along} for joint in across]
    here = [thing["along"] for thing in things if thing["run"] == run_name and thing["kind"] == "thing"]
    tube = sorted(map(line.along, laid_tube(line, layout, plumbing)))
    low, high = _extent(run, [*here, *(joint.along for joint in across), *tube])
    reach = [
        *(item["low"] for item in (*marks, *things)),
        *(item["high"] for item in (*marks, *things, *pulls)),
        *(item["deep"] for item in (*things, *screens)),
    ]
    return {
        "run": run_name,
        "row": row,
        "grid": patio.marks.grid,
        "page_steps": round(PAGE[locale.units] / patio.marks.grid) or 1,
        "pitch": line.pitch or patio.marks.pitch,
        "datum_left": line.datum_at_start,
        "low": low,
        "high": high,
        "tube": tube,
        "marks": marks,
        "things": things,
        "pulls": pulls,
        "screens": screens,
        "joists": _joists(patio, run, layout),
        "stated_joints": _joints(patio, run, locale),
        "members": [{"along": m.along, "width": m.width} for m in members if low <= (m.along or 0) <= high],
        "joints": joints,
        "blocked": [{"from": b.start, "to": b.end} for b in layout.blocked if b.run == row],
        **_texts([low, high, *reach], patio.marks.grid, locale),
        "plan": lid_in_plan(layout, patio, locale, plumbing, signs),
        "new": [
            *(_new(patio, run, kind, locale) for kind in KINDS),
            *(_new_screen(patio, run, side, locale) for side in open_sides(patio, run)),
        ],
        "words": _words(layout, patio, run, row, locale),
    }


def row_title(run: Run, row: str, locale: Locale) -> str:
    """What a row of a run is called where one is chosen: "Run A", or "Run A, second row 2A"."""
    if row == run.name:
        return locale.label("page.run_titled", name=run.name)
    return locale.label("page.row_titled", run=run.name, name=row)


def _texts(reach: list[float], grid: float, locale: Locale) -> Data:
    """What the tape reads at each step, and the same as it is read aloud."""
    farthest = max(abs(end) for end in reach)
    return _tables(TABLE_STEP * math.ceil(farthest / TABLE_STEP), grid, locale)


@lru_cache(maxsize=16)
def _tables(high: float, grid: float, locale: Locale) -> Data:
    return {
        "tape": tape_texts(high, grid, locale.units),
        "spoken": tape_texts(high, grid, locale.units, lambda metres: locale.number(metres, "spoken")),
    }


def _extent(run: Run, others: list[float]) -> tuple[float, float]:
    """The run, and as far past it as anything placed from its datum lies."""
    beyond = [along for along in others if not -1e-9 <= along <= run.length + 1e-9]
    low, high = min([0.0, *(a - ROOM for a in beyond)]), max([run.length, *(a + ROOM for a in beyond)])
    return low, high


def _mark(mark: Mark, ends: tuple[float, float], patio: Patio, layout: Layout, locale: Locale) -> Data:
    stop = mark.name in stopped(layout)
    return {
        "kind": "mark",
        "name": mark.name,
        "run": layout.lid.run_of(mark.run),
        "along": mark.along,
        **_told("along", mark.along, locale),
        "low": min(ends[0], mark.along),
        "high": max(ends[1], mark.along),
        "fixed": mark.locked or mark.drilled,
        "drilled": mark.drilled,
        "stop": stop,
        "label": locale.label("page.handle", name=mark.name, fixed=mark.locked, stop=stop),
        "note": why_here(mark, patio, layout, locale),
    }


def _told(field: str, length: float, locale: Locale) -> Data:
    """A length that may lie off the tape's grid, as it is shown and as it is read aloud."""
    return {
        f"{field}_text": locale.number(length, "tape"),
        f"spoken_{field}_text": locale.number(length, "spoken"),
    }


def _things(patio: Patio, layout: Layout, signs: Signs, locale: Locale) -> list[Data]:
    numbers = dict(signs)
    by_name = {run.name: run for run in patio.runs}
    obstacles = [
        _thing(one, patio, by_name[one.run], numbers.get(one.name, 0), layout, locale)
        for one in layout.lid.obstacles
    ]
    return obstacles + [_seat(seat, patio, by_name[seat.run], locale) for seat in patio.seats]


def _placed(thing: PlacedObstacle | Seat, patio: Patio, run: Run, locale: Locale) -> Data:
    low, high = thing_range(patio, run)
    return {
        "name": thing.name,
        "run": thing.run,
        "along": thing.along,
        "back": thing.back,
        **_told("along", thing.along, locale),
        **_told("back", thing.back, locale),
        "low": low,
        "high": high,
        "deep": max(patio.depths_over(patio.runs.index(run))),
        "fixed": False,
        "drilled": False,
    }


def _size(length: float, patio: Patio, locale: Locale) -> str:
    """As the tape goes; what the file has between its marks as the file has it, not the nearest mark."""
    on_tape = abs(on_grid(length, locale.units, patio.marks.grid) - length) < 1e-9
    like = "1 in" if locale.units == "us" else None
    return locale.tape(length) if on_tape else spell(length, "length", locale.units, like)


def _named(name: str, kind: str, locale: Locale, near: Names = (), stop: Names = ()) -> str:
    """What a thing is, once: one added on the page is called by its kind, "Column"."""
    said = "" if name.casefold() == locale.word(kind).casefold() else kind
    return locale.label("page.handle_thing", name=name, kind=said, near=near, stop=stop)


def _thing(
    placed: PlacedObstacle, patio: Patio, run: Run, number: int, layout: Layout, locale: Locale
) -> Data:
    stop, near = (
        tuple(c.mark for c in layout.clashes if c.against == placed.name and c.hard is hard)
        for hard in (True, False)
    )
    label = _named(placed.name, placed.kind, locale, near=near, stop=stop)
    return {
        "kind": "thing",
        **_placed(placed, patio, run, locale),
        "thing": placed.kind,
        "size": [_size(length, patio, locale) for length in named(patio.obstacles, placed.name, "").size],
        "reach": placed.keeps_off,
        "warning": number,
        "stop": bool(stop),
        "label": label,
        "note": label,
    }


def _seat(seat: Seat, patio: Patio, run: Run, locale: Locale) -> Data:
    label = _named(seat.name, "seat", locale)
    return {
        "kind": "seat",
        **_placed(seat, patio, run, locale),
        "reach": 0.0,
        "warning": 0,
        "stop": False,
        "label": label,
        "note": label,
    }


def _screen(patio: Patio, screen: Screen, locale: Locale) -> Data | None:
    """A screen that stands near enough to be drawn. One without a length goes along all of its side."""
    run = next((one for one in patio.runs if one.name == screen.run), None)
    if run is None or screen.out > FARTHEST_OUT:
        return None
    place = screen_place(patio, run, screen)
    length = [] if across(screen) else ["" if screen.start is None else _size(2 * place.half, patio, locale)]
    label = locale.label("plan.screen", name=screen.name, height=screen.height)
    return {
        "kind": "screen",
        "name": screen.name,
        "run": run.name,
        "along": place.along,
        "back": place.back,
        **_told("along", place.along, locale),
        "half": place.half,
        "side": place.side,
        "away": "along" if across(screen) else "back",  # what grows as it is carried away from its side
        "size": [_size(screen.height, patio, locale), spell(screen.open, "share", locale.units), *length],
        "low": place.reach[0],
        "high": place.reach[1],
        "shallow": place.out[0],
        "deep": place.out[1],
        "fixed": False,
        "drilled": False,
        "label": label,
        "note": label,
    }


def _pull(patio: Patio, run: Run, locale: Locale) -> Data:
    """The grip at a run's end: its `along` is the run's length."""
    low, high = run_lengths(patio, run)
    high = min(high, run.length + PULL)
    return {
        "kind": "run",
        "name": run.name,
        "title": locale.label("page.run_titled", name=run.name),
        "run": run.name,
        "along": run.length,
        **_told("along", run.length, locale),
        "low": low,
        "high": high,
        "fixed": False,
        "drilled": False,
        "label": locale.label("plan.pull", name=run.name),
        "note": locale.label("plan.pull_note", low=low),
    }


def _joists(patio: Patio, run: Run, layout: Layout) -> list[Data]:
    """Joists across the run, as handles for who has found them elsewhere."""
    centres = joist_centres(run, layout.lid.members)
    limits = [joist_range(patio, run, centres, n) for n in range(1, len(centres) + 1)]
    return [
        {"name": str(n), "along": along, "low": low, "high": high}
        for n, (along, (low, high)) in enumerate(zip(centres, limits, strict=True), 1)
    ]


def _joints(patio: Patio, run: Run, locale: Locale) -> list[Data]:
    """Control joints that the file states across the run; those proposed follow the marks."""
    low, high = thing_range(patio, run)
    return [
        {
            "kind": "joint",
            "name": joint.name,
            "run": run.name,
            "along": joint.along,
            **_told("along", joint.along, locale),
            "low": low,
            "high": high,
            "label": locale.label("plan.joint", name=joint.name),
            "note": locale.label("plan.joint_note"),
        }
        for joint in run.joints
    ]


def _new(patio: Patio, run: Run, kind: Any, locale: Locale) -> Data:
    """What could be added to the run shown, and where it would stand first."""
    word = locale.word(kind)
    along, back = (
        on_grid(length, locale.units, patio.marks.grid) for length in first_place(patio, run, kind)
    )
    depth = max(patio.depths_over(patio.runs.index(run)))
    name = new_name(patio, kind, word[:1].upper() + word[1:])
    return {"add": kind, "word": word, "name": name, "along": along, "back": min(back, depth)}


def _new_screen(patio: Patio, run: Run, side: ScreenSide, locale: Locale) -> Data:
    """What could be put at an open side of the run shown, and where it would stand first."""
    name = new_name(patio, "hedge", locale.label("plan.hedge"))
    word = locale.label(f"plan.hedge_{side}", run=run.name)
    put = screen_place(patio, run, new_screen(name, run, side, locale.units))
    return {"add": side, "of": "screen", "word": word, "name": name, "along": put.along, "back": put.back}


def _words(layout: Layout, patio: Patio, run: Run, row: str, locale: Locale) -> dict[str, str]:
    keys = ("saved", "not_saved", "back", "on", "free", "choose", "hint", "stop")
    words = {key: locale.label(f"page.{key}", step=patio.marks.grid) for key in keys}
    put_in_by_lid_js = ("along", "back", "run", "name", "out", "taken")
    later = {name: f"{{{name}}}" for name in put_in_by_lid_js}
    drawn = (
        "place", "place_spoken", "taped", "taped_spoken", "length", "length_spoken", "joist", "joist_note",
        "house", "edge", "remove", "remove_joist", "add_joist", "add", "what", "closer", "farther", "whole",
        "show_marks", "show_joists", "show_joints", "joint_note", "tools", "outside", "outside_spoken",
        "outside_end", "outside_end_spoken", "size_along", "size_back", "size_fan", "size_height",
        "size_open", "size_length", "taken",
    )  # fmt: skip
    words |= {key: locale.label(f"plan.{key}", step=patio.marks.grid, **later) for key in drawn}
    words["heading"] = locale.label("page.run_heading", name=row_title(run, row, locale))
    words["datum"] = locale.label("page.datum", name=run.name)
    words["overview"] = locale.label(
        "page.overview", patio=patio.name, count=len(layout.marks), runs=len(patio.runs)
    )
    return words
