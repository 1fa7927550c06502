"""What a fingerprint answers to: contents, and nothing of how they are called or printed."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import pytest

from mistcalc.model.content_digest import ADDED, fingerprint


@dataclass(frozen=True)
class Light:
    along: float
    name: str = "L1"


@dataclass(frozen=True, repr=False)
class RenamedLight:
    along: float
    name: str = "L1"


@dataclass(frozen=True)
class Year:
    key: str
    hours: np.ndarray = field(compare=False)


def test_a_class_renamed_or_printed_otherwise_keeps_its_fingerprint():
    assert fingerprint(Light(1.5)) == fingerprint(RenamedLight(1.5))


@pytest.mark.parametrize(
    "other",
    [
        (Light(1.5000000000000002),),
        (Light(1.5, "L2"),),
        (Light(1.5), None),
        ((Light(1.5),), ()),
        ({"along": 1.5},),
    ],
)
def test_anything_within_changes_it(other):
    assert fingerprint(*other) != fingerprint(Light(1.5))


def test_arrays_count_in_full_and_shape():
    long = np.zeros(5000)
    other = long.copy()
    other[2500] = 1e-300
    assert fingerprint(long) != fingerprint(other) != fingerprint(other.reshape(50, 100))
    assert fingerprint(other) == fingerprint(other[::-1][::-1])


def test_the_last_figures_of_a_computed_number_do_not_count():
    computed = np.array([293.15, -0.0, 0.0, 6.1e-9, np.nan, np.inf])
    assert fingerprint(
        np.nextafter(computed, np.inf, where=computed != 0, out=computed.copy())
    ) == fingerprint(computed)
    assert fingerprint(-computed * -1) == fingerprint(computed)
    assert fingerprint(computed * (1 + 1e-7)) != fingerprint(computed)


def test_a_record_with_a_key_is_known_by_it():
    assert (
        fingerprint(Year("a", np.zeros(3)))
        == fingerprint(Year("a", np.ones(3)))
        != fingerprint(Year("b", np.zeros(3)))
    )


@dataclass(frozen=True)
class LaterLight:
    along: float
    name: str = "L1"
    color: str = field(default="white", metadata=ADDED)
    lamps: tuple[int, ...] = field(default_factory=tuple, metadata=ADDED)


def test_a_field_added_later_counts_once_it_says_something():
    assert fingerprint(LaterLight(1.5)) == fingerprint(Light(1.5))
    assert fingerprint(LaterLight(1.5, color="red")) != fingerprint(Light(1.5))
    assert fingerprint(LaterLight(1.5, lamps=(1,))) != fingerprint(LaterLight(1.5))
