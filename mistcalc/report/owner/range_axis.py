"""The common scale of ranges of cooling, the same on page and paper: where its shapes and ticks stand."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from math import ceil, floor
from typing import Generic, TypeVar

from mistcalc.model.results import PLACES, Cooling
from mistcalc.units import System, degree_of

K = TypeVar("K", bound=Hashable)
SHAPE = (0.1, 0.25, 0.75, 0.9)  # points of a shape, and where it is full height
STEPS = (0.5, 1.0, 2.0, 5.0, 10.0, 20.0)
MOST_STEPS = 7


class DegreeAxis(Generic[K]):
    """Degrees as shown. `bands`: where the points of SHAPE stand, of each thing shown on it [K to begin
    with]."""

    def __init__(self, bands: Mapping[K, Sequence[float]], units: System) -> None:
        degree = degree_of(units)
        self.bands = {name: [kelvin / degree for kelvin in band] for name, band in bands.items()}
        ends = [value for band in self.bands.values() for value in (band[0], band[-1])]
        low, high = min(0.0, *ends), max(1.0, *ends)
        step = next((step for step in STEPS if (high - low) / step <= MOST_STEPS), STEPS[-1])
        first, last = floor(low / step), ceil(high / step)
        self.low, self.high = step * first, step * last
        self.ticks = [step * n for n in range(first, last + 1)]

    def share(self, value: float) -> float:
        """Of the axis, from its low end."""
        return (value - self.low) / (self.high - self.low)


class RangeAxis(DegreeAxis[tuple[str, str]]):
    """`bands[afternoon, place]`."""

    def __init__(self, days: Sequence[Cooling], units: System) -> None:
        bands = {(day.afternoon, place): day.band(place, SHAPE) for day in days for place in PLACES}
        super().__init__(bands, units)
