"""One table of units: text to SI and back. The only place where a trade unit is known.

Files and people state a number with its unit; inside, everything is SI and kelvin. `parse` reads what a
person wrote, `spell` writes it so that `parse` gives the same value to the last digit, `show` and `tape`
round for the eye. A value is rounded to a float once, after exact arithmetic: "70 bar" is 7000000.0, and
equal lengths spelled in different units compare equal.
"""

from mistcalc.units.read import parse, parse_beside, printable, with_likely_unit, with_points
from mistcalc.units.stock_sizes import drill_size_for, drill_size_text, gauge_scale, meter_volume
from mistcalc.units.table import KINDS, System, degree_of, examples, from_si, to_si
from mistcalc.units.write import (
    COMPASS_POINTS,
    as_shown,
    compass_point,
    grouped,
    inches,
    millimetres,
    on_grid,
    show,
    spell,
    spoken_length,
    tape,
    with_no_break_spaces,
)
