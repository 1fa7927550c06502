"""The command line: parse, call, print; no sums.

Exit 0: fine. 1: the design has failing findings. 2: input or data that cannot be used, or a disk that
cannot be written; clear lines on stderr and no traceback (set MISTCALC_TRACEBACK=1 to see one).
Nothing heavy is imported before a command runs, so that --help is quick.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from mistcalc import words
from mistcalc.arguments import argument_parser
from mistcalc.errors import DataError, InputError, MistcalcError, raised_at
from mistcalc.which_language import language_asked_for, language_of

if TYPE_CHECKING:
    from mistcalc.model.earlier_set import EarlierSet
    from mistcalc.model.project import Project
    from mistcalc.model.results import Design, Weather

FINE, FAILING, UNUSABLE, STOPPED = 0, 1, 2, 130
STDIN = "-"
MOST_STDIN = 2_000_000  # bytes; the reader's own limit is lower and says so


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code. Argument errors and --help leave by SystemExit."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")  # a terminal without a degree sign still gets the number
    arguments = sys.argv[1:] if arguments is None else arguments
    commands = {
        "new": _new, "check": _check, "plan": _plan, "season": _season, "options": _options, "fleet": _fleet,
        "page": _page,
    }  # fmt: skip
    options = argument_parser(language_asked_for(arguments), commands).parse_args(arguments)
    try:
        return options.command(options)
    except KeyboardInterrupt:
        return STOPPED
    except MistcalcError as error:
        return _complain(error, options)
    except OSError as fault:
        reason = fault.strerror or type(fault).__name__
        return _complain(DataError("disk", path=_at_fault(fault, options), reason=reason), options)
    except Exception as fault:
        library = (getattr(fault, "name", None) or "") if isinstance(fault, ModuleNotFoundError) else ""
        if library and library.split(".")[0] != "mistcalc":
            return _complain(DataError("library-missing", library=library), options)
        if os.environ.get("MISTCALC_TRACEBACK"):
            raise
        return _complain(DataError("fault", kind=type(fault).__name__, at=raised_at(fault)), options)


# ------------------------------------------------------------------ commands


def _new(options: argparse.Namespace) -> int:
    from mistcalc import files, new_project, report

    path = _new_file(options.name)
    made = new_project.made(options, _title(options.name), _language(options))
    if options.name == STDIN:
        _print(made.text)
        return FINE
    files.write_new(path, made.text)
    _print(_label(options, "wrote", path=str(path)) + "\n")
    for told in made.told:
        _print(told + "\n")
    if options.example:
        _print(_label(options, "next", path=str(path)) + "\n")
        return FINE
    design = _designed(files.read_project(path), path.parent, options)
    for finding in report.about_climate(design.findings):
        _print(words.say(finding, options.units or design.project.units, _language(options)) + "\n")
    return _show(design, options, ())


def _check(options: argparse.Namespace) -> int:
    from mistcalc import from_site, report

    project, beside = _project(options.file)
    project, before = from_site.revision_of(project, _file(options), options.keep, None)
    design = _designed(project, beside, options, before)
    if options.site:
        design = from_site.with_site(design, _file(options), options.site, options.share)
    elif options.share:
        raise InputError("day-with-share")
    elif before is not None:
        design = from_site.with_holes(design, _file(options))
    if options.json:
        _print(report.findings_json(design))
    else:
        project = design.project
        spoken = options.units or project.units, options.language or project.language
        _print(report.findings_page(design, options.file, *spoken))
    return FAILING if design.failed else FINE


def _plan(options: argparse.Namespace) -> int:
    from mistcalc import design, from_site, report

    project, beside = _project(options.file)
    if options.site and options.keep is None and not project.revision.keep:
        raise InputError("site-without-keep")
    report.need_libraries(options.also)  # told before anything is worked out
    taken = (_file(options), options.keep, options.out, options.site or ())
    project, before = from_site.revision_of(project, *taken)
    weather = _weather(project, beside, options)
    _progress("working", options)
    job = from_site.with_holes(design.run(project, weather, before), _file(options))
    if options.out is not None or options.json:
        job = design.with_season(job, weather)
    written: tuple[Path, ...] = ()
    if options.out is not None:
        _progress("drawing", options)
        job = design.with_bids(job, _alternates(options.file, project), weather)
        if old := from_site.replaced_set(job, Path(options.out)):
            told = _label(options, "old_marks", folder=options.out, letter=old.letter, code=old.code)
            print(told, file=sys.stderr)
        spoken = options.units, options.language
        written = report.write(job, Path(options.out), *spoken, options.pole, options.also)
    return _show(job, options, written)


def _season(options: argparse.Namespace) -> int:
    from mistcalc import design, files, report, units

    project, beside = _project(options.file)
    weather = _weather(project, beside, options)
    _progress("working", options)
    spoken = options.units or project.units, options.language or project.language
    if options.find_rule:
        from mistcalc.design.rule import rule_of

        most = None if options.most_water is None else units.parse(options.most_water, "volume")
        found = rule_of(project, weather, spoken[0], most)
        keys = files.control_lines(found.control, spoken[0]) if found.control else ()
        words_of_rule = report.rule_sentences(found, project, keys, *spoken)
        _print(report.rule_json(found, project.name) if options.json else words_of_rule)
        return FINE
    if options.most_water is not None:
        raise InputError("water-without-rule")
    season, findings = design.season_of(project, weather)
    if options.json:
        _print(report.season_json(season, findings, project.name))
    else:
        _print(report.season_sentences(season, findings, project, *spoken))
    return FINE


def _options(options: argparse.Namespace) -> int:
    from mistcalc import report, units
    from mistcalc.model.results import Wishes
    from mistcalc.options import amount, options_of

    project, beside = _project(options.file)
    weather = _weather(project, beside, options)
    _progress("working", options)
    spoken = options.units or project.units, options.language or project.language
    wishes = Wishes(
        water=None if options.water is None else units.parse(options.water, "flow"),
        motor=None if options.motor is None else units.parse(options.motor, "power"),
        floor=None if options.floor is None else units.parse(options.floor, "share"),
        cost=None if options.cost is None else amount(options.cost),
    )
    ladder = options_of(project, weather, spoken[0], wishes)
    if options.json:
        _print(report.options_json(ladder, project.name))
    else:
        _print(report.options_sentences(ladder, project, *spoken))
    return FINE


def _fleet(options: argparse.Namespace) -> int:
    from mistcalc.fleet import FleetWish, run_fleet
    from mistcalc.fleet.progress import Progress

    asked = (options.processes, options.scheduler, options.sheets, options.units, options.language)
    shown = Progress(sys.stderr, _language(options)) if sys.stderr.isatty() else None
    done = run_fleet(FleetWish(Path(options.lots), Path(options.out), *asked), *([shown] if shown else []))
    _print(done.text)
    return UNUSABLE if not done.answered else FINE if done.sound else FAILING


def _page(options: argparse.Namespace) -> int:
    from mistcalc.page import server

    def announce(address: str) -> None:
        print(_label(options, "page_address", address=address), flush=True)

    server.serve(options.file, options.port, announce=announce, host=options.host, secrets=options.secrets)
    return FINE


# ------------------------------------------------------------------ what commands share


def _project(file: str) -> tuple[Project, Path]:
    """The project, and the folder in which its climate file is looked for."""
    from mistcalc import files

    if file != STDIN:
        return files.read_project(Path(file)), Path(file).parent
    return files.parse_project(_typed_in(), STDIN), Path.cwd()


@cache
def _typed_in() -> bytes:
    """What standard input holds: it can be read once."""
    return sys.stdin.buffer.read(MOST_STDIN)


def _alternates(file: str, project: Project) -> tuple[Project, ...]:
    from mistcalc import files

    if not project.alternates:
        return ()
    return files.alternate_projects(project, _typed_in() if file == STDIN else Path(file).read_bytes())


def _file(options: argparse.Namespace) -> Path | None:
    return None if options.file == STDIN else Path(options.file)


def _designed(
    project: Project, beside: Path, options: argparse.Namespace, before: EarlierSet | None = None
) -> Design:
    """The whole job, with the climate file or sample of the options in place of the project's."""
    from mistcalc import design

    weather = _weather(project, beside, options)
    _progress("working", options)
    return design.run(project, weather, before)


def _weather(project: Project, beside: Path, options: argparse.Namespace) -> Weather | None:
    from mistcalc import files

    climate = getattr(options, "climate", None)
    if climate is not None:
        path = Path(climate)
        _progress("reading", options)
        return files.read_climate(path if path.exists() else files.climate_path(climate, Path.cwd()))
    if project.place.climate is None:
        return None
    _progress("reading", options)
    return files.read_climate(files.climate_path(project.place.climate, beside))


def _show(design: Design, options: argparse.Namespace, written: Sequence[Path]) -> int:
    from mistcalc import report

    if getattr(options, "json", False):
        _print(report.plan_json(design))
    else:
        _print(report.job_summary_text(design, options.units, options.language, files=written))
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


def _language(options: argparse.Namespace) -> str:
    return options.language or language_of(getattr(options, "file", None))


def _label(options: argparse.Namespace, key: str, **values: Any) -> str:
    return words.label(f"cli.{key}", language=_language(options), **values)


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


def _complain(error: MistcalcError, options: argparse.Namespace) -> int:
    units: Any = getattr(options, "units", None) or "us"
    try:
        sys.stderr.write(
            f"{words.say(error, units, options.language or language_of(getattr(options, 'file', None)))}\n"
        )
        sys.stderr.flush()
    except OSError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stderr.fileno())
    return UNUSABLE


def _progress(key: str, options: argparse.Namespace) -> None:
    if sys.stderr.isatty():
        sys.stderr.write(f"{_label(options, key)}\n")
