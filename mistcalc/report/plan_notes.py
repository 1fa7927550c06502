"""The words on a ceiling plan, set into the largest empty rectangles: title, bar scale, what to do, signs."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import cos, degrees, radians, sin

from mistcalc.drawing import flow, frame, symbols
from mistcalc.drawing.boxes import Box, Point, largest_empty
from mistcalc.drawing.flow import Paragraph
from mistcalc.drawing.frame import Paper
from mistcalc.drawing.sheet import Item
from mistcalc.model.practice import CHECK_WITHIN, MARK_ACROSS, MARK_ALONG
from mistcalc.model.project import Patio
from mistcalc.model.results import Design
from mistcalc.report.hole import hole_of
from mistcalc.report.legend import legend
from mistcalc.report.lie import Lie, angle
from mistcalc.report.mark_position import wood_missed
from mistcalc.report.noted import Noted
from mistcalc.report.paths import moved
from mistcalc.report.subjects import Numbered, within
from mistcalc.report.voice import Voice

TITLE_ROOM = (112.0, 38.0)  # the least room a plan's title and bar scale need [mm]
COLUMN, NARROWEST, GUTTER = 88.0, 46.0, 7.0  # width of a column wanted, at least; space between [mm]
NORTH, NORTH_FOOT = 9.5, 8.0  # half the room of the north arrow with its letter; from its middle to its foot
_COMPASS = ("north", "northeast", "east", "southeast", "south", "southwest", "west", "northwest")
Sign = Callable[[Point], Sequence[Item]]


@dataclass(frozen=True)
class Notes:
    items: tuple[Item, ...]
    left_over: tuple[Paragraph, ...]


def plan_notes(noted: Noted, zone: Box, taken: Sequence[Box], paper: Paper) -> Notes | None:
    """Title and notes in the empty parts of the zone; None where not even the title has room."""
    room = largest_empty(zone, taken, TITLE_ROOM)
    if room is None:
        return None
    room = room._replace(left=room.left + 3, right=room.right - 3, top=room.top - 3)
    items, top = _title(noted, room, paper)
    look, also = _look_first(noted)
    sections = [look, [*_set_out(noted), *also], legend(noted)]
    below = room._replace(top=top - 5.0)
    used, more = [*taken, room.grown(3.0)], []
    for _ in range(3):
        found = largest_empty(zone, used, (NARROWEST + 6.0, 30.0))
        if found is not None:
            more.append(found.grown(-3.0))
            used.append(found)
    left = _fill(sections, below, more, items)
    return Notes(tuple(items), left)


def _fill(
    sections: list[list[Paragraph]], main: Box, more: list[Box], items: list[Item]
) -> tuple[Paragraph, ...]:
    """Each section in a column of its own, the last in all that remain, where that works; else one after
    the other. What loses least wins.

    Under the title two to four columns; further empty places take what does not fit there.
    """
    whole = [p for section in sections for p in section]
    tries: list[tuple[int, list[Item], tuple[Paragraph, ...]]] = []
    for spots in ([], more):
        for count in (3, 2, 4, 1):
            columns = [*_columns(main, count), *(column for spot in spots for column in _columns(spot))]
            if len(columns) >= len(sections):
                last = len(sections) - 1
                rooms = [*([box] for box in columns[:last]), columns[last:]]
                apart = [flow.flow(section, room) for section, room in zip(sections, rooms, strict=True)]
                left = tuple(
                    p
                    for section, flowed in zip(sections, apart, strict=True)
                    if flowed.left_over
                    for p in (*([] if flowed.left_over[0].keep else section[:1]), *flowed.left_over)
                )
                tries.append(
                    (_loss(sections, left), [item for flowed in apart for item in flowed.items], left)
                )
            if columns:
                drawn, left = _one_after_another(sections, columns)
                tries.append((_loss(sections, left), drawn, left))
    if not tries:
        return tuple(whole)
    _, drawn, left = min(tries, key=lambda one: one[0])
    items += drawn
    return left


def _loss(sections: list[list[Paragraph]], left: Sequence[Paragraph]) -> int:
    """How much is lost where some paragraphs find no room: the first sections are worth most."""
    worth = [10 ** (2 * n) for n in range(len(sections) - 1, -1, -1)]
    return sum(w * sum(p in left for p in section) for w, section in zip(worth, sections, strict=True))


def _one_after_another(
    sections: list[list[Paragraph]], columns: list[Box]
) -> tuple[list[Item], tuple[Paragraph, ...]]:
    """Sections down the columns; one that would be cut starts the next column if that takes it whole."""
    items: list[Item] = []
    lost: list[Paragraph] = []
    rooms = list(columns)
    for section in sections:
        if not rooms:
            lost += section
            continue
        here = flow.flow(section, rooms[:1])
        if here.left_over and len(rooms) > 1:
            after = flow.flow(section, rooms[1:2])
            if not after.left_over:
                rooms, here = rooms[1:], after
            else:
                here, rooms = _through(section, rooms)
        elif here.left_over:
            rooms = []
        items += here.items
        if here.left_over:
            lost += [*([] if here.left_over[0].keep else section[:1]), *here.left_over]
            rooms = []
        elif rooms:
            rooms[0] = rooms[0]._replace(top=here.bottom - 4.0)
    return items, tuple(lost)


def _through(section: list[Paragraph], rooms: list[Box]) -> tuple[flow.Flowed, list[Box]]:
    """A section cut over as many columns as it takes, and the columns that remain, its last one first."""
    for count in range(2, len(rooms) + 1):
        flowed = flow.flow(section, rooms[:count])
        if not flowed.left_over:
            break
    return flowed, rooms[count - 1 :]


def _columns(box: Box, count: int = 0) -> list[Box]:
    count = count or max(1, round((box.width + GUTTER) / (COLUMN + GUTTER)))
    wide = (box.width - GUTTER * (count - 1)) / count
    if wide < NARROWEST or box.height < 18.0:
        return []
    lefts = [box.left + index * (wide + GUTTER) for index in range(count)]
    return [box._replace(left=left, right=left + wide) for left in lefts]


# ------------------------------------------------------------------ title


def _title(noted: Noted, room: Box, paper: Paper) -> tuple[list[Item], float]:
    """North, title, scale and bar scale at the head of a room; returns where they end."""
    voice, part = noted.voice, noted.part
    bearing = noted.design.project.place.bearing
    heading = noted.runs[0].line
    east = angle((heading.edge[1][0] - heading.edge[0][0], heading.edge[1][1] - heading.edge[0][1]))
    turn = degrees(bearing) + east - 90.0
    middle = (room.left + NORTH, room.top - NORTH)  # whichever way it points it keeps within a circle
    foot = moved(middle, (-sin(radians(turn)), cos(radians(turn))), -NORTH_FOOT)
    items: list[Item] = symbols.north(foot, turn, voice.label("paper.n"))
    left, wide = room.left + 2 * NORTH + 2.0, room.width - 2 * NORTH - 2.0
    head = voice.label("paper.plan")
    if part.run:
        head = voice.label("paper.plan_part", run=part.run, start=part.start, end=part.end)
    if len(noted.design.layouts) > 1:
        head = voice.label("paper.of_patio", title=head, patio=noted.patio.name)
    told = [Paragraph(head, 5.0, bold=True)]
    key = "scale_us" if voice.units == "us" else "scale_metric"
    inches = {48: "1/4", 64: "3/16", 96: "1/8"}.get(noted.scale, "")
    told.append(
        Paragraph(voice.label(f"paper.{key}", scale=noted.scale, inches=inches, sheet=paper.name), before=2.0)
    )
    told.append(Paragraph(_patio_note(noted.patio, voice), before=1.6))
    flowed = flow.flow(told, [Box(left, room.bottom, left + wide, room.top)])
    items += flowed.items
    return _bar(noted, items, left, wide, min(flowed.bottom, room.top - 13.0) - 4.5)


def _patio_note(patio: Patio, voice: Voice) -> str:
    lengths = tuple(voice.number(run.length, "length") for run in patio.runs)
    return voice.label("paper.patio_note", lengths=lengths, depth=patio.depth, height=patio.height)


def _bar(noted: Noted, items: list[Item], left: float, wide: float, y: float) -> tuple[list[Item], float]:
    voice = noted.voice
    marks: tuple[tuple[int, str], ...]
    if voice.units == "us":
        steps, step, marks = 10, 0.3048, ((0, "0"), (5, "5 ft"), (10, "10 ft"))
    else:
        steps, step, marks = 6, 0.5, ((0, "0"), (2, "1 m"), (4, "2 m"), (6, "3 m"))
    long = frame.bar_length(noted.scale, steps, step)
    items += frame.bar_scale((left, y - 1.6), noted.scale, steps, step, marks)
    words = Paragraph(voice.label(f"paper.bar_{voice.units}", millimetres=f"{long:.1f}", length=long / 1000))
    beside = wide - long - 9.0 > 60.0
    at = (left + long + 9.0, y + 0.6) if beside else (left, y - 8.5)
    drawn, bottom = flow.set_paragraph(words, at, wide - long - 9.0 if beside else wide)
    items += drawn
    return items, min(bottom, y - 7.0)


# ------------------------------------------------------------------ what to do


def _look_first(noted: Noted) -> tuple[list[Paragraph], list[Paragraph]]:
    """What asks for a look before work; and what is good to know, for after the work is told."""
    voice, layout = noted.voice, noted.design.layout_of(noted.patio.name)
    told, also = [flow.heading(voice.label("paper.look_first"))], list[Paragraph]()
    word = voice.label("paper.stop")
    for one in noted.findings:
        if not _concerns(one, noted):
            continue
        text = voice.say(one.finding)
        sign = sign_of(one, word) if one.look else "–"
        indent = (16.0 if one.stop else 10.0) if one.look else 4.0
        (told if one.look else also).append(Paragraph(text, sign=sign, indent=indent, before=2.6))
    if layout.marks and not (layout.holes.stop or layout.holes.stop_drilled):
        words = wood_missed(layout, voice)
    else:
        words = "" if noted.findings else voice.label("paper.nothing_first")
    if words:
        told.append(Paragraph(words, bold=True, before=2.6))
    names = [name for name, how in noted.sketch.ladders.items() if how == "names"]
    if names:
        told.append(Paragraph(voice.label("paper.see_table", runs=tuple(names)), bold=True, before=2.6))
    for lines in noted.sketch.homeless:
        told.append(Paragraph(", ".join(lines), sign="–", indent=4.0))
    if also:
        also.insert(0, flow.heading(voice.label("paper_check.also")))
    return told, also


def _concerns(one: Numbered, noted: Noted) -> bool:
    """Is a finding about what this sheet shows?"""
    other_run = within(one.finding, noted.patio.name) in {
        lie.run.name for lie in noted.runs if lie not in noted.shown
    }
    shown = {mark.name for lie in noted.shown for mark in lie.marks if noted.part.shows(mark)}
    return not other_run and (not one.marks or bool(shown.intersection(one.marks)))


def sign_of(one: Numbered, word: str) -> Sign:
    if one.stop:
        return lambda at: symbols.stop((at[0] + 0.6, at[1]), one.number, word)
    return lambda at: symbols.warning((at[0], at[1] + 0.3), one.number)


def _set_out(noted: Noted) -> list[Paragraph]:
    voice = noted.voice
    told = [flow.heading(voice.label("paper.set_out"))]
    hole = hole_of(noted.patio, noted.design.line, voice.units)
    told.append(Paragraph(voice.label("paper.drill", hole=hole), bold=True))
    steps = [
        voice.label(
            "paper.hook", run=lie.run.name, surface=lie.run.datum.surface,
            toward=toward(lie, noted.runs, noted.design, voice),
            count=len([m for m in lie.marks if noted.part.shows(m)]),
        )
        for lie in noted.shown
    ]  # fmt: skip
    steps.append(voice.label("paper.read"))
    lengths = tuple(
        voice.label("paper.check_of", run=lie.run.name, length=lie.run.length) for lie in noted.shown
    )
    steps.append(voice.label("paper.check_last", lengths=lengths, limit=CHECK_WITHIN))
    backs: dict[float, list[str]] = {}
    for lie in noted.shown:
        backs.setdefault(round(lie.line.back, 6), []).append(lie.run.name)
    for back, names in backs.items():
        key = "paper.line_back" if len(backs) == 1 else "paper.line_back_of"
        steps.append(voice.label(key, back=back, runs=tuple(names)))
    steps.append(voice.label("paper.hold", along=MARK_ALONG, across=MARK_ACROSS))
    return told + [Paragraph(step, sign=str(n), indent=6.0) for n, step in enumerate(steps, 1)]


def toward(lie: Lie, runs: Sequence[Lie], design: Design, voice: Voice) -> str:
    """Where the tape is pulled, by the compass where the heading is stated."""
    if "place.bearing" in design.project.assumed:
        return voice.label("paper.toward_far")
    first = runs[0].line
    start = angle((first.edge[1][0] - first.edge[0][0], first.edge[1][1] - first.edge[0][1]))
    heading = degrees(design.project.place.bearing) - (lie.turn - start)
    return voice.label(f"paper_compass.{_COMPASS[round(heading / 45.0) % 8]}")
