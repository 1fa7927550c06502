"""The shapes of a patio to choose from, and their pictures: wall thick, open edge thin, the line dashed.

Pictures are not to scale. A run's letter stands outside its edge, the depth's under the ceiling; the triangle
is where the tape is hooked. The first edge is drawn as it is walked, the house on the left.
"""

from __future__ import annotations

import math
from base64 import b64encode
from dataclasses import dataclass

Points = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Shape:
    """What a shape asks for, and its picture in a box of 100 by 70, y down.

    corners: between the runs. ends: what stands where the first run starts and the last ends. walls, edges,
    tubes: polylines; the first edge and the first tube begin where the walk begins, and go its way.
    letters: places of the runs' letters, last the depth's.
    """

    name: str
    corners: tuple[str, ...]
    ends: str
    back: str
    walls: tuple[Points, ...]
    edges: tuple[Points, ...]
    tubes: tuple[Points, ...]
    letters: Points
    twice: bool = False  # a ring: runs across from each other are as long, so half of them are asked for

    @property
    def asked(self) -> int:
        """Runs whose length is asked for."""
        return len(self.letters) - 1


SHAPES = (
    Shape(
        "straight", (), "wall", "wall",
        walls=(((10, 52), (10, 14), (90, 14), (90, 52)),),
        edges=(((10, 52), (90, 52)),),
        tubes=(((10, 47), (90, 47)),),
        letters=((50, 60), (80, 32)),
    ),
    Shape(
        "porch", (), "open", "wall",
        walls=(((4, 14), (96, 14)),),
        edges=(((14, 52), (86, 52), (86, 14)), ((14, 52), (14, 14))),
        tubes=(((17, 47), (83, 47)),),
        letters=((50, 60), (76, 32)),
    ),
    Shape(
        "court", ("inside",), "wall", "wall",
        walls=(((10, 36), (10, 10), (90, 10), (90, 64), (66, 64)),),
        edges=(((10, 36), (66, 36), (66, 64)),),
        tubes=(((10, 31), (71, 31), (71, 64)),),
        letters=((38, 45), (57, 54), (24, 20)),
    ),
    Shape(
        "round-house", ("outside",), "open", "wall",
        walls=(((10, 30), (62, 30), (62, 4)),),
        edges=(((10, 56), (90, 56), (90, 4), (62, 4)), ((10, 56), (10, 30))),
        tubes=(((10, 51), (85, 51), (85, 4)),),
        letters=((50, 64), (95, 30), (36, 41)),
    ),
    Shape(
        "u", ("inside", "inside"), "wall", "wall",
        walls=(((10, 24), (10, 4), (90, 4), (90, 70), (10, 70), (10, 50)),),
        edges=(((10, 24), (64, 24), (64, 50), (10, 50)),),
        tubes=(((10, 19), (69, 19), (69, 55), (10, 55)),),
        letters=((32, 30.5), (57, 37), (32, 43.5), (78, 11)),
    ),
    Shape(
        "ring", ("inside",) * 4, "", "wall",
        walls=(((8, 6), (92, 6), (92, 66), (8, 66), (8, 6)),),
        edges=(((28, 24), (72, 24), (72, 48), (28, 48), (28, 24)),),
        tubes=(((23, 19), (77, 19), (77, 53), (23, 53), (23, 19)),),
        letters=((44, 31), (64, 39), (50, 12.5)),
        twice=True,
    ),
    Shape(
        "island", (), "open", "open",
        walls=(),
        edges=(((12, 54), (88, 54), (88, 16), (12, 16), (12, 54)),),
        tubes=(((15, 49), (85, 49)),),
        letters=((50, 62), (78, 34)),
    ),
)  # fmt: skip
HOOK_OFF, HOOK_LONG, HOOK_WIDE = 3.0, 5.0, 6.0  # the triangle before the first edge, on its way


def shape_named(name: str) -> Shape:
    return next(shape for shape in SHAPES if shape.name == name)


def picture(shape: Shape, lettered: bool = False) -> str:
    """The picture as the address of an image. lettered: with the letters of its lengths."""
    parts = [_line(points, 1.5) for points in shape.edges]
    parts += [_line(points, 1.2, "4 2.5") for points in shape.tubes]
    parts += [_line(points, 3.5) for points in shape.walls]
    if lettered:
        parts += [_letter(at, chr(ord("A") + n)) for n, at in enumerate(shape.letters)]
        corners = " ".join(f"{x:g},{y:g}" for x, y in hook(shape))
        parts.append(f'<polygon points="{corners}" fill="#111111" stroke="#ffffff" paint-order="stroke"/>')
    drawn = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 74">{"".join(parts)}</svg>'
    return f"data:image/svg+xml;base64,{b64encode(drawn.encode()).decode()}"


def round_first_edge(shape: Shape) -> dict[str, object]:
    """Walls, edges and tubes about the middle of the first edge, none of them farther from it than 1, y down;
    and which way that edge looks in the picture, deg clockwise from up."""
    (x, y), (to_x, to_y) = shape.edges[0][:2]
    middle_x, middle_y = (x + to_x) / 2, (y + to_y) / 2
    lines = {"walls": shape.walls, "edges": shape.edges, "tubes": shape.tubes}
    drawn = [point for each in lines.values() for points in each for point in points]
    far = max(math.hypot(px - middle_x, py - middle_y) for px, py in drawn)
    turned: dict[str, object] = {
        name: [[((px - middle_x) / far, (py - middle_y) / far) for px, py in points] for points in each]
        for name, each in lines.items()
    }
    return turned | {"faces": math.degrees(math.atan2(y - to_y, x - to_x)) % 360}


def hook(shape: Shape) -> Points:
    """The triangle, its tip first: it points the way the first edge is walked, at where that edge begins."""
    (x, y), (to_x, to_y) = shape.edges[0][:2]
    far = math.hypot(to_x - x, to_y - y)
    on_x, on_y = (to_x - x) / far, (to_y - y) / far
    tip_x, tip_y = x - HOOK_OFF * on_x, y - HOOK_OFF * on_y
    base_x, base_y = tip_x - HOOK_LONG * on_x, tip_y - HOOK_LONG * on_y
    half = HOOK_WIDE / 2
    return (
        (tip_x, tip_y),
        (base_x - half * on_y, base_y + half * on_x),
        (base_x + half * on_y, base_y - half * on_x),
    )


def _line(points: Points, width: float, dash: str = "") -> str:
    corners = " ".join(f"{x},{y}" for x, y in points)
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    return f'<polyline points="{corners}" fill="none" stroke="#111111" stroke-width="{width}"{dashed}/>'


def _letter(at: tuple[float, float], letter: str) -> str:
    x, y = at
    return (
        f'<rect x="{x - 4.5}" y="{y - 4.5}" width="9" height="9" fill="#ffffff" stroke="#111111"/>'
        f'<text x="{x}" y="{y + 2.7}" font-size="7.5" font-weight="700" text-anchor="middle" '
        f'font-family="DejaVu Sans, Arial, sans-serif" fill="#111111">{letter}</text>'
    )
