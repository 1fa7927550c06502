"""One patio on the hours asked, as a range: outdoor air, the plumes, the patio's air, three places."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from functools import partial

import numpy as np

from mistcalc.cooling import places, wind
from mistcalc.cooling.ground import SEATED, Ground, ground
from mistcalc.cooling.patio_air import PASSES, Mixed, Outdoors, fixed_point, mixed, unfogged
from mistcalc.cooling.people import feel, relative_humidity
from mistcalc.cooling.unknowns import Unknowns, draws, shares
from mistcalc.model.project import Patio, Plumbing
from mistcalc.model.results import PLACES, Air, Cooling, Driver, Layout, Line
from mistcalc.physics import air as moist
from mistcalc.physics import exchange, nozzle
from mistcalc.physics.droplet import water_density
from mistcalc.physics.plume import Plume, spray_plume

ROUNDS = (2, PASSES)  # secant passes before and after the time the cooled air stays is brought up to date
COLDEST, HOTTEST = 233.15, 333.15  # K, air the plume's equations answer for
CLASSES = 8  # of drop size: 12 would move the share left liquid by under 1 %


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
class Case:
    """Everything one balance needs, [draw, hour]."""

    ground: Ground
    spray: Spray
    plumbing: Plumbing
    outdoors: Outdoors
    unknowns: Unknowns
    speed: np.ndarray  # m/s
    toward: np.ndarray  # plan direction of the air's motion, rad
    wind_flow: np.ndarray  # m3/s

    @property
    def water(self) -> float:
        """kg/s, all nozzles."""
        return self.spray.total * float(water_density(self.plumbing.water.temperature))

    @property
    def supply_enthalpy(self) -> float:
        return float(moist.water_enthalpy(self.plumbing.water.temperature))


@dataclass(frozen=True, slots=True)
class Answer:
    """Plumes and patio air that agree, [draw, hour]; residual as a share of the injected water."""

    plume: Plume
    patio: Mixed
    landed: np.ndarray  # share that reaches the floor inside the patio
    carried: np.ndarray  # share that leaves the patio as liquid
    residual: np.ndarray


def afternoons(
    patio: Patio,
    layout: Layout,
    line: Line,
    plumbing: Plumbing,
    airs: tuple[Air, ...],
    bearing: float = 0.0,
    unknowns: Unknowns | None = None,
) -> tuple[Cooling, ...]:
    """The patio's air with the mist on and off, one Cooling for each of `airs` (of any number of hours).

    bearing: heading of the plan's +x, rad clockwise from north; only a wind of known direction needs it.
    A line that passes no water gives Coolings of zero drops and `water_flow` 0. All hours of all airs are
    solved together: they share nothing but the arithmetic's overhead.
    """
    u = draws() if unknowns is None else unknowns
    spray = spray_of(patio, layout, line)
    made_of = (patio, layout.marks, spray, plumbing, bearing, u.key)
    if spray is None:
        return tuple(_dry(patio, layout, air, u, made_of) for air in airs)
    case = case_of(patio, layout, spray, plumbing, airs, bearing, u)
    answer = balance(case)
    asked = (case.ground, spray.height, spray.spacing, case.toward, case.outdoors, answer.plume, answer.patio)
    found = {place: places.at(place, *asked) for place in PLACES}
    seats = places.each_seat(*asked)
    ends = np.cumsum([len(air.temperature) for air in airs])
    return tuple(
        _cooling(
            patio,
            layout,
            air,
            u,
            case,
            answer,
            found,
            seats,
            slice(int(end) - len(air.temperature), int(end)),
            made_of,
        )
        for air, end in zip(airs, ends, strict=True)
    )


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
    g = ground(patio, layout)
    each = [outdoors_of(air, u) for air in airs]
    speed = _joined([speed_of(air, u) for air in airs])
    ways = [np.broadcast_to(wind.heading(air.direction, bearing, u.turning), out.temperature.shape)
            for air, out in zip(airs, each, strict=True)]  # fmt: skip
    toward = _joined(ways)
    outdoors = Outdoors(*(_joined([getattr(o, name) for o in each]) for name in Outdoors.__slots__))
    return Case(g, spray, plumbing, outdoors, u, speed, toward, wind.through(g, toward, speed, u.way_out))


def _joined(columns: list[np.ndarray]) -> np.ndarray:
    return np.concatenate(columns, axis=1)


def _cooling(
    patio: Patio,
    layout: Layout,
    air: Air,
    u: Unknowns,
    case: Case,
    answer: Answer,
    found: dict[str, tuple[np.ndarray, np.ndarray]],
    seats: np.ndarray,
    hours: slice,
    made_of: tuple[object, ...],
) -> Cooling:
    """The hours of one Air out of the answer to all of them."""
    out = Outdoors(*(getattr(case.outdoors, name)[:, hours] for name in Outdoors.__slots__))
    drop = {p: pair[0][:, hours] for p, pair in found.items()}
    ratio = {p: pair[1][:, hours] for p, pair in found.items()}
    humidity = {p: relative_humidity(out.temperature - drop[p], ratio[p], out.air_pressure) for p in PLACES}
    at_seats = out.temperature - drop["seats"], humidity["seats"]
    mixed_t, mixed_ratio = answer.patio.temperature[:, hours], answer.patio.ratio[:, hours]
    mixed_air = mixed_t, relative_humidity(mixed_t, mixed_ratio, out.air_pressure)
    return Cooling(
        patio=patio.name,
        afternoon=air.name,
        baseline=out.temperature,
        depression=float(np.median(air.temperature - air.wet_bulb)),
        drop=drop,
        ratio=ratio,
        relative_humidity=humidity,
        evaporated=1 - answer.plume.landed[:, hours],
        floor_share=answer.landed[:, hours],
        carried_out=answer.carried[:, hours],
        water_flow=case.water,
        drivers=tuple(Driver(n, s) for n, s in shares(u, drop["seats"][:, 0])),
        residual=float(np.max(answer.residual[:, hours])),
        key=_key(made_of, air.key),
        feel=feel(patio, layout, case.ground.seats, out, at_seats, mixed_air, case.speed[:, hours]),
        seat_drop=seats[:, :, hours],
    )


def balance(case: Case) -> Answer:
    """The fixed point between what the plumes give the patio and what they breathe.

    One scalar a case: the captured water x [kg/s]. How long the cooled air stays (`stay`) moves little with
    x, so it is held within a round and brought up to date between rounds.
    """
    out, u = case.outdoors, case.unknowns
    plume = _plume(case, out.temperature, out.ratio)
    x = np.zeros(np.broadcast(case.speed, out.temperature).shape)
    for passes in ROUNDS:
        stay, landed, carried = _fate(case, plume)
        x, missed = fixed_point(partial(_captured, case, stay), x, passes)
        patio = _patio(case, x)
        plume = _plume(case, *_breathed(out, patio, u.surroundings))
    _, landed, carried = _fate(case, plume)
    return Answer(plume, patio, landed, carried, missed / case.water)


def _captured(case: Case, stay: np.ndarray, x: np.ndarray) -> np.ndarray:
    """Water [kg/s] whose cooling stays under the lid, if the patio's air were as x makes it."""
    patio = _patio(case, x)
    plume = _plume(case, *_breathed(case.outdoors, patio, case.unknowns.surroundings))
    changes = (patio.flow / case.ground.volume)[..., None]
    kept = np.minimum(stay * changes, 1.0).mean(-1)  # over the nozzles looked at
    kept = np.clip(kept + case.unknowns.capture, 0.0, 1.0)
    return kept * (1 - plume.landed) * case.water


def _patio(case: Case, x: np.ndarray) -> Mixed:
    g = case.ground

    def buoyant(difference: np.ndarray) -> np.ndarray:
        return exchange.buoyant_flow(difference, g.open_area, g.clear_height, case.outdoors.temperature)

    return mixed(case.outdoors, x, case.supply_enthalpy, case.wind_flow, buoyant, case.unknowns.exchange)


def _breathed(out: Outdoors, patio: Mixed, share: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """The plumes' surroundings: `share` of patio air, the rest outdoor, mixed by dry-air mass."""
    h_out = moist.enthalpy(out.temperature, out.ratio)
    h_in = moist.enthalpy(patio.temperature, patio.ratio)
    t, ratio = unfogged(
        h_out + share * (h_in - h_out), out.ratio + share * (patio.ratio - out.ratio), out.air_pressure
    )
    return t.clip(COLDEST, HOTTEST), ratio  # mixing 60 degC with 60 degC may give a hair more


def _plume(case: Case, t: np.ndarray, ratio: np.ndarray) -> Plume:
    n, u, s = case.plumbing.nozzle, case.unknowns, case.spray
    return spray_plume(
        t,
        ratio,
        case.outdoors.air_pressure,
        wind=case.speed,
        flow=s.flow,
        gauge=s.gauge,
        median_diameter=nozzle.diameter_at(s.gauge, n.drop_median, n.at) * u.drop_size,
        spread=n.drop_spread + u.drop_spread,
        water_temperature=case.plumbing.water.temperature,
        height=s.height,
        spacing=s.spacing,
        profile_factor=u.profile,
        classes=CLASSES,
        entrainment=u.entrainment,
        cross_entrainment=u.cross_entrainment,
        thrust=u.thrust,
    )


def _fate(case: Case, plume: Plume) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """(stay [draw, hour, nozzle], landed, carried [draw, hour]) over a few nozzles of every strip.

    stay: seconds the cooled air has under the lid; inf where the plume ends on floor or wall inside.
    """
    stays, weights, landed, carried = [], [], [], []
    for strip in case.ground.strips:
        places_looked_at = _few(strip.places)
        for place in places_looked_at:
            edge = wind.way_out(strip, place, case.ground, case.toward)
            fate = plume.fate(case.spray.height, edge)
            leaves = (edge < plume.drift[..., -1]) & (plume.drift_at(case.spray.height) >= edge)
            stays.append(np.where(leaves, fate.stay, np.inf))
            landed.append(fate.landed)
            carried.append(np.where(np.isinf(edge), 0.0, fate.carried))
            weights.append(len(strip.places) / len(places_looked_at))
    weight = np.array(weights) / sum(weights)
    picked = _even(np.stack(stays, -1), weight)
    return picked, np.stack(landed, -1) @ weight, np.stack(carried, -1) @ weight


def _few(places: tuple[float, ...], most: int = 3) -> tuple[float, ...]:
    """Up to `most` of a strip's nozzles, evenly over it, not its ends."""
    if len(places) <= most:
        return places
    return tuple(places[round((i + 0.5) * (len(places) - 1) / most)] for i in range(most))


def _even(stays: np.ndarray, weight: np.ndarray) -> np.ndarray:
    """Repeat each column by its weight in whole parts of a twentieth, so that a plain mean will do."""
    counts = np.maximum(np.round(weight * 20).astype(int), 1)
    return np.repeat(stays, counts, axis=-1)


# ------------------------------------------------------------------ from the nouns


def spray_of(patio: Patio, layout: Layout, line: Line) -> Spray | None:
    """The nozzles of this patio that pass water, or None."""
    flowing = [m for m in line.marks if m.patio == patio.name and m.flow > 0 and m.pressure_gauge > 0]
    if not flowing:
        return None
    gaps = [gap for _, row in layout.gaps for gap in row]
    stub = layout.marks[0].stub_nominal
    return Spray(
        nozzles=len(flowing),
        flow=float(np.mean([m.flow for m in flowing])),
        gauge=float(np.mean([m.pressure_gauge for m in flowing])),
        spacing=float(np.median(gaps)) if gaps else np.inf,
        height=max(patio.height - stub, SEATED + 0.1),
    )


def speed_of(air: Air, u: Unknowns) -> np.ndarray:
    """The air's motion under the lid [m/s], [draw, hour]; even a calm hour has some."""
    return np.maximum(air.wind * u.wind, u.calm)


def outdoors_of(air: Air, u: Unknowns) -> Outdoors:
    """Outdoor air of one Air, [draw, hour]."""
    humidity = np.clip(air.relative_humidity + u.humidity, 0.0, 1.0)
    t, p = (np.broadcast_to(x, humidity.shape) for x in (air.temperature, air.air_pressure))
    return Outdoors(t, moist.humidity_ratio(t, humidity, p), p)


def _dry(patio: Patio, layout: Layout, air: Air, u: Unknowns, made_of: tuple[object, ...]) -> Cooling:
    """No water: the patio is outdoor air in the shade."""
    out = outdoors_of(air, u)
    still = np.zeros(out.temperature.shape)
    humidity = relative_humidity(out.temperature, out.ratio, out.air_pressure)
    still_air = out.temperature, humidity
    seats = ground(patio, layout).seats
    return Cooling(
        patio=patio.name,
        afternoon=air.name,
        baseline=out.temperature,
        depression=float(np.median(air.temperature - air.wet_bulb)),
        drop=dict.fromkeys(PLACES, still),
        ratio=dict.fromkeys(PLACES, out.ratio),
        relative_humidity=dict.fromkeys(PLACES, humidity),
        evaporated=still,
        floor_share=still,
        carried_out=still,
        water_flow=0.0,
        drivers=(),
        residual=0.0,
        key=_key(made_of, air.key),
        feel=feel(patio, layout, seats, out, still_air, still_air, speed_of(air, u)),
        seat_drop=np.zeros((len(seats), *still.shape)),
    )


def _key(*made_of: object) -> str:
    return hashlib.sha256(repr(made_of).encode()).hexdigest()[:16]
