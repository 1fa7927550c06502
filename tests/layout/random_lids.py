"""Lids of many shapes, drawn from a seed: what a builder might bring, and some he would not."""

from __future__ import annotations

import random
from typing import Literal

from mistcalc.model.project import Framing, ObstacleKind, Patio
from tests.layout.lids import IN, EndKind, patio, rules, run, thing

SHAPES = ("single", "inside", "outside", "u-inside", "u-outside")
SIZES: dict[ObstacleKind, tuple[float, float]] = {
    "light": (6, 6), "fan": (52, 52), "speaker": (9, 9), "vent": (12, 12), "heater": (40, 8),
    "column": (5.5, 5.5), "outlet": (4, 4), "grill": (48, 28), "beam": (5.5, 60),
}  # fmt: skip
CLEAR: dict[ObstacleKind, float] = {"light": 36, "fan": 24, "heater": 36, "column": 3, "grill": 60}


def eighths(draw: random.Random, low: float, high: float) -> float:
    return draw.randint(round(low * 8), round(high * 8)) / 8


def framing(draw: random.Random, length: float, covers: bool) -> Framing:
    spacing = draw.choice((12, 16, 19.25, 24))
    first = eighths(draw, 4, spacing)
    if draw.random() < 0.3:  # as framed: each within 3/4 in of where it was drawn
        count = int((length - first) / spacing) + 1
        centres = tuple((first + k * spacing + eighths(draw, -0.75, 0.75)) * IN for k in range(count))
        return Framing("across", 1.5 * IN, 9.25 * IN, centres=centres, covers_corner=covers)
    lies: Literal["across", "along"] = "along" if draw.random() < 0.1 else "across"
    return Framing(lies, 1.5 * IN, 9.25 * IN, spacing=spacing * IN, first=first * IN, covers_corner=covers)


def lid(seed: int) -> Patio:
    draw = random.Random(seed)
    shape = SHAPES[seed % len(SHAPES)]
    count = {"single": 1, "inside": 2, "outside": 2}.get(shape, 3)
    corner: Literal["inside", "outside"] = "inside" if "inside" in shape else "outside"
    depth = eighths(draw, 72, 180)
    least = 2 * depth + 24 if shape == "u-outside" else depth + 24 if shape == "outside" else 60
    runs = []
    for n in range(count):
        length = eighths(draw, least, max(least + 120, 600))
        ends: tuple[EndKind, EndKind] = (
            "corner" if n else draw.choice(("wall", "open")),
            "corner" if n < count - 1 else draw.choice(("wall", "open")),
        )
        joints: tuple[tuple[str, float], ...] = ()
        if draw.random() < 0.5:
            step = eighths(draw, 80, 130)
            joints = tuple((f"B{n}{k}", k * step) for k in range(1, int(length / step) + 1))
        runs.append(
            run(
                "ABC"[n], length, ends, corner if n < count - 1 else None, draw.choice(("start", "end")),
                framing(draw, length, draw.random() < 0.5), joints,
            )
        )  # fmt: skip
    things = []
    for k in range(draw.randint(0, 8)):
        on = draw.choice(runs)
        kind = draw.choice(tuple(SIZES))
        along = eighths(draw, 6, on.length / IN - 6)
        back = (
            eighths(draw, 3, 12) if draw.random() < 0.25 and kind != "fan" else eighths(draw, 12, depth - 6)
        )
        things.append(thing(f"{kind} {k}", kind, on.name, along, back, SIZES[kind], CLEAR.get(kind, 0)))
    line = draw.choice((5, 6, 8, 10))
    pitch = draw.choice((20, 24, 24, 24, 27, 30))
    return patio(tuple(runs), tuple(things), rules(pitch=pitch), depth, line, draw.choice((0, 1.5, 3.5)))
