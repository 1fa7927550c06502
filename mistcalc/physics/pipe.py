"""Pressure lost by water in a round tube: friction, fittings, many outlets.

Pressures are differences in Pa, flows m3/s, lengths and bores m. Scalars or arrays of any
broadcastable shapes; each function returns the broadcast shape.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal, NamedTuple, get_args

import numpy as np
from numpy.typing import ArrayLike, NDArray

from mistcalc.errors import MistcalcError, RangeError
from mistcalc.physics import tube_elasticity, water

Floats = NDArray[np.float64]
FrictionLaw = Literal["churchill", "swamee-jain-cubic"]

GRAVITY = 9.80665  # m/s2, standard
DRAWN_ROUGHNESS = 1.5e-6  # m, drawn tubing (Moody 1944; White, Fluid Mechanics, table 6.1)

_LEAST_REYNOLDS = 1e-6  # 64/Re is exact far above this; keeps 1/Re finite for still water


class Fitting(NamedTuple):
    """Velocity heads lost in one fitting: k + laminar / Re."""

    k: float
    laminar: float


# k: screwed fittings of small bore, Munson, Young and Okiishi, Fundamentals of Fluid Mechanics, table 8.2
# (typed from memory; elbow, tees and ball valve agree with the check values used in our tests).
# laminar: K1 of the 3-K method, Darby, Chemical Engineering Fluid Mechanics, table 7-3 (as in `fluids`).
# "solenoid valve" and "water meter" take a globe valve's body; "nozzle" is the run of a threaded tee:
# common practice, no source. "coupling" takes a union's value. "size change": the most a sudden enlargement
# takes, of the narrow tube's velocity head (Borda-Carnot; White, Fluid Mechanics, eq. 6.80 as remembered); a
# narrowing takes less than half of it.
FITTINGS: dict[str, Fitting] = {
    "elbow": Fitting(1.5, 800.0),
    "elbow 45": Fitting(0.4, 500.0),
    "tee run": Fitting(0.9, 200.0),
    "tee branch": Fitting(2.0, 500.0),
    "nozzle": Fitting(0.9, 200.0),
    "size change": Fitting(1.0, 200.0),
    "union": Fitting(0.08, 200.0),
    "coupling": Fitting(0.08, 200.0),
    "ball valve": Fitting(0.05, 300.0),
    "gate valve": Fitting(0.15, 300.0),
    "globe valve": Fitting(10.0, 1500.0),
    "angle valve": Fitting(2.0, 1000.0),
    "solenoid valve": Fitting(10.0, 1500.0),
    "check valve": Fitting(2.0, 1500.0),
    "water meter": Fitting(7.0, 1500.0),
}


def fitting(kind: str) -> Fitting:
    """Loss of one fitting [velocity heads] by its trade name `kind` ("elbow", "ball valve"); none is free.

    Raises MistcalcError("unknown-fitting") with the known names. Source: Munson, Young and Okiishi, table
    8.2; Darby, table 7-3; see FITTINGS.
    """
    try:
        return FITTINGS[kind]
    except KeyError:
        raise MistcalcError("unknown-fitting", kind=kind, known=tuple(FITTINGS)) from None


def reynolds(flow: ArrayLike, bore: ArrayLike, kinematic_viscosity: ArrayLike) -> Floats:
    """Reynolds number [1] of the mean speed in a full round tube: Re = 4 |Q| / (pi D nu).

    flow: m3/s, of either sign; bore: m; kinematic_viscosity: m2/s. Source: definition.
    """
    return 4.0 * np.abs(flow) / (np.pi * np.asarray(bore) * np.asarray(kinematic_viscosity))


def friction_factor(
    reynolds: ArrayLike, relative_roughness: ArrayLike, law: FrictionLaw = "churchill"
) -> Floats:
    """Darcy friction factor f [1], so that the loss is f L/D times the velocity head.

    Parameters
    ----------
    reynolds : Reynolds number, > 0 (values below 1e-6 are taken as 1e-6).
    relative_roughness : roughness over bore, 0 to 0.05.
    law : "churchill", one smooth equation from laminar to fully rough flow (Churchill, Chem. Eng.
        84(24), 1977, p. 91): f = 8 [(8/Re)^12 + (A + B)^-1.5]^(1/12),
        A = [2.457 ln(1/((7/Re)^0.9 + 0.27 e))]^16, B = (37530/Re)^16.
        "swamee-jain-cubic", 64/Re below 2000, Swamee and Jain (1976) from 4000, and Dunlop's cubic
        between (Rossman et al., EPANET 2.2 User Manual, appendix on analysis algorithms): the law of
        the public-domain network engine, for comparisons with it.

    Raises RangeError for a roughness out of range or a negative Reynolds number. Source: as named at `law`.
    """
    return friction_and_slope(reynolds, relative_roughness, law)[0]


def friction_and_slope(
    reynolds: ArrayLike, relative_roughness: ArrayLike, law: FrictionLaw = "churchill"
) -> tuple[Floats, Floats]:
    """`friction_factor` [1] and its logarithmic slope d ln f / d ln Re (-1 in laminar flow).

    What a Newton solver needs. Arguments and errors as for `friction_factor`. Source: `friction_factor`.
    """
    re, rough = np.asarray(reynolds, dtype=float), np.asarray(relative_roughness, dtype=float)
    if not np.all((rough >= 0.0) & (rough <= 0.05)):
        raise RangeError("relative roughness", _first_outside(rough, 0.0, 0.05), 0.0, 0.05, "")
    if not np.all(re >= 0.0):
        raise RangeError("Reynolds number", float(np.min(re)), 0.0, np.inf, "")
    if law not in get_args(FrictionLaw):
        raise MistcalcError("unknown-friction-law", law=law, known=get_args(FrictionLaw))
    re = np.maximum(re, _LEAST_REYNOLDS)
    return _LAWS[law](re, rough)


def _churchill(re: Floats, rough: Floats) -> tuple[Floats, Floats]:
    # Solvers spend their time here: a logarithm and an exponential take two thirds of a power's time, and
    # whole powers are squared. At the least Reynolds number the largest term is 1e169: nothing overflows.
    wet = np.exp(0.9 * np.log(7.0) - 0.9 * np.log(re))
    inner = wet + 0.27 * rough
    theta = -2.457 * np.log(inner)
    a = _fourth(_fourth(theta))
    eight_4 = _fourth(8.0 / re)
    eight_8 = eight_4 * eight_4
    laminar = eight_8 * eight_4
    b = (37530.0 / 8.0) ** 16 * (eight_8 * eight_8)
    both = a + b
    turbulent = 1.0 / (both * np.sqrt(both))
    total = laminar + turbulent
    a_slope = a * ((2.0 * 2.457 * 0.9) * wet / (inner * theta))  # and of B: d (A + B) / d ln Re, over 8
    total_slope = laminar + turbulent * ((a_slope - 2.0 * b) / both)  # over -12
    return 8.0 * np.exp(np.log(total) / 12.0), -total_slope / total


def _fourth(value: Floats) -> Floats:
    square = value * value
    return square * square


def _swamee_jain_cubic(re: Floats, rough: Floats) -> tuple[Floats, Floats]:
    wet = 5.74 / np.maximum(re, 4000.0) ** 0.9
    inner = rough / 3.7 + wet
    log = np.log(inner)
    turbulent = (2.0 / np.log(10.0) * log) ** -2
    turbulent_slope = 1.8 * wet / (inner * log)
    # The cubic meets 64/Re at 2000 and Swamee-Jain at 4000 in value and slope. Below 4000 `wet` is held at
    # its value there, so `turbulent` is fa and 2 fa + (slope there) fa is fb of the published cubic.
    fa = turbulent
    fb = (2.0 + turbulent_slope) * fa
    r = re / 2000.0
    c0, c1, c2, c3 = (
        7.0 * fa - fb,
        0.128 - 17.0 * fa + 2.5 * fb,
        -0.128 + 13.0 * fa - 2.0 * fb,
        0.032 - 3.0 * fa + 0.5 * fb,
    )
    cubic = c0 + r * (c1 + r * (c2 + r * c3))
    cubic_slope = r * (c1 + r * (2.0 * c2 + r * 3.0 * c3)) / cubic
    laminar = 64.0 / re
    f = np.where(re < 2000.0, laminar, np.where(re < 4000.0, cubic, turbulent))
    slope = np.where(re < 2000.0, -1.0, np.where(re < 4000.0, cubic_slope, turbulent_slope))
    return f, slope


_LAWS: dict[FrictionLaw, Callable[[Floats, Floats], tuple[Floats, Floats]]] = {
    "churchill": _churchill,
    "swamee-jain-cubic": _swamee_jain_cubic,
}


class TubeLaw(NamedTuple):
    """Pressure lost in tubes as a function of their flow alone; made by `tube_law`."""

    laminar: Floats  # Pa s/m3, friction of laminar flow per flow: 128 mu L / (pi D^4)
    reynolds_per_flow: Floats  # s/m3
    relative_roughness: Floats
    minor_square: Floats  # Pa s2/m6, fittings' loss per flow squared
    minor_linear: Floats  # Pa s/m3, fittings' loss per flow
    friction: FrictionLaw


def tube_law(
    length: ArrayLike,
    bore: ArrayLike,
    roughness: ArrayLike,
    density: ArrayLike,
    viscosity: ArrayLike,
    minor_k: ArrayLike = 0.0,
    minor_laminar: ArrayLike = 0.0,
    friction: FrictionLaw = "churchill",
) -> TubeLaw:
    """What Darcy-Weisbach needs of each tube [SI], worked out once.

    Parameters: `length`, `bore`, `roughness` [m]; `density` [kg/m3]; `viscosity` [Pa s] of the water;
    `minor_k` sum of the fittings' k; `minor_laminar` sum of their laminar terms K1, so that they lose
    k + K1/Re velocity heads (Hooper 1981; Darby 1999); `friction` as in `friction_factor`.
    Source: White, Fluid Mechanics, eq. 6.10 (friction) and 6.12 (laminar flow).
    """
    bore, density, viscosity = (
        np.asarray(bore, float),
        np.asarray(density, float),
        np.asarray(viscosity, float),
    )
    area = np.pi / 4.0 * bore**2
    return TubeLaw(
        laminar=128.0 * viscosity * np.asarray(length, float) / (np.pi * np.square(bore * bore)),
        reynolds_per_flow=4.0 * density / (np.pi * bore * viscosity),
        relative_roughness=np.asarray(roughness, float) / bore,
        minor_square=density * np.asarray(minor_k, float) / (2.0 * area**2),
        minor_linear=viscosity * np.asarray(minor_laminar, float) / (2.0 * bore * area),
        friction=friction,
    )


def loss_and_slope(law: TubeLaw, flow: ArrayLike) -> tuple[Floats, Floats]:
    """Pressure lost along each tube [Pa], with the sign of `flow` [m3/s], and its slope [Pa s/m3].

    Friction is written as the laminar loss times f Re / 64, which is 1 at rest: a tube without flow
    keeps its laminar slope instead of dividing zero by zero. The slope is positive everywhere. law: of
    `tube_law`. Source: `tube_law`.
    """
    flow = np.asarray(flow, float)
    size = np.abs(flow)
    re = np.maximum(size * law.reynolds_per_flow, _LEAST_REYNOLDS)
    factor, log_slope = _LAWS[law.friction](re, law.relative_roughness)
    resistance = law.laminar * (factor * re / 64.0)
    square = law.minor_square * size
    straight = resistance + square + law.minor_linear
    return straight * flow, straight + resistance * (1.0 + log_slope) + square


def pressure_loss(
    flow: ArrayLike,
    length: ArrayLike,
    bore: ArrayLike,
    roughness: ArrayLike = DRAWN_ROUGHNESS,
    *,
    density: ArrayLike,
    viscosity: ArrayLike,
    minor_k: ArrayLike = 0.0,
    minor_laminar: ArrayLike = 0.0,
    friction: FrictionLaw = "churchill",
) -> Floats:
    """Pressure lost by friction and fittings [Pa], with the sign of `flow` [m3/s]; rise not included.

    Other arguments as for `tube_law`. Source: `tube_law`.
    """
    law = tube_law(length, bore, roughness, density, viscosity, minor_k, minor_laminar, friction)
    return loss_and_slope(law, flow)[0]


def surge_rise(
    speed_change: ArrayLike, bore: ArrayLike, wall: ArrayLike, material: str, temperature: ArrayLike
) -> Floats:
    """Pressure rise [Pa gauge] where water is stopped faster than a wave goes along the tube and back.

    speed_change: m/s, 0 or more; bore, wall: m; material: as for `tube_elasticity.elastic`; temperature: of
    the water, K, 253-383. The most there can be: a slow valve, or air in the water, makes it less. Source:
    Joukowsky's rho a dv, with `tube_elasticity.wave_speed`.
    """
    wall = np.asarray(wall, float)
    wave = tube_elasticity.wave_speed(material, np.asarray(bore, float) + 2.0 * wall, wall, temperature)
    return tube_elasticity.joukowsky_rise(speed_change, water.density(temperature), wave)


def head_loss(loss: ArrayLike, density: ArrayLike, gravity: float = GRAVITY) -> Floats:
    """The same loss as height of that water [m]. Source: definition.

    loss: Pa; density: kg/m3; gravity: m/s2.
    """
    return np.asarray(loss, float) / (np.asarray(density, float) * gravity)


def multi_outlet_factor(outlets: ArrayLike, exponent: float = 1.852) -> Floats:
    """Christiansen's F [1]: friction in a line of equal, equally spaced outlets over that without them.

    The first outlet is one spacing from the inlet; without them all the water goes to the line's end.

    Parameters: `outlets` (whole numbers, 1 or more); `exponent` of flow in the friction law, 1 to 2 (1.852
    Hazen-Williams, 1.75 smooth turbulent, 2 rough). Returns: F = 1/(m+1) + 1/(2N) + sqrt(m-1)/(6 N^2). The
    closed form is not exact: it gives up to 1.004 for one outlet, where F is 1 by definition and 1 is
    returned; from two outlets it is within 0.001. Raises RangeError out of range. Source: Christiansen,
    Irrigation by Sprinkling, Univ. of California Bull. 670, 1942; Keller and Bliesner, Sprinkle and Trickle
    Irrigation, 1990, eq. 8.9.
    """
    n = np.asarray(outlets, float)
    if not np.all(n >= 1.0):
        raise RangeError("outlets", float(np.min(n)), 1.0, np.inf, "")
    if not 1.0 <= exponent <= 2.0:
        raise RangeError("exponent of flow", exponent, 1.0, 2.0, "")
    closed = 1.0 / (exponent + 1.0) + 1.0 / (2.0 * n) + np.sqrt(exponent - 1.0) / (6.0 * n**2)
    return np.where(n == 1.0, 1.0, closed)


def _first_outside(values: Floats, low: float, high: float) -> float:
    return float(values[~((values >= low) & (values <= high))].flat[0])
