"""Figures of one run: flow, what is kept, how cold it is where, and whether its books balance."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from mistcalc.physics import air
from tests.second_method import foam
from tests.second_method.patio import FLOW, Run
from tests.second_method.shapes import Box

HEAD = 1.1  # m, of a seated face
HALF_SEAT = 0.3  # m, half the square of air a seat is averaged over
LEVELS = (0.1, 0.5, 0.9, 1.3, 1.7, 2.1, 2.5, 2.9)


@dataclass(frozen=True)
class Field:
    """The last fields of a run on its cells."""

    run: Run
    folder: Path
    time: str
    center: np.ndarray
    volume: np.ndarray

    @classmethod
    def read(cls, run: Run, folder: Path, time: str) -> Field:
        count = int(_number(folder / "constant/polyMesh/owner", r"nCells:\s*(\d+)"))
        center = foam.read_field(folder / time / "C", count)
        return cls(run, folder, time, center, foam.read_field(folder / time / "V", count))

    def of(self, name: str) -> np.ndarray:
        return foam.read_field(self.folder / self.time / name, len(self.volume))

    def mean(self, values: np.ndarray, where: np.ndarray) -> float:
        return float((values[where] * self.volume[where]).sum() / self.volume[where].sum())

    @property
    def patio(self) -> np.ndarray:
        within = [self.over(box) for box in self.run.shape.lids]
        return np.any(within, axis=0) & (self.center[:, 2] < self.run.shape.lid_height)

    def over(self, box: Box) -> np.ndarray:
        x, y = self.center[:, 0], self.center[:, 1]
        return (x > box[0]) & (x < box[2]) & (y > box[1]) & (y < box[3])

    def level(self, height: float) -> np.ndarray:
        """Cells under the lid whose layer holds a height."""
        return self.patio & (np.abs(self.center[:, 2] - height) < self.run.cell / 2 + 1e-6)

    def crossing(self) -> np.ndarray:
        """Flow inward through the faces between patio and not, by mass or volume, [face]."""
        own = foam.read_labels(self.folder / "constant/polyMesh/owner")
        beyond = foam.read_labels(self.folder / "constant/polyMesh/neighbour")
        own = own[: len(beyond)]
        through = self.of("phi")[: len(beyond)]
        inside = self.patio
        edge = inside[own] != inside[beyond]
        return np.where(inside[own], -through, through)[edge]


def flow(field: Field, density: float) -> dict[str, float]:
    """Air through the open sides [m3/s], purging flow, share kept of what the line's tracer feeds."""
    inward = field.crossing()
    purge, line, patio = field.of("trP"), field.of("trL"), field.patio
    head = field.level(HEAD)
    speed = np.linalg.norm(field.of("U"), axis=1)
    return {
        "in_m3_s": inward[inward > 0].sum() / density,
        "out_m3_s": -inward[inward < 0].sum() / density,
        "purge_m3_s": 1 / field.mean(purge, patio) / density,
        "purge_head_m3_s": 1 / field.mean(purge, head) / density,
        "line_kept": field.mean(line, patio) / field.mean(purge, patio),
        "line_kept_head": field.mean(line, head) / field.mean(purge, head),
        "speed_m_s": field.mean(speed, patio),
        "speed_head_m_s": field.mean(speed, head),
    }


def wind_off(run: Run, folder: Path, time: str) -> dict[str, float]:
    return {f"off_{name}": value for name, value in flow(Field.read(run, folder, time), 1.0).items()}


def mist_on(run: Run, folder: Path, time: str) -> dict[str, float]:
    field = Field.read(run, folder, time)
    t0, ratio0 = run.air
    density = float(air.density(t0, ratio0, 101325.0))
    t, share, patio, head = field.of("TMean"), field.of("H2OMean"), field.patio, field.level(HEAD)
    ratio = share / (1 - share)
    figures = {f"on_{name}": value for name, value in flow(field, density).items()}
    figures["drop_K"] = t0 - field.mean(t, patio)
    figures["drop_last_K"] = t0 - field.mean(field.of("T"), patio)
    figures["drop_head_K"] = t0 - field.mean(t, head)
    figures["gain_g_kg"] = 1e3 * (field.mean(ratio, patio) - ratio0)
    for name, (x, y) in run.shape.seats.items():
        seat = (x - HALF_SEAT, y - HALF_SEAT, x + HALF_SEAT, y + HALF_SEAT)
        figures[f"at_{name}_K"] = t0 - field.mean(t, head & field.over(seat))
    for height in LEVELS:
        figures[f"level_{height}_K"] = t0 - field.mean(t, field.level(height))
    return figures | _books(run, field, t0, ratio0)


def _number(file: Path, pattern: str) -> float:
    found = re.search(pattern, file.read_text())
    if found is None:
        raise ValueError(f"{file}: no {pattern}")
    return float(found.group(1))


def _books(run: Run, field: Field, t0: float, ratio0: float) -> dict[str, float]:
    """How far water and heat are from balance, and where the water is."""
    share = field.of("H2O")
    injected = FLOW * len(run.shape.nozzles)
    patio = field.patio
    evaporated = field.of("reactingCloud1:rhoTrans_H2O")
    step = _number(field.folder / field.time / "uniform/time", r"deltaT\s+([\d.e-]+);")
    all_dried, dried = evaporated.sum() / step, evaporated[patio].sum() / step
    # What the air gains in vapor it must lose in heat: 1 where both are in balance.
    ratio = share / (1 - share)
    latent = 2.4305e6  # J/kg at 303.15 K, the water's own
    gain = field.mean(ratio, patio) - ratio0
    lost = (foam.DRY_AIR_CP + ratio0 * foam.VAPOR_CP) * (t0 - field.mean(field.of("T"), patio))
    places, mass = foam.read_parcels(field.folder / field.time / "lagrangian/reactingCloud1")
    inside = np.zeros(len(mass), bool)
    for x0, y0, x1, y1 in run.shape.lids:
        inside |= (places[:, 0] > x0) & (places[:, 0] < x1) & (places[:, 1] > y0) & (places[:, 1] < y1)
    inside &= places[:, 2] < run.shape.lid_height
    return {
        "evaporated_share": all_dried / injected,
        "evaporated_under_share": dried / injected,
        "liquid_under_g": 1e3 * mass[inside].sum(),
        "heat_over_vapor": lost / (gain * latent) if gain > 1e-6 else np.nan,
    }
