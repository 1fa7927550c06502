"""Sheets as one DXF (R2010): real things at true size in model space, each sheet as a layout on paper.

Model space is in the unit asked for (feet or millimetres; `$INSUNITS` says which). First in it, with the
project's own coordinates, lie the ceilings themselves (`true_plan`), where those are given; then every view
of a sheet, moved aside so that none overlap. A layout per sheet holds border, notes and tables in paper
millimetres and looks at each view through a viewport at its scale. Dimensions are DIMENSION entities: their
measurement is real, their words are given, their picture is the one on paper. All colours are 7: black on
white, white on black.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from io import StringIO
from math import cos, radians, sin
from typing import Any

import ezdxf
from ezdxf.document import Drawing
from ezdxf.enums import TextEntityAlignment
from ezdxf.layouts import BaseLayout

from mistcalc.drawing.boxes import Box, Point, around
from mistcalc.drawing.sheet import (
    LAYERS,
    WHITE,
    Arc,
    Circle,
    Dimension,
    LineSegment,
    Pen,
    Polyline,
    Sheet,
    Simple,
    Text,
    View,
)
from mistcalc.drawing.true_plan import TruePlan, draw_true_plans

_UNITS = {"ft": (2, 304.8), "mm": (4, 1.0)}  # $INSUNITS, millimetres in the unit
_WIDTHS = (0.5, 0.25, 0.25, 0.25, 0.5, 0.18, 0.35, 0.35, 0.35, 0.5, 0.5, 0.25, 0.35, 0.7)
_LAYER_WIDTHS = dict(zip(LAYERS, _WIDTHS, strict=True))  # mm
_WEIGHTS = (0, 5, 9, 13, 15, 18, 20, 25, 30, 35, 40, 50, 53, 60, 70, 80, 90, 100)  # those DXF knows, 1/100 mm
_COLOUR = 7
_THIN_SPACE = "\u2009"
_STYLES = {
    False: ("SHEET", "DejaVuSansCondensed.ttf"),
    True: ("SHEET-BOLD", "DejaVuSansCondensed-Bold.ttf"),
}


def write(sheets: Sequence[Sheet], unit: str = "ft", plans: Sequence[TruePlan] = ()) -> str:
    """The text of the DXF file ("ft" or "mm" in model space); the same sheets give the same text. plans: the
    ceilings as they lie, which then come first in model space."""
    number, millimetres = _UNITS[unit]
    if not sheets:
        raise ValueError("a DXF needs a sheet")
    with _no_clock():
        doc = ezdxf.new("R2010", setup=False)
        for name, value in (
            ("$INSUNITS", number),
            ("$MEASUREMENT", int(unit == "mm")),
            ("$LUNITS", 2),
            ("$PSLTSCALE", 0),  # each entity states its own dash scale, true in both spaces
            ("$LTSCALE", 1.0),
            ("$LWDISPLAY", 1),
        ):
            doc.header[name] = value
        _styles(doc)
        reach = draw_true_plans(doc, plans, millimetres, _plain) if plans else 0.0
        _plot(doc, sheets, millimetres, reach)
        for kind in sorted(
            doc.entitydb.dxf_types_in_use()
        ):  # the library takes them from a set, as they come
            doc.classes.add_class(kind)
        held = StringIO()
        doc.write(held)
    return held.getvalue()


@contextmanager
def _no_clock() -> Iterator[None]:
    """Fixed dates and identifiers while writing, so that the file depends on the sheets alone."""
    before = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = before


def _styles(doc: Drawing) -> None:
    for layer, width in _LAYER_WIDTHS.items():
        doc.layers.add(layer, color=_COLOUR, linetype="CONTINUOUS", lineweight=_weight(width))
    for name, font in _STYLES.values():
        doc.styles.add(name, font=font)


def _plot(doc: Drawing, sheets: Sequence[Sheet], millimetres: float, reach: float) -> None:
    """reach: how far right model space is taken."""
    edge = reach * 1.1  # where the next view may begin in model space
    seen: dict[View, _Space] = {}
    for index, sheet in enumerate(sheets):
        layout = _layout(doc, sheet, index)
        reversed_ = [i.at for i in sheet.items if isinstance(i, Text) and i.pen.ink == WHITE]
        by_view: dict[View | None, list[Any]] = {}
        for item in sheet.items:
            by_view.setdefault(item.view, []).append(item)
        for view, items in by_view.items():
            if view is None:
                space = _Space(doc, layout, _placed, 1.0, reversed_)
                space.draw(items)
                continue
            extent = around(p for item in items for p in _ends(item.box()))
            if view not in seen:
                factor = view.scale / millimetres
                left = (extent.left - view.origin[0]) * factor
                shift = max(0.0, edge - left) if seen or reach else 0.0
                edge = left + shift + extent.width * factor * 1.1
                seen[view] = _Space(doc, doc.modelspace(), _true_size(view, factor, shift), factor, reversed_)
            _window(layout, extent.grown(1.0), seen[view])
            seen[view].draw(items)
    if seen:
        first = next(iter(seen.values()))
        sheet = sheets[0]
        middle = first.place((sheet.width / 2, sheet.height / 2))
        doc.set_modelspace_vport(sheet.height * first.factor, middle)


def _true_size(view: View, factor: float, shift: float) -> Callable[[Point], Point]:
    (x0, y0) = view.origin
    return lambda point: _placed(((point[0] - x0) * factor + shift, (point[1] - y0) * factor))


def _placed(point: Point) -> Point:
    """Less than a micrometer is left out: the last digits of a computed line differ between processors."""
    return round(point[0], 6), round(point[1], 6)


def _layout(doc: Drawing, sheet: Sheet, index: int) -> Any:
    wanted = re.sub(r"[^\w .-]", "-", sheet.number or sheet.title, flags=re.ASCII).strip()[:60]
    name = wanted or f"Sheet {index + 1}"
    if name.lower() in {other.lower() for other in doc.layout_names()}:
        name = f"{name} ({index + 1})"
    if index == 0:
        doc.layouts.rename("Layout1", name)
        layout = doc.paperspace(name)
    else:
        layout = doc.layouts.new(name)
    layout.page_setup(size=(sheet.width, sheet.height), margins=(0, 0, 0, 0), units="mm", scale=(1, 1))
    return layout


def _window(layout: Any, extent: Box, space: _Space) -> None:
    """The viewport through which a layout sees one view, at its scale."""
    layout.add_viewport(
        center=extent.middle,
        size=(extent.width, extent.height),
        view_center_point=space.place(extent.middle),
        view_height=extent.height * space.factor,
        dxfattribs={
            "layer": "Defpoints"
        },  # the layer that is never printed: the border of a window is no line
    )


@dataclass
class _Space:
    """Where items go: a block of entities, how paper becomes its coordinates, units per paper millimetre."""

    doc: Drawing
    target: BaseLayout | Any
    place: Callable[[Point], Point]
    factor: float
    reversed: list[Point]  # where white writing stands: fills under it are drawn as outlines

    def draw(self, items: Sequence[Any]) -> None:
        """Lines and fills, then dimensions, then writing, whose white boxes hide what came before."""
        for item in items:
            if not isinstance(item, (Text, Dimension)):
                self._shape(item)
        for item in items:
            if isinstance(item, Dimension):
                self._dimension(item)
        for item in items:
            if isinstance(item, Text):
                self._text(item)

    def _shape(self, item: Simple) -> None:
        style = self._style(item)
        filled = getattr(item, "fill", None) not in (None, WHITE)
        outlined = item.pen.width > 0 or (filled and self._written_on(item))
        match item:
            case LineSegment():
                self.target.add_line(self.place(item.start), self.place(item.end), dxfattribs=style)
            case Polyline():
                points = [self.place(point) for point in item.points]
                if filled and not self._written_on(item):
                    self._solid(item.layer, points)
                if item.hatch:
                    self._hatch(item, points)
                if outlined:
                    self.target.add_lwpolyline(points, close=item.closed, dxfattribs=style)
            case Circle():
                (x, y), r = self.place(item.center), item.radius * self.factor
                if filled and not self._written_on(item):
                    disc = self.target.add_hatch(color=_COLOUR, dxfattribs={"layer": item.layer})
                    disc.paths.add_polyline_path([(x - r, y, 1.0), (x + r, y, 1.0)], is_closed=True)
                if outlined:
                    self.target.add_circle((x, y), r, dxfattribs=style)
            case Arc():
                centre, r = self.place(item.center), item.radius * self.factor
                self.target.add_arc(centre, r, item.first, item.last, dxfattribs=style)

    def _written_on(self, item: Simple) -> bool:
        box = item.box()
        return any(box.left < x < box.right and box.bottom < y < box.top for x, y in self.reversed)

    def _solid(self, layer: str, points: list[Point]) -> None:
        if len(points) <= 4:  # the SOLID entity wants its last two corners crossed over
            crossed = [*points[:2], points[-1], points[2]]
            self.target.add_solid(crossed, dxfattribs={"layer": layer})
        else:
            hatch = self.target.add_hatch(color=_COLOUR, dxfattribs={"layer": layer})
            hatch.paths.add_polyline_path(points, is_closed=True)

    def _hatch(self, item: Polyline, points: list[Point]) -> None:
        if item.hatch is None:
            return
        angle, step = radians(item.hatch.angle), item.hatch.spacing * self.factor
        line = [item.hatch.angle, (0.0, 0.0), (-sin(angle) * step, cos(angle) * step), []]
        style = {"layer": item.layer, "lineweight": _weight(item.hatch.pen.width)}
        hatch = self.target.add_hatch(color=_COLOUR, dxfattribs=style)
        hatch.set_pattern_fill("SHEET", color=_COLOUR, angle=0.0, scale=1.0, definition=[line])
        hatch.paths.add_polyline_path(points, is_closed=True)

    def _text(self, item: Text) -> None:
        if not item.text.strip():
            return
        height = item.height * self.factor
        style = {"layer": item.layer, "style": _STYLES[item.bold][0], "rotation": item.turn}
        if not item.mask:
            align = {"left": "LEFT", "middle": "CENTER", "right": "RIGHT"}[item.align]
            text = self.target.add_text(_plain(item.text), height=height, dxfattribs=style)
            text.set_placement(self.place(item.at), align=TextEntityAlignment[align])
            return
        c, s = cos(radians(item.turn)), sin(radians(item.turn))
        up = item.height / 2  # MTEXT is hung on the middle of its capitals
        attachment = {"left": 4, "middle": 5, "right": 6}[item.align]
        at = self.place((item.at[0] - s * up, item.at[1] + c * up))
        style |= {"insert": at, "char_height": height, "attachment_point": attachment}
        mtext = self.target.add_mtext(_marked(item.text), dxfattribs=style)
        mtext.set_bg_color("canvas", scale=1.1)

    def _dimension(self, item: Dimension) -> None:
        """A DIMENSION whose picture (an anonymous block) is ours and whose measured points are real."""
        override = self.target.add_linear_dim(
            base=self.place(item.foot(item.end)),
            p1=self.place(item.start),
            p2=self.place(item.end),
            angle=item.angle,
            text=_marked(item.text).replace("<>", "< >") or " ",
            dimstyle=self._dimension_style(),
            dxfattribs={"layer": item.layer},
        )
        block = self.doc.blocks.new_anonymous_block(type_char="D")
        _Space(self.doc, block, self.place, self.factor, self.reversed).draw(item.parts())
        entity = override.dimension
        entity.dxf.geometry = block.name
        entity.dxf.actual_measurement = item.measured * self.factor
        if item.writing:
            entity.dxf.text_midpoint = self.place(item.writing[0].box().middle)

    def _dimension_style(self) -> str:
        name = f"SHEET-{self.factor:.6g}".replace(".", "_")
        if name not in self.doc.dimstyles:
            style = self.doc.dimstyles.new(name)
            style.dxf.dimscale = self.factor
            style.dxf.dimtxt, style.dxf.dimasz, style.dxf.dimexo, style.dxf.dimexe = 3.5, 2.0, 0.0, 1.5
            style.dxf.dimclrd = style.dxf.dimclre = style.dxf.dimclrt = _COLOUR
            style.dxf.dimtxsty = _STYLES[True][0]
        return name

    def _style(self, item: Simple) -> dict[str, Any]:
        style: dict[str, Any] = {"layer": item.layer}
        if item.pen.width != _LAYER_WIDTHS[item.layer]:
            style["lineweight"] = _weight(item.pen.width or 0.25)
        if item.pen.dash:
            style |= {"linetype": self._linetype(item.pen), "ltscale": self.factor}
        return style

    def _linetype(self, pen: Pen) -> str:
        """A linetype whose pattern is the pen's, in paper millimetres."""
        name = "DASH-" + "-".join(f"{part:g}" for part in pen.dash).replace(".", "_")
        if name not in self.doc.linetypes:
            signed = [part if index % 2 == 0 else -part for index, part in enumerate(pen.dash)]
            length = round(sum(pen.dash), 6)  # Python 3.12 sums floats otherwise than 3.11
            self.doc.linetypes.add(name, pattern=[length, *signed])
        return name


def _ends(box: Box) -> tuple[Point, Point]:
    return (box.left, box.bottom), (box.right, box.top)


def _weight(width: float) -> int:
    """The lineweight DXF knows (1/100 mm) nearest to a width [mm]."""
    return min(_WEIGHTS, key=lambda weight: abs(weight - 100 * width))


def _plain(text: str) -> str:
    """Text for a TEXT entity: carets as DXF wants them; what would be a code, broken by a thin space.

    Codes: two percent signs, a backslash before U+ or M+, a caret before another or at the end.
    """
    text = re.sub(r"%(?=%)|\^(?=\^|$)|\\(?=[UM]\+)", lambda code: code[0] + _THIN_SPACE, text)
    return text.replace("^", "^ ")


def _marked(text: str) -> str:
    """Text for MTEXT: as for TEXT, with backslash and braces escaped as well."""
    return re.sub(r"([\\{}])", r"\\\1", _plain(text))
