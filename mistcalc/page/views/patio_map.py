"""The patio in plan, the afternoons side by side: how much cooler, what gets wet, where scale lands.

The picture is an image with its text beside it (Streamlit keeps no drawing in its markup); over it lie
clear patches whose titles tell the values under the pointer, and a table says the same in words.
"""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterator, Sequence
from math import cos, sin

import numpy as np
import streamlit as st

from mistcalc.model.results import CoolingMap, Design, Layout, Wetness
from mistcalc.page.open_project import OpenProject
from mistcalc.page.views import components, controls
from mistcalc.report.common import screens
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.owner import map_classes
from mistcalc.report.owner.map_classes import CoolingClasses
from mistcalc.report.owner.printed_plan import grown, leaning

# Cividis (Nunez, Anderton & Renslow 2018), light to dark; writing on the first three is dark.
SIX = ("#fee838", "#c8b866", "#948e77", "#666970", "#35456c", "#00224e")
THREE = ("#ffffff", "#948e77", "#00224e")
WIDE, PAD = 340.0, 8.0  # px of the drawing's own measure, and round the lid
TALLEST = 420.0
PATCHES = 14  # of the longer side
SEAT, SIGN = 14.0, 8.2  # px: writing of a seat's box; width of one of its signs


LAYERS = ("floor", "faces", "scale", "cooler")  # what is felt stands above it; of the air itself last


def show(opened: OpenProject, job: Design, afternoon: str) -> None:
    """Switches, the map of one afternoon, the legend that all of them share, and all of them in words."""
    every = [job.picture_of(opened.patio.name, air.name) for air in job.afternoons]
    pairs = [pair for pair in every if pair is not None]
    if not pairs:
        return
    label = opened.label
    locale = opened.locale
    layer, height = _switches(opened, pairs[0][0])
    scale = map_classes.scale_of([picture for picture, _ in pairs], opened.project.units)
    laid = job.layout_of(opened.patio.name)
    drawn = (
        _Map(opened, job, laid, picture, wet, layer, height, scale, locale)
        for picture, wet in pairs
        if picture.afternoon == afternoon
    )
    st.html(f'<div class="maps">{"".join(drawn_map.html() for drawn_map in drawn)}</div>')
    st.html(_legend(layer, scale, locale))
    components.side(label(f"map.{layer}_meant"))
    for map_word in screens.map_words(laid, locale):
        components.side(map_word)
    components.side(label("map.one_case"))
    components.heading(label("map.in_numbers"))
    _table(opened, job, laid, [picture for picture, _ in pairs], [wet for _, wet in pairs])


def _switches(opened: OpenProject, picture: CoolingMap) -> tuple[str, int]:
    label = opened.label
    with st.container(key="map-switches", horizontal=True):
        layer = controls.radio_buttons(
            label("map.shown"),
            LAYERS,
            format_func=lambda name: label(f"map.layer_{name}"),
            horizontal=True,
            key=f"map-layer:{opened.identity}",
        )
        height = 0
        if layer in ("cooler", "faces"):
            height = controls.radio_buttons(
                label("map.height"),
                range(len(picture.heights)),
                format_func=lambda i: label(f"map.at_{i}", height=picture.heights[i]),
                horizontal=True,
                key=f"map-height:{opened.identity}",
            )
    return layer or LAYERS[0], height or 0


class _Map:
    """One afternoon. Plan metres go to px with y down."""

    def __init__(
        self,
        opened: OpenProject,
        job: Design,
        laid: Layout,
        picture: CoolingMap,
        wet: Wetness,
        layer: str,
        height: int,
        scale: CoolingClasses,
        locale: Locale,
    ) -> None:
        self.opened, self.job, self.laid, self.picture, self.wet = opened, job, laid, picture, wet
        self.layer, self.height, self.locale = layer, height, locale
        self.levels = map_classes.cell_classes(layer, picture, wet, height, scale)
        step = picture.cell
        self.low = picture.x[0] - step[0] / 2, picture.y[0] - step[1] / 2  # of the cells
        self.box = map_classes.frame_of(
            picture, [end for screen in screens.drawable_screens(laid) for end in screen.line]
        )
        self.px = min((WIDE - 2 * PAD) / self.box.width, TALLEST / self.box.height)
        self.tall = self.box.height * self.px + 2 * PAD

    def at(self, x: float, y: float) -> tuple[float, float]:
        return PAD + (x - self.box.left) * self.px, self.tall - PAD - (y - self.box.bottom) * self.px

    def html(self) -> str:
        name = self.opened.label(f"afternoon.{self.picture.afternoon}")
        picture = b64encode(self.svg().encode()).decode()
        text = components.safe(self._told())
        wind = map_classes.wind_words(
            self.picture, self.opened.project.heading(self.picture.patio), self.locale
        )
        return (
            f'<figure class="map"><h3>{components.safe(name)}</h3><div class="drawing">'
            f'<img alt="{text}" src="data:image/svg+xml;base64,{picture}">{"".join(self._patches())}</div>'
            f'<figcaption><span class="wind" aria-hidden="true">{_arrow(self.picture)}</span>'
            f"{components.safe(wind)}<br>{text}</figcaption></figure>"
        )

    def svg(self) -> str:
        colours = SIX if self.layer == "cooler" else THREE
        lid = self.laid.lid
        levels, inside, cut = self.levels, self.picture.inside, ""
        if any(map(leaning, lid.loops)):  # such a side cuts through cells
            (levels, inside), cut = grown(levels, inside), ' clip-path="url(#lid)"'
        fields = "".join(
            f'<path fill="{colour}" d="{self._cells(inside & (levels == level))}"/>'
            for level, colour in enumerate(colours)
        )
        outline = "".join(
            f'<polygon points="{" ".join(f"{x:.1f},{y:.1f}" for x, y in (self.at(*p) for p in loop))}" '
            f'fill="none" stroke="#111111" stroke-width="1"/>'
            for loop in lid.loops
        )
        lines = "".join(_line(*self.at(*a), *self.at(*b), 4) for a, b in lid.walls)
        for row in lid.rows:
            start, end = self.job.line.laid_tube(row)
            lines += _line(*self.at(*start), *self.at(*end), 2, "7 3")
        for screen in screens.drawable_screens(self.laid):
            lines += _line(*self.at(*screen.line[0]), *self.at(*screen.line[1]), 4, "6 4")
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDE:.0f} {self.tall:.0f}" '
            f'width="{WIDE:.0f}" height="{self.tall:.0f}" font-family="DejaVu Sans, Arial, sans-serif" '
            f'font-size="{SEAT:.0f}">{self._clip() if cut else ""}'
            f'<g shape-rendering="crispEdges"{cut}>{fields}</g>'
            f"{outline}{lines}"
            f"{''.join(self._seats())}{''.join(self._letters())}</svg>"
        )

    def _clip(self) -> str:
        """All that is under the lid."""
        loops = (
            "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in (self.at(*p) for p in loop)) + "z"
            for loop in self.laid.lid.loops
        )
        return f'<clipPath id="lid"><path clip-rule="evenodd" d="{"".join(loops)}"/></clipPath>'

    def _cells(self, there: np.ndarray) -> str:
        """One path of a rectangle for every stretch of like cells in a row."""
        out = []
        dx, dy = self.picture.cell
        for row, line in enumerate(there):
            edges = np.flatnonzero(np.diff(np.concatenate(([0], line.astype(int), [0]))))
            for first, last in zip(edges[::2], edges[1::2], strict=True):
                x, y = self.at(self.low[0] + first * dx, self.low[1] + (row + 1) * dy)
                out.append(
                    f"M{x:.1f} {y:.1f}h{(last - first) * dx * self.px:.1f}v{dy * self.px:.1f}H{x:.1f}z"
                )
        return "".join(out)

    def _seats(self) -> Iterator[str]:
        """A box a seat: its name, and its range or its class."""
        taken: list[tuple[float, float, float, float]] = []
        for index, point in enumerate(self.picture.seats):
            lines = [line for line in (_seat_name(self.laid, index), self._seat_value(index)) if line]
            wide = max(len(line) for line in lines) * SIGN + 8
            tall = 17.0 * len(lines) + 4
            x, y = self.at(*point)
            left = min(max(x - wide / 2, 1), WIDE - wide - 1)
            top = min(max(y - tall / 2, 1), self.tall - tall - 1)
            while any(abs(left - a) < (wide + c) / 2 + 2 and abs(top - b) < (tall + d) / 2 + 2
                      for a, b, c, d in taken) and top + 2 * tall < self.tall:  # fmt: skip
                top += 6
            taken.append((left, top, wide, tall))
            yield (
                f'<rect x="{left:.1f}" y="{top:.1f}" width="{wide:.1f}" height="{tall:.1f}" fill="#ffffff" '
                'stroke="#111111" stroke-width="1.5"/>'
            )
            for number, line in enumerate(lines):
                weight = ' font-weight="700"' if number == len(lines) - 1 else ""
                yield (
                    f'<text x="{left + wide / 2:.1f}" y="{top + 16 + 17 * number:.1f}" text-anchor="middle" '
                    f'fill="#111111"{weight}>{components.safe(line)}</text>'
                )

    def _letters(self) -> Iterator[str]:
        """The letter of each screen, at its middle."""
        for letter, screen in screens.lettered(self.laid):
            (ax, ay), (bx, by) = screen.line
            x, y = self.at((ax + bx) / 2, (ay + by) / 2)
            x, y = min(max(x, 9.0), WIDE - 9.0), min(max(y, 9.0), self.tall - 9.0)
            yield (
                f'<rect x="{x - 8:.1f}" y="{y - 8:.1f}" width="16" height="16" fill="#ffffff" '
                'stroke="#111111"/>'
                f'<text x="{x:.1f}" y="{y + 5:.1f}" text-anchor="middle" fill="#111111">{letter}</text>'
            )

    def _seat_value(self, index: int) -> str:
        if self.layer == "cooler":
            return seat_span(self.job, self.picture, index, self.locale)
        cell = self.picture.cell_at(self.picture.seats[index])
        return self.locale.label(f"map.{self.layer}_{int(self.levels[cell])}")

    def _patches(self) -> Iterator[str]:
        """Clear patches over the drawing, each with the values of its middle as title."""
        picture = self.picture
        ny, nx = picture.inside.shape
        group = max(1, -(-max(nx, ny) // PATCHES))
        for row in range(0, ny, group):
            for column in range(0, nx, group):
                middle = min(row + group // 2, ny - 1), min(column + group // 2, nx - 1)
                if not picture.inside[middle]:
                    continue
                last_row, last_column = min(row + group, ny), min(column + group, nx)
                dx, dy = picture.cell
                x, y = self.at(self.low[0] + column * dx, self.low[1] + last_row * dy)
                wide, tall = (last_column - column) * dx * self.px, (last_row - row) * dy * self.px
                style = (
                    f"left:{100 * x / WIDE:.2f}%;top:{100 * y / self.tall:.2f}%;"
                    f"width:{100 * wide / WIDE:.2f}%;height:{100 * tall / self.tall:.2f}%"
                )
                yield f'<i style="{style}" title="{components.safe(self._here(*middle))}"></i>'

    def _here(self, row: int, column: int) -> str:
        label, picture, wet = self.locale.label, self.picture, self.wet
        return label(
            "map.here",
            drop=float(picture.drop[self.height, row, column]),
            floor=label(f"map.floor_{int(wet.floor[row, column])}"),
            faces=label(f"map.faces_{int(wet.face[self.height, row, column])}"),
        )

    def _told(self) -> str:
        """What the map shows, in a sentence."""
        picture, wet, label = self.picture, self.wet, self.locale.label
        if self.layer == "cooler":
            return label("map.told_cooler", mean=picture.mean_drop[self.height], mixed=picture.patio_drop)
        if self.layer == "scale":
            return label("map.told_scale", part=sum(wet.scale_shares[1:]))
        if self.layer == "floor":
            return map_classes.floor_words(wet, self.locale)
        _, some, most = wet.face_shares[self.height]
        return label("map.told_faces", some=some, most=most)


def seat_span(job: Design, picture: CoolingMap, index: int, locale: Locale) -> str:
    """ "4 to 9 °F": the range at one seat."""
    low, _, high = job.cooling_of(picture.patio, picture.afternoon).seat_band(index)
    return locale.span(low, high)


def _seat_name(laid: Layout, index: int) -> str:
    """A stated seat's name, cut where it is long; one supposed has none."""
    name = laid.lid.seats[index].name if laid.lid.seats else ""
    return f"{name[:15]}..." if len(name) > 18 else name


def _line(x0: float, y0: float, x1: float, y1: float, width: int, dash: str = "") -> str:
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    return f'<path d="M{x0:.1f} {y0:.1f}L{x1:.1f} {y1:.1f}" stroke="#111111" stroke-width="{width}"{dashed}/>'


def _arrow(picture: CoolingMap) -> str:
    """An arrow the way the wind goes over the plan."""
    c, s = cos(picture.toward), -sin(picture.toward)
    turned = "".join(
        f"{'M' if move else 'L'}{20 + x * c - y * s:.1f} {20 + x * s + y * c:.1f}"
        for x, y, move in ((-16, 0, 1), (15, 0, 0), (5, -8, 1), (16, 0, 0), (5, 8, 0))
    )
    drawn = (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 40" width="40" height="40">'
        f'<path d="{turned}" fill="none" stroke="#111111" stroke-width="3"/></svg>'
    )
    return f'<img alt="" src="data:image/svg+xml;base64,{b64encode(drawn.encode()).decode()}">'


def _legend(layer: str, scale: CoolingClasses, locale: Locale) -> str:
    colours = SIX if layer == "cooler" else THREE
    keys = "".join(
        f'<span class="key"><i style="background:{colour}"></i>'
        f"{components.safe(map_classes.level_name(layer, level, scale, locale))}</span>"
        for level, colour in enumerate(colours)
    )
    unit = components.safe(locale.label("page.degrees_cooler")) if layer == "cooler" else ""
    return f'<div class="legend">{unit} {keys}</div>'


def _table(
    opened: OpenProject, job: Design, laid: Layout, pictures: Sequence[CoolingMap], wets: Sequence[Wetness]
) -> None:
    """Every afternoon and seat: its range, and in the case drawn what is there sitting and standing."""
    label = opened.label
    locale = opened.locale
    names = ("afternoon", "seat", "range", "sitting", "standing", "floor", "faces", "drying")
    head = [label(f"map.col_{name}") for name in names]
    rows: list[Sequence[str]] = []
    for picture, wet in zip(pictures, wets, strict=True):
        day = label(f"afternoon.{picture.afternoon}")
        for index, point in enumerate(picture.seats):
            cell = picture.cell_at(point)
            dries = wet.dries_in(cell)
            drying = "-" if dries is None else components.quantity_text(opened, dries, "rough_time")
            rows.append((
                day,
                _seat_name(laid, index) or label("map.no_seat"),
                seat_span(job, picture, index, locale),
                *(locale.number(float(picture.seat_drop[h, index]), "temperature_difference")
                  for h in (0, len(picture.heights) - 1)),
                label(f"map.floor_{int(wet.floor[cell])}"),
                label(f"map.faces_{int(wet.face[0][cell])}"),
                drying,
            ))  # fmt: skip
    components.table(head, rows)
    sentences = [
        label(
            "map.means",
            day=label(f"afternoon.{p.afternoon}"),
            seated=p.mean_drop[0],
            standing=p.mean_drop[-1],
            mixed=p.patio_drop,
        )
        for p in pictures
    ]
    for sentence in sentences:
        components.sentence(sentence)
    components.side(label("map.means_why"))
