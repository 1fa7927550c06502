"""What the patio's air becomes: plumes and outdoor air brought to agree, as a range."""

from mistcalc.cooling.afternoon import afternoon_cooling, every_hour
from mistcalc.cooling.calibration import calibrate, measured_cooling, measured_outdoor_air
from mistcalc.cooling.cooling_map import cooling_maps
from mistcalc.cooling.hours_and_winds import afternoon_grid
from mistcalc.cooling.hours_of_use import season_hours, spread_draws, yard_air
from mistcalc.cooling.many_ways import seats_of_ways
from mistcalc.cooling.unknowns import Unknowns
from mistcalc.cooling.wind_speeds import stated_drop, wind_sweep
from mistcalc.cooling.year_of_sun import sun_on_patio
