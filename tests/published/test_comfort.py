"""Comfort indices against their published values."""

import numpy as np
import pytest

from mistcalc.physics import comfort
from tests.published.cases import Source

ZERO = 273.15
STANDARD = Source(
    page="ashrae-55-set",
    subject="How it feels",
    title="Standard effective temperature, ASHRAE Standard 55",
    cite="validation table of the two-node model in ANSI/ASHRAE Standard 55-2017, as kept in the open "
    "validation data "
    "of comfort models (Tartarini & Schiavon 2020, SoftwareX 12, 100578; MIT licence)",
    read="data",
    limits="A standing body of 1.83 m² after an hour, at sea level. The table's row with 4 clo is left out: "
    "ours ends "
    "at 3. It has no air above 40 degC.",
)
SECOND_HAND = Source(
    page="pythermalcomfort",
    subject="How it feels",
    title="Standard effective temperature, a second program",
    cite="pythermalcomfort 4.8.1, standing, run outside this project",
    read="computed",
    limits="Heat and thin air, of which the standard's table has none. The same model by other hands.",
)
TWO = Source(
    page="utci",
    subject="How it feels",
    title="Universal thermal climate index",
    cite="Bröde et al. 2012, Int. J. Biometeorol. 56, 481-494: thermofeel and pythermalcomfort agree on "
    "these to 1e-6; "
    "rows of one digit from the open validation data of comfort models (Tartarini & Schiavon 2020)",
    read="computed",
    limits="thermofeel stands behind our function: what is checked is units and humidity. Beyond the "
    "weather its "
    "polynomial was fitted to there is no answer.",
)

SET = [  # dry bulb and mean radiant degC, m/s, %, met, clo: SET degC
    (25, 25, 0.15, 50, 1.0, 0.5, 23.8),
    (0, 25, 0.15, 50, 1.0, 0.5, 12.1),
    (10, 25, 0.15, 50, 1.0, 0.5, 16.8),
    (15, 25, 0.15, 50, 1.0, 0.5, 19.2),
    (20, 25, 0.15, 50, 1.0, 0.5, 21.5),
    (30, 25, 0.15, 50, 1.0, 0.5, 26.4),
    (40, 25, 0.15, 50, 1.0, 0.5, 34.3),
    (25, 25, 0.15, 10, 1.0, 0.5, 23.3),
    (25, 25, 0.15, 90, 1.0, 0.5, 24.9),
    (25, 25, 0.10, 50, 1.0, 0.5, 24.0),
    (25, 25, 0.60, 50, 1.0, 0.5, 21.3),
    (25, 25, 1.10, 50, 1.0, 0.5, 20.2),
    (25, 25, 3.00, 50, 1.0, 0.5, 18.6),
    (25, 10, 0.15, 50, 1.0, 0.5, 15.3),
    (25, 40, 0.15, 50, 1.0, 0.5, 31.6),
    (25, 25, 0.15, 50, 1.0, 0.1, 20.7),
    (25, 25, 0.15, 50, 1.0, 1.0, 27.2),
    (25, 25, 0.15, 50, 1.0, 2.0, 32.4),
    (25, 25, 0.15, 50, 0.8, 0.5, 23.3),
    (25, 25, 0.15, 50, 2.0, 0.5, 25.9),
    (25, 25, 0.15, 50, 4.0, 0.5, 30.5),
    (25, 25, 1.10, 50, 2.0, 0.5, 24.0),
    (25, 25, 1.10, 50, 3.0, 0.5, 27.4),
    (25, 25, 1.10, 50, 4.0, 0.5, 30.3),
    (25, 25, 1.10, 50, 1.5, 0.5, 22.3),
    (25, 25, 1.10, 50, 1.5, 0.75, 24.8),
    (25, 25, 1.10, 50, 1.5, 0.1, 17.6),
    (29, 25, 1.10, 50, 1.5, 0.5, 25.0),
    (27, 25, 1.10, 50, 1.5, 0.75, 26.2),
    (20, 25, 1.10, 50, 1.5, 0.1, 13.3),
    (25, 27, 1.10, 50, 1.5, 0.5, 22.9),
    (25, 29, 1.10, 50, 1.5, 0.5, 23.5),
    (25, 31, 1.10, 50, 1.5, 0.5, 24.0),
    (25, 27, 1.30, 50, 1.5, 0.5, 22.5),
    (25, 29, 1.50, 50, 1.5, 0.5, 22.8),
    (25, 31, 1.70, 50, 1.5, 0.5, 23.1),
]
HOT = [  # the same, Pa in place of met and clo (1.0, 0.5)
    (40, 42, 0.3, 15, 88_000.0, 34.067),
    (40, 42, 1.0, 15, 88_000.0, 32.350),
    (33, 36, 0.5, 70, 101_325.0, 33.447),
    (33, 36, 1.2, 70, 101_325.0, 31.734),
    (45, 45, 1.0, 10, 88_000.0, 34.343),
    (36, 38, 0.1, 35, 75_000.0, 35.187),
    (28, 30, 1.0, 90, 101_325.0, 26.095),
]
UTCI = [  # dry bulb and mean radiant degC, m/s at 10 m, %: UTCI degC
    (20, 20, 3.0, 50, 16.24224),
    (30, 30, 0.5, 90, 35.51129),
    (27, 22, 1.0, 50, 25.43386),
    (30, 27, 1.0, 50, 29.52687),
    (27, 22, 10.0, 50, 20.01318),
]
UTCI_ROUNDED = [
    (25, 27, 1.0, 50, 25.2),
    (25, 25, 1.0, 50, 24.6),
    (19, 24, 1.0, 50, 20.0),
    (19, 14, 1.0, 50, 16.8),
    (27, 22, 16.0, 50, 15.8),
    (9, 9, 1.0, 50, 8.7),
]


def set_of(t, radiant, speed, percent, met=1.0, clo=0.5, air_pressure=101325.0):
    return (
        comfort.standard_effective_temperature(
            t + ZERO, radiant + ZERO, speed, percent / 100, met, clo, air_pressure
        )
        - ZERO
    )


@pytest.mark.parametrize(("t", "radiant", "speed", "percent", "met", "clo", "told"), SET)
def test_set_of_the_standards_table(t, radiant, speed, percent, met, clo, told):
    ours = set_of(t, radiant, speed, percent, met, clo)
    what = f"air {t}, radiant {radiant} degC, {speed} m/s, {percent} %, {met} met, {clo} clo"
    STANDARD.check(what, ours, told, "degC", within=0.1, because="the table's last digit")


@pytest.mark.parametrize(("t", "radiant", "speed", "percent", "air_pressure", "told"), HOT)
def test_set_beside_an_independent_hand(t, radiant, speed, percent, air_pressure, told):
    ours = set_of(t, radiant, speed, percent, air_pressure=air_pressure)
    what = f"air {t}, radiant {radiant} degC, {speed} m/s, {percent} %, {air_pressure / 1e3:g} kPa"
    SECOND_HAND.check(what, ours, told, "degC", within=0.1, because="the standard's own tolerance")


@pytest.mark.parametrize(("t", "radiant", "wind", "percent", "told"), UTCI)
def test_utci_of_two_libraries(t, radiant, wind, percent, told):
    ours = comfort.utci(t + ZERO, radiant + ZERO, wind, percent / 100) - ZERO
    what = f"air {t}, radiant {radiant} degC, {wind:g} m/s, {percent} %"
    TWO.check(what, ours, told, "degC", within=1e-3, because="as many digits as are told")


@pytest.mark.parametrize(("t", "radiant", "wind", "percent", "told"), UTCI_ROUNDED)
def test_utci_of_the_open_validation_data(t, radiant, wind, percent, told):
    ours = comfort.utci(t + ZERO, radiant + ZERO, wind, percent / 100) - ZERO
    what = f"air {t}, radiant {radiant} degC, {wind:g} m/s, {percent} % (one digit)"
    TWO.check(what, ours, told, "degC", within=0.1, because="the data's own tolerance")


def test_arrays_give_what_numbers_give():
    rows = np.array(SET)[:6]
    many = set_of(*rows[:, :4].T)
    assert many == pytest.approx([set_of(*row[:4]) for row in rows], abs=1e-12)
