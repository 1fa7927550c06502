"""A sheet as SVG: what is on the paper, in millimetres, and nothing else."""

from __future__ import annotations

from base64 import b64encode
from functools import lru_cache
from math import cos, radians, sin
from xml.sax.saxutils import escape, quoteattr

from mistcalc.drawing import fonts
from mistcalc.drawing.boxes import Point
from mistcalc.drawing.sheet import MASK, WHITE, Arc, Circle, LineSegment, Pen, Polyline, Sheet, Simple, Text


def write(sheet: Sheet, embed: bool = True) -> str:
    """The sheet as an SVG document, true to size when printed at 100 %.

    `embed` carries the Latin letters of the font inside (44 kB); without it the page around the picture
    must bring the font. Every text states its measured width, so another font cannot spread it.
    """
    size = f'width="{_n(sheet.width)}mm" height="{_n(sheet.height)}mm"'
    box = f'viewBox="0 0 {_n(sheet.width)} {_n(sheet.height)}"'
    name = " ".join(part for part in (sheet.number, sheet.title) if part)
    out = [
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} {box} role="img" aria-label={quoteattr(name)} '
        f'font-family="\'{fonts.NAME}\',sans-serif" style="font-kerning:none">',
        f"<title>{escape(name)}</title>",
        _font_style() if embed else "",
        f'<rect width="100%" height="100%" fill="{WHITE}"/>',
        f'<g fill="none" transform="matrix(1 0 0 -1 0 {_n(sheet.height)})">',
    ]
    for how, item in sheet.painted():
        out.append(_mask(item) if how == "mask" and isinstance(item, Text) else _element(item))
    return "\n".join([*filter(None, out), "</g></svg>\n"])


def _element(item: Simple) -> str:
    match item:
        case LineSegment():
            (x0, y0), (x1, y1) = item.start, item.end
            return f'<path class="{item.layer}" d="M{_n(x0)} {_n(y0)}L{_n(x1)} {_n(y1)}"{_stroke(item.pen)}/>'
        case Polyline():
            shape = _path(item.points) + ("Z" if item.closed else "")
            drawn = f'<path class="{item.layer}" d="{shape}"{_fill(item.fill)}{_stroke(item.pen)}/>'
            return _hatched(item) + drawn if item.hatch else drawn
        case Circle():
            (x, y), r = item.center, item.radius
            return (
                f'<circle class="{item.layer}" cx="{_n(x)}" cy="{_n(y)}" r="{_n(r)}"'
                f"{_fill(item.fill)}{_stroke(item.pen)}/>"
            )
        case Arc():
            return f'<path class="{item.layer}" d="{_arc(item)}"{_stroke(item.pen)}/>'
        case Text():
            return _writing(item)


def _hatched(item: Polyline) -> str:
    lines = "".join(_path(pair) for pair in item.hatch_lines())
    return f'<path class="{item.layer}" d="{lines}"{_stroke(item.hatch.pen)}/>' if item.hatch else ""


def _writing(item: Text) -> str:
    if not item.text.strip():
        return ""
    (x, y), c, s = item.start, cos(radians(item.turn)), sin(radians(item.turn))
    turn = f"matrix({c:.6f} {s:.6f} {s:.6f} {-c:.6f} {_n(x)} {_n(y)})"
    weight = ' font-weight="700"' if item.bold else ""
    return (
        f'<text class="{item.layer}" transform="{turn}" font-size="{_n(item.height / fonts.CAP)}"{weight} '
        f'textLength="{_n(item.width)}" fill="{item.pen.ink}" xml:space="preserve">{escape(item.text)}</text>'
    )


def _mask(item: Text) -> str:
    return f'<path class="{item.layer}" d="{_path(item.corners(MASK))}Z" fill="{WHITE}"/>'


def _arc(item: Arc) -> str:
    (x, y), r = item.center, item.radius
    sweep = (item.last - item.first) % 360.0
    ends = [(x + r * cos(radians(a)), y + r * sin(radians(a))) for a in (item.first, item.last)]
    (x0, y0), (x1, y1) = ends
    return f"M{_n(x0)} {_n(y0)}A{_n(r)} {_n(r)} 0 {int(sweep > 180)} 1 {_n(x1)} {_n(y1)}"


def _path(points: tuple[Point, ...]) -> str:
    return "M" + "L".join(f"{_n(x)} {_n(y)}" for x, y in points)


@lru_cache(maxsize=256)
def _stroke(pen: Pen) -> str:
    if pen.width <= 0:
        return ""
    dash = f' stroke-dasharray="{" ".join(map(_n, pen.dash))}"' if pen.dash else ""
    return f' stroke="{pen.ink}" stroke-width="{_n(pen.width)}"{dash}'


def _fill(ink: str | None) -> str:
    return f' fill="{ink}"' if ink else ""


def _n(value: float) -> str:
    """A number to a thousandth of a millimetre."""
    return f"{value:.3f}"


@lru_cache(maxsize=1)
def _font_style() -> str:
    faces = "".join(
        f"@font-face{{font-family:'{fonts.NAME}';font-weight:{700 if bold else 400};"
        f"src:url(data:font/woff;base64,{b64encode(fonts.woff(bold)).decode()})}}"
        for bold in (False, True)
    )
    return f"<style>{faces}</style>"
