"""One page before it knows its number: what is drawn on it and what its right strip says."""

from __future__ import annotations

from dataclasses import dataclass

from mistcalc.drawing.frame import PaperSize, StripSection
from mistcalc.drawing.sheet import Item
from mistcalc.drawing.text_and_tables import Paragraph


@dataclass(frozen=True)
class SheetDraft:
    """`left_over`: writing that found no room here and goes on a sheet of notes.

    kind: plan, table, notes, check, owner, calendar: which words its strip holds.
    """

    paper: PaperSize
    title: str
    items: tuple[Item, ...]
    patio: str = ""
    scale: str = ""
    left_over: tuple[Paragraph, ...] = ()
    kind: str = "plan"
    sections: tuple[StripSection, ...] = ()
