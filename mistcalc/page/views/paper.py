"""Paper: everything the job leaves with, made afresh from what is on screen."""

from __future__ import annotations

import datetime
import io
import re
import zipfile
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from fnmatch import fnmatchcase
from html import unescape
from pathlib import Path
from typing import NamedTuple

from mistcalc import design, report
from mistcalc.errors import InputError
from mistcalc.model.project import Dates
from mistcalc.model.results import Design
from mistcalc.model.site_log import SiteEntry
from mistcalc.page import open_project, places
from mistcalc.page.edits import Edit, SetValue
from mistcalc.page.open_project import OpenProject, plain_name
from mistcalc.page.views import background_work, components, controls, share
from mistcalc.page.views.pressure_test import log_of
from mistcalc.report.common.calendar_text import plastered
from mistcalc.report.common.findings_by_reader import cautions, notes_apart
from mistcalc.report.common.screen_picture import ScreenPicture

TYPES = {".pdf": "application/pdf", ".svg": "image/svg+xml", ".csv": "text/csv", ".json": "application/json"}
FOR: dict[places.Reader, tuple[str, ...]] = {
    "owner": ("sheets-owner.pdf", "sheet-H-*.svg", "season.csv"),
    "crew": (
        "sheets-builder.pdf", "sheet-R-*.svg", "lid.dxf", "trade-*.pdf", "story-pole.pdf", "calendar*.ics",
        "marks*", "cuts.csv",
    ),
}  # fmt: skip
GROUPS: dict[str, tuple[str, ...]] = {  # a file stands in the first that has its kind
    "builder": ("sheets-builder.pdf", "calendar*.ics", "lid.dxf"),
    "trades": ("trade-*.pdf",),
    "site": ("marks*",),
    "installer": ("sheets-installer.pdf", "materials.csv", "cuts.csv", "line.inp"),
    "owner": ("sheets-owner.pdf", "season.csv", "picture.csv"),
    "each": ("*",),
}


def show(opened: OpenProject) -> None:
    work = background_work.whole_job(opened, opened.label("page.view_paper"))
    if work is None:
        return
    job = work.made
    stem = plain_name(opened.project.name).replace(" ", "-").lower()
    components.headline(opened.label("page.paper_head", code=job.code))
    components.sentence(opened.label("page.paper_lead"))
    if not opened.read_only:
        title, name = opened.label("page.download_project"), f"{stem}.toml"
        controls.download(title, opened.text, file_name=name, mime="text/plain", key="download-project")
        share.show(opened)
    log = log_of(opened)
    made = background_work.standing(
        opened, "sheets", lambda: _drawn(_whole(opened, job, log), opened), str(len(log)), work
    )
    if made is None:
        return
    may = may_take(opened)
    sheets = {name: content for name, content in made.made.files.items() if may(name)}
    controls.download(
        opened.label("page.download_all", count=len(sheets)),
        zipped(sheets),
        file_name=f"{stem}-sheets.zip",
        mime="application/zip",
        key="download-all",
        type="primary",
        disabled=made.old,
    )
    _by_reader(opened, job, sheets, made.old)
    _look(opened, {name: looks for name, looks in made.made.looks.items() if may(name)})
    if opened.read_only:
        return
    components.heading(opened.label("page.all_findings"))
    told_below = cautions(job.findings)
    heard, notes = notes_apart(finding for finding in job.findings if finding not in told_below)
    components.findings(opened, heard)
    with controls.collapsible(opened.label("page.notes_fold", count=len(notes))):
        components.findings(opened, notes)
    components.cautions(opened, job.findings)


def _by_reader(opened: OpenProject, job: Design, sheets: Mapping[str, bytes], old: bool) -> None:
    """Every file under who it is for, folded under its title. old: not to be taken any more."""
    components.heading(opened.label("page.each_sheet"))
    for group, of in _grouped(sheets).items():
        with controls.collapsible(opened.label(f"page.files_{group}", count=len(of))):
            if not opened.read_only:  # by a link some of what is named there is not given
                components.side(opened.label(f"page.files_{group}_side"))
            for name in of:
                _file(opened, name, sheets[name], old)
            if group == "builder" and not opened.read_only:
                _day(opened, job)
                view = opened.label("page.view_on-site")
                components.side(opened.label("page.files_next", view=view))


def _grouped(names: Iterable[str]) -> dict[str, list[str]]:
    """Names of files by whose they are; each stands once."""
    out: dict[str, list[str]] = {group: [] for group in GROUPS}
    for name in names:
        kinds = (group for group, of in GROUPS.items() if any(fnmatchcase(name, kind) for kind in of))
        out[next(kinds)].append(name)
    return {group: of for group, of in out.items() if of}


def _file(opened: OpenProject, name: str, content: bytes, old: bool) -> None:
    kind = TYPES.get(Path(name).suffix, "application/octet-stream")
    title = _title(opened, name, content)
    shown = f"{title}, {name}" if title else name
    controls.download(
        shown, content, file_name=name, mime=kind, key=f"download-{name}", width="stretch", disabled=old
    )


def _title(opened: OpenProject, name: str, content: bytes) -> str:
    """What a file is in words, where its name alone does not say so."""
    if trade := re.fullmatch(r"trade-(\w+)\.pdf", name):
        return opened.label(f"paper_trade.{trade[1]}")
    drawn = re.search("<title>(.*?)</title>", content[:2000].decode("utf-8", "replace"), re.DOTALL)
    return unescape(drawn[1]) if name.endswith(".svg") and drawn else ""


def _day(opened: OpenProject, job: Design) -> None:
    """The day from which the calendar is counted."""
    told = opened.project.dates.scratch_coat if opened.project.dates else None
    title = opened.label("page.scratch_coat" if plastered(job) else "page.closing_day")

    def edits(text: str) -> list[Edit]:
        dates = opened.project.dates or Dates()
        try:
            day = datetime.date.fromisoformat(text.strip()) if text.strip() else None
        except ValueError:
            raise InputError("page-day", title, text=text) from None
        return [SetValue(("dates",), replace(dates, scratch_coat=day))]

    components.field(opened, title, "scratch-coat", told.isoformat() if told else "", edits, "2027-03-08")


def _look(opened: OpenProject, looks: Mapping[str, Sequence[str]]) -> None:
    """One sheet at a time as it is printed, without a program that opens it."""
    if not looks:
        return
    components.heading(opened.label("page.look_at"))
    titles = {name: _title(opened, name, of[0].encode()) for name, of in looks.items()}
    name = controls.dropdown(
        opened.label("page.look_which"),
        list(looks),
        index=None,
        format_func=lambda each: titles.get(each, each),
        key="look-at",
    )
    if name in looks:
        components.drawings([ScreenPicture(drawn, ()) for drawn in looks[name]], titles[name])


def may_take(opened: OpenProject) -> Callable[[str], bool]:
    """Whether whoever reads takes a file away, by its name: all is the project's own people's, a link's
    reader gets what is made for them, and nothing that holds the builder's prices or the whole design."""
    if not opened.read_only:
        return lambda name: True
    link = places.link_by(places.in_address(opened.identity))
    kinds = () if link is None else FOR[link.reader]
    return lambda name: any(fnmatchcase(name, kind) for kind in kinds)


class SheetsToTake(NamedTuple):
    files: dict[str, bytes]
    looks: dict[str, tuple[str, ...]]  # SVG of what is looked at, by the file that holds it


def _drawn(job: Design, opened: OpenProject) -> SheetsToTake:
    """Every file of the job, and its sheets for a screen: those of the set, then a page of each trade."""
    from mistcalc.report.trades.trade_set import trade_pictures  # the drawing libraries

    sheets = written(job)
    looks = {name: (drawn.decode(),) for name, drawn in sheets.items() if name.endswith(".svg")}
    return SheetsToTake(sheets, {**looks, **trade_pictures(job, opened.locale)})


def _whole(opened: OpenProject, job: Design, log: tuple[SiteEntry, ...]) -> Design:
    """With its year, its alternates, and every hole as the site log has it, for the record of what is in the
    ceiling."""
    whole = open_project.with_bids(opened, open_project.with_season(opened, job))
    return design.with_holes(whole, log)


def written(job: Design) -> dict[str, bytes]:
    """Every sheet and list of the job by file name."""
    made = report.contents(job, job.project.units, job.project.language)
    return {name: content.encode() if isinstance(content, str) else content for name, content in made.items()}


def zipped(sheets: dict[str, bytes]) -> bytes:
    """One archive of all sheets; the same sheets give the same bytes."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in sheets.items():
            entry = zipfile.ZipInfo(name)
            entry.compress_type = zipfile.ZIP_DEFLATED
            archive.writestr(entry, content)
    return buffer.getvalue()
