"""Head of an upright page without a strip: what it is for, whose job, its code; its title over a rule."""

from __future__ import annotations

from mistcalc.drawing import fonts, symbols, text_and_tables
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.sheet import HEAVY, Item, LineSegment, Text
from mistcalc.drawing.text_and_tables import Paragraph
from mistcalc.model.results import Design
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.mirrored_name import job_name


def page_head(
    design: Design, room: Box, title: str, lead: str, locale: Locale, lead_height: float = 2.5
) -> tuple[list[Item], float]:
    """The head along the top of a room, and where what follows begins."""
    label, project = locale.label, design.project
    status = locale.word(project.revision.status).upper()
    if design.line_verdict.fails:
        status = label("paper.do_not_build")
    status = fonts.fit(status, 3.5, 60.0, True)
    wide = fonts.width(status, 3.5, True) + 8.0
    middle = (room.left + wide / 2, room.top - 4.0)
    code = Text((room.right, room.top - 6.5), design.code, 5.0, True, align="right", layer="NOTE")
    job = label("paper_calendar.job", name=job_name(project, locale), letter=project.revision.letter)
    left = room.left + wide + 5.0
    words = [Paragraph(title, 7.0, bold=True), Paragraph(lead, lead_height, before=2.0)]
    flowed = text_and_tables.flow_text(words, [room._replace(top=room.top - 12.0)])
    y = flowed.bottom - 2.0
    return [
        *symbols.frame_box(middle, wide, 8.0),
        Text((middle[0], middle[1] - 1.75), status, 3.5, True, align="middle", layer="NOTE"),
        Text((left, room.top - 5.2), fonts.fit(job, 2.5, code.start[0] - 6.0 - left), layer="NOTE"),
        code,
        *flowed.items,
        LineSegment((room.left, y), (room.right, y), layer="NOTE", pen=HEAVY),
    ], y - 2.0
