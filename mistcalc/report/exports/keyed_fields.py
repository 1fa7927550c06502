"""Fields of a noun under the keys they have in plan.json: their own names, with the unit behind them."""

from __future__ import annotations

import re

_UNIT = re.compile(r"_(m3_s|m3|m_s|m|Pa_m3|Pa_K|Pa|kg_m3|kg_s|kg|1_K|K|rad|s|h|W|V|A|J)$")


def told(noun: object, keys: str) -> dict[str, object]:
    """The fields that these keys name, in their order: "along_m" is `along`, "now=along_m" is `now`."""
    fields = (key.rpartition("=") for key in keys.split())
    return {key: getattr(noun, field or _UNIT.sub("", key)) for field, _, key in fields}
