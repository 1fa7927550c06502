"""The owner's last page: cautions, and a card for each season. What the card asks for is common practice."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from mistcalc.drawing import flow
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.flow import Paragraph
from mistcalc.drawing.frame import Paper
from mistcalc.drawing.sheet import BOLD, Line
from mistcalc.model.results import Design
from mistcalc.report.leaf import Leaf
from mistcalc.report.voice import Voice

CARD = ("start", "weeks", "filter", "idle", "wear", "frost")
BLANK = "_" * 40


def care_leaf(design: Design, paper: Paper, voice: Voice, left: Sequence[Paragraph]) -> Leaf:
    """One page a job. left: what the pages before had no room for, a dash before what is of an afternoon."""
    room = paper.inside.grown(-2.0)
    column = Box(room.left + 4.0, room.bottom + 7.0, room.right - 4.0, room.top - 2.0)
    title = flow.flow([Paragraph(voice.label("paper_care.title"), 7.0, bold=True)], [column])
    y = title.bottom - 3.0
    told, below = [*_told(left, voice), *_card(design, voice)], [column._replace(top=y - 4.0)]
    drawn = flow.flow(flow.larger(told), below)
    drawn = flow.flow(told, below) if drawn.left_over else drawn
    line = Line((column.left, y), (column.right, y), layer="NOTE", pen=BOLD)
    return Leaf(paper, voice.label("paper_owner.short"), (*title.items, line, *drawn.items), kind="owner")


def _told(left: Sequence[Paragraph], voice: Voice) -> Iterator[Paragraph]:
    """Cautions first: the afternoons that found no room go under a head of their own."""
    yield from (replace(one, before=2.4) for one in left if one.sign is None)
    days = [one for one in left if one.sign is not None]
    if days:
        yield flow.heading(voice.label("paper_care.days"))
        yield from days


def _card(design: Design, voice: Voice) -> Iterator[Paragraph]:
    label, use = voice.label, design.use
    yield flow.heading(label("paper_care.season"))
    told = [label(f"paper_care.{name}") for name in CARD]
    hidden = any(patio.plaster.system != "none" for patio in design.project.patios)
    told.append(label("paper_care.drill" if hidden else "paper_care.drill_open"))
    yield from (_item(words) for words in told)
    if use is not None:
        yield flow.heading(label("paper_care.uses"))
        yield _item(label("paper_check.use_hour", hour=use.an_hour))
        most = {"day": use.a_day, "season": use.a_season, "hours": f"{use.hours:g}", "days": use.days}
        yield _item(label("paper_check.use_most", **most))
        if use.dust_hour is not None:
            yield _item(label("paper_care.dust", hour=use.dust_hour))
    yield flow.heading(label("paper_care.call"))
    yield from (_item(f"{label(f'paper_care.{who}')} {BLANK}") for who in ("fitter", "provider"))


def _item(words: str) -> Paragraph:
    return Paragraph(words, sign="–", indent=3.5, before=2.0)
