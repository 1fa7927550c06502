"""The command line: parse, call, print; no sums.

Exit 0: fine. 1: the design has failing findings. 2: input or data that cannot be used, or a disk that
cannot be written; clear lines on stderr and no traceback (set MISTCALC_TRACEBACK=1 to see one).
Nothing heavy is imported before a command runs, so that --help is quick.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from mistcalc import __version__, words
from mistcalc.errors import DataError, InputError, InputErrors, MistcalcError, raised_at

if TYPE_CHECKING:
    from mistcalc.model.measuring_day import MeasuringDay
    from mistcalc.model.project import Project
    from mistcalc.model.results import Design
    from mistcalc.model.site_log import SiteEntry

FINE, FAILING, UNUSABLE, STOPPED = 0, 1, 2, 130
STDIN = "-"
MOST_STDIN = 2_000_000  # bytes; the reader's own limit is lower and says so
EXAMPLES = ("courtyard", "bayou", "terraza")


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code. Argument errors and --help leave by SystemExit."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")  # a terminal without a degree sign still gets the number
    options = _parser().parse_args(arguments)
    try:
        return options.command(options)
    except KeyboardInterrupt:
        return STOPPED
    except InputErrors as mistakes:
        return _complain(words.say(mistakes, _units(options)))
    except MistcalcError as error:
        return _complain(words.say(error, _units(options)))
    except OSError as fault:
        reason = fault.strerror or type(fault).__name__
        return _complain(words.say(DataError("disk", path=_at_fault(fault, options), reason=reason)))
    except Exception as fault:
        if os.environ.get("MISTCALC_TRACEBACK"):
            raise
        return _complain(words.say(DataError("fault", kind=type(fault).__name__, at=raised_at(fault))))


# ------------------------------------------------------------------ commands


def _new(options: argparse.Namespace) -> int:
    from mistcalc import files

    path = _new_file(options.name)
    if options.example and (options.run or options.depth or options.corner or options.near):
        raise InputError("example-with-lengths")
    if options.example:
        text = files.example_text(options.example)
    elif options.run and options.depth:
        text = files.new_project_text(
            name=_title(options.name),
            runs=options.run,
            depth=options.depth,
            corners=options.corner or (),
            near=options.near,
        )
    else:
        raise InputError("nothing-to-lay")
    if options.name == STDIN:
        _print(text)
        return FINE
    files.write_new(path, text)
    _print(words.label("cli.wrote", path=str(path)) + "\n")
    if options.example:
        _print(words.label("cli.next", path=str(path)) + "\n")
        return FINE
    if options.near is None:
        _print(words.label("cli.guessed", known=files.climate_sample_names()) + "\n")
    design = _designed(files.read_project(path), None, path.parent)
    return _show(design, options, ())


def _check(options: argparse.Namespace) -> int:
    from mistcalc import report

    design = _read_and_design(options)
    if options.site:
        design = _with_site(design, options)
    elif options.share:
        raise InputError("day-with-share")
    if options.json:
        _print(report.findings_json(design))
    else:
        units, language = options.units or design.project.units, design.project.language
        _print(report.findings_page(design, options.file, units, language))
    return FAILING if design.failed else FINE


def _plan(options: argparse.Namespace) -> int:
    from mistcalc import report

    design = _read_and_design(options)
    written: tuple[Path, ...] = ()
    if options.out is not None:
        _progress("cli.drawing")
        written = report.write(design, Path(options.out), options.units)
    return _show(design, options, written)


def _page(options: argparse.Namespace) -> int:
    from mistcalc import words
    from mistcalc.page import server

    def announce(address: str) -> None:
        print(words.label("cli.page_address", address=address), flush=True)

    server.serve(options.file, options.port, announce=announce)
    return FINE


# ------------------------------------------------------------------ what commands share


def _read_and_design(options: argparse.Namespace) -> Design:
    project, beside = _project(options.file)
    return _designed(project, options.climate, beside)


def _project(file: str) -> tuple[Project, Path]:
    """The project, and the folder in which its climate file is looked for."""
    from mistcalc import files

    if file != STDIN:
        return files.read_project(Path(file)), Path(file).parent
    return files.parse_project(sys.stdin.buffer.read(MOST_STDIN), STDIN), Path.cwd()


def _designed(project: Project, climate: str | None, beside: Path) -> Design:
    """The whole job. `climate`: a file (or a sample's name) to use instead of the project's."""
    from mistcalc import design, files

    weather = None
    if climate is not None:
        path = Path(climate)
        _progress("cli.reading")
        weather = files.read_climate(path if path.exists() else files.climate_path(climate, Path.cwd()))
    elif project.place.climate is not None:
        _progress("cli.reading")
        weather = files.read_climate(files.climate_path(project.place.climate, beside))
    _progress("cli.working")
    return design.run(project, weather)


def _with_site(job: Design, options: argparse.Namespace) -> Design:
    """The job with what measuring days and the site log say of it. Logs given are first put into the log
    beside the project, all or, where any file given cannot be read, none."""
    from dataclasses import replace

    from mistcalc import design, files

    days = [
        files.read_measuring_day(path, job.project) for path in options.site if files.is_measuring_day(path)
    ]
    found = tuple(finding for day in days for finding in design.judge_day(job, day))
    logs = [files.read_site_log(path) for path in options.site if not files.is_measuring_day(path)]
    if options.share:
        _share(job, days, options.share)
    job = replace(job, findings=(*found, *job.findings))
    return _with_log(job, files.merge_logs(logs), options) if logs else job


def _share(job: Design, days: Sequence[MeasuringDay], to: str) -> None:
    """One measuring day written to give away."""
    from mistcalc import files, report

    if len(days) != 1:
        raise InputError("day-with-share")
    files.write_new(Path(to), report.anonymous_measuring_day(job, days[0]))


def _with_log(job: Design, entries: tuple[SiteEntry, ...], options: argparse.Namespace) -> Design:
    """The job with what the site log says of its tests, watches and call-backs, once `entries` are in it."""
    from dataclasses import replace

    from mistcalc import design, files

    if options.file != STDIN:
        log = files.site_log_path(Path(options.file))
        files.append_site_log(log, entries)
        entries = files.read_site_log(log) if log.exists() else entries
    plumbing, place = job.project.plumbing, job.project.place
    _, found = design.judge_call_backs(job.project, job.line, entries)
    if job.hold is not None:
        found = (*design.judge_pressure_tests(plumbing, job.line, place, job.hold, entries)[1], *found)
    return replace(job, findings=(*found, *design.struck_out(entries), *job.findings))


def _show(design: Design, options: argparse.Namespace, written: Sequence[Path]) -> int:
    from mistcalc import report

    if getattr(options, "json", False):
        _print(report.plan_json(design))
    else:
        _print(report.job_summary_text(design, options.units, files=written))
    return FAILING if design.failed else FINE


def _new_file(name: str) -> Path:
    """The file `new` writes: NAME, or NAME.toml."""
    path = Path(name)
    if path.name in ("", ".."):
        raise InputError("name-of-no-file", text=name)
    return path if path.suffix == ".toml" else path.with_name(f"{path.name}.toml")


def _at_fault(fault: OSError, options: argparse.Namespace) -> str:
    """What a person knows of the place a disk refused: the temporary files beside it are our affair."""
    asked = getattr(options, "out", None) or getattr(options, "name", None) or options.name_of_command
    known = fault.filename is not None and not Path(str(fault.filename)).name.startswith(".")
    return str(fault.filename if known else asked)


def _title(name: str) -> str:
    """A job's name from the name of its file: "tinaja-lane.toml" -> "Tinaja lane"."""
    stem = Path(name).name.removesuffix(".toml").replace("-", " ").replace("_", " ").strip()
    return stem[:1].upper() + stem[1:]


def _units(options: argparse.Namespace) -> Any:
    return getattr(options, "units", None) or "us"


def _print(text: str) -> None:
    """To stdout, at once. A reader that has closed the pipe has read enough: no error."""
    try:
        sys.stdout.write(text)
        sys.stdout.flush()
    except OSError as fault:
        # What is left in the buffer would fail again as Python ends.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        if not isinstance(fault, BrokenPipeError):
            raise


def _complain(text: str) -> int:
    try:
        sys.stderr.write(f"{text}\n")
        sys.stderr.flush()
    except OSError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stderr.fileno())
    return UNUSABLE


def _progress(key: str) -> None:
    if sys.stderr.isatty():
        sys.stderr.write(f"{words.label(key)}\n")


# ------------------------------------------------------------------ arguments


def _parser() -> argparse.ArgumentParser:
    say = words.label
    parser = argparse.ArgumentParser(prog="mistcalc", description=say("cli.mistcalc"), allow_abbrev=False)
    parser.add_argument("--version", action="version", version=f"mistcalc {__version__}")
    commands = parser.add_subparsers(required=True, metavar="COMMAND", dest="name_of_command")

    def command(name: str, run: Callable[[argparse.Namespace], int]) -> argparse.ArgumentParser:
        made = commands.add_parser(
            name, help=say(f"cli.{name}"), description=say(f"cli.{name}"), allow_abbrev=False
        )
        made.set_defaults(command=run)
        return made

    new = command("new", _new)
    new.add_argument("name", metavar="NAME", help=say("cli.new_name"))
    new.add_argument("--example", choices=EXAMPLES, help=say("cli.new_example"))
    new.add_argument("--run", action="append", metavar="LENGTH", help=say("cli.new_run"))
    new.add_argument("--depth", metavar="LENGTH", help=say("cli.new_depth"))
    new.add_argument("--corner", action="append", choices=("inside", "outside"), help=say("cli.new_corner"))
    new.add_argument("--near", metavar="SAMPLE", help=say("cli.new_near"))

    check = command("check", _check)
    plan = command("plan", _plan)
    for made in (check, plan):
        made.add_argument("file", metavar="FILE", help=say("cli.file"))
        made.add_argument("--climate", metavar="FILE", help=say("cli.climate"))
        made.add_argument("--json", action="store_true", help=say("cli.json"))
    check.add_argument("--site", nargs="+", action="extend", metavar="FILE", help=say("cli.site"))
    check.add_argument("--share", metavar="FILE", help=say("cli.share"))
    plan.add_argument("--out", metavar="DIR", help=say("cli.out"))
    for made in (new, check, plan):
        made.add_argument("--units", choices=("us", "metric"), help=say("cli.units"))

    page = command("page", _page)
    page.add_argument("file", nargs="?", metavar="FILE", help=say("cli.page_file"))
    page.add_argument("--port", type=int, help=say("cli.port"))
    return parser
