"""A porch of straight runs with as many marks as wanted, for tests of the plumbing; pump feed to run A."""

import dataclasses
import itertools

from mistcalc.model.project import Piece, Zone
from tests import builders

PITCH, FIRST = 24 * 0.0254, 36 * 0.0254
FEED = (("elbow", 3), ("ball valve", 1))
VALVE = (("solenoid valve", 1),)


def porch(runs):
    """(plumbing, layouts) with the builders' pump, nozzle and tube: `runs` name -> marks, 24 in apart, the
    first 36 in from the run's start, 36 in from the last to its end; run to run by an elbow."""
    plan = builders.layout()
    marks, lines = [], []
    for row, (name, count) in enumerate(runs.items()):
        length = 2 * FIRST + (count - 1) * PITCH
        lines.append(
            dataclasses.replace(
                plan.lid.runs[0],
                name=name,
                tube=((0.0, float(row)), (length, float(row))),
                tube_length=length,
            )
        )
        marks += [
            dataclasses.replace(
                plan.marks[0],
                name=f"{name}{i + 1}",
                run=name,
                along=FIRST + i * PITCH,
                tube_along=FIRST + i * PITCH,
                point=(FIRST + i * PITCH, float(row)),
            )
            for i in range(count)
        ]
    layout = dataclasses.replace(
        plan, marks=tuple(marks), lid=dataclasses.replace(plan.lid, runs=tuple(lines))
    )
    names = list(runs)
    pieces = [Piece("pump", f"{names[0]} start", 6.0, 2.7, FEED)]
    pieces += [
        Piece(f"{a} end", f"{b} start", 0.0, 0.0, (("elbow", 1),)) for a, b in itertools.pairwise(names)
    ]
    plumbing = dataclasses.replace(
        builders.plumbing(),
        pieces=tuple(pieces),
        zones=(Zone("all", tuple(names)),),
        pump=dataclasses.replace(builders.plumbing().pump, nameplate=None),
        drains=(),
    )
    return plumbing, (layout,)


def zoned_porch(runs):
    """The same runs as zones of their own names, each fed from a tee by a piece with its valve in it."""
    plumbing, layouts = porch(runs)
    branches = [Piece("tee", f"{name} start", 3.0 + 4.0 * n, 0.0, VALVE) for n, name in enumerate(runs)]
    plumbing = dataclasses.replace(
        plumbing,
        pieces=(Piece("pump", "tee", 6.0, 2.7, FEED), *branches),
        zones=tuple(Zone(name, (name,)) for name in runs),
    )
    return plumbing, layouts
