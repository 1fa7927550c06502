"""Patios for the comparison: what the other method meshes and what a project file says of the same patio.

Plan: x along the first open edge, y from it toward the house, z up. Everything lies on a grid of 1 m, so
that every mesh (0.25, 0.2, 0.125 m) meets it; the line hangs 0.15 m inside the edge, 0.1 m under the lid.
An invented house: no real one was measured for it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

Box = tuple[float, float, float, float]  # x from, y from, x to, y to

BEHIND_EDGE, BELOW_LID, PITCH = 0.15, 0.1, 0.6
PAST, DEEP = 3.0, 8.0  # m, the house past the lid's ends and behind its wall


@dataclass(frozen=True)
class Shape:
    lids: tuple[Box, ...]
    house: tuple[Box, ...]
    lines: tuple[tuple[tuple[float, float], tuple[float, float]], ...]  # tubes, start to end
    seats: dict[str, tuple[float, float]]
    depth: float
    runs: str  # the project's tables
    lid_height: float = 3.0
    extra: str = ""  # of the project's [[patio]]
    yard_walls: tuple[tuple[Box, float], ...] = ()  # as a box without thickness; how high [m]

    @property
    def bounds(self) -> Box:
        x0, y0, x1, y1 = zip(*self.lids, strict=True)
        return min(x0), min(y0), max(x1), max(y1)

    def on_run(self, seat: str) -> tuple[str, float, float]:
        """Where a project file has a seat: its run, how far along it, how far back from its edge."""
        (x, y), ((x0, y0), (_, y1)) = self.seats[seat], self.lines[-1]
        if not seat.startswith("B"):
            return "A", x, y
        inward = 1 if y1 < y0 else -1  # walked toward -y the house is at +x
        return "B", -inward * y, inward * x - inward * x0 + BEHIND_EDGE

    @property
    def nozzles(self) -> list[tuple[float, float, float]]:
        """At half a pitch from each line's ends."""
        places = []
        z = round(self.lid_height - BELOW_LID, 4)
        for (xa, ya), (xb, yb) in self.lines:
            size = abs(xb - xa) + abs(yb - ya)
            count = round(size / PITCH)
            for i in range(count):
                part = (i + 0.5) / count
                places.append((round(xa + part * (xb - xa), 4), round(ya + part * (yb - ya), 4), z))
        return places


def straight(
    depth: float = 4.0, long: float = 6.0, *, left: str = "open", right: str = "open", back: str = "wall"
) -> Shape:
    """One run; its ends and its back open or at the house."""
    house: list[Box] = []
    if back == "wall":
        house.append((-PAST, depth, long + PAST, depth + DEEP))
    far = depth + DEEP if back == "wall" else depth
    if left == "wall":
        house.append((-PAST, 0, 0, far))
    if right == "wall":
        house.append((long, 0, long + PAST, far))
    seats = {f"{name}-{where}": (x, y) for name, x in (("left", 1.0), ("mid", long / 2), ("right", long - 1))
             for where, y in (("front", 0.75), ("seat", 1.65), ("wall", depth - 0.5))}  # fmt: skip
    runs = f'[[patio.run]]\nname = "A"\nlength = "{long:g} m"\nstarts_at = "{left}"\nends_at = "{right}"\n'
    line = (0, BEHIND_EDGE), (long, BEHIND_EDGE)
    extra = "" if back == "wall" else 'back = "open"\n'
    return Shape(((0, 0, long, depth),), tuple(house), (line,), seats, depth, runs, extra=extra)


def court(ends: str = "open") -> Shape:
    """An L in the inner corner of a house: 4 m and 4 m of open edge, 3 m deep, its ends open or at wings."""
    edge = BEHIND_EDGE
    lids: tuple[Box, ...] = ((0, 0, 4, 3), (4, -4, 7, 3))
    house: tuple[Box, ...] = ((-PAST, 3, 7 + DEEP, 3 + DEEP), (7, -4 - PAST, 7 + DEEP, 3))
    if ends == "wall":
        house += ((-PAST, 0, 0, 3), (4, -4 - PAST, 7, -4))
    lines = (((0, edge), (4, edge)), ((4 + edge, 0), (4 + edge, -4)))
    seats = {"A-seat": (2.0, 1.65), "corner": (5.5, 1.5), "B-seat": (5.65, -2.0), "A-wall": (2.0, 2.5),
             "B-wall": (6.5, -2.0), "A-front": (2.0, 0.75), "B-front": (4.75, -2.0)}  # fmt: skip
    runs = (
        f'[[patio.run]]\nname = "A"\nlength = "4 m"\nstarts_at = "{ends}"\nthen = "inside corner"\n'
        f'[[patio.run]]\nname = "B"\nlength = "4 m"\nends_at = "{ends}"\n'
    )
    return Shape(lids, house, lines, seats, 3.0, runs)


def wrap() -> Shape:
    """An L round the outer corner of a house: 7 m and 7 m of open edge, 3 m deep, both ends open."""
    edge = BEHIND_EDGE
    lids: tuple[Box, ...] = ((0, 0, 7, 3), (4, 3, 7, 7))
    house: tuple[Box, ...] = ((-PAST, 3, 4, 3 + DEEP), (4 - DEEP, 3, 4, 7 + PAST))
    lines = (((0, edge), (7, edge)), ((7 - edge, 0), (7 - edge, 7)))
    seats = {"A-seat": (2.0, 1.65), "corner": (5.5, 1.5), "B-seat": (5.35, 5.0), "A-wall": (2.0, 2.5),
             "B-wall": (4.5, 5.0), "A-front": (2.0, 0.75), "B-front": (6.25, 5.0)}  # fmt: skip
    runs = (
        '[[patio.run]]\nname = "A"\nlength = "7 m"\nstarts_at = "open"\nthen = "outside corner"\n'
        '[[patio.run]]\nname = "B"\nlength = "7 m"\nends_at = "open"\n'
    )
    return Shape(lids, house, lines, seats, 3.0, runs)


def yard() -> Shape:
    """A straight patio with a yard wall of 2 m that stands free across its left end."""
    plain = straight()
    wall = '[[patio.screen]]\nname = "yard wall"\nrun = "A"\nside = "start"\nheight = "2 m"\n'
    return replace(plain, runs=plain.runs + wall, yard_walls=(((0, 0, 0, plain.depth), 2.0),))


def passage(depth: float = 4.0) -> Shape:
    return straight(depth, left="wall", right="wall", back="open")


SHAPES = {
    "straight": straight(),
    "shallow": straight(3.0),
    "deep": straight(6.0),
    "corner": straight(left="wall"),
    "passage": passage(),
    "lane": passage(8.0),
    "gate": passage(3.0),
    "court": court(),
    "yard": yard(),
    "long": straight(long=12.0),
    "recess": straight(left="wall", right="wall"),
    "walled": court("wall"),
    "wrap": wrap(),
}
