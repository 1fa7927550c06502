"""The draws: inside their bands, evenly spread, the same on every machine."""

import dataclasses

import numpy as np
import pytest

from mistcalc.cooling import balance_inputs, unknowns
from tests.builders import plumbing


def test_draws_fill_every_band_evenly():
    columns = unknowns.draws().columns()
    assert set(columns) == set(unknowns.BANDS)
    for name, column in columns.items():
        band = unknowns.BANDS[name]
        assert column.shape == (unknowns.DRAWS, 1)
        unit = (column[:, 0] - band.low) / (band.high - band.low)
        assert unit.min() >= 0 and unit.max() <= 1
        # A low-discrepancy set leaves no tenth of a band empty or crowded (20 expected of 200).
        assert np.histogram(unit, bins=10, range=(0, 1))[0].min() >= 14, name


def test_no_two_unknowns_move_together():
    columns = np.column_stack([c[:, 0] for c in unknowns.draws().columns().values()])
    together = np.corrcoef(columns.T) - np.eye(columns.shape[1])
    # 200 independent random draws would reach 0.2 among 91 pairs (three standard errors of 0.07).
    assert np.abs(together).max() < 0.2


def test_first_points_of_the_sequence():
    """Van der Corput in base 2 has no digit to turn (2 - 1 = 1): 1/2, 1/4, 3/4. In base 3 the digits 1 and 2
    change places: 2/3, 1/3, 2/9, 8/9, 5/9 (Vandewoestyne & Cools 2006, definition of the sequence)."""
    points = unknowns.halton(5, 2, leap=1)
    assert points[:3, 0] == pytest.approx([1 / 2, 1 / 4, 3 / 4])
    assert points[:, 1] == pytest.approx([2 / 3, 1 / 3, 2 / 9, 8 / 9, 5 / 9])


def test_shares_name_what_really_drives():
    u = unknowns.draws()
    answer = 3 * u.wind[:, 0] - 1 * u.place[:, 0]
    (first, share), (second, _), *rest = unknowns.shares(u, answer)
    assert (first, second) == ("wind", "place")
    assert share > 0.8 and sum(s for _, s in rest) < 0.02
    assert unknowns.shares(u, np.zeros(200)) == ()


def test_middle_is_one_draw():
    assert {c.shape for c in unknowns.central_values().columns().values()} == {(1, 1)}


def test_an_unstated_drop_size_has_the_wider_band_of_its_correlation():
    """Stated: x 0.74 to 1.48. Unstated: 1 to 2.5 times the correlation. The same draw is the largest."""
    stated = plumbing().nozzle
    u = unknowns.draws()
    even = dataclasses.replace(u, drop_spread=0 * u.drop_spread)
    told = balance_inputs.drop_size(stated, stated.at, even)
    silent = dataclasses.replace(stated, drop_median=None)
    guessed = balance_inputs.drop_size(silent, stated.at, even)
    assert told.shape == guessed.shape == (unknowns.DRAWS, 1)
    assert told.argmax() == guessed.argmax()
    # 200 draws come within 1 % of the ends of a band
    assert told.max() / told.min() == pytest.approx(2.0, rel=0.02)
    assert guessed.max() / guessed.min() == pytest.approx(2.5, rel=0.02)
    assert guessed.min() < stated.drop_median < guessed.max()  # 27 um, a usual nozzle at 1,000 psi


def test_draws_that_agree_share_their_rank():
    """Twelve digits apart is rounding, not an order: two machines would rank it differently."""
    noise = 1e-12 * np.where(np.arange(200) % 2, 1.0, -1.0)
    answer = np.where(np.arange(200) < 150, 5.0, 3.0)
    assert np.array_equal(unknowns._ranks(answer + noise), unknowns._ranks(answer))
    assert unknowns._ranks(answer).sum() == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("hours", [1, 6, 21, 199, 200, 201, 610])
def test_every_hour_is_dealt_as_often_as_any_within_one(hours):
    dealt = np.bincount(unknowns.hour_of_draw(200, hours), minlength=hours)
    assert dealt.sum() == 200 and len(dealt) == hours
    assert dealt.max() - dealt.min() <= 1
    if hours > 200:  # those passed over lie evenly between the others
        assert np.diff(np.flatnonzero(dealt)).max() <= np.ceil(hours / 200)


def test_the_hour_of_a_draw_goes_with_no_unknown():
    columns = [column[:, 0] for column in unknowns.draws().columns().values()]
    place = unknowns.hour_of_draw(200, 200)
    # 200 independent draws would reach 0.2 among 16 pairs about once in ten
    assert max(abs(np.corrcoef(place, column)[0, 1]) for column in columns) < 0.2


def test_the_day_s_weather_counts_as_one():
    """An answer of two things an hour brings and one unknown, in parts whose variances are 2, 1 and 1."""
    u = unknowns.draws()
    heat = np.linspace(-1, 1, 200)[unknowns.hour_of_draw(200, 200)]
    wind = np.linspace(-1, 1, 200)[(unknowns.hour_of_draw(200, 200) * 71) % 200]
    half = (unknowns.BANDS["place"].high - unknowns.BANDS["place"].low) / 2
    place = u.place[:, 0] / half
    told = dict(unknowns.shares(u, np.sqrt(2) * heat + wind + place, np.column_stack([heat, wind])))
    assert told["weather"] == pytest.approx(0.75, abs=0.06)
    assert told["place"] == pytest.approx(0.25, abs=0.06)
    assert sum(told.values()) == pytest.approx(1.0)
