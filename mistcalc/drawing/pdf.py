"""Sheets as one PDF, a page each, true to size, with our font inside and no other."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from io import BytesIO
from math import cos, radians, sin

from reportlab.lib.colors import HexColor
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from mistcalc.drawing import fonts
from mistcalc.drawing.sheet import MASK, WHITE, Arc, Circle, LineSegment, Pen, Polyline, Sheet, Simple, Text
from mistcalc.units import from_si, parse

_POINT = 72.0 / from_si(parse("1 in", "length"), "mm", "length")  # points in a millimetre
_FACES = {False: "mistcalc-regular", True: "mistcalc-bold"}


def write(sheets: Sequence[Sheet], title: str = "") -> bytes:
    """All sheets in one file; the same sheets give the same bytes (no clock, no random name)."""
    if not sheets:
        raise ValueError("a PDF needs a sheet")
    _register()
    held = BytesIO()
    canvas = Canvas(held, initialFontName=_FACES[False], invariant=1, pageCompression=1)
    canvas.setTitle(fonts.clean(title) or sheets[0].title)
    canvas.setAuthor("")
    canvas.setCreator("mistcalc")
    for sheet in sheets:
        _page(canvas, sheet)
    canvas.save()
    return held.getvalue()


def _page(canvas: Canvas, sheet: Sheet) -> None:
    canvas.setPageSize((sheet.width * _POINT, sheet.height * _POINT))
    canvas.scale(_POINT, _POINT)
    pens = _Pens(canvas)
    for how, item in sheet.painted():
        if how == "mask" and isinstance(item, Text):
            pens.take(Pen(0), WHITE)
            _draw(canvas, Polyline(item.corners(MASK), True, WHITE, layer=item.layer, pen=Pen(0)))
        else:
            if isinstance(item, Polyline) and item.hatch:
                pens.take(item.hatch.pen, None)
                canvas.lines([(*start, *end) for start, end in item.hatch_lines()])
            pens.take(item.pen, item.pen.ink if isinstance(item, Text) else getattr(item, "fill", None))
            _draw(canvas, item)
    label = " ".join(part for part in (sheet.number, sheet.title) if part)
    if label:
        canvas.bookmarkPage(f"page{canvas.getPageNumber()}")
        canvas.addOutlineEntry(label, f"page{canvas.getPageNumber()}")
    canvas.showPage()


class _Pens:
    """Sets pen and fill only when they change: half the bytes of the page."""

    def __init__(self, canvas: Canvas) -> None:
        self.canvas = canvas
        self.pen: Pen | None = None
        self.fill: str | None = None

    def take(self, pen: Pen, fill: str | None) -> None:
        if pen != self.pen and pen.width > 0:
            self.pen = pen
            self.canvas.setLineWidth(pen.width)
            self.canvas.setStrokeColor(_colour(pen.ink))
            self.canvas.setDash(list(pen.dash), 0)
        if fill and fill != self.fill:
            self.fill = fill
            self.canvas.setFillColor(_colour(fill))


def _draw(canvas: Canvas, item: Simple) -> None:
    stroke = int(item.pen.width > 0)
    match item:
        case LineSegment():
            canvas.line(*item.start, *item.end)
        case Polyline():
            path = canvas.beginPath()
            path.moveTo(*item.points[0])
            for point in item.points[1:]:
                path.lineTo(*point)
            if item.closed:
                path.close()
            canvas.drawPath(path, stroke=stroke, fill=int(item.fill is not None))
        case Circle():
            canvas.circle(*item.center, item.radius, stroke=stroke, fill=int(item.fill is not None))
        case Arc():
            (x, y), r = item.center, item.radius
            canvas.arc(x - r, y - r, x + r, y + r, item.first, (item.last - item.first) % 360.0)
        case Text():
            _writing(canvas, item)


def _writing(canvas: Canvas, item: Text) -> None:
    if not item.text.strip():
        return
    c, s = cos(radians(item.turn)), sin(radians(item.turn))
    writing = canvas.beginText()
    writing.setTextTransform(c, s, -s, c, *item.start)
    writing.setFont(_FACES[item.bold], item.height / fonts.CAP)
    writing.textOut(item.text)
    canvas.drawText(writing)


@lru_cache(maxsize=64)
def _colour(ink: str) -> HexColor:
    return HexColor(ink)


@lru_cache(maxsize=1)
def _register() -> None:
    for bold, name in _FACES.items():
        pdfmetrics.registerFont(TTFont(name, BytesIO(fonts.ttf(bold))))
