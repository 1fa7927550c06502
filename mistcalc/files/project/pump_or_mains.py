"""A project text whose line goes from a pump to house water alone, or back.

What belongs to the one and not to the other is set aside as remarks that begin with `#~ `, comments and all,
and the same change backwards makes them statements again: there and back is the same text.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

from mistcalc import units
from mistcalc.files.project.reader import parse_project
from mistcalc.files.project.rewriting import rewrite
from mistcalc.files.project.tube_ends import PUMP, WATER_POINT
from mistcalc.files.text.reading import BOM
from mistcalc.files.text.toml_positions import Path, TomlPositions, locate_keys
from mistcalc.model.practice import PLASTICS
from mistcalc.model.project import Piece, Plumbing, Project

ASIDE = "#~ "
FORMER = "former pump"  # where a tube from the water point to the pump ended
PUMP_TABLE, NOZZLE, TUBE = ("pump",), ("line", "nozzle"), ("line", "tube")
PARTS: tuple[Path, ...] = (PUMP_TABLE, NOZZLE, TUBE)
MAINS_MOST = units.parse("10 bar", "pressure")  # nozzles rated above it are made for a pump; common practice
_ASIDE_HEADER = re.compile(rf"^{re.escape(ASIDE)}\[([a-z.]+)\]", re.M)


def other_supply(text: str) -> str:
    """The text for the other supply. Raises InputErrors where it is no project, or would be none."""
    project = parse_project(text)
    gone = set(_unfit(project))
    body = rewrite(text, replace(project, plumbing=_renamed(project)), follow=True)
    returns = {tuple(header.split(".")) for header in _ASIDE_HEADER.findall(body)}
    gone |= {part for part in PARTS if any(path[: len(part)] == part for path in returns)}
    lines = body.splitlines(keepends=True)
    going = set(_lines_of(body, gone))
    for number, line in enumerate(lines):
        if number in going:
            lines[number] = ASIDE + line
        elif line.startswith(ASIDE):
            lines[number] = line.removeprefix(ASIDE)
    after = "".join(lines)
    stands = locate_keys(after.removeprefix(BOM))
    if project.plumbing.pump is None and not any(
        path[:1] == PUMP_TABLE for path in (*stands.blocks, *stands.items)
    ):
        newline = "\r\n" if "\r\n" in after else "\n"
        after = f"{after.rstrip()}{newline}{newline}[pump]{newline}"
    return after


def _unfit(project: Project) -> Iterator[Path]:
    """Parts of a line that the other supply has no use for."""
    plumbing, to_mains = project.plumbing, project.plumbing.pump is not None
    if to_mains:
        yield PUMP_TABLE
    stated = "line.nozzle.at" not in project.assumed
    if stated and (plumbing.nozzle.at > MAINS_MOST) == to_mains:
        yield NOZZLE
    if not to_mains and plumbing.tube.material in PLASTICS and plumbing.tube.rated is None:
        yield TUBE


def _lines_of(text: str, parts: set[Path]) -> Iterator[int]:
    """Numbers of the lines on which these parts are stated, with what stands between their keys."""
    body = text.removeprefix(BOM)
    places = locate_keys(body)
    for start, end in _spans(places, parts):
        yield from range(body.count("\n", 0, start), body.count("\n", 0, end) + 1)


def _spans(places: TomlPositions, parts: set[Path]) -> Iterator[tuple[int, int]]:
    for path, block in places.blocks.items():
        if any(path[: len(part)] == part for part in parts):
            yield block.start, max(block.end, block.header_end)
    for path, item in places.items.items():
        if not item.inline and any(path[: len(part)] == part for part in parts):
            yield item.start, item.value[1]


def _renamed(project: Project) -> Plumbing:
    """The plumbing with its tube begun at the other source. What is assumed begins there by itself."""
    plumbing = project.plumbing
    pieces = () if "line.piece" in project.assumed else plumbing.pieces
    spots = {spot for piece in pieces for spot in (piece.start, piece.end)}
    if plumbing.pump is not None:
        swap = {PUMP: FORMER if WATER_POINT in spots else WATER_POINT}
    else:
        swap = {FORMER: PUMP} if FORMER in spots else {WATER_POINT: PUMP}

    def other(piece: Piece) -> Piece:
        ends = (swap.get(spot, spot) if isinstance(spot, str) else spot for spot in (piece.start, piece.end))
        start, end = ends
        return replace(piece, start=start, end=end)

    names = {piece.name: other(piece).name for piece in pieces}
    zones = (
        replace(zone, valves=tuple(names.get(valve, valve) for valve in zone.valves))
        for zone in plumbing.zones
    )
    drains = (
        replace(drain, at=swap.get(drain.at, drain.at)) if pieces and isinstance(drain.at, str) else drain
        for drain in plumbing.drains
    )
    kept = tuple(map(other, pieces)) if pieces else plumbing.pieces
    return replace(plumbing, pieces=kept, zones=tuple(zones), drains=tuple(drains))
