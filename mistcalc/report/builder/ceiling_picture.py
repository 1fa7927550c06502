"""The reflected ceiling plan for a screen: the paper's own."""

from __future__ import annotations

from mistcalc.model.results import Design
from mistcalc.report.builder.ceiling_plan import plan_sheets
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.screen_picture import ON_SCREEN, ScreenPicture, screen_pictures


def ceiling_pictures(design: Design, patio: str, locale: Locale) -> tuple[ScreenPicture, ...]:
    """One; where a patio is too large for one, a run or a part of one each."""
    shown = next(known for known in design.project.patios if known.name == patio)
    return screen_pictures(plan_sheets(design, shown, ON_SCREEN, locale))
