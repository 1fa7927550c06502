"""The line itself on the diagram: runs with their nozzles, tubes beside them, tees, valves, drains."""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from dataclasses import replace

from mistcalc.drawing import fonts, symbols
from mistcalc.drawing.boxes import Box, Point
from mistcalc.drawing.labels import LabelExtent, fits
from mistcalc.drawing.sheet import BLACK, FINE, MEDIUM, WHITE, Circle, Item, LineSegment, Polyline, Text
from mistcalc.model.results import MarkFlow
from mistcalc.report.common.line_kind import LineJob
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.installer.line_diagram.arrangement import SIGN, Bar, DiagramLayout, Track
from mistcalc.report.installer.line_diagram.canvas import DiagramCanvas
from mistcalc.report.installer.line_diagram.line_graph import LineGraph

UNDER_BAR = 24.0  # of the tube at the floor to the lowest bar
FIRST_LANE, LANE, LEAST_LANE = 7.0, 9.0, 3.2
PLASTER, NOZZLE, NAMES, TIER, GAUGES, TITLES = 3.2, 5.6, 10.6, 4.0, 19.0, 27.0  # below the bar
CUT = 0.8  # half of the gap in a level tube that another crosses
LEG_OUT, LEG_DOWN = 6.5, 10.6
TRICKLE = 1e-9  # m3/s: what a dead end is solved with is no flow
LONGEST = 18.0  # room of a mark's name
STEPS = (1, 2, 3, 4, 5, 10, 20, 50, 100, 500)  # of names, where not all have room


def draw_line(
    board: DiagramCanvas, design: LineJob, made: LineGraph, plot: DiagramLayout, room: Box, locale: Locale
) -> None:
    """Everything above the floor. room.bottom: the height of the tube that comes from the pump."""
    pitch = (room.top - 4.0 - FIRST_LANE - room.bottom - UNDER_BAR) / max(plot.lanes, 1)
    pitch = min(max(pitch, LEAST_LANE), LANE)
    y0 = room.top - 4.0 - FIRST_LANE - pitch * plot.lanes
    lane = {track: y0 + FIRST_LANE + pitch * track.lane for track in plot.tracks}
    upright = _uprights(made, plot, lane, y0, room.bottom)
    for node, (low, high) in upright.items():
        board.stroke((plot.nodes[node], low), (plot.nodes[node], high))
    for track in plot.tracks:
        _track(board, made, plot, track, lane[track], upright)
    _joints(board, plot, lane, upright, y0)
    _drains(board, design, plot, upright, y0)
    for bar in plot.bars:
        _bar(board, design, bar, y0)
    for bar in plot.bars:
        _gauges(board, design, bar, y0, locale)
        _titles(board, design, bar, y0, locale)
    valves = valve_names(made)
    for track in plot.tracks:
        if track.join.tube.valves:
            at = _sign_places(made, plot, track, upright, lane[track])
            x = at[track.join.signs.index("solenoid valve")]
            board.label((x, lane[track]), 1.8, valves[track.join.piece.name], 3.5, True)
    for node, x in plot.columns.items():
        if node != made.source:
            words = locale.label("paper_line.elsewhere", place=node) if node in plot.elsewhere else node
            board.label((x, upright[node][1]), 0.6, words)
    for track in sorted(plot.tracks, key=lambda track: track.left - track.right):
        _length(board, plot, track, lane[track], upright, locale)


def valve_names(made: LineGraph) -> dict[str, str]:
    """V1, V2, ... for the pieces that hold a zone's valve, in the order in which they are stated."""
    held = [join.piece.name for join in made.joins if join.tube.valves]
    return {name: f"V{n}" for n, name in enumerate(dict.fromkeys(held), 1)}


# ------------------------------------------------------------------ tubes beside the runs


def _uprights(
    made: LineGraph, plot: DiagramLayout, lane: Mapping[Track, float], y0: float, out: float
) -> dict[str, tuple[float, float]]:
    """How low and how high each node's upright reaches."""
    reach: dict[str, tuple[float, float]] = {}
    for track, y in lane.items():
        for node in (track.join.tube.start, track.join.tube.end):
            low, high = reach.get(node, (y, y))
            reach[node] = min(low, y), max(high, y)
    for node, (_, high) in reach.items():
        if plot.bar_of(node) is not None:
            reach[node] = y0, high
    low, high = reach.get(made.source, (out, out))
    reach[made.source] = min(low, out), max(high, out)
    for node in plot.columns:
        reach.setdefault(node, (y0, y0))
    return reach


def _crossings(
    plot: DiagramLayout, track: Track, y: float, upright: Mapping[str, tuple[float, float]]
) -> list[float]:
    """Where uprights that are none of its own pass through a track."""
    ends = (track.join.tube.start, track.join.tube.end)
    return sorted(
        plot.nodes[node]
        for node, (low, high) in upright.items()
        if node not in ends
        and low - 1e-6 < y < high + 1e-6
        and track.left + 0.1 < plot.nodes[node] < track.right - 0.1
    )


def _track(
    board: DiagramCanvas,
    made: LineGraph,
    plot: DiagramLayout,
    track: Track,
    y: float,
    upright: Mapping[str, tuple[float, float]],
) -> None:
    """Its level line, cut where another tube crosses, and its signs from the side water comes from."""
    stops = [
        track.left,
        *(x + side * CUT for x in _crossings(plot, track, y, upright) for side in (-1, 1)),
        track.right,
    ]
    for a, b in zip(stops[::2], stops[1::2], strict=True):
        if b > a:
            board.stroke((a, y), (b, y))
    for kind, x in zip(track.join.signs, _sign_places(made, plot, track, upright, y), strict=True):
        board.sign(fitting_sign(kind, (x, y), track.end > track.start))


def _near(made: LineGraph, track: Track) -> str:
    """The end of a piece that water comes from."""
    tube = track.join.tube
    rank = {place: n for n, place in enumerate(made.order)}
    return min((tube.start, tube.end), key=lambda node: rank.get(made.place_of.get(node, node), len(rank)))


def _sign_places(
    made: LineGraph, plot: DiagramLayout, track: Track, upright: Mapping[str, tuple[float, float]], y: float
) -> list[float]:
    """Middles of its signs, clear of what crosses."""
    count = len(track.join.signs)
    near = track.start if _near(made, track) == track.join.tube.start else track.end
    way = 1.0 if near == track.left else -1.0
    pitch = min(SIGN, (track.right - track.left - 1.0) / max(count, 1))
    crossed = _crossings(plot, track, y, upright)
    places, x = [], near + way * (pitch / 2 + 1.0)
    for n in range(count):
        room = abs((track.right if way > 0 else track.left) - x) - pitch * (count - n - 1) - 3.0
        shift = 0.0
        while any(abs(x + way * shift - other) < 3.4 for other in crossed) and shift < room:
            shift += 0.5
        x += way * shift
        places.append(x)
        x += way * pitch
    return places


def fitting_sign(kind: str, at: Point, right: bool) -> list[Item]:
    if kind == "check valve":
        return symbols.check_valve(at, right)
    if kind == "water meter":
        return symbols.letter_box(at, "M")
    made = symbols.valve(at)
    if kind == "solenoid valve":  # opened by the control
        made = [replace(item, fill=BLACK) if isinstance(item, Polyline) else item for item in made]
    return made


def _joints(
    board: DiagramCanvas,
    plot: DiagramLayout,
    lane: Mapping[Track, float],
    upright: Mapping[str, tuple[float, float]],
    y0: float,
) -> None:
    """A square where tubes join: where an upright goes on past a track, and on a run between its ends."""
    for track, y in lane.items():
        for node in (track.join.tube.start, track.join.tube.end):
            low, high = upright[node]
            others = sum(node in (t.join.tube.start, t.join.tube.end) and lane[t] == y for t in plot.tracks)
            if low + 0.1 < y < high - 0.1 or others > 1:
                board.items += symbols.junction((plot.nodes[node], y))
    for node in upright:
        bar = plot.bar_of(node)
        if bar is not None and bar.left + 0.1 < plot.nodes[node] < bar.right - 0.1:
            board.items += symbols.junction((plot.nodes[node], y0))


def _length(
    board: DiagramCanvas,
    plot: DiagramLayout,
    track: Track,
    y: float,
    upright: Mapping[str, tuple[float, float]],
    locale: Locale,
) -> None:
    """Length and flow on the longest free stretch of a track, if there is room; the strip has all."""
    stops = [track.left, *_crossings(plot, track, y, upright), track.right]
    a, b = max(itertools.pairwise(stops), key=lambda pair: pair[1] - pair[0])
    tube = track.join.tube
    length = locale.number(tube.length, "length")
    tries = [length]
    if tube.most_flow > TRICKLE:
        tries.insert(0, f"{length}, {locale.number(tube.most_flow, 'flow')}")
    for words in tries if tube.length > 0.0 else ():
        wide = fonts.width(words, 2.5)
        text = Text(((a + b) / 2, y + 1.4), words, align="middle", layer="NOTE")
        if wide <= b - a - 1.0 and (board.write_free(text) or board.label(((a + b) / 2, y), 0.4, words)):
            return


# ------------------------------------------------------------------ runs


def _bar(board: DiagramCanvas, design: LineJob, bar: Bar, y0: float) -> None:
    """A run's tube, the plaster below it, a nozzle at each mark, and as many names as have room."""
    board.stroke((bar.left, y0), (bar.right, y0))
    patio = next(p for p in design.project.patios if any(r.name == bar.stretch.run for r in p.rows))
    if patio.plaster.plastered:
        board.stroke((bar.left, y0 - PLASTER), (bar.right, y0 - PLASTER), MEDIUM, "NOTE")
    at = sorted((bar.x(node), mark) for node, mark in bar.stretch.marks.items())
    apart = min((b - a for (a, _), (b, _) in itertools.pairwise(at)), default=6.0)
    radius = min(1.2, 0.38 * apart)
    for x, _ in at:
        if radius >= 0.4:
            board.items.append(LineSegment((x, y0), (x, y0 - NOZZLE + radius), layer="NOTE", pen=FINE))
            board.items.append(Circle((x, y0 - NOZZLE), radius, WHITE, layer="NOTE", pen=MEDIUM))
        else:
            board.items.append(LineSegment((x, y0), (x, y0 - NOZZLE), layer="NOTE", pen=FINE))
    if at:
        board.solid.append(Box(at[0][0] - 1.2, y0 - NOZZLE - 1.4, at[-1][0] + 1.2, y0))
    names = [fonts.clean(mark.name) for _, mark in at]
    if any(fonts.width(name, 2.5, True) > LONGEST for name in names):  # its run is named below
        names = [name.removeprefix(fonts.clean(bar.stretch.run)).lstrip("- ") or name for name in names]
    shown = [fonts.fit(name, 2.5, LONGEST, True) for name in names]
    _names(board, [(x, name) for (x, _), name in zip(at, shown, strict=True)], y0)


def _names(board: DiagramCanvas, at: list[tuple[float, str]], y0: float) -> None:
    """Names on two tiers: all of them, or every second, third, ...; always the first and the last."""
    for step in STEPS:
        shown = at[::step]
        if at and shown[-1] != at[-1]:
            shown = [*(shown[:-1] if len(shown) > 1 else shown), at[-1]]
        tiers = [shown] if _fit(shown) else [shown[::2], shown[1::2]]
        if all(_fit(tier) for tier in tiers):
            for n, tier in enumerate(tiers):
                for x, name in tier:
                    y = y0 - NAMES - TIER * n
                    for align, beside in (("middle", 0.0), ("right", 1.2), ("left", -1.2)):
                        text = Text((x + beside, y), name, 2.5, True, align=align, layer="NOTE")
                        if board.write_free(text):
                            break
            return


def _fit(tier: list[tuple[float, str]]) -> bool:
    half = max((fonts.width(name, 2.5, True) / 2 for _, name in tier), default=0.0)
    return fits([x for x, _ in tier], LabelExtent(half, half), (-1e9, 1e9))


def _gauges(board: DiagramCanvas, design: LineJob, bar: Bar, y0: float, locale: Locale) -> None:
    """What a gauge would show at its first and last mark on paper; with room for one, the least."""
    at = sorted((bar.x(node), mark) for node, mark in bar.stretch.marks.items())
    if not at:
        return
    pressure_text = {mark.name: locale.number(mark.pressure_gauge, "pressure") for _, mark in at}
    for size in (3.5, 2.5):
        wide = {name: fonts.width(words, size, True) + 2.4 for name, words in pressure_text.items()}
        (x, first), (end, last) = at[0], at[-1]
        left = max(min(x - 3.0, bar.right - wide[first.name]), bar.left)
        right = min(max(end + 3.0, bar.left + wide[last.name]), bar.right)
        if first is not last and left + wide[first.name] + 1.0 <= right - wide[last.name]:
            for middle, mark in ((left + wide[first.name] / 2, first), (right - wide[last.name] / 2, last)):
                board.sign(symbols.value_box((middle, y0 - GAUGES), pressure_text[mark.name], size))
            return
    least = min((mark for _, mark in at), key=lambda mark: mark.pressure_gauge)
    middle = (bar.left + bar.right) / 2
    board.sign(symbols.value_box((middle, y0 - GAUGES), pressure_text[least.name], 2.5))


def _titles(board: DiagramCanvas, design: LineJob, bar: Bar, y0: float, locale: Locale) -> None:
    """Run, zone, count and flow below it, as large and as full as there is room for."""
    marks: list[MarkFlow] = list(bar.stretch.marks.values())
    many = len(design.line.zones) > 1
    zone = marks[0].zone if marks and many else ""
    values = {"run": bar.stretch.run, "zone": zone, "count": len(marks), "flow": sum(m.flow for m in marks)}
    room, middle = bar.right - bar.left + 6.0, (bar.left + bar.right) / 2
    y = y0 - TITLES - 1.5
    for key, sizes, bold in (("run", (3.5, 2.5), True), ("run_more", (2.5,), False)):
        long, short = (
            locale.label(f"paper_line.{key}", **values),
            locale.label(f"paper_line.{key}_short", **values),
        )
        tries = [(words, size) for words in (long, short) for size in sizes]
        tries += [] if bold else [(locale.number(sum(m.flow for m in marks), "flow"), 2.5)]
        fitting = next(((w, s) for w, s in tries if fonts.width(w, s, bold) <= room), None)
        words, size = fitting or (fonts.fit(short, 2.5, room, bold), 2.5)
        board.write_free(Text((middle, y), words, size, bold, align="middle", layer="NOTE"))
        y -= 5.0


# ------------------------------------------------------------------ drains


def _drains(
    board: DiagramCanvas,
    design: LineJob,
    plot: DiagramLayout,
    upright: Mapping[str, tuple[float, float]],
    y0: float,
) -> None:
    """Legs at the ends of bars, and boxes at drains elsewhere."""
    drains = {str(drain.at): drain for drain in design.project.plumbing.drains}
    done: set[tuple[str, bool]] = set()
    for node, foot, _ in plot.legs:
        bar = plot.bar_of(node)
        if bar is None:
            continue
        x = plot.nodes[node]
        right = x > (bar.left + bar.right) / 2
        if (bar.stretch.run, right) in done:
            continue
        done.add((bar.stretch.run, right))
        out = x + (LEG_OUT if right else -LEG_OUT)
        board.stroke((x, y0), (out, y0))
        board.stroke((out, y0), (out, y0 - LEG_DOWN + 2.6))
        drain = drains.get(foot) or drains.get(node)
        if drain is None:
            board.label((out, y0 - LEG_DOWN), 0.5, foot)
            continue
        board.sign(symbols.letter_box((out, y0 - LEG_DOWN), "D"))
        if drain.test_port:
            board.sign(symbols.letter_box((out, y0 - LEG_DOWN - 5.7), "T"))
    hung = {node for node, _, _ in plot.legs} | {foot for _, foot, _ in plot.legs}
    for at, drain in drains.items():
        if at in plot.nodes and at not in hung and at not in plot.elsewhere:
            bar, x = plot.bar_of(at), plot.nodes[at]
            y = y0 + 3.1 if bar is not None else upright[at][0]
            board.sign(symbols.letter_box((x, y), "D"))
            if drain.test_port:
                board.sign(symbols.letter_box((x + 5.7, y), "T"))
