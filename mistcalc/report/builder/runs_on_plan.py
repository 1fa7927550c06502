"""One run on a plan: tube, the ladder of distances, datum and check distance. Its marks: `marks_on_plan`."""

from __future__ import annotations

from dataclasses import replace

from mistcalc.drawing import fonts, line_geometry, running_dimensions, symbols
from mistcalc.drawing.boxes import Box, Point, along, around
from mistcalc.drawing.labels import FULL, Interval, PlacedTag
from mistcalc.drawing.sheet import THIN, TUBE_PEN, Dimension, Item, LineSegment, Text
from mistcalc.model.results import Mark
from mistcalc.report.builder.marks_on_plan import reach_toward
from mistcalc.report.builder.plan_canvas import LINE_STEP, PlanCanvas, tag_of
from mistcalc.report.builder.runs_in_plan import WALL, PlanRun, angle
from mistcalc.report.common.locale_text import Locale

OPEN_SIDE, BEHIND, BEYOND = 9.0, 15.2, 7.0  # ladder from the edge, from the tube, from the house wall [mm]
RING_MORE = (
    0.0,
    2.5,
    5.0,
    7.5,
    10.0,
    12.5,
    15.0,
    17.5,
    20.0,
)  # farther, where something stands in the place of the ladder's ring
RING_HALF = 1.7  # half of that ring
DATUM_LINE = 22.0  # of it past the dimension line, as far as numbers stand [mm]
DATUM_ROOM = 54.0  # a datum's name: a run's is short
CHECK_OFF = 4.5  # from the numbers to the check distance
CHECK_MORE = (0.0, 2.5, 5.0, 7.5)  # farther, where another's words stand in its place
_BEST = ("axis", "moved", "short", "tiers", "names")


def draw_tube(sketch: PlanCanvas, plan_run: PlanRun) -> None:
    sketch.stroke(*plan_run.tube, "TUBE", TUBE_PEN, 3.0)


# ------------------------------------------------------------------ the ladder


def draw_ladder(sketch: PlanCanvas, plan_run: PlanRun, locale: Locale) -> tuple[str, float]:
    """The run's one ladder with its check distance; returns how its labels were placed, and how far out on
    the open side all of it reaches [mm]. Datums come after all ladders: their words find another place."""
    marks = [mark for mark in plan_run.marks if sketch.part.shows(mark)]
    where, best = _first_that_numbers(sketch, plan_run, marks, locale)
    base, outward = _base(sketch, plan_run, where)
    sketch.items += best.items
    sketch.written += [
        box
        for item in best.items
        if isinstance(item, Dimension)
        for text in item.writing
        for box in text.boxes()
    ]
    for mark, item in zip(marks, best.items, strict=True):
        if isinstance(item, Dimension) and item.writing:
            boxes = [corner for text in item.writing for corner in text.box().corners]
            sketch.of_mark.setdefault(mark.name, []).append(around(boxes))
    datum, far = sketch.at(plan_run.datum), sketch.at(plan_run.far)
    depth = _depth(best.taken, base, outward)
    if sketch.part.holds(plan_run.datum):
        sketch.symbol(symbols.origin(_foot(plan_run, datum, base), sketch.view))
    on_own_line = where == "open side"
    if not sketch.part.run or sketch.part.of == 1:
        words = locale.label("paper.check", length=plan_run.run.length)
        levels = [line_geometry.moved(base, outward, depth + CHECK_OFF + more) for more in CHECK_MORE]
        checks = [
            running_dimensions.dimension(datum, far, level, plan_run.turn, words, view=sketch.view)
            for level in (levels if on_own_line else ())
        ]
        check = next((one for one in checks if all(map(sketch.free, one.writing[0].boxes()))), None)
        if check is not None:
            sketch.items.append(check)
            sketch.written += [box for text in check.writing for box in text.boxes()]
            sketch.solid += along(check.foot(datum), check.foot(far), 0.3)
        else:
            tube = 0.0 if on_own_line else plan_run.line.back
            end = sketch.at(line_geometry.moved(plan_run.far, plan_run.house, tube))
            _check_at_end(sketch, plan_run, base, marks, end, words)
    sketch.solid += best.taken
    out = depth + OPEN_SIDE + CHECK_OFF + 6.0 if on_own_line else 8.0
    return best.placed.how, out


def _first_that_numbers(
    sketch: PlanCanvas, plan_run: PlanRun, marks: list[Mark], locale: Locale
) -> tuple[str, running_dimensions.Drawn]:
    """Where the ladder stands: on the open side, behind only where it would have no numbers there; of a run
    whose open side is taken the better of two places behind."""
    if not plan_run.ladder_behind:
        best = _ladder(sketch, plan_run, marks, "open side", locale)
        if best.placed.how != "names":
            return "open side", best
    tries = [(where, _ladder(sketch, plan_run, marks, where, locale)) for where in ("behind", "beyond")]
    tries += [] if plan_run.ladder_behind else [("open side", best)]
    return min(tries, key=lambda pair: max(_BEST.index(pair[1].placed.how), 1))


def _base(sketch: PlanCanvas, plan_run: PlanRun, where: str) -> tuple[Point, Point]:
    """A point of the dimension line on paper, and the direction its writing goes."""
    outward = plan_run.house if where != "open side" else (-plan_run.house[0], -plan_run.house[1])
    datum = sketch.at(plan_run.datum)
    off = OPEN_SIDE
    if where == "behind":
        off = sketch.view.length(plan_run.line.back) + _behind(sketch, plan_run)
    elif where == "beyond":
        back = sketch.view.length(plan_run.line.back)
        off = max((reach_toward(box, datum, outward) for box in sketch.solid), default=back) + BEYOND
    rings = [line_geometry.moved(datum, outward, off + more) for more in RING_MORE]
    ring = next((one for one in rings if sketch.free(Box(*one, *one).grown(RING_HALF))), rings[0])
    return ring, outward


def _behind(sketch: PlanCanvas, plan_run: PlanRun) -> float:
    """From the tube to a ladder behind it, past the names."""
    return max(BEHIND, sketch.name_reach.get(plan_run.run.name, 0.0) + 2.0)


def _ladder(
    sketch: PlanCanvas, plan_run: PlanRun, marks: list[Mark], where: str, locale: Locale
) -> running_dimensions.Drawn:
    base, outward = _base(sketch, plan_run, where)
    datum = sketch.at(plan_run.datum)
    rungs = [_rung(sketch.at(mark.point), mark.along, locale) for mark in marks]
    tall = max((rung.width for rung in rungs), default=0.0)
    past = [mark.along for mark in marks] if plan_run.second else []  # far into the square of a corner
    length = sketch.view.length(max(plan_run.run.length, *past, 0.0))
    reach = (-FULL.size, length + FULL.size)
    lift = running_dimensions.LIFT if where == "open side" else _behind(sketch, plan_run) - 1.2
    for deep in (tall, 2.0 * tall + running_dimensions.PAST):  # past the near tier where the far one is met
        blocked = _blocked(sketch, plan_run, base, outward, deep)
        drawn = running_dimensions.draw_running_dimensions(
            rungs, datum, base, plan_run.turn, angle(outward), reach, blocked, lift, sketch.view
        )
        if not any(_met(sketch, item) for item in drawn.items):
            break
    else:
        bare = tuple(
            replace(item, writing=(), tail=()) if isinstance(item, Dimension) and _met(sketch, item) else item
            for item in drawn.items
        )
        drawn = replace(drawn, items=bare, placed=replace(drawn.placed, how="names"))
    if sketch.part.run and sketch.part.number > 1 and drawn.items:
        first = drawn.items[0]
        assert isinstance(first, Dimension)
        cut = sketch.at(line_geometry.moved(plan_run.datum, plan_run.ahead, sketch.part.start))
        items = (replace(first, stretch_from=cut), *drawn.items[1:])
        taken = tuple(box for box in drawn.taken if sketch.zone is None or sketch.zone.holds(box))
        drawn = replace(drawn, items=items, taken=taken)
    return drawn


def _rung(at: Point, along: float, locale: Locale) -> running_dimensions.Rung:
    """A distance and its inches; of a mark past the datum, that the tape is pulled the other way."""
    told, words = locale.number(along, "tape"), locale.in_cell(along)
    if "\n" in words:
        big, small = words.split("\n")
        return running_dimensions.Rung(at, big, small, told)
    return running_dimensions.Rung(at, told, locale.number(along, "one_unit") if locale.units == "us" else "")


def _met(sketch: PlanCanvas, item: Item) -> bool:
    """Would a number lie on something?"""
    writing = item.writing if isinstance(item, Dimension) else ()
    boxes = [box for text in writing for box in text.boxes()]
    return any(box.meets(other) for box in boxes for other in _kept_off(sketch))


def _kept_off(sketch: PlanCanvas) -> tuple[Box, ...]:
    return (*sketch.solid, *sketch.written, *sketch.datum_lines)


def _blocked(
    sketch: PlanCanvas, plan_run: PlanRun, base: Point, outward: Point, tall: float
) -> list[Interval]:
    """Stretches of the run, from its datum on paper, where something stands where numbers would."""
    datum = sketch.at(plan_run.datum)
    band = (
        _level(base, datum, outward) + running_dimensions.PAST - 2.0,
        _level(base, datum, outward) + running_dimensions.PAST + tall + 0.5,
    )
    stretches = []
    for box in _kept_off(sketch):
        corners = ((box.left, box.bottom), (box.right, box.top))
        across = sorted(_level(corner, datum, outward) for corner in corners)
        if across[1] > band[0] and across[0] < band[1]:
            low, high = sorted(_level(corner, datum, plan_run.ahead) for corner in corners)
            stretches.append((low - 0.4, high + 0.4))
    return stretches


def _level(point: Point, origin: Point, direction: Point) -> float:
    return (point[0] - origin[0]) * direction[0] + (point[1] - origin[1]) * direction[1]


def _depth(taken: tuple[Box, ...], base: Point, outward: Point) -> float:
    """How far the ladder reaches past its dimension line."""
    return max((reach_toward(box, base, outward) for box in taken), default=2.0)


def _foot(plan_run: PlanRun, point: Point, base: Point) -> Point:
    """The point of the dimension line beside a point."""
    far = _level(point, base, plan_run.ahead)
    return line_geometry.moved(base, plan_run.ahead, far)


def _check_at_end(
    sketch: PlanCanvas, plan_run: PlanRun, base: Point, marks: list[Mark], far: Point, words: str
) -> None:
    """The check distance as the last running dimension of the ladder, from `far` on paper, its words beside
    its arrow."""
    datum = sketch.at(plan_run.datum)
    before = sketch.at(marks[-1].point) if marks else datum
    end = Dimension(
        datum,
        far,
        base,
        plan_run.turn,
        True,
        before,
        layer="DIM-MARK",
        pen=THIN,
        view=sketch.view,
        lift=_behind(sketch, plan_run) - 1.2,
    )
    sketch.solid += along(end.foot(before), end.foot(far), 0.7)
    tip = end.foot(far)
    (placed,) = sketch.place([tag_of(tip, 1.0, [words])])
    if placed is not None:
        x = {"left": placed.box.left, "middle": placed.box.middle[0], "right": placed.box.right}
        at = (x[placed.align], placed.box.top - 1.02 * 2.5)
        text = Text(at, words, 2.5, True, 0.0, placed.align, True, layer="DIM-MARK", view=sketch.view)
        end = replace(end, writing=(text,))
    sketch.items.append(end)


# ------------------------------------------------------------------ the datum


def end_lines(sketch: PlanCanvas, plan_run: PlanRun) -> list[Box]:
    """What the lines from a run's ends take beside its ladder, to datum and check distance: numbers, its own
    and a neighbor's, stand clear of them."""
    if plan_run.ladder_behind:
        return []
    base, outward = _base(sketch, plan_run, "open side")
    ends = [end for end in (plan_run.datum, plan_run.far) if sketch.part.holds(end)]
    feet = [_foot(plan_run, sketch.at(end), base) for end in ends]
    return [box for foot in feet for box in along(foot, line_geometry.moved(foot, outward, DATUM_LINE), 0.15)]


def draw_datum(sketch: PlanCanvas, plan_run: PlanRun, out: float) -> Point:
    """The surface the tape hooks on, drawn `out` on the open side, and its triangle; the middle of that."""
    datum = sketch.at(plan_run.datum)
    open_side = (-plan_run.house[0], -plan_run.house[1])
    beyond = (
        sketch.view.length(plan_run.depth + WALL) + 3.0
    )  # past the house wall, where the open side is taken
    tries = [(open_side, out + 2.0 * n) for n in range(13)] + [
        (plan_run.house, beyond + 2.0 * n) for n in range(20)
    ]
    free = [t for t in tries if sketch.free(_triangle(sketch, plan_run, datum, *t)[0].box())]
    clear = (t for t in free if not _struck(sketch, datum, *t))
    side, out = next(clear, (free or tries)[0])
    sign = _triangle(sketch, plan_run, datum, side, out)
    start, end = _datum_line(datum, side, out)
    sketch.items.append(LineSegment(start, end, layer="DATUM", pen=THIN, view=sketch.view))
    sketch.solid += along(start, end, 0.3)
    sketch.symbol(sign)
    return sign[0].box().middle


def _datum_line(datum: Point, side: Point, out: float) -> tuple[Point, Point]:
    return line_geometry.moved(datum, side, 1.0), line_geometry.moved(datum, side, out + 4.6)


def _struck(sketch: PlanCanvas, datum: Point, side: Point, out: float) -> bool:
    """Would the datum's line run through writing?"""
    line = along(*_datum_line(datum, side, out), 0.3)  # in pieces where its run is level by a hair less
    return any(piece.meets(text) for piece in line for text in sketch.written)


def name_datum(sketch: PlanCanvas, plan_run: PlanRun, middle: Point, locale: Locale) -> None:
    """Its name and surface beside the middle of its triangle; after all datums: their lines cross it."""
    head = locale.label("paper.datum", name=plan_run.run.name)
    room = (
        62.0 if abs(plan_run.ahead[0]) > 0.5 else 31.0
    )  # beside an upright run it takes width from the notes
    surface = fonts.wrap(locale.word(plan_run.run.datum.surface), 2.5, room)
    lines = surface[:3] if len(surface) < 4 else [*surface[:2], fonts.fit(" ".join(surface[2:]), 2.5, room)]
    rows = [fonts.fit(head, 3.5, max(room, DATUM_ROOM), True), *lines]
    name = fonts.fit(plan_run.run.name, 3.5, DATUM_ROOM, True)
    for some in (rows, rows[:1], [name]):  # without room for the surface the name: the notes have the surface
        tag = tag_of(middle, 4.2, some, 0)
        wide = max(tag.width, fonts.width(some[0], 3.5, True) + 0.2)
        (placed,) = sketch.place([replace(tag, width=wide, height=tag.height + 1.8)])
        if placed is not None:
            _write_datum(sketch, placed, some)
            return


def _triangle(sketch: PlanCanvas, plan_run: PlanRun, datum: Point, side: Point, out: float) -> list[Item]:
    return symbols.datum(line_geometry.moved(datum, side, out), plan_run.turn, sketch.view)


def _write_datum(sketch: PlanCanvas, placed: PlacedTag, lines: list[str]) -> None:
    box, align = placed.box, placed.align
    x = {"left": box.left, "middle": box.middle[0], "right": box.right}[align]
    y = box.top - 1.02 * 3.5
    for words, size in zip(lines, (3.5, 2.5, 2.5, 2.5), strict=False):
        text = Text((x, y), words, size, size > 3, 0.0, align, True, layer="DATUM", view=sketch.view)
        sketch.items.append(text)
        y -= 4.4 if size > 3 else LINE_STEP
