"""What a year of mist costs."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from mistcalc.model.reprs import ShortRepr
from mistcalc.model.results.first_cost import FirstCost

SERVICES = ("water", "sewer", "power")


@dataclass(frozen=True, eq=False, repr=False)
class SeasonMoney(ShortRepr):
    """The bills with the mist less those without it, [draw, month], in `currency`."""

    currency: str
    parts: dict[str, np.ndarray]  # of SERVICES, those with a price or a tariff
    first: FirstCost | None = None  # what the parts cost to buy, where any has a price
    years: float | None = None  # over which the owner spreads that

    @property
    def total(self) -> np.ndarray:
        """All parts together, [draw, month]."""
        return np.asarray(sum(self.parts.values()))
