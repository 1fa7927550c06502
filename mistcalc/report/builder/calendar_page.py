"""The close-in calendar on one upright page: trades and days, where work holds, and who signs for it."""

from __future__ import annotations

from mistcalc.drawing import fonts, symbols, text_and_tables
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.frame import PaperSize
from mistcalc.drawing.sheet import HEAVY, THIN, Item, LineSegment, Polyline, Text
from mistcalc.drawing.text_and_tables import Paragraph
from mistcalc.model.results import Calendar, CalendarStep, Design
from mistcalc.report.builder.calendar_chart import Chart, block
from mistcalc.report.common.calendar_text import hold_points, hold_title, plastered, when
from mistcalc.report.common.findings_by_reader import about_dates
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.sheet_draft import SheetDraft
from mistcalc.report.common.upright_page import page_head

ROWS = (11.0, 9.2, 8.0, 7.4, 6.4, 5.6)  # heights of a row, the first that finds room on one page
SIGNERS = {
    "open": ("installer", "inspector"), "lath": ("installer", "builder"),
    "brown": ("installer", "plasterer"), "hand_over": ("installer", "owner"),
}  # fmt: skip
SIGNING, NUMBER, GAP = 62.0, 10.0, 2.0  # room to sign in, black square of a hold, between boxes [mm]
WRITING, MOST_TO_WRITE = 7.0, 95.0  # a line to write on, the most room for such [mm]
FOOT = 8.0  # of a page [mm]


def calendar_pages(design: Design, paper: PaperSize, locale: Locale) -> tuple[SheetDraft, ...]:
    """One page; two where steps are many. None where the project says nothing of days."""
    if design.calendar is None:
        return ()
    box = paper.inside.grown(-2.0)
    room = Box(box.left + 2.0, box.bottom + FOOT, box.right - 2.0, box.top - 1.0)
    pages, left = _pages(design, design.calendar, room, locale)
    title = locale.label("paper_calendar.title")
    return tuple(
        SheetDraft(paper, title, tuple(items), left_over=() if n else left, kind="calendar")
        for n, items in enumerate(pages)
    )


def _pages(
    design: Design, calendar: Calendar, room: Box, locale: Locale
) -> tuple[list[list[Item]], tuple[Paragraph, ...]]:
    """All on one page, in rows as high as leave room for it; else hold points, and at last all boxes, on a
    second. And the notes that found no room."""
    needed = _holds(design, calendar, room._replace(bottom=room.top), locale)[1]
    for together in (True, False):
        for row in ROWS:
            items, y, left = _chart(design, calendar, room, row, locale)
            until, under = _until(design, calendar, room._replace(top=y - GAP), locale)
            low = under - (room.top - needed) if together else under
            if low >= room.bottom and not left:
                if together:
                    holds, _ = _holds(design, calendar, room._replace(top=under), locale)
                    return [[*items, *until, *holds]], ()
                return [[*items, *until], _holds(design, calendar, room, locale)[0]], ()
    until, under = _until(design, calendar, room, locale)
    holds, _ = _holds(design, calendar, room._replace(top=under), locale)
    return [items, [*until, *holds]], left


def _chart(
    design: Design, calendar: Calendar, room: Box, row: float, locale: Locale
) -> tuple[list[Item], float, tuple[Paragraph, ...]]:
    """Head, chart and notes, how low they reach, and the notes that found no room."""
    items, top = _head(design, calendar, room, locale)
    drawn, y = Chart(design, calendar, room._replace(top=top), row, locale).draw()
    notes = text_and_tables.flow_text(_notes(design, calendar, locale), [room._replace(top=y)])
    return [*items, *drawn, *notes.items], notes.bottom, notes.left_over


def _head(design: Design, calendar: Calendar, room: Box, locale: Locale) -> tuple[list[Item], float]:
    """Title, and from which day is counted."""
    closed = "" if plastered(design) else "_closed"
    day = f"{when(calendar, calendar.scratch_coat, locale)} {calendar.scratch_coat.year}"
    key = f"paper_calendar.lead{'' if calendar.dated else '_counted'}{closed}"
    lead = locale.label(key, day=day) if calendar.dated else locale.label(key)
    return page_head(design, room, locale.label("paper_calendar.title"), lead, locale)


def _notes(design: Design, calendar: Calendar, locale: Locale) -> list[Paragraph]:
    """What comes after the chart ends, what is wrong with the days, and whose they are to change."""
    last = calendar.days[-1].date
    later = [
        locale.label("paper_calendar.later_step", step=step.name, day=when(calendar, step.first, locale))
        for step in calendar.steps
        if step.first > last
    ]
    words = [Paragraph(locale.label("paper_calendar.later", steps=later))] if later else []
    words.append(Paragraph(locale.label("paper_calendar.key")))
    return words + [
        Paragraph(locale.say(finding), sign=locale.label(f"level.{finding.level}"), indent=13.0)
        for finding in about_dates(design.findings)
    ]


# ------------------------------------------------------------------ what must be, before work goes on


def _until(design: Design, calendar: Calendar, room: Box, locale: Locale) -> tuple[list[Item], float]:
    """What must be so before the first coat, or before the ceiling is closed, each with a box to tick."""
    closed = "" if plastered(design) else "_closed"
    inner = Box(room.left + 4.0, -1e6, room.right - 4.0, room.top - 3.0)
    head = Paragraph(locale.label(f"paper_calendar.until{closed}"), 5.0, bold=True)
    flowed = text_and_tables.flow_text([head], [inner])
    words = [
        Paragraph(text, sign=_tick, indent=7.0, before=1.7) for text in _conditions(design, calendar, locale)
    ]
    middle = (room.left + room.right) / 2
    columns = (
        inner._replace(top=flowed.bottom - 3.4, right=middle - 3.0),
        inner._replace(top=flowed.bottom - 3.4, left=middle + 1.0),
    )
    both = text_and_tables.level(words, columns)
    bottom = min(item.box().bottom for item in both.items) - 3.0
    items = [*flowed.items, *both.items]
    return [*items, *_framed(room._replace(bottom=bottom))], bottom


def _tick(at: tuple[float, float]) -> list[Item]:
    return symbols.tick_box((at[0] - 0.7, at[1]), 3.6)


def _conditions(design: Design, calendar: Calendar, locale: Locale) -> list[str]:
    closed = "" if plastered(design) else "_closed"
    label, marks = locale.label, sum(len(layout.marks) for layout in design.layouts)
    numbers = [n for n, name in enumerate(hold_points(design), 1) if name in ("open", "lath")]
    signed = [label("paper_calendar.until_hold", number=n) for n in numbers]
    holds = label("paper_calendar.until_holds", holds=signed)
    texts = [holds[:1].upper() + holds[1:], label("paper_calendar.until_stubs", count=marks)]
    moved = [fix.move for layout in design.layouts for fix in layout.fixes if fix.purpose == "clearance"]
    if moved:
        texts.append(label("paper_calendar.until_moved", things=tuple(dict.fromkeys(moved))))
    if not closed:
        texts.append(label("paper_calendar.until_lath"))
    if design.hold is not None and design.hold.watch is not None:
        texts.append(label("paper_calendar.until_gauge"))
    return [
        *texts,
        label(f"paper_calendar.until_inspected{closed}"),
        label("paper_calendar.until_code", code=design.code),
    ]


def _holds(design: Design, calendar: Calendar, room: Box, locale: Locale) -> tuple[list[Item], float]:
    """All hold points under their head; what room is left goes to them, to write in."""
    steps = [step for step in calendar.steps if step.hold]
    y = room.top - GAP - 5.0
    head = Text((room.left, y + 0.6), locale.label("paper_calendar.holds"), 3.5, True, layer="NOTE")
    items: list[Item] = [head]
    bottoms = [_hold(design, calendar, step, room, 0.0, locale)[1] for step in steps]
    free = y - room.bottom - sum(room.top - bottom + GAP for bottom in bottoms)
    more = min(max(free / len(steps), 0.0), MOST_TO_WRITE)
    for step in steps:
        drawn, bottom = _hold(design, calendar, step, room._replace(top=y - GAP), more, locale)
        items += drawn
        y = bottom
    return items, y


def _hold(
    design: Design, calendar: Calendar, step: CalendarStep, room: Box, more: float, locale: Locale
) -> tuple[list[Item], float]:
    """One hold point: its number, day and what is held, what to do, and two people to sign. more: room to
    write in [mm]."""
    whole = Box(room.left + NUMBER + 3.0, -1e6, room.right - 4.0, room.top - 2.4)
    day, what = when(calendar, step.last, locale), hold_title(step.hold, locale)
    words = [
        Paragraph(locale.label("paper_calendar.hold_head", day=day, what=what), 3.5, bold=True),
        Paragraph(locale.label(f"paper_calendar.{step.hold}_do"), before=1.4),
    ]
    narrow = whole._replace(right=room.right - SIGNING - 4.0)
    flowed, signed = text_and_tables.flow_text(words, [narrow]), room.top - 5.8
    head = text_and_tables.flow_text(words[:1], [whole])
    below = text_and_tables.flow_text(words[1:], [narrow._replace(top=head.bottom - 1.4)])
    if flowed.bottom < below.bottom:  # a long head goes across, and both sign below it
        flowed, signed = below._replace(items=[*head.items, *below.items]), head.bottom - 3.4
    written = min(flowed.bottom - 2.2, signed - 8.8)
    bottom = written - more
    number = hold_points(design).index(step.hold) + 1
    items = [*flowed.items, *block(Box(room.left, bottom, room.left + NUMBER, room.top), str(number), 5.0)]
    for n, signer in enumerate(SIGNERS[step.hold]):
        items += _blanks(signer, room.right - SIGNING, room.right - 3.0, signed - 6.2 * n, locale)
    for n in range(int((written - bottom) / WRITING)):
        y = written - (n + 1) * WRITING + 2.0
        items.append(LineSegment((whole.left, y), (room.right - 3.0, y), layer="NOTE", pen=THIN))
    return [*items, *_framed(room._replace(bottom=bottom))], bottom


def _blanks(signer: str, left: float, right: float, y: float, locale: Locale) -> list[Item]:
    who = Text((left, y), fonts.fit(locale.label(f"paper_calendar.sign_{signer}"), 2.5, 19.0), layer="NOTE")
    date = Text(
        (right - 19.0, y), fonts.fit(locale.label("paper_calendar.sign_date"), 2.5, 9.0), layer="NOTE"
    )
    ends = ((left + max(16.5, who.width + 1.2), right - 20.5), (date.at[0] + date.width + 1.2, right))
    lines = [LineSegment((a, y - 0.7), (b, y - 0.7), layer="NOTE", pen=THIN) for a, b in ends]
    return [who, date, *lines]


def _framed(box: Box) -> list[Item]:
    return [Polyline(box.corners, True, layer="NOTE", pen=HEAVY)]
