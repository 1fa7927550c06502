"""A line shut in: the balance turned round, its bounds, and the rule on thousands of simulated holds.

Figures worked out by hand, and IAPWS-95, stand in tests/published/test_line_shut_in.py."""

import numpy as np
import pytest

from mistcalc.checks.pressure_test import LEAK_LIMIT, classify_holds
from mistcalc.line.pressure_test import closed_line
from mistcalc.model.results import GaugeReading
from mistcalc.physics import tube_elasticity
from tests.line import hold_report
from tests.line.hold_dawns import first_rule, watched
from tests.line.hold_lines import ATMOSPHERE, DEGREE, ML, MOST_AIR, PSI, VOLUME, kelvin
from tests.line.hold_series import answered_tests, answered_watches
from tests.published.report import alike

INCH = 0.0254
STRETCH = float(tube_elasticity.volume_compliance("stainless 304", 0.375 * INCH, 0.035 * INCH))
LINE = closed_line.ClosedLine(VOLUME, STRETCH, 3 * 17.3e-6)


def at(gauge, degrees, vessel=None):
    return GaugeReading(gauge * PSI, kelvin(degrees), kelvin(degrees if vessel is None else vessel))


# ------------------------------------------------------------------ the balance


def test_water_lost_turns_settled_round():
    rng = np.random.default_rng(1)
    start = GaugeReading(rng.uniform(40, 1200, 500) * PSI, kelvin(rng.uniform(40, 110, 500)), kelvin(70))
    tube, vessel = kelvin(rng.uniform(40, 110, 500)), kelvin(rng.uniform(40, 110, 500))
    air, gas = rng.uniform(0, 100, 500) * ML, rng.choice([0.0, 100 * ML], 500)
    lost, gone = rng.uniform(-0.2, 0.5, 500) * ML, rng.uniform(0, 1, 500)
    end = closed_line.gauge_pressure_at(LINE, start, tube, vessel, air, gas, lost, gone)
    back = closed_line.water_lost(LINE, start, GaugeReading(end, tube, vessel), air, gas, gone)
    assert back[end > 0] == pytest.approx(lost[end > 0], abs=1e-3 * ML)
    assert np.count_nonzero(end > 0) > 300


def test_a_line_that_runs_empty_reads_no_less_than_a_vacuum():
    start = at(1000, 70)
    end = closed_line.gauge_pressure_at(LINE, start, kelvin(40), start.vessel, 0.0, 0.0, 1e-4)
    assert end == pytest.approx(-ATMOSPHERE)
    assert np.all(
        np.isfinite(
            closed_line.gauge_pressure_at(LINE, start, kelvin(40), start.vessel, [0.0, 1e-6], 0.0, 5e-3)
        )
    )


def test_bounds_hold_every_sound_line_within_them():
    # Sound lines anywhere inside the ranges nobody knows are not below what the bounds say.
    rng = np.random.default_rng(2)
    n = 500
    start = GaugeReading(60 * PSI, kelvin(rng.uniform(45, 95, n)), kelvin(rng.uniform(45, 95, n)))
    change, errors = rng.normal(0, 8, n) * DEGREE, closed_line.WATCH_ERRORS
    end = GaugeReading(60 * PSI, start.tube + change, start.vessel + change)
    held = closed_line.bounds(LINE, start, end, errors, 10 * ML, 100 * ML)
    reach = errors.deviations * np.hypot(errors.thermometer, errors.spot * change)
    tube, vessel = (t + rng.uniform(-1, 1, n) * reach for t in (end.tube, end.vessel))
    air, gas = rng.uniform(0, 10, n) * ML, 100 * ML * (1 + errors.gas * rng.uniform(-1, 1, n))
    assert np.all(closed_line.gauge_pressure_at(LINE, start, tube, vessel, air, gas) >= held.low - 1e-6)
    gone = closed_line.gauge_pressure_at(LINE, start, tube, vessel, air, gas, 0.0, rng.uniform(0, 1, n))
    assert np.all(gone >= held.low_dissolved - 1e-6)


# ------------------------------------------------------------------ the rule on simulated holds


@pytest.mark.thorough
@pytest.mark.parametrize("swing", [1.0, 3.0])
def test_three_thousand_tests(swing):
    sound = answered_tests(3000, leak=0.0, swing=swing, seed=11)
    assert np.mean(sound == "leak") <= 0.01
    leaking = answered_tests(3000, leak=0.1, swing=swing, seed=12)
    assert np.mean(leaking == "leak") >= 0.98
    assert not np.any(leaking == "holds")
    large = answered_tests(3000, leak=1.0, swing=swing, seed=13)
    assert np.mean(large == "leak") >= 0.99


@pytest.mark.thorough
@pytest.mark.parametrize("swing", [10.0])
def test_three_thousand_watches(swing):
    sound = answered_watches(3000, lost=0.0, swing=swing, seed=21)
    assert np.mean(sound == "leak") <= 0.01
    leaking = answered_watches(3000, lost=10.0, swing=swing, seed=22)
    assert np.mean(leaking == "leak") >= 0.97
    assert not np.any(leaking == "holds")


@pytest.mark.thorough
@pytest.mark.parametrize("swing", [3.0, 10.0])
def test_air_left_in_the_line_does_not_stop_the_plaster_and_a_leak_does(swing):
    """A tenth of the most air that may be trapped, gone in half a day to two days (judgement)."""
    sound = {"lost": 0.0, "swing": swing, "seed": 31, "air": (0.1, 0.1), "days": (0.5, 2.0)}
    assert np.mean(first_rule(400, **sound)) > 0.5  # how the sheet once read
    stopped, never, dawns = watched(400, **sound)
    assert np.mean(stopped) <= 0.02 and np.mean(never) == 0.0 and np.mean(dawns) < 1.5
    stopped, never, _ = watched(400, **{**sound, "lost": 10.0})  # over nine days; 8 mL is the limit
    assert np.mean(stopped | never) >= 0.99


def test_five_answers_in_their_order():
    start = at(1000, 70)

    def answer(gauge, degrees, earlier=None):
        held = closed_line.bounds(
            LINE, start, at(gauge, degrees), closed_line.TEST_ERRORS, MOST_AIR, 0.0, earlier and 1.0
        )
        return str(classify_holds(held, LEAK_LIMIT * 900, earlier)), held

    assert answer(300, 70)[0] == "leak"
    first, fell = answer(840, 70)
    assert first == "again"
    assert answer(650, 70, fell)[0] == "leak"
    assert answer(920, 70, fell)[0] == "again"  # less than 0.6 of the first: air going into the water
    assert answer(860, 70, fell)[0] == "again"  # 0.9 of the first, yet no more than the air left could
    assert answer(1000, 70)[0] == "holds"
    assert answer(1080, 73)[0] == "temperature"
    assert answer(1450, 90)[0] == "unsure"


@pytest.mark.long
def test_the_page_of_simulated_holds_is_what_is_simulated_now():
    text, _ = hold_report.page()
    written = (hold_report.FOLDER / f"{hold_report.NAME}.md").read_text("utf-8")
    assert alike(written, text)  # other machines may round a reading to the other side of a bound
