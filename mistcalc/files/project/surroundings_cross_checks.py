"""What stands round a patio, against its sides: a house beside no wall, a screen where nothing is open."""

from __future__ import annotations

from typing import Any

from mistcalc import units
from mistcalc.files.project.patio_keys import CORNERS
from mistcalc.files.project.run_shapes import depths_of
from mistcalc.files.project.schema_reader import SchemaReader
from mistcalc.files.project.tube_ends import no_such
from mistcalc.files.text.toml_positions import Path
from mistcalc.model.run_extents import SAME, Reach, Spreads, back_reach, from_datum, spread_of

Tree = dict[str, Any]
_KEYS = {"start": "starts_at", "end": "ends_at"}


def remove_idle_house_values(walk: SchemaReader, patio: Tree, path: Path) -> None:
    """Where the back is open the house stands only beside ends that are walls, and a ring has no ends:
    nothing else is assumed of it, and what the file says of it is a mistake."""
    if not patio["house"] or not patio["run"]:
        return
    first, last = patio["run"][0]["starts_at"], patio["run"][-1]["ends_at"]
    if patio["back"] != "open" and (first, last) != ("corner", "corner"):
        return
    idle = {"past_start": first != "wall", "past_end": last != "wall"}
    idle |= dict.fromkeys(("above_lid", "depth"), all(idle.values()) and patio["back"] == "open")
    at = (*path, "house")
    stated = [key for key in idle if walk.states((*at, key))]
    if all(idle.values()) and stated:
        walk.wrong("house-nowhere", at, back='back = "wall"')
    for key in (key for key, no in idle.items() if no):
        patio["house"][key] = None
        walk.no_assumption((*at, key))
        if key in stated and not all(idle.values()):
            end = "first" if key == "past_start" else "last"
            code = "house-no-end" if first == "corner" else "house-not-at-end"
            walk.wrong(code, (*at, key), key=key, end=end)


def beside(patio: Tree, number: int) -> tuple[Spreads, Reach]:
    """How the lid spreads at the ends of a run, and how deep the runs before and after it are there."""
    runs = patio["run"]
    before, run, after = runs[number - 1], runs[number], runs[(number + 1) % len(runs)]
    start, end = (spread_of(CORNERS.get(each["then"]), each["bend"] or 0.0) for each in (before, run))
    return (start, end), (depths_of(patio, before)[1], depths_of(patio, after)[0])


def compare_screens(walk: SchemaReader, patio: Tree, path: Path) -> None:
    runs = {run["name"]: number for number, run in enumerate(patio["run"]) if run["name"]}
    for n, screen in enumerate(patio["screen"]):
        where, name = (*path, "screen", n), screen["run"]
        if name and name not in runs:
            no_such(walk, (*where, "run"), name, list(runs))
        elif name and screen["side"] and _is_open(walk, patio, runs[name], screen, where):
            _extent(walk, patio, runs[name], screen, where)


def _is_open(walk: SchemaReader, patio: Tree, number: int, screen: Tree, where: Path) -> bool:
    """Whether the side is open; else a mistake is noted. True too where the file does not say well."""
    side, run = screen["side"], patio["run"][number]
    if side == "edge":
        return True
    if side == "back":
        what, instead = patio["back"], 'back = "open"'
    else:
        what, instead = run[_KEYS[side]], f'{_KEYS[side]} = "open"'
    at = (*where, "side") if walk.states((*where, "side")) else where
    if what == "wall":
        walk.wrong("screen-at-wall", at, side=side, run=run["name"], instead=instead)
    elif what == "corner":
        walk.wrong("screen-at-corner", at, side=side, run=run["name"])
    return what == "open"


def _extent(walk: SchemaReader, patio: Tree, number: int, screen: Tree, where: Path) -> None:
    """From where to where it goes: within its side, and not nowhere."""
    given = {key: screen[key] for key in ("from", "to") if screen[key] is not None}
    if screen["side"] in _KEYS:
        for key in list(given)[:1]:
            walk.wrong("screen-whole-end", (*where, key), side=screen["side"])
        return
    span = _span(patio, number, screen["side"])
    if span is None:
        return
    outside = [key for key, at in given.items() if not span[0] - 1e-9 <= at <= span[1] + 1e-9]
    for key in outside:
        low, high = (units.show(end, "length", walk.system) for end in span)
        text = units.show(given[key], "length", walk.system)
        walk.wrong("screen-past-side", (*where, key), key=key, text=text, low=low, high=high)
    if outside:
        return
    ends = given.values() if len(given) == 2 else span
    if abs(max(ends) - min(ends)) <= SAME or span[1] - span[0] <= SAME:
        walk.wrong("screen-no-length", (*where, "to") if given else where)


def _span(patio: Tree, number: int, side: str) -> Reach | None:
    """From where to where the side goes along its run's tape; None: the file does not say well."""
    run = patio["run"][number]
    length, datum = run["length"], (run["datum"] or {}).get("end")
    if not length or not patio["depth"] or not datum:
        return None
    reach = (0.0, length)
    if side == "back":
        reach = back_reach(length, *beside(patio, number))
    return from_datum(reach, length, datum)
