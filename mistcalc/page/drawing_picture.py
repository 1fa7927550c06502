"""A drawing as pictures: all of it, a number at one thing of each layer or block; and one of them thick."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Sequence

from mistcalc.files import DrawnGroup

WIDE, HIGHEST = 600.0, 600.0  # of a picture, in its own units
ROOM = 0.06  # round what is drawn, of its size
MOST = 4_000  # lines of a whole picture
BEHIND = 300  # and of what stands thin behind one layer
THIN, THICK, GRAY = 1.2, 3.0, "#767676"

Point = tuple[float, float]


class DrawingPicture:
    """Of what is guessed to be a ceiling and what is on it, where anything is; else of all."""

    def __init__(self, groups: Sequence[DrawnGroup]) -> None:
        self.groups = groups
        known = [group for group in groups if group.guess and group.lines]
        shown = known if any(group.guess in ("edge", "outline") for group in known) else groups
        points = [point for group in shown for line in group.lines for point in line] or [(0.0, 0.0)]
        (left, right), (low, high) = ((min(c), max(c)) for c in zip(*points, strict=True))
        size = max(right - left, high - low, 1e-9)
        left, right, low, high = (
            left - ROOM * size,
            right + ROOM * size,
            low - ROOM * size,
            high + ROOM * size,
        )
        self.scale = min(WIDE / (right - left), HIGHEST / (high - low))
        self.left, self.high = left, high
        self.box = (right - left) * self.scale, (high - low) * self.scale

    def whole(self) -> str:
        """The address of the image."""
        share = max(1, sum(len(group.lines) for group in self.groups) // MOST)
        parts = [self._lines(group.lines[::share], THIN, "#111111") for group in self.groups]
        taken: list[Point] = []
        for n, group in enumerate(self.groups, 1):
            if (at := self._free(group, taken)) is not None:
                taken.append(at)
                parts.append(_number(at, n))
        return self._image(parts)

    def alone(self, group: DrawnGroup) -> str:
        others = [line for other in self.groups if other is not group for line in other.lines]
        behind = others[:: max(1, len(others) // BEHIND)]
        thick = THICK * max(self.box) / 150.0  # it is shown small
        return self._image([self._lines(behind, thick / 4, GRAY), self._lines(group.lines, thick, "#111111")])

    def _free(self, group: DrawnGroup, taken: Sequence[Point]) -> Point | None:
        """The first place on a line of a group, within the picture, on which no number stands yet."""
        ends = [self._at(line[n]) for line in group.lines for n in (0, len(line) // 2)]
        middles = [
            (((a[0] + b[0]) / 2), ((a[1] + b[1]) / 2))
            for line in group.lines
            for a, b in [(self._at(line[0]), self._at(line[1 % len(line)]))]
        ]
        return next(
            (
                (x, y)
                for x, y in (*middles, *ends)
                if 0 <= x <= self.box[0] and 0 <= y <= self.box[1]
                if all(abs(x - x1) > 24 or abs(y - y1) > 24 for x1, y1 in taken)
            ),
            None,
        )

    def _at(self, point: Point) -> Point:
        return round((point[0] - self.left) * self.scale, 1), round((self.high - point[1]) * self.scale, 1)

    def _lines(self, lines: Sequence[Sequence[Point]], width: float, ink: str) -> str:
        path = "".join("M" + "L".join(f"{x} {y}" for x, y in map(self._at, line)) for line in lines)
        return f'<path d="{path}" fill="none" stroke="{ink}" stroke-width="{width:.1f}"/>'

    def _image(self, parts: Sequence[str]) -> str:
        wide, high = self.box
        head = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide:.0f} {high:.0f}">'
        drawn = f"{head}{''.join(parts)}</svg>"
        return f"data:image/svg+xml;base64,{b64encode(drawn.encode()).decode()}"


def _number(at: Point, n: int) -> str:
    x, y = at
    half = 9 if n < 10 else 13
    return (
        f'<rect x="{x - half:.1f}" y="{y - 11:.1f}" width="{2 * half}" height="22" fill="#ffffff" '
        f'stroke="#111111"/><text x="{x}" y="{y + 6:.1f}" font-size="17" font-weight="700" '
        f'text-anchor="middle" font-family="DejaVu Sans, Arial, sans-serif" fill="#111111">{n}</text>'
    )
