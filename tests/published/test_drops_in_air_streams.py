"""Single water drops in moving air, and drops that fall; a source beside each test."""

import numpy as np
import pytest

from mistcalc.physics import air, droplet
from tests.published.cases import Source

RANZ_MARSHALL = Source(
    page="ranz-marshall-1952",
    subject="Drops",
    title="Ranz & Marshall 1952, drops in a stream",
    cite="Ranz & Marshall 1952, Chem. Eng. Prog. 48(4), 173-180, by NIST's database of fire experiments",
    read="data",
    limits="Dry air of 20-25 degC, drops of about 1 mm, 0-3 m/s: far larger than mist, and hung on a wire.",
)
GAVIN = Source(
    page="gavin-free-fall",
    subject="Drops",
    title="Gavin, a drop held up by a wind",
    cite="Gavin, drops in a vertical wind tunnel, dry air of 24.3 degC and 99,940 Pa, by NIST's database of "
    "fire "
    "experiments",
    read="data",
    limits="One drop of 557 um; dry air.",
)
GUNN_KINZER = Source(
    page="gunn-kinzer-1949",
    subject="Drops",
    title="Gunn & Kinzer 1949, fall speeds",
    cite="Gunn & Kinzer 1949, J. Meteorol. 6, 243: terminal speed in air of 20 degC and 50 %",
    read="memory",
    limits="0.1-1 mm; nothing about smaller drops, where Stokes' law is exact.",
)
NETZ = Source(
    page="netz-2020",
    subject="Drops",
    title="Netz 2020, drops that vanish as they fall",
    cite="Netz 2020, J. Phys. Chem. B 124 (arXiv 2004.12584), abstract",
    read="page",
    limits="Theory, not a measurement; the abstract gives no air temperature.",
)


@pytest.mark.parametrize(
    ("celsius", "pascal", "micron", "speed", "drop_celsius", "rate"),
    [
        (19.9, 99058.5, 954, 2.46, 5.4, 5.24e-9),
        (24.0, 99458.5, 954, 3.06, 7.3, 6.58e-9),
        (24.9, 98791.9, 954, 0.0, 9.1, 1.39e-9),
    ],
)
def test_ranz_and_marshall(celsius, pascal, micron, speed, drop_celsius, rate):
    state = (celsius + 273.15, 0.0, pascal)
    where = f"{celsius} degC, {speed} m/s"
    ours = droplet.area_shrink_rate(micron * 1e-6, *state, speed) * 1e9
    because = "what their correlation claims for its own data"
    RANZ_MARSHALL.check(f"shrink rate of d², {where}", ours, rate * 1e9, "mm²/ks", rel=0.05, because=because)
    ours = droplet.wet_temperature(*state, micron * 1e-6, speed) - 273.15
    because = "the wire warms the drop, most where no air moves"
    what = f"drop temperature, {where}"
    RANZ_MARSHALL.check(what, ours, drop_celsius, "degC", within=2.5, because=because)
    assert ours < drop_celsius


@pytest.mark.thorough
def test_gavin():
    drop = droplet.fall(557e-6, 24.3 + 273.15, 0.0, 99940, speed=2.2, duration=120)
    seconds = [3.9, 15.8, 27.8, 39.8, 51.7, 60.7, 68.7]
    told = [2.21, 1.99, 1.75, 1.49, 1.24, 1.04, 0.84]
    ours = np.interp(seconds, drop.time, drop.speed)
    because = "3 % of the diameter at the start"
    GAVIN.check(
        "fall speed", ours, told, "m/s", within=0.07, because=because, x=seconds, axis="seconds in dry air"
    )


def test_gunn_and_kinzer():
    millimetre = np.array([0.1, 0.2, 0.3, 0.5, 1.0])
    told = np.array([0.27, 0.72, 1.17, 2.06, 4.03])
    ours = droplet.terminal_speed(millimetre * 1e-3, 293.15, 0.0073, 101325)
    GUNN_KINZER.check(
        "fall speed at 0.1 mm", ours[0], told[0], "m/s", rel=0.10, because="hardest to see; from memory"
    )
    GUNN_KINZER.check(
        "fall speed from 0.2 mm", ours[1:], told[1:], "m/s", rel=0.05,
        because="from memory", x=millimetre[1:], axis="diameter, mm",
    )  # fmt: skip


@pytest.mark.thorough
def test_netz():
    celsius = np.array([[20.0], [25.0]])
    size = np.linspace(80e-6, 130e-6, 26)
    ratio = air.humidity_ratio(celsius + 273.15, 0.5, 101325)
    drops = droplet.fall(np.broadcast_to(size, (2, 26)), celsius + 273.15, ratio, 101325)
    critical = [np.interp(2.0, gone, size) * 1e6 for gone in drops.distance[..., -1]]
    because = "no temperature told: 20-25 degC spans this"
    what = "largest drop gone within 2 m at 50 %, 20 and 25 degC"
    NETZ.between(what, critical, 90, 110, "µm", because=because, theirs=98)
