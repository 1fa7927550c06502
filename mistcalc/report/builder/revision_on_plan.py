"""What moved since the set before, on a plan: clouds, the letter in a triangle, joists as they were found."""

from __future__ import annotations

from collections.abc import Sequence

from mistcalc.drawing import line_geometry, symbols
from mistcalc.drawing.boxes import Box, Point, around
from mistcalc.drawing.labels import Tag
from mistcalc.model.project import Patio
from mistcalc.model.results import PlanChange, ThingChange
from mistcalc.report.builder.plan_canvas import PlanCanvas, fitted, tag_of
from mistcalc.report.builder.runs_in_plan import PlanRun
from mistcalc.report.common.locale_text import Locale

ROOM = 0.6  # between what a cloud holds and its line [mm]
DEPTHS, HEADS = (0.45, 0.6, 0.75, 0.3), 2  # of the lid, where such words are tried; bold lines of them
FEW = 6  # things as found that are drawn one by one; of more the list tells


def draw_clouds(sketch: PlanCanvas, runs: Sequence[PlanRun], change: PlanChange, letter: str) -> None:
    """A cloud round name, mark and number of each mark that moved, with its letter. A number that stands too
    close among others for a cloud has the letter alone beside it."""
    moved = {one.name for one in change.marks if one.now is not None}
    held: dict[str, list[Box]] = {}
    for mark in (mark for plan_run in runs for mark in plan_run.marks if sketch.part.shows(mark)):
        x, y = sketch.at(mark.point)
        held[mark.name] = [Box(x - 2.5, y - 2.5, x + 2.5, y + 2.5), *sketch.of_mark.get(mark.name, ())]
    tags: list[Tag] = []
    for name, boxes in ((name, boxes) for name, boxes in held.items() if name in moved):
        others = [box for other, some in held.items() if other != name for box in some]
        clouds, bare = _clouds(boxes, others)
        for box in clouds:
            sketch.items += symbols.cloud(box, sketch.view)
            sketch.solid += _outline(box)
        tags += [Tag((cloud.right, cloud.top), 0.2, 8.2, 6.2, led=True) for cloud in clouds[:1]]
        tags += [_beside(box, boxes[0]) for box in bare]
    for tag, placed in zip(tags, sketch.place(tags), strict=True):
        if placed is not None:
            sketch.items += symbols.revision(placed.box.middle, letter, sketch.view, placed.box.height)
            sketch.lead(tag.center, tag.reach, placed.box, "NOTE")


def _clouds(boxes: Sequence[Box], others: Sequence[Box]) -> tuple[list[Box], list[Box]]:
    """One cloud round all that belongs to a mark, else one round mark and name and one round its number; and
    what is too close among others for a cloud of its own."""

    def free(box: Box) -> bool:
        return not any(box.grown(symbols.CLOUD_BULGE + 0.3).meets(other) for other in others)

    for groups in ([boxes], [boxes[:2], boxes[2:]]):
        rounds = [_round(group) for group in groups if group]
        if all(free(box) for box in rounds):
            return rounds, []
    mark = _round(boxes[:1])
    near = [box for box in (_round(boxes[:2]), mark) if free(box)] or [mark]
    numbers = [_round([box]) for box in boxes[2:]]
    return [near[0], *filter(free, numbers)], [box for box in numbers if not free(box)]


def _beside(number: Box, mark: Box) -> Tag:
    """The letter at the end of a number that is away from its mark."""
    (x, y), (mx, my) = number.middle, mark.middle
    upright = number.height > number.width
    end = (x, number.top if y > my else number.bottom)
    if not upright:
        end = (number.right if x > mx else number.left, y)
    return Tag(end, 0.2, 7.4, 5.6)


def _round(boxes: Sequence[Box]) -> Box:
    return around(corner for box in boxes for corner in box.corners).grown(ROOM)


def _outline(box: Box) -> list[Box]:
    left, bottom, right, top = box
    return [
        Box(left, bottom, right, bottom).grown(0.6),
        Box(left, top, right, top).grown(0.6),
        Box(left, bottom, left, top).grown(0.6),
        Box(right, bottom, right, top).grown(0.6),
    ]


def drawn_things(change: PlanChange, patio: str, runs: Sequence[str]) -> list[ThingChange]:
    """Joists and joints as found that a plan shows: all where there are few, else those a mark moved for. A
    joist under a joint that moved with it is told as the joint."""
    here = [t for t in change.things if t.patio == patio and t.run in runs and t.kind in ("member", "joint")]
    joints = {(t.run, t.now) for t in here if t.kind == "joint"}
    here = [t for t in here if t.now is not None and (t.kind == "joint" or (t.run, t.now) not in joints)]
    if len(here) <= FEW:
        return here
    causes = [one.cause for one in change.marks if one.cause is not None]
    return [thing for thing in here if thing in causes][:FEW]


def draw_found(
    sketch: PlanCanvas, runs: Sequence[PlanRun], change: PlanChange, patio: Patio, locale: Locale
) -> None:
    """Beside each joist that was found elsewhere where it is, and under it where the set before had it."""
    by_name = {plan_run.run.name: plan_run for plan_run in runs}
    left = drawn_things(change, patio.name, tuple(by_name))
    for share in DEPTHS:
        spots = [
            (thing, _spot(by_name[thing.run], thing.now or 0.0, share * by_name[thing.run].depth))
            for thing in left
        ]
        here = [(thing, sketch.at(spot)) for thing, spot in spots if sketch.part.holds(spot)]
        told = [fitted(_told(thing, change.before.letter, locale), HEADS) for thing, _ in here]
        tags = [tag_of(at, 1.0, lines, HEADS) for (_, at), lines in zip(here, told, strict=True)]
        for (thing, at), lines, placed in zip(here, told, sketch.place(tags), strict=True):
            if placed is not None:
                sketch.label(placed, lines, "FRAME", HEADS)
                sketch.lead(at, 0.0, placed.box, "FRAME")
                left.remove(thing)


def _spot(plan_run: PlanRun, along: float, back: float) -> Point:
    edge = line_geometry.moved(plan_run.datum, plan_run.ahead, along)
    return line_geometry.moved(edge, plan_run.house, back)


def _told(thing: ThingChange, letter: str, locale: Locale) -> list[str]:
    key = "joint" if thing.kind == "joint" else "joist"
    heads = [locale.label(f"change.found_{key}", name=thing.name), locale.tape(thing.now or 0.0)]
    if thing.was is None:
        return [*heads, locale.label("change.found_new", letter=letter)]
    return [*heads, locale.label("change.found_was", letter=letter, was=thing.was)]
