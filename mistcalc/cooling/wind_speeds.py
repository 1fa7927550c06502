"""How the cooling at the seats goes as the wind rises, all else at the middle of its band."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from mistcalc.cooling.afternoon import every_hour
from mistcalc.cooling.case import dominant_nozzle, spray_of
from mistcalc.cooling.hour_sampling import representative_hour
from mistcalc.cooling.unknowns import BANDS, Unknowns, central_values
from mistcalc.model.project import Nozzle, Patio, Plumbing
from mistcalc.model.results import Air, Layout, Line, WindSweep
from mistcalc.physics.nozzle import median_of

SPEEDS = np.array([0.1, 0.25, 0.5, 0.75, 1.0, 1.5, 2.0, 3.0, 4.5, 6.0])  # m/s in the yard
WAYS = 4  # directions about the afternoon's, as far as the house may turn it; all round where none is known


def wind_sweep(
    patio: Patio, layout: Layout, line: Line, plumbing: Plumbing, air: Air, bearing: float = 0.0
) -> WindSweep | None:
    """One afternoon's air at every wind of SPEEDS, the mean over WAYS directions; None: no water.

    Arguments as for `afternoon.afternoon_cooling`; the most ordinary hour of `air` counts.
    """
    if spray_of(patio, layout, line) is None:
        return None
    windy = _blown(representative_hour(air))
    drop_size, gauge = stated_drop(patio, layout, line, plumbing)
    (blown,) = every_hour(patio, layout, line, plumbing, (windy,), bearing, _any_way())
    return WindSweep(
        patio=patio.name,
        afternoon=air.name,
        speed=tuple(SPEEDS.tolist()),
        drop=tuple(blown.drop["seats"].mean(axis=0).tolist()),
        carried_out=tuple(blown.carried_out.mean(axis=0).tolist()),
        drop_size=drop_size,
        gauge=gauge,
    )


def stated_drop(patio: Patio, layout: Layout, line: Line, plumbing: Plumbing) -> tuple[float | None, float]:
    """Median drop [m] by what the project states, None where it states none or no water comes, and the gauge
    at a nozzle [Pa], mean: of a sweep what hangs on no wind."""
    spray = spray_of(patio, layout, line)
    if spray is None:
        return None, 0.0
    return _stated_size(dominant_nozzle(plumbing, layout), spray.gauge), spray.gauge


def _stated_size(of: Nozzle, gauge: float) -> float | None:
    """Median drop [m] at a pressure by what the project states, which a check may doubt."""
    if of.drop_median is None and of.drop_sauter is None:
        return None
    median, sauter = of.drop_median, of.drop_sauter
    return float(median_of(gauge, of.at, of.drop_spread, flow=of.flow, median=median, sauter=sauter))


def _any_way() -> Unknowns:
    """The middle of every band but the wind's direction, which goes over all of its own."""
    turns = BANDS["turning"]
    part = (np.arange(WAYS) + 0.5) / WAYS
    same = {name: np.repeat(column, WAYS, axis=0) for name, column in central_values().columns().items()}
    return replace(Unknowns(**same), turning=(turns.low + (turns.high - turns.low) * part)[:, None])


def _blown(air: Air) -> Air:
    """The same air at every wind, one an hour."""

    def every(values: np.ndarray) -> np.ndarray:
        return np.full(SPEEDS.shape, values[0])

    return replace(
        air,
        temperature=every(air.temperature),
        ratio=every(air.ratio),
        air_pressure=every(air.air_pressure),
        wind=SPEEDS,
        mast_wind=None,
        direction=None if air.direction is None else every(air.direction),
        relative_humidity=every(air.relative_humidity),
        wet_bulb=every(air.wet_bulb),
        dew_point=every(air.dew_point),
        key=f"{air.key}-blown",
    )
