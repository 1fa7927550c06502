"""The text of a first project file: what the user said stated, the rest shown as comments and assumed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from types import MappingProxyType
from typing import Any

from mistcalc import units, words
from mistcalc.files.climate.near_towns import Town, sample_elevation, sample_or_town
from mistcalc.files.climate.station_file import SAMPLES
from mistcalc.files.project.value_writer import quoted

# Standard time all year, from memory: most of Arizona; since 2022 all of Mexico but its northern border.
STANDARD_TIME = ("AZ", "SON", "NLE", "Chihuahua, CHH")


@dataclass(frozen=True, slots=True)
class FirstAnswers:
    """What else is known at first, as it is typed; "" leaves a default assumed.

    bearing: heading of run A. plaster: a system. ends: of the first and the last run, "wall" or "open", as
    `back`. climate: name and elevation [m] of a file of one's own. afternoon: air, humidity, wind at a mast.
    """

    height: str = ""
    plaster: str = ""
    bearing: str = ""
    ends: str = ""
    back: str = ""
    climate: tuple[str, float] | None = None
    afternoon: tuple[str, str, str] | None = None
    mains: bool = False


NO_TURNS: Mapping[str, str] = MappingProxyType({})
NO_ANSWERS = FirstAnswers()


def climate_sample_names() -> tuple[str, ...]:
    """Names a project may give as `place.climate` without having a file."""
    return tuple(SAMPLES)


def climate_place(name: str) -> str:
    """A sample's town and state: "El Paso, TX"."""
    *town, state = SAMPLES[name].split(".")[0].split("-")
    return f"{' '.join(town).title()}, {state.upper()}"


class FirstFile:
    """The lines of a new file. What the user said is stated; the rest stands there as a comment, ready to
    be made a statement, and is assumed until then."""

    def __init__(self, metric: bool, language: str, answers: FirstAnswers) -> None:
        self.metric = metric
        self.language = language
        self.answers = answers

    def line(self, key: str, answer: str, default: str, remark: str = "") -> str:
        """`key = value`: stated where there is an answer, else a comment that shows what is assumed."""
        said = f"   # {self.say(remark)}" if remark else ""
        return f"{key} = {quoted(answer)}{said}\n" if answer else f"# {key} = {quoted(default)}{said}\n"

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
        ring = 1 < len(corners) == len(runs)  # the last run turns into the first
        parts = [self._head(name), self._place(near), self._patio(depth, ring)]
        for n, length in enumerate(runs):
            corner = corners[min(n, len(corners) - 1)] if ring or n < len(runs) - 1 else None
            parts.append(self._run(letters[n], length, corner, n == 0 and not ring))
        parts += [self._things(), self._line(letters), self._end(letters)]
        return "".join(parts)

    def file_of(
        self, name: str, near: str | None, patios: str, runs: list[list[str]], round_end: Mapping[str, str]
    ) -> str:
        """The same of patios whose own text is there. runs: the names of each patio's, as walked. round_end:
        what turns the tube at the end of a run, "" for nothing."""
        head = self.head("lid") + self.remark("walk")
        line = self._line(runs[0], round_end) + "".join(self._branch(names, round_end) for names in runs[1:])
        return "".join(
            [self._head(name), self._place(near), head, patios, self._things(), line, self._end(runs[-1])]
        )

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
{self.line("bearing", self.answers.bearing, "0 deg", "bearing")}
"""
        if self.answers.climate is not None:
            name, elevation = self.answers.climate
            return f"""\
[place]
elevation = "{self._height_of(elevation)}"   # {self.say("station")}
climate   = {quoted(name)}
{rest}"""
        if self.answers.afternoon is not None:
            dry_bulb, humidity, wind = (quoted(text) for text in self.answers.afternoon)
            return f"""\
[place]
elevation = "{self.pick("0 ft", "0 m")}"   # {self.say("guess")}
afternoon = [ {{ name = "hot", dry_bulb = {dry_bulb}, relative_humidity = {humidity}, wind = {wind} }} ]
{rest}"""
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
        named = sample_or_town(near)
        if isinstance(named, Town):
            climate, elevation, of_what = (
                named.place.climate,
                named.elevation,
                self.say("town", name=named.name),
            )
            where = f'latitude  = "{named.latitude:g} deg"\nlongitude = "{named.longitude:g} deg"\n'
            standard_time = named.name.endswith(STANDARD_TIME)
        else:
            climate, elevation, of_what, where = named, sample_elevation(named), self.say("station"), ""
            standard_time = climate_place(named).endswith(STANDARD_TIME)
        return f"""\
[place]
elevation = "{self._height_of(elevation)}"   # {of_what}
{where}climate   = "{climate}"   # {self.say("climate")}
daylight_saving = "{"none" if standard_time else "us"}"
{rest}"""

    def _height_of(self, elevation: float) -> str:
        return f"{elevation:g} m" if self.metric else f"{round(units.from_si(elevation, 'ft', 'length'))} ft"

    def _patio(self, depth: str, ring: bool) -> str:
        past = self.pick("10 ft", "3 m")
        ends = f'# past_start = "{past}"   # {self.say("past_start")}\n# past_end = "{past}"\n'
        return f"""\
{self.head("lid")}\
[[patio]]
name   = {quoted(self.say("patio_name"))}
depth  = {quoted(depth)}   # {self.say("patio_depth")}
{self.line("height", self.answers.height, self.pick("10 ft", "3 m"), "height")}\
# line_behind_edge = "{self.pick("6 in", "150 mm")}"
{self.line("back", self.answers.back, "wall", "back")}\

{self.remark("house")}\
[patio.house]
# above_lid = "{self.pick("0 ft", "0 m")}"
{"" if ring else ends}\
# depth = "{self.pick("30 ft", "9 m")}"   # {self.say("house_depth")}

[patio.plaster]
{self.line("system", self.answers.plaster, "three-coat", "system")}\
# thickness = "{self.pick("7/8 in", "22 mm")}"   # {self.say("thickness")}

[patio.marks]
# pitch = "{self.pick("24 in", "600 mm")}"   # {self.say("pitch")}
# from_wall = "{self.pick("24 in", "600 mm")}"

{self.remark("walk")}\
"""

    def _run(self, letter: str, length: str, corner: str | None, starts: bool) -> str:
        lines = [f'[[patio.run]]\nname   = "{letter}"\nlength = {quoted(length)}']
        if starts:
            lines.append(self.line("starts_at", self.answers.ends, "wall", "end").rstrip("\n"))
        if corner:
            lines.append(f'then   = "{corner} corner"')
        else:
            lines.append(self.line("ends_at", self.answers.ends, "wall", "end").rstrip("\n"))
        end = "start" if starts or corner else "end"  # as the reader assumes it
        surface = "wall framing" if starts or not corner else "framing at the corner"
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

    def _joins(self, letters: list[str], round_end: Mapping[str, str] = NO_TURNS) -> str:
        return "".join(
            f"""
[[line.piece]]
from   = {quoted(f"{before} end")}
to     = {quoted(f"{after} start")}
length = "{self.pick("0 in", "0 mm")}"   # {self.say("corner")}
"""
            + (f"fittings = {{ {turn} = 1 }}\n" if (turn := round_end.get(before, "elbow")) else "")
            for before, after in pairwise(letters)
        )

    def _branch(self, letters: list[str], round_end: Mapping[str, str]) -> str:
        """Tube to another patio, and along it."""
        return f"""
[[line.piece]]
from   = "pump"
to     = {quoted(f"{letters[0]} start")}
length = "{self.pick("30 ft", "10 m")}"
rise   = "{self.pick("9 ft", "2.7 m")}"
{self._joins(letters, round_end)}
"""

    def _line(self, letters: list[str], round_end: Mapping[str, str] = NO_TURNS) -> str:
        joins = self._joins(letters, round_end)
        source = "water point" if self.answers.mains else "pump"
        return f"""\
{self.head("line")}\
[line]
# tube_temperature = "{self.pick("150 degF", "65 degC")}"   # {self.say("tube_temperature")}

{self._mains_parts() if self.answers.mains else self._pump_parts()}
{self.remark("feed")}\
[[line.piece]]
from   = "{source}"
to     = {quoted(f"{letters[0]} start")}
length = "{self.pick("30 ft", "10 m")}"
rise   = "{self.pick("9 ft", "2.7 m")}"
fittings = {{ elbow = 4, "ball valve" = 1, "solenoid valve" = 1 }}
{joins}
"""

    def _pump_parts(self) -> str:
        return f"""\
[line.nozzle]
# label = {quoted(words.word("0.012 in orifice", self.language, "metric" if self.metric else "us"))}
# flow = "{self.pick("0.029 gpm", "6.6 L/h")}"
# at = "{self.pick("1000 psi", "70 bar")}"

[line.tube]
# material = "stainless 304"
# outside = "{self.pick("3/8 in", "10 mm")}"
# wall = "{self.pick("0.035 in", "1 mm")}"
"""

    def _mains_parts(self) -> str:
        """A guess, stated: what is assumed of a line without a word is a pump's."""
        return f"""\
# {self.say("mains_parts")}
[line.nozzle]
label = {quoted(self.say("mains_nozzle"))}
flow = "{self.pick("1.3 gph", "5 L/h")}"
at = "{self.pick("58 psi", "4 bar")}"
drop_median = "100 um"   # {self.say("coarse")}

[line.tube]
material = "nylon"
outside = "{self.pick("3/8 in", "10 mm")}"
wall = "{self.pick("0.0625 in", "1.5 mm")}"
joints = "push-in"
"""

    def _end(self, letters: list[str]) -> str:
        pump = f"""\
[pump]   # {self.say("mains")}
# set_pressure = "{self.pick("1000 psi", "70 bar")}"

"""
        return f"""\
# [line.drain]
# at = {quoted(f"{letters[-1]} end")}   # {self.say("lowest")}
# slope = "{self.pick("1/8 in per ft", "10 mm per m")}"

{"" if self.answers.mains else pump}[water]
# static = "{self.pick("60 psi", "4 bar")}"      # {self.say("standing")}
# residual = "{self.pick("45 psi", "3 bar")}"    # {self.say("running")}
# at_flow = "{self.pick("3 gpm", "11 L/min")}"
"""
