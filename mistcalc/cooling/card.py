"""A second opinion on one afternoon's air, by an independent library."""

from __future__ import annotations

from mistcalc.model.results import Air, StateCard
from mistcalc.physics import air as moist


def state_card(air: Air) -> StateCard:
    """Wet bulb of the afternoon by our kernel and by PsychroLib."""
    told = moist.state_card(
        float(air.temperature[0]), min(float(air.relative_humidity[0]), 1.0), float(air.air_pressure[0])
    )
    return StateCard(air.name, told.kernel_wet_bulb, told.wet_bulb, "PsychroLib")
