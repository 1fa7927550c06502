"""When the mist may run, as the controller is set."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Annotated, Any, Literal

import numpy as np

from mistcalc.model.content_digest import ADDED
from mistcalc.model.project.place import COMPASS
from mistcalc.model.quantities import Kelvin, MetrePerSecond, Share

NO_WIND_STOP, NO_HUMIDITY_STOP = 58.0, 1.0  # m/s (130 mph), share: as much and more stops nothing
WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
Second = Annotated[float, "s"]


@dataclass(frozen=True, slots=True)
class Control:
    on_above: Kelvin
    off_below: Kelvin
    humidity_stop: Share
    wind_stop: MetrePerSecond
    hours: tuple[float, float]  # hours of the day by the clock on the wall
    months: tuple[int, int]
    # Of `wind_stop`: a mast of 10 m over open ground, as a forecast tells it; or the patio's own yard.
    wind_measured_at: Literal["mast", "patio"] = field(default="patio", metadata=ADDED)
    not_from: tuple[str, ...] = field(default=(), metadata=ADDED)  # of COMPASS: with such a wind it stays off
    least_run: Second = field(default=0.0, metadata=ADDED)  # once on it stays on so long, but for a stop
    least_rest: Second = field(default=0.0, metadata=ADDED)  # once off it stays off so long
    days: tuple[str, ...] | None = field(default=None, metadata=ADDED)  # "Mon"; None: any
    most_a_day: Annotated[float, "m3"] | None = field(default=None, metadata=ADDED)

    def stops_by(self, name: str) -> bool:
        """Whether there is a stop by wind or humidity at all."""
        return self.wind_stop < NO_WIND_STOP if name == "wind" else self.humidity_stop < NO_HUMIDITY_STOP

    def too_windy(self, wind: Any, mast_wind: Any) -> Any:
        """Where the wind is over its stop, at the place where that is measured. mast_wind: None is not
        known, and stops nothing."""
        if self.wind_measured_at == "patio":
            return wind > self.wind_stop
        return np.zeros(np.shape(wind), dtype=bool) | (mast_wind is not None and mast_wind > self.wind_stop)

    def from_barred_side(self, direction: Any) -> Any:
        """Where the wind comes from a side of `not_from`. direction: rad, NaN in a calm; None: not known."""
        if direction is None or not self.not_from:
            return False
        barred = [COMPASS.index(side) for side in self.not_from]
        return np.isin(side_of(direction), barred)


def side_of(direction: Any) -> Any:
    """Place in COMPASS of where a wind comes from [rad]; -1 in a calm (NaN)."""
    eighths = np.nan_to_num(direction) * len(COMPASS) / (2.0 * np.pi)
    return np.where(np.isnan(direction), -1, np.round(eighths).astype(int) % len(COMPASS))
