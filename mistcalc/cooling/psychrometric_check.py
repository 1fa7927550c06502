"""A second opinion on one afternoon's air, by an independent library."""

from __future__ import annotations

from mistcalc.model.results import Air, WetBulbCheck
from mistcalc.physics import air as moist


def wet_bulb_check(air: Air) -> WetBulbCheck:
    """Wet bulb of the afternoon's most ordinary hour by our kernel and by PsychroLib."""
    t, humidity, pressure = (
        float(x[air.ordinary]) for x in (air.temperature, air.relative_humidity, air.air_pressure)
    )
    state = moist.moist_air_state(t, min(humidity, 1.0), pressure)
    return WetBulbCheck(air.name, state.kernel_wet_bulb, state.wet_bulb, "PsychroLib")
