"""The words on a ceiling plan, set into the largest empty rectangles: title, bar scale, what to do, signs."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import cos, degrees, radians, sin

from mistcalc.drawing import fonts, frame, symbols, text_and_tables
from mistcalc.drawing.boxes import Box, Point, largest_empty
from mistcalc.drawing.frame import PaperSize
from mistcalc.drawing.line_geometry import moved
from mistcalc.drawing.sheet import Item
from mistcalc.drawing.text_and_tables import Paragraph
from mistcalc.model.lid_heights import lowest_and_highest
from mistcalc.model.practice import CHECK_WITHIN, MARK_ACROSS, MARK_ALONG
from mistcalc.model.project import Patio
from mistcalc.model.results import Design
from mistcalc.report.builder.legend_box import plan_legend
from mistcalc.report.builder.plan_notes_input import PlanNotesInput
from mistcalc.report.builder.runs_in_plan import PlanRun, angle
from mistcalc.report.common.findings_by_reader import NumberedFinding, place_in_patio
from mistcalc.report.common.hole_size import drill_size
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.mark_position import wood_missed
from mistcalc.report.common.paragraph_spacing import closer
from mistcalc.units import compass_point, parse

TITLE_ROOM = (112.0, 38.0)  # the least room a plan's title and bar scale need [mm]
COLUMN, NARROWEST, GUTTER = 88.0, 46.0, 7.0  # width of a column wanted, at least; space between [mm]
NORTH, NORTH_FOOT = 9.5, 8.0  # half the room of the north arrow with its letter; from its middle to its foot
Sign = Callable[[Point], Sequence[Item]]
_Filled = tuple[tuple[int, bool, int], list[Item], tuple[Paragraph, ...]]  # loss, what is drawn, what is left


@dataclass(frozen=True)
class Notes:
    items: tuple[Item, ...]
    left_over: tuple[Paragraph, ...]


def place_notes(
    notes_input: PlanNotesInput, zone: Box, taken: Sequence[Box], paper: PaperSize
) -> Notes | None:
    """Title and notes in the empty parts of the zone; None where not even the title has room."""
    room = largest_empty(zone, taken, TITLE_ROOM)
    if room is None:
        return None
    room = room._replace(left=room.left + 3, right=room.right - 3, top=room.top - 3)
    items, top = _title(notes_input, room, paper)
    if top < room.bottom:
        return None
    look, also = _look_first(notes_input)
    set_out, legend = [*_set_out(notes_input)], plan_legend(notes_input)
    sections = [look, [*set_out, *also], legend]
    parts = [part for part in (look, set_out, also, legend) if part]
    below = room._replace(top=top - 5.0)
    used, more = [*taken, room.grown(3.0)], []
    for _ in range(3):
        empty_box = largest_empty(zone, used, (NARROWEST + 6.0, 30.0))
        if empty_box is not None:
            more.append(empty_box.grown(-3.0))
            used.append(empty_box)
    loss, drawn, left = _fill(sections, parts, below, more)
    if loss[0]:  # what is done first finds no room, or is cut off from the rest of it
        close, close_parts = ([closer(part) for part in of] for of in (sections, parts))
        again = _fill(close, close_parts, below._replace(top=top - 2.0), more)
        loss, drawn, left = min((loss, drawn, left), again, key=lambda one: one[0])
    return Notes((*items, *drawn), left)


def _fill(
    sections: list[list[Paragraph]],
    parts: list[list[Paragraph]],
    main: Box,
    more: list[Box],
) -> _Filled:
    """Each section in a column of its own, the last in all that remain, where that works; else one after
    the other, its parts whole where that can be. What loses least wins.

    Under the title two to four columns; further empty places take what does not fit there.
    """
    whole = [p for section in sections for p in section]
    tries: list[_Filled] = []
    for spots in ([], more):
        for count in (3, 2, 4, 1):
            columns = [*_columns(main, count), *(column for spot in spots for column in _columns(spot))]
            if len(columns) >= len(sections):
                last = len(sections) - 1
                rooms = [*([box] for box in columns[:last]), columns[last:]]
                apart = [
                    text_and_tables.flow_text(section, room)
                    for section, room in zip(sections, rooms, strict=True)
                ]
                if apart[-1].left_over:  # all of the legend on one sheet of notes
                    apart[-1] = text_and_tables.Flowed([], rooms[-1][0].top, tuple(sections[-1]))
                left = tuple(
                    p
                    for section, flowed in zip(sections, apart, strict=True)
                    if flowed.left_over
                    for p in (*([] if flowed.left_over[0].keep else section[:1]), *flowed.left_over)
                )
                tries.append(
                    (_loss(sections, left, False), [item for flowed in apart for item in flowed.items], left)
                )
            if columns:
                for cut in (parts, sections):
                    drawn, left, parted = _one_after_another(cut, columns)
                    tries.append((_loss(sections, left, parted), drawn, left))
    if not tries:
        return _loss(sections, whole, False), [], tuple(whole)
    return min(tries, key=lambda one: one[0])


def _loss(sections: list[list[Paragraph]], left: Sequence[Paragraph], parted: bool) -> tuple[int, bool, int]:
    """How much is lost where some paragraphs find no room: the first sections are worth most. Signs, which
    another sheet tells too, are worth less than steps that stand together."""
    worth = [10 ** (2 * n) for n in range(len(sections) - 1, -1, -1)]
    lost = sum(w * sum(p in left for p in section) for w, section in zip(worth, sections, strict=True))
    return lost // worth[-2], parted, lost


def _one_after_another(
    sections: list[list[Paragraph]], columns: list[Box]
) -> tuple[list[Item], tuple[Paragraph, ...], bool]:
    """Sections down the columns; one that would be cut starts the next column if that takes it whole, and
    what is left of the column before waits behind the others. And whether one was cut all the same."""
    items: list[Item] = []
    parted = False
    lost: list[Paragraph] = []
    rooms = list(columns)
    for section in sections:
        if not rooms:
            lost += section
            continue
        here = text_and_tables.flow_text(section, rooms[:1])
        if here.left_over and len(rooms) > 1:
            after = text_and_tables.flow_text(section, rooms[1:2])
            if not after.left_over:
                rooms, here = [*rooms[1:], rooms[0]], after
            else:
                here, through = _through(section, rooms)
                rooms = through
                parted |= section is not sections[-1]  # the legend may go on
        elif here.left_over:
            rooms = []
        if here.left_over and section is sections[-1]:  # all of the legend on one sheet of notes
            lost += section
            continue
        items += here.items
        if here.left_over:
            lost += [*([] if here.left_over[0].keep else section[:1]), *here.left_over]
            rooms = []
        elif rooms:
            rooms[0] = rooms[0]._replace(top=here.bottom - 4.0)
    return items, tuple(lost), parted


def _through(section: list[Paragraph], rooms: list[Box]) -> tuple[text_and_tables.Flowed, list[Box]]:
    """A section cut over as many columns as it takes, and the columns that remain, its last one first."""
    for count in range(2, len(rooms) + 1):
        flowed = text_and_tables.flow_text(section, rooms[:count])
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


def _title(notes_input: PlanNotesInput, room: Box, paper: PaperSize) -> tuple[list[Item], float]:
    """North, title, scale and bar scale at the head of a room; returns where they end."""
    locale, part = notes_input.locale, notes_input.part
    bearing = notes_input.design.project.heading(notes_input.patio.name)
    heading = notes_input.runs[0].line
    east = angle((heading.edge[1][0] - heading.edge[0][0], heading.edge[1][1] - heading.edge[0][1]))
    turn = degrees(bearing) + east - 90.0
    middle = (room.left + NORTH, room.top - NORTH)  # whichever way it points it keeps within a circle
    foot = moved(middle, (-sin(radians(turn)), cos(radians(turn))), -NORTH_FOOT)
    items: list[Item] = symbols.north(foot, turn, locale.label("paper.n"))
    left, wide = room.left + 2 * NORTH + 2.0, room.width - 2 * NORTH - 2.0
    head = locale.label("paper.plan")
    if part.run:
        head = locale.label("paper.plan_part", run=part.run, start=part.start, end=part.end)
    if len(notes_input.design.layouts) > 1:
        head = locale.label("paper.of_patio", title=head, patio=notes_input.patio.name)
    size = 5.0 if fonts.width(head, 5.0, True) <= wide else 3.5
    paragraphs = [Paragraph(head, size, bold=True)]
    scale = locale.label("paper.plan_scale", scale=notes_input.scale, sheet=paper.name)
    paragraphs.append(Paragraph(scale, before=2.0))
    paragraphs.append(Paragraph(_patio_note(notes_input.patio, locale), before=1.6))
    flowed = text_and_tables.flow_text(paragraphs, [Box(left, room.bottom, left + wide, room.top)])
    items += flowed.items
    return _bar(notes_input, items, left, wide, min(flowed.bottom, room.top - 13.0) - 4.5)


def _patio_note(patio: Patio, locale: Locale) -> str:
    lengths = tuple(locale.number(run.length, "length") for run in patio.runs)
    depths = [patio.depth_over(n) for n in range(len(patio.runs))]
    unlike = depths[:1] if len(set(depths)) == 1 else depths
    deep = tuple(locale.number(depth, "length") for depth in unlike)
    low, high = lowest_and_highest(patio)
    told = locale.number(high, "length")
    if low < high:
        told = locale.label("paper.heights", low=locale.number(low, "length", like=high), high=told)
    return locale.label("paper.patio_note", lengths=lengths, depths=deep, height=told)


def _bar(
    notes_input: PlanNotesInput, items: list[Item], left: float, wide: float, y: float
) -> tuple[list[Item], float]:
    locale = notes_input.locale
    marks: tuple[tuple[int, str], ...]
    if locale.units == "us":
        steps, step, marks = 10, parse("1 ft", "length"), ((0, "0"), (5, "5 ft"), (10, "10 ft"))
    else:
        steps, step, marks = 6, 0.5, ((0, "0"), (2, "1 m"), (4, "2 m"), (6, "3 m"))
    long = frame.bar_length(notes_input.scale, steps, step)
    items += frame.bar_scale((left, y - 1.6), notes_input.scale, steps, step, marks)
    words = Paragraph(
        locale.label(f"paper.bar_{locale.units}", millimetres=f"{long:.1f}", length=long / 1000)
    )
    beside = wide - long - 9.0 > 60.0
    at = (left + long + 9.0, y + 0.6) if beside else (left, y - 8.5)
    drawn, bottom = text_and_tables.set_paragraph(words, at, wide - long - 9.0 if beside else wide)
    items += drawn
    return items, min(bottom, y - 7.0)


# ------------------------------------------------------------------ what to do


def _look_first(notes_input: PlanNotesInput) -> tuple[list[Paragraph], list[Paragraph]]:
    """What asks for a look before work; and what is good to know, for after the work is told."""
    locale, layout = notes_input.locale, notes_input.design.layout_of(notes_input.patio.name)
    look_first, also = [_head("paper.look_first", notes_input)], list[Paragraph]()
    word = locale.label("paper.stop")
    for finding in notes_input.findings:
        if not _concerns(finding, notes_input):
            continue
        text = locale.say(finding.finding)
        sign = sign_of(finding, word) if finding.look else "–"
        indent = (16.0 if finding.stop else 10.0) if finding.look else 4.0
        (look_first if finding.look else also).append(Paragraph(text, sign=sign, indent=indent, before=2.6))
    if layout.marks and not (layout.holes.stop or layout.holes.stop_drilled):
        assumed = notes_input.design.project.joists_assumed(layout.patio)
        words = wood_missed(layout, locale, assumed)
    else:
        words = "" if notes_input.findings else locale.label("paper.nothing_first")
    if words:
        look_first.append(Paragraph(words, bold=True, before=2.6))
    names = [name for name, how in notes_input.sketch.ladders.items() if how == "names"]
    if names:
        look_first.append(
            Paragraph(locale.label("paper.see_table", runs=tuple(names)), bold=True, before=2.6)
        )
    if notes_input.sketch.unplaced_tags:
        look_first.append(Paragraph(locale.label("paper.no_room"), bold=True, before=2.6, keep=True))
    for lines in notes_input.sketch.unplaced_tags:
        look_first.append(Paragraph(", ".join(lines), sign="–", indent=4.0))
    if also:
        also.insert(0, text_and_tables.heading(locale.label("paper_check.also")))
    return look_first, also


def _head(key: str, notes_input: PlanNotesInput) -> Paragraph:
    """With the patio where there are several: on a sheet of notes theirs meet, each numbered from 1."""
    words = notes_input.locale.label(key, run=notes_input.part.run)
    if len(notes_input.design.layouts) > 1:
        words = notes_input.locale.label("paper.of_patio", title=words, patio=notes_input.patio.name)
    return text_and_tables.heading(words)


def _concerns(numbered_finding: NumberedFinding, notes_input: PlanNotesInput) -> bool:
    """Is a finding about what this sheet shows?"""
    finding = numbered_finding.finding
    other_run = {place_in_patio(finding, notes_input.patio.name), finding.value("run")}.intersection(
        plan_run.run.name for plan_run in notes_input.runs if plan_run not in notes_input.shown
    )
    shown = {
        mark.name for plan_run in notes_input.shown for mark in plan_run.marks if notes_input.part.shows(mark)
    }
    return not other_run and (not numbered_finding.marks or bool(shown.intersection(numbered_finding.marks)))


def sign_of(numbered_finding: NumberedFinding, word: str) -> Sign:
    if numbered_finding.stop:
        return lambda at: symbols.stop((at[0] + 0.6, at[1]), numbered_finding.number, word)
    return lambda at: symbols.warning((at[0], at[1] + 0.3), numbered_finding.number)


def _set_out(notes_input: PlanNotesInput) -> list[Paragraph]:
    locale = notes_input.locale
    run = notes_input.part.run  # of each run's sheet under its own head: elsewhere they meet
    key = "paper.set_out_run" if run else "paper.set_out"
    paragraphs = [_head(key, notes_input)]
    hole = drill_size(notes_input.patio, notes_input.design.line, locale.units)
    paragraphs.append(Paragraph(locale.label("paper.drill", hole=hole), bold=True))
    steps = [
        locale.label(
            "paper.hook", run=_hooked(plan_run), surface=plan_run.run.hooked_on,
            toward=tape_direction(plan_run, notes_input.runs, notes_input.design, locale),
            count=len(plan_run.marks),
        )
        for plan_run in notes_input.shown
    ]  # fmt: skip
    steps.append(locale.label("paper.read"))
    lengths = tuple(
        locale.label("paper.check_of", run=plan_run.run.name, length=plan_run.run.length)
        for plan_run in notes_input.shown
    )
    steps.append(locale.label("paper.check_last", lengths=lengths, limit=CHECK_WITHIN))
    backs: dict[float, list[str]] = {}
    for plan_run in notes_input.shown:
        backs.setdefault(round(plan_run.line.back, 6), []).append(plan_run.run.name)
    for back, names in backs.items():
        key = "paper.line_back" if len(backs) == 1 else "paper.line_back_of"
        steps.append(locale.label(key, back=back, runs=tuple(names)))
    steps.append(locale.label("paper.hold", along=MARK_ALONG, across=MARK_ACROSS))
    return paragraphs + [Paragraph(step, sign=str(n), indent=6.0) for n, step in enumerate(steps, 1)]


def _hooked(plan_run: PlanRun) -> str:
    """A datum, and of a second row the row that is meant."""
    return f"{plan_run.of} ({plan_run.run.name})" if plan_run.second else plan_run.of


def tape_direction(plan_run: PlanRun, runs: Sequence[PlanRun], design: Design, locale: Locale) -> str:
    """Where the tape is pulled, by the compass where the heading is stated."""
    if "place.bearing" in design.project.assumed:
        return locale.label("paper.toward_far")
    first = runs[0].line
    start = angle((first.edge[1][0] - first.edge[0][0], first.edge[1][1] - first.edge[0][1]))
    patio = next(patio.name for patio in design.project.patios if plan_run.run in patio.rows)
    heading = design.project.heading(patio) - radians(plan_run.turn - start)
    return locale.label(f"word.{compass_point(heading)}")
