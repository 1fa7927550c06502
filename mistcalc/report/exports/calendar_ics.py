"""The close-in calendar as an iCalendar file (RFC 5545): a whole-day event for every step."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterator

from mistcalc.model.content_digest import fingerprint
from mistcalc.model.results import Calendar, CalendarStep, Design
from mistcalc.report.common.calendar_text import hold_points, hold_title, what_is_done
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.mirrored_name import job_name

LINE = 75  # octets of a content line, its break not counted (RFC 5545, 3.1)


def close_in_ics(design: Design, calendar: Calendar, locale: Locale) -> str:
    """The file's text, its lines ending in CRLF. calendar: one with a day.

    A step keeps its UID as long as project and step keep their names, so that a later file moves an event
    and does not double it. The clock is never read: DTSTAMP is the revision's date, else the scratch coat's.
    """
    stamp = design.project.revision.date or calendar.scratch_coat
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", f"PRODID:-//mistcalc//close-in//{locale.language.upper()}"]
    lines.append(f"X-WR-CALNAME:{_text(job_name(design.project, locale))}")
    for step in calendar.steps:
        lines += _event(design, calendar, step, stamp, locale)
    lines.append("END:VCALENDAR")
    return "".join(f"{part}\r\n" for line in lines for part in _folded(line))


def _event(
    design: Design, calendar: Calendar, step: CalendarStep, stamp: datetime.date, locale: Locale
) -> Iterator[str]:
    label = locale.label
    if step.hold:
        number = hold_points(design).index(step.hold) + 1
        title = label("paper_calendar.file_hold", number=number, what=hold_title(step.hold, locale))
        told = label(f"paper_calendar.{step.hold}_do")
    else:
        what = what_is_done(design, calendar, step, locale)
        title, told = label("paper_calendar.file_step", trade=step.trade, what=what), ""
    note = label("paper_calendar.file_note", letter=design.project.revision.letter, code=design.code)
    yield "BEGIN:VEVENT"
    house = [name for name in (design.project.name, design.project.mirrored_from) if name]
    yield f"UID:{fingerprint(*house, step.name)}@mistcalc.invalid"
    yield f"DTSTAMP:{stamp:%Y%m%d}T000000Z"
    yield f"DTSTART;VALUE=DATE:{step.first:%Y%m%d}"
    yield f"DTEND;VALUE=DATE:{step.last + datetime.timedelta(days=1):%Y%m%d}"  # the first day not included
    yield f"SUMMARY:{_text(title)}"
    yield f"DESCRIPTION:{_text(f'{told} {note}'.strip())}"
    yield "TRANSP:TRANSPARENT"
    yield "END:VEVENT"


def _text(value: str) -> str:
    """A TEXT value (3.3.11): backslash, semicolon and comma escaped; control signs are spaces."""
    return re.sub(r"([\\;,])", r"\\\1", "".join(sign if sign.isprintable() else " " for sign in value))


def _folded(line: str) -> Iterator[str]:
    """A content line in pieces of at most LINE octets, no letter cut; later ones begin with a space."""
    piece = ""
    for sign in line:
        if len((piece + sign).encode()) > LINE:
            yield piece
            piece = " "
        piece += sign
    yield piece
