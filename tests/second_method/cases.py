"""The cases, and which of them may be looked at while rules are written.

A case's name says it all: shape, height of the house [m], wind at 1.5 m over open ground [m/s], where it
blows to [degrees from square onto the first open edge, turning toward +x], air. Which are held back was
fixed before the first run: of FIRST every third of each shape's cases, in the order written, beginning with
its second. Those were compared once and are looked at since, for four of them led to rules being mended.
All of SECOND, written before that and before any of it was run, was compared once when the mended rules
stood; it is looked at since. THIRD likewise: written before a rule was touched again or any of it was run.
FOURTH likewise, for winds that slant: held back until the rules mended for THIRD's misses stand.
"""

from __future__ import annotations

from dataclasses import dataclass

AIRS = {"dry": (313.15, 0.15), "humid": (306.15, 0.60)}  # K, relative humidity


@dataclass(frozen=True)
class Case:
    shape: str
    house: float
    wind: float
    toward: float
    air: str = "dry"

    @property
    def name(self) -> str:
        wind = f"w{self.wind:g}-to{self.toward:g}" if self.wind else "calm"
        return f"{self.shape}-h{self.house:g}-{wind}-{self.air}"

    @property
    def lot(self) -> str:
        """`looked-at`, `held-back` (the first time), `second`, `third` or `fourth`."""
        for lot, cases in (("second", SECOND), ("third", THIRD), ("fourth", FOURTH)):
            if self in cases:
                return lot
        same = [case.name for case in FIRST if case.shape == self.shape]
        return "held-back" if same.index(self.name) % 3 == 1 else "looked-at"


FIRST = tuple(
    Case(*row)
    for row in (
        ("straight", 3, 1, 180), ("straight", 3, 1, 45), ("straight", 3, 1, 90), ("straight", 3, 1, 0),
        ("straight", 3, 1, 135), ("straight", 3, 0.3, 180), ("straight", 3, 0, 0), ("straight", 3, 0.3, 90),
        ("straight", 3, 0.3, 0), ("straight", 3, 2, 180), ("straight", 3, 2, 0), ("straight", 3, 2, 45),
        ("straight", 3, 1, 180, "humid"), ("straight", 3, 1, 0, "humid"), ("straight", 3, 0, 0, "humid"),
        ("straight", 3, 0.3, 135, "humid"), ("straight", 4, 1, 180), ("straight", 4, 1, 0),
        ("straight", 6, 1, 180), ("straight", 6, 0.3, 180), ("straight", 6, 2, 45), ("straight", 6, 1, 0),
        ("straight", 4, 1, 90), ("straight", 6, 2, 135),
        ("deep", 3, 1, 180), ("deep", 3, 0, 0), ("deep", 3, 1, 0), ("deep", 3, 0.3, 45), ("deep", 4, 2, 90),
        ("deep", 3, 1, 135, "humid"),
        ("shallow", 3, 1, 180), ("shallow", 3, 2, 135), ("shallow", 3, 1, 90), ("shallow", 6, 0.3, 0),
        ("court", 3, 1, 45), ("court", 3, 1, 0), ("court", 3, 1, 225), ("court", 3, 0.3, 225),
        ("court", 3, 0, 0), ("court", 3, 1, 135), ("court", 6, 2, 180), ("court", 3, 1, 45, "humid"),
        ("corner", 3, 1, 0), ("corner", 3, 1, 90), ("corner", 3, 1, 270), ("corner", 3, 0.3, 180),
        ("corner", 6, 2, 315), ("corner", 3, 0, 0, "humid"),
        ("passage", 3, 1, 0), ("passage", 3, 0.3, 45), ("passage", 3, 1, 90), ("passage", 3, 0, 0),
        ("passage", 3, 2, 45, "humid"),
    )
)  # fmt: skip

SECOND = tuple(
    Case(*row)
    for row in (
        ("court", 3, 1, 20), ("court", 6, 0.5, 90), ("corner", 6, 1, 90), ("corner", 3, 1, 60, "humid"),
        ("corner", 3, 0.5, 120), ("passage", 3, 1, 20), ("lane", 3, 1, 45), ("gate", 3, 0.5, 60),
        ("straight", 3, 0.5, 90), ("straight", 4, 0.3, 75), ("yard", 3, 1, 90), ("yard", 3, 0.3, 270),
        ("deep", 6, 1, 180),
    )
)  # fmt: skip

THIRD = tuple(
    Case(*row)
    for row in (
        ("court", 3, 1, 30), ("long", 3, 1, 30), ("walled", 3, 1, 45), ("recess", 3, 1, 20),
        ("wrap", 3, 1, 45),
        ("straight", 3, 2, 150), ("corner", 3, 2, 30, "humid"), ("gate", 3, 2, 30),
        ("straight", 4, 0.3, 60, "humid"), ("court", 3, 0.3, 60), ("walled", 3, 0.5, 200),
        ("wrap", 3, 0.5, 110, "humid"),
    )
)  # fmt: skip

FOURTH = tuple(
    Case(*row)
    for row in (
        ("straight", 6, 1.5, 120), ("long", 3, 2, 145), ("passage", 4, 1.5, 30), ("gate", 3, 1, 45),
        ("corner", 3, 1.5, 45), ("walled", 4, 2, 30), ("recess", 3, 2, 50), ("wrap", 3, 1, 130),
        ("yard", 4, 1, 40),
        ("corner", 4, 0.5, 30), ("deep", 3, 0.3, 150, "humid"), ("recess", 3, 0, 0),
    )
)  # fmt: skip
CASES = FIRST + SECOND + THIRD + FOURTH
TABLES = {
    "looked-at": "results.csv",
    "held-back": "held_back.csv",
    "second": "held_back_second.csv",
    "third": "held_back_third.csv",
    "fourth": "held_back_fourth.csv",
}

# Repeated to see what the mesh and the model of turbulence do to the figures.
REPEATED = (
    "straight-h3-w1-to180-dry", "straight-h3-w1-to90-dry", "straight-h3-w0.3-to0-dry", "straight-h3-calm-dry",
    "straight-h6-w1-to180-dry", "deep-h3-w1-to0-dry", "court-h3-w1-to45-dry", "corner-h3-w1-to270-dry",
)  # fmt: skip
CELL, FINE = 0.25, 0.125  # m
MODEL, OTHER_MODEL = "kEpsilon", "kOmegaSST"
