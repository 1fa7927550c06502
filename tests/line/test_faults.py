"""Draws of faulty lines: inside their ranges, evenly spread, the same everywhere."""

import dataclasses

import numpy as np
import pytest
from scipy.special import polygamma

from mistcalc.line.diagnosis import faults
from mistcalc.model.fault_priors import CAUSES, FaultPriors

COUNT, NOZZLES, NODES = 2000, 12, 15


def drawn(cause, *, pump=True, sheet=True, judgement=None, cups=None):
    judgement = judgement or FaultPriors()
    return faults.draw_faults(
        cause, COUNT, NOZZLES, NODES, pump=pump, sheet=sheet, judgement=judgement, cups=cups
    )


def test_the_even_sequence_leaves_gaps_of_at_most_three_lengths():
    """The multiples of a number, wrapped to 0..1, part the circle into gaps of at most three lengths
    (Steinhaus; Sos 1958, Swierczkowski 1959), so no coordinate is left empty anywhere."""
    for count in (100, 4000):
        for column in faults.evenly_spread_points(count, 7):
            column = np.sort(column)
            gaps = np.diff(np.append(column, column[0] + 1.0))
            assert len(np.unique(gaps.round(9))) <= 3
            assert gaps.max() < 8.0 / count  # eight times the mean, for the worst of seven steps


def test_an_even_sequence_integrates_a_product_better_than_chance():
    points = faults.evenly_spread_points(4000, 7)
    value = np.prod(1.0 + (points - 0.5), axis=0).mean()  # exact: 1
    chance = np.sqrt((1 + 1 / 12) ** 7 - 1) / np.sqrt(4000)  # standard error of as many independent points
    assert abs(value - 1.0) < chance / 5


def test_the_generator_is_the_published_one():
    """Philox4x64-10 of Salmon et al. 2011 (SC11): known answer for counter 0 and key 0 of the test vectors
    that its authors publish with Random123."""
    last = np.random.Philox(counter=2**256 - 1, key=0)  # numpy counts before it draws
    words = last.random_raw(4)
    assert [f"{word:016x}" for word in words] == [
        "16554d9eca36314c",
        "db20fe9d672d0fdc",
        "d7e772cee186176b",
        "7e68b68aec7ba23b",
    ]


def test_a_draw_does_not_depend_on_how_many_follow():
    few = faults.draw_faults("plugged", 50, NOZZLES, NODES, pump=True, sheet=True, judgement=FaultPriors())
    many = drawn("plugged")
    for name in ("coefficient", "left", "bore", "supply"):
        assert np.array_equal(getattr(few, name), getattr(many, name)[..., :50]), name


@pytest.mark.parametrize("sheet", [True, False])
def test_a_sound_line_strays_as_stated(sheet):
    """Log deviations of mean nozzle, bore, pump flow and supply, and of nozzle to nozzle: judgement, no
    source. A standard deviation of 2,000 evenly spread draws is within 2 % of that of all."""
    sound = drawn("sound", sheet=sheet)
    wanted = (0.02, 0.01, 0.03, 0.03) if sheet else (0.06, 0.02, 0.08, 0.10)
    mean = np.log(sound.coefficient).mean(axis=0)
    each = np.log(sound.coefficient) - mean
    assert np.log(sound.bore).std() == pytest.approx(wanted[1], rel=0.02)
    assert np.log(sound.pump).std() == pytest.approx(wanted[2], rel=0.02)
    assert np.log(sound.supply).std() == pytest.approx(wanted[3], rel=0.02)
    # Lines' spreads are log-normal about 3 %, of which the mean square is exp(2 x 0.4^2) times that of 3 %;
    # 2,000 of them give it to 1 %.
    spread = 0.03 * np.exp(0.4**2)
    assert mean.std() == pytest.approx(np.hypot(wanted[0], spread / np.sqrt(NOZZLES)), rel=0.03)
    assert each.std() == pytest.approx(spread * np.sqrt(1 - 1 / NOZZLES), rel=0.03)
    # The logarithm of a deviation taken of n has the variance trigamma((n - 1) / 2) / 4 of its own.
    own = np.sqrt(polygamma(1, (NOZZLES - 1) / 2)) / 2
    assert np.log(each.std(axis=0)).std() == pytest.approx(np.hypot(0.4, own), rel=0.05)
    assert not sound.leak.any() and not sound.drain.any() and (sound.feed == 1.0).all()


def test_a_nozzle_read_into_a_cup_strays_by_what_the_cup_missed():
    known = drawn("sound", cups={3: 0.01})
    same = drawn("sound", cups={3: 0.0, 5: 0.0}).coefficient
    assert np.array_equal(same[3], same[5])
    alone = np.log(known.coefficient[3] / same[3])
    assert alone.std() == pytest.approx(0.01, rel=0.05)  # 2,000 draws know a deviation to 1.6 %


def test_each_fault_keeps_to_its_range_and_fills_it():
    """Ranges: judgement, no source."""

    def spans(values, low, high):
        room = 0.01 * (high - low)
        assert low <= values.min() <= low + room and high - room <= values.max() <= high

    plugged = drawn("plugged")
    number = (plugged.left < 1.0).sum(axis=0)
    assert np.array_equal(number, plugged.extent) and set(number) == set(range(1, 9))
    hit = plugged.left[plugged.left < 1.0]
    assert np.mean(hit == 0.0) == pytest.approx(0.7, abs=3 * np.sqrt(0.21 / hit.size))
    spans(hit[hit > 0.0], 0.2, 0.7)
    spans(drawn("worn").extent, 1.05, 1.40)
    leak = drawn("leak")
    spans(leak.leak, 0.01, 0.20)
    assert np.median(leak.leak) == pytest.approx(np.sqrt(0.01 * 0.20), rel=0.02)  # log-uniform
    assert set(leak.leak_at) == set(range(NODES))
    spans(drawn("feed").feed, 0.45, 0.75)
    starved = drawn("inlet")
    spans(starved.extent, 0.30, 0.95)
    spans(starved.inlet, 0.0, 1.2e5)
    spans(drawn("inlet", pump=False).loss, 5.0, 200.0)
    held = drawn("regulator").extent
    spans(held[held < 1.0], 0.64, 0.94)
    spans(held[held > 1.0], 1.04, 1.22)
    spans(drawn("drain").drain, 0.15, 1.50)
    spans(drawn("pump").extent, 0.30, 0.95)
    scaled = drawn("scaled")
    spans(scaled.extent, 0.50, 0.92)
    sound = drawn("scaled", judgement=dataclasses.replace(FaultPriors(), scaled=(0.0, 0.0)))
    less = (1.0 - scaled.coefficient / sound.coefficient) / (1.0 - scaled.extent)  # nozzle by nozzle
    spans(less, 0.7, 1.3)
    assert (scaled.left == 1.0).all()  # no nozzle mists less than its neighbors do
    worn = drawn("part-worn")
    sound = drawn("part-worn", judgement=dataclasses.replace(FaultPriors(), part_worn_by=(0.0, 0.0)))
    more = worn.coefficient / sound.coefficient
    number = (more > 1.0 + 1e-9).sum(axis=0)
    assert number.min() == 1 and number.max() == 6  # 10 to 50 % of 12
    spans(more[more > 1.0 + 1e-9], 1.10, 1.60)


def test_any_nozzle_is_plugged_as_often_as_another():
    hits = (drawn("plugged").left < 1.0).sum(axis=1)
    share = 4.5 / NOZZLES  # mean number over nozzles
    assert np.abs(hits / COUNT - share).max() < 4 * np.sqrt(share * (1 - share) / COUNT)


def test_a_short_line_has_no_more_plugs_than_nozzles():
    tiny = faults.draw_faults("plugged", 300, 3, 4, pump=True, sheet=True, judgement=FaultPriors())
    assert set(tiny.extent) == {1.0, 2.0, 3.0}


def test_a_line_on_the_main_has_no_pump_to_stray():
    for cause in CAUSES:
        if cause != "pump":
            assert (drawn(cause, pump=False).pump == 1.0).all()
