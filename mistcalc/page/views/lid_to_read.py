"""The patio ceiling for reading: the paper's plan, what clashes, and every mark with its tape."""

from __future__ import annotations

from mistcalc import design, report
from mistcalc.page.open_project import OpenProject
from mistcalc.page.views import background_work, components, controls
from mistcalc.page.views.lid import headline


def show(opened: OpenProject) -> None:
    job = background_work.crews_job(opened, opened.label("page.view_lid"))
    if job is None:
        return
    opened = job.opened
    label, locale = opened.label, opened.locale
    for patio in opened.project.patios:
        layout, findings = design.lay(patio, house=opened.project.house_names)
        if len(opened.project.patios) > 1:
            components.heading(patio.name)
        components.headline(headline(opened, layout))
        components.findings(opened, findings)
        told = label("office.plan", patio=patio.name, count=len(layout.marks))
        pictures = report.ceiling_pictures(job.made, patio.name, locale)
        components.drawings(pictures, told, noted=False)
        components.table(
            [label(f"office.col_{name}") for name in ("mark", "along", "back", "run")],
            [(mark.name, locale.tape(mark.along), locale.tape(mark.back), mark.run) for mark in layout.marks],
        )
        if notes := [note for picture in pictures for note in picture.notes]:
            with controls.collapsible(label("office.plan_notes")):
                for note in notes:
                    components.side(note)
