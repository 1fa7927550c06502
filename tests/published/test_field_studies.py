"""Measured drops from the field, met where enough was told to set up their conditions; a page a source.

Where flow, lid or weather was not told, each source's limits say what is assumed. A drop counts as met within
a factor of 2; nothing is fitted to any of them. Studies that cannot be set up at all are listed, with the
reason, in docs/theory.md.
"""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from mistcalc.cooling import balance, unknowns
from mistcalc.cooling.case import Case, Spray, case_in
from mistcalc.cooling.patio_air import Outdoors
from mistcalc.cooling.patio_geometry import NozzleRow, Opening, PatioGeometry
from mistcalc.cooling.place_air import PlaceAir
from mistcalc.physics import air, nozzle, plume
from tests.builders import plumbing
from tests.published.cases import Source

pytestmark = pytest.mark.thorough

P = 101325.0


@dataclasses.dataclass(frozen=True)
class Setup:
    """A lid over a rectangle with one row of nozzles along its middle; `walls`: which of the four sides are
    closed, from the first long side counter-clockwise."""

    length: float
    width: float
    height: float
    nozzles: int
    litre_hour: float  # each
    micron: float
    bar: float
    tips: float  # m, of the nozzles above the floor
    walls: tuple[int, ...] = ()
    seat: tuple[float, float] = (0.5, 0.5)  # share of length and width


def ground_of(s: Setup) -> PatioGeometry:
    corners = [(0.0, 0.0), (s.length, 0.0), (s.length, s.width), (0.0, s.width)]
    outward = [(0.0, -1.0), (1.0, 0.0), (0.0, 1.0), (-1.0, 0.0)]
    sides = list(zip(corners, [*corners[1:], corners[0]], strict=True))
    gap = s.length / s.nozzles
    row = NozzleRow("A", (gap / 2, s.width / 2), (1.0, 0.0), (0.0, 1.0),
                tuple(gap * i for i in range(s.nozzles)), s.width / 2, s.width / 2)  # fmt: skip
    return PatioGeometry(
        volume=s.length * s.width * s.height,
        height=s.height,
        clear_height=s.height,
        openings=tuple(
            Opening(side, float(np.hypot(*np.subtract(*side))) * s.height, outward[i])
            for i, side in enumerate(sides)
            if i not in s.walls
        ),
        walls=tuple(sides[i] for i in s.walls),
        strips=(row,),
        seats=((s.seat[0] * s.length, s.seat[1] * s.width),),
        far_points=((0.0, s.width),),
        outline=tuple(corners),
    )


def case_of(s: Setup, celsius, humidity, speed) -> Case:
    """[draw, hour]; the wind from anywhere. celsius, humidity, speed: one, or [hour]."""
    u, ground = unknowns.draws(), ground_of(s)
    shape = np.broadcast_shapes((unknowns.DRAWS, 1), np.shape(celsius), np.shape(humidity), np.shape(speed))
    t, rh, moving = (np.broadcast_to(x, shape) for x in (np.asarray(celsius) + 273.15, humidity, speed))
    p, toward = np.full(shape, P), np.broadcast_to(3 * u.turning, shape)
    nozzle = dataclasses.replace(
        plumbing().nozzle, drop_median=s.micron * 1e-6, at=s.bar * 1e5, opens_at=None
    )
    gap = s.length / s.nozzles if s.nozzles > 1 else np.inf
    return case_in(
        ground,
        Spray(s.nozzles, s.litre_hour / 3.6e6, s.bar * 1e5, gap, s.tips),
        dataclasses.replace(plumbing(), nozzle=nozzle),
        Outdoors(t, air.humidity_ratio(t, rh, p), p),
        u,
        np.maximum(moving, u.calm),
        toward,
    )


def drops(s: Setup, celsius, humidity, speed) -> dict[str, np.ndarray]:
    """10, 50, 90 % [point, hour] of the drop [K]: mixed, at the seat, far; mixed as a share of depression."""
    c = case_of(s, celsius, humidity, speed)
    found = balance.solve_balance(c)
    there = PlaceAir(c, found).found().drop
    mixed = c.outdoors.temperature - found.patio.temperature
    depression = c.outdoors.temperature - air.wet_bulb(c.outdoors.temperature, c.outdoors.ratio, P)
    told = {"mixed": mixed, "seat": there["seats"], "far": there["far_edge"], "share": mixed / depression}
    return {name: np.quantile(x, [0.1, 0.5, 0.9], axis=0) for name, x in told.items()}


CHINA = Source(
    page="hot-humid-china-2024",
    subject="Field studies",
    title="Intermittent mist in hot-humid southern China",
    cite="Buildings 2024, 14(2), 336, abstract and conclusions: still air; mean drop 2.42 K, largest 5.68 K; "
    "below 1 K before ten in the morning; 0.5 K more for each kelvin outdoors above 31 degC",
    read="abstract",
    measured="air temperature in and beside the mist through summer days",
    known="still air, mist in turns on and off, hot and humid; no figure of weather, nozzles or place",
    limits="Flow, lid, drop size and pressure were not in what was read: sixteen nozzles of 3 L/h and 25 um "
    "over 8 x 4 x 3 m are assumed, at 33 degC and 60 %; warmer and cooler hours hold as much vapor, the "
    "morning is 28 degC. How fast the drop grows hangs on the water assumed: with more, it "
    "grows faster. The thermometers may have been wetted.",
)
KOBE = Source(
    page="kobe-2023",
    subject="Field studies",
    title="Mist at a bus stop and in an open park, Kobe",
    cite="Atmosphere 2023, 14, 177, abstract: drops of 0.5 to 1 K",
    read="abstract",
    measured="air temperature within 2 m of the mist in a park and at half-open bus stops",
    known="drops of 10-30 um; low wind at the bus stops",
    limits="Flow, weather and wind were not in what was read: six nozzles of 3 L/h at 2.5 m, 32 degC at 60 "
    "%, 1 m/s are assumed, and a lid without walls. What they measured at the height of the mist is compared "
    "with a seat under it, where the cold comes later.",
)
SINGAPORE = Source(
    page="wong-chong-2010",
    subject="Field studies",
    title="Mist fans over outdoor dining, Singapore",
    cite="Wong & Chong 2010, Build. Environ. 45, 2666: daily means of four days, same fans with and "
    "without mist",
    read="text",
    measured="air temperature 1 m above the floor, with and without mist on the same fans",
    known="weather of four days, air speed 0.64-0.68 m/s at the seats",
    limits="Flow, drop size and pressure are not told: four mist fans of 18 L/h and 25 um (those of "
    "Farnham, Emura & "
    "Mizuno 2015) over 8 x 6 x 3 m are assumed. Fans mix, so the patio's mixed air is compared. The "
    "0.66 m/s in the chairs was the fans' doing; taken here for a wind, it blows the cold away too fast.",
)
ATRIUM = Source(
    page="osaka-atrium",
    subject="Field studies",
    title="One nozzle high in an atrium, Osaka",
    cite="Farnham and others, a single nozzle of 41 um Sauter mean in an atrium: 0.7 K on the floor, no "
    "wetting told",
    read="abstract",
    measured="air temperature on the floor below one nozzle",
    known="drops of 41 um Sauter mean; nothing was wetted",
    limits="Flow and height were not in what was read: 6 L/h, 5 m, 30 degC at 60 % are assumed, and air "
    "that moves at "
    "0.2-0.3 m/s. In dead still air the plume would say 2-4 K. The plume alone: an atrium is no patio.",
)
GREENHOUSE = Source(
    page="fog-pulses",
    subject="Field studies",
    title="Fog in pulses in a greenhouse",
    cite="Environ. Control Biol. 43(1), abstract: at best 0.57-0.80 of the wet-bulb depression",
    read="abstract",
    measured="inside against outside dry and wet bulb, at the end of each pulse of fog",
    known="fog for 20-75 s, pauses of 160 s, side and roof vents open",
    limits="An enclosed, densely sprayed house: a ceiling for any open patio, not a comparison.",
)
ANCONA = Source(
    page="ulpiani-dry-mist",
    subject="Field studies",
    title="Overhead dry mist in Ancona and Rome",
    cite="Ulpiani and others, Build. Environ., 'Thermal comfort improvement in urban spaces with water spray "
    "systems', abstract: largest drop 8.2 K; coldest within about 0.5 m of the nozzles; breeze of 1-2 m/s. "
    "Peaks of 7.5 and 6.1 K: second-hand, their source was not found",
    read="abstract",
    measured="air temperature at heights under and outside the mist",
    known="best in a breeze of 1-2 m/s, with the line 1.2-1.5 m above heads",
    limits="The thermometers may have been wetted: their largest drop is an upper bound only. Flow and "
    "weather were not in what was read: 24 nozzles of 3 L/h and 20 um over 6 x 6 x 3.2 m, 33 degC at 40 % "
    "are assumed; of the profile, one nozzle alone.",
)
FACTOR = "a factor of 2, for what is assumed"
PLACE = {"mixed": "mixed air", "seat": "at the seat"}


def test_hot_humid_still_air():
    told = drops(Setup(8, 4, 3, 16, 3.0, 25, 60, 2.8), 33.0, 0.6, 0.1)
    mixed, seat = (float(told[name][1, 0]) for name in ("mixed", "seat"))
    CHINA.between("drop of the mixed air, median", mixed, 1.21, 4.84, "K", because=FACTOR, theirs=2.42)
    CHINA.between("drop at the seat, median", seat, 1.21, 4.84, "K", because=FACTOR, theirs=2.42)
    high = float(told["seat"][2, 0])
    CHINA.between(
        "drop at the seat, 90 %", high, 0.0, 5.68, "K", because="their largest, if wetted, is a bound"
    )


def known_outside(why: str):
    """A comparison known to lie outside its tolerance: told as such in docs/validation, whose own test fails
    once it no longer does."""
    return pytest.mark.xfail(raises=AssertionError, reason=why)


def hot_humid_day(which: str, celsius: np.ndarray) -> np.ndarray:
    """Median drop [K]; as much vapor in the air all day as at 33 degC and 60 %."""
    humidity = air.relative_humidity(celsius + 273.15, air.humidity_ratio(306.15, 0.6, P), P)
    return drops(Setup(8, 4, 3, 16, 3.0, 25, 60, 2.8), celsius, humidity, 0.1)[which][1]


@pytest.mark.parametrize(
    "which",
    [pytest.param("mixed", marks=known_outside("the water assumed is the limit, not the air")), "seat"],
)
def test_hot_humid_warmer_hours_are_cooled_more(which):
    celsius = np.array([31.0, 32.0, 33.0, 34.0, 35.0])
    slope = float(np.polyfit(celsius, hot_humid_day(which, celsius), 1)[0])
    CHINA.between(f"more drop a kelvin above 31 degC, {PLACE[which]}, median", slope, 0.25, 1.0, "K/K",
                  because=FACTOR, theirs=0.5)  # fmt: skip


@pytest.mark.parametrize("which", ["mixed", "seat"])
def test_hot_humid_before_ten(which):
    drop = float(hot_humid_day(which, np.array([28.0]))[0])
    CHINA.between(f"drop before ten, {PLACE[which]}, median", drop, 0.0, 2.0, "K",
                  because="below 1 K, and a factor of 2 for what is assumed")  # fmt: skip


@known_outside("in 1 m/s the cold has left before it is mixed down to a seat")
def test_open_bus_stop():
    told = drops(Setup(6, 3, 3, 6, 3.0, 20, 60, 2.5), 32.0, 0.6, 1.0)
    middle = float(told["seat"][1, 0])
    KOBE.between("drop at the seat, median", middle, 0.25, 2.0, "K", because=FACTOR, theirs=0.75)


def test_open_bus_stop_in_low_wind():
    """As the abstract has it of the bus stops: slightly down, to 1 K, in low wind; 0.5 m/s assumed."""
    told = drops(Setup(6, 3, 3, 6, 3.0, 20, 60, 2.5), 32.0, 0.6, 0.5)
    KOBE.between("drop of the mixed air, median, 0.5 m/s", float(told["mixed"][1, 0]), 0.0, 2.0, "K",
                 because="up to 1 K, and a factor of 2 for what is assumed")  # fmt: skip


def mist_fans():
    """Four days: mean temperature, humidity and drop; 0.3 of a depression of 4.5 K."""
    t, rh = np.array([30.4, 29.3, 30.6, 27.8]), np.array([0.69, 0.73, 0.66, 0.73])
    return drops(Setup(8, 6, 3.0, 4, 18.0, 25, 50, 2.3), t, rh, 0.66)


@known_outside("taken for a wind, the fans blow out what dries late; they draw it in again")
def test_mist_fans_in_humid_air():
    theirs = np.array([1.0, 1.3, 1.0, 1.7])
    SINGAPORE.between("drop of the mixed air, each day", mist_fans()["mixed"][1], theirs / 2, theirs * 2, "K",
                      because=FACTOR, theirs=theirs)  # fmt: skip


def test_mist_fans_reach_a_share_of_the_depression():
    share = float(mist_fans()["share"][1].mean())
    SINGAPORE.between("share of the depression, mean", share, 0.15, 0.6, "", because=FACTOR, theirs=0.3)


def test_one_nozzle_high_above_the_floor():
    t, d = 303.15, 41e-6 / float(nozzle.sauter_over_median(2.5))
    speed = np.array([0.2, 0.25, 0.3])
    one = plume.spray_plume(
        t, air.humidity_ratio(t, 0.6, P), P, wind=speed, flow=6 / 3.6e6, gauge=60e5, median_diameter=d,
        spread=2.5, water_temperature=298.15, height=5.0, spacing=np.inf,
    )  # fmt: skip
    ATRIUM.between("drop in the plume on the floor", t - one.temperature_at(5.0), 0.35, 1.4, "K",
                   because=FACTOR, theirs=0.7, x=speed, axis="air motion, m/s")  # fmt: skip


def test_an_open_patio_keeps_under_what_a_greenhouse_reaches():
    """10 and 20 nozzles of 6.6 L/h over 24 m2, 40 degC at 15 %, nearly calm; every draw."""
    for count in (10, 20):
        c = case_of(Setup(6, 4, 3, count, 6.6, 27, 70, 3.0, walls=(2,)), 40.0, 0.15, 0.1)
        t = c.outdoors.temperature
        share = (t - balance.solve_balance(c).patio.temperature) / (t - air.wet_bulb(t, c.outdoors.ratio, P))
        what = f"share of the depression, mixed air, largest draw, {count} nozzles"
        GREENHOUSE.between(
            what, float(share.max()), 0.0, 0.8, "", because="more under an open lid is a fault"
        )


def test_dry_mist_in_a_breeze():
    told = drops(Setup(6, 6, 3.2, 24, 3.0, 20, 70, 3.0), 33.0, 0.4, np.array([1.0, 2.0]))
    ANCONA.between("drop at the seat, 90 %, 1 and 2 m/s", told["seat"][2], 0.0, 8.2, "K",
                   because="their largest, if wetted, is a bound")  # fmt: skip


def test_the_coldest_air_is_near_the_nozzles():
    """One nozzle's plume, 20 um at 70 bar; their peaks of 7.5 and 6.1 K."""
    t, speed = 306.15, np.array([1.0, 1.5, 2.0])
    one = plume.spray_plume(
        t, air.humidity_ratio(t, 0.4, P), P, wind=speed, flow=3 / 3.6e6, gauge=70e5, median_diameter=20e-6,
        spread=2.5, water_temperature=298.15, height=3.0, spacing=np.inf,
    )  # fmt: skip
    coldest = one.temperature.argmin(-1)[:, None]
    depth = np.take_along_axis(one.depth, coldest, -1)[:, 0]
    ANCONA.between("depth of the coldest air below the nozzle", depth, 0.0, 0.5, "m",
                   because="within about half a meter, as told", x=speed, axis="wind, m/s")  # fmt: skip
    peak = t - np.take_along_axis(one.temperature, coldest, -1)[:, 0]
    ANCONA.between("drop there", peak, 6.1 / 2, 7.5 * 2, "K", because=FACTOR, theirs=np.full(3, 6.8),
                   x=speed, axis="wind, m/s")  # fmt: skip
