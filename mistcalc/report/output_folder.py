"""The folder of a job: sheets, lists and results, all of one revision or none of it."""

from __future__ import annotations

import importlib.util
import re
from collections.abc import Collection, Iterable
from pathlib import Path
from typing import Literal

from mistcalc import files
from mistcalc.errors import DataError
from mistcalc.model.results import Design
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.exports.calendar_ics import close_in_ics
from mistcalc.report.exports.lists_csv import cuts_csv, marks_csv, materials_csv
from mistcalc.report.exports.marks_messages import messages
from mistcalc.report.exports.patio_map_export import picture_csv
from mistcalc.report.exports.results_json import plan_json
from mistcalc.report.exports.season_export import season_csv
from mistcalc.report.job_summary import job_summary_text
from mistcalc.report.phone.marks_page import marks_html
from mistcalc.units import System

Also = Literal["ifc", "parquet"]  # files that need a library of their own, by the name of its extra
Pole = Literal["sheets", "roll"]  # letter or A4 pages to tape together, or lengths from a roll
LIBRARIES: dict[Also, str] = {"ifc": "ifcopenshell", "parquet": "pyarrow"}
PLAN = "plan.json"  # in every set; by it one is known for ours
_BEGINNING = re.compile(r'\{\s*"schema": \d')
_OURS = re.compile(
    r"sheets(-(builder|installer|owner))?\.pdf|story-pole\.pdf|sheet-([RLH]-)?\d+\.svg|lid\.(dxf|ifc)|marks\.parquet"
    r"|trade-(framer|electrician|plumber|installer|plasterer|painter)\.pdf"
    r"|(marks|materials|cuts|picture|season)\.csv|marks(-[a-z]{2})?\.txt|marks\.html|line\.inp"
    r"|calendar(-[a-z]{2})?\.ics|plan\.json|summary\.txt"
)


def need_libraries(also: Iterable[Also]) -> None:
    """Raises DataError("also-extra") for the first that is asked for and cannot be written here."""
    for name in also:
        if importlib.util.find_spec(LIBRARIES[name]) is None:
            raise DataError("also-extra", format=name, library=LIBRARIES[name])


def contents(
    design: Design,
    units: System | None = None,
    language: str | None = None,
    pole: Pole | None = None,
    also: Collection[Also] = (),
) -> dict[str, str | bytes]:
    """Every file of the job by its name, sheets first; what is not said comes from the project file.
    pole: how the story pole is printed, where one is asked for."""
    from mistcalc.report import sheet_set  # the drawing libraries, which a summary alone does not need
    from mistcalc.report.exports import network_inp
    from mistcalc.report.trades.trade_set import trade_files

    locale = Locale(units or design.project.units, language or design.project.language)
    crew = Locale(locale.units, design.project.crew_language or locale.language)
    beside = () if crew == locale else (crew,)
    return {
        **sheet_set.files(design, locale.units, locale.language),
        **trade_files(design, (locale, *beside)),
        **_pole(design, pole, locale),
        **_calendar(design, locale),
        **_also(design, also),
        "marks.csv": marks_csv(design, locale),
        "marks.html": marks_html(design, crew),
        "marks.txt": messages(design, locale),
        **_for_the_crew(design, beside),
        "materials.csv": materials_csv(design, locale),
        "cuts.csv": cuts_csv(design, locale),
        "picture.csv": picture_csv(design),
        **({} if design.season is None else {"season.csv": season_csv(design.season)}),
        "line.inp": network_inp.text(design),
        PLAN: plan_json(design),
        "summary.txt": job_summary_text(design, locale.units, locale.language, full=True),
    }


def _also(design: Design, also: Collection[Also]) -> dict[str, bytes]:
    """For other programs, where asked for: their libraries take long to load."""
    made: dict[str, bytes] = {}
    need_libraries(also)
    if "ifc" in also:
        from mistcalc.report.exports.lid_ifc import lid_model

        made["lid.ifc"] = lid_model(design)
    if "parquet" in also:
        from mistcalc.report.exports.marks_parquet import marks_table

        made["marks.parquet"] = marks_table(design)
    return made


def _pole(design: Design, pole: Pole | None, locale: Locale) -> dict[str, bytes]:
    """The story pole, where one is asked for and there is a mark to lay on it."""
    from mistcalc.report.builder.story_pole import story_pole_pdf

    if pole is None or not any(layout.marks for layout in design.layouts):
        return {}
    return {"story-pole.pdf": story_pole_pdf(design, pole, locale)}


def _calendar(design: Design, locale: Locale, suffix: str = "") -> dict[str, str]:
    """Days for a telephone, where the project states one."""
    if design.calendar is None or not design.calendar.dated:
        return {}
    return {f"calendar{suffix}.ics": close_in_ics(design, design.calendar, locale)}


def _for_the_crew(design: Design, locales: tuple[Locale, ...]) -> dict[str, str]:
    """What a crew reads on its telephones, once more in its own language."""
    made: dict[str, str] = {}
    for locale in locales:
        made[f"marks-{locale.language}.txt"] = messages(design, locale)
        made |= _calendar(design, locale, f"-{locale.language}")
    return made


def write(
    design: Design,
    folder: Path | str,
    units: System | None = None,
    language: str | None = None,
    pole: Pole | None = None,
    also: Collection[Also] = (),
) -> tuple[Path, ...]:
    """All files of the job into `folder`, made if need be. An earlier set in it is replaced as a whole, with
    sheets that the job no longer has; other files stay.

    Returns the files, sheets first. Raises DataError (folder-is-file, folder-stood-in, folder-holds,
    also-extra) or OSError, and then the folder is as it was.
    """
    folder, made = Path(folder), contents(design, units, language, pole, also)
    files.write_folder(folder, made, lambda name: _OURS.fullmatch(name) is not None, _holds_a_set)
    return tuple(folder / name for name in made)


def _holds_a_set(folder: Path) -> bool:
    """Whether there is a plan.json of ours, so that what goes by names of ours is ours."""
    try:
        with (folder / PLAN).open(encoding="utf-8") as stream:
            return _BEGINNING.match(stream.read(40)) is not None
    except (OSError, ValueError):
        return False
