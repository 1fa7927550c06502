"""The legend of a plan: each sign that stands on the sheet, with its meaning."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from mistcalc.drawing import flow, symbols
from mistcalc.drawing.boxes import Point
from mistcalc.drawing.flow import Paragraph
from mistcalc.drawing.sheet import BLACK, JOINT_PEN, JOIST_PEN, TUBE_PEN, Item, Line, Pen, Polyline
from mistcalc.model.project import Run
from mistcalc.report import line_letters
from mistcalc.report.hole import hole_of
from mistcalc.report.noted import Noted
from mistcalc.report.paths import clip
from mistcalc.report.screens import double_line, near
from mistcalc.report.voice import Voice

SIGN_ROOM = 18.5  # left of the words of a sign [mm]
Sign = Callable[[Point], Sequence[Item]]


def legend(noted: Noted) -> list[Paragraph]:
    """The signs that stand on this sheet, and no others."""
    voice, layout, patio = noted.voice, noted.design.layout_of(noted.patio.name), noted.patio
    told = [flow.heading(voice.label("paper.signs"))]
    marks = [mark for mark in layout.marks if noted.part.shows(mark)]
    hole = hole_of(patio, noted.design.line, voice.units)
    rows: list[tuple[bool, Sign, str]] = [
        (bool(marks), symbols.mark, voice.label("paper.sign_mark", hole=hole)),
        (any(m.drilled for m in marks), lambda at: symbols.mark(at, True), voice.label("paper.sign_drilled")),
        (
            any(m.locked for m in marks),
            lambda at: symbols.mark(at, False, True),
            voice.label("paper.sign_locked"),
        ),
        (True, _tube_sign, voice.label("paper.sign_tube")),
        (bool(layout.lid.members), _joist_sign, _joists(noted)),
        (bool(layout.lid.joints), _joint_sign, voice.label("paper.sign_joint")),
    ]
    kinds = {thing.kind for thing in layout.lid.obstacles if noted.part.holds(thing.point)}
    rows += [
        ("light" in kinds, symbols.light, voice.label("paper.sign_light")),
        ("fan" in kinds, lambda at: symbols.fan(at, 2.7), voice.label("paper.sign_fan")),
        ("column" in kinds, lambda at: symbols.post(at, 2.6, 2.6), voice.label("paper.sign_post")),
        (
            any(_drawn(noted, one.line) for one in near(layout)),
            _screen_sign,
            voice.label("paper.sign_screen"),
        ),
        (
            any(noted.part.holds(lie.datum) for lie in noted.shown),
            _datum_sign,
            voice.label("paper.sign_datum"),
        ),
    ]
    plumbing = noted.design.project.plumbing
    places = [place for lie in noted.shown for place in line_letters.places(lie, plumbing)]
    here = {name for name, point, _ in places if noted.part.holds(point)}
    letters = {letter for name in here for letter in line_letters.letters_at(name, plumbing)}
    boxes = sorted(letters, key=line_letters.ORDER.index)
    names = "; ".join(voice.label(f"paper.sign_{letter.lower()}") for letter in boxes)
    rows.append((bool(boxes), _letters(boxes), names))
    blocked = any(stretch.run in {lie.run.name for lie in noted.shown} for stretch in layout.blocked)
    rows.append((blocked, _blocked_sign, voice.label("paper.sign_blocked")))
    told += [
        Paragraph(words, sign=_as_note(sign), indent=SIGN_ROOM, before=2.7)
        for there, sign, words in rows
        if there
    ]
    return told


def _as_note(sign: Sign) -> Sign:
    """A sign of the legend lies on the layer of notes: the layer MARK holds marks and nothing else."""
    return lambda at: [replace(item, layer="NOTE") for item in sign(at)]


def _joists(noted: Noted) -> str:
    """What the joists are, once for all runs alike."""
    voice = noted.voice
    told = dict.fromkeys(_joist(lie.run, voice) for lie in noted.shown)
    return "; ".join(told)


def _joist(run: Run, voice: Voice) -> str:
    framing = run.framing
    if framing.as_framed:
        return voice.label("paper.sign_joist_framed")
    return voice.label("paper.sign_joist", spacing=framing.spacing)


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
    tube = Line((x - 6.5, y), (x + 6.5, y), pen=TUBE_PEN)
    return [tube, *symbols.joist_bar((x + 1.0, y), 0.8)]


def _blocked_sign(at: Point) -> list[Item]:
    return symbols.blocked((at[0] - 5, at[1] + 1), (at[0] + 5, at[1] + 1), -90)


def _datum_sign(at: Point) -> list[Item]:
    """The triangle at two thirds of its size."""
    x, y = at
    corners = ((x + 2.0, y), (x - 2.0, y - 2.7), (x - 2.0, y + 2.7))
    return [Polyline(corners, True, BLACK, pen=Pen(0))]


def _joist_sign(at: Point) -> list[Item]:
    return [Line((at[0] - 6.5, at[1]), (at[0] + 6.5, at[1]), pen=JOIST_PEN)]


def _drawn(noted: Noted, line: tuple[Point, Point]) -> bool:
    return clip(line, noted.part.window) is not None


def _screen_sign(at: Point) -> list[Line]:
    return double_line(((at[0] - 7.0, at[1] + 1.25), (at[0] + 7.0, at[1] + 1.25)), "NOTE")


def _joint_sign(at: Point) -> list[Item]:
    return [Line((at[0] - 7.0, at[1]), (at[0] + 7.0, at[1]), pen=JOINT_PEN)]
