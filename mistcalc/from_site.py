"""What the command line takes from site: logs, measuring days, and the set of sheets the crew works from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from mistcalc.errors import FilesRefused, InputError, InputErrors, MistcalcError

if TYPE_CHECKING:
    from mistcalc.model.earlier_set import EarlierSet, SetRevision
    from mistcalc.model.measuring_day import MeasuringDay
    from mistcalc.model.project import Project
    from mistcalc.model.results import Design
    from mistcalc.model.site_log import SiteEntry

MOVED = 1e-4  # m


def revision_of(
    project: Project, file: Path | None, keep: str | None, out: str | None, site: Sequence[str] = ()
) -> tuple[Project, EarlierSet | None]:
    """The project as the next revision of the set in a folder, and that set; as it is without one.

    Drilled holes are those of the log beside the project file (None: there is none) and of the logs given,
    which are first put into it.
    """
    from mistcalc import design, files

    keep = _kept_folder(project, file) if keep is None else keep
    project = replace(project, revision=replace(project.revision, keep=""))  # no part of a set's code
    if keep is None:
        return project, None
    if out is not None and Path(out).resolve() == Path(keep).resolve():
        raise InputError("keep-is-out", folder=out)
    before = files.read_earlier_set(keep)
    logs, _ = _read(project, file, site, days_too=False)
    revised = design.revised(project, before, _in_log(file, logs, write=False))
    _in_log(file, logs, write=True)
    return revised, before


def _kept_folder(project: Project, file: Path | None) -> str | None:
    """The folder that the project file keeps, which lies beside it or below: a file from elsewhere names no
    other place of this computer. None where it keeps none, or is no file."""
    kept = project.revision.keep.strip()
    if not kept or file is None:
        return None
    beside = file.parent.resolve()
    folder = (beside / kept).resolve() if "\0" not in kept else beside.parent
    if folder == beside or not folder.is_relative_to(beside):
        raise InputError("keep-outside", "revision.keep", text=kept)
    return str(folder)


def replaced_set(job: Design, out: Path) -> SetRevision | None:
    """The set in the folder that is to be written into, where its marks stood elsewhere: paper of it that a
    crew has is old, and nobody told what moved. None where there is no such set, or one that is kept."""
    from mistcalc import files

    if job.change is not None or not out.is_dir():
        return None
    try:
        before = files.read_earlier_set(out)
    except (InputErrors, OSError):
        return None
    now = {(m.name, m.run): m.along for layout in job.layouts for m in layout.marks}
    moved = {(m.name, m.run): m.along for m in before.marks}
    same = now.keys() == moved.keys() and all(abs(now[key] - at) < MOVED for key, at in moved.items())
    return None if same or before.project != job.project.name else before.revision


def with_site(job: Design, file: Path | None, site: Sequence[str], share: str | None) -> Design:
    """The job with what measuring days and the site log say of it. Logs given are first put into the log
    beside the project, all or, where any file given cannot be read, none."""
    from mistcalc import design, files, report

    logs, days = _read(job.project, file, site)
    day_findings = tuple(finding for day in days for finding in design.judge_day(job, day))
    if share:
        if len(days) != 1:
            raise InputError("day-with-share")
        files.write_new(Path(share), report.anonymous_measuring_day(job, days[0]))
    job = replace(job, findings=(*day_findings, *job.findings))
    only_days = all(files.is_measuring_day(path) for path in site)
    return job if only_days else _with_log(job, _in_log(file, logs, write=True))


def _read(
    project: Project, file: Path | None, site: Sequence[str], days_too: bool = True
) -> tuple[tuple[SiteEntry, ...], list[MeasuringDay]]:
    """All entries and all measuring days of the files given. Raises FilesRefused with the mistakes of every
    file, or what is wrong with the only one. days_too: whether a measuring day is of use here."""
    from mistcalc import files

    logs: list[tuple[SiteEntry, ...]] = [_in_log(file, (), write=False)] if site else []
    days: list[MeasuringDay] = []
    refused: dict[str, MistcalcError] = {}
    for path in dict.fromkeys(site):
        try:
            if files.is_measuring_day(path):
                if not days_too:
                    raise InputErrors(path, (InputError("day-in-plan"),))
                days.append(files.read_measuring_day(path, project))
            else:
                log = files.read_site_log(path, project.name)
                files.merge_logs([*(each[:1] for each in logs), log[:1]], path)  # each is of one kind
                logs.append(log)
        except MistcalcError as mistake:
            refused[path] = mistake
    if len(site) == 1 and refused:
        raise next(iter(refused.values()))
    if refused:
        good = tuple(path for path in dict.fromkeys(site) if path not in refused)
        raise FilesRefused(tuple(refused.values()), good)
    return files.merge_logs(logs[1:]), days


def with_holes(job: Design, file: Path | None) -> Design:
    """The job with every hole as the log beside its file has it."""
    from mistcalc import design

    return design.with_holes(job, _in_log(file, (), write=False))


def _with_log(job: Design, entries: tuple[SiteEntry, ...]) -> Design:
    """The job with what the site log says of its tests, watches and call-backs."""
    from mistcalc import design

    plumbing, place = job.project.plumbing, job.project.place
    _, findings = design.judge_call_backs(job.project, job.line, entries)
    if job.hold is not None:
        findings = (*design.judge_pressure_tests(plumbing, job.line, place, job.hold, entries)[1], *findings)
    _, built = design.judge_holes(job, entries)
    return replace(job, findings=(*findings, *built, *design.struck_out(entries), *job.findings))


def _in_log(file: Path | None, entries: tuple[SiteEntry, ...], write: bool) -> tuple[SiteEntry, ...]:
    """The whole log beside a project file with these entries in it; only told, or written too."""
    from mistcalc import files

    if file is None:
        return entries
    log = files.site_log_path(file)
    if write and entries:
        files.append_site_log(log, entries)
    before = files.read_site_log(log) if log.exists() else ()
    return before if write else files.merge_logs([before, entries])
