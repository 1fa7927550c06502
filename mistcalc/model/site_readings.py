"""Everything that is read on site with a number to it or a name: the one table that the site log, the page's
forms, the sheets and the diagnosis go by."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal, NamedTuple

from mistcalc.model.site_log import SiteEntry
from mistcalc.units import parse

Occasion = Literal["test", "watch", "call-back", "commissioning", "mark"]
By = Literal["gauge", "thermometer", "meter", "cup", "tape", "look"]
ReadingName = Literal["weak", "wet", "gauge", "meter", "inlet", "near", "far", "port", "creep"]


class Reading(NamedTuple):
    """One reading: when it is taken, what it is called, how it is read, and the least and most it can be
    (SI). A reading by looking is kept as it is written."""

    occasion: Occasion
    name: str
    by: By
    most: float = 0.0
    least: float = 0.0

    @property
    def field(self) -> str:
        """What the site log calls it."""
        return f"{self.occasion} {self.name}"

    @property
    def kind(self) -> str:
        """A kind of `units`."""
        return {"gauge": "pressure", "thermometer": "temperature", "tape": "length"}.get(self.by, "flow")

    @property
    def shown(self) -> str:
        """The kind people read it in: the flow of a nozzle, or a creep, fills a cup."""
        return "bucket" if self.by == "cup" or self.name == "creep" else self.kind


def _warm(occasion: Occasion, name: str) -> Reading:
    """A temperature of a line that holds water."""
    return Reading(
        occasion, name, "thermometer", parse("90 degC", "temperature"), parse("-5 degC", "temperature")
    )


_TESTED, _WATCHED, _WORKED, _MAIN = (parse(f"{bar} bar", "pressure") for bar in (200, 20, 400, 40))
_FLOW = 0.1  # m3/s
_FAR = 1000.0  # m, along any run
# Of a call-back the easiest to take first: of two that tell as much, the easier is asked for.
_CALL_BACK = (
    Reading("call-back", "weak", "look"),
    Reading("call-back", "wet", "look"),
    Reading("call-back", "gauge", "gauge", _WORKED),
    Reading("call-back", "meter", "meter", _FLOW),
    Reading("call-back", "inlet", "gauge", _MAIN),
    Reading("call-back", "near", "cup", _FLOW),
    Reading("call-back", "far", "cup", _FLOW),
    Reading("call-back", "port", "gauge", _WORKED),
    Reading("call-back", "creep", "meter", _FLOW),
)
# Seen or heard beside them: none of the causes tells how often, so no chance counts it.
_BESIDE = (Reading("call-back", "cycles", "look"), Reading("call-back", "drips", "look"))
HANDED_OVER = ("gauge", "meter", "inlet", "near", "far")  # read on the day a line is handed over
SITE_READINGS: tuple[Reading, ...] = (
    Reading("test", "start", "gauge", _TESTED),
    Reading("test", "gauge", "gauge", _TESTED),
    _warm("test", "tube"),
    Reading("watch", "start", "gauge", _WATCHED),
    Reading("watch", "gauge", "gauge", _WATCHED),
    Reading("watch", "draw", "gauge", _WATCHED),
    _warm("watch", "tube"),
    _warm("watch", "vessel"),
    *_CALL_BACK,
    *_BESIDE,
    *(one._replace(occasion="commissioning") for one in _CALL_BACK if one.name in HANDED_OVER),
    # Of a hole, whose mark the line names, at framing: where the plan at hand had it when it was drilled,
    # where it was measured along its run and behind the open edge, why it could not be drilled, a note.
    Reading("mark", "drilled", "tape", _FAR),
    Reading("mark", "measured", "tape", _FAR),
    Reading("mark", "back", "tape", _FAR),
    Reading("mark", "cannot", "look"),
    Reading("mark", "note", "look"),
)
BY_FIELD = {reading.field: reading for reading in SITE_READINGS}
NAMES: tuple[ReadingName, ...] = tuple(one.name for one in _CALL_BACK)  # type: ignore[misc]
MEASURED: tuple[ReadingName, ...] = tuple(one.name for one in _CALL_BACK if one.by != "look")  # type: ignore[misc]


def names_of(occasion: Occasion, *by: By) -> tuple[str, ...]:
    """Names of an occasion's readings; with `by` only those read by these."""
    return tuple(one.name for one in SITE_READINGS if one.occasion == occasion and (not by or one.by in by))


def call_back(name: str) -> Reading:
    """The reading of a call-back so called."""
    return BY_FIELD[f"call-back {name}"]


def entries_of(occasion: Occasion, entries: Iterable[SiteEntry]) -> dict[SiteEntry, str]:
    """The lines of a log that are readings of an occasion, with their names, in the log's order."""
    read = ((entry, BY_FIELD.get(entry.field)) for entry in entries)
    return {entry: one.name for entry, one in read if one is not None and one.occasion == occasion}
