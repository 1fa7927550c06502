"""Walls, fences and hedges that stand free at an open side, as edits: put there, carried along that side or
away from it, made higher, thinner or shorter. Pure functions on nouns; an edit that arrives twice changes
nothing more.
"""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

from mistcalc.errors import InputError
from mistcalc.model.project import Patio, Run, Screen
from mistcalc.model.run_extents import back_from_start, from_datum
from mistcalc.page.edit_limits import FINE, checked
from mistcalc.page.nouns_by_name import named, swapped
from mistcalc.page.plan_edit_nouns import AddScreen, MoveThing, ResizeScreen, ScreenSide
from mistcalc.units import System, on_grid, parse, with_points

FARTHEST_OUT = 1.0  # m: as far outside its side as a screen is drawn on the plan
# A new one, until somebody says otherwise: common practice without a source.
HEIGHT: dict[System, str] = {"us": "6 ft", "metric": "1.8 m"}
OUT: dict[System, str] = {"us": "3 ft", "metric": "1 m"}
OPEN = 0.3  # of its area: a hedge


class ScreenPlace(NamedTuple):
    """Where a hand finds a screen, and how far it can take it [m]: along its side and away from it, across an
    end of the lid only away from it."""

    along: float  # of its end nearest the datum; across an end of the lid where that end is
    back: float  # from the open edge; outside of it negative
    half: float  # of its length along the run
    reach: tuple[float, float]  # of `along`; one place where it goes along all of its side
    out: tuple[float, float]  # of `back`; one place across an end of the lid
    side: float  # where it would not be outside: of `along` across an end of the lid, else of `back`


def open_sides(patio: Patio, run: Run) -> tuple[ScreenSide, ...]:
    """Sides of the run that a screen can stand at."""
    free = {"back": patio.back, "start": run.starts_at, "end": run.ends_at}
    return ("edge", *(side for side, what in free.items() if what == "open"))  # type: ignore[arg-type]


def across(screen: Screen) -> bool:
    """Whether it stands across an end of the lid."""
    return screen.side in ("start", "end")


def screen_place(patio: Patio, run: Run, screen: Screen) -> ScreenPlace:
    farthest = max(FARTHEST_OUT, screen.out)
    base = patio.depth_over(patio.runs.index(run)) if screen.side == "back" else 0.0
    if across(screen):
        half_deep = patio.depths_over(patio.runs.index(run))[screen.side == "end"] / 2
        side = 0.0 if screen.side == run.datum.end else run.length
        away = -1.0 if side == 0.0 else 1.0
        low, high = sorted((side, side + away * farthest))
        return ScreenPlace(
            side + away * screen.out, half_deep, 0.0, (low, high), (half_deep, half_deep), side
        )
    low, high = _side(patio, run, screen)
    back = base + screen.out if screen.side == "back" else -screen.out
    out = (base, base + farthest) if screen.side == "back" else (-farthest, 0.0)
    if screen.start is None or screen.end is None:
        return ScreenPlace(low, back, (high - low) / 2, (low, low), out, base)
    first, last = sorted((screen.start, screen.end))
    return ScreenPlace(first, back, (last - first) / 2, (low, high - (last - first)), out, base)


def _side(patio: Patio, run: Run, screen: Screen) -> tuple[float, float]:
    """From where to where its side goes along the tape."""
    side = back_from_start(patio, patio.runs.index(run)) if screen.side == "back" else (0.0, run.length)
    return from_datum(side, run.length, run.datum.end)


def move_screen(patio: Patio, run: Run, screen: Screen, edit: MoveThing, units: System) -> Screen:
    where = f"patio[{patio.name}].screen[{screen.name}]"
    if run.name != screen.run:
        raise InputError("edit-unknown-place", where)
    place = screen_place(patio, run, screen)
    if across(screen):
        along = checked(edit.along, *place.reach, f"{where}.out")
        return replace(screen, out=on_grid(abs(along - place.side), units, FINE[units]))
    back = place.back if edit.back is None else checked(edit.back, *place.out, f"{where}.out")
    moved = replace(screen, out=on_grid(abs(back - place.side), units, FINE[units]))
    if screen.start is None or screen.end is None:
        return moved
    along = checked(edit.along, *place.reach, f"{where}.from")
    ends = (on_grid(along + end - place.along, units, FINE[units]) for end in (screen.start, screen.end))
    return replace(moved, start=next(ends), end=next(ends))


def add_screen(patio: Patio, run: Run, edit: AddScreen, units: System) -> Patio:
    """All along a side. One of that name that is there already stays as it is."""
    if any(one.name == edit.name for one in patio.screens):
        return patio
    if edit.side not in open_sides(patio, run):
        raise InputError("edit-unknown-place", f"patio[{patio.name}].screen[{edit.name}].side")
    return replace(patio, screens=(*patio.screens, new_screen(edit.name, run, edit.side, units)))


def new_screen(name: str, run: Run, side: ScreenSide, units: System) -> Screen:
    """A hedge along all of that side."""
    height, out = (parse(text[units], "length") for text in (HEIGHT, OUT))
    return Screen(name, run.name, height, side, out=out, open=OPEN)


def resize_screen(patio: Patio, edit: ResizeScreen, units: System) -> Patio:
    """Height, how much air goes through, and length; without a length it goes along all of its side."""
    screen = named(patio.screens, edit.name, f"patio[{patio.name}].screen")
    run = named(patio.runs, screen.run, f"patio[{patio.name}].run")
    height, through, length = map(with_points, edit.size)
    made = replace(
        screen,
        height=on_grid(parse(height, "length"), units, patio.marks.grid),
        open=parse(through, "share"),
    )
    if not across(screen):
        made = _as_long(patio, run, made, length, units)
    return replace(patio, screens=swapped(patio.screens, made))


def _as_long(patio: Patio, run: Run, screen: Screen, text: str, units: System) -> Screen:
    if not text.strip():
        return replace(screen, start=None, end=None)
    where, (low, high) = f"patio[{patio.name}].screen[{screen.name}].to", _side(patio, run, screen)
    length = on_grid(parse(text, "length"), units, patio.marks.grid)
    checked(length, patio.marks.grid, high - low, where)
    first = min(screen_place(patio, run, screen).along, high - length)
    ends = [on_grid(end, units, FINE[units]) for end in (first, first + length)]
    return replace(screen, start=ends[0], end=ends[1])
