"""A line shut in and left alone: what its gauge should say later, if no water is lost, and how much could be.

Water that swells and yields, a tube that does the same, air trapped in the tube (which shrinks as the gauge
rises, and dissolves), and perhaps a vessel whose gas, behind a bladder, softens it all. Numbers only, of any
shapes that broadcast; `checks.hold` says what they mean. Pressures are gauge, Pa; temperatures K; volumes m3.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import ArrayLike

from mistcalc.model.project import Plumbing
from mistcalc.model.results import GaugeReading, GaugeReadingErrors, PressureBounds
from mistcalc.physics import tube_elasticity, water
from mistcalc.physics.air import pressure_at_elevation
from mistcalc.physics.strength import Floats
from mistcalc.units import parse

ATMOSPHERE = float(
    pressure_at_elevation(0.0)
)  # Pa: trapped air is told as the volume it would have at this pressure
STIFFENS = 5.6  # share water's give falls by, over the share it is pressed by (IAPWS-95, 10 to 40 degC)

WATCH_AIR = 0.1  # of that is left when a watch begins, after two equal dawns; judgement

# Test: a 2,000 psi gauge in 20 psi divisions. Watch: a 100 psi gauge in 1 psi divisions. Judgement.
_HALF = parse("0.5 degF", "temperature_difference")
TEST_ERRORS = GaugeReadingErrors(parse("7 psi", "pressure"), _HALF, 0.15)
WATCH_ERRORS = GaugeReadingErrors(parse("0.5 psi", "pressure"), _HALF, 0.15, gas=0.15)


@dataclass(frozen=True, slots=True)
class ClosedLine:
    """What is shut in. `air_pressure` is the atmosphere's, absolute; a gauge reads from there."""

    volume: float  # of the tube
    stretch: float  # share the tube's volume grows by per pascal
    growth: float  # share it grows by per kelvin
    air_pressure: float = ATMOSPHERE


def closed_line_of(plumbing: Plumbing, volume: float, air_pressure: float = ATMOSPHERE) -> ClosedLine:
    """The line of a project: `volume` [m3] of water in tube of one size. MistcalcError for a strange tube."""
    tube = plumbing.tube
    return ClosedLine(
        volume,
        float(tube_elasticity.volume_compliance(tube.material, tube.outside, tube.wall)),
        3.0 * tube_elasticity.elastic(tube.material).expansion,
        air_pressure,
    )


def gauge_pressure_at(
    line: ClosedLine,
    start: GaugeReading,
    tube: ArrayLike,
    vessel: ArrayLike,
    air: ArrayLike = 0.0,
    gas: ArrayLike = 0.0,
    lost: ArrayLike = 0.0,
    dissolved: ArrayLike = 0.0,
) -> Floats:
    """Where the gauge stands once tube and vessel are at `tube` and `vessel` [K] and `lost` [m3] are gone.

    air: trapped in the tube at the start, as its volume at 1 atm. gas: of the vessel, at the start's gauge.
    dissolved: share of the trapped air that has gone into the water by now. Temperatures 253 to 383 K,
    RangeError outside. Not below -1 atm, which is a line run empty.

    What the water filled is what water, air and gas fill now: A - B p + N/p = 0 in absolute pressure, B the
    give of water and tube, N/p the gases by Boyle and Gay-Lussac. One positive root.
    """
    a, give, gases = _balance(line, start, tube, vessel, air, gas, dissolved)
    a = a - np.asarray(lost, float)
    root = np.sqrt(a * a + 4.0 * give * gases)
    # Of the two ways to write the root, the one that subtracts nothing.
    pressed = np.where(a >= 0.0, a + root, 4.0 * give * gases / np.where(root - a > 0.0, root - a, 1.0))
    return pressed / (2.0 * give) - line.air_pressure


def water_lost(
    line: ClosedLine,
    start: GaugeReading,
    end: GaugeReading,
    air: ArrayLike = 0.0,
    gas: ArrayLike = 0.0,
    dissolved: ArrayLike = 0.0,
) -> Floats:
    """Water [m3] gone between two readings; below 0 where some came in. Arguments as for
    `gauge_pressure_at`."""
    a, give, gases = _balance(line, start, end.tube, end.vessel, air, gas, dissolved)
    p = np.asarray(end.gauge, float) + line.air_pressure
    return a - give * p + gases / p


def gas_of_draw(line: ClosedLine, full: GaugeReading, after: float, drawn: float) -> Floats:
    """Gas [m3] of a vessel at `full.gauge`, whose gauge fell to `after` [Pa] when `drawn` [m3] were drawn.

    Air in the tube counts as the vessel's. Not above 0 where the tube alone explains the fall.
    """
    of_tube = water_lost(line, full, GaugeReading(after, full.tube, full.vessel))
    p = np.asarray(full.gauge, float) + line.air_pressure
    return (drawn - of_tube) / (p / (after + line.air_pressure) - 1.0)


def _balance(
    line: ClosedLine,
    start: GaugeReading,
    tube: ArrayLike,
    vessel: ArrayLike,
    air: ArrayLike,
    gas: ArrayLike,
    dissolved: ArrayLike,
) -> tuple[Floats, Floats, Floats]:
    """A, B and N of the balance. Water's volume is taken straight in pressure about the start's: its give
    falls 2 % to 1,000 psi, which matters once, at the start, and not over the fall of a gauge. The vessel's
    own water and body are left out: a small part of the whole."""
    t1, t2, v1, v2 = (np.asarray(t, float) for t in (start.tube, tube, start.vessel, vessel))
    gauge = np.asarray(start.gauge, float)
    p1 = gauge + line.air_pressure
    bubbles = np.asarray(air, float) * ATMOSPHERE / p1
    filled = line.volume - bubbles
    grown = water.density(t1) / water.density(t2) * _pressed(t2, gauge) / _pressed(t1, gauge)
    soft = water.compressibility(t2)
    give_water = filled * grown * soft * (1.0 - STIFFENS * soft * gauge)
    give = give_water + line.volume * line.stretch
    vessel_gas = np.asarray(gas, float)
    gases = (1.0 - np.asarray(dissolved, float)) * bubbles * p1 * t2 / t1 + vessel_gas * p1 * v2 / v1
    a = filled * grown - line.volume * (1.0 + line.growth * (t2 - t1)) - vessel_gas + give * p1
    return a, give, gases


def _pressed(temperature: Floats, gauge: Floats) -> Floats:
    """Water's volume at a gauge pressure, over that at none."""
    soft = water.compressibility(temperature)
    return 1.0 - soft * gauge * (1.0 - STIFFENS * soft * gauge / 2.0)


def bounds(
    line: ClosedLine,
    start: GaugeReading,
    end: GaugeReading,
    errors: GaugeReadingErrors,
    air_most: ArrayLike,
    gas: ArrayLike = 0.0,
    longer: float | None = None,
) -> PressureBounds:
    """What a hold from `start` to `end` could have been, with all that nobody knows at its worst together.

    Unknown are the air trapped in the tube (0 to `air_most`, m3 at 1 atm), how much warmer tube and vessel
    really got, and the vessel's gas; each within `errors`. Every bound lies at an end of these ranges, for
    the gauge rises with temperature and falls with water lost, and air and gas only soften what it does.

    longer: this hold's time over that of the holds before it, the line pumped up again in between; None for a
    first hold. Air that dissolves at a rate in proportion to what is left cannot lose more than
    (1 + r)^(-1/r) r / (1 + r) of itself in a hold r times as long as those before: a quarter where both are
    as long. `low_again` allows for that much, `low_dissolved` for all.
    """
    vessel_gas = np.asarray(gas, float)
    tubes, vessels = _ends(start.tube, end.tube, errors), _ends(start.vessel, end.vessel, errors)
    gases = (vessel_gas * (1.0 - errors.gas), vessel_gas * (1.0 + errors.gas))
    trapped = np.asarray(air_most, float)
    goes = trapped
    if longer is not None:
        goes = trapped * (1.0 + longer) ** (-1.0 / longer) * longer / (1.0 + longer)
    read, near = np.asarray(end.gauge, float), errors.deviations * errors.gauge
    cases = list(product(tubes, vessels, (np.zeros(()), trapped), gases))
    low = [gauge_pressure_at(line, start, *case) for case in cases]
    all_gone, some_gone = (
        [gauge_pressure_at(line, start, *case, 0.0, 1.0) for case in product(tubes, vessels, (air,), gases)]
        for air in (trapped, goes)
    )
    most = [water_lost(line, start, GaugeReading(read - near, *case[:2]), *case[2:4]) for case in cases]
    return PressureBounds(
        expected=gauge_pressure_at(line, start, end.tube, end.vessel, trapped / 2.0, vessel_gas),
        low=np.min(np.broadcast_arrays(*low), axis=0),
        low_dissolved=np.min(np.broadcast_arrays(*low, *all_gone), axis=0),
        low_again=np.min(np.broadcast_arrays(*low, *some_gone), axis=0),
        near=near,
        fall=np.asarray(start.gauge, float) - read,
        read=read,
        lost=water_lost(line, start, end, trapped / 2.0, vessel_gas),
        lost_most=np.max(np.broadcast_arrays(*most), axis=0),
    )


def _ends(start: ArrayLike, end: ArrayLike, errors: GaugeReadingErrors) -> tuple[Floats, Floats]:
    """The coldest and the warmest a thing may be at the end: the change of its thermometer is uncertain. Not
    past the temperatures at which water is liquid, and its equations hold."""
    last = np.asarray(end, float)
    change = last - np.asarray(start, float)
    reach = errors.deviations * np.hypot(errors.thermometer, errors.spot * change)
    return np.maximum(last - reach, np.minimum(last, water.LOW)), np.minimum(
        last + reach, np.maximum(last, water.HIGH)
    )
