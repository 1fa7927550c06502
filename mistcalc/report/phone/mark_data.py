"""What the phone's page is told of a job: numbers in steps of the tape, and words in every language there is.

A step is 1/8 in or 1 mm; the scripts count in steps and look up how they read, so no length is spelled there.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from mistcalc import units, words
from mistcalc.drawing.quick_response import quick_code
from mistcalc.model.hole_size import drill_size
from mistcalc.model.practice import MARK_ACROSS, MARK_ALONG
from mistcalc.model.project import Patio, Run
from mistcalc.model.results import Design, Layout, Mark, RunLine
from mistcalc.report.common import caution_boxes
from mistcalc.report.common.findings_by_reader import NumberedFinding, cautions_for_work, numbered
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.mark_position import next_to
from mistcalc.report.common.mirrored_name import job_name
from mistcalc.units import System
from mistcalc.units.tape_table import tape_texts

STEP: dict[System, float] = {"us": units.parse("1/8 in", "length"), "metric": units.parse("1 mm", "length")}
NUDGE: dict[System, int] = {"us": 1, "metric": 5}  # steps of a tap along the run; across it is one step
WINDOW: dict[System, int] = {"us": 80, "metric": 250}  # steps of tape in the picture: 10 in, 250 mm
NEAR_TEXTS: dict[System, int] = {
    "us": 96,
    "metric": 300,
}  # differences that are told in figures: to 1 ft, 300 mm
BEYOND = units.parse("3 ft", "length")  # past a run's end a typed figure may still be read back
# As the site log has it, and a word of every language.
CANNOT = ("joist in the way", "pipe or wire in the way", "light or vent in the way", "out of reach")
WORDS = (
    "title", "run_count", "squares", "previous", "next", "arrow_back", "arrow_on", "none", "all_marks",
    "drilled", "anyway", "next_open", "measured", "note", "cannot", "undo", "undo_none", "send", "kept",
    "not_kept", "kept_old", "drilled_at", "drilled_before", "measured_at", "refused", "noted", "joist",
    "joist_assumed", "check_head", "start", "start_code", "quick_code", "start_count",
    "initials", "measure_head", "along", "across", "plan", "found",
    "hold", "on_plan", "past_plan", "short", "deeper", "shallower", "in_limit", "over_limit", "far_off",
    "more", "less", "as_plan", "type_it", "save", "back", "clear", "done_typing", "note_head",
    "note_text", "photo", "photo_of", "save_note", "cannot_head", "list_head", "state_open",
    "state_drilled", "state_measured", "state_cannot", "send_head", "all_done", "send_counts",
    "send_about", "share", "download", "copy", "copied", "copy_failed", "saved", "text_label",
    "feet", "inches", "fraction", "millimetres",
)  # fmt: skip
PLACES = (
    "run", "n", "of", "code", "mark", "time", "by", "limit", "at", "text", "number", "drilled", "measured",
    "cannot", "notes", "near", "here",
)  # fmt: skip


def page_data(design: Design, system: System, language: str) -> dict[str, Any]:
    """All of it, plain enough for JSON. language: the one that is shown first."""
    others = [code for code in words.languages() if code != language]
    runs = list(_runs(design))
    longest = max((run.length for _, run, _, _ in runs), default=0.0) + BEYOND
    return {
        "project": job_name(design.project, Locale(system, language)),
        "code": design.code,
        "quick_code": quick_code(design.code),
        "units": system,
        "nudge": NUDGE[system],
        "window": WINDOW[system],
        "within": {"along": MARK_ALONG / STEP[system], "back": MARK_ACROSS / STEP[system]},
        "tape": tape_texts(longest, STEP[system], system),
        "runs": [
            {
                "name": run.name,
                "patio": patio.name if len(design.project.patios) > 1 else "",
                "joists": _joists(layout, run, system),
                "assumed": run.name in design.project.rows_on_assumed_joists,
            }
            for patio, run, _, layout in runs
        ],
        "marks": [
            _mark(mark, number, layout, system)
            for number, (_, run, _, layout) in enumerate(runs)
            for mark in layout.marks_of(run.name)
        ],
        "cannot": CANNOT,
        "crew": design.project.crew_language,
        "languages": [_spoken(design, Locale(system, code), runs) for code in (language, *others)],
    }


_RunOf = tuple[Patio, Run, RunLine, Layout]


def _runs(design: Design) -> Iterator[_RunOf]:
    """Every run that carries a mark, in the order of the project."""
    for patio in design.project.patios:
        layout = design.layout_of(patio.name)
        for run, line in zip(patio.rows, layout.lid.rows, strict=True):
            if any(mark.run == run.name for mark in layout.marks):
                yield patio, run, line, layout


def _joists(layout: Layout, run: Run, system: System) -> list[list[float]]:
    """Where the wood begins and ends along the tape."""
    wood = [m for m in layout.lid.members if m.run == layout.lid.run_of(run.name) and m.along is not None]
    return [
        [_steps(m.along - m.width / 2, system), _steps(m.along + m.width / 2, system)]  # type: ignore[operator]
        for m in wood
    ]


def _mark(mark: Mark, run: int, layout: Layout, system: System) -> dict[str, Any]:
    return {
        "name": mark.name,
        "run": run,
        "along": _steps(mark.along, system),
        "exact": units.spell(mark.along, "length", system),
        "back": _steps(mark.back, system),
        "joist": _steps(mark.near_offset, system) if mark.near else None,
        "stop": mark.name in layout.holes.stop,
        "drilled": mark.drilled,
    }


def _steps(metres: float, system: System) -> float:
    return round(metres / STEP[system], 3)


# ------------------------------------------------------------------ words


def _spoken(design: Design, locale: Locale, runs: list[_RunOf]) -> dict[str, Any]:
    """One language: its words, where `{name}` is for the script to fill, and what is said of each mark."""
    places = {name: f"{{{name}}}" for name in PLACES}
    findings = {layout.patio: numbered(design, layout.patio, together=False) for layout in design.layouts}
    limits = {"along": MARK_ALONG, "back": MARK_ACROSS}
    cautions = [
        [locale.label(f"level.{level}"), [caution_boxes.short(caution, locale) for caution in of]]
        for level, of in cautions_for_work(design.findings, "drill")
    ]
    return {
        "code": locale.language,
        "name": locale.label("phone.language"),
        "words": {key: locale.label(f"phone.{key}", **places) for key in WORDS},
        "cannot": [words.word(reason, locale.language) for reason in CANNOT],
        "limits": {key: locale.number(limit, "length") for key, limit in limits.items()},
        "nudge": {
            "along": locale.number(NUDGE[locale.units] * STEP[locale.units], "length"),
            "back": locale.number(STEP[locale.units], "length"),
        },
        "by": [locale.number(n * STEP[locale.units], "length") for n in range(NEAR_TEXTS[locale.units])],
        "fails": locale.label("paper.do_not_build") if design.line_verdict.fails else "",
        "assumed": _assumed(design, [run.name for _, run, _, _ in runs], locale),
        "holes": _holes(design, locale),
        "cautions": cautions,
        "datums": [
            locale.label("phone.datum", run=line.of or run.name, surface=run.hooked_on)
            for _, run, line, _ in runs
        ],
        "marks": [
            _told(mark, before, findings[layout.patio], _second(mark, run, line, locale), locale)
            for _, run, line, layout in runs
            for before, mark in _pairs(layout.marks_of(run.name))
        ],
    }


def _assumed(design: Design, runs: Sequence[str], locale: Locale) -> str:
    """That nobody stated the joists: of all these runs, or of which; nothing where somebody did."""
    guessed = tuple(name for name in runs if name in design.project.rows_on_assumed_joists)
    if not guessed:
        return ""
    which = "" if len(guessed) == len(runs) else "_runs"
    return locale.label(f"phone.joists_assumed{which}", runs=guessed)


def _pairs(marks: Sequence[Mark]) -> Iterator[tuple[Mark | None, Mark]]:
    yield from zip([None, *marks], marks, strict=False)


def _holes(design: Design, locale: Locale) -> list[str]:
    """The bit to drill with, once where all patios take the same."""
    sizes = {patio.name: drill_size(patio, design.line, locale.units) for patio in design.project.patios}
    if len(set(sizes.values())) == 1:
        return [locale.label("paper.drill", hole=next(iter(sizes.values())))]
    return [locale.label("phone.drill_of", patio=patio, hole=hole) for patio, hole in sizes.items()]


def _second(mark: Mark, run: Run, line: RunLine, locale: Locale) -> str:
    """How far it is from a second datum, where the run states one: to check by."""
    if line.second is None:
        return ""
    return locale.label("phone.second", along=line.second - mark.along, surface=run.datum.second)


def _told(
    mark: Mark, before: Mark | None, findings: tuple[NumberedFinding, ...], second: str, locale: Locale
) -> dict[str, str]:
    last = (
        locale.label("phone.past", by=mark.along - before.along, mark="{mark}")
        if before
        else locale.label("phone.first")
    )
    near, (tape, *turned) = next_to(mark, locale, center=True), locale.in_cell(mark.along).split("\n")
    if not near and mark.member_clear is None:
        near = locale.label("phone.find_framing")
    worst = next((one for one in findings if one.look and mark.name in one.marks), None)
    return {
        "tape": tape,
        "turned": "".join(turned),
        "second": second,
        "inches": locale.label("phone.inches_of", along=abs(mark.along)) if locale.units == "us" else "",
        "mm": locale.label("phone.mm_of", along=abs(mark.along)) if locale.units == "us" else "",
        "last": last,
        "back": locale.label("phone.behind", back=mark.back),
        "near": near,
        "joist": "" if not mark.near else locale.number(abs(mark.near_offset), "length"),
        "warning": locale.say(worst.finding) if worst else "",
    }
