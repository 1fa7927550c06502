"""For other programs: fields of a noun under their own names with the unit behind them, and ranges."""

from __future__ import annotations

import re

POINTS = ("p10", "p50", "p90")
_UNIT = re.compile(r"_(m3_s|m3|m_s|m|Pa_m3|Pa_K|Pa|kg_m3|kg_s|kg|1_K|K|rad|s|h|W|V|A|J)$")


def told(noun: object, keys: str) -> dict[str, object]:
    """The fields that these keys name, in their order: "along_m" is `along`, "now=along_m" is `now`."""
    fields = (key.rpartition("=") for key in keys.split())
    return {key: getattr(noun, field or _UNIT.sub("", key)) for field, _, key in fields}


def percentiles(band: tuple[float, ...]) -> dict[str, float]:
    """A range by the names of its points."""
    return dict(zip(POINTS, band, strict=True))
