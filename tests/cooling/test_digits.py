"""The same digits on every machine: a few outputs pinned, and asked again of a plainer processor.

Pinned numbers were printed by this code. They guard against change and against machines that disagree; they
validate nothing. What could break them: numpy's exp, log and power have several makings, chosen by the
processor's instructions, which differ in the last digit; so do sums by a BLAS (none is used in the plume or
the balance) and compilers that fuse multiply and add. The answers amplify such differences by far less than
the million that 1e-9 allows, for nothing jumps: shares are linear where a plume meets an edge, and draws that
agree to nine digits share their rank.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys

import numpy as np
import pytest

from mistcalc.cooling import balance, unknowns
from mistcalc.cooling.place_air import PlaceAir
from tests.cooling.test_balance import case

WEATHERS = {"desert": (40.0, 0.15), "humid": (33.0, 0.60)}


def outputs() -> dict[str, list[float]]:
    """Drop of the mean air and at the seats [K], evaporated and carried, flow [m3/s]: draws 0, 7, 19."""
    told = {}
    for name, weather in WEATHERS.items():
        u = unknowns.draws(40)
        c = case(*weather, u, np.array([[0.1, 0.8]]))
        found = balance.solve_balance(c)
        seats = PlaceAir(c, found).found().drop["seats"]
        mixed = c.outdoors.temperature - found.patio.temperature
        few = [
            np.asarray(x)[[0, 7, 19]]
            for x in (mixed, seats, found.evaporated, found.carried, found.patio.flow)
        ]
        told[name] = np.concatenate([x.ravel() for x in few]).tolist()
        told[f"{name} drivers"] = sorted(share for _, share in unknowns.shares(u, seats[:, 0]))
    return told


# Draw 0 at 0.1 and 0.8 m/s, draws 7 and 19 likewise; 40 degC at 15 % and 33 degC at 60 %.
PINNED = {
    "desert": {
        "mixed": [5.304553588042097, 2.9908739087094887, 6.892706132664898, 5.196516776241481],
        "seats": [5.226555514098436, 2.0031173537567497, 9.60384162662308, 4.800366621799299],
        "evaporated": [0.9683587316856626, 1.0, 0.8744890017257432, 1.0],
    },
    "humid": {
        "mixed": [3.0234352129945137, 2.837709409279057, 4.00123883141265, 4.496087822146819],
        "seats": [2.848569743192172, 1.9002005901600683, 5.465499501162753, 4.139724090699531],
        "evaporated": [0.40292894502410626, 0.978181275672395, 0.38143054817451216, 0.8889962598553925],
    },
}


def test_the_same_digits_as_ever():
    """1e-9 of each: what machines may differ by. A change of the equations is meant to fail this."""
    found = outputs()
    for name, few in PINNED.items():
        start = 0
        for values in few.values():
            assert found[name][start : start + 4] == pytest.approx(values, rel=1e-9)
            start += 6


@pytest.mark.thorough
def test_a_plainer_processor_gives_the_same_digits():
    """numpy without any of its optional instructions, and a BLAS for an old processor: 1e-9."""
    dispatch = np._core._multiarray_umath.__cpu_dispatch__  # type: ignore[attr-defined]
    plain = {
        **os.environ,
        "NPY_DISABLE_CPU_FEATURES": " ".join(dispatch),
        "OPENBLAS_CORETYPE": "Prescott",
        "OPENBLAS_NUM_THREADS": "1",
    }
    told = subprocess.run(
        [sys.executable, "-W", "ignore", "-m", "tests.cooling.test_digits"],
        env=plain, capture_output=True, text=True, check=True,
    )  # fmt: skip
    theirs, ours = json.loads(told.stdout), outputs()
    for name, values in ours.items():
        assert theirs[name] == pytest.approx(values, rel=1e-9, abs=1e-12), name


if __name__ == "__main__":
    print(json.dumps(outputs()))
