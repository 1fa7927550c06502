"""What a job is called on what is carried about: whoever holds it must see that it is mirrored."""

from __future__ import annotations

from mistcalc.model.project import Project
from mistcalc.report.common.locale_text import Locale


def job_name(project: Project, locale: Locale) -> str:
    if not project.mirrored_from:
        return project.name
    return locale.label("paper_mirror.name", name=project.name)
