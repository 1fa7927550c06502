"""A house as its plan is built the other way round: left is right, as "garage left" and "garage right" of one
plan. The place stays as it is: its sun, its winds and the compass are nobody's to mirror.

The plan is turned over about the line on which the open edge of its first run looks out, so that this run
looks the same way in both. The open edge is walked with the house on the left, so the mirrored runs follow
each other the other way: the last becomes the first, start becomes end. A run keeps its name, its tape (its
datum is at the same thing, which now stands at its other end), and so every `along` and every mark's name.
"""

from __future__ import annotations

import math
from dataclasses import replace

from mistcalc.errors import InputError
from mistcalc.model.lid_heights import run_heights
from mistcalc.model.project import (
    Alternate,
    Datum,
    Drain,
    House,
    Patio,
    Piece,
    Plumbing,
    Project,
    Run,
    Screen,
    Spot,
    Zone,
)
from mistcalc.model.second_rows import with_row_feeds

SWAP = {"start": "end", "end": "start"}
OTHER = {"past_start": "past_end", "past_end": "past_start", "starts_at": "ends_at", "ends_at": "starts_at"}
# Keys of the file with another value in the mirror: an alternate that changes one means two things.
HANDED = ("past_start", "past_end", "starts_at", "ends_at", "then", "bend", "depth_at_end", "end",
          "covers_corner", "side", "rise", "height", "bearing", "turned", "from", "to", "at", "valves",
          "mirrored_from")  # fmt: skip


def mirrored(project: Project, alternates: tuple[Alternate, ...] | None = None) -> Project:
    """The project with left and right exchanged; mirrored twice it is the same again.

    `Place.bearing` becomes the heading of the run that is now first, such that the plan's own first run looks
    where it did. Words that name a side ("west wall") are nobody's to translate and stay. alternates: the
    mirror image's (`files.mirrored_alternates`), None: the project's own. Raises InputError
    ("mirror-alternate") where one of its own changes a key that has a left and a right.
    """
    back = bool(project.mirrored_from)  # the plan's own first run is now the last
    turns = _turns(project.patios[0])
    bearing = project.place.bearing + (turns if back else -turns)
    patios = [
        replace(mirrored_patio(patio), turned=_within_a_turn(turns - patio.turned - _turns(patio)))
        for patio in project.patios
    ]
    turned = replace(
        project,
        mirrored_from="" if back else project.name,
        place=replace(project.place, bearing=_within_a_turn(bearing)),
        patios=tuple(patios),
        plumbing=_plumbing(project.plumbing, {row.name for patio in project.patios for row in patio.rows}),
        alternates=_without_sides(project.alternates) if alternates is None else alternates,
        assumed=tuple(_path(path) for path in project.assumed),
    )
    return with_row_feeds(turned)


def mirrored_patio(patio: Patio) -> Patio:
    """One lid alone, the other way round."""
    ends = patio.house.past_end, patio.house.past_start
    runs = patio.runs
    return replace(
        patio,
        height=run_heights(patio)[-1][1] if any(run.rise for run in runs) else patio.height,
        runs=tuple(_run(patio, n) for n in reversed(range(len(runs)))),
        house=House(patio.house.above_lid, *ends, patio.house.depth),
        screens=tuple(_screen(screen) for screen in patio.screens),
    )


def against_the_walk(patio: Patio) -> bool:
    """Whether what has to begin somewhere on a lid begins at its walk's end, not at its start: never so on a
    lid and its mirror image both. From the end run whose name comes first; a single run from its datum."""
    first, last = patio.runs[0], patio.runs[-1]
    return first.datum.end == "end" if len(patio.runs) == 1 else first.name > last.name


def turning_round(patio: Patio) -> tuple[float, float]:
    """Of directions told alike to a lid and to its mirror image: which way they go round in its plan, 1
    counter-clockwise and -1 clockwise, and from where [rad from +x]."""
    return (-1.0, math.pi - _turns(patio) + patio.tilt) if against_the_walk(patio) else (1.0, patio.tilt)


def _run(patio: Patio, n: int) -> Run:
    """Run number `n`; the run it follows now follows it. A corner's square has one run's members, and the key
    is that of the run before it."""
    run, before, depths = patio.runs[n], patio.runs[n - 1], patio.depths_over(n)
    covers = before.framing.covers_corner != (before.corner in ("inside", "outside"))
    return replace(
        run,
        starts_at=run.ends_at,
        ends_at=run.starts_at,
        corner=before.corner,
        bend=before.bend,
        depth=run.depth if run.depth_at_end is None else depths[1],
        depth_at_end=None if run.depth_at_end is None else depths[0],
        datum=Datum(SWAP[run.datum.end], run.datum.surface, run.datum.second),  # type: ignore[arg-type]
        framing=replace(run.framing, covers_corner=covers),
        rise=-run.rise + 0.0,
    )


def _screen(screen: Screen) -> Screen:
    return replace(screen, side=SWAP.get(screen.side, screen.side))  # type: ignore[arg-type]


def _turns(patio: Patio) -> float:
    """How far the walk turns from the first run to the last, rad clockwise."""
    return -sum(run.turn for run in patio.runs[:-1]) + 0.0


def _within_a_turn(angle: float) -> float:
    """The same heading within what a file may state; no dust of sums of quarter turns."""
    angle = angle if abs(angle) <= 2 * math.pi else math.remainder(angle, 2 * math.pi)
    return 0.0 if abs(angle) < 1e-9 else angle


def _plumbing(plumbing: Plumbing, runs: set[str]) -> Plumbing:
    pieces = tuple(_piece(piece, runs) for piece in plumbing.pieces)
    names = {old.name: new.name for old, new in zip(plumbing.pieces, pieces, strict=True)}
    return replace(
        plumbing,
        pieces=pieces,
        zones=tuple(Zone(z.name, z.runs, tuple(names.get(v, v) for v in z.valves)) for z in plumbing.zones),
        drains=tuple(Drain(_spot(d.at, runs), d.slope, d.test_port) for d in plumbing.drains),
    )


def _piece(piece: Piece, runs: set[str]) -> Piece:
    return replace(piece, start=_spot(piece.start, runs), end=_spot(piece.end, runs))


def _spot(spot: Spot, runs: set[str]) -> Spot:
    """ "A start" is "A end"; a place along a run is told by its tape and stays."""
    run, _, end = spot.rpartition(" ") if isinstance(spot, str) else ("", "", "")
    return f"{run} {SWAP[end]}" if run in runs and end in SWAP else spot


def sided_key(alternate: Alternate) -> str | None:
    """The first of the keys it changes that has a left and a right."""
    return next((path for path, _ in alternate.change if path.rpartition(".")[2] in HANDED), None)


def _without_sides(alternates: tuple[Alternate, ...]) -> tuple[Alternate, ...]:
    for alternate in alternates:
        if (path := sided_key(alternate)) is not None:
            raise InputError("mirror-alternate", f"alternate[{alternate.name}].change", text=path)
    return alternates


def _path(path: str) -> str:
    """A key path of the file, as it is called in the mirror."""
    table, dot, key = path.rpartition(".")
    return f"{table}{dot}{OTHER.get(key, key)}"
