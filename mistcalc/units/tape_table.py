"""What the tape reads at every step a hand can move to, for scripts of a browser to look up: no length is
spelled there.

Stretches of a foot or a meter read alike but for how they begin ("3'-", "1"), so each is sent as its
beginning and the number of its list of endings, and a list that several stretches share is sent once. A place
behind the datum reads as the one as far before it, with a minus sign.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import takewhile
from typing import Any

from mistcalc.units.read import parse
from mistcalc.units.table import System
from mistcalc.units.write import tape

STRETCH: dict[System, float] = {"us": parse("1 ft", "length"), "metric": 1.0}  # m


def tape_texts(
    high: float, grid: float, units: System, write: Callable[[float], str] | None = None
) -> dict[str, Any]:
    """{"steps": steps a stretch, "stretches": [[beginning, list]], "endings": lists}. Step n of `grid` [m]
    lies in stretch floor(n / steps). high: m along the tape, from its zero. write: how a length [m] is told;
    None: as `tape` does."""
    told = write or (lambda metres: tape(metres, units))
    steps = max(1, round(STRETCH[units] / grid))
    whole = abs(steps * grid - STRETCH[units]) < 1e-9  # all stretches but the first then end alike
    endings: dict[tuple[str, ...], int] = {}
    stretches: list[list[object]] = []
    last: tuple[str, ...] | None = None
    for number in range(math.floor(round(high / grid) / steps) + 1):
        if whole and last is not None and number > 1:
            begin = told(number * steps * grid).removesuffix(last[0])
        else:
            texts = [told(n * grid) for n in range(number * steps, (number + 1) * steps)]
            low_text, high_text = min(texts), max(texts)  # what these two share all share
            alike = (a == b for a, b in zip(low_text, high_text, strict=False))
            begin = low_text[: sum(takewhile(bool, alike))]
            last = tuple(text[len(begin) :] for text in texts)
        stretches.append([begin, endings.setdefault(last, len(endings))])
    return {"steps": steps, "stretches": stretches, "endings": [list(e) for e in endings]}
