"""Pressure wave of water stopped at a stroke."""

import numpy as np
import pytest

from mistcalc.physics import pipe, tube_elasticity
from tests.published.cases import Source

INCH = 0.0254
JOUKOWSKY = Source(
    page="surge",
    subject="The line",
    title="Surge when a valve shuts",
    cite="Joukowsky's law, worked by hand after Wylie and Streeter, Fluid Transients in Systems",
    read="derived",
    limits="The most there can be: a valve that shuts slowly, and air in the water, make it less.",
)


def test_steel_pipe_of_the_worked_example():
    # steel, wave speed 1191.4 m/s, 2 m/s stopped: 242.9 m of head with g 9.81
    rise = tube_elasticity.joukowsky_rise(2.0, 998.2, 1191.4)
    JOUKOWSKY.check(
        "head of 2 m/s stopped in a steel pipe", rise / (998.2 * 9.81), 242.9, "m", within=0.05,
        because="printed to 0.1 m",
    )  # fmt: skip


def test_three_eighths_stainless():
    # E 193 GPa, water 2.19 GPa, thin wall: 1413 m/s, and 19.9 bar for 1.41 m/s; thick-wall forms 19.7-19.8
    speed = tube_elasticity.wave_speed("stainless 304", 0.375 * INCH, 0.035 * INCH, 293.15)
    JOUKOWSKY.check(
        "wave speed in 3/8 in stainless x .035",
        speed,
        1413,
        "m/s",
        rel=0.02,
        because="thin wall there, thick here",
    )
    rise = tube_elasticity.joukowsky_rise(1.41, 998.2, speed) / 1e5
    JOUKOWSKY.check(
        "1.41 m/s stopped in it", rise, 19.9, "bar", rel=0.02, because="thin wall there, thick here"
    )


def test_order_and_limits():
    walls = np.linspace(0.3e-3, 3e-3, 40)
    speed = tube_elasticity.wave_speed("stainless 304", 9.525e-3, walls, 293.15)
    assert np.all(np.diff(speed) > 0)
    # speed of sound in water, 1482 m/s at 20 degC (CRC Handbook): no tube makes the wave faster
    assert speed[-1] < 1482.0
    soft = tube_elasticity.wave_speed("nylon", 10e-3, 1.5e-3, 293.15)
    assert soft < 0.6 * speed[0]  # a soft tube takes the blow
    assert tube_elasticity.joukowsky_rise(0.0, 998.0, 1400.0) == 0.0
    assert tube_elasticity.joukowsky_rise(2.0, 998.0, 1400.0) == pytest.approx(
        2 * tube_elasticity.joukowsky_rise(1.0, 998.0, 1400.0)
    )


def test_the_same_from_what_a_drawing_tells():
    """Bore and wall of the 3/8 in tube: within what the density at 20 degC, 998.2, was rounded by."""
    speed = tube_elasticity.wave_speed("stainless 304", 0.375 * INCH, 0.035 * INCH, 293.15)
    told = pipe.surge_rise(1.41, 0.305 * INCH, 0.035 * INCH, "stainless 304", 293.15)
    assert told == pytest.approx(tube_elasticity.joukowsky_rise(1.41, 998.2, speed), rel=1e-4)
