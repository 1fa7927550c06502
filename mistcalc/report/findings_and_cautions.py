"""Findings and cautions as lines of a terminal: all of them for `check`, as many as fit in a summary."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from mistcalc.model.results import Design, Finding
from mistcalc.report.common import caution_boxes
from mistcalc.report.common.alike_findings import told_together
from mistcalc.report.common.findings_by_reader import (
    acted_on,
    by_level,
    caution_name,
    cautions,
    cautions_for_work,
    from_the_day,
    judged,
    notes_apart,
    to_be_mended,
)
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.terminal_lines import WIDTH, wrapped
from mistcalc.units import System


def findings_page(design: Design, file: str, units: System, language: str) -> str:
    """All findings and cautions in full: what `check` prints. `file`: its name, for the first line."""
    locale = Locale(units, language)
    days, others = from_the_day(design.findings)
    rest = replace(design, findings=others)
    lines = [locale.label("cli.no_mistakes", file=file), *_hands_off(design, locale), *_days(days, locale)]
    lines += findings_section(rest, locale, None)
    return "\n".join([*lines, *_cautions_in_brief(design, locale)]) + "\n"


def findings_text(
    findings: Iterable[Finding], units: System, language: str, room: int | None = None
) -> list[str]:
    """Findings worst first, a level's word before each, wrapped; cautions are not among them.

    With `room` lines to fill, the last says how many are left out. What fails is never left out or cut,
    however little room; where nothing does, the worst is begun.
    """
    locale = Locale(units, language)
    # Two findings may say the same of two things; once is enough.
    fails_by_sentence = {(f.level, locale.say(f)): to_be_mended(f) for f in told_together(judged(findings))}
    rows = [wrapped(f"  {locale.label(f'level.{level}')}  ", text) for level, text in fails_by_sentence]
    if room is None or sum(map(len, rows)) <= room:
        return [line for row in rows for line in row]
    shown: list[str] = []
    for i, (fails, row) in enumerate(zip(fails_by_sentence.values(), rows, strict=True)):
        if not fails and len(shown) + len(row) > room - 1:
            if i == 0 and room > 1:  # the worst is never only counted
                shown, i = [*row[: room - 2], f"{row[room - 2][: WIDTH - 4].rstrip(' ,.;:')} ..."], 1
            return [*shown, *wrapped("  ", locale.label("summary.more", count=len(rows) - i))]
        shown += row
    return shown


def findings_section(design: Design, locale: Locale, room: int | None) -> list[str]:
    findings = told_together(judged(design.findings))
    lines = ["", locale.label("summary.findings_none") if not findings else _counted(findings, locale)]
    if not findings:
        return lines
    return lines + findings_text(
        findings, locale.units, locale.language, None if room is None else max(room - 2, 2)
    )


def _counted(findings: Sequence[Finding], locale: Locale) -> str:
    counts = [locale.label(f"summary.count_{level}", count=len(of)) for level, of in by_level(findings)]
    return locale.label("summary.findings", counts=", ".join(counts))


def cautions_section(design: Design, locale: Locale, full: bool) -> list[str]:
    """Grade by grade: a few words each, or whole sentences."""
    graded = by_level(cautions(design.findings))
    if not graded:
        return []
    lines: list[str] = []
    decide = locale.label("summary.codes_decide")
    wide = max(len(locale.label(f"level.{level}")) for level, _ in graded) + 2
    for n, (level, of) in enumerate(graded, 1):
        word = locale.label(f"level.{level}")
        if full:
            lines += ["", word, *(line for caution in of for line in wrapped("  ", locale.say(caution)))]
            continue
        short = "; ".join(locale.label(f"caution_short.{caution_name(caution)}") for caution in of)
        lines += wrapped(f"{word:<{wide}}", f"{short}." if n < len(graded) else f"{short}. {decide}")
    return [*lines, "", decide] if full else ["", *lines]


def _cautions_in_brief(design: Design, locale: Locale) -> list[str]:
    """A breath each for what can hurt someone, the rest by name, and where all of it stands in full."""
    urgent, notes = notes_apart(cautions(design.findings))
    graded_texts = [
        (level, [caution_boxes.short(caution, locale) for caution in of]) for level, of in by_level(urgent)
    ]
    if notes:
        graded_texts.append(
            (notes[0].level, ["; ".join(locale.label(f"caution_short.{caution_name(f)}") for f in notes)])
        )
    lines: list[str] = []
    for level, texts in graded_texts:
        lines += [
            "",
            locale.label(f"level.{level}"),
            *(line for text in texts for line in wrapped("  ", text)),
        ]
    return [*lines, "", *wrapped("", locale.label("summary.cautions_full"))] if graded_texts else []


def _days(findings: Sequence[Finding], locale: Locale) -> list[str]:
    """Measuring days, each in the order it is told."""
    lines: list[str] = []
    for day in dict.fromkeys((f.value("patio"), f.value("day")) for f in findings):
        lines += ["", locale.label("cli.day", patio=day[0], day=day[1])]
        for finding in (f for f in findings if (f.value("patio"), f.value("day")) == day):
            lines += wrapped(f"  {locale.label(f'level.{finding.level}')}  ", locale.say(finding))
    return lines


def _hands_off(design: Design, locale: Locale) -> list[str]:
    """What can hurt whoever acts on an answer from the site, before the answer."""
    if not acted_on(design.findings):
        return []
    lines = []
    for level, level_cautions in cautions_for_work(design.findings, "call"):
        lines += ["", locale.label(f"level.{level}")]
        lines += [
            line for caution in level_cautions for line in wrapped("  ", caution_boxes.short(caution, locale))
        ]
    return lines
