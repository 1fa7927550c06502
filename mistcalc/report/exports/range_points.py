"""Low, middle and high of a range, as other programs read them."""

from __future__ import annotations

POINTS = ("p10", "p50", "p90")


def percentiles(band: tuple[float, ...]) -> dict[str, float]:
    """A range by the names of its points."""
    return dict(zip(POINTS, band, strict=True))
