"""Where the sun stands and when it rises and sets; sunlight on a seated person."""

import datetime

import numpy as np
import pytest

from mistcalc.physics import sun
from tests.published.cases import Source

SPA = Source(
    page="sun-nrel-spa",
    subject="Climate",
    title="Sun position, worked example of a published algorithm",
    cite="Reda & Andreas 2008, Solar Position Algorithm for Solar Radiation Applications, NREL/TP-560-34302, "
    "table A5.1 and the check table of rise and set",
    read="data",
    limits="Read in the tests of the library pvlib, which quotes it. Ours is a shorter series. The sunset of "
    "the example is the same evening's, found with pvlib and skyfield: copies of the report's program print "
    "that of another day.",
)
ALMANAC = Source(
    page="sun-almanac",
    subject="Climate",
    title="Sunrise and sunset, almanac",
    cite="US Naval Observatory, rise and set table for 39 N, 105 W, 2015",
    read="data",
    limits="Read in the tests of the library pvlib. Rounded to the minute; level horizon.",
)
LIBRARIES = Source(
    page="sun-libraries",
    subject="Climate",
    title="Sun position and times, three libraries",
    cite="pvlib 0.16 (SPA), skyfield 1.55 (JPL DE421) and astropy 8.0, which agree within 0.0004 degree and "
    "0.1 s",
    read="computed",
    limits="Two places in the US Southwest and one in South Australia, all in 2025.",
)
APPENDIX_C = Source(
    page="ashrae-55-sun",
    subject="How it feels",
    title="Sunlight on a person, ASHRAE 55 Appendix C",
    cite="ANSI/ASHRAE Standard 55-2017, Appendix C, validation table",
    read="data",
    limits="As reproduced in the open validation data of comfort libraries (ts_solar_gain.json). A person "
    "indoors: floor reflectance 0.6 and diffuse light a fifth of the beam are the table's own. It was made "
    "with 6.0 W/(m² K) where 6.012 is now usual.",
)
OUTDOORS = Source(
    page="ladybug-solarcal",
    subject="How it feels",
    title="Sunlight on a person outdoors, another library",
    cite="ladybug-comfort 0.19, SolarCal outdoors",
    read="computed",
    limits="Same method, another fit through the table of the body's projected area.",
)
J2000 = datetime.datetime(2000, 1, 1, 12)
PLACES = {  # latitude, longitude [degrees], hours from UTC
    "Chihuahuan": (31.8, -106.4, -7.0),
    "Sonoran": (33.4, -112.0, -7.0),
    "Adelaide": (-34.9, 138.6, 9.5),
}


def since_2000(local: str, offset: float) -> float:
    return (datetime.datetime.fromisoformat(local) - datetime.timedelta(hours=offset) - J2000) / (
        datetime.timedelta(days=1)
    )


def stands(place: str, local: str) -> tuple[float, float]:
    latitude, longitude, offset = PLACES[place]
    answer = sun.sun_position(since_2000(local, offset), np.radians(latitude), np.radians(longitude))
    return float(np.degrees(answer[0])), float(np.degrees(answer[1]))


def clock(days: float, day: str, offset: float) -> float:
    """Seconds from midnight by the local clock."""
    return (days - since_2000(f"{day} 00:00:00", offset)) * 86_400


def seconds(text: str) -> float:
    parts = [float(part) for part in text.split(":")]
    return sum(part * 60 ** (2 - n) for n, part in enumerate(parts))


def test_the_worked_example():
    moment = since_2000("2003-10-17 12:30:30", -7)
    height, azimuth = sun.sun_position(moment, np.radians(39.742476), np.radians(-105.1786))
    short = "a short series of the sun's place: 0.01 degree is what it promises, twice that allowed"
    SPA.check("height", np.degrees(height), 39.872046, "deg", within=0.02, because=short)
    SPA.check("azimuth", np.degrees(azimuth), 194.34024, "deg", within=0.02, because=short)
    ahead = sun.equation_of_time(moment) / 60
    SPA.check("equation of time", ahead, 14.6415, "min", within=0.05, because="0.01 degree is 0.04 min")


def test_rise_and_set_of_the_worked_example():
    moment = since_2000("2003-10-17 12:00:00", -7)
    found = sun.sun_times(moment, np.radians(39.742476), np.radians(-105.1786))
    for what, days, told in zip(
        ("sunrise", "transit", "sunset"), found, ("06:12:44", "11:46:05", "17:18:51"), strict=True
    ):
        ours = clock(days, "2003-10-17", -7)
        SPA.check(what, ours, seconds(told), "s", within=60, because="what an almanac is read to")


@pytest.mark.parametrize(
    ("day", "latitude", "rise", "set_"),
    [
        ("1994-01-02", 35.0, "07:08:12", "16:59:55"),
        ("1996-07-05", -35.0, "07:08:15", "17:01:04"),
        ("2004-12-04", -35.0, "04:38:57", "19:02:02"),
    ],
)
def test_rise_and_set_at_greenwich(day, latitude, rise, set_):
    up, _, down = sun.sun_times(since_2000(f"{day} 12:00:00", 0), np.radians(latitude), 0.0)
    for what, days, told in (("sunrise", up, rise), ("sunset", down, set_)):
        SPA.check(
            f"{what}, {day}, {latitude:g} N", clock(days, day, 0), seconds(told), "s", within=60,
            because="what an almanac is read to",
        )  # fmt: skip


@pytest.mark.parametrize(
    ("day", "rise", "set_"),
    [
        ("2015-01-02", "07:19", "16:49"),
        ("2015-04-02", "05:43", "18:24"),
        ("2015-08-02", "05:01", "19:10"),
        ("2015-12-02", "07:01", "16:38"),
    ],
)
def test_almanac_minutes(day, rise, set_):
    up, _, down = sun.sun_times(since_2000(f"{day} 12:00:00", -7), np.radians(39.0), np.radians(-105.0))
    for what, days, told in (("sunrise", up, rise), ("sunset", down, set_)):
        ours = clock(days, day, -7) / 60
        minutes = seconds(f"{told}:00") / 60
        ALMANAC.check(f"{what}, {day}", ours, minutes, "min", within=1.5, because="rounded to the minute")


POSITIONS = [  # local standard time, height, azimuth
    ("Chihuahuan", "2025-01-15 10:00", 28.083, 143.946),
    ("Chihuahuan", "2025-02-15 15:30", 26.568, 233.751),
    ("Chihuahuan", "2025-03-20 12:00", 58.217, 173.881),
    ("Chihuahuan", "2025-04-15 17:00", 19.166, 270.210),
    ("Chihuahuan", "2025-05-15 09:00", 47.315, 96.105),
    ("Chihuahuan", "2025-06-21 12:30", 80.271, 212.113),
    ("Chihuahuan", "2025-06-21 18:00", 13.610, 289.350),
    ("Chihuahuan", "2025-07-15 17:00", 25.810, 280.138),
    ("Chihuahuan", "2025-08-15 16:00", 34.648, 264.894),
    ("Chihuahuan", "2025-09-22 17:30", 5.901, 266.205),
    ("Chihuahuan", "2025-10-15 14:00", 39.018, 222.651),
    ("Chihuahuan", "2025-12-21 12:00", 34.752, 178.903),
    ("Sonoran", "2025-01-15 10:00", 23.907, 139.601),
    ("Sonoran", "2025-02-15 15:30", 29.240, 228.503),
    ("Sonoran", "2025-03-20 12:00", 55.745, 164.195),
    ("Sonoran", "2025-04-15 17:00", 23.836, 266.507),
    ("Sonoran", "2025-05-15 09:00", 42.473, 94.249),
    ("Sonoran", "2025-06-21 12:30", 80.036, 180.098),
    ("Sonoran", "2025-06-21 18:00", 18.590, 286.309),
    ("Sonoran", "2025-07-15 17:00", 30.710, 276.638),
    ("Sonoran", "2025-08-15 16:00", 39.119, 260.226),
    ("Sonoran", "2025-09-22 17:30", 10.446, 262.893),
    ("Sonoran", "2025-10-15 14:00", 40.762, 215.728),
    ("Sonoran", "2025-12-21 12:00", 32.815, 172.811),
    ("Adelaide", "2025-01-15 13:30", 70.130, 309.773),
    ("Adelaide", "2025-01-15 18:00", 16.792, 255.705),
    ("Adelaide", "2025-03-20 16:00", 28.662, 292.355),
    ("Adelaide", "2025-06-21 12:00", 31.514, 4.675),
    ("Adelaide", "2025-09-22 09:00", 33.722, 61.740),
    ("Adelaide", "2025-12-21 17:00", 27.732, 259.564),
]


@pytest.mark.parametrize("place", PLACES)
def test_positions(place):
    rows = [row[1:] for row in POSITIONS if row[0] == place]
    height, azimuth = zip(*(stands(place, local) for local, *_ in rows), strict=True)
    because = "the last figure of a short series; azimuth near the zenith hangs on it most"
    LIBRARIES.check(f"height, {place}", height, [r[1] for r in rows], "deg", within=0.02, because=because)
    LIBRARIES.check(f"azimuth, {place}", azimuth, [r[2] for r in rows], "deg", within=0.05, because=because)


TIMES = [  # local standard time; equation of time at noon [min]
    ("Chihuahuan", "2025-01-15", "07:05:54", "12:15:11", "17:24:42", -9.580),
    ("Chihuahuan", "2025-03-20", "06:08:52", "12:12:52", "18:17:22", -7.270),
    ("Chihuahuan", "2025-05-15", "05:08:24", "12:01:56", "18:55:52", 3.659),
    ("Chihuahuan", "2025-06-21", "05:00:38", "12:07:31", "19:14:23", -1.918),
    ("Chihuahuan", "2025-07-15", "05:10:56", "12:11:39", "19:12:05", -6.056),
    ("Chihuahuan", "2025-09-22", "05:54:05", "11:58:08", "18:01:41", 7.469),
    ("Chihuahuan", "2025-10-15", "06:09:11", "11:51:15", "17:32:52", 14.347),
    ("Chihuahuan", "2025-12-21", "07:01:47", "12:03:55", "17:06:04", 1.674),
    ("Sonoran", "2025-01-15", "07:31:46", "12:37:35", "17:43:39", -9.580),
    ("Sonoran", "2025-03-20", "06:31:09", "12:35:15", "18:39:53", -7.270),
    ("Sonoran", "2025-05-15", "05:27:31", "12:24:20", "19:21:34", 3.659),
    ("Sonoran", "2025-06-21", "05:18:52", "12:29:55", "19:40:57", -1.918),
    ("Sonoran", "2025-07-15", "05:29:35", "12:34:03", "19:38:13", -6.056),
    ("Sonoran", "2025-09-22", "06:16:25", "12:20:31", "18:24:07", 7.469),
    ("Sonoran", "2025-10-15", "06:32:55", "12:13:39", "17:53:54", 14.347),
    ("Sonoran", "2025-12-21", "07:28:09", "12:26:20", "17:24:31", 1.674),
    ("Adelaide", "2025-01-15", "05:17:41", "12:24:57", "19:31:49", -9.341),
    ("Adelaide", "2025-03-20", "06:18:31", "12:23:04", "18:27:03", -7.474),
    ("Adelaide", "2025-06-21", "07:23:07", "12:17:22", "17:11:37", -1.767),
    ("Adelaide", "2025-09-22", "06:05:23", "12:08:22", "18:11:54", 7.227),
    ("Adelaide", "2025-12-21", "04:58:23", "12:13:35", "19:28:48", 2.016),
]


@pytest.mark.parametrize("place", PLACES)
def test_rise_transit_and_set(place):
    latitude, longitude, offset = PLACES[place]
    rows = [row[1:] for row in TIMES if row[0] == place]
    noon = np.array([since_2000(f"{day} 12:00:00", offset) for day, *_ in rows])
    found = sun.sun_times(noon, np.radians(latitude), np.radians(longitude))
    for n, what in enumerate(("sunrise", "transit", "sunset"), 1):
        ours = [clock(x, row[0], offset) for x, row in zip(found[n - 1], rows, strict=True)]
        told = [seconds(row[n]) for row in rows]
        LIBRARIES.check(f"{what}, {place}", ours, told, "s", within=60, because="what an almanac is read to")
    LIBRARIES.check(
        f"equation of time, {place}", sun.equation_of_time(noon) / 60, [row[4] for row in rows], "min",
        within=0.05, because="0.01 degree is 0.04 min",
    )  # fmt: skip


# ------------------------------------------------------------------ sunlight on a person

# sun up, from the front, direct W/m2, through the glass, sky view, lit, taken, posture, W/m2, K
GAINS = [
    (45, 0, 700, 0.8, 0.2, 0.5, 0.7, "seated", 64.9, 15.5),
    (0, 120, 800, 0.5, 0.5, 0.5, 0.7, "seated", 43.3, 10.4),
    (60, 120, 800, 0.5, 0.5, 0.5, 0.7, "seated", 63.2, 15.1),
    (90, 120, 800, 0.5, 0.5, 0.5, 0.7, "seated", 65.3, 15.6),
    (30, 0, 800, 0.5, 0.5, 0.5, 0.7, "seated", 63.1, 15.1),
    (30, 30, 800, 0.5, 0.5, 0.5, 0.7, "seated", 62.4, 14.9),
    (30, 60, 800, 0.5, 0.5, 0.5, 0.7, "seated", 60.5, 14.5),
    (30, 90, 800, 0.5, 0.5, 0.5, 0.7, "seated", 57.2, 13.7),
    (30, 150, 800, 0.5, 0.5, 0.5, 0.7, "seated", 51.7, 12.4),
    (30, 180, 800, 0.5, 0.5, 0.5, 0.7, "seated", 49.0, 11.7),
    (30, 120, 800, 0.5, 0.5, 0.5, 0.7, "standing", 59.3, 13.6),
    (30, 120, 400, 0.5, 0.5, 0.5, 0.7, "seated", 27.4, 6.6),
    (30, 120, 600, 0.5, 0.5, 0.5, 0.7, "seated", 41.1, 9.8),
    (30, 120, 1000, 0.5, 0.5, 0.5, 0.7, "seated", 68.5, 16.4),
    (30, 120, 800, 0.1, 0.5, 0.5, 0.7, "seated", 11.0, 2.6),
    (30, 120, 800, 0.3, 0.5, 0.5, 0.7, "seated", 32.9, 7.9),
    (30, 120, 800, 0.7, 0.5, 0.5, 0.7, "seated", 76.7, 18.4),
    (30, 120, 800, 0.5, 0.1, 0.5, 0.7, "seated", 29.3, 7.0),
    (30, 120, 800, 0.5, 0.3, 0.5, 0.7, "seated", 42.1, 10.1),
    (30, 120, 800, 0.5, 0.7, 0.5, 0.7, "seated", 67.5, 16.2),
    (30, 120, 800, 0.5, 0.5, 0.1, 0.7, "seated", 36.4, 8.7),
    (30, 120, 800, 0.5, 0.5, 0.3, 0.7, "seated", 45.6, 10.9),
    (30, 120, 800, 0.5, 0.5, 0.7, 0.7, "seated", 64.0, 15.3),
    (30, 120, 800, 0.5, 0.5, 0.5, 0.3, "seated", 23.5, 5.6),
    (30, 120, 800, 0.5, 0.5, 0.5, 0.5, "seated", 39.1, 9.4),
    (30, 120, 800, 0.5, 0.5, 0.5, 0.9, "seated", 70.4, 16.9),
    (30, 120, 800, 0.5, 0.5, 0.5, 0.7, "seated", 54.8, 13.1),
]


@pytest.mark.parametrize("row", GAINS, ids=lambda row: " ".join(map(str, row[:8])))
def test_the_standards_own_table(row):
    height, front, direct, through, view, lit, taken, posture, field, kelvin = row
    beam = direct * through
    ours = sun.sunlight_taken(
        np.radians(height), beam, 0.2 * beam, view, lit, np.radians(front), taken, 0.6, posture
    )
    case, stated = " ".join(map(str, row[:8])), "the table's own stated tolerance"
    APPENDIX_C.check(f"field: {case}", ours, field, "W/m²", within=0.1, because=stated)
    rise = sun.radiant_rise(ours, posture)
    APPENDIX_C.check(f"radiant temperature: {case}", rise, kelvin, "K", within=0.1, because=stated)


# height, from the front, direct, diffuse, sky view, lit, taken, posture, ground, W/m2 of the library
ABROAD = [
    (35, 90, 850, 120, 0.4, 1.0, 0.70, "seated", 0.25, 134.99),
    (35, 90, 850, 120, 0.4, 0.5, 0.70, "seated", 0.25, 81.44),
    (35, 90, 850, 120, 0.4, 0.0, 0.70, "seated", 0.25, 27.89),
    (35, 90, 850, 120, 0.1, 0.0, 0.70, "seated", 0.25, 6.97),
    (15, 0, 600, 80, 0.4, 1.0, 0.70, "seated", 0.25, 113.71),
    (31, 180, 800, 110, 0.5, 0.8, 0.57, "seated", 0.30, 72.76),
    (60, 45, 900, 130, 1.0, 1.0, 0.70, "standing", 0.25, 181.00),
]


@pytest.mark.parametrize("row", ABROAD, ids=lambda row: " ".join(map(str, row[:9])))
def test_outdoors(row):
    height, front, direct, diffuse, view, lit, taken, posture, ground, field = row
    ours = sun.sunlight_taken(
        np.radians(height), direct, diffuse, view, lit, np.radians(front), taken, ground, posture
    )
    OUTDOORS.check(
        f"field: {' '.join(map(str, row[:9]))}", ours, field, "W/m²", rel=0.015,
        because="another fit through the table of the projected area",
    )  # fmt: skip
