"""The marks as lines for text messages: a message a line, and each line is understood without the others."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from mistcalc.model.results import Design, Layout, Mark, RunLine
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.mirrored_name import job_name

# Signs of one message: 160 of the GSM alphabet, 70 where any sign is not in it (3GPP TS 23.038, from memory).
# Of ASCII, the backquote is not in it and these count twice.
PLAIN, OTHER, TWICE = 160, 70, "^{}[]~|\\"
NAMES = (60, 30, 20, 12, 8, 4)  # how long a name may be, the first that leaves every line room


def messages(design: Design, locale: Locale) -> str:
    """A line to say whose marks they are; then of each run how it hangs, and its marks from the datum."""
    count = sum(len(layout.marks) for layout in design.layouts)
    name = job_name(design.project, locale)
    jobs = [_line(design, locale, "job", job=_cut(name, most), count=count) for most in NAMES]
    lines = [next((line for line in jobs if signs(line) <= PLAIN), jobs[-1]), _line(design, locale, "how")]
    for layout in design.layouts:
        for run in layout.lid.rows:
            lines += _run_lines(design, layout, run, locale)
    return "".join(f"{line}\n" for line in lines)


def signs(text: str) -> int:
    """How much of a message a text takes, in signs of PLAIN."""
    if text.isascii() and "`" not in text:
        return len(text) + sum(text.count(sign) for sign in TWICE)
    return -(-len(text.encode("utf-16-le")) // 2 * PLAIN // OTHER)


def _run_lines(design: Design, layout: Layout, run: RunLine, locale: Locale) -> list[str]:
    """Where the tape is hooked, how the run hangs, its marks: with names as long as leave each line room."""
    for most in NAMES:
        lines = list(_told(design, layout, run, most, locale))
        if all(signs(line) <= PLAIN for line in lines):
            break
    return lines


def _told(design: Design, layout: Layout, run: RunLine, most: int, locale: Locale) -> Iterator[str]:
    patio = next(patio for patio in design.project.patios if patio.name == layout.patio)
    stated = next(stated for stated in patio.rows if stated.name == run.name)
    about = {"run": _cut(run.name, most), "surface": _cut(locale.word(stated.datum.surface), most)}
    marks = layout.marks_of(run.name)
    if not marks:
        yield _line(design, locale, "none", **about)
        return
    hooked = locale.word(stated.hooked_on)  # a usual surface has room: only words of one's own are cut
    which = hooked if stated.hooked_on != stated.datum.surface else about["surface"]
    yield _line(design, locale, "datum", run=about["run"], surface=which)
    if run.name in design.project.rows_on_assumed_joists:
        yield _line(design, locale, "assumed", run=about["run"])
    low, high = (end([mark.height for mark in marks]) for end in (min, max))
    lid = {"height": low} if high == low else {"lowest": low, "highest": high}
    values = {**lid, "back": marks[0].back, "stub": marks[0].stub_nominal}
    heights = [locale.label(f"marks_messages.{name}", **{name: value}) for name, value in values.items()]
    yield from _filled(design, locale, "heights", heights, **about)
    yield from _filled(
        design, locale, "marks", [_mark(mark, layout, most, locale) for mark in marks], **about
    )


def _filled(design: Design, locale: Locale, key: str, told: Sequence[str], **about: object) -> Iterator[str]:
    """As many of these to a line as find room in a message."""
    line = ""
    first = 0
    for n in range(1, len(told) + 1):
        longer = _line(design, locale, key, told=", ".join(told[first:n]), **about)
        if line and signs(longer) > PLAIN:
            yield line
            first = n - 1
            longer = _line(design, locale, key, told=told[first], **about)
        line = longer
    yield line


def _mark(mark: Mark, layout: Layout, most: int, locale: Locale) -> str:
    """Of a long name the end, which tells marks of a run apart."""
    stops = (*layout.holes.stop, *layout.holes.stop_drilled)
    key = "stop" if mark.name in stops else "mark"
    name = mark.name if len(mark.name) <= most else f"..{mark.name[2 - most :]}"
    return locale.label(f"marks_messages.{key}", mark=name, along=mark.along)


def _line(design: Design, locale: Locale, key: str, **values: object) -> str:
    """A line behind the sheets' code; of a line that fails, that nothing is built from it."""
    text = locale.label(f"marks_messages.{key}", code=design.code.replace(" ", ""), **values)
    return f"{locale.label('paper.do_not_build')}. {text}" if design.line_verdict.fails else text


def _cut(name: str, most: int) -> str:
    return name if len(name) <= most else f"{name[: most - 2]}.."
