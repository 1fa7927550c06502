"""The legend of a plan: each sign that stands on the sheet, with its meaning."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from mistcalc.drawing import symbols, text_and_tables
from mistcalc.drawing.boxes import Box, Point
from mistcalc.drawing.line_geometry import clip
from mistcalc.drawing.sheet import BLACK, JOINT_PEN, JOIST_PEN, TUBE_PEN, Item, LineSegment, Pen, Polyline
from mistcalc.drawing.text_and_tables import Paragraph
from mistcalc.model.hole_size import drill_size
from mistcalc.model.project import Run
from mistcalc.report.builder import connection_letters
from mistcalc.report.builder.plan_notes_input import PlanNotesInput
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.screens import double_line, drawable_screens

SIGN_ROOM = 18.5  # left of the words of a sign [mm]
ABREAST = 3  # letters in their boxes that find room there
Sign = Callable[[Point], Sequence[Item]]


def plan_legend(notes_input: PlanNotesInput) -> list[Paragraph]:
    """The signs that stand on this sheet, and no others."""
    locale, layout, patio = (
        notes_input.locale,
        notes_input.design.layout_of(notes_input.patio.name),
        notes_input.patio,
    )
    proposed = "_proposed" if patio.plaster.joints == "propose" else ""
    paragraphs = [replace(text_and_tables.heading(locale.label("paper.signs")), whole=True)]
    marks = [mark for mark in layout.marks if notes_input.part.shows(mark)]
    hole = drill_size(patio, notes_input.design.line, locale.units)
    rows: list[tuple[bool, Sign, str]] = [
        (bool(marks), symbols.mark, locale.label("paper.sign_mark", hole=hole)),
        (
            any(m.drilled for m in marks),
            lambda at: symbols.mark(at, True),
            locale.label("paper.sign_drilled"),
        ),
        (
            any(m.locked for m in marks),
            lambda at: symbols.mark(at, False, True),
            locale.label("paper.sign_locked"),
        ),
        _moved_row(notes_input),
        (True, _tube_sign, locale.label("paper.sign_tube")),
        (bool(layout.lid.members), _joist_sign, _joists(notes_input)),
        (bool(layout.lid.joints), _joint_sign, locale.label(f"paper.sign_joint{proposed}")),
    ]
    kinds = {thing.kind for thing in layout.lid.obstacles if notes_input.part.holds(thing.point)}
    rows += [
        ("light" in kinds, symbols.light, locale.label("paper.sign_light")),
        ("fan" in kinds, lambda at: symbols.fan(at, 2.7), locale.label("paper.sign_fan")),
        ("column" in kinds, lambda at: symbols.post(at, 2.6, 2.6), locale.label("paper.sign_post")),
        (
            any(_drawn(notes_input, screen.line) for screen in drawable_screens(layout)),
            _screen_sign,
            locale.label("paper.sign_screen"),
        ),
        (
            any(notes_input.part.holds(plan_run.datum) for plan_run in notes_input.shown),
            _datum_sign,
            locale.label("paper.sign_datum"),
        ),
    ]
    boxes = _boxes_here(notes_input)
    for some in (boxes,) if len(boxes) <= ABREAST else (boxes[:2], boxes[2:]):
        names = "; ".join(locale.label(f"paper.sign_{letter.lower()}") for letter in some)
        rows.append((bool(some), _letters(some), names))
    blocked = any(
        stretch.run in {plan_run.run.name for plan_run in notes_input.shown} for stretch in layout.blocked
    )
    rows.append((blocked, _blocked_sign, locale.label("paper.sign_blocked")))
    paragraphs += [
        Paragraph(words, sign=_as_note(sign), indent=SIGN_ROOM, before=2.7)
        for there, sign, words in rows
        if there
    ]
    return paragraphs


def _boxes_here(notes_input: PlanNotesInput) -> list[str]:
    """The letters whose boxes stand on this sheet, each once."""
    plumbing = notes_input.design.project.plumbing
    places = [
        place for plan_run in notes_input.shown for place in connection_letters.places(plan_run, plumbing)
    ]
    here = {name for name, point, _ in places if notes_input.part.holds(point)}
    letters = {letter for name in here for letter in connection_letters.letters_at(name, plumbing)}
    return sorted(letters, key=connection_letters.ORDER.index)


def _as_note(sign: Sign) -> Sign:
    """A sign of the legend lies on the layer of notes: the layer MARK holds marks and nothing else."""
    return lambda at: [replace(item, layer="NOTE") for item in sign(at)]


def _joists(notes_input: PlanNotesInput) -> str:
    """What the joists are, once for all runs alike."""
    locale = notes_input.locale
    descriptions = dict.fromkeys(_joist(plan_run.run, locale) for plan_run in notes_input.shown)
    return "; ".join(descriptions)


def _joist(run: Run, locale: Locale) -> str:
    framing = run.framing
    if framing.as_framed:
        return locale.label("paper.sign_joist_framed")
    return locale.label("paper.sign_joist", spacing=framing.spacing)


def _letters(letters: Sequence[str]) -> Sign:
    """The boxes of the ends of the tube, side by side."""

    def signs(at: Point) -> list[Item]:
        first = at[0] - 3.0 * (len(letters) - 1)
        return [
            item
            for n, letter in enumerate(letters)
            for item in symbols.letter_box((first + 6.0 * n, at[1]), letter)
        ]

    return signs


def _tube_sign(at: Point) -> list[Item]:
    x, y = at
    tube = LineSegment((x - 6.5, y), (x + 6.5, y), pen=TUBE_PEN)
    return [tube, *symbols.joist_bar((x + 1.0, y), 0.8)]


def _moved_row(notes_input: PlanNotesInput) -> tuple[bool, Sign, str]:
    """The cloud round what moved since the set before; not there where nothing did."""
    change, letter = notes_input.design.change, notes_input.design.project.revision.letter
    if change is None:
        return False, symbols.mark, ""
    there = any(one.now is not None for one in change.of_patio(notes_input.patio.name))
    words = notes_input.locale.label("paper_change.sign_cloud", before=change.before.letter, letter=letter)
    return there, _moved_sign(letter), words


def _moved_sign(letter: str) -> Sign:
    """A small cloud with the revision's letter beside it."""

    def signs(at: Point) -> list[Item]:
        x, y = at
        box = Box(x - 6.5, y - 1.3, x - 1.7, y + 1.3)
        return [*symbols.cloud(box), *symbols.revision((x + 3.6, y + 0.3), letter, tall=5.4)]

    return signs


def _blocked_sign(at: Point) -> list[Item]:
    return symbols.blocked((at[0] - 5, at[1] + 1), (at[0] + 5, at[1] + 1), -90)


def _datum_sign(at: Point) -> list[Item]:
    """The triangle at two thirds of its size."""
    x, y = at
    corners = ((x + 2.0, y), (x - 2.0, y - 2.7), (x - 2.0, y + 2.7))
    return [Polyline(corners, True, BLACK, pen=Pen(0))]


def _joist_sign(at: Point) -> list[Item]:
    return [LineSegment((at[0] - 6.5, at[1]), (at[0] + 6.5, at[1]), pen=JOIST_PEN)]


def _drawn(notes_input: PlanNotesInput, line: tuple[Point, Point]) -> bool:
    return clip(line, notes_input.part.window) is not None


def _screen_sign(at: Point) -> list[LineSegment]:
    return double_line(((at[0] - 7.0, at[1] + 1.25), (at[0] + 7.0, at[1] + 1.25)), "NOTE")


def _joint_sign(at: Point) -> list[Item]:
    return [LineSegment((at[0] - 7.0, at[1]), (at[0] + 7.0, at[1]), pen=JOINT_PEN)]
