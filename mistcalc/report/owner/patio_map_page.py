"""The owner's second page: the patio in plan, the afternoons side by side, for a printer of black alone.

More cooling, or more water, is more lines: each class adds a set of parallel lines to those of the class
below, so a photocopy keeps their order. Seats carry numbers; what each may expect stands beneath.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import cos, dist, pi, sin

import numpy as np

from mistcalc.drawing import line_geometry, text_and_tables
from mistcalc.drawing.boxes import Box, Point, around
from mistcalc.drawing.frame import PaperSize
from mistcalc.drawing.sheet import (
    BOLD,
    FINE,
    HEAVY,
    MEDIUM,
    THIN,
    WHITE,
    Item,
    LineSegment,
    Pen,
    Polyline,
    Text,
)
from mistcalc.drawing.text_and_tables import Paragraph
from mistcalc.model.results import CoolingMap, Design, Wetness
from mistcalc.report.common import screens
from mistcalc.report.common.findings_by_reader import about_air
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.sheet_draft import SheetDraft
from mistcalc.report.owner import afternoon_text, map_classes
from mistcalc.report.owner.felt_temperature_text import seat_line
from mistcalc.report.owner.map_classes import CoolingClasses

GAP, TALLEST, WIDEST = 5.0, 52.0, 88.0  # mm between maps; the most one may take
SAMPLE = 0.4  # mm along a hatching line
NUMBER = 4.6  # mm, side of a seat's box
# Sets of lines: direction [deg], distance apart, shift of the first [mm]; class n has the first n sets.
COOLER = ((45.0, 4.8, 0.0), (45.0, 4.8, 2.4), (45.0, 2.4, 1.2), (135.0, 2.4, 0.0), (135.0, 2.4, 1.2))
WET = ((45.0, 2.4, 0.0), (135.0, 1.2, 0.0))
DASHED, BROKEN = Pen(0.35, (3.0, 1.2)), Pen(0.7, (1.6, 1.0))


def map_pages(
    design: Design, patio: str, paper: PaperSize, locale: Locale
) -> tuple[tuple[SheetDraft, ...], tuple[Paragraph, ...]]:
    """The maps and what to expect; what finds no room is left over. Without a picture there is no page."""
    page = _MapPage(design, patio, paper.inside.grown(-2.0), locale)
    if not page.pairs:
        return (), ()
    items, rest = page.draw()
    return (SheetDraft(paper, locale.label("paper_owner.short"), tuple(items), patio, kind="owner"),), rest


FELT_SEATS = 6  # up to so many seats have a line of their own on how it feels


@dataclass
class _MapPage:
    design: Design
    patio: str
    room: Box
    locale: Locale

    def __post_init__(self) -> None:
        self.left, self.right = self.room.left + 4.0, self.room.right - 4.0
        pairs = (self.design.picture_of(self.patio, air.name) for air in self.design.afternoons)
        self.pairs = [pair for pair in pairs if pair is not None]
        pictures = [picture for picture, _ in self.pairs]
        self.scale = map_classes.scale_of(pictures, self.locale.units)

    def draw(self) -> tuple[list[Item], tuple[Paragraph, ...]]:
        items: list[Item] = []
        label = self.locale.label
        y = self.words(items, self.room.top - 2.0, Paragraph(label("map.head"), 5.0, bold=True))
        y = self.rule(items, y - 3.0)
        for layer in ("cooler", "floor"):
            y = self.words(items, y - 4.0, Paragraph(label(f"map.paper_{layer}"), bold=True))
            y = self.maps(items, layer, y - 2.0)
            y = self.legend(items, layer, y - 3.0)
        y = self.words(
            items, y - 3.0, *self.seats(), *self.screens(), Paragraph(label("map.one_case")), self.ceiling()
        )
        y = self.rule(items, y - 3.0)
        paragraphs = [
            *self.find_out(),
            *(
                Paragraph(self.locale.say(finding), sign="–", indent=3.0, before=2.0)
                for picture, _ in self.pairs
                for finding in about_air(self.design, self.patio, picture.afternoon)
            ),
        ]
        columns = self.columns(y - 3.0)
        flowed = text_and_tables.flow_text(paragraphs, columns)
        items += flowed.items
        return items, flowed.left_over

    def find_out(self) -> tuple[Paragraph, ...]:
        """What makes the first afternoon's range so wide, and what finding out would narrow."""
        first = self.design.cooling_of(self.patio, self.pairs[0][0].afternoon)
        head, sentences = afternoon_text.worth_measuring(self.design, first, self.locale)
        if not sentences:
            return ()
        split = Paragraph(afternoon_text.range_causes(first, self.locale), keep=True)
        rows = (Paragraph(sentence, sign="–", indent=3.0, before=1.0) for sentence in sentences)
        return split, Paragraph(f"{head}:", bold=True, before=1.5, keep=True), *rows

    def columns(self, top: float) -> list[Box]:
        half = (self.right - self.left - 5.0) / 2
        bottom = self.room.bottom + 7.0
        return [Box(x, bottom, x + half, top) for x in (self.left, self.left + half + 5.0)]

    def words(self, items: list[Item], y: float, *told: Paragraph) -> float:
        flowed = text_and_tables.flow_text(told, [Box(self.left, -1000.0, self.right, y)])
        items += flowed.items
        return flowed.bottom

    def rule(self, items: list[Item], y: float) -> float:
        items.append(LineSegment((self.left, y), (self.right, y), layer="NOTE", pen=BOLD))
        return y

    def maps(self, items: list[Item], layer: str, y: float) -> float:
        """The afternoons side by side, each with its name above and its wind and means beneath."""
        count = len(self.pairs)
        wide = min((self.right - self.left - GAP * (count - 1)) / count, WIDEST)
        lows = []
        for index, (picture, wet) in enumerate(self.pairs):
            left = self.left + index * (wide + GAP)
            name = self.locale.label(f"afternoon.{picture.afternoon}").upper()
            items.append(Text((left, y - 2.6), name, 2.5, True, layer="NOTE"))
            drawn = _PrintedMap(
                self.design, picture, wet, layer, self.scale, (left, y - 5.0), wide, self.locale
            )
            items += drawn.items()
            flowed = text_and_tables.flow_text(
                drawn.told(), [Box(left, -1000.0, left + wide, drawn.bottom - 3.0)]
            )
            items += flowed.items
            lows.append(flowed.bottom)
        return min(lows)

    def legend(self, items: list[Item], layer: str, y: float) -> float:
        sets = COOLER if layer == "cooler" else WET
        x = self.left
        for level in range(len(sets) + 1):
            name = map_classes.level_name(layer, level, self.scale, self.locale)
            words = Text((0.0, 0.0), name, layer="NOTE")
            if x + 11.5 + words.width > self.right:
                x, y = self.left, y - 6.5
            box = Box(x, y - 5.0, x + 10.0, y)
            items += _hatched(np.full((1, 1), level), np.ones((1, 1), dtype=bool), box, sets)
            items += [_outline(box, THIN), replace(words, at=(x + 11.5, y - 3.8))]
            x += 11.5 + words.width + 4.0
        return y - 5.0

    def seats(self) -> tuple[Paragraph, ...]:
        """Each numbered seat with its range on every afternoon."""
        names = [seat.name for seat in self.design.layout_of(self.patio).lid.seats]
        paragraphs = []
        for index in range(len(self.pairs[0][0].seats)):
            days = []
            for picture, _ in self.pairs:
                low, _, high = self.design.cooling_of(self.patio, picture.afternoon).seat_band(index)
                day = self.locale.label(f"afternoon.{picture.afternoon}")
                days.append(self.locale.label("map.day_span", day=day, span=self.locale.span(low, high)))
            name = names[index] if names else self.locale.label("map.no_seat")
            words = self.locale.label("map.seat", name=name, days=", ".join(days))
            paragraphs.append(Paragraph(words, sign=str(index + 1), indent=5.0, before=0.6))
            if len(names) <= FELT_SEATS and (felt := self.felt(index)):
                paragraphs.append(Paragraph(felt, indent=5.0))
        return tuple(paragraphs)

    def screens(self) -> tuple[Paragraph, ...]:
        sentences = screens.map_words(self.design.layout_of(self.patio), self.locale)
        return tuple(Paragraph(words, before=0.8) for words in sentences)

    def felt(self, seat: int) -> str:
        """How the first afternoon feels at one seat; empty where the index has no answer."""
        first = self.pairs[0][0].afternoon
        locale, feel = self.locale, self.design.cooling_of(self.patio, first).feel
        columns = seat_line(feel, seat, locale.units, locale.language)
        day = locale.label(f"afternoon.{first}")
        return locale.label("map.seat_felt", day=day, columns=columns) if columns else ""

    def ceiling(self) -> Paragraph:
        """Why a slogan says more than these maps."""
        first = self.pairs[0][0].afternoon
        note = map_classes.claims_note(self.design, self.design.cooling_of(self.patio, first), self.locale)
        return Paragraph(note, before=0.8)


@dataclass
class _PrintedMap:
    """One afternoon in black on white, its top left corner at `corner`."""

    design: Design
    picture: CoolingMap
    wet: Wetness
    layer: str
    scale: CoolingClasses
    corner: Point
    wide: float
    locale: Locale

    def __post_init__(self) -> None:
        self.layout = self.design.layout_of(self.picture.patio)
        beside = [end for screen in screens.drawable_screens(self.layout) for end in screen.line]
        shown = map_classes.frame_of(self.picture, beside)
        self.low = shown.left, shown.bottom
        self.mm = min((self.wide - 2.0) / shown.width, TALLEST / shown.height)
        left, top = self.corner[0] + 1.0, self.corner[1] - 1.0
        self.box = Box(left, top - shown.height * self.mm, left + shown.width * self.mm, top)
        self.bottom = self.box.bottom - 1.0

    def at(self, point: Point) -> Point:
        return (
            self.box.left + (point[0] - self.low[0]) * self.mm,
            self.box.bottom + (point[1] - self.low[1]) * self.mm,
        )

    def items(self) -> list[Item]:
        lid = self.layout.lid
        levels = map_classes.cell_classes(self.layer, self.picture, self.wet, 0, self.scale)
        cells = map_classes.frame_of(self.picture, ())
        corners = (self.at((cells.left, cells.bottom)), self.at((cells.right, cells.top)))
        field = around(corners)
        items = _hatched(levels, self.picture.inside, field, COOLER if self.layer == "cooler" else WET)
        outline = tuple(self.at(point) for point in lid.outline)
        items.append(Polyline(outline, True, layer="NOTE", pen=THIN))
        items += [LineSegment(self.at(a), self.at(b), layer="NOTE", pen=HEAVY) for a, b in lid.walls]
        items += [LineSegment(*(self.at(p) for p in run.tube), layer="NOTE", pen=DASHED) for run in lid.runs]
        signs = self.signs()
        for screen in screens.drawable_screens(self.layout):
            a, b = (self.at(end) for end in screen.line)
            pieces = _round((a, b), [box for _, box in signs])
            items += [LineSegment(*piece, layer="NOTE", pen=BROKEN) for piece in pieces]
        for sign, box in signs:
            x, y = box.middle
            items.append(_outline(box, MEDIUM, WHITE))
            items.append(Text((x, y - 1.25), sign, 2.5, True, align="middle", layer="NOTE"))
        return items

    def signs(self) -> list[tuple[str, Box]]:
        """A numbered box a seat, a lettered one a screen, moved no farther than it must to stand free of the
        others and the walls."""
        placed: list[tuple[str, Box]] = []
        signs = [(str(index + 1), point) for index, point in enumerate(self.picture.seats)]
        signs += [
            (
                letter,
                ((screen.line[0][0] + screen.line[1][0]) / 2, (screen.line[0][1] + screen.line[1][1]) / 2),
            )
            for letter, screen in screens.lettered(self.layout)
        ]
        for sign, point in signs:
            placed.append((sign, self.free(self.at(point), [box for _, box in placed])))
        return placed

    def free(self, at: Point, taken: Sequence[Box]) -> Box:
        half, wall = NUMBER / 2, 0.8
        box = self.box
        candidate = Box(0, 0, 0, 0)
        for ring in range(12):
            for turn in range(max(1, 8 * ring)):
                angle = 2 * pi * turn / max(1, 8 * ring)
                x = at[0] + ring * half * cos(angle)
                y = at[1] + ring * half * sin(angle)
                x = min(max(x, box.left + half + wall), max(box.right - half - wall, box.left + half + wall))
                y = min(
                    max(y, box.bottom + half + wall), max(box.top - half - wall, box.bottom + half + wall)
                )
                candidate = Box(x - half, y - half, x + half, y + half)
                if not any(candidate.meets(other, 0.4) for other in taken):
                    return candidate
        return candidate

    def told(self) -> list[Paragraph]:
        """The wind and the means of the map; or how much is damp and wet and when it is dry."""
        bearing = self.design.project.place.bearing
        picture, wet, label = self.picture, self.wet, self.locale.label
        if self.layer == "cooler":
            wind = map_classes.wind_words(picture, bearing, self.locale)
            means = label("map.told_cooler", mean=picture.mean_drop[0], mixed=picture.patio_drop)
            return [Paragraph(wind, sign=self.arrow, indent=10.0), Paragraph(means, before=1.5)]
        _, some, most = wet.floor_shares
        return [Paragraph(label("map.told_floor", some=some, most=most, drying=wet.dries_in()))]

    def arrow(self, at: Point) -> list[Item]:
        """The way the wind goes over the plan, 7 mm long."""
        c, s = cos(self.picture.toward), sin(self.picture.toward)

        def turned(u: float, v: float) -> Point:
            return at[0] + u * c - v * s, at[1] + u * s + v * c

        head = (turned(1.2, 1.5), turned(3.5, 0.0), turned(1.2, -1.5))
        shaft = LineSegment(turned(-3.5, 0.0), turned(3.5, 0.0), layer="NOTE", pen=MEDIUM)
        return [shaft, Polyline(head, layer="NOTE", pen=MEDIUM)]


def _round(line: tuple[Point, Point], boxes: Sequence[Box]) -> list[line_geometry.Segment]:
    """A line without what lies under boxes."""
    under = [cut for box in boxes if (cut := line_geometry.clip(line, box)) is not None]
    return line_geometry.split(line, [(dist(line[0], a), dist(line[0], b)) for a, b in under])


def _outline(box: Box, pen: Pen, fill: str | None = None) -> Polyline:
    corners = (
        (box.left, box.bottom), (box.right, box.bottom), (box.right, box.top), (box.left, box.top),
    )  # fmt: skip
    return Polyline(corners, True, fill, layer="NOTE", pen=pen)


def _hatched(
    levels: np.ndarray, inside: np.ndarray, box: Box, sets: Sequence[tuple[float, float, float]]
) -> list[Item]:
    """Lines over cells [y, x] that fill a box: the n-th set wherever the class is n or more."""
    items: list[Item] = []
    for number, (turn, apart, shift) in enumerate(sets, 1):
        there = inside & (levels >= number)
        if there.any():
            items += _lines(there, box, turn, apart, shift)
    return items


def _lines(there: np.ndarray, box: Box, turn: float, apart: float, shift: float) -> Iterator[Item]:
    """Parallel lines cut to the cells that are there, looked up every SAMPLE mm along them."""
    c, s = cos(turn * pi / 180), sin(turn * pi / 180)
    corners = [(x * c + y * s, -x * s + y * c) for x in (box.left, box.right) for y in (box.bottom, box.top)]
    start, end = min(u for u, _ in corners), max(u for u, _ in corners)
    low, high = min(v for _, v in corners), max(v for _, v in corners)
    u = np.arange(start, end + SAMPLE, SAMPLE)
    ny, nx = there.shape
    for step in range(int(np.ceil((low - shift) / apart)), int(np.floor((high - shift) / apart)) + 1):
        v = step * apart + shift
        x, y = u * c - v * s, u * s + v * c
        column = np.floor((x - box.left) / box.width * nx).astype(int)
        row = np.floor((y - box.bottom) / box.height * ny).astype(int)
        held = (column >= 0) & (column < nx) & (row >= 0) & (row < ny)
        hit = np.zeros(len(u), dtype=int)
        hit[held] = there[row[held], column[held]]
        edges = np.flatnonzero(np.diff(np.concatenate(([0], hit, [0]))))
        for first, last in zip(edges[::2], edges[1::2] - 1, strict=True):
            if last > first:
                ends = ((float(x[i]), float(y[i])) for i in (first, last))
                yield LineSegment(*ends, layer="NOTE", pen=FINE)
