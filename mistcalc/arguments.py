"""What the command line takes: commands, their arguments and help, in the language of whoever asks."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Mapping
from functools import partial

from mistcalc import __version__, words

EXAMPLES = ("courtyard", "bayou", "terraza")


def _argparse_speaks(language: str) -> None:
    """argparse has its sentences translated by what it calls `_`; here they are found among our words."""

    def translated(text: str) -> str:
        try:
            return words.label(f"usage.{text}", language=language)
        except KeyError:
            return text

    vars(argparse)["_"] = translated


def _new_arguments(new: argparse.ArgumentParser, say: Callable[[str], str]) -> None:
    new.add_argument("name", metavar=say("meta.name"), help=say("cli.new_name"))
    new.add_argument("--example", choices=EXAMPLES, help=say("cli.new_example"))
    new.add_argument("--run", action="append", metavar=say("meta.length"), help=say("cli.new_run"))
    new.add_argument("--depth", metavar=say("meta.length"), help=say("cli.new_depth"))
    new.add_argument("--corner", action="append", choices=("inside", "outside"), help=say("cli.new_corner"))
    new.add_argument("--mirror", metavar=say("meta.file"), help=say("cli.new_mirror"))
    new.add_argument("--from", dest="drawing", metavar=say("meta.file"), help=say("cli.new_drawing"))
    new.add_argument("--map", metavar=say("meta.file"), help=say("cli.new_map"))
    new.add_argument("--scale-check", metavar=say("meta.length"), help=say("cli.new_scale"))
    new.add_argument("--near", metavar=say("meta.town"), help=say("cli.new_near"))


def argument_parser(
    language: str, commands: Mapping[str, Callable[[argparse.Namespace], int]]
) -> argparse.ArgumentParser:
    """What a command line may say, in a language. commands: what each does, by name."""
    say, known = partial(words.label, language=language), words.languages()
    hint = say("cli.language") if len(known) > 1 else argparse.SUPPRESS
    _argparse_speaks(language)
    parser = argparse.ArgumentParser(prog="mistcalc", description=say("cli.mistcalc"), allow_abbrev=False)
    version = f"mistcalc {__version__}"
    parser.add_argument("--version", action="version", version=version, help=say("cli.version"))
    known_commands = parser.add_subparsers(required=True, metavar=say("meta.command"), dest="name_of_command")

    def command(name: str) -> argparse.ArgumentParser:
        about = say(f"cli.{name}")
        made = known_commands.add_parser(name, help=about, description=about, allow_abbrev=False)
        made.set_defaults(command=commands[name])
        made.add_argument("--language", choices=known, help=hint)
        return made

    new = command("new")
    _new_arguments(new, say)

    check = command("check")
    plan = command("plan")
    season = command("season")
    options = command("options")
    for made in (check, plan, season, options):
        made.add_argument("file", metavar=say("meta.file"), help=say("cli.file"))
        made.add_argument("--climate", metavar=say("meta.file"), help=say("cli.climate"))
        made.add_argument("--json", action="store_true", help=say("cli.json"))
    for made, about in ((check, say("cli.site")), (plan, say("cli.site_kept"))):
        made.add_argument("--site", nargs="+", action="extend", metavar=say("meta.file"), help=about)
    check.add_argument("--share", metavar=say("meta.file"), help=say("cli.share"))
    for made in (check, plan):
        made.add_argument("--keep", metavar=say("meta.dir"), help=say("cli.keep"))
    plan.add_argument("--out", metavar=say("meta.dir"), help=say("cli.out"))
    plan.add_argument("--pole", choices=("sheets", "roll"), help=say("cli.pole"))
    plan.add_argument(
        "--also", choices=("ifc", "parquet"), nargs="+", action="extend", default=[], help=say("cli.also")
    )
    for made in (new, check, plan, season, options):
        made.add_argument("--units", choices=("us", "metric"), help=say("cli.units"))

    season.add_argument("--find-rule", action="store_true", help=say("cli.find_rule"))
    season.add_argument("--most-water", metavar=say("meta.volume"), help=say("cli.most_water"))

    options.add_argument("--water", metavar=say("meta.flow"), help=say("cli.most_flow"))
    options.add_argument("--motor", metavar=say("meta.power"), help=say("cli.most_motor"))
    options.add_argument("--floor", metavar=say("meta.share"), help=say("cli.most_floor"))
    options.add_argument("--cost", metavar=say("meta.amount"), help=say("cli.most_cost"))

    _of_fleet(command("fleet"), say)

    page = command("page")
    page.add_argument("file", nargs="?", metavar=say("meta.file"), help=say("cli.page_file"))
    page.add_argument("--port", type=int, metavar=say("meta.port"), help=say("cli.port"))
    page.add_argument("--host", default="127.0.0.1", metavar=say("meta.address"), help=say("cli.host"))
    page.add_argument("--secrets", metavar=say("meta.file"), help=say("cli.secrets"))
    return parser


def _of_fleet(fleet: argparse.ArgumentParser, say: Callable[[str], str]) -> None:
    fleet.add_argument("lots", metavar=say("meta.lots"), help=say("cli.lots"))
    fleet.add_argument("--out", metavar=say("meta.dir"), required=True, help=say("cli.fleet_out"))
    fleet.add_argument("--sheets", action="store_true", help=say("cli.fleet_sheets"))
    fleet.add_argument(
        "--processes", type=int, default=0, metavar=say("meta.count"), help=say("cli.processes")
    )
    fleet.add_argument("--scheduler", metavar=say("meta.address"), help=say("cli.scheduler"))
    fleet.add_argument("--units", choices=("us", "metric"), help=say("cli.fleet_units"))
