"""What a DXF holds, as plain shapes in metres: lines, closed lines, round things, blocks with their words."""

from __future__ import annotations

import io
import math
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import Any

from mistcalc.errors import InputError
from mistcalc.files.plan_drawing.arcs import is_arc, with_chords
from mistcalc.files.plan_drawing.layer_names import UNITS_BY_NAME, LayerMap, is_ours

Point = tuple[float, float]

MOST_BYTES = 60_000_000
MOST_SHAPES = 200_000
DEEPEST = 4  # blocks within blocks that are opened
HEADER_UNITS = {1: "in", 2: "ft", 4: "mm", 5: "cm", 6: "m"}  # $INSUNITS
LEAST, MOST = 1.0, 600.0  # m: what a drawing of a patio ceiling measures across the parts that are read
DOOR = 1.3  # m: an arc of a smaller radius is the swing of a door, and no wall
CURVES = ("SPLINE", "ELLIPSE")
OPENED = (None, "wall", "edge", "joist", "outline")  # roles of a block that is taken apart
LEVEL = 1e-4  # rad: a run nearer than that to the drawing's axes lies along one
FLAT = 0.002  # m: what the ends of a thing may differ in height and still be in plan


@dataclass(frozen=True)
class DrawnShape:
    """One thing of a role. `points` of a path in order; of a block or a circle its box's two corners."""

    role: str
    layer: str
    kind: str  # "path", "round", "block"
    points: tuple[Point, ...]
    closed: bool = False
    curved: bool = False
    block: str = ""
    said: dict[str, str] = field(default_factory=dict)  # attributes, names in capitals
    at: Point = (0.0, 0.0)
    drawn: tuple[Point, ...] = ()  # corners of what a block is made of, where runs may lie on a slant

    @property
    def middle(self) -> Point:
        xs, ys = [x for x, _ in self.points], [y for _, y in self.points]
        return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2

    @property
    def size(self) -> tuple[float, float]:
        xs, ys = [x for x, _ in self.points], [y for _, y in self.points]
        return max(xs) - min(xs), max(ys) - min(ys)

    def size_along(self, ahead: Point) -> tuple[float, float]:
        """How far it reaches along a direction, and square to it."""
        (wide, tall), (ax, ay) = self.size, ahead
        if self.kind == "round" or abs(ax * ay) < LEVEL:
            return (wide, tall) if abs(ax) > abs(ay) else (tall, wide)
        (left, low), (right, high) = self.points[0], self.points[-1]
        box = self.points if self.kind == "path" else ((left, low), (right, low), (right, high), (left, high))
        ends = self.drawn or box
        along, across = [x * ax + y * ay for x, y in ends], [y * ax - x * ay for x, y in ends]
        return max(along) - min(along), max(across) - min(across)


@dataclass(frozen=True)
class Drawing:
    shapes: tuple[DrawnShape, ...]
    unit: str  # of the drawing
    stated: bool  # whether header or map say so
    read: dict[str, tuple[str, int]]  # layer -> role, how many
    left: dict[str, int]  # layer -> how many things of it were not read

    def of(self, *roles: str) -> list[DrawnShape]:
        return [shape for shape in self.shapes if shape.role in roles]


def read_drawing(data: bytes, source: str, layers: LayerMap) -> Drawing:
    """Raises InputError for a file that is no DXF, too large, three-dimensional or without a plan in it, and
    where its unit cannot be true. Without a unit at all it is taken for a metre: `scaled` mends that."""
    space, header_unit = opened(data, source)
    ours = any(is_ours(layer_of(e)) for e in space)
    name = layers.unit or header_unit
    reader = DrawingReader(layers, UNITS_BY_NAME[name or "m"], ours, source)
    reader.take(space, "", DEEPEST)
    if not reader.shapes:
        seen = tuple(sorted(reader.left, key=lambda layer: -reader.left[layer])[:12])
        raise InputError("drawing-no-layer", source, layers=seen)
    drawing = Drawing(tuple(reader.shapes), name or "m", name is not None, reader.layers(), dict(reader.left))
    if name is not None:
        check_size(drawing, source)
    return drawing


def opened(data: bytes, source: str) -> tuple[Any, str | None]:
    """What is drawn in model space, and the unit of the header. Raises InputError as `read_drawing` does."""
    doc = _document(data, source)
    space = doc.modelspace()
    if not len(space):
        papers = [n for n in doc.layout_names() if n != "Model" and len(doc.layout(n).query("* !VIEWPORT"))]
        raise InputError("drawing-paper-only" if papers else "drawing-empty", source, papers=tuple(papers))
    if len(space) > MOST_SHAPES:
        raise InputError("drawing-huge", source, count=len(space), most=MOST_SHAPES)
    return space, HEADER_UNITS.get(int(doc.header.get("$INSUNITS", 0)))


def check_size(drawing: Drawing, source: str) -> None:
    """That a patio ceiling can be so large: a drawing in inches that is labelled millimetres is not."""
    points = [p for shape in drawing.of("edge", "outline") for p in shape.points]
    if not points:
        return
    across = max(max(c) - min(c) for c in zip(*points, strict=True))
    if LEAST <= across <= MOST:
        return
    fits = [u for u, size in UNITS_BY_NAME.items()
            if 3.0 <= across / UNITS_BY_NAME[drawing.unit] * size <= 60.0]  # fmt: skip
    raise InputError("drawing-unit-odd", source, unit=drawing.unit, across=across, fits=tuple(fits))


def scaled(drawing: Drawing, unit: str) -> Drawing:
    """The same drawing, told in another unit."""
    factor = UNITS_BY_NAME[unit] / UNITS_BY_NAME[drawing.unit]

    def at(p: Point) -> Point:
        return p[0] * factor, p[1] * factor

    shapes = tuple(
        replace(s, points=tuple(map(at, s.points)), at=at(s.at), drawn=tuple(map(at, s.drawn)))
        for s in drawing.shapes
    )
    return replace(drawing, shapes=shapes, unit=unit, stated=True)


def _document(data: bytes, source: str) -> Any:
    import ezdxf
    from ezdxf import recover

    if len(data) > MOST_BYTES:
        raise InputError("drawing-huge-file", source, size=len(data), most=MOST_BYTES)
    if data[:6] in (b"AC1015", b"AC1018", b"AC1021", b"AC1024", b"AC1027", b"AC1032"):
        raise InputError("drawing-dwg", source)
    if not data.startswith(b"AutoCAD Binary DXF") and not data.rstrip().endswith(b"EOF"):
        raise InputError("drawing-broken", source)  # cut short, or no DXF at all
    try:
        doc, auditor = recover.read(io.BytesIO(data))
    except (ezdxf.DXFError, OSError, ValueError, KeyError, IndexError, AttributeError, TypeError):
        raise InputError("drawing-broken", source) from None
    if auditor.has_errors:
        raise InputError("drawing-broken", source)
    return doc


class DrawingReader:
    def __init__(self, layers: LayerMap, metres: float, ours: bool, source: str) -> None:
        self.layers_said, self.metres, self.ours, self.source = layers, metres, ours, source
        self.shapes: list[DrawnShape] = []
        self.counts: Counter[tuple[str, str]] = Counter()
        self.left: Counter[str] = Counter()

    def layers(self) -> dict[str, tuple[str, int]]:
        return {layer: (role, count) for (layer, role), count in sorted(self.counts.items())}

    def take(self, entities: Any, inherited: str, deep: int) -> None:
        for entity in entities:
            kind = entity.dxftype()
            layer = layer_of(entity, inherited)
            if self.ours and not is_ours(layer):
                continue
            block = entity.dxf.name if kind == "INSERT" else ""
            role = self.layers_said.role(layer, block)
            if kind == "INSERT" and role in OPENED and deep:
                self.take(inside_of(entity), layer, deep - 1)
                continue
            if role == "nothing":
                continue
            shapes = list(self.shapes_of(entity, kind, role, layer)) if role else []
            if not shapes:
                self.left[layer] += 1
            for shape in shapes:
                self.shapes.append(shape)
                self.counts[layer, shape.role] += 1
                if len(self.shapes) > MOST_SHAPES:
                    raise InputError("drawing-huge", self.source, count=len(self.shapes), most=MOST_SHAPES)

    def shapes_of(self, entity: Any, kind: str, role: str, layer: str) -> Iterator[DrawnShape]:
        if kind in ("3DFACE", "3DSOLID", "MESH", "BODY", "REGION", "SURFACE"):
            raise InputError("drawing-3d", self.source, layer=layer)
        if kind == "INSERT":
            yield from self._block(entity, role, layer)
        elif kind == "CIRCLE":
            x, y, _ = self._at(entity.ocs().to_wcs(entity.dxf.center))
            r = entity.dxf.radius * self.metres
            yield DrawnShape(role, layer, "round", ((x - r, y - r), (x + r, y + r)), at=(x, y))
        elif kind in CURVES and role == "edge":
            raise InputError("drawing-curved", self.source, layer=layer)
        elif kind == "ARC" and not self._bounds(entity, role):
            return
        elif kind in ("LINE", "ARC", "LWPOLYLINE", "POLYLINE"):
            points, closed, curved = self._path(entity, kind, layer, role == "edge")
            if len(points) > 1:
                yield DrawnShape(role, layer, "path", points, closed, curved, at=points[0])

    def _bounds(self, arc: Any, role: str) -> bool:
        """Whether an arc is a piece of edge or wall."""
        return role in ("edge", "other") or (
            role in ("wall", "outline") and arc.dxf.radius * self.metres >= DOOR
        )

    def _at(self, place: Any) -> tuple[float, float, float]:
        return tuple(round(c * self.metres, 9) for c in place)  # type: ignore[return-value]

    def _path(self, entity: Any, kind: str, layer: str, edge: bool) -> tuple[tuple[Point, ...], bool, bool]:
        if kind == "POLYLINE" and not (entity.is_2d_polyline or entity.is_3d_polyline):
            raise InputError("drawing-3d", self.source, layer=layer)
        closed = kind in ("LWPOLYLINE", "POLYLINE") and bool(entity.is_closed)
        places, bulges, high = _vertices(entity, kind)
        curved = any(map(is_arc, bulges))
        if curved:
            flat = [(place[0], place[1]) for place in places]
            flat += flat[:1] if closed else []
            chords = list(with_chords(flat, bulges, self.metres, edge))
            places = [(x, y, high) for x, y in (chords[:-1] if closed else chords)]
        if kind in ("ARC", "LWPOLYLINE") or (kind == "POLYLINE" and entity.is_2d_polyline):
            places = list(entity.ocs().points_to_wcs(map(_vec, places)))
        at = [self._at(place) for place in places]
        if max(z for *_, z in at) - min(z for *_, z in at) > FLAT:
            raise InputError("drawing-3d", self.source, layer=layer)
        return tuple((x, y) for x, y, _ in at), closed, curved

    def _block(self, entity: Any, role: str, layer: str) -> Iterator[DrawnShape]:
        from ezdxf import bbox

        said = {a.dxf.tag.upper(): a.dxf.text.strip() for a in entity.attribs}
        x, y, _ = self._at(entity.dxf.insert)
        drawn = [e for e in inside_of(entity) if e.dxftype() not in ("TEXT", "MTEXT", "ATTDEF")]
        box = bbox.extents(drawn, fast=True) if drawn else None
        corners = ((x, y), (x, y))
        if box is not None and box.has_data:
            low, high = self._at(box.extmin), self._at(box.extmax)
            corners = (low[:2], high[:2])
        turned = entity.dxf.rotation % 90.0 != 0.0 and box is not None and box.has_data
        ends = tuple(self._at(end)[:2] for end in _ends_of(drawn)) if turned else ()
        round_one = bool(drawn) and all(e.dxftype() in ("CIRCLE", "ARC") for e in drawn)
        kind = "round" if round_one else "block"
        yield DrawnShape(role, layer, kind, corners, False, False, entity.dxf.name, said, (x, y), ends)


def _vec(place: Any) -> Any:
    from ezdxf.math import Vec3

    return Vec3(place)


def _vertices(entity: Any, kind: str) -> tuple[list[Any], list[float], float]:
    """Of a line or a path: where its corners are, the bulge of the piece after each, and how high it lies."""
    if kind == "LINE":
        return [entity.dxf.start, entity.dxf.end], [0.0, 0.0], 0.0
    if kind == "ARC":
        turn = math.radians((entity.dxf.end_angle - entity.dxf.start_angle) % 360.0)
        ends = [_vec(entity.dxf.center) + _vec((math.cos(a), math.sin(a), 0.0)) * entity.dxf.radius
                for a in map(math.radians, (entity.dxf.start_angle, entity.dxf.end_angle))]  # fmt: skip
        return ends, [math.tan(turn / 4), 0.0], entity.dxf.center.z
    if kind == "LWPOLYLINE":
        high = entity.dxf.elevation
        said = list(entity.get_points("xyb"))
        return [(x, y, high) for x, y, _ in said], [bulge for *_, bulge in said], high
    if entity.is_3d_polyline:
        places = list(entity.points_in_wcs())
        return places, [0.0] * len(places), 0.0
    high = entity.dxf.elevation.z if entity.dxf.hasattr("elevation") else 0.0
    places = [(v.dxf.location.x, v.dxf.location.y, high) for v in entity.vertices]
    return places, [v.dxf.get("bulge", 0.0) for v in entity.vertices], high


def _ends_of(entities: Any) -> list[Any]:
    """Corners that enclose all that is drawn."""
    from ezdxf import disassemble
    from ezdxf.math import convex_hull_2d

    parts = disassemble.to_primitives(disassemble.recursive_decompose(entities))
    ends = list(disassemble.to_vertices(parts))
    return [_vec(end) for end in convex_hull_2d(ends)] if len(ends) > 2 else ends


def layer_of(entity: Any, inherited: str = "") -> str:
    """Its own, or that of the block it is in; of a thing of a kind that nobody knows there may be none."""
    layer = str(entity.dxf.layer) if entity.dxf.hasattr("layer") else "0"
    return inherited if inherited and layer == "0" else layer


def inside_of(entity: Any) -> list[Any]:
    """The things of a block where it stands. A block that cannot be drawn so is left out, and counted."""
    if not all(map(math.isfinite, (entity.dxf.xscale, entity.dxf.yscale, *entity.dxf.insert))):
        return []
    return list(entity.virtual_entities(skipped_entity_callback=lambda *_: None))
