"""What somebody without a project file answers, and the project that follows. Pure: no screen, no folder."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache

from mistcalc import files, units
from mistcalc.errors import InputError
from mistcalc.model.project import Place, TypedAfternoon
from mistcalc.page.start_pictures import shape_named

QUARTER_TURN = 90.0  # deg: run A is walked with the house on the left, so one looks out to the right
LOOK_STEP = 15  # deg: nobody reads a compass under a lid closer than that


@dataclass(frozen=True, slots=True)
class Answers:
    """As typed and tapped. lengths: of the runs, then the depth. looks: deg from north, out over edge A."""

    name: str
    shape: str
    lengths: tuple[str, ...]
    height: str = ""
    ceiling: str = "unknown"
    looks: float | None = None
    town: str | None = None
    own_climate: tuple[str, float] | None = None  # its name, its station's elevation m
    afternoon: tuple[str, str, str] | None = None  # air, humidity, wind at a mast
    mains: bool = False

    @property
    def complete(self) -> bool:
        """Whether there is a plan to draw: every length is given, and is one (its field says what is not)."""
        asked = shape_named(self.shape).asked + 1
        return len(self.lengths) == asked and all(is_length(text) for text in self.lengths)

    @property
    def air_guessed(self) -> bool:
        return self.town is None and self.own_climate is None and self.afternoon is None


def length_of(text: str, letter: str) -> float:
    """m. Raises InputError for what is no length, and for nothing or less: of that a reader of the page hears
    at its field, named by its letter."""
    value = units.parse(text, "length")
    if not value > 0:
        raise InputError("not-above-zero", key=letter, text=text.strip())
    return value


FIELDS = {  # by the last part of a mistake's place in the file: the question, and the name over its field
    "name": (1, "name"),
    "length": (2, "length_of_run"),
    "depth": (2, "length_of_depth"),
    "height": (3, "height_field"),
    "dry_bulb": (5, "air_temperature"),
    "relative_humidity": (5, "air_humidity"),
    "wind": (5, "air_wind"),
}


def question_of(mistake: InputError) -> int | None:
    """Which question's answer is wrong, by its place in the file that follows from the answers."""
    number, _ = FIELDS.get(mistake.where.rpartition(".")[2], (None, ""))
    return number


def field_of(mistake: InputError, shape_name: str) -> tuple[str, str]:
    """The name over the field of a mistake that `question_of` knows, and the letter of a length."""
    _, label = FIELDS[mistake.where.rpartition(".")[2]]
    asked = shape_named(shape_name).asked
    run = re.search(r"\.run\[([A-Z])\]", mistake.where)
    nth = asked if run is None else (ord(run[1]) - ord("A")) % asked
    return label, chr(ord("A") + nth)


@cache
def _guessed(system: units.System) -> Place:
    """The place of a new file whose questions about place and air nobody answered."""
    long, deep = ("30 ft", "10 ft") if system == "us" else ("9 m", "3 m")
    text = files.new_project_text("-", [long], deep, [], None, "en", files.FirstAnswers())
    return files.parse_project(text).place


def guessed_afternoon(system: units.System) -> TypedAfternoon:
    """What stands in for the air that nobody told."""
    (afternoon,) = _guessed(system).afternoons
    return afternoon


def air_guessed(place: Place) -> bool:
    """Whether an opened project still has the afternoon that nobody typed: our guess."""
    systems: tuple[units.System, ...] = ("us", "metric")
    return place.climate is None and any(place.afternoons == _guessed(s).afternoons for s in systems)


def height_guessed(place: Place) -> bool:
    return place.elevation == _guessed("us").elevation


def is_length(text: str) -> bool:
    try:
        return length_of(text, "") > 0
    except InputError:
        return False


def project_text(answers: Answers, language: str) -> str:
    """The project file of complete answers. Raises InputErrors, a mistake each."""
    shape = shape_named(answers.shape)
    *runs, depth = (text.strip() for text in answers.lengths)
    bearing = "" if answers.looks is None else f"{(answers.looks - QUARTER_TURN) % 360:g} deg"
    return files.new_project_text(
        answers.name.strip(),
        runs * 2 if shape.twice else runs,
        depth,
        shape.corners,
        answers.town,
        language,
        files.FirstAnswers(
            height=answers.height.strip(),
            plaster="" if answers.ceiling == "unknown" else answers.ceiling,
            bearing=bearing,
            ends=shape.ends,
            back=shape.back,
            climate=answers.own_climate,
            afternoon=answers.afternoon,
            mains=answers.mains,
        ),
    )
