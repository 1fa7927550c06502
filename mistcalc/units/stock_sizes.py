"""Sizes that bits, hole saws and pressure gauges are sold in, and volumes that a house meter shows."""

from __future__ import annotations

from fractions import Fraction

from mistcalc.units.table import GALLON, INCH, PSI, System

# Spade bits and hole saws: common practice, no source.
_SIXTEENTHS = (
    *range(4, 17),
    18,
    20,
    22,
    24,
    26,
    28,
    32,
    34,
    36,
    40,
    44,
    48,
    56,
    64,
)  # 1/4 to 1 in, then to 4 in
_MILLIMETRES = (
    6, 8, 10, 12, 14, 16, 18, 20, 22, 25, 28, 30, 32, 35, 38, 40, 44, 51, 57, 64, 70, 76, 83, 89, 102,
)  # fmt: skip
BITS: dict[System, tuple[float, ...]] = {
    "us": tuple(float(n * INCH / 16) for n in _SIXTEENTHS),
    "metric": tuple(n / 1000 for n in _MILLIMETRES),
}
_EXACT = 1e-6  # m: a bit of the very size will do


def drill_size_for(metres: float, system: System) -> float:
    """The smallest usual bit [m] that makes a hole of `metres` or more; past the largest, `metres` itself."""
    return next((bit for bit in BITS[system] if bit >= metres - _EXACT), metres)


def drill_size_text(metres: float, system: System) -> str:
    """A hole as its bit is marked: "1-1/16 in", "28 mm"; to the nearest sixteenth or millimetre."""
    if system == "metric":
        return f"{round(metres * 1000)} mm"
    whole, part = divmod(Fraction(round(metres / float(INCH) * 16), 16), 1)
    return "-".join(str(piece) for piece in (whole, part) if piece) + " in" if whole or part else "0 in"


# Full scales of gauges: psi by ASME B40.100, bar by EN 837-1, preferred ranges (from memory).
SCALES: dict[System, tuple[float, ...]] = {
    "us": tuple(
        float(psi * PSI)
        for psi in (15, 30, 60, 100, 160, 200, 300, 400, 600, 1000, 1500, 2000, 3000, 5000, 10000)
    ),
    "metric": tuple(bar * 1e5 for bar in (1, 1.6, 2.5, 4, 6, 10, 16, 25, 40, 60, 100, 160, 250, 400, 600)),
}
WORKS_TO = 0.75  # of its scale: a gauge is chosen to work at no more


def gauge_scale(pascal: float, system: System) -> float:
    """Full scale [Pa] of the smallest usual gauge for a working pressure; past them what it needs."""
    wanted = pascal / WORKS_TO
    return next((scale for scale in SCALES[system] if scale >= wanted * (1.0 - 1e-9)), wanted)


_PARTS = (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0)  # of a gallon or liter, as meters show them
WATCHED = 120.0  # s that anybody stands before a meter


def meter_volume(flow: float, system: System) -> float:
    """The largest of those volumes [m3] that a flow [m3/s] fills in two minutes; the least where none is."""
    unit_volume = float(GALLON) if system == "us" else 1e-3
    return next(
        (part * unit_volume for part in reversed(_PARTS) if part * unit_volume <= WATCHED * flow),
        _PARTS[0] * unit_volume,
    )
