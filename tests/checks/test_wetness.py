"""Floors and faces in classes: each threshold from both sides, and the drying time worked by hand."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from mistcalc.checks import classify_wetness
from mistcalc.model.results import CoolingMap

GRAM_AN_HOUR = 1e-3 / 3600


def made(floor, face=0.0, depression=10.0, rate=100.0) -> CoolingMap:
    """A lid of two by one cells; water in g/m2h."""
    flat = np.full((1, 2), 0.0)
    return CoolingMap(
        patio="Test porch", afternoon="hot", x=np.array([0.1, 0.3]), y=np.array([0.1]),
        inside=np.ones((1, 2), dtype=bool), heights=(1.1,), baseline=310.0, drop=flat[None],
        depression=flat[None] + depression, face_water=flat[None] + np.asarray(face) * GRAM_AN_HOUR,
        floor_water=flat + np.asarray(floor) * GRAM_AN_HOUR, scale_water=flat, film_rate=rate * GRAM_AN_HOUR,
        seats=(), seat_drop=np.zeros((1, 0)), mean_drop=(0.0,), patio_drop=0.0, landed=0.0, landed_beyond=0.0,
        wind=0.5, toward=0.0, wind_known=True, water_flow=0.001, key="k",
    )  # fmt: skip


def test_floor_classes_about_each_threshold():
    assert classify_wetness(made([9.9, 10.1])).floor.tolist() == [[0, 1]]
    assert classify_wetness(made([99.0, 101.0])).floor.tolist() == [[1, 2]]
    assert classify_wetness(made([0.0, 0.0], rate=0.0)).floor.tolist() == [[0, 0]]


def test_drying_time_by_hand():
    """150 g/m2h on a floor that gives back 100: 50 g/m2 gathered in the hour, gone in half an hour; a damp
    floor's 20 g/m2 in 12 minutes; a floor under rain holds 500 g/m2, gone in five hours."""
    assert classify_wetness(made([150.0, 50.0])).drying == pytest.approx(np.array([[1800.0, 720.0]]))
    assert classify_wetness(made([0.0, 9000.0])).drying == pytest.approx(np.array([[0.0, 18000.0]]))


def test_saturated_air_never_dries_and_dry_stays_dry():
    judged = classify_wetness(made([0.0, 5.0], rate=0.0))
    assert judged.floor.tolist() == [[0, 2]]
    assert judged.drying.tolist() == [[0.0, np.inf]]


def test_a_floor_that_takes_over_a_day_is_not_given_hours():
    """500 g/m2 at 21 g/m2h: 23.8 h; at 20: 25 h."""
    assert classify_wetness(made([9000.0, 0.0], rate=21.0)).drying[0, 0] == pytest.approx(500 / 21 * 3600)
    assert classify_wetness(made([9000.0, 0.0], rate=20.0)).drying[0, 0] == np.inf


def test_face_classes_scale_with_the_depression():
    assert classify_wetness(made([0.0, 0.0], face=[149.0, 151.0])).face.tolist() == [[[0, 1]]]
    assert classify_wetness(made([0.0, 0.0], face=[449.0, 451.0])).face.tolist() == [[[1, 2]]]
    assert classify_wetness(made([0.0, 0.0], face=[449.0, 451.0], depression=40.0)).face.tolist() == [
        [[0, 0]]
    ]
    assert classify_wetness(made([0.0, 0.0], face=[0.0, 1.0], depression=0.0)).face.tolist() == [[[0, 2]]]


def test_bears_its_pictures_key():
    one = made([1.0, 2.0])
    assert classify_wetness(one).key == "k"
    assert classify_wetness(one) != classify_wetness(dataclasses.replace(one, key="other"))
