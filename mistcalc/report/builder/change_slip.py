"""The change slip: what moved since the set before, what the crew does about it, and lines to sign.

A page, more where many marks moved; it is filed with the set it replaces.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from mistcalc.drawing import fonts, symbols, text_and_tables
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.frame import PaperSize
from mistcalc.drawing.sheet import BOLD, FINE, MEDIUM, THIN, Item, LineSegment, Pen, Text
from mistcalc.drawing.text_and_tables import Paragraph
from mistcalc.model.results import Design, MarkChange, PlanChange
from mistcalc.report.common.change_text import MOST_NAMED, moved_by, things_told, why_moved
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.mirrored_name import job_name
from mistcalc.report.common.sheet_draft import SheetDraft

COLUMNS = {"mark": 17.0, "was": 27.0, "now": 31.0, "moved": 25.0, "drilled": 15.0}  # the rest: why
LINE, ROW_PAD = 3.9, 2.4  # from line to line of a row, over and under them [mm]
SIGN_ROOM = 40.0  # of the lines to sign
MOST_THINGS = 12


def change_slips(design: Design, paper: PaperSize, locale: Locale) -> list[SheetDraft]:
    """Nothing where the set replaces none."""
    change = design.change
    if change is None:
        return []
    inside = paper.inside.grown(-6.0)
    room = inside._replace(bottom=inside.bottom + 4.0)
    title = locale.label("paper_change.short")
    pages: list[list[Item]] = []
    left = list(change.marks)
    while left or not pages:
        items, y = _head(design, change, room, locale, first=not pages)
        if left:
            count, y = _rows(items, left, change.before.letter, room._replace(top=y), locale)
            left = left[max(1, count) :]
        pages.append(items)
    for size in (3.5, 2.5):  # of what to do: smaller rather than on a page of its own
        closing, height = _closing(design, change, room, size, locale)
        if y - 5.0 - height >= room.bottom:
            break
    else:
        items, y = _head(design, change, room, locale, first=False)
        pages.append(items)
    pages[-1] += closing(y - 5.0)
    return [SheetDraft(paper, title, tuple(items), kind="change") for items in pages]


def _head(
    design: Design, change: PlanChange, room: Box, locale: Locale, first: bool
) -> tuple[list[Item], float]:
    letter, before = design.project.revision.letter, change.before
    values = {"letter": letter, "before": before.letter, "code": design.code, "old_code": before.code}
    paragraphs = [Paragraph(locale.label("paper_change.title", **values), 7.0, bold=True)]
    if first:
        paragraphs.append(
            Paragraph(
                fonts.fit(job_name(design.project, locale), 3.5, room.width, True), 3.5, bold=True, before=2.5
            )
        )
        paragraphs.append(Paragraph(locale.label("paper_change.replaces", **values), before=1.5))
        counts = {"moved": len(change.marks), "of": change.of, "standing": change.standing}
        key = "none" if not change.marks else "count" if change.standing else "count_all"
        paragraphs.append(
            Paragraph(locale.label(f"paper_change.{key}", **values, **counts), 3.5, bold=True, before=4.0)
        )
    flowed = text_and_tables.flow_text(paragraphs, [room])
    return list(flowed.items), flowed.bottom - 4.0


def _write(items: list[Item], x: float, y: float, words: str, size: float = 2.5, bold: bool = False) -> None:
    items.append(Text((x, y), words, size, bold, layer="NOTE"))


def _line(items: list[Item], start: float, end: float, y: float, pen: Pen) -> None:
    items.append(LineSegment((start, y), (end, y), layer="NOTE", pen=pen))


# ------------------------------------------------------------------ the table


def _rows(
    items: list[Item], changes: Sequence[MarkChange], letter: str, room: Box, locale: Locale
) -> tuple[int, float]:
    """The table of what moved, as far down as the room goes: how many rows it took, and its lower edge."""
    lefts, x = {}, room.left
    for name, width in COLUMNS.items():
        lefts[name] = x
        x += width
    lefts["why"] = x
    y = room.top
    _line(items, room.left, room.right, y, BOLD)
    for name, left in lefts.items():
        _write(items, left + 1.0, y - 4.6, locale.label(f"paper_change.{name}"), bold=True)
    y -= 7.0
    _line(items, room.left, room.right, y, BOLD)
    for number, one in enumerate(changes):
        lines = fonts.wrap(why_moved(one, letter, locale), 2.5, room.right - x - 2.0)
        moved = fonts.wrap(moved_by(one, locale), 2.5, COLUMNS["moved"] - 2.0)
        height = max(8.0, LINE * max(len(lines), len(moved)) + 2 * ROW_PAD - 1.0)
        if y - height < room.bottom:
            return number, y
        _row(items, one, lefts, y, (lines, moved), locale)
        y -= height
        _line(items, room.left, room.right, y, FINE)
    return len(changes), y


def _row(
    items: list[Item], one: MarkChange, lefts: dict[str, float], top: float,
    words: tuple[Sequence[str], Sequence[str]], locale: Locale,
) -> None:  # fmt: skip
    base = top - ROW_PAD - 3.5
    dash = locale.label("paper_change.nowhere")
    now = dash if one.now is None else locale.tape(one.now)
    mark = fonts.fit(fonts.clean(one.name), 3.5, COLUMNS["mark"] - 2.0, True)
    _write(items, lefts["mark"] + 1.0, base, mark, 3.5, True)
    _write(items, lefts["now"] + 1.0, base, now, 3.5, True)
    was = dash if one.was is None else locale.tape(one.was)
    left = lefts["was"] + 1.0
    _write(items, left, base, was, 3.5)
    if one.was is not None and one.was != one.now:
        _line(items, left - 0.6, left + fonts.width(was, 3.5) + 0.6, base + 1.6, MEDIUM)
    sign = (lefts["drilled"] + 6.0, base + 1.75)
    items += [_as_note(item) for item in symbols.mark(sign, one.drilled)] if one.now is not None else []
    for left, lines in ((lefts["why"], words[0]), (lefts["moved"], words[1])):
        for n, line in enumerate(lines):
            _write(items, left + 1.0, base + 0.7 - n * LINE, line)


def _as_note(item: Item) -> Item:
    """The layer MARK holds the marks of the plan and nothing else."""
    return replace(item, layer="NOTE")


# ------------------------------------------------------------------ what to do, and who knows


def _closing(design: Design, change: PlanChange, room: Box, size: float, locale: Locale):  # type: ignore[no-untyped-def]
    """What draws things as found, what to do and the lines to sign from a height down, and how tall that
    is."""
    paragraphs = [*_found(change, locale), *_do_this(design, change, size, locale)]
    trial = text_and_tables.flow_text(paragraphs, [room._replace(bottom=room.top - 1e4)])
    height = room.top - trial.bottom + 6.0 + SIGN_ROOM

    def draw(top: float) -> list[Item]:
        flowed = text_and_tables.flow_text(paragraphs, [room._replace(top=top, bottom=top - 1e4)])
        return [*flowed.items, *_to_sign(design, change, room._replace(top=flowed.bottom - 6.0), locale)]

    return draw, height


def _found(change: PlanChange, locale: Locale) -> list[Paragraph]:
    told = things_told(change, locale)
    if not told:
        return []
    if len(told) > MOST_THINGS:
        told[MOST_THINGS:] = [locale.label("change.more", count=len(told) - MOST_THINGS)]
    head = text_and_tables.heading(locale.label("paper_change.found", letter=change.before.letter))
    return [head, *(Paragraph(line, sign="–", indent=4.0) for line in told)]


def _do_this(design: Design, change: PlanChange, size: float, locale: Locale) -> list[Paragraph]:
    label = locale.label
    anew = [one for one in change.marks if one.now is not None and not one.drilled]
    steps = [
        label("paper_change.mark_again", mark=one.name, now=one.now)
        for one in anew[:MOST_NAMED]
        if one.was is not None
    ]
    steps += [
        label("paper_change.mark_new", mark=one.name, now=one.now)
        for one in anew[:MOST_NAMED]
        if one.was is None
    ]
    if len(anew) > MOST_NAMED:
        steps.append(label("paper_change.mark_rest", marks=tuple(one.name for one in anew[MOST_NAMED:])))
    if gone := tuple(one.name for one in change.marks if one.now is None):
        steps.append(label("paper_change.strike", marks=gone))
    if drilled := tuple(one.name for one in change.marks if one.drilled and one.now is not None):
        steps.append(label("paper_change.leave", marks=drilled))
    if stop := tuple(name for layout in design.layouts for name in layout.holes.stop_drilled):
        steps.append(label("paper_change.stop", marks=stop))
    steps.append(label("paper_change.take_down", old_code=change.before.code, code=design.code))
    head = text_and_tables.heading(label("paper_change.do_this"))
    return [
        head,
        *(Paragraph(step, size, sign=str(n), indent=2 * size, before=2.0) for n, step in enumerate(steps, 1)),
    ]


def _to_sign(design: Design, change: PlanChange, room: Box, locale: Locale) -> list[Item]:
    """A frame with a line and a date for the builder and the installer."""
    label = locale.label
    box = Box(room.left, room.top - SIGN_ROOM + 6.0, room.left + min(room.width, 150.0), room.top)
    items: list[Item] = symbols.frame_box(box.middle, box.width, box.height)
    values = {"letter": design.project.revision.letter, "before": change.before.letter}
    _write(items, box.left + 4.0, box.top - 7.0, label("paper_change.known", **values), 3.5, True)
    for n, who in enumerate(("builder", "installer")):
        y = box.top - 17.0 - 10.0 * n
        _write(items, box.left + 4.0, y, label(f"paper_change.{who}"))
        _line(items, box.left + 28.0, box.left + 96.0, y - 0.7, THIN)
        _write(items, box.left + 100.0, y, label("paper_change.date"))
        _line(items, box.left + 111.0, box.right - 4.0, y - 0.7, THIN)
    return items
