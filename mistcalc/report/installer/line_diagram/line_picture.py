"""The line diagram for a screen: the paper's own on a smaller sheet, with no border, strip or numbers for the
wall."""

from __future__ import annotations

from dataclasses import dataclass

from mistcalc.drawing import svg
from mistcalc.drawing.frame import STRIP, PaperSize
from mistcalc.drawing.sheet import Sheet
from mistcalc.report.common.line_kind import LineJob
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.installer.line_diagram.diagram import diagram_sheets

WIDE, TALL = 264.0, 172.0  # mm: so that letters of 2.5 mm are read on a screen of its width
ON_SCREEN = PaperSize("screen", WIDE + STRIP, TALL, 0.0, 0.0, 0.0, 0.0)


@dataclass(frozen=True)
class LinePicture:
    """One drawing; `notes`: what it had no room for, in words."""

    drawn: str  # SVG
    notes: tuple[str, ...]


def line_pictures(design: LineJob, locale: Locale) -> tuple[LinePicture, ...]:
    """One; more only where runs are too many for one; none where the line has no marks."""
    drafts = diagram_sheets(design, ON_SCREEN, locale, wall=False)
    return tuple(
        LinePicture(
            svg.write(Sheet(WIDE, TALL, draft.items, draft.title)),
            tuple(paragraph.text for paragraph in draft.left_over),
        )
        for draft in drafts
    )
