"""The next set of sheets: marks drilled stay, as few others move as can, and the crew gets a change slip."""

from __future__ import annotations

from mistcalc import design, files
from mistcalc.model.earlier_set import EarlierSet
from mistcalc.model.results import Design
from mistcalc.model.site_log import SiteEntry
from mistcalc.page import open_project
from mistcalc.page.open_project import OpenProject, plain_name
from mistcalc.page.views import background_work, components, controls
from mistcalc.page.views.paper import written, zipped
from mistcalc.report.common.change_text import moved_text

MOST = 100  # MB of a plan.json


def show(opened: OpenProject, log: tuple[SiteEntry, ...], number: int) -> None:
    """Takes the plan.json of the set the crew works from, tells what moves, and gives the sheets for it."""
    components.heading(opened.label("on_site.next", number=number))
    components.sentence(opened.label("on_site.next_do"))
    upload = controls.upload(
        opened.label("on_site.next_upload"),
        key=f"set-before-{opened.identity}",
        type=["json"],
        max_upload_size=MOST,
    )
    if upload is None:
        return
    try:
        before = files.parse_earlier_set(upload.getvalue(), plain_name(upload.name))
        of = f"{upload.file_id}{len(log)}"
        made = background_work.in_background(opened, "sheets", lambda: _next_set(opened, before, log), of)
    except Exception as error:
        components.show_errors(open_project.error_sentences(error, opened))
        return
    if made is None:
        return
    job, sheets = made
    if job.change is not None:
        components.sentence(moved_text(job.change, opened.locale))
    letter = job.project.revision.letter
    controls.download(
        opened.label("on_site.next_take", letter=letter, count=len(sheets)),
        zipped(sheets),
        file_name=f"set-{plain_name(letter)}.zip",
        mime="application/zip",
        key="take-next-set",
        type="primary",
    )


def _next_set(
    opened: OpenProject, before: EarlierSet, log: tuple[SiteEntry, ...]
) -> tuple[Design, dict[str, bytes]]:
    """The job as the revision after `before`, with every hole of the log, and its sheets by file name."""
    weather = open_project.weather(opened)
    job = design.run(design.revised(opened.project, before, log), weather, before)
    job = design.with_season(job, weather)
    job = design.with_holes(job, log)
    return job, written(job)
