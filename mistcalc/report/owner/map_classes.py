"""Classes of a plan map: six of cooling, three of floor, faces and scale; the same on screen and on paper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from mistcalc.drawing.boxes import Box, Point, around
from mistcalc.model.results import Cooling, CoolingMap, Design, Wetness
from mistcalc.report.common.locale_text import Locale
from mistcalc.units import System, compass_point, degree_of

CLASSES = 6
STEPS = (0.5, 1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0)  # degrees, as shown
LAYERS = ("cooler", "floor", "faces", "scale")


@dataclass(frozen=True)
class CoolingClasses:
    """Equal classes from 0 up, common to maps shown beside each other. `degree`: K of one shown degree."""

    step: float
    degree: float

    def classes(self, drop: np.ndarray) -> np.ndarray:
        """Which class, 0 to 5, each drop [K] falls in."""
        return np.clip(drop / self.degree / self.step, 0.0, CLASSES - 1).astype(int)

    def name(self, level: int, locale: Locale) -> str:
        """ "under 2", "2 to 4", ... "over 10", degrees as shown."""
        low, high = self.step * level, self.step * (level + 1)
        if level == 0:
            return locale.label("map.under", value=f"{high:g}")
        if level == CLASSES - 1:
            return locale.label("map.over", value=f"{low:g}")
        return locale.label("map.between", low=f"{low:g}", high=f"{high:g}")


def scale_of(pictures: Sequence[CoolingMap], units: System) -> CoolingClasses:
    """The finest steps in which six classes hold the coldest place of all maps."""
    return classes_up_to(max((float(p.drop.max(initial=0.0)) for p in pictures), default=0.0), units)


def classes_up_to(most: float, units: System) -> CoolingClasses:
    """The finest steps in which six classes hold a drop of `most` [K]."""
    degree = degree_of(units)
    step = next((s for s in STEPS if CLASSES * s >= most / degree), STEPS[-1])
    return CoolingClasses(step, degree)


def cell_classes(
    layer: str, picture: CoolingMap, wet: Wetness, height: int, scale: CoolingClasses
) -> np.ndarray:
    """The class of every cell of one of LAYERS, [y, x]. height: index."""
    if layer == "floor":
        return wet.floor
    if layer == "faces":
        return wet.face[height]
    if layer == "scale":
        return wet.scale
    return scale.classes(picture.drop[height])


def level_name(layer: str, level: int, scale: CoolingClasses, locale: Locale) -> str:
    return scale.name(level, locale) if layer == "cooler" else locale.label(f"map.{layer}_{level}")


def floor_words(wet: Wetness, locale: Locale) -> str:
    """How much of the floor is damp and wet, and when it is dry."""
    _, some, most = wet.floor_shares
    if some + most == 0.0:
        return locale.label("map.floor_stays_dry")
    return locale.label("map.told_floor", some=some, most=most, drying=wet.dries_in())


def frame_of(picture: CoolingMap, beside: Sequence[Point]) -> Box:
    """What a map shows, in plan meters: the picture's cells and some points beside them."""
    (dx, dy), x, y = picture.cell, picture.x, picture.y
    low, high = (float(x[0]) - dx / 2, float(y[0]) - dy / 2), (float(x[-1]) + dx / 2, float(y[-1]) + dy / 2)
    return around((low, high, *beside))


def claims_note(design: Design, cooled: Cooling, locale: Locale) -> str:
    """The most the wet bulb allows, over the hours of the afternoon; before it why claims say more, where
    the seats do not reach them."""
    claims = design.verdict_of(cooled.patio, cooled.afternoon).claims
    return locale.label("map.slogan", claims=claims, most=cooled.most()[::2], day=cooled.afternoon)


def wind_words(picture: CoolingMap, bearing: float, locale: Locale) -> str:
    """Speed and where from, beside an arrow; that the direction is unknown, where it is. bearing: heading of
    x, rad clockwise from north."""
    if not picture.wind_known:
        return locale.label("map.wind_unknown", speed=picture.wind)
    comes_from = bearing - picture.toward + np.pi
    side = locale.label(f"word.{compass_point(comes_from)}")
    return locale.label("map.wind", speed=picture.wind, side=side)
