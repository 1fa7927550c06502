"""The member of a set that stands nearest to all the others."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np


def medoid(columns: Sequence[np.ndarray]) -> int:
    """Index of the member with the least sum of distances to all the others.

    columns: quantities [member] of any unit, each counted in its own mean deviation from its median;
    distances are sums of absolute differences. Of two alike the first.
    Source: Kaufman & Rousseeuw 1990, Finding Groups in Data.
    """
    spread = [max(float(np.abs(column - np.median(column)).mean()), 1e-12) for column in columns]
    far = sum(np.abs(column[:, None] - column) / size for column, size in zip(columns, spread, strict=True))
    return int(np.round(np.sum(far, axis=1), 9).argmin())  # rounded: two alike must not part by the machine
