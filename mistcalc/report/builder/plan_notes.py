"""The words on a ceiling plan, set into the largest empty rectangles: title, bar scale, what to do, signs."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import radians

from mistcalc.drawing import line_geometry, symbols, text_and_tables
from mistcalc.drawing.boxes import Box, Point, largest_empty
from mistcalc.drawing.frame import PaperSize
from mistcalc.drawing.sheet import Item
from mistcalc.drawing.text_and_tables import Paragraph
from mistcalc.model.hole_size import drill_size, reaches_farther
from mistcalc.model.practice import CHECK_WITHIN, MARK_ACROSS, MARK_ALONG
from mistcalc.model.results import Design
from mistcalc.report.builder.legend_box import plan_legend
from mistcalc.report.builder.plan_head import plan_title
from mistcalc.report.builder.plan_notes_input import PlanNotesInput
from mistcalc.report.builder.runs_in_plan import PlanRun
from mistcalc.report.common.findings_by_reader import NumberedFinding, place_in_patio
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.mark_position import wood_missed
from mistcalc.report.common.paragraph_spacing import closer
from mistcalc.units import compass_point

TITLE_ROOM = (112.0, 38.0)  # the least room a plan's title and bar scale need [mm]
COLUMN, NARROWEST, GUTTER = 88.0, 46.0, 7.0  # width of a column wanted, at least; space between [mm]
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
    items, top = plan_title(notes_input, room, paper)
    if top < room.bottom:
        return None
    look, also = _look_first(notes_input)
    set_out, legend = _set_out(notes_input), plan_legend(notes_input)
    below = room._replace(top=top - 5.0)
    used, more = [*taken, room.grown(3.0)], []
    for _ in range(3):
        empty_box = largest_empty(zone, used, (NARROWEST + 6.0, 30.0))
        if empty_box is not None:
            more.append(empty_box.grown(-3.0))
            used.append(empty_box)
    drawn, left = _closest((look, set_out, also, legend), below, more)
    if notes_input.part.number > 1 and {p.text for p in set_out}.intersection(p.text for p in left):
        drawn, left = _closest((look, [], also, legend), below, more)  # its run's first sheet tells them
    return Notes((*items, *drawn), left)


def _closest(
    told: tuple[list[Paragraph], ...], below: Box, more: list[Box]
) -> tuple[list[Item], tuple[Paragraph, ...]]:
    """What to look at first, steps, what is good to know and signs, as they lose least; and what is left. Set
    closer where what is done first finds no room, or is cut off from the rest of it."""
    look, set_out, also, legend = told
    sections = [look, [*set_out, *also], legend]
    parts = [part for part in told if part]
    loss, drawn, left = _fill(sections, parts, below, more)
    if loss[0]:
        close, close_parts = ([closer(part) for part in of] for of in (sections, parts))
        again = _fill(close, close_parts, below._replace(top=below.top + 3.0), more)
        loss, drawn, left = min((loss, drawn, left), again, key=lambda one: one[0])
    return drawn, left


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
        assumed = notes_input.design.project.runs_on_assumed_joists(layout.patio)
        wider = reaches_farther(notes_input.patio, notes_input.design.line, locale.units)
        words = wood_missed(layout, locale, assumed, wider)
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
        look_first.append(Paragraph(locale.label("paper.no_room"), bold=True, before=2.6, keep=1))
    for lines in notes_input.sketch.unplaced_tags:
        look_first.append(Paragraph(", ".join(lines), sign="–", indent=4.0))
    if also:
        also.insert(0, text_and_tables.heading(locale.label("paper_check.also"), keep=2))
    return look_first, also


def _head(key: str, notes_input: PlanNotesInput) -> Paragraph:
    """With the patio where there are several: on a sheet of notes theirs meet, each numbered from 1."""
    words = notes_input.locale.label(key, run=notes_input.part.run)
    if len(notes_input.design.layouts) > 1:
        words = notes_input.locale.label("paper.of_patio", title=words, patio=notes_input.patio.name)
    return text_and_tables.heading(words, keep=2)


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
            toward=tape_direction(plan_run, notes_input.design, locale),
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
    steps += _bends(notes_input)
    backs: dict[float, list[str]] = {}
    for plan_run in notes_input.shown:
        backs.setdefault(round(plan_run.line.back, 6), []).append(plan_run.run.name)
    for back, names in backs.items():
        key = "paper.line_back" if len(backs) == 1 else "paper.line_back_of"
        steps.append(locale.label(key, back=back, runs=tuple(names)))
    steps.append(locale.label("paper.hold", along=MARK_ALONG, across=MARK_ACROSS))
    return paragraphs + [Paragraph(step, sign=str(n), indent=6.0) for n, step in enumerate(steps, 1)]


def _bends(notes_input: PlanNotesInput) -> list[str]:
    """How far a string over two runs passes the point where they meet, of each bend of a run shown: no tape
    reads an angle."""
    locale, patio = notes_input.locale, notes_input.patio
    shown = {plan_run.of for plan_run in notes_input.shown}
    lines = notes_input.design.layout_of(patio.name).lid.runs
    told = []
    for run, line, after in zip(patio.runs, lines, lines[1:], strict=False):
        if run.bends and {line.name, after.name} & shown:
            (start, met), (_, end) = line.edge, after.edge
            off = line_geometry.off_line(met, start, end)
            told.append(locale.label("paper.bend_of", run=line.name, other=after.name, off=off))
    return [locale.label("paper.check_bends", bends=tuple(told), limit=CHECK_WITHIN)] if told else []


def _hooked(plan_run: PlanRun) -> str:
    """A datum, and of a second row the row that is meant."""
    return f"{plan_run.of} ({plan_run.run.name})" if plan_run.second else plan_run.of


def tape_direction(plan_run: PlanRun, design: Design, locale: Locale) -> str:
    """Where the tape is pulled, by the compass where the heading is stated."""
    if "place.bearing" in design.project.assumed:
        return locale.label("paper.toward_far")
    patio = next(patio.name for patio in design.project.patios if plan_run.run in patio.rows)
    heading = design.project.heading(patio) - radians(plan_run.turn)
    return locale.label(f"word.{compass_point(heading)}")
