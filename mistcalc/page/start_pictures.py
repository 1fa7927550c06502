"""The shapes of a patio to choose from, and their pictures: wall thick, open edge thin, the line dashed.

Pictures are not to scale. A run's letter stands at its edge, the depth's at the wall it reaches to; the
triangle is where the tape is hooked.
"""

from __future__ import annotations

from base64 import b64encode
from dataclasses import dataclass

Points = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Shape:
    """What a shape asks for, and its picture in a box of 100 by 70, y down.

    corners: between the runs. ends: what stands where the first run starts and the last ends. walls, edges,
    tubes: polylines. letters: places of the runs' letters, last the depth's.
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
        edges=(((14, 14), (14, 52), (86, 52), (86, 14)),),
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
        walls=(((10, 40), (62, 40), (62, 68)),),
        edges=(((10, 40), (10, 14), (90, 14), (90, 68), (62, 68)),),
        tubes=(((10, 19), (85, 19), (85, 68)),),
        letters=((50, 7), (95, 42), (28, 30)),
    ),
    Shape(
        "u", ("inside", "inside"), "wall", "wall",
        walls=(((30, 64), (8, 64), (8, 8), (92, 8), (92, 64), (70, 64)),),
        edges=(((30, 64), (30, 34), (70, 34), (70, 64)),),
        tubes=(((25, 64), (25, 29), (75, 29), (75, 64)),),
        letters=((39, 52), (50, 43), (61, 52), (50, 19)),
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
        edges=(((12, 16), (88, 16), (88, 54), (12, 54), (12, 16)),),
        tubes=(((15, 49), (85, 49)),),
        letters=((50, 62), (78, 34)),
    ),
)  # fmt: skip
POST = 2.5  # half a post's side: an island stands on four


def shape_named(name: str) -> Shape:
    return next(shape for shape in SHAPES if shape.name == name)


def picture(shape: Shape, lettered: bool = False) -> str:
    """The picture as the address of an image. lettered: with the letters of its lengths."""
    parts = [_line(points, 1.5) for points in shape.edges]
    parts += [_line(points, 1.2, "4 2.5") for points in shape.tubes]
    parts += [_line(points, 3.5) for points in shape.walls]
    if not shape.walls:
        parts += [
            f'<rect x="{x - POST}" y="{y - POST}" width="{2 * POST}" height="{2 * POST}" fill="#111111"/>'
            for x, y in shape.edges[0][:4]
        ]
    if lettered:
        parts += [_letter(at, chr(ord("A") + n)) for n, at in enumerate(shape.letters)]
        x, y = shape.tubes[0][0]
        parts.append(f'<path d="M{x} {y}l-5 -3v6z" fill="#111111"/>')
    drawn = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 72">{"".join(parts)}</svg>'
    return f"data:image/svg+xml;base64,{b64encode(drawn.encode()).decode()}"


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
