"""The spray plume: how a misting nozzle drags air in, cools it, bends in the wind and dries.

A top-hat integral model along the plume's own path (Morton, Taylor & Turner 1956, Proc. R. Soc. A 234, 1;
in a cross wind Hoult & Weil 1972, Atmos. Environ. 6, 513), with drops that settle, lag behind and evaporate
in it. What is conserved is what is carried: dry air, all the water, all the enthalpy, momentum. Vapour and
temperature are diagnosed from those, so that conservation does not depend on the step.

Equations, s along the path, e the surroundings, U the wind square to the line, theta the path's angle to the
vertical, V the speed, m the moist ratio 1 + w_e:
  dry air    dM/ds = rho_e/m P [alpha |V - U sin| (rho_tot/rho_e)^1/2 + beta U cos]
  momentum   down: weight of cold air and drops; along: what the drawn-in air brings
  perimeter  P = min(2 pi b, 2 spacing): a round plume, then a curtain between its neighbors
  T*         the temperature at which all of it would settle, saturated: evaporation leaves it alone,
             only new air changes it, and the plume never cools below it
  drops      -d(d^2)/dt = 4 c k Nu (T - T*) / (rho_l L), c from `droplet`; relaxed over a step, so that no
             drop is too small for it
The core is in `plume_path`; here are the door and the record.

Known limits. Wind along the line: neighbors shelter each other and the model draws in too much. Drops are
liquid at any temperature (supercooled below 0 degC). The plume feels no wall, floor or lid: the caller cuts
the path (`Plume.fate`). Drops neither touch nor feel slip and curvature (below 2 um).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from mistcalc.physics import air, path_interpolation, plume_input
from mistcalc.physics import plume_path as core
from mistcalc.physics.air import CP_DRY, CP_VAPOUR, CP_WATER, LATENT_AT_ZERO, ZERO_CELSIUS, Floats
from mistcalc.physics.path_interpolation import Crossing
from mistcalc.physics.plume_fate import Fate, first_met, liquid_left


@dataclass(frozen=True, slots=True, eq=False)
class Plume:
    """One nozzle's plume. Shapes: [...] the inputs broadcast; [..., step] along the path, its start first
    (3 cm from the orifice); [..., class, step] the drops, [class] the size classes, small to large.

    Shares are of the injected water. Depth is meters below the nozzle, drift meters downwind of it.
    """

    # The question: K, kg/kg, Pa, kg/s, K, m; [...]
    surroundings: Floats
    surroundings_ratio: Floats
    air_pressure: Floats
    water_flow: Floats
    water_temperature: Floats
    height: Floats
    # The path, [..., step]
    time: Floats  # s since the start, at the plume's mean speed
    depth: Floats  # m
    drift: Floats  # m
    speed: Floats  # m/s, mean over the section (top hat); on the axis about twice that
    sine: Floats  # of the path's angle to the vertical: 0 straight down, 1 level
    cosine: Floats
    radius: Floats  # m, half width across the path, of the round plume or of the curtain
    temperature: Floats  # K, dry bulb of the plume's air
    ratio: Floats  # kg/kg
    drop_temperature: Floats  # K, T* half a step before
    dry_air: Floats  # kg/s carried; its increase is what was drawn in
    liquid_inside: Floats  # share still liquid and on the plume's account
    evaporated_inside: Floats  # share evaporated on the plume's account
    evaporated_outside: Floats  # share evaporated by drops that had fallen out of it
    heat: Floats  # W, enthalpy carried less that of the air drawn in (0 degC liquid water: 0)
    # The drops
    class_weight: Floats  # [class], share of the injected water
    class_area: Floats  # [..., class, step], d^2 of what is still liquid of that class, over its first
    class_lag: Floats  # [..., class, step], m behind the center, square to the path, by settling

    @property
    def distance(self) -> Floats:
        """How far along the path, [..., step] [m]."""
        stretch = np.hypot(np.diff(self.depth), np.diff(self.drift)).cumsum(-1)
        return core.START + np.concatenate([np.zeros((*stretch.shape[:-1], 1)), stretch], axis=-1)

    @property
    def class_liquid(self) -> Floats:
        """Share of that class still liquid, [..., class, step]."""
        return liquid_left(self.class_area)

    @property
    def liquid(self) -> Floats:
        """Share still liquid, in the plume or fallen out of it, [..., step]."""
        return np.einsum("c,...cs->...s", self.class_weight, self.class_liquid)

    @property
    def class_depth(self) -> Floats:
        """Depth of the drops, [..., class, step] [m]: where they lag they are deeper than the center."""
        return path_interpolation.displaced(self.depth, self.class_lag, self.sine)

    @property
    def class_drift(self) -> Floats:
        """How far downwind the drops are, [..., class, step] [m]: less far than the center."""
        return path_interpolation.displaced(self.drift, self.class_lag, -self.cosine)

    @property
    def cooling(self) -> Floats:
        """Sensible cooling of the plume's air below its surroundings, [..., step] [W]."""
        below = self.surroundings[..., None] - self.temperature
        return self.dry_air * (CP_DRY + self.ratio * CP_VAPOUR) * below

    @property
    def volume_flow(self) -> Floats:
        """Air carried, [..., step] [m3/s]."""
        virtual = self.temperature * (1 + air.VIRTUAL * self.ratio)
        return self.dry_air * air.GAS_CONSTANT * virtual / self.air_pressure[..., None]

    @property
    def liquid_content(self) -> Floats:
        """Liquid per volume of the plume, [..., step] [kg/m3]."""
        return self.liquid_inside * self.water_flow[..., None] / self.volume_flow

    def mist_length(self, content: float = 5e-4) -> Floats:
        """Path over which mist is seen [m]: to the last point that holds `content` kg/m3 of liquid.

        0.5 g/m3 of 25 um drops hides 6 % of what lies behind a meter of it: judgment, no source.
        """
        return np.where(self.liquid_content >= content, self.distance, 0.0).max(-1)

    @property
    def landed(self) -> Floats:
        """Share of the injected water that reaches the floor as liquid, wherever that is."""
        return self.liquid_at(self.height)

    @property
    def water_error(self) -> Floats:
        """Injected water less vapour and liquid found at the path's end, relative to the injected."""
        vapour = (self.ratio[..., -1] - self.surroundings_ratio) * self.dry_air[..., -1] / self.water_flow
        return np.abs(vapour + self.evaporated_outside[..., -1] + self.liquid[..., -1] - 1)

    @property
    def enthalpy_error(self) -> Floats:
        """Enthalpy found in the plume's air and drops less what was carried in, largest along the path.

        Relative to the latent heat of the injected water. Found: from temperature, ratio and liquid.
        """
        celsius = self.temperature - ZERO_CELSIUS
        vapour = self.ratio * (LATENT_AT_ZERO + CP_VAPOUR * celsius)
        enthalpy_carried = self.dry_air * (CP_DRY * celsius + vapour)
        liquid = self.liquid_inside * self.water_flow[..., None]
        enthalpy_carried = enthalpy_carried + liquid * CP_WATER * (self.drop_temperature - ZERO_CELSIUS)
        brought = self.dry_air * air.enthalpy(self.surroundings, self.surroundings_ratio)[..., None]
        return np.abs(enthalpy_carried - brought - self.heat).max(-1) / (self.water_flow * LATENT_AT_ZERO)

    def liquid_at(self, depth: ArrayLike, landing: Crossing | None = None) -> Floats:
        """Share of the water that passes `depth` [m] as liquid; 0 where none does. landing: `passing`."""
        left, there = self._class_liquid_at(depth, landing)
        return self._over_classes(np.where(there.met, left, 0.0))

    def passing(self, depth: ArrayLike) -> Crossing:
        """Where each class of drops passes `depth` [m]: for whoever asks several things of one level."""
        return path_interpolation.crossing(self.class_depth, np.asarray(depth, dtype=float)[..., None])

    def evaporated_at(self, depth: ArrayLike, landing: Crossing | None = None) -> Floats:
        """Share of the injected water that evaporates before it passes `depth` [m]. landing: `passing` there.

        What is still in the air as liquid where the path ends has neither passed nor evaporated.
        """
        return 1 - self._over_classes(self._class_liquid_at(depth, landing)[0])

    def centre_passing(self, depth: ArrayLike) -> Crossing:
        """Where the center passes `depth` [m], `met`: whether. The next five take it in the depth's place."""
        return path_interpolation.crossing(self.depth, np.asarray(depth, dtype=float))

    def temperature_at(self, depth: ArrayLike | Crossing) -> Floats:
        """Dry bulb of the plume's air where its center passes `depth` [K]; the surroundings' where it never
        comes so low within its path."""
        return self._at(self.temperature, depth, self.surroundings)

    def ratio_at(self, depth: ArrayLike | Crossing) -> Floats:
        """Humidity ratio there [kg/kg]; the surroundings' where the plume never comes so low."""
        return self._at(self.ratio, depth, self.surroundings_ratio)

    def volume_flow_at(self, depth: ArrayLike | Crossing) -> Floats:
        """Air carried down through there [m3/s]; the path's end where the plume never comes so low."""
        return self._at(self.volume_flow, depth, self.volume_flow[..., -1])

    def drift_at(self, depth: ArrayLike | Crossing) -> Floats:
        """How far downwind the center is there [m]; the path's end where it never comes so low."""
        return self._at(self.drift, depth, self.drift[..., -1])

    def radius_at(self, depth: ArrayLike | Crossing) -> Floats:
        """Half width there [m]; the path's end where it never comes so low."""
        return self._at(self.radius, depth, self.radius[..., -1])

    def _at(self, quantity: Floats, depth: ArrayLike | Crossing, otherwise: Floats) -> Floats:
        step, part, met = depth if isinstance(depth, Crossing) else self.centre_passing(depth)
        return np.where(met, path_interpolation.between(quantity, step, part), otherwise)[()]

    def fate(self, depth: ArrayLike, drift: ArrayLike = np.inf, landing: Crossing | None = None) -> Fate:
        """Split the injected water at a plane `depth` [m] below (landing: `passing` there) and an edge
        `drift` [m] downwind.

        Each class is followed until it meets either; the point between two steps is interpolated in d^2.
        Several edges may be asked for at once, as leading axes of `drift` before those of the plume.
        """
        edge = np.asarray(drift, dtype=float)
        liquid, there = self._class_liquid_at(depth, landing)
        whole = np.broadcast_shapes(edge.shape, liquid.shape[:-1])
        left = np.array(np.broadcast_to(liquid, (*whole, liquid.shape[-1])))
        lands = np.array(np.broadcast_to(there.met, left.shape))
        edge = np.broadcast_to(edge, whole)
        some = np.isfinite(edge)
        if some.any():
            cases = np.broadcast_to(np.arange(self.height.size).reshape(self.height.shape), whole)[some]
            of_plume = self.drift, self.class_lag, self.cosine, self.class_area
            flat: list[Any] = [x.reshape(-1, *x.shape[self.height.ndim :]) for x in (*of_plume, *there)]
            area, lands[some] = first_met(cases, edge[some], flat[:4], Crossing(*flat[4:]))
            left[some] = liquid_left(area)
        landed = self._over_classes(np.where(lands, left, 0.0))
        remaining = self._over_classes(left)
        return Fate(evaporated=1 - remaining, landed=landed, carried=remaining - landed)

    def _over_classes(self, of_each: Floats) -> Floats:
        """Sum over the classes by their mass shares, [..., class] to [...]."""
        return np.einsum("...c,c->...", of_each, self.class_weight)

    def rain(self, depth: ArrayLike) -> tuple[Floats, Floats, Floats]:
        """Each class of drops where it passes `depth` [m], all [..., class].

        (its liquid there as a share of the injected water, 0 where it never comes so low; how far downwind
        [m]; where along the path, in steps.) The liquid sums to `liquid_at(depth)`.
        """
        left, there = self._class_liquid_at(depth)
        liquid = np.where(there.met, left, 0.0) * self.class_weight
        drift = path_interpolation.between(self.class_drift, there.step, there.part)
        return liquid, drift, there.step + there.part

    def _class_liquid_at(self, depth: ArrayLike, landing: Crossing | None = None) -> tuple[Floats, Crossing]:
        """Share of each class still liquid where it passes `depth` or at the path's end, [..., class], and
        where it passes."""
        there = landing or self.passing(depth)
        left = path_interpolation.between(self.class_area, there.step, there.part)
        return liquid_left(np.where(there.met, left, self.class_area[..., -1])), there


def spray_plume(
    t: ArrayLike,
    ratio: ArrayLike,
    air_pressure: ArrayLike,
    *,
    wind: ArrayLike,
    flow: ArrayLike,
    gauge: ArrayLike,
    median_diameter: ArrayLike,
    spread: ArrayLike,
    water_temperature: ArrayLike,
    height: ArrayLike,
    spacing: ArrayLike,
    profile_factor: ArrayLike = 1.0,
    steps: int = 60,
    classes: int = 16,
    entrainment: ArrayLike = 0.08,
    cross_entrainment: ArrayLike = 0.5,
    thrust: ArrayLike = 1.0,
    lift: ArrayLike = 1.0,
) -> Plume:
    """The plume of one nozzle of a line, pointing down, in uniform surroundings [`Plume`]; all broadcasts.

    t: K, 233-334, and ratio: kg/kg, of the air the plume breathes; air_pressure: Pa, 50-110 kPa.
    wind: m/s, 0-40, square to the line. flow: m3/s, 0-0.001; gauge: Pa at the nozzle, 0-25 MPa (a closed
    nozzle, either 0, is answered as a vanishing spray of 1e-12 m3/s or 1 kPa). median_diameter: Dv50, m,
    0.5 um-4 mm; spread: Rosin-Rammler exponent, 1.05-20. water_temperature: K, 273-344. height: m above the
    floor, 0.1-30; spacing: m to the next nozzle, inf for one alone. profile_factor: how much wetter than
    the mean the core is that drops ride in, 1 (top hat) to 4/3 (round Gaussian; 1.15 a line).
    entrainment: alpha of a jet, top hat, 0.06-0.11; cross_entrainment: beta, 0.3-0.7; thrust: share of the
    jet's momentum kept, 0.5-1; lift: how much of what neighbors do to each other's path in a wind counts,
    1 in a long line, 0 as if each were alone. steps and classes: 60 and 16 hold 0.5 % of the injected water
    (8: 1 %).
    RangeError outside these ranges or where the air would be above saturation. Source: Morton, Taylor &
    Turner 1956; Hoult & Weil 1972; the whole set of equations heads this module.
    """
    case, floor, shape = plume_input.checked(
        {
            "t": t,
            "ratio": ratio,
            "air_pressure": air_pressure,
            "wind": wind,
            "flow": flow,
            "gauge": gauge,
            "median_diameter": median_diameter,
            "spread": spread,
            "water_temperature": water_temperature,
            "height": height,
            "spacing": spacing,
            "profile_factor": profile_factor,
            "entrainment": entrainment,
            "cross_entrainment": cross_entrainment,
            "thrust": thrust,
            "lift": lift,
        },
        classes,
    )
    plan = core.case_constants(case)
    return _record(case, plan, core.march(case, plan, steps), floor, shape)


def _record(
    case: core.PlumeInputs,
    plan: core.CaseConstants,
    history: core.PathHistory,
    height: Floats,
    shape: tuple[int, ...],
) -> Plume:
    """Diagnose speed, temperature and humidity at the kept points, and turn the axes to [..., step]."""
    carried = history.vapour + history.inside
    speed, cosine, sine = core.motion(case, history.dry - history.dry[0], history.dry, history.down, carried)
    t, w = core.gas(case, plan, history.dry, history.vapour, history.inside, history.heat, history.settled)
    volume = history.dry * air.GAS_CONSTANT * t * (1 + air.VIRTUAL * w) / case.pressure
    down, downwind = core.carried_along(case, volume / speed, speed, cosine, sine)
    speed = np.hypot(down, downwind)
    radius = core.shape(case, volume / speed)[0]

    def turned(x: Floats) -> Floats:
        x = np.moveaxis(x, 0, -1)  # [case, step] or [class, case, step]
        x = np.moveaxis(x, 0, 1) if x.ndim == 3 else x
        return x.reshape(*shape, *x.shape[1:])

    return Plume(
        surroundings=case.t.reshape(shape),
        surroundings_ratio=case.ratio.reshape(shape),
        air_pressure=case.pressure.reshape(shape),
        water_flow=case.water.reshape(shape),
        water_temperature=case.water_temperature.reshape(shape),
        height=height.reshape(shape),
        time=turned(history.time),
        depth=turned(history.depth),
        drift=turned(history.drift),
        speed=turned(speed),
        sine=turned(downwind / speed),
        cosine=turned(down / speed),
        radius=turned(radius),
        temperature=turned(t),
        ratio=turned(w),
        drop_temperature=turned(history.settled),
        dry_air=turned(history.dry),
        liquid_inside=turned(history.inside),
        evaporated_inside=turned(history.vapour),
        evaporated_outside=turned(history.dried_outside),
        heat=turned(history.heat),
        class_weight=case.weight,
        class_area=turned(history.area),
        class_lag=turned(history.lag),
    )
