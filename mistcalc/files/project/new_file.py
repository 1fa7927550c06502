"""New project files: a shipped demo as it is, or a first file from a few lengths."""

from __future__ import annotations

import gzip
import re
from collections.abc import Sequence
from importlib import resources
from itertools import pairwise

from mistcalc import units
from mistcalc.errors import InputError, InputErrors
from mistcalc.files.climate.station_file import SAMPLES, climate_path
from mistcalc.files.project.reader import parse_project
from mistcalc.files.project.value_writer import quoted

EXAMPLES = ("courtyard", "bayou", "terraza")
NO_DAYLIGHT_SAVING = ("tucson",)  # most of Arizona keeps standard time all year
MOST_RUNS = 26  # one letter each


def example_text(which: str) -> str:
    """The text of a shipped demo. Raises InputError for a name that is none of EXAMPLES."""
    if which not in EXAMPLES:
        raise InputError("example-unknown", "--example", text=which, known=EXAMPLES)
    return resources.files("mistcalc.files").joinpath("demos", f"{which}.toml").read_text("utf-8")


def climate_sample_names() -> tuple[str, ...]:
    """Names a project may give as `place.climate` without having a file."""
    return tuple(SAMPLES)


def new_project_text(
    name: str, runs: Sequence[str], depth: str, corners: Sequence[str] = (), near: str | None = None
) -> str:
    """A commented project file for a lid of these runs, joined at corners in the order they are walked.

    runs, depth: lengths as typed ("38 ft", "12 m"); metric ones make a metric file. corners: "inside" or
    "outside", one for each corner, the last one for all that follow; none is inside. near: a climate sample;
    without one the file holds a guess of a hot afternoon, and says so.
    Raises InputErrors, all mistakes together, or DataError for a sample that does not exist.
    """
    metric = _lengths(runs, depth, corners)
    near = near.strip().lower() if near is not None else None
    body = _Text(metric).file(name, list(runs), depth, [*corners] or ["inside"], near)
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
        found = re.search(r"elev_m=(-?[0-9.]+)", stream.read(400))
    return float(found[1]) if found else 0.0


class _Text:
    """The lines of a new file. What the user said is stated; the rest stands there as a comment, ready to
    be made a statement, and is assumed until then."""

    def __init__(self, metric: bool) -> None:
        self.metric = metric

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
        return f"""\
# How to write in this file
#   Lengths, pressures, flows and temperatures carry their unit, in quotes:
#     {spellings}
#   Write  in  for inches. The inch mark (") would end the quotes.
#   Lines that start with # and a key are defaults: every sheet lists them under "We assumed".
#   Take the # away and change the value to state it. All keys: docs/project-file.md
format = 1
name   = {quoted(name)}
units  = "{self.pick("us", "metric")}"

"""

    def _place(self, near: str | None) -> str:
        rest = """\
# surroundings = "suburb"     # open, suburb or city
# shelter = "50 %"            # share of the wind that neighbors and plants leave
# bearing = "0 deg"           # heading of run A, walked from its start; 90 deg is east

"""
        if near is None:
            hot = self.pick(
                'dry_bulb = "100 degF", relative_humidity = "20 %", wind_on_patio = "2 mph"',
                'dry_bulb = "38 degC", relative_humidity = "20 %", wind_on_patio = "1 m/s"',
            )
            return f"""\
[place]
elevation = "{self.pick("0 ft", "0 m")}"   # A GUESS: put yours
# A GUESS: put a hot afternoon of yours, or take the line out and name a sample
# ({", ".join(climate_sample_names())}) or your own hourly file: climate = "house.epw"
afternoon = [ {{ name = "hot", {hot} }} ]
{rest}"""
        elevation = _elevation(near)
        size = f"{elevation:g} m" if self.metric else f"{round(elevation / 0.3048)} ft"
        saving = "none" if near in NO_DAYLIGHT_SAVING else "us"
        return f"""\
[place]
elevation = "{size}"   # of the weather station; yours may differ
climate   = "{near}"   # or your own hourly file beside this one: "house.epw"
daylight_saving = "{saving}"
{rest}"""

    def _patio(self, depth: str) -> str:
        return f"""\
# ------------------------------------------------------------------ the lid
[[patio]]
name   = "patio"
depth  = {quoted(depth)}   # open edge to house wall
# height = "{self.pick("10 ft", "3 m")}"   # floor to underside of framing
# line_behind_edge = "{self.pick("6 in", "150 mm")}"
# back = "wall"   # or open: the lid stands free, or spans between two walls

# How the house stands in the wind. Its roof above the lid: about 0 where one story runs flush
[patio.house]
# above_lid = "{self.pick("0 ft", "0 m")}"
# past_start = "{self.pick("10 ft", "3 m")}"   # how far it goes on past the first run's start
# past_end = "{self.pick("10 ft", "3 m")}"
# depth = "{self.pick("30 ft", "9 m")}"   # behind the lid

[patio.plaster]
# system = "three-coat"   # three-coat, one-coat, direct or none
# thickness = "{self.pick("7/8 in", "22 mm")}"   # framing to finished face

[patio.marks]
# pitch = "{self.pick("24 in", "600 mm")}"   # the spacing you want
# from_wall = "{self.pick("24 in", "600 mm")}"

# Walk the open edge with the house on your left. A run's length is its open edge at framing.
"""

    def _run(self, letter: str, length: str, corner: str | None, first: bool) -> str:
        lines = [f'[[patio.run]]\nname   = "{letter}"\nlength = {quoted(length)}']
        if first:
            lines.append('# starts_at = "wall"   # wall or open')
        if corner:
            lines.append(f'then   = "{corner} corner"')
        else:
            lines.append('# ends_at = "wall"   # wall or open')
        end = "start" if first or corner else "end"  # as the reader assumes it
        surface = "wall framing" if first or not corner else "framing at the corner"
        datum = f'{{ end = "{end}", surface = "face of {surface}" }}'
        lines.append(f"# datum = {datum}   # where the tape is hooked")
        framing = self.pick(
            'spacing = "16 in", first = "15-1/4 in", width = "1-1/2 in", depth = "9-1/4 in"',
            'spacing = "400 mm", first = "378 mm", width = "45 mm", depth = "235 mm"',
        )
        lines.append(f'# framing = {{ lies = "across", {framing} }}')
        along = self.pick("6 ft 7-1/4 in", "2 m")
        lines.append(f'# joints = [ {{ name = "J1", along = "{along}" }} ]   # control joints in the plaster')
        return "\n".join(lines) + "\n\n"

    def _things(self) -> str:
        along, back = self.pick("9 ft", "2.7 m"), self.pick("6 ft", "1.8 m")
        return f"""\
# What else is in or under the lid: light, fan, heater, speaker, screen, door glass, column, beam, vent,
# outlet, grill, other.
# [[patio.obstacle]]
# name = "Fan 1"
# kind = "fan"
# run  = "A"
# along = "{along}"   # from the run's datum
# back  = "{back}"   # from the open edge, toward the house
# size  = "{self.pick("60 in", "1500 mm")}"   # a fan's sweep

# A wall, fence or hedge that stands free at an open side:
# [[patio.screen]]
# name = "hedge"
# run  = "A"
# height = "{self.pick("5 ft", "1.5 m")}"
# out  = "{self.pick("3 ft", "1 m")}"   # outside the open edge
# open = "30 %"   # of it, that lets air through

# [[patio.seat]]
# name = "chairs"
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
length = "{self.pick("0 in", "0 mm")}"   # straight on, round the corner
fittings = {{ elbow = 1 }}
"""
            for before, after in pairwise(letters)
        )
        return f"""\
# ------------------------------------------------------------------ the line
[line]
# tube_temperature = "{self.pick("150 degF", "65 degC")}"   # how hot the soffit gets

[line.nozzle]
# label = "0.012 in orifice"
# flow = "{self.pick("0.029 gpm", "6.6 L/h")}"
# at = "{self.pick("1000 psi", "70 bar")}"

[line.tube]
# material = "stainless 304"
# outside = "{self.pick("3/8 in", "10 mm")}"
# wall = "{self.pick("0.035 in", "1 mm")}"

# Tube beside the runs. A guess to be measured:
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
# at = "{letters[-1]} end"   # the lowest point
# slope = "{self.pick("1/8 in per ft", "10 mm per m")}"

[pump]   # no [pump] at all: a line on the mains
# set_pressure = "{self.pick("1000 psi", "70 bar")}"

[water]
# static = "{self.pick("60 psi", "4 bar")}"      # nothing running
# residual = "{self.pick("45 psi", "3 bar")}"    # while at_flow runs
# at_flow = "{self.pick("3 gpm", "11 L/min")}"
"""
