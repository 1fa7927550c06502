"""What the tape reads at every step a hand can move to, for scripts of a browser to look up: no length is
spelled there.

Stretches of a foot or a meter read alike but for how they begin ("3'-", "1"), so each is sent as its
beginning and the number of its list of endings, and a list that several stretches share is sent once.
"""

from __future__ import annotations

import math
from functools import lru_cache
from itertools import takewhile
from typing import Any

from mistcalc.units.read import parse
from mistcalc.units.table import System
from mistcalc.units.write import tape

STRETCH: dict[System, float] = {"us": parse("1 ft", "length"), "metric": 1.0}  # m


@lru_cache(maxsize=16)
def tape_texts(low: float, high: float, grid: float, units: System) -> dict[str, Any]:
    """{"steps": steps a stretch, "first": number of the first stretch, "stretches": [[beginning, list]],
    "endings": lists}. Step n of `grid` [m] lies in stretch floor(n / steps). low, high: m along the tape."""
    steps = max(1, round(STRETCH[units] / grid))
    first, last = (math.floor(round(end / grid) / steps) for end in (low, high))
    endings: dict[tuple[str, ...], int] = {}
    stretches = []
    for number in range(first, last + 1):
        texts = [tape(n * grid, units) for n in range(number * steps, (number + 1) * steps)]
        low_text, high_text = min(texts), max(texts)  # what these two share all share
        alike = (a == b for a, b in zip(low_text, high_text, strict=False))
        begin = low_text[: sum(takewhile(bool, alike))]
        rest = tuple(text[len(begin) :] for text in texts)
        stretches.append([begin, endings.setdefault(rest, len(endings))])
    return {"steps": steps, "first": first, "stretches": stretches, "endings": [list(e) for e in endings]}
