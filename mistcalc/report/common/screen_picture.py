"""A sheet's drawing for a screen: on a smaller sheet, with no border and no strip."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from mistcalc.drawing import svg
from mistcalc.drawing.frame import STRIP, PaperSize
from mistcalc.drawing.sheet import Sheet
from mistcalc.report.common.sheet_draft import SheetDraft

WIDE, TALL = 264.0, 172.0  # mm: so that letters of 2.5 mm are read on a screen of its width
ON_SCREEN = PaperSize("screen", WIDE + STRIP, TALL, 0.0, 0.0, 0.0, 0.0)


@dataclass(frozen=True)
class ScreenPicture:
    """One drawing; `notes`: what it had no room for, in words."""

    drawn: str  # SVG
    notes: tuple[str, ...]


def screen_pictures(drafts: Iterable[SheetDraft]) -> tuple[ScreenPicture, ...]:
    """One a draft, each laid out on ON_SCREEN."""
    return tuple(
        ScreenPicture(
            svg.write(Sheet(WIDE, TALL, draft.items, draft.title)),
            tuple(paragraph.text for paragraph in draft.left_over),
        )
        for draft in drafts
    )
