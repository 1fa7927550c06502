"""Paper: everything the job leaves with, made afresh from what is on screen."""

from __future__ import annotations

import io
import zipfile
from dataclasses import replace
from fnmatch import fnmatchcase
from pathlib import Path

from mistcalc import design, report
from mistcalc.model.results import Design
from mistcalc.model.site_log import SiteEntry
from mistcalc.page import open_project, places
from mistcalc.page.open_project import OpenProject, plain_name
from mistcalc.page.views import background_work, components, controls, share
from mistcalc.page.views.pressure_test import log_of

TYPES = {".pdf": "application/pdf", ".svg": "image/svg+xml", ".csv": "text/csv", ".json": "application/json"}
FOR: dict[places.Reader, tuple[str, ...]] = {
    "owner": ("sheets-owner.pdf", "season.csv"),
    "crew": (
        "sheets-builder.pdf", "sheet-R-*.svg", "lid.dxf", "trade-*.pdf", "story-pole.pdf", "calendar*.ics",
        "marks*", "cuts.csv",
    ),
}  # fmt: skip


def show(opened: OpenProject) -> None:
    job = background_work.whole_job(opened, opened.label("page.view_paper"))
    if job is None:
        return
    stem = plain_name(opened.project.name).replace(" ", "-").lower()
    components.headline(opened.label("page.paper_head", code=job.code))
    components.sentence(opened.label("page.paper_lead"))
    if not opened.read_only:
        controls.download(
            opened.label("page.download_project"),
            opened.text,
            file_name=f"{stem}.toml",
            mime="text/plain",
            key="download-project",
        )
        share.show(opened)
    log = log_of(opened)
    sheets = background_work.in_background(
        opened, "sheets", lambda: written(_whole(opened, job, log)), str(len(log))
    )
    if sheets is None:
        return
    sheets = {name: content for name, content in sheets.items() if may_take(opened, name)}
    controls.download(
        opened.label("page.download_all", count=len(sheets)),
        zipped(sheets),
        file_name=f"{stem}-sheets.zip",
        mime="application/zip",
        key="download-all",
        type="primary",
    )
    components.heading(opened.label("page.each_sheet"))
    for name, content in sheets.items():
        kind = TYPES.get(Path(name).suffix, "application/octet-stream")
        controls.download(name, content, file_name=name, mime=kind, key=f"download-{name}", width=360)
    if opened.read_only:
        return
    components.heading(opened.label("page.all_findings"))
    components.findings(opened, job.findings)


def may_take(opened: OpenProject, name: str) -> bool:
    """Whether whoever reads takes that file away: all is the project's own people's, a link's reader gets
    what is made for them, and nothing that holds the builder's prices or the whole design."""
    if not opened.read_only:
        return True
    link = places.link_by(places.in_address(opened.identity))
    return link is not None and any(fnmatchcase(name, kind) for kind in FOR[link.reader])


def _whole(opened: OpenProject, job: Design, log: tuple[SiteEntry, ...]) -> Design:
    """With its year, its alternates, and every hole as the site log has it, for the record of what is in the
    ceiling."""
    whole = open_project.with_bids(opened, open_project.with_season(opened, job))
    return replace(whole, built=design.judge_holes(job, log)[0])


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
