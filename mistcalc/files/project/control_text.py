"""The lines of `[control]` that state a rule, to paste into a file."""

from __future__ import annotations

from mistcalc import units
from mistcalc.files.project.value_reader import MONTHS
from mistcalc.files.project.value_writer import quoted
from mistcalc.model.project import Control

NO_STOP = ("130 mph", "60 m/s")  # no wind that a file may state is more
UNITS = {
    "temperature": ("degF", "degC"),
    "speed": ("mph", "m/s"),
    "share": ("%", "%"),
    "duration": ("min", "min"),
}


def control_lines(control: Control, system: units.System) -> tuple[str, ...]:
    """A rule's keys, in figures to two decimals: it was chosen among round ones."""

    def told(value: float, kind: str) -> str:
        unit = UNITS[kind][system == "metric"]
        return quoted(f"{round(float(units.from_si(value, unit, kind)), 2):g} {unit}")

    def pair(first: str, last: str) -> str:
        return f"[{quoted(first)}, {quoted(last)}]"

    wind_stop = told(control.wind_stop, "speed")
    if not control.stops_by("wind"):
        wind_stop = quoted(NO_STOP[system == "metric"])
    start, end = (units.spell(hour, "clock", system) for hour in control.hours)
    first, last = (MONTHS[month - 1] for month in control.months)
    lines = [
        f"on_above = {told(control.on_above, 'temperature')}",
        f"off_below = {told(control.off_below, 'temperature')}",
        f"humidity_stop = {told(control.humidity_stop, 'share')}",
        f"wind_stop = {wind_stop}",
        f"wind_measured_at = {quoted(control.wind_measured_at)}",
        f"hours = {pair(start, end)}",
        f"months = {pair(first, last)}",
    ]
    for key, least in (("least_run", control.least_run), ("least_rest", control.least_rest)):
        lines.append(f"{key} = {told(least, 'duration')}")  # none too: the file may state another
    sides = ", ".join(quoted(side) for side in control.not_from)
    return (*lines, f"not_from = [{sides}]" if sides else "# not_from = []")
