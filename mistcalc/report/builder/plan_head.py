"""The head of a ceiling plan: north, title, scale and bar scale."""

from __future__ import annotations

from math import cos, degrees, radians, sin

from mistcalc.drawing import fonts, frame, symbols, text_and_tables
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.frame import PaperSize
from mistcalc.drawing.line_geometry import moved
from mistcalc.drawing.sheet import Item
from mistcalc.drawing.text_and_tables import Paragraph
from mistcalc.model.lid_heights import lowest_and_highest
from mistcalc.model.project import Patio
from mistcalc.report.builder.plan_notes_input import PlanNotesInput
from mistcalc.report.common.locale_text import Locale
from mistcalc.units import parse

NORTH, NORTH_FOOT = 9.5, 8.0  # half the room of the north arrow with its letter; from its middle to its foot


def plan_title(notes_input: PlanNotesInput, room: Box, paper: PaperSize) -> tuple[list[Item], float]:
    """North, title, scale and bar scale at the head of a room; returns where they end."""
    locale, part = notes_input.locale, notes_input.part
    bearing = notes_input.design.project.heading(notes_input.patio.name)
    turn = degrees(bearing) - 90.0
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
    depths = [patio.depths_over(n) for n in range(len(patio.runs))]
    unlike = depths[:1] if len(set(depths)) == 1 else depths
    deep = tuple(_deep(*pair, locale) for pair in unlike)
    low, high = lowest_and_highest(patio)
    told = locale.number(high, "length")
    if low < high:
        told = locale.label("paper.heights", low=locale.number(low, "length", like=high), high=told)
    return locale.label("paper.patio_note", lengths=lengths, depths=deep, height=told)


def _deep(start: float, end: float, locale: Locale) -> str:
    first, last = (locale.number(depth, "length") for depth in (start, end))
    return first if start == end else locale.label("paper.heights", low=first, high=last)


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
