"""Where everything of the line diagram stands across paper: runs as bars, tees as columns, pieces as tracks.

Runs lie side by side in the order in which water comes to them, each unrolled along its tube; a tee or any
other named place is an upright line. A piece is a level line between two of those, on a track of its own, so
that nothing lies on anything. Lengths in millimetres of paper, y up; no sign is drawn here.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from mistcalc.report.installer.line_diagram.line_graph import Connection, LineGraph, RunNodes

SIGN = 7.0  # room of a valve on a track
LEAST_BAR = 20.0
GAP, LEG = 9.0, 10.0  # between two things; beside a bar with a leg to a drain at its end


@dataclass(frozen=True)
class Bar:
    """A run on paper. `left_first`: its tube starts at the left."""

    stretch: RunNodes
    left: float
    right: float
    left_first: bool

    def x(self, node: str) -> float:
        along = dict(self.stretch.nodes)[node] / (self.stretch.length or 1.0)
        share = along if self.left_first else 1.0 - along
        return self.left + share * (self.right - self.left)


@dataclass(frozen=True)
class Track:
    """A join as a level line: from the end it is stated from to the other, on a lane counted from below."""

    join: Connection
    start: float
    end: float
    lane: int

    @property
    def left(self) -> float:
        return min(self.start, self.end)

    @property
    def right(self) -> float:
        return max(self.start, self.end)


@dataclass(frozen=True)
class DiagramLayout:
    """One sheet's part of the line. legs: (node of a bar's end, place at the foot, join or None)."""

    bars: tuple[Bar, ...]
    columns: Mapping[str, float]  # named places, and ends on another sheet
    tracks: tuple[Track, ...]
    legs: tuple[tuple[str, str, Connection | None], ...]
    elsewhere: frozenset[str]  # columns that stand for a place on another sheet
    lanes: int
    nodes: Mapping[str, float] = field(default_factory=dict)

    def bar_of(self, node: str) -> Bar | None:
        return next((bar for bar in self.bars if node in dict(bar.stretch.nodes)), None)


def plots(made: LineGraph, left: float, right: float) -> Iterator[DiagramLayout]:
    """The line between two edges of the paper, on as many sheets as it takes."""
    runs = [place for place in made.order if place in made.stretches]
    while runs or not made.stretches:
        count = len(runs)
        while count > 1 and _least(made, runs[:count]) > right - left:
            count -= 1
        yield _plot(made, runs[:count], left, right)
        runs = runs[count:]
        if not runs:
            return


# ------------------------------------------------------------------ inside


def _shown(made: LineGraph, runs: Sequence[str]) -> tuple[list[str], list[int], dict[str, str]]:
    """(places of this sheet in order, joins, {column for a place on another sheet: before which place})."""
    on_sheet = {made.source, *runs}
    for run in runs:
        here = run
        while here != made.source:
            here = made.came_by[here][0] if here in made.came_by else made.source
            if here in made.stretches and here not in runs:
                break
            on_sheet.add(here)
    for place in made.order:  # what only hangs on a run of this sheet
        if place not in made.stretches and place not in on_sheet and made.leg_of(place) is None:
            around = {there for there, _ in made.beside.get(place, [])}
            if around <= on_sheet:
                on_sheet.add(place)
    joins, elsewhere = [], {}
    for n, join in enumerate(made.joins):
        ends = [made.place_of.get(end, end) for end in (join.tube.start, join.tube.end)]
        if any(made.leg_of(end) is not None for end in ends):
            continue
        inside = [end in on_sheet for end in ends]
        if all(inside):
            joins.append(n)
        elif any(inside) and any(end in runs for end in ends):
            joins.append(n)
            away = (join.tube.start, join.tube.end)[inside.index(False)]
            elsewhere[away] = ends[inside.index(True)]
    return [place for place in made.order if place in on_sheet], joins, elsewhere


def _sequence(places: Sequence[str], elsewhere: Mapping[str, str]) -> list[str]:
    """Places with the columns that stand for other sheets beside what they join."""
    sequence: list[str] = []
    for place in places:
        sequence += [away for away, beside in elsewhere.items() if beside == place]
        sequence.append(place)
    return sequence


def _gaps(made: LineGraph, sequence: Sequence[str], joins: Sequence[int], runs: Sequence[str]) -> list[float]:
    """Room after each place of a sheet."""
    at = {place: n for n, place in enumerate(sequence)}
    gaps = [GAP] * max(len(sequence) - 1, 0)
    for n in joins:
        tube = made.joins[n].tube
        ends = sorted(at[_seat(made, end, at)] for end in (tube.start, tube.end))
        if ends[1] == ends[0] + 1:
            gaps[ends[0]] = max(gaps[ends[0]], 5.0 + SIGN * len(made.joins[n].signs))
    for n, place in enumerate(sequence):
        for side in _legs_at(made, place) if place in runs else ():
            beside = n if side else n - 1
            if 0 <= beside < len(gaps):
                gaps[beside] += LEG
    return gaps


def _seat(made: LineGraph, node: str, at: Mapping[str, object]) -> str:
    """The place of a sheet that a node is drawn at: its run, itself, or itself as a column for elsewhere."""
    place = made.place_of.get(node, node)
    return place if place in at else node


def _flip(made: LineGraph, run: str) -> bool:
    """Water enters nearer its tube's end, so that this is drawn at the left."""
    stretch = made.stretches[run]
    along = dict(stretch.nodes).get(made.came_by.get(run, ("", ""))[1], 0.0)
    return along > stretch.length / 2


def _legs_at(made: LineGraph, run: str) -> set[bool]:
    """Sides of a bar (right is True) with a leg to a drain."""
    stretch = made.stretches[run]
    ends = {stretch.nodes[0][0]: False, stretch.nodes[-1][0]: True}
    flip = _flip(made, run)
    hung = {leg[0] for place in made.order if (leg := made.leg_of(place)) is not None}
    return {side != flip for node, side in ends.items() if node in hung or node in made.drains}


def _least(made: LineGraph, runs: Sequence[str]) -> float:
    places, joins, elsewhere = _shown(made, runs)
    sequence = _sequence(places, elsewhere)
    return sum(_gaps(made, sequence, joins, runs)) + LEAST_BAR * len(runs) + 2 * LEG


def _plot(made: LineGraph, runs: Sequence[str], left: float, right: float) -> DiagramLayout:
    places, joins, elsewhere = _shown(made, runs)
    sequence = _sequence(places, elsewhere)
    gaps = _gaps(made, sequence, joins, runs)
    room = right - left - LEG - LEAST_BAR * len(runs)
    gaps = [gap * min(1.0, max(room, 1.0) / (sum(gaps) or 1.0)) for gap in gaps]  # tees without number
    widths = _widths([made.stretches[run].length for run in runs], right - left - sum(gaps) - LEG)
    columns: dict[str, float] = {}
    bars: dict[str, Bar] = {}
    x = left
    for n, place in enumerate(sequence):
        if place in runs:
            wide = widths[runs.index(place)]
            bars[place] = Bar(made.stretches[place], x, x + wide, not _flip(made, place))
            x += wide
        else:
            columns[place] = x
        x += gaps[n] if n < len(gaps) else 0.0
    nodes = dict(columns) | {node: bar.x(node) for bar in bars.values() for node, _ in bar.stretch.nodes}
    tracks, lanes = _tracks(made, joins, nodes)
    legs: list[tuple[str, str, Connection | None]] = []
    for bar in bars.values():
        ends = (bar.stretch.nodes[0][0], bar.stretch.nodes[-1][0])
        legs += [(node, node, None) for node in ends if node in made.drains]
        legs += [
            (leg[0], place, made.joins[leg[1]])
            for place in made.order
            if (leg := made.leg_of(place)) is not None and leg[0] in ends
        ]
    return DiagramLayout(
        tuple(bars.values()), columns, tracks, tuple(legs), frozenset(elsewhere), lanes, nodes
    )


def _widths(lengths: Sequence[float], room: float) -> list[float]:
    """Widths of bars as their lengths, none under the least."""
    small: set[int] = set()
    while True:
        left = room - LEAST_BAR * len(small)
        total = sum(length for n, length in enumerate(lengths) if n not in small)
        each = left / total if total > 0.0 else 0.0
        under = {n for n, length in enumerate(lengths) if n not in small and length * each < LEAST_BAR}
        if not under:
            return [LEAST_BAR if n in small else length * each for n, length in enumerate(lengths)]
        small |= under


def _tracks(made: LineGraph, joins: Sequence[int], x: Mapping[str, float]) -> tuple[tuple[Track, ...], int]:
    """The shortest lowest, each on the lowest lane that is free over its length."""
    taken: list[list[tuple[float, float]]] = []
    tracks = []
    ends = {n: (x[made.joins[n].tube.start], x[made.joins[n].tube.end]) for n in joins}
    for n in sorted(joins, key=lambda n: (abs(ends[n][0] - ends[n][1]), n)):
        low, high = min(ends[n]) - 1.5, max(ends[n]) + 1.5
        lane = next(
            (k for k, spans in enumerate(taken) if all(high <= a or b <= low for a, b in spans)), len(taken)
        )
        if lane == len(taken):
            taken.append([])
        taken[lane].append((low, high))
        tracks.append(Track(made.joins[n], *ends[n], lane))
    return tuple(tracks), len(taken)
