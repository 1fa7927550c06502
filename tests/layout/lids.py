"""Lids written in inches or millimetres, the way the tape says them."""

from __future__ import annotations

from typing import Literal

from mistcalc.model.project import (
    Datum,
    EdgeBeam,
    End,
    FixedMark,
    Framing,
    Joint,
    MarkRules,
    Obstacle,
    ObstacleKind,
    Patio,
    Plaster,
    Run,
)

EndKind = Literal["wall", "open", "corner"]

IN = 0.0254
FT = 12 * IN
MM = 0.001
BARE = Framing("across", 1.5 * IN, 9.25 * IN)


def feet(text: str) -> float:
    """'6-3.25' is 6 ft 3.25 in, in inches."""
    whole, inches = text.split("-")
    return 12 * float(whole) + float(inches)


def joists(first: float, spacing: float, covers_corner: bool = False) -> Framing:
    return Framing(
        "across", 1.5 * IN, 9.25 * IN, spacing=spacing * IN, first=first * IN, covers_corner=covers_corner
    )


def rules(**changed: float) -> MarkRules:
    """24 in; 18 to 36; wall 24; hole 1; clear 3/4; joints 3; eighths. Values in inches."""
    values = {
        "pitch": 24, "closest": 18, "widest": 36, "from_wall": 24, "hole": 1, "clear_of_members": 0.75,
        "clear_of_joints": 3, "grid": 0.125,
    } | changed  # fmt: skip
    return MarkRules(**{name: value * IN for name, value in values.items()})


def run(
    name: str,
    length: float,
    ends: tuple[EndKind, EndKind] = ("wall", "wall"),
    corner: Literal["inside", "outside"] | None = None,
    datum: End = "start",
    framing: Framing = BARE,
    joints: tuple[tuple[str, float], ...] = (),
    fixed: tuple[FixedMark, ...] = (),
) -> Run:
    """Length and joints in inches; a joint named B... is on blocking."""
    return Run(
        name, length * IN, *ends, corner, Datum(datum, "face of framing"), framing,
        tuple(Joint(n, a * IN, "blocking" if n[0] == "B" else "member") for n, a in joints), fixed,
    )  # fmt: skip


def thing(
    name: str, kind: ObstacleKind, on: str, along: float, back: float, size: float | tuple[float, float],
    clearance: float = 0.0,
) -> Obstacle:  # fmt: skip
    """Along, back, size and clearance in inches."""
    wide, deep = (size, size) if isinstance(size, int | float) else size
    return Obstacle(name, kind, on, along * IN, back * IN, (wide * IN, deep * IN), clearance * IN)


def patio(
    runs: tuple[Run, ...],
    obstacles: tuple[Obstacle, ...] = (),
    marks: MarkRules | None = None,
    depth: float = 156,
    line: float = 6,
    beam: float = 3.5,
) -> Patio:
    return Patio(
        "court", 120 * IN, depth * IN, line * IN, EdgeBeam(beam * IN, 0.0),
        Plaster("three-coat", 0.875 * IN, 0.0, 0.5 * IN, 0.25 * IN), marks or rules(), runs, obstacles,
    )  # fmt: skip


def courtyard() -> Patio:
    """The invented courtyard house of the demo: 38 ft + 21 ft round a court, 13 ft deep."""
    a = run(
        "A", 456, ("wall", "corner"), "inside", "start", joists(15.25, 16, covers_corner=True),
        (
            ("J1", 79.25), ("J2", 159.25), ("J3", 239.25), ("J4", 319.25), ("J5", 399.25),
            ("J6", 479.25), ("J7", 543.25),
        ),
    )  # fmt: skip
    b = run(
        "B", 252, ("corner", "wall"), None, "end", joists(15.25, 16),
        (("BJ9", 87.25), ("BJ10", 167.25), ("J8", 252)),
    )  # fmt: skip
    lights = {"L1": ("A", 39.25), "L3": ("A", 279.25), "L4": ("A", 439.25), "L5": ("A", 507.5),
              "L6": ("B", 203.5), "L7": ("B", 43.5)}  # fmt: skip
    things = [thing(n, "light", r, at, 78, 6, 36) for n, (r, at) in lights.items()]
    things += [
        thing("L2", "light", "A", 199.25, 27, 6, 36),
        thing("Fan 1", "fan", "A", 119.25, 78, 60, 24),
        thing("Fan 2", "fan", "A", 359.25, 78, 60, 24),
        thing("Post", "column", "A", 239.25, 2.75, 5.5, 3),
        thing("Slider", "door glass", "A", 273, 156, (144, 0), 36),
        thing("Grill", "grill", "B", 126, 141, (48, 28), 60),
    ]
    return patio((a, b), tuple(things))


def along_in(layout, name: str) -> list[float]:
    """Where the marks of a run are, in inches."""
    return [round(m.along / IN, 6) for m in layout.marks if m.run == name]
