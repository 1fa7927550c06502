"""What stands in or under the patio ceiling of a drawing, measured from its runs."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import median

from mistcalc.files.plan_drawing.layer_names import THINGS
from mistcalc.files.plan_drawing.lid_shape import TOUCH, Leg, LidShape
from mistcalc.files.plan_drawing.shapes import Drawing, DrawnShape, Point

PAIR = 0.1  # m: two lines nearer than that are the sides of one joist
EVEN = 0.0005  # m: gaps between joists that differ by less are one spacing
FEWEST = 3  # joists that make a row
NAMES = {"light": "L{n}", "fan": "Fan {n}", "column": "Post {n}", "door glass": "Door {n}"}


@dataclass(frozen=True)
class Thing:
    """Where one thing lies: patio and run by number, from the run's start and back from its edge."""

    name: str
    kind: str
    said: dict[str, str]
    patio: int
    run: int
    along: float
    back: float
    size: tuple[float, float]  # along the run, and back


@dataclass(frozen=True)
class Joists:
    lies: str  # across or along the run
    centres: tuple[float, ...]  # from the run's start, or back from the edge
    width: float | None  # None: drawn as one line each
    covers_corner: bool

    @property
    def spacing(self) -> float | None:
        """The one gap between them all."""
        gaps = [b - a for a, b in pairwise(self.centres)]
        return gaps[0] if len(gaps) > 1 and max(gaps) - min(gaps) < EVEN else None


def things_of(
    drawing: Drawing, lids: Sequence[LidShape], runs: Sequence[Sequence[str]]
) -> tuple[list[Thing], list[str]]:
    """Everything over a lid, in the order drawn; and the names of what lies over none. runs: their names."""
    named = {name: (patio, n) for patio, names in enumerate(runs) for n, name in enumerate(names)}
    out: list[Thing] = []
    beyond: list[str] = []
    used: set[str] = set()
    for shape in drawing.of(*THINGS, "seat"):
        name = _name(shape, used)
        home = home_of(shape.middle, lids)
        if (known := named.get(shape.said.get("RUN", ""))) is not None:
            home = (*known, *lids[known[0]].legs[known[1]].local(shape.middle))
        if home is None:
            beyond.append(name)
            continue
        patio, run, along, back = home
        ahead = lids[patio].legs[run].ahead
        wide, tall = shape.size
        size = (wide, tall) if abs(ahead[0]) > abs(ahead[1]) else (tall, wide)
        out.append(Thing(name, shape.role, shape.said, patio, run, along, back, size))
    return out, beyond


def second_rows_of(
    drawing: Drawing, lids: Sequence[LidShape], runs: Sequence[Sequence[str]]
) -> dict[tuple[int, int], tuple[str, float]]:
    """Name and way back from the edge of the second row over a run (patio and run by number), by the marks of
    a drawing of ours: theirs have the row's name where the first row's have the run's. Round a corner some
    of them lie over the next run: most decide."""
    known = {name for names in runs for name in names}
    over: dict[str, list[tuple[int, int, float]]] = {}
    for shape in drawing.of("mark"):
        row, home = shape.said.get("RUN", ""), home_of(shape.at, lids)
        if row and row not in known and home is not None:
            over.setdefault(row, []).append((home[0], home[1], home[3]))
    rows = {}
    for row, marks in over.items():
        homes = [(patio, run) for patio, run, _ in marks]
        most = max(homes, key=homes.count)
        rows[most] = row, median(back for patio, run, back in marks if (patio, run) == most)
    return rows


def _name(shape: DrawnShape, used: set[str]) -> str:
    said = next((shape.said[tag] for tag in ("NAME", "TAG", "MARK", "ID") if shape.said.get(tag)), "")
    name = said[:60]
    n = 0
    while not name or name in used:
        n += 1
        name = (
            f"{said[:50]} {n}"
            if said
            else NAMES.get(shape.role, f"{shape.role.capitalize()} {{n}}").format(n=n)
        )
    used.add(name)
    return name


def home_of(point: Point, lids: Sequence[LidShape]) -> tuple[int, int, float, float] | None:
    """Patio, run, from its start, back from its edge: of the run that a place lies over, or beside whose edge
    it stands; over the square of an inside corner of the run before it."""
    best: tuple[float, tuple[int, int, float, float]] | None = None
    for patio, lid in enumerate(lids):
        for number, leg in enumerate(lid.legs):
            along, back = leg.local(point)
            low, high = reach(lid, number)
            outside = max(-along, along - leg.length, 0.0)
            if not (low - TOUCH <= along <= high + TOUCH and -0.5 <= back <= leg.depth + 0.5):
                continue
            miss = outside + max(-back, back - leg.depth, 0.0)
            if best is None or miss < best[0] - TOUCH:
                best = miss, (patio, number, along, back)
    return None if best is None else best[1]


def reach(lid: LidShape, number: int) -> tuple[float, float]:
    """From where to where there is lid over a run, its inside corners' squares counted in."""
    legs, leg = lid.legs, lid.legs[number]
    ring = legs[-1].corner is not None
    before = legs[number - 1] if number or ring else None
    after = legs[(number + 1) % len(legs)] if number + 1 < len(legs) or ring else None
    low = -before.depth if before is not None and before.corner == "inside" else 0.0
    return low, leg.length + (after.depth if after is not None and leg.corner == "inside" else 0.0)


def joists_of(drawing: Drawing, lid: LidShape, number: int) -> Joists | None:
    """The joists over a run as drawn; None where there are too few to tell."""
    leg, lines = lid.legs[number], list(_lines(drawing))
    low, high = reach(lid, number)
    across, along = [], []
    for a, b in lines:
        (s0, b0), (s1, b1) = leg.local(a), leg.local(b)
        over = min(b0, b1) < leg.depth - TOUCH and max(b0, b1) > TOUCH
        if abs(s0 - s1) < TOUCH / 10 and over and low - TOUCH <= s0 <= high + TOUCH:
            across.append((s0 + s1) / 2)
            continue
        level = abs(b0 - b1) < TOUCH / 10 and -TOUCH <= b0 <= leg.depth + TOUCH
        if level and min(s0, s1) < leg.length - TOUCH and max(s0, s1) > TOUCH:
            along.append((b0 + b1) / 2)
    over_run = [s for s in across if -TOUCH <= s <= leg.length + TOUCH]
    lies = "across" if len(over_run) >= len(along) else "along"
    places = sorted(across if lies == "across" else along)
    if len(places) < FEWEST:
        return None
    centres, width = _middles(places)
    covers = lies == "across" and any(s > leg.length + TOUCH for s in centres)
    return Joists(lies, tuple(centres), width, covers)


def _middles(places: Sequence[float]) -> tuple[list[float], float | None]:
    """Centres of joists drawn as one line each, or as two; and how wide the latter are."""
    distinct = [p for n, p in enumerate(places) if n == 0 or p - places[n - 1] > EVEN]
    pairs = list(zip(distinct[::2], distinct[1::2], strict=False))
    widths = [b - a for a, b in pairs]
    if len(distinct) % 2 == 0 and widths and max(widths) < PAIR and max(widths) - min(widths) < 5 * EVEN:
        return [(a + b) / 2 for a, b in pairs], sum(widths) / len(widths)
    return distinct, None


def _lines(drawing: Drawing) -> Iterator[tuple[Point, Point]]:
    for shape in drawing.of("joist"):
        if shape.kind != "path":
            continue
        points = [*shape.points, shape.points[0]] if shape.closed else shape.points
        sides = [(a, b) for a, b in pairwise(points) if math.dist(a, b) > TOUCH]
        if shape.closed and len(sides) == 4:  # a joist drawn as a rectangle: its long sides
            sides = sorted(sides, key=lambda side: -math.dist(*side))[:2]
        yield from sides


def on_edge(leg: Leg, point: Point) -> float | None:
    """From the run's start, of a place on its edge; None of any other."""
    along, back = leg.local(point)
    return along if abs(back) < TOUCH and -TOUCH < along < leg.length + TOUCH else None
