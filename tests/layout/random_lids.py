"""Lids of many shapes, drawn from a seed: what a builder might bring, and some he would not."""

from __future__ import annotations

import random
from dataclasses import replace
from typing import Literal

from mistcalc.model.project import FixedMark, Framing, ObstacleKind, Patio, Run
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


# ------------------------------------------------------------------ lids with slips in them

ALIKE = (("A", "A1", "A11", "A12"), ("B", "A", "A1", "A-"), ("North", "North 1", "North 11", "N"))


FIXED = ("A1", "A2", "A3", "A11", "A12", "A1-1", "A11-", "North 11", "North 1", "N1", "B1", "X2", *"FGHIJK")


def odd_lid(seed: int) -> Patio:
    """A lid of `lid` with what people get wrong: runs whose marks could share a name, fixed marks beside and
    upon each other, lists of joists with holes and doubles, a jog, a last run of inches."""
    draw = random.Random(seed)
    plain = lid(seed)
    runs = list(plain.runs)
    if draw.random() < 0.3:  # a jog of inches in the first run
        one = runs[0]
        turns: list[Literal["inside", "outside"]] = [draw.choice(("inside", "outside")) for _ in range(2)]
        jog = run("J", eighths(draw, 1, 30), ("corner", "corner"), turns[1], framing=one.framing)
        after = replace(
            one, name="K", starts_at="corner", joints=(),
            datum=replace(one.datum, end=draw.choice(("start", "end"))),
        )  # fmt: skip
        runs[:1] = [replace(one, ends_at="corner", corner=turns[0]), jog, after]
    if len(runs) > 1 and draw.random() < 0.3:
        runs[-1] = replace(runs[-1], length=eighths(draw, 1, 40) * IN, joints=())
    names = dict(zip((r.name for r in runs), draw.choice(ALIKE) + tuple("XYZ"), strict=False))
    taken: set[str] = set()  # the reader refuses one name for two fixed marks
    runs = [_odd_run(draw, replace(r, name=names[r.name]), taken) for r in runs]
    things = tuple(replace(o, run=names[o.run]) for o in plain.obstacles)
    return replace(plain, runs=tuple(runs), obstacles=things)


def _odd_run(draw: random.Random, one: Run, taken: set[str]) -> Run:
    centres = list(one.framing.centres)
    if len(centres) > 3 and draw.random() < 0.7:
        slip = draw.choice(("hole", "end", "double", "order", "beyond"))
        at = draw.randrange(1, len(centres) - 1)
        if slip == "hole":
            del centres[at : at + draw.randint(1, 4)]
        elif slip == "end":
            del centres[draw.randint(1, 4) :]
        elif slip == "double":
            centres.insert(at, centres[at] + draw.choice((0.0, 0.25, 1.5)) * IN)
        elif slip == "order":
            centres[at], centres[at + 1] = centres[at + 1], centres[at]
        else:
            centres.append(one.length + eighths(draw, 1, 600) * IN)
    fixed: list[FixedMark] = []
    for _ in range(draw.choice((0, 0, 1, 2, 3))):
        along = eighths(draw, 0, one.length / IN) * IN
        if fixed and draw.random() < 0.6:  # beside the one before
            along = fixed[-1].along + draw.choice((0.0, 1 / 32, 1 / 16, 1 / 8, 1, 17)) * IN
        name = draw.choice([n for n in FIXED if n not in taken])
        taken.add(name)
        fixed.append(FixedMark(name, along, draw.random() < 0.3))
    return replace(one, framing=replace(one.framing, centres=tuple(centres)), fixed=tuple(fixed))
