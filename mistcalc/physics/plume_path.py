"""The spray plume's equations marched along its path: the core behind `physics.plume`, unchecked.

Flat arrays: [case] for the gas, [class, case] for the drops, [step, ...] for what is kept. Symbols and
sources: `physics.plume`. What is carried is kept in excess of the surroundings, so that a uniform atmosphere
conserves it whatever the step:

dry     dry air [kg/s]
vapour  water evaporated on the plume's account [share of the injected water]
inside  water still liquid on the plume's account [same]; a drop that lags too far behind is off it
heat    total enthalpy, less that of the air drawn in [W]
down    vertical momentum flow [N]; the horizontal needs no marching, for only entrained air brings it
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from mistcalc.physics import air, droplet
from mistcalc.physics.air import CP_DRY, CP_VAPOUR, CP_WATER, LATENT_AT_ZERO, ZERO_CELSIUS, Floats

CONE = 0.93  # momentum kept along the axis by a solid cone of 30 degrees half angle
START = 0.03  # m, where the path begins
CALM_PATH, WINDY_PATH = 12.0, 30.0  # m of path followed up to 1 m/s and from 2 m/s of wind
NEARLY_SATURATED = 0.95  # the humidest state the drying constant is read at: at 1 it is 0 over 0
RANZ_MARSHALL = 0.6 * 0.71 ** (1 / 3)  # Nu = 2 + this x Re^1/2
SLOWEST = 1e-3  # m/s, least speed of a drop along the path (where a warm plume turns back)
LEAST = 1e-12  # of its first d^2: a drop counts as gone, and stays this small so that nothing divides by 0


@dataclass(frozen=True, slots=True)
class PlumeInputs:
    """What is given, [case]; drop `diameter` at the nozzle is [class, case], mass share `weight` [class]."""

    t: Floats
    ratio: Floats
    pressure: Floats
    wind: Floats
    water: Floats  # kg/s
    water_temperature: Floats
    jet: Floats  # N
    spacing: Floats
    profile_factor: Floats
    entrainment: Floats
    cross_entrainment: Floats
    lift: Floats
    diameter: Floats
    weight: Floats


@dataclass(frozen=True, slots=True)
class CaseConstants:
    """What follows from the case alone, computed once; [case]; of drops at their first size [class, case]."""

    h: Floats  # J/kg of dry air, surroundings
    density: Floats  # kg/m3, surroundings
    depression: Floats  # K, of the surroundings' wet bulb
    latent: Floats  # J/kg, at that wet bulb
    drying: Floats  # 1/(s K): shrink rate of d^2 over the first d^2, per unit Nu and kelvin
    heat_flow: Floats  # W/K: heat to all drops while at their first size, per unit of `drying` x dt x Nu
    settling: Floats  # weight number of `settling_reynolds`
    fall: Floats  # m/s per unit Reynolds number


def case_constants(case: PlumeInputs) -> CaseConstants:
    h = air.enthalpy(case.t, case.ratio)
    density = air.density(case.t, case.ratio, case.pressure)
    wet_bulb = air.saturated_equilibrium_temperature(h, case.ratio, case.pressure)
    viscosity, water_density = droplet.viscosity(case.t), droplet.water_density(wet_bulb)
    depression = np.maximum(case.t - wet_bulb, 0.0)
    latent = LATENT_AT_ZERO - (CP_WATER - CP_VAPOUR) * (wet_bulb - ZERO_CELSIUS)
    d = case.diameter
    weight = (water_density - density) * density * droplet.GRAVITY / (18 * viscosity**2)
    return CaseConstants(
        h=h,
        density=density,
        depression=depression,
        latent=latent,
        drying=_shrink_per_kelvin(case) / d**2,
        heat_flow=1.5 * case.water * latent,
        settling=weight * d**3,
        fall=viscosity / density / d,
    )


def _shrink_per_kelvin(case: PlumeInputs) -> Floats:
    """-d(d^2)/dt of a still drop per kelvin of wet-bulb depression and unit Nu [m2/(s K)], from drop theory.

    This is 4 c k / (rho_l L), c about 1.03-1.05: drops are cooler than the wet bulb, and vapour blows away
    from them. It changes by 1 % along the path, for the plume's air stays near the wet-bulb line it began on.
    """
    ratio = np.minimum(case.ratio, NEARLY_SATURATED * air.saturated_ratio(case.t, case.pressure))
    rate = droplet.area_shrink_rate(40e-6, case.t, ratio, case.pressure)
    return rate / (2 * (case.t - air.wet_bulb(case.t, ratio, case.pressure, "water")))


class March:
    """The state of all cases on their way down, one call of `step` a stretch of path.

    Drops are kept relative to their first size: `area` d^2, `size` d, `mass` d^3, all 1 at the nozzle.
    """

    def __init__(self, case: PlumeInputs, p: CaseConstants) -> None:
        self.case, self.plan = case, p
        self.moist = 1 + case.ratio
        jet_air = np.sqrt(np.pi * p.density * case.jet)
        self.dry = self.first_dry = 2 * case.entrainment * START * jet_air / self.moist
        self.down = case.jet
        self.heat = case.water * CP_WATER * (case.water_temperature - ZERO_CELSIUS)
        self.settled = air.saturated_equilibrium_temperature(
            p.h + self.heat / self.dry, case.ratio + case.water / self.dry, case.pressure, steps=8
        )
        # The supply's warmth evaporates a little of every drop until it is at T* (cold supply: the reverse).
        pressure = air.saturation_pressure(self.settled, "water")
        missing = air.MASS_RATIO * pressure / (case.pressure - pressure) - case.ratio
        flash_share = CP_WATER / p.latent * (case.water_temperature - self.settled)
        self.vapour = _towards(flash_share, missing * self.dry / case.water)
        self.inside = 1 - self.vapour
        self.dried_outside = np.zeros_like(self.dry)
        self.area = np.ones_like(case.diameter) * np.cbrt(self.inside**2)
        self.size = np.sqrt(self.area)
        self.mass = self.area * self.size
        self.lag = np.zeros_like(self.area)
        self.share = np.ones_like(self.area)
        self.leaving = False  # whether any drop has begun to fall out of its plume: until then work is spared
        self.least = np.full_like(self.area, LEAST)
        self.radius = 2 * case.entrainment * START
        self.depth, self.drift, self.time = START + 0 * self.dry, 0 * self.dry, 0 * self.dry
        self.draw = self.dry / START  # dry air drawn in per meter, of the stretch before
        self.sink = np.zeros_like(self.dry)  # vertical force per meter, of the stretch before

    def step(self, ds: Floats) -> None:
        """Midpoint rule: gas half way, drops over the whole stretch, gas over the whole stretch.

        The half step uses the rates of the stretch before, which keeps second order at half the price.
        """
        case, p = self.case, self.plan
        dry = self.dry + 0.5 * ds * self.draw
        speed, cos, sin = motion(
            case, dry - self.first_dry, dry, self.down + 0.5 * ds * self.sink, self.carried
        )
        taken = self._drops(ds, dry, speed, cos, sin)
        t, w = gas(case, p, dry, self.vapour, self.inside, self.heat, self.settled)
        density = case.pressure * (1 + w) / (air.GAS_CONSTANT * t * (1 + air.VIRTUAL * w))
        section = dry * (1 + w) / (density * speed)
        self.radius, edge = shape(case, section)
        heavy = density + self.inside * case.water / (section * speed)
        shear = case.entrainment * np.abs(speed - case.wind * sin) * np.sqrt(heavy / p.density)
        crossing = case.cross_entrainment * case.wind * np.abs(cos)
        self.draw = p.density / self.moist * edge * (shear + crossing)
        taken *= self.followed
        load = over_classes(case, taken) / ds
        self.sink = droplet.GRAVITY * ((density - p.density) * section + case.water * load)
        self._leave()
        self.dry = self.dry + ds * self.draw
        self.down = self.down + ds * self.sink
        down, downwind = carried_along(case, section, speed, cos, sin)
        dt = ds / speed
        self.depth = self.depth + dt * down
        self.drift = self.drift + dt * downwind
        self.time = self.time + dt

    @property
    def carried(self) -> Floats:
        """Water on the plume's account, vapour of its own and liquid [share of the injected]."""
        return self.vapour + self.inside

    def _drops(self, ds: Floats, dry: Floats, speed: Floats, cos: Floats, sin: Floats) -> Floats:
        """Move, lag and dry the drops over a stretch; returns how long that takes each [class, case]."""
        case, p = self.case, self.plan
        warmer = self.settled
        self.settled = equilibrium_temperature(case, p, dry, self.carried, self.heat, warmer)
        t, w = gas(case, p, dry, self.vapour, self.inside, self.heat, self.settled)
        drive = t - self.settled
        # Following T* down, the drops' own heat evaporates a little of them before the air's does.
        capacity = dry * (CP_DRY + w * CP_VAPOUR)
        liquid_latent = p.latent * case.water * np.maximum(self.inside, 1e-30)
        flash_share = _towards(
            CP_WATER / p.latent * (warmer - self.settled), drive * capacity / liquid_latent
        )
        drive = drive - flash_share * liquid_latent / capacity
        deeper = drive - (case.profile_factor - 1) * (p.depression - drive)  # drops ride in the wet core
        drive = np.maximum(deeper, np.minimum(drive, 0.0))  # below 0 vapour condenses on them

        # [class, case] in place: such arrays cost more to get than to fill.
        reynolds = droplet.settling_reynolds(p.settling * self.mass)
        fall = reynolds * p.fall
        fall /= self.size
        dt = fall * cos
        dt += speed
        np.divide(ds, np.maximum(dt, SLOWEST, out=dt), out=dt)
        fall *= sin
        fall *= dt
        self.lag += fall
        exposure = np.sqrt(reynolds, out=reynolds)
        exposure *= RANZ_MARSHALL
        exposure += 2
        exposure *= dt
        exposure *= p.drying

        area, before = self.area, self.mass
        if self.leaving:
            outside = 1 - self.share
            outside *= exposure
            outside *= p.depression
            area = np.maximum(np.subtract(area, outside, out=outside), self.least, out=outside)
            left = area * np.sqrt(area)
            before -= left
            self.dried_outside = self.dried_outside + over_classes(case, before)
            before = left
            exposure *= self.share
        self.size *= exposure
        theta = over_classes(case, self.size) * p.heat_flow * case.profile_factor / capacity + 1e-12
        exposure *= drive * (-np.expm1(-theta) / theta)
        own_area = area * self.share if self.leaving else area.copy()
        own_area *= 2 / 3 * flash_share
        self.area = area - exposure
        self.area -= own_area
        np.maximum(self.area, self.least, out=self.area)
        np.sqrt(self.area, out=self.size)
        self.mass = self.area * self.size
        before -= self.mass
        self.vapour = self.vapour + over_classes(case, before)
        self.followed = self.share * self.mass
        self.inside = over_classes(case, self.followed)
        return dt

    def _leave(self) -> None:
        """Drops that lag too far behind take their water and its heat off the plume's account."""
        behind = self.lag / self.radius
        if not self.leaving and behind.max() <= 0.5:
            return
        self.leaving = True
        before = self.inside
        self.share = np.minimum(np.maximum(1.5 - behind, 0.0), 1.0)
        self.inside = over_classes(self.case, self.share * self.mass)
        gone = (before - self.inside) * self.case.water
        self.heat = self.heat - gone * CP_WATER * (self.settled - ZERO_CELSIUS)


def _towards(step: Floats, limit: Floats) -> Floats:
    """`step`, no farther from 0 than `limit` and only on its side: nothing evaporates past saturation."""
    return np.minimum(np.maximum(step, np.minimum(limit, 0.0)), np.maximum(limit, 0.0))


def over_classes(case: PlumeInputs, of_each: Floats) -> Floats:
    """Sum over the classes by their mass shares, [class, case] to [case].

    Not a matrix product: that would hand the order of the sum, and so its last digit, to the machine's BLAS.
    """
    return np.einsum("c,cn->n", case.weight, of_each)


def motion(
    case: PlumeInputs, gained: Floats, dry: Floats, down: Floats, carried: Floats
) -> tuple[Floats, Floats, Floats]:
    """Speed, and the cosine and sine of the path's angle to the vertical. gained: dry air since the start."""
    across = case.wind * (1 + case.ratio) * gained
    momentum = np.maximum(np.sqrt(down * down + across * across), 1e-9 * case.jet)
    return momentum / (dry * (1 + case.ratio) + carried * case.water), down / momentum, across / momentum


def equilibrium_temperature(
    case: PlumeInputs, p: CaseConstants, dry: Floats, carried: Floats, heat: Floats, last: Floats
) -> Floats:
    """T* of the plume with this much dry air; one Halley step, for along the path it moves little."""
    return air.saturated_equilibrium_temperature(
        p.h + heat / dry, case.ratio + carried * case.water / dry, case.pressure, last, 1
    )


def gas(
    case: PlumeInputs,
    p: CaseConstants,
    dry: Floats,
    vapour: Floats,
    inside: Floats,
    heat: Floats,
    settled: Floats,
) -> tuple[Floats, Floats]:
    """Temperature and humidity ratio of the plume's air, from what it carries and T*."""
    per_dry = case.water / dry
    w = case.ratio + vapour * per_dry
    h = p.h + heat / dry - inside * per_dry * CP_WATER * (settled - ZERO_CELSIUS)
    return ZERO_CELSIUS + (h - w * LATENT_AT_ZERO) / (CP_DRY + w * CP_VAPOUR), w


def shape(case: PlumeInputs, section: Floats) -> tuple[Floats, Floats]:
    """Half width and the perimeter air enters by: round, then a curtain between its neighbors."""
    round_ = np.sqrt(section / np.pi)
    half = np.maximum(np.minimum(round_, case.spacing / np.pi), section / (2 * case.spacing))
    return half, np.minimum(2 * np.pi * round_, 2 * case.spacing)


def carried_along(
    case: PlumeInputs, section: Floats, speed: Floats, cos: Floats, sin: Floats
) -> tuple[Floats, Floats]:
    """How fast the plume sinks and goes downwind [m/s], its neighbors told.

    The wind square to the path must pass between the plumes of a line. Each plume that the wind bends is a
    pair of vortices, about its radius apart (0.92 of it in Lamb's), and neighbors lift each other: of the
    speed at which one alone would cross the wind, a row of such pairs keeps x cot x, x = pi radius / spacing
    (rows of vortices, Lamb 1932, Hydrodynamics, art. 156; Lamb's pair, art. 165: from memory). The wind
    carries the row along with the rest, so that it hardly sinks once its plumes meet. How they draw in air
    is between them, and stays. In a calm there is no such wind, and neighbors do not stop a plume.
    """
    square = np.minimum(np.pi / case.spacing**2 * section, (np.pi / 2) ** 2)  # of x
    # x cot x by its zero at pi/2 and its start 1 - x2/3: 0.2 % at most, and far quicker than a tangent
    alone = (1 - square * (2 / np.pi) ** 2) / (1 - square * ((2 / np.pi) ** 2 - 1 / 3))
    pushed = case.lift * (1 - alone) * np.minimum(case.wind, speed / np.maximum(sin, 1e-12))  # never rises
    return cos * (speed - pushed * sin), speed * sin + pushed * cos * cos


@dataclass(frozen=True, slots=True)
class PathHistory:
    """What is known at every point of the path, its start included: [step, case] or [step, class, case]."""

    time: Floats
    depth: Floats
    drift: Floats
    dry: Floats
    down: Floats
    vapour: Floats
    inside: Floats
    dried_outside: Floats
    heat: Floats
    settled: Floats  # T* the drops have followed: that of the middle of the stretch before
    area: Floats  # d^2 over its first value
    lag: Floats


def march(case: PlumeInputs, p: CaseConstants, steps: int) -> PathHistory:
    """Follow every case from START to the end of its path in `steps` log-spaced stretches."""
    reach = CALM_PATH + (WINDY_PATH - CALM_PATH) * np.clip(case.wind - 1, 0.0, 1.0)
    growth = (reach / START) ** (1 / steps)
    state = March(case, p)
    names = list(PathHistory.__dataclass_fields__)
    history = {name: np.empty((steps + 1, *getattr(state, name).shape)) for name in names}
    distance = START * growth ** np.arange(steps + 1)[:, None]
    for i in range(steps + 1):
        if i:
            state.step(distance[i] - distance[i - 1])
        for name in names:
            history[name][i] = getattr(state, name)
    return PathHistory(**history)
