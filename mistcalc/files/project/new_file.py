"""New project files: a shipped demo as it is, or a first file from a few lengths."""

from __future__ import annotations

import gzip
import re
from collections.abc import Sequence
from dataclasses import replace
from importlib import resources
from itertools import pairwise
from typing import Any

from mistcalc import units, words
from mistcalc.errors import InputError, InputErrors
from mistcalc.files.climate.station_file import SAMPLES, climate_path
from mistcalc.files.project.reader import parse_project
from mistcalc.files.project.rewriting import rewrite
from mistcalc.files.project.value_writer import quoted

EXAMPLES = ("courtyard", "bayou", "terraza")
NO_DAYLIGHT_SAVING = ("tucson",)  # most of Arizona keeps standard time all year
MOST_RUNS = 26  # one letter each


def example_text(which: str, language: str = "en") -> str:
    """The text of a shipped demo. language: of its sheets. Raises InputError for a name not in EXAMPLES."""
    if which not in EXAMPLES:
        raise InputError("example-unknown", "--example", text=which, known=EXAMPLES)
    text = resources.files("mistcalc.files").joinpath("demos", f"{which}.toml").read_text("utf-8")
    return text if language == "en" else rewrite(text, replace(parse_project(text), language=language))


def climate_sample_names() -> tuple[str, ...]:
    """Names a project may give as `place.climate` without having a file."""
    return tuple(SAMPLES)


def new_project_text(
    name: str,
    runs: Sequence[str],
    depth: str,
    corners: Sequence[str] = (),
    near: str | None = None,
    language: str = "en",
) -> str:
    """A commented project file for a lid of these runs, joined at corners in the order they are walked.

    runs, depth: lengths as typed ("38 ft", "12 m"); metric ones make a metric file. corners: "inside" or
    "outside", one for each corner, the last one for all that follow; none is inside. near: a climate sample;
    without one the file holds a guess of a hot afternoon, and says so. language: of remarks and sheets.
    Raises InputErrors, all mistakes together, or DataError for a sample that does not exist.
    """
    metric = _lengths(runs, depth, corners)
    near = near.strip().lower() if near is not None else None
    body = _Text(metric, language).file(name, list(runs), depth, [*corners] or ["inside"], near)
    parse_project(body, "new")  # names, lid too long, depth of 1 km: said before a file is written
    return body


def _lengths(runs: Sequence[str], depth: str, corners: Sequence[str]) -> bool:
    """Whether the lengths are metric. Raises InputErrors for what is no length, or no lid."""
    mistakes: list[InputError] = []
    if not runs:
        mistakes.append(InputError("runs-missing", "--run"))
    if len(runs) > MOST_RUNS:
        mistakes.append(InputError("too-many", "--run", key="--run", count=len(runs), most=MOST_RUNS))
    for where, text in [*(("--run", run) for run in runs[:MOST_RUNS]), ("--depth", depth)]:
        try:
            if units.parse(text, "length") <= 0:
                mistakes.append(InputError("not-above-zero", where, key=where, text=text))
        except InputError as mistake:
            values = {k: v for k, v in mistake.values.items() if k not in ("where", "line")}
            mistakes.append(InputError(mistake.code, where, **values))  # type: ignore[arg-type]
    for corner in corners:
        if corner not in ("inside", "outside"):
            known = ("inside", "outside")
            mistakes.append(InputError("choice-unknown", "--corner", text=corner, nearest="", choices=known))
    if len(corners) > max(len(runs) - 1, 0):
        mistakes.append(InputError("too-many-corners", "--corner", count=len(corners), runs=len(runs)))
    if mistakes:
        raise InputErrors("new", tuple(mistakes))
    return bool(runs) and re.search(r"[0-9\s](m|mm|cm|met(er|re)s?)\s*$", runs[0]) is not None


def _elevation(near: str) -> float:
    """Metres, from the head of the sample."""
    with gzip.open(climate_path(near, None), "rt", encoding="utf-8", errors="replace") as stream:
        match = re.search(r"elev_m=(-?[0-9.]+)", stream.read(400))
    return float(match[1]) if match else 0.0


class _Text:
    """The lines of a new file. What the user said is stated; the rest stands there as a comment, ready to
    be made a statement, and is assumed until then."""

    def __init__(self, metric: bool, language: str) -> None:
        self.metric = metric
        self.language = language

    def say(self, key: str, **values: Any) -> str:
        return words.label(f"new_file.{key}", language=self.language, **values)

    def remark(self, key: str, **values: Any) -> str:
        """Lines of remarks."""
        return "".join(f"# {line}\n" for line in self.say(key, **values).splitlines())

    def head(self, key: str) -> str:
        return f"# {'-' * 66} {self.say(key)}\n"

    def pick(self, us: str, metric: str) -> str:
        return metric if self.metric else us

    def file(self, name: str, runs: list[str], depth: str, corners: list[str], near: str | None) -> str:
        letters = [chr(ord("A") + n) for n in range(len(runs))]
        parts = [self._head(name), self._place(near), self._patio(depth)]
        for n, length in enumerate(runs):
            corner = corners[min(n, len(corners) - 1)] if n < len(runs) - 1 else None
            parts.append(self._run(letters[n], length, corner, n == 0))
        parts += [self._things(), self._line(letters), self._end(letters)]
        return "".join(parts)

    def _head(self, name: str) -> str:
        spellings = self.pick(
            '"9 ft 6-1/2 in"   "1000 psi"   "0.029 gpm"   "150 degF"',
            '"2.9 m"   "600 mm"   "70 bar"   "6.6 L/h"   "65 degC"',
        )
        stated = "" if self.language == "en" else f'language = "{self.language}"\n'
        return f"""\
{self.remark("head", spellings=spellings)}\
format = 1
name   = {quoted(name)}
units  = "{self.pick("us", "metric")}"
{stated}
"""

    def _place(self, near: str | None) -> str:
        rest = f"""\
# surroundings = "suburb"     # {self.say("surroundings")}
# shelter = "50 %"            # {self.say("shelter")}
# bearing = "0 deg"           # {self.say("bearing")}

"""
        if near is None:
            hot = self.pick(
                'dry_bulb = "100 degF", relative_humidity = "20 %", wind_on_patio = "2 mph"',
                'dry_bulb = "38 degC", relative_humidity = "20 %", wind_on_patio = "1 m/s"',
            )
            return f"""\
[place]
elevation = "{self.pick("0 ft", "0 m")}"   # {self.say("guess")}
{self.remark("guess_afternoon", samples=", ".join(climate_sample_names()))}\
afternoon = [ {{ name = "hot", {hot} }} ]
{rest}"""
        elevation = _elevation(near)
        size = f"{elevation:g} m" if self.metric else f"{round(units.from_si(elevation, 'ft', 'length'))} ft"
        saving = "none" if near in NO_DAYLIGHT_SAVING else "us"
        return f"""\
[place]
elevation = "{size}"   # {self.say("station")}
climate   = "{near}"   # {self.say("climate")}
daylight_saving = "{saving}"
{rest}"""

    def _patio(self, depth: str) -> str:
        return f"""\
{self.head("lid")}\
[[patio]]
name   = {quoted(self.say("patio_name"))}
depth  = {quoted(depth)}   # {self.say("patio_depth")}
# height = "{self.pick("10 ft", "3 m")}"   # {self.say("height")}
# line_behind_edge = "{self.pick("6 in", "150 mm")}"
# back = "wall"   # {self.say("back")}

{self.remark("house")}\
[patio.house]
# above_lid = "{self.pick("0 ft", "0 m")}"
# past_start = "{self.pick("10 ft", "3 m")}"   # {self.say("past_start")}
# past_end = "{self.pick("10 ft", "3 m")}"
# depth = "{self.pick("30 ft", "9 m")}"   # {self.say("house_depth")}

[patio.plaster]
# system = "three-coat"   # {self.say("system")}
# thickness = "{self.pick("7/8 in", "22 mm")}"   # {self.say("thickness")}

[patio.marks]
# pitch = "{self.pick("24 in", "600 mm")}"   # {self.say("pitch")}
# from_wall = "{self.pick("24 in", "600 mm")}"

{self.remark("walk")}\
"""

    def _run(self, letter: str, length: str, corner: str | None, first: bool) -> str:
        lines = [f'[[patio.run]]\nname   = "{letter}"\nlength = {quoted(length)}']
        if first:
            lines.append(f'# starts_at = "wall"   # {self.say("end")}')
        if corner:
            lines.append(f'then   = "{corner} corner"')
        else:
            lines.append(f'# ends_at = "wall"   # {self.say("end")}')
        end = "start" if first or corner else "end"  # as the reader assumes it
        surface = "wall framing" if first or not corner else "framing at the corner"
        surface = words.word(f"face of {surface}", self.language)
        datum = f'{{ end = "{end}", surface = {quoted(surface)} }}'
        lines.append(f"# datum = {datum}   # {self.say('datum')}")
        framing = self.pick(
            'spacing = "16 in", first = "15-1/4 in", width = "1-1/2 in", depth = "9-1/4 in"',
            'spacing = "400 mm", first = "378 mm", width = "45 mm", depth = "235 mm"',
        )
        lines.append(f'# framing = {{ lies = "across", {framing} }}')
        along = self.pick("6 ft 7-1/4 in", "2 m")
        lines.append(f'# joints = [ {{ name = "J1", along = "{along}" }} ]   # {self.say("joints")}')
        return "\n".join(lines) + "\n\n"

    def _things(self) -> str:
        along, back = self.pick("9 ft", "2.7 m"), self.pick("6 ft", "1.8 m")
        return f"""\
{self.remark("things")}\
# [[patio.obstacle]]
# name = {quoted(self.say("fan"))}
# kind = "fan"
# run  = "A"
# along = "{along}"   # {self.say("along")}
# back  = "{back}"   # {self.say("from_edge")}
# size  = "{self.pick("60 in", "1500 mm")}"   # {self.say("sweep")}

{self.remark("screens")}\
# [[patio.screen]]
# name = {quoted(self.say("screen"))}
# run  = "A"
# height = "{self.pick("5 ft", "1.5 m")}"
# out  = "{self.pick("3 ft", "1 m")}"   # {self.say("out")}
# open = "30 %"   # {self.say("open")}

# [[patio.seat]]
# name = {quoted(self.say("seat"))}
# run  = "A"
# along = "{along}"
# back  = "{back}"

"""

    def _line(self, letters: list[str]) -> str:
        joins = "".join(
            f"""
[[line.piece]]
from   = "{before} end"
to     = "{after} start"
length = "{self.pick("0 in", "0 mm")}"   # {self.say("corner")}
fittings = {{ elbow = 1 }}
"""
            for before, after in pairwise(letters)
        )
        return f"""\
{self.head("line")}\
[line]
# tube_temperature = "{self.pick("150 degF", "65 degC")}"   # {self.say("tube_temperature")}

[line.nozzle]
# label = {quoted(words.word("0.012 in orifice", self.language))}
# flow = "{self.pick("0.029 gpm", "6.6 L/h")}"
# at = "{self.pick("1000 psi", "70 bar")}"

[line.tube]
# material = "stainless 304"
# outside = "{self.pick("3/8 in", "10 mm")}"
# wall = "{self.pick("0.035 in", "1 mm")}"

{self.remark("feed")}\
[[line.piece]]
from   = "pump"
to     = "{letters[0]} start"
length = "{self.pick("30 ft", "10 m")}"
rise   = "{self.pick("9 ft", "2.7 m")}"
fittings = {{ elbow = 4, "ball valve" = 1, "solenoid valve" = 1 }}
{joins}
"""

    def _end(self, letters: list[str]) -> str:
        return f"""\
# [line.drain]
# at = "{letters[-1]} end"   # {self.say("lowest")}
# slope = "{self.pick("1/8 in per ft", "10 mm per m")}"

[pump]   # {self.say("mains")}
# set_pressure = "{self.pick("1000 psi", "70 bar")}"

[water]
# static = "{self.pick("60 psi", "4 bar")}"      # {self.say("standing")}
# residual = "{self.pick("45 psi", "3 bar")}"    # {self.say("running")}
# at_flow = "{self.pick("3 gpm", "11 L/min")}"
"""
