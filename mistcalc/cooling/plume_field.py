"""The plumes of one hour as a field in space: ask any point under the lid what air is there.

Every nozzle's plume is a tube about its computed path, swung to where the wind goes. Its section, square to
the path, is a disc until the plumes meet and then a rectangle: as long along the line as a nozzle's share
of the curtain, as thick as the curtain. Section times speed is the plume's own flow of air, so the field
carries what the plume carries. A wall ends a tube. At a point the coolest air counts, never the sum.

Limit: the plume's equations suppose wind square to the line. Along the line each plume blows through the
next one's place; the field then shows the coolest of them, and the air they share is counted once.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from mistcalc.cooling import wind
from mistcalc.cooling.balance import BalanceSolution
from mistcalc.cooling.case import Case
from mistcalc.cooling.patio_geometry import NozzleRow

GRAIN = 0.025  # m
Side = tuple[tuple[float, float], tuple[float, float]]


@dataclass(frozen=True, slots=True)
class PlumePath:
    """One nozzle's plume in the upright plane the wind blows in, [step]; SI, as in `plume.Plume`."""

    depth: np.ndarray
    drift: np.ndarray
    sine: np.ndarray
    cosine: np.ndarray
    thick: np.ndarray  # m, half width across the path
    long: np.ndarray  # m, half of the section's length along the line; the disc's radius while round
    disc: np.ndarray  # 1.0 where the section is round
    temperature: np.ndarray
    ratio: np.ndarray
    cooling: np.ndarray  # W, one nozzle's

    def at(self, name: str, step: np.ndarray) -> np.ndarray:
        """A quantity at places along the path counted in steps."""
        along = getattr(self, name)
        low = np.minimum(step.astype(int), len(along) - 2)
        return along[low] + (step - low) * (along[low + 1] - along[low])

    def foot(self, drift: np.ndarray, depth: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """The nearest place of the path to points of its plane, all [point].

        (step, signed distance square to the path [m], positive up and downwind; whether it is square, not
        beyond an end)
        """
        dx, dz = np.diff(self.drift), np.diff(self.depth)
        size = np.maximum(dx * dx + dz * dz, 1e-18)
        x, z = drift[:, None] - self.drift[:-1], depth[:, None] - self.depth[:-1]
        free = (x * dx + z * dz) / size
        part = free.clip(0.0, 1.0)
        gap = (x - part * dx) ** 2 + (z - part * dz) ** 2
        nearest = gap.argmin(-1)
        row = np.arange(len(nearest))
        side = np.sign(x[row, nearest] * dz[nearest] - z[row, nearest] * dx[nearest])
        here = free[row, nearest]
        ends = ((nearest == 0) & (here < 0)) | ((nearest == len(dx) - 1) & (here > 1))
        return nearest + part[row, nearest], side * np.sqrt(gap[row, nearest]), ~ends


def path_of(case: Case, answer: BalanceSolution, hour: int) -> PlumePath:
    """The first draw's plume in one hour."""
    plume, at = answer.plume, (0, hour)
    thick = plume.radius[at]
    section = plume.volume_flow[at] / plume.speed[at]
    # `plume_path.shape`: round up to this half width, a curtain of as little or more after it
    disc = (thick < case.spray.spacing / np.pi) & (np.abs(section / (np.pi * thick**2) - 1) < 1e-3)
    return PlumePath(
        depth=plume.depth[at],
        drift=plume.drift[at],
        sine=plume.sine[at],
        cosine=plume.cosine[at],
        thick=thick,
        long=np.where(disc, thick, section / (4 * thick)),
        disc=disc.astype(float),
        temperature=plume.temperature[at],
        ratio=plume.ratio[at],
        cooling=plume.cooling[at],
    )


@dataclass(frozen=True, slots=True)
class _Sections:
    """The sections that points of the path's plane are nearest to, [point]; `off` as in `PlumePath.foot`."""

    step: np.ndarray
    off: np.ndarray
    square: np.ndarray
    thick: np.ndarray
    long: np.ndarray
    cosine: np.ndarray
    temperature: np.ndarray
    disc: np.ndarray

    def holds(self, across: np.ndarray, along: tuple[float, float]) -> np.ndarray:
        """Whether points `across` metres to the left of that plane lie in their section.

        `along`: the line's part downwind and its part to the left of the wind. The section's long axis is the
        line as seen square to the path; it shrinks as the path turns into the line's own direction, and the
        section thickens in step, within 30 degrees of it to a square at most.
        """
        tilt, side = along[0] * self.cosine, along[1]
        seen = np.maximum(np.hypot(side, tilt), 1e-9)
        area = self.long * self.thick
        length = np.maximum(self.long * seen, np.minimum(self.long / 2, np.sqrt(area)))
        lengthwise = np.abs(across * side + self.off * tilt) / seen
        crosswise = np.abs(self.off * side - across * tilt) / seen
        flat = (lengthwise <= length + 1e-9) & (crosswise <= area / length)
        disc = self.off**2 + across**2 <= self.thick**2
        return self.square & np.where(self.disc > 0.5, disc, flat)


@dataclass(frozen=True, slots=True)
class _PathTable:
    """Sections by drift, `GRAIN` apart."""

    drift: np.ndarray
    sections: _Sections

    def look(self, drift: np.ndarray) -> _Sections:
        place = np.round((drift - self.drift[0]) / GRAIN)
        index = place.clip(0, len(self.drift) - 1).astype(int)
        sections = _Sections(*(getattr(self.sections, name)[index] for name in _Sections.__slots__))
        sections.square[index != place] = False
        return sections


@dataclass(frozen=True, slots=True)
class Field:
    """All plumes of one hour."""

    path: PlumePath
    strips: tuple[NozzleRow, ...]
    blocking: tuple[Side, ...]  # walls that may stand between a nozzle and a point under the lid
    toward: float  # rad, where the wind goes
    height: float  # m, of the nozzles

    @property
    def downwind(self) -> tuple[float, float]:
        return float(np.cos(self.toward)), float(np.sin(self.toward))

    def coolest(self, x: np.ndarray, y: np.ndarray, height: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """The coolest plume at each point: (step along its path, -1 where there is none; offset from it [m]).

        x, y: m in plan; height: m above the floor; all [point]. One height for all costs far less.
        """
        depth = self.height - height
        level = float(depth[0]) if np.ptp(depth) == 0 else None
        table = self._table(level, float(np.hypot(np.ptp(x), np.ptp(y)))) if level is not None else None
        best, offset = np.full(len(x), -1.0), np.zeros(len(x))
        coldest = np.full(len(x), np.inf)
        ux, uy = self.downwind
        reach = float(max(self.path.thick.max(), self.path.long.max()))
        for strip in self.strips:
            along = (ux * strip.along[0] + uy * strip.along[1], ux * strip.along[1] - uy * strip.along[0])
            for place in strip.places:
                sx, sy = strip.first[0] + place * strip.along[0], strip.first[1] + place * strip.along[1]
                across = ux * (y - sy) - uy * (x - sx)
                near = np.flatnonzero(np.abs(across) <= reach)
                drift = ux * (x[near] - sx) + uy * (y[near] - sy)
                section = table.look(drift) if table is not None else self._sections(drift, depth[near])
                hit = section.holds(across[near], along)
                hit[hit] = self._seen(sx, sy, x[near[hit]], y[near[hit]])
                hit &= section.temperature < coldest[near]
                best[near[hit]], offset[near[hit]] = section.step[hit], section.off[hit]
                coldest[near[hit]] = section.temperature[hit]
        return best, offset

    def _sections(self, drift: np.ndarray, depth: np.ndarray) -> _Sections:
        step, off, square = self.path.foot(drift, depth)
        names = ("thick", "long", "cosine", "temperature", "disc")
        return _Sections(step, off, square, *(self.path.at(name, step) for name in names))

    def _table(self, depth: float, farthest: float) -> _PathTable:
        """The sections on one level: every nozzle's plume has the same shape, so they are looked up."""
        reach = 2 * float(self.path.thick.max())
        last = min(float(self.path.drift.max()) + reach, farthest) + 2 * GRAIN
        drift = GRAIN * np.arange(-np.ceil(reach / GRAIN), np.ceil(last / GRAIN) + 1)  # 0 is one of them
        return _PathTable(drift, self._sections(drift, np.full(len(drift), depth)))

    def _seen(self, sx: float, sy: float, x: np.ndarray, y: np.ndarray) -> np.ndarray:
        """Whether no wall stands between the nozzle and each point."""
        clear = np.ones(len(x), dtype=bool)
        for a, b in self.blocking:
            part = wind.ray_to_segment(sx, sy, x - sx, y - sy, a, b)
            clear &= ~(part < 1 - 1e-9)
        return clear


def field_of(case: Case, answer: BalanceSolution, hour: int = 0) -> Field:
    """The field of the first draw in one hour."""
    outline = np.asarray(case.ground.outline)
    blocking = tuple((a, b) for a, b in case.ground.walls if _cuts(a, b, outline))
    toward = float(case.toward[0, hour])
    return Field(path_of(case, answer, hour), case.ground.strips, blocking, toward, case.spray.height)


def _cuts(a: tuple[float, float], b: tuple[float, float], outline: np.ndarray) -> bool:
    """Whether a wall's line has lid on both sides: only then can it come between two places under the lid."""
    across = (b[0] - a[0]) * (outline[:, 1] - a[1]) - (b[1] - a[1]) * (outline[:, 0] - a[0])
    reach = 0.01 * float(np.hypot(b[0] - a[0], b[1] - a[1]))  # 1 cm a side
    return bool(across.max() > reach and across.min() < -reach)
