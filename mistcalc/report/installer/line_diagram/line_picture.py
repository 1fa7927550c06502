"""The line diagram for a screen: the paper's own, without the numbers for the wall."""

from __future__ import annotations

from mistcalc.report.common.line_kind import LineJob
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.screen_picture import ON_SCREEN, ScreenPicture, screen_pictures
from mistcalc.report.installer.line_diagram.diagram import diagram_sheets


def line_pictures(design: LineJob, locale: Locale) -> tuple[ScreenPicture, ...]:
    """One; more only where runs are too many for one; none where the line has no marks."""
    return screen_pictures(diagram_sheets(design, ON_SCREEN, locale, wall=False))
