"""A typical year: when the project's control runs the mist, the tallies of it, what it costs."""

from mistcalc.season.billing import season_money
from mistcalc.season.rule_search import find_rule
from mistcalc.season.rule_table import RuleGrid, rule_grid
from mistcalc.season.solved_year import SolvedYear, year_under
from mistcalc.season.year_of_control import (
    ControlYear,
    Timetable,
    by_month_and_clock,
    control_year,
    in_use,
    tally,
    thermostat,
    timetable,
)
