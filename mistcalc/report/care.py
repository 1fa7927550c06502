"""The owner's last page: what can hurt someone, then a card for each season. What it asks is common practice.

The card sends nobody up a ladder: nozzle work is the fitter's, locked out first.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from mistcalc.drawing import alerts, flow
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.flow import Paragraph
from mistcalc.drawing.frame import Paper
from mistcalc.drawing.sheet import BOLD, Line
from mistcalc.model.results import Design, Finding
from mistcalc.report import warned
from mistcalc.report.leaf import Leaf
from mistcalc.report.subjects import cautions, notes_apart
from mistcalc.report.true_of import kind_of
from mistcalc.report.voice import Voice

CARD = ("weeks", "idle", "start", "clean", "filter", "wear", "frost")
BLANK = "_" * 40


def care_leaves(design: Design, paper: Paper, voice: Voice, left: Sequence[Paragraph]) -> tuple[Leaf, ...]:
    """A page a job, more where words are many. left: what of the afternoons found no room before."""
    room = paper.inside.grown(-2.0)
    column = Box(room.left + 4.0, room.bottom + 7.0, room.right - 4.0, room.top - 2.0)
    full = cautions(design.findings, "owner")
    boxes, top = alerts.draw(warned.for_owner(full, voice), column._replace(top=column.top - 16.0))
    told = [*_card(design, full, voice), *_told(left, voice)]
    leaves: list[Leaf] = []
    while told or not leaves:
        head = flow.flow([Paragraph(voice.label("paper_care.title"), 7.0, bold=True)], [column])
        y = head.bottom - 3.0
        line = Line((column.left, y), (column.right, y), layer="NOTE", pen=BOLD)
        drawn = flow.flow(told, [column._replace(top=(y if leaves else top) - 4.0)])
        items = (*head.items, line, *(() if leaves else boxes), *drawn.items)
        leaves.append(Leaf(paper, voice.label("paper_owner.short"), items, kind="owner"))
        told = list(drawn.left_over)
    return tuple(leaves)


def _told(left: Sequence[Paragraph], voice: Voice) -> Iterator[Paragraph]:
    if left:
        yield flow.heading(voice.label("paper_care.days"))
        yield from left


def _card(design: Design, full: Sequence[Finding], voice: Voice) -> Iterator[Paragraph]:
    label, use = voice.label, design.use
    yield flow.heading(label("paper_care.season"))
    pumped = design.project.plumbing.pump is not None
    empty = kind_of(design)
    told = [
        label("paper_care.fitter_does", **empty),
        *(label(f"paper_care.{name}", **empty) for name in CARD),
    ]
    told.append(label("paper_care.tonight" if pumped else "paper_care.tonight_mains", **empty))
    urgent, notes = notes_apart(full)
    told += [voice.say(one) for one in notes]
    yield from (_item(words) for words in told)
    if use is not None:
        yield flow.heading(label("paper_care.uses"))
        yield _item(label("paper_check.use_hour", hour=use.an_hour))
        yield _item(label("paper_check.use_most", day=use.a_day, hours=f"{use.hours:g}"))
        if use.dust_hour is not None:
            yield _item(label("paper_care.dust", hour=use.dust_hour))
    yield flow.heading(label("paper_care.more"))  # the check sheet tells the others in full
    yield from (_item(voice.say(one)) for one in urgent if one.audience == ("owner",))
    yield flow.heading(label("paper_care.call"))
    yield from (_item(f"{label(f'paper_care.{who}')} {BLANK}") for who in ("fitter", "provider"))


def _item(words: str) -> Paragraph:
    return Paragraph(words, sign="–", indent=3.5, before=1.6)
