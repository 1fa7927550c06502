"""Linear equations between neighbors in a grid, whose matrix is a narrow band: LAPACK does them fastest."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.linalg.lapack import dgbtrf, dgbtrs

Entries = tuple[np.ndarray, np.ndarray, np.ndarray]  # rows, columns, values


@dataclass(frozen=True, slots=True)
class Banded:
    """A matrix taken apart, ready for right-hand sides."""

    factors: np.ndarray
    pivots: np.ndarray
    width: int

    @classmethod
    def of(cls, size: int, entries: list[Entries], main: np.ndarray) -> Banded:
        """entries: added where they meet; main: what is added on the diagonal."""
        row, column, value = (np.concatenate([entry[i] for entry in entries]) for i in range(3))
        width = int(np.abs(row - column).max(initial=0))
        band = np.zeros((3 * width + 1, size))
        np.add.at(band, (2 * width + row - column, column), value)
        band[2 * width] += main
        factors, pivots, info = dgbtrf(band, width, width)
        if info:
            raise np.linalg.LinAlgError(f"no answer: pivot {info}")
        return cls(factors, pivots, width)

    def solve(self, right: np.ndarray) -> np.ndarray:
        """right, answer: [row] or [row, column]."""
        answer, _ = dgbtrs(self.factors, self.width, self.width, right, self.pivots)
        return np.asarray(answer).reshape(right.shape)
