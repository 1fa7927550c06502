"""A typical year: when the project's control runs the mist, the tallies of it, what it costs."""

from mistcalc.season.billing import season_money
from mistcalc.season.year_of_control import (
    ControlYear,
    Timetable,
    control_year,
    in_use,
    tally,
    thermostat,
    timetable,
)

__all__ = [
    "ControlYear",
    "Timetable",
    "control_year",
    "in_use",
    "season_money",
    "tally",
    "thermostat",
    "timetable",
]
