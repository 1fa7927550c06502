"""What can hurt someone, boxed at the head of a sheet: DANGER, then CAUTION, before any step of the work."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from mistcalc.drawing import alerts
from mistcalc.drawing.alerts import Alert
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.frame import StripSection
from mistcalc.drawing.sheet import Item
from mistcalc.drawing.text_and_tables import Paragraph
from mistcalc.model.results import Finding, Work
from mistcalc.report.common.findings_by_reader import Graded, caution_name, cautions_for_work, dangerous
from mistcalc.report.common.locale_text import Locale
from mistcalc.words import spoken

SIDE = 230.0  # a room so wide has both boxes beside each other [mm]
SHARE = 0.72  # of it for the first
GAP = 4.0
SMALLER = 3.5  # the word over what was told on an earlier sheet [mm]


def boxed(
    findings: Iterable[Finding], where: Work, room: Box, locale: Locale, more: Sequence[str] = ()
) -> tuple[list[Item], float]:
    """Boxes of a kind of work along the top of a room, and where they end. more: dangers of this alone."""
    boxes = _alerts(cautions_for_work(findings, where), locale, more)
    if len(boxes) == 2 and room.width >= SIDE:
        middle = room.left + SHARE * room.width
        rooms = (room._replace(right=middle - GAP / 2), room._replace(left=middle + GAP / 2))
        bottom = min(alerts.draw([alert], box)[1] for alert, box in zip(boxes, rooms, strict=True))
        drawn = [alerts.draw([alert], box, to=bottom)[0] for alert, box in zip(boxes, rooms, strict=True)]
        return [item for items in drawn for item in items], bottom
    return alerts.draw(boxes, room)


def again_in_strip(findings: Iterable[Finding], where: Work, locale: Locale) -> StripSection:
    """For a further sheet of the same work: what comes before any fitting, in the right strip."""
    return in_strip((f for f in findings if where in f.work), "again", locale, rest=False)


def again(findings: Iterable[Finding], where: Work, room: Box, locale: Locale) -> tuple[list[Item], float]:
    """The same along the top of a room of a sheet without that strip."""
    graded = cautions_for_work((f for f in findings if where in f.work), "again")
    return alerts.draw(_alerts(graded, locale), room, SMALLER)


def low(findings: Iterable[Finding], where: Work, room: Box, locale: Locale) -> tuple[list[Item], float]:
    """Boxes of a kind of work under smaller words, for a sheet whose drawing needs the room."""
    return alerts.draw(_alerts(cautions_for_work(findings, where), locale), room, SMALLER)


def in_strip(findings: Iterable[Finding], where: Work, locale: Locale, rest: bool = True) -> StripSection:
    """All of it in one box of the right strip, under the graver word; with `rest`, where to read on."""
    graded = cautions_for_work(findings, where)
    paragraphs = [
        Paragraph(short(caution, locale), sign="–", indent=3.0)
        for _, cautions in graded
        for caution in cautions
    ]
    paragraphs += [Paragraph(locale.label("paper.full_cautions"), bold=True)] if rest else []
    word = locale.label(f"level.{graded[0][0]}")
    return StripSection(word, tuple(paragraphs), locale.label("paper.more_notes", n="{n}"), boxed=True)


def for_owner(findings: Iterable[Finding], locale: Locale) -> list[Alert]:
    """A box a grade, a line each of what an owner does or leaves; a fitter's own work is not his."""
    boxes = []
    for grade, of in cautions_for_work(findings, "keep"):
        has_owner_text = (spoken("caution_owner", caution_name(caution), locale.language) for caution in of)
        sections = ["caution_owner" if has else "caution_do" for has in has_owner_text]
        lines = (short(caution, locale, section) for caution, section in zip(of, sections, strict=True))
        box = tuple(Paragraph(words, sign="–", indent=3.5) for words in lines)
        boxes.append(Alert(locale.label(f"level.{grade}"), box))
    return boxes


def short(caution: Finding, locale: Locale, section: str = "caution_do") -> str:
    """What a hand does about it, in one breath."""
    values = {"provided": caution.provided, "required": caution.required, **dict(caution.values)}
    return locale.label(f"{section}.{caution_name(caution)}", **values)


def _alerts(graded: Graded, locale: Locale, more: Sequence[str] = ()) -> list[Alert]:
    boxes = []
    for grade, cautions in graded:
        sentences = [short(caution, locale) for caution in cautions]
        sentences = [*(more if dangerous(grade) else ()), *sentences]
        items = tuple(Paragraph(words, sign="–", indent=3.5) for words in sentences)
        boxes.append(Alert(locale.label(f"level.{grade}"), items))
    return boxes
