"""What stands in or under the patio ceiling of a drawing, measured from its runs."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import median

from mistcalc.files.plan_drawing.layer_names import THINGS
from mistcalc.files.plan_drawing.lid_depths import TOUCH
from mistcalc.files.plan_drawing.lid_shape import Leg, LidShape
from mistcalc.files.plan_drawing.shapes import Drawing, DrawnShape, Point
from mistcalc.model.run_extents import is_square

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
    used: dict[int | None, set[str]] = {}
    for shape in drawing.of(*THINGS, "seat"):
        home = home_of(shape.middle, lids)
        if (known := named.get(shape.said.get("RUN", ""))) is not None:
            home = (*known, *lids[known[0]].legs[known[1]].local(shape.middle))
        name = _name(shape, used, None if home is None else home[0])
        if home is None:
            beyond.append(name)
            continue
        patio, run, along, back = home
        size = shape.size_along(lids[patio].legs[run].ahead)
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


def _name(shape: DrawnShape, used: dict[int | None, set[str]], patio: int | None) -> str:
    """As it is called; two patios may call theirs alike, what nobody called has one name of its own."""
    said = next((shape.said[tag] for tag in ("NAME", "TAG", "MARK", "ID") if shape.said.get(tag)), "")
    name = said[:60]
    n = 0
    taken = used.setdefault(patio, set())
    while not name or name in (taken if said else {each for names in used.values() for each in names}):
        n += 1
        name = (
            f"{said[:50]} {n}"
            if said
            else NAMES.get(shape.role, f"{shape.role.capitalize()} {{n}}").format(n=n)
        )
    taken.add(name)
    return name


def home_of(point: Point, lids: Sequence[LidShape]) -> tuple[int, int, float, float] | None:
    """Patio, run, from its start, back from its edge: of the run that a place lies over, or beside whose edge
    it stands; over the square of an inside corner of the run before it."""
    best: tuple[float, tuple[int, int, float, float]] | None = None
    for patio, lid in enumerate(lids):
        for number, leg in enumerate(lid.legs):
            along, back = leg.local(point)
            low, high = lid.reach(number)
            deep = max(leg.depths)
            before, after = (0.0 if is_square(each) else each * back for each in lid.spreads(number))
            outside = max(-before - along, along - leg.length - after, 0.0)
            if not (low - TOUCH <= along <= high + TOUCH and -0.5 <= back <= deep + 0.5):
                continue
            miss = outside + max(-back, back - deep, 0.0)
            if best is None or miss < best[0] - TOUCH:
                best = miss, (patio, number, along, back)
    return None if best is None else best[1]


def joists_of(drawing: Drawing, lid: LidShape, number: int) -> Joists | None:
    """The joists over a run as drawn; None where there are too few to tell."""
    leg, lines = lid.legs[number], list(_lines(drawing))
    (low, high), deep = lid.reach(number), max(leg.depths)
    across, along = [], []
    for a, b in lines:
        (s0, b0), (s1, b1) = leg.local(a), leg.local(b)
        over = min(b0, b1) < deep - TOUCH and max(b0, b1) > TOUCH
        if abs(s0 - s1) < TOUCH / 10 and over and low - TOUCH <= s0 <= high + TOUCH:
            across.append((s0 + s1) / 2)
            continue
        level = abs(b0 - b1) < TOUCH / 10 and -TOUCH <= b0 <= deep + TOUCH
        if level and min(s0, s1) < leg.length - TOUCH and max(s0, s1) > TOUCH:
            along.append((b0 + b1) / 2)
    over_run = [s for s in across if -TOUCH <= s <= leg.length + TOUCH]
    lies = "across" if len(over_run) >= len(along) else "along"
    places = sorted(across if lies == "across" else along)
    if len(places) < FEWEST:
        return None
    centres, width = _middles(places)
    covers = lies == "across" and leg.corner == "inside" and any(s > leg.length + TOUCH for s in centres)
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
