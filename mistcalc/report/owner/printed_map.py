"""One afternoon's map of a patio for a printer of black alone.

More cooling, or more water, is more lines: each class adds a set of parallel lines to those of the class
below, so a photocopy keeps their order.
"""

from __future__ import annotations

from dataclasses import dataclass

from mistcalc.drawing.boxes import Point
from mistcalc.drawing.sheet import Item
from mistcalc.drawing.text_and_tables import Paragraph
from mistcalc.model.results import CoolingMap, Design, Wetness
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.owner import map_classes
from mistcalc.report.owner.map_classes import CoolingClasses
from mistcalc.report.owner.printed_plan import TALLEST, PrintedPlan, arrow

# Sets of lines: direction [deg], distance apart, shift of the first [mm]; class n has the first n sets.
COOLER = ((45.0, 4.8, 0.0), (45.0, 4.8, 2.4), (45.0, 2.4, 1.2), (135.0, 2.4, 0.0), (135.0, 2.4, 1.2))
WET = ((45.0, 2.4, 0.0), (135.0, 1.2, 0.0))


@dataclass
class PrintedMap:
    """One afternoon in black on white, its top left corner at `corner`."""

    design: Design
    picture: CoolingMap
    wet: Wetness
    layer: str
    scale: CoolingClasses
    corner: Point
    wide: float
    locale: Locale
    tallest: float = TALLEST  # mm

    def __post_init__(self) -> None:
        layout, cells = self.design.layout_of(self.picture.patio), map_classes.frame_of(self.picture, ())
        seats, line = self.picture.seats, self.design.line
        self.plan = PrintedPlan(layout, line, cells, seats, self.corner, self.wide, self.tallest)
        self.bottom = self.plan.bottom

    def items(self) -> list[Item]:
        levels = map_classes.cell_classes(self.layer, self.picture, self.wet, 0, self.scale)
        return self.plan.items(levels, self.picture.inside, COOLER if self.layer == "cooler" else WET)

    def told(self) -> list[Paragraph]:
        """The wind and the means of the map; or how much is damp and wet and when it is dry."""
        bearing = self.design.project.heading(self.picture.patio)
        picture, wet, label = self.picture, self.wet, self.locale.label
        if self.layer == "cooler":
            wind = map_classes.wind_words(picture, bearing, self.locale)
            means = label("map.told_cooler", mean=picture.mean_drop[0], mixed=picture.patio_drop)
            return [
                Paragraph(wind, sign=lambda at: arrow(at, picture.toward), indent=10.0),
                Paragraph(means, before=1.5),
            ]
        return [Paragraph(map_classes.floor_words(wet, self.locale))]
