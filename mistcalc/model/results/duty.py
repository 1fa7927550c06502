"""What the line asks of pump, tube, water and fitter."""

from __future__ import annotations

from dataclasses import dataclass

from mistcalc.model.project import CubicMetrePerSecond, Kelvin, Pascal, Share, Watt


@dataclass(frozen=True, slots=True)
class Duty:
    """What the pump set must do. `pick_*` None for a line on the mains."""

    required_flow: CubicMetrePerSecond  # all nozzles of the largest zone at set pressure
    largest_zone: str
    smallest_zone: str
    smallest_flow: CubicMetrePerSecond
    pick_flow: CubicMetrePerSecond | None  # generic ladder
    pick_motor: Watt | None
    pick_volts: float | None
    used_share: Share | None  # required over the pick's (or the nameplate's) flow
    smallest_share: Share | None
    shaft_power: Watt | None
    electric_power: Watt | None
    full_load_amps: float | None
    circuit_amps: float | None  # 125 % of full load
    inlet_gauge: Pascal  # at the pump (mains: at the line's start) while running
    from_nameplate: bool
    tube_rating: Pascal
    tube_rating_temperature: Kelvin
    christiansen_loss: Pascal  # hand check of the longest run, beside the solver's
    solver_loss: Pascal
    fill_volume: float  # m3
