"""How the air moves under the lid, for a wind of 1 m/s from any side: where it comes in, what it carries where.

The wind that would blow there without lid and house (`wake` turns it round in the lee) is corrected by the
least that makes it keep out of walls and lose no air under the lid: a potential flow, -div(grad p) = div(wind),
with the lid's open sides free. Outside the lid air may rise: the correction dies away over the house's height.
On that flow two tracers are carried and mixed: one fed evenly under the lid, whose mean is the time the air
stays; one fed at the nozzles, whose mean and place are what becomes of the cold. Both go as one over the
wind, so one table of directions answers any speed.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from scipy.sparse import csc_array, diags_array
from scipy.sparse.linalg import splu

from mistcalc.cooling.ground import BESIDE_LINE, Ground
from mistcalc.cooling.lee import ambient, flushed
from mistcalc.cooling.plan_cells import Cells, cells_of, house_height

WAYS = 24  # directions of the table
DIES_AWAY = 1.0  # of the house's height: how far outside the lid walls and lid are felt by the wind
MIXING = 0.04  # m: eddy diffusivity over the wind's speed
EXCHANGE = 0.1  # of the wind's speed: air that an open side passes either way by turbulence alone


@dataclass(frozen=True, slots=True, eq=False)
class Currents:
    """Under a wind of 1 m/s at patio height, by the direction it blows to, [way].

    purge: m3/s of outdoor air that changes the patio's; kept: share of what the nozzles give the air that
    stays, in that air; seats, near_line, far_edge: what of it is in the air there, over the patio's mean;
    moves: m/s, the air's own motion at the nozzles; in_lee: share of the patio in the house's lee; comes_in:
    m/s, the air that enters, mean over the open sides; lee_flush: m3/s of outdoor air that changes the lee's.
    """

    purge: np.ndarray
    kept: np.ndarray
    seats: np.ndarray  # [seat, way]
    near_line: np.ndarray
    far_edge: np.ndarray
    moves: np.ndarray  # [2, way]
    in_lee: np.ndarray
    comes_in: np.ndarray
    lee_flush: np.ndarray

    def at(self, name: str, toward: np.ndarray) -> np.ndarray:
        """One of the above at plan directions `toward` [rad], in their shape after the leading axis, if any."""
        table = getattr(self, name)
        place = np.asarray(toward) % (2 * np.pi) / (2 * np.pi / WAYS)
        low = np.floor(place).astype(int)
        part, low = place - low, low % WAYS
        high = (low + 1) % WAYS
        return table[..., low] * (1 - part) + table[..., high] * part


@lru_cache(maxsize=64)
def currents(ground: Ground) -> Currents:
    cells = cells_of(ground)
    flow = _Flow(cells, ground)
    answers = [flow.toward(2 * np.pi * way / WAYS) for way in range(WAYS)]
    return Currents(*(np.stack([answer[i] for answer in answers], axis=-1) for i in range(9)))


class _Flow:
    """The patio's cells with what does not change from direction to direction worked out once."""

    def __init__(self, cells: Cells, ground: Ground) -> None:
        self.cells, self.ground = cells, ground
        tall = house_height(ground)
        self.correction = splu(self._laplace(DIES_AWAY * tall))
        self.under = np.flatnonzero(cells.lid)
        self.place = np.full(cells.lid.size, -1)
        self.place[self.under] = np.arange(len(self.under))
        nozzles = np.array([s.point(along, 0.0) for s in ground.strips for along in s.places])
        self.nozzles = self.place[cells.holding(nozzles)]
        beside = np.array([s.point(along, BESIDE_LINE) for s in ground.strips for along in s.places])
        self.beside = self.place[cells.holding(beside)]
        self.seats = self.place[cells.holding(np.array(ground.seats))]
        self.far = self.place[cells.holding(np.array([ground.far_point]))]

    def _laplace(self, dies_away: float) -> csc_array:
        """-div(grad p) over cells as a matrix [m2/m2]: p is 0 at the margin and dies away outside the lid."""
        c = self.cells
        rows, columns, values = [], [], []
        for f in c.faces:
            g = f.open * f.length / f.apart
            rows += [f.low, f.high, f.low, f.high]
            columns += [f.low, f.high, f.high, f.low]
            values += [g, g, -g, -g]
        away = np.where(c.lid, 0.0, c.area / dies_away**2)
        away[c.solid] = 1.0
        away[self._margin()] += 1.0
        size = c.lid.size
        joined = csc_array(
            (np.concatenate(values), (np.concatenate(rows), np.concatenate(columns))), (size, size)
        )
        return (joined + diags_array(away)).tocsc()

    def _margin(self) -> np.ndarray:
        edge = np.zeros((len(self.cells.x) - 1, len(self.cells.y) - 1), dtype=bool)
        edge[[0, -1]] = edge[:, [0, -1]] = True
        return edge.ravel()

    def toward(self, toward: float) -> tuple[np.ndarray, ...]:
        wind, in_lee = ambient(self.cells, self.ground.house, toward)
        through = self._through(wind)
        even, fed = self._tracers(through)
        height = self.ground.height
        mean = even @ self.cells.area[self.under] / self.cells.area[self.under].sum()
        cold = fed @ self.cells.area[self.under] / self.cells.area[self.under].sum()
        return (
            np.asarray(height / mean),
            np.asarray(cold / mean),
            fed[self.seats] / cold,
            np.asarray(fed[self.beside].mean() / cold),
            np.asarray(fed[self.far].mean() / cold),
            self._moves(through),
            np.asarray(in_lee[self.under].mean()),
            np.asarray(self._comes_in(through)),
            np.asarray(flushed(self.ground.house, toward) if self.ground.house else np.inf),
        )

    def _through(self, wind: np.ndarray) -> list[np.ndarray]:
        """Air through every face, toward the higher cell, per metre of height [m2/s]."""
        c = self.cells
        carried = [
            f.open * f.length * (wind[axis, f.low] + wind[axis, f.high]) / 2 for axis, f in enumerate(c.faces)
        ]
        left = np.zeros(c.lid.size)
        for f, q in zip(c.faces, carried, strict=True):
            left += np.bincount(f.low, q, left.size) - np.bincount(f.high, q, left.size)
        left[self._margin()] = 0.0  # beyond it the wind is as it was
        pressure = self.correction.solve(left)
        return [
            q + f.open * f.length / f.apart * (pressure[f.high] - pressure[f.low])
            for f, q in zip(c.faces, carried, strict=True)
        ]

    def _tracers(self, through: list[np.ndarray]) -> tuple[np.ndarray, np.ndarray]:
        """Concentration under the lid of what is fed evenly and at the nozzles, 1 m3/s per metre of height."""
        c, size = self.cells, len(self.under)
        rows, columns, values, leaving = [], [], [], np.zeros(size)
        for f, q in zip(c.faces, through, strict=True):
            mixed = MIXING * f.open * f.length / f.apart
            inside = c.lid[f.low] & c.lid[f.high]
            a, b = self.place[f.low[inside]], self.place[f.high[inside]]
            up, down = (np.maximum(s * q, 0.0)[inside] + mixed[inside] for s in (1, -1))
            rows += [a, b, b, a]
            columns += [a, a, b, b]
            values += [up, -up, down, -down]
            edge = c.lid[f.low] != c.lid[f.high]
            cell = np.where(c.lid[f.low], self.place[f.low], self.place[f.high])[edge]
            gusts = EXCHANGE * f.open * f.length
            outward = np.where(c.lid[f.low], q, -q)
            # by gusts alone where no air moves through; none against a steady wind; the wind's own with it
            out = (outward + np.hypot(outward, 2 * gusts)) / 2
            leaving += np.bincount(cell, out[edge], size)
        joined = csc_array(
            (np.concatenate(values), (np.concatenate(rows), np.concatenate(columns))), (size, size)
        )
        carried = splu((joined + diags_array(leaving)).tocsc())
        area = c.area[self.under]
        fed = np.bincount(self.nozzles, minlength=size) / len(self.nozzles)
        return carried.solve(area / area.sum()), carried.solve(fed)

    def _comes_in(self, through: list[np.ndarray]) -> float:
        """m/s, mean over the sides where air enters."""
        flow = length = 0.0
        for f, q in zip(self.cells.faces, through, strict=True):
            edge = self.cells.lid[f.low] != self.cells.lid[f.high]
            inward = np.where(self.cells.lid[f.low], -q, q)[edge]
            flow += float(inward[inward > 0].sum())
            length += float(f.length[edge][inward > 0].sum())
        return flow / max(length, 1e-9)

    def _moves(self, through: list[np.ndarray]) -> np.ndarray:
        """The air's mean motion in the nozzles' cells [m/s], [2]."""
        out = []
        for f, q in zip(self.cells.faces, through, strict=True):
            at, size = self.under[self.nozzles], self.cells.lid.size
            total = np.bincount(f.low, q / f.length, size) + np.bincount(f.high, q / f.length, size)
            many = np.bincount(f.low, minlength=size) + np.bincount(f.high, minlength=size)
            out.append((total[at] / np.maximum(many[at], 1.0)).mean())
        return np.array(out)
