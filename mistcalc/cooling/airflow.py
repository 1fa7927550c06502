"""How the air moves under the lid, for a wind of 1 m/s from any side: where it comes in, what it carries.

The wind that would blow there without the lid (`lee` turns it round behind the house) is corrected by the
least that makes it keep out of walls and lose no air under the lid: a potential flow, as mass-consistent wind
models make it (Sherman 1978, J. Appl. Meteorol. 17, 312), here in plan. Outside the lid air may rise: there
the correction dies away over the house's height. On that flow two tracers are carried and mixed: one fed
evenly under the lid, whose mean is the time the air stays; one fed at the nozzles, whose mean and place are
what becomes of the cold. Both go as one over the wind, so one table of directions answers any speed.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from mistcalc.cooling.banded import Banded
from mistcalc.cooling.lee import pockets, wake_flushing_flow, wind_obstacles, wind_without_lid
from mistcalc.cooling.patio_geometry import BESIDE_LINE, PatioGeometry
from mistcalc.cooling.plan_cells import Cells, Faces, cells_of, house_height

PLUME_HALF = 0.35  # m, half width of a plume where most of it has dried
CARRIED_IN = 0.2  # of the air's motion, toward the house: from there on what hangs outside the edge comes in
WAYS = 16  # directions of the table
DIES_AWAY = 1.0  # of the house's height: how far outside the lid walls and lid are felt by the wind
POCKET = 1e-6  # share of that which holds p in a pocket nothing blows into
MIXING = 0.1  # m: eddy diffusivity over the wind's speed
AT_ONCE = 0.48  # of the cold that reaches people's height with the plumes themselves; judgment
TIGHT = 1e-6  # 1/s, of air changes where no side is open: so that there is an answer
STILL = 1e-6  # m/s: air slower than that is rounding
EXCHANGE = 0.1  # of the wind's speed: air that an open side passes either way by turbulence alone


@dataclass(frozen=True, slots=True, eq=False)
class PatioAirflow:
    """Under a wind of 1 m/s at patio height, by the plan direction it blows to, [..., way].

    `held` is what of the cold is in a place, over the patio's mean, as to what the nozzles gave the air.
    """

    purge: np.ndarray  # m3/s, of air that changes the patio's
    kept: np.ndarray  # share of what the nozzles give the air that stays, in that air
    held_seats: np.ndarray  # [seat, way]
    held_near_line: np.ndarray
    held_far_edge: np.ndarray
    held: np.ndarray  # [cell under the lid, way]
    moves: np.ndarray  # m/s, the air's own motion at the nozzles, [2, way]
    speed: np.ndarray  # m/s, mean over the patio
    comes_in: np.ndarray  # m/s, mean over the open sides where air enters
    returns: (
        np.ndarray
    )  # share of that air which comes back: from the house's lee, or in a pocket of its walls
    in_lee: np.ndarray  # share of the patio in the house's lee
    flush: np.ndarray  # m3/s, of outdoor air that changes what comes back
    cells: Cells

    def at(self, name: str, toward: np.ndarray) -> np.ndarray:
        """One of the above at plan directions `toward` [rad]: the leading axis, if any, then their shape."""
        table = getattr(self, name)
        place = np.asarray(toward) % (2 * np.pi) / (2 * np.pi / WAYS)
        low = np.floor(place).astype(int)
        part, low = place - low, low % WAYS
        high = (low + 1) % WAYS
        return np.asarray(table[..., low] * (1 - part) + table[..., high] * part)

    def held_at(self, x: np.ndarray, y: np.ndarray, toward: float) -> np.ndarray:
        """`held` at points under the lid for one direction, [point]."""
        return self.cells.between(self.at("held", np.asarray(toward)), x, y)


@lru_cache(maxsize=64)
def patio_airflow(ground: PatioGeometry) -> PatioAirflow:
    flow = _Flow(cells_of(ground), ground)
    by_direction = [flow.toward(2 * np.pi * way / WAYS) for way in range(WAYS)]
    tables = {
        name: np.stack([np.asarray(direction[name]) for direction in by_direction], axis=-1)
        for name in by_direction[0]
    }
    return PatioAirflow(**tables, cells=flow.cells)


def _yields(f: Faces, free: np.ndarray) -> np.ndarray:
    """How readily a pressure drives air through faces [1]; free: of cells, 0 to 1."""
    return np.asarray(np.minimum(free[f.low], free[f.high]) * f.open * f.length / f.apart)


class _Flow:
    """The patio's cells with what does not change from direction to direction worked out once."""

    def __init__(self, cells: Cells, ground: PatioGeometry) -> None:
        self.cells, self.ground, self.obstacles = cells, ground, wind_obstacles(ground)
        self.dies_away = DIES_AWAY * house_height(ground)
        self.correction = self._correction(np.ones(cells.lid.size))
        self.under = np.flatnonzero(cells.lid)
        self.place = np.full(cells.lid.size, -1)
        self.place[self.under] = np.arange(len(self.under))
        nozzles = np.array([s.point(along, 0.0) for s in ground.strips for along in s.places])
        self.nozzles = cells.holding(nozzles)
        each = [(strip, len(strip.places)) for strip in ground.strips]
        self.inward = np.repeat([s.inward for s, _ in each], [n for _, n in each], axis=0).T
        behind = np.repeat([s.outside for s, _ in each], [n for _, n in each])
        self.outside = np.clip(0.5 * (1 - behind / PLUME_HALF), 0.0, 0.5)
        beside = np.array([s.point(along, BESIDE_LINE) for s in ground.strips for along in s.places])
        self.beside = cells.holding(beside)
        self.seats = cells.holding(np.array(ground.seats))
        self.far = cells.holding(np.array(ground.far_points))

    def _correction(self, free: np.ndarray) -> Banded:
        """-div(free grad p) over cells [m2/m2]: p is 0 at the margin and dies away outside the lid."""
        c, entries = self.cells, []
        for f in c.faces:
            g = _yields(f, free)
            entries += [(f.low, f.low, g), (f.high, f.high, g), (f.low, f.high, -g), (f.high, f.low, -g)]
        away = np.where(c.lid, 0.0, free * c.area / self.dies_away**2)
        away[c.solid] = 1.0
        away[self._margin()] += 1.0
        try:
            return Banded.of(c.lid.size, entries, away)
        except np.linalg.LinAlgError:  # a pocket of lid with the house all round it: its p is free, so 0
            return Banded.of(c.lid.size, entries, away + POCKET * c.area / self.dies_away**2)

    def _margin(self) -> np.ndarray:
        edge = np.zeros((len(self.cells.x) - 1, len(self.cells.y) - 1), dtype=bool)
        edge[[0, -1]] = edge[:, [0, -1]] = True
        return edge.ravel()

    def toward(self, toward: float) -> dict[str, np.ndarray | float]:
        """`PatioAirflow` for one direction."""
        wind, in_lee, shut = wind_without_lid(self.cells, self.obstacles, toward)
        through = self._through(wind, shut)
        motion = self._motion(through)
        even, fed, age = self._tracers(through, self._inside(motion))
        share = self.cells.area[self.under] / self.cells.area[self.under].sum()
        mean, cold = even @ share, fed @ share
        pocket, mouth = pockets(self.cells, self.obstacles, toward)
        comes_in, from_lee = self._comes_in(through, in_lee)
        from_pocket = (1 - from_lee) * self.nozzles.mean(pocket[self.under]).mean()
        # In a wake, and in an eddy, the air is mixed all through (Drivas & Shair 1974, second-hand).
        mixed = np.maximum(in_lee, pocket)[self.under] @ share
        held = mixed + (1 - mixed) * fed / cold * self._come_down(age)
        return {
            "purge": self.ground.height / mean,
            "kept": cold / mean,
            "held_seats": self.seats.mean(held),
            "held_near_line": self.beside.mean(held).mean(),
            "held_far_edge": self.far.mean(held).mean(),
            "held": held,
            "moves": self.nozzles.mean(motion).mean(axis=1),
            "speed": np.hypot(np.hypot(*motion) @ share, EXCHANGE),
            "comes_in": comes_in,
            "returns": from_lee + from_pocket,
            "in_lee": in_lee[self.under] @ share,
            "flush": self._flush(toward, from_lee, from_pocket, mouth),
        }

    def _through(self, wind: np.ndarray, shut: np.ndarray) -> list[np.ndarray]:
        """Air through every face, toward the higher cell, per metre of height [m2/s]. Where the air is `shut`
        in, 0 to 1, turbulence alone drives it."""
        c = self.cells
        carried = [
            f.open * f.length * (wind[axis, f.low] + wind[axis, f.high]) / 2 for axis, f in enumerate(c.faces)
        ]
        left = np.zeros(c.lid.size)
        for f, q in zip(c.faces, carried, strict=True):
            left += np.bincount(f.low, q, left.size) - np.bincount(f.high, q, left.size)
        left[self._margin()] = 0.0  # beyond it the wind is as it was
        free = 1 - (1 - EXCHANGE) * shut
        pressure = (self._correction(free) if shut.any() else self.correction).solve(left)
        return [
            q + _yields(f, free) * (pressure[f.high] - pressure[f.low])
            for f, q in zip(c.faces, carried, strict=True)
        ]

    def _inside(self, motion: np.ndarray) -> np.ndarray:
        """Share of each nozzle's plume that is or comes under the lid, [nozzle]: one that is wider than the
        line lies behind the edge hangs out in part, and is lost there but where the air moves in."""
        moves = self.nozzles.mean(motion)
        inward = (moves * self.inward).sum(axis=0)
        speed = np.maximum(np.hypot(*moves), STILL)
        return 1 - self.outside * (1 - np.clip(inward / speed / CARRIED_IN, 0.0, 1.0))

    def _come_down(self, age: np.ndarray) -> np.ndarray:
        """How far the cold of this age [s at 1 m/s] has been mixed down from the lid to people, 0 to 1: by
        the slowest wave of diffusion over the height."""
        return 1 - (1 - AT_ONCE) * np.exp(-age * MIXING * (np.pi / self.ground.height) ** 2)

    def _tracers(
        self, through: list[np.ndarray], inside: np.ndarray
    ) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Concentration under the lid of 1 m3/s per m of height, fed evenly and at the nozzles; how long ago
        the latter was fed [s]."""
        c, size = self.cells, len(self.under)
        entries, leaving = [], TIGHT * c.area[self.under]
        for f, q in zip(c.faces, through, strict=True):
            mixed = MIXING * f.open * f.length / f.apart
            within = c.lid[f.low] & c.lid[f.high]
            a, b = self.place[f.low[within]], self.place[f.high[within]]
            up, down = (np.maximum(s * q, 0.0)[within] + mixed[within] for s in (1, -1))
            entries += [(a, a, up), (b, a, -up), (b, b, down), (a, b, -down)]
            edge = c.lid[f.low] != c.lid[f.high]
            cell = np.where(c.lid[f.low], self.place[f.low], self.place[f.high])[edge]
            gusts = EXCHANGE * f.open * f.length
            outward = np.where(c.lid[f.low], q, -q)
            # by gusts alone where no air moves through; none against a steady wind; the wind's own with it
            out = (outward + np.hypot(outward, 2 * gusts)) / 2
            leaving = leaving + np.bincount(cell, out[edge], size)
        carried = Banded.of(size, entries, leaving)
        area = c.area[self.under]
        fed = self.nozzles.sum(inside, size) / len(inside)
        at_nozzles = carried.solve(fed)
        age = carried.solve(at_nozzles * area) / np.maximum(at_nozzles, 1e-12)
        return carried.solve(area / area.sum()), at_nozzles, age

    def _flush(self, toward: float, from_lee: float, from_pocket: float, mouth: float) -> float:
        """Outdoor air that changes what comes back [m3/s]: by the wake, or by gusts at a pocket's mouth."""
        lee = wake_flushing_flow(self.obstacles, toward) if self.obstacles else 0.0
        if from_pocket == 0.0:
            return lee
        pocket = EXCHANGE * mouth * self.ground.height
        return (from_lee + from_pocket) / (from_lee / lee + from_pocket / pocket)

    def _comes_in(self, through: list[np.ndarray], in_lee: np.ndarray) -> tuple[float, float]:
        """How fast air enters, the mean over the sides where it does [m/s], and the lee's share of it."""
        flow = length = from_lee = 0.0
        for f, q in zip(self.cells.faces, through, strict=True):
            edge = self.cells.lid[f.low] != self.cells.lid[f.high]
            inward = np.where(self.cells.lid[f.low], -q, q)[edge]
            inward = np.where(inward > STILL * f.length[edge], inward, 0.0)
            beyond = np.where(self.cells.lid[f.low], f.high, f.low)[edge]
            flow += float(inward.sum())
            from_lee += float(inward @ in_lee[beyond])
            length += float(f.length[edge][inward > 0].sum())
        return flow / max(length, 1e-9), from_lee / max(flow, 1e-9)

    def _motion(self, through: list[np.ndarray]) -> np.ndarray:
        """The air's motion in the cells under the lid [m/s], [2, cell]: the mean over each cell's sides."""
        size, motion = self.cells.lid.size, []
        for f, q in zip(self.cells.faces, through, strict=True):
            total = np.bincount(f.low, q / f.length, size) + np.bincount(f.high, q / f.length, size)
            many = np.bincount(f.low, minlength=size) + np.bincount(f.high, minlength=size)
            motion.append((total / np.maximum(many, 1))[self.under])
        return np.array(motion)
