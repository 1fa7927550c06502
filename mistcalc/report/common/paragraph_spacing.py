"""Paragraphs set closer together, for words that then find room."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from mistcalc.drawing.text_and_tables import Paragraph

CLOSE, CLOSE_HEAD = 0.3, 0.6  # shares of the usual space over a paragraph; over a head, and below it


def closer(paragraphs: Iterable[Paragraph]) -> list[Paragraph]:
    """With less between paragraphs, for words that then need no page more. A drawn sign is taller than its
    words and keeps its space."""
    made: list[Paragraph] = []
    for one in paragraphs:
        drawn = one.sign is not None and not isinstance(one.sign, str)
        below = bool(made and made[-1].keep)
        share = 1.0 if drawn or below else CLOSE_HEAD if one.keep else CLOSE
        made.append(replace(one, before=share * one.before))
    return made
