"""One case to balance: a patio's spray, the outdoor air, the wind about it, and what nobody knows of it."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace

import numpy as np

from mistcalc.cooling import wind
from mistcalc.cooling.airflow import EXCHANGE, patio_airflow
from mistcalc.cooling.patio_air import Outdoors
from mistcalc.cooling.patio_geometry import SEATED, PatioGeometry, geometry_of
from mistcalc.cooling.unknowns import Unknowns
from mistcalc.model.lid_heights import mean_height
from mistcalc.model.mirror_image import turning_round
from mistcalc.model.project import Nozzle, Patio, Plumbing
from mistcalc.model.results import Air, Layout, Line
from mistcalc.physics import air as moist
from mistcalc.physics import nozzle
from mistcalc.physics.droplet import water_density

BLOWS_IN = 0.6  # cosine of the wind to an open side's inward: within 53 degrees of it


@dataclass(frozen=True, slots=True)
class Spray:
    """The patio's open nozzles: mean flow [m3/s] and gauge [Pa] of one, their number and spacing [m]."""

    nozzles: int
    flow: float
    gauge: float
    spacing: float
    height: float  # m, of the tips above the floor

    @property
    def total(self) -> float:
        return self.nozzles * self.flow


@dataclass(frozen=True, slots=True)
class Lee:
    """Air that comes back under the lid, from the house's lee or in a pocket of its walls, [draw, hour]."""

    share: np.ndarray  # of the patio that lies in the lee
    returns: np.ndarray  # of the air that comes in: share that comes back
    inward: np.ndarray  # m/s, at which air comes in
    flush: np.ndarray  # m3/s of outdoor air that changes it


@dataclass(frozen=True, slots=True)
class Case:
    """Everything one balance needs, [draw, hour]."""

    ground: PatioGeometry
    spray: Spray
    plumbing: Plumbing
    outdoors: Outdoors
    unknowns: Unknowns
    wind: np.ndarray  # m/s, at the patio's height where neither house nor lid is in its way
    wind_toward: np.ndarray  # plan direction in which that blows, rad
    air_speed: np.ndarray  # m/s, on people, mean over the patio
    speed: np.ndarray  # m/s, of the air at the nozzles, by the wind alone
    toward: np.ndarray  # plan direction in which that moves, rad
    wind_flow: np.ndarray  # m3/s, of air the wind brings in
    wind_keeps: np.ndarray  # share of what the nozzles give the air that stays in it, were there wind alone
    gathered: np.ndarray  # what of the cold is beside the line, over the patio's mean, were there wind alone
    lee: Lee

    @property
    def water(self) -> float:
        """kg/s, all nozzles, by the line's own pressures and flows."""
        return self.spray.total * float(water_density(self.plumbing.water.temperature))

    @property
    def flow(self) -> np.ndarray:
        """m3/s of one nozzle, [draw, 1] or one for all draws: its check may open sooner or later than stated.

        The line is not solved again: what one draw's nozzles pass more or less does not move its pressures.
        """
        s, n = self.spray, self.plumbing.nozzle
        if not n.opens_at:
            return np.full((1, 1), s.flow)
        wide_open = nozzle.flow(s.gauge, n.flow, n.at, n.exponent)
        opens_at = np.minimum(n.opens_at * self.unknowns.opening, nozzle.HIGHEST_GAUGE)
        change = nozzle.opened(s.gauge, opens_at, n.exponent) - nozzle.opened(s.gauge, n.opens_at, n.exponent)
        return np.maximum(s.flow + wide_open * change, 0.0)

    @property
    def lee_share(self) -> np.ndarray:
        """Share of the patio that lies in the lee, 0 where the wind blows into an open side all the same."""
        ux, uy = np.cos(self.wind_toward), np.sin(self.wind_toward)
        into = [-(ux * nx + uy * ny) for nx, ny in (o.outward for o in self.ground.openings)]
        return np.where(np.max(into, axis=0, initial=-1.0) > BLOWS_IN, 0.0, self.lee.share)

    @property
    def supply_enthalpy(self) -> float:
        return float(moist.water_enthalpy(self.plumbing.water.temperature))


def case_of(
    patio: Patio,
    layout: Layout,
    spray: Spray,
    plumbing: Plumbing,
    airs: tuple[Air, ...],
    bearing: float,
    u: Unknowns,
) -> Case:
    """One case [draw, hour], the hours of all airs one after another."""
    g = geometry_of(patio, layout)
    each = [outdoors_of(air, u) for air in airs]
    blowing = _joined([wind.speed(air, u.wind, u.calm) for air in airs])
    round_lid = turning_round(patio)
    toward = _joined([wind.heading(air, bearing, u.turning, round_lid) for air in airs])
    outdoors = Outdoors(*(_joined([getattr(o, name) for o in each]) for name in Outdoors.__slots__))
    return case_in(g, spray, _of_dominant(plumbing, layout), outdoors, u, blowing, toward)


def with_line(case: Case, layout: Layout, spray: Spray, plumbing: Plumbing) -> Case:
    """The same patio in the same air and wind with another line at its marks."""
    return replace(case, spray=spray, plumbing=_of_dominant(plumbing, layout))


def case_in(
    ground: PatioGeometry,
    spray: Spray,
    plumbing: Plumbing,
    outdoors: Outdoors,
    u: Unknowns,
    blowing: np.ndarray,
    toward: np.ndarray,
) -> Case:
    """One case in a wind of `blowing` [m/s] to plan direction `toward` [rad], [draw, hour]."""
    under = patio_airflow(ground)
    left = blowing * (1 + under.at("in_lee", toward) * (u.lee - 1))
    moves = left * under.at("moves", toward)
    return Case(
        ground, spray, plumbing, outdoors, u, blowing, toward,
        air_speed=left * under.at("speed", toward),
        speed=np.hypot(np.hypot(*moves), left * EXCHANGE),  # where no air passes through, gusts move it
        toward=np.arctan2(moves[1], moves[0]),
        wind_flow=left * under.at("purge", toward),
        wind_keeps=under.at("kept", toward),
        gathered=under.at("held_near_line", toward),
        lee=Lee(
            under.at("in_lee", toward),
            under.at("returns", toward),
            left * under.at("comes_in", toward),
            left * under.at("flush", toward),
        ),
    )  # fmt: skip


def _of_dominant(plumbing: Plumbing, layout: Layout) -> Plumbing:
    return replace(plumbing, nozzle=dominant_nozzle(plumbing, layout))


def dominant_nozzle(plumbing: Plumbing, layout: Layout) -> Nozzle:
    """The nozzle that most of a patio's water comes from, at one pressure: all its drops are taken for that
    one's, where its runs differ."""
    counts = Counter(plumbing.nozzle_at(mark.run, mark.name) for mark in layout.marks)
    at = plumbing.nozzle.at
    shares = {of: n * float(nozzle.flow(at, of.flow, of.at, of.exponent)) for of, n in counts.items()}
    most = max(shares.values(), default=0.0) * (1 - 1e-9)
    alike = [of for of, share in shares.items() if share >= most]  # by name: the first mark has a hand
    return min(alike, key=lambda of: (of.flow, of.label), default=plumbing.nozzle)


def _joined(columns: list[np.ndarray]) -> np.ndarray:
    return np.concatenate(columns, axis=1)


def spray_of(patio: Patio, layout: Layout, line: Line) -> Spray | None:
    """The nozzles of this patio that pass water, or None."""
    flowing = [m for m in line.marks if m.patio == patio.name and m.flow > 0 and m.pressure_gauge > 0]
    if not flowing:
        return None
    gaps = [gap for _, row in layout.gaps for gap in row]
    stub = float(np.median([mark.stub_nominal for mark in layout.marks]))
    return Spray(
        nozzles=len(flowing),
        flow=float(np.mean([m.flow for m in flowing])),
        gauge=float(np.mean([m.pressure_gauge for m in flowing])),
        spacing=float(np.median(gaps)) if gaps else np.inf,
        height=max(mean_height(patio) - stub, SEATED + 0.1),
    )


def outdoors_of(air: Air, u: Unknowns) -> Outdoors:
    """Outdoor air of one Air, [draw, hour]."""
    humidity = np.clip(air.relative_humidity + u.humidity, 0.0, 1.0)
    t, p = (np.broadcast_to(x, humidity.shape) for x in (air.temperature, air.air_pressure))
    return Outdoors(t, moist.humidity_ratio(t, humidity, p), p)
