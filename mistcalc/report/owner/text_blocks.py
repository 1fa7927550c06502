"""What the year's text is made of: tables, paragraphs, ranges of figures."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from mistcalc.model.results import Band
from mistcalc.report.common.locale_text import Locale

PLAIN, WIDE, NARROW = (36, 44), (13, 20, 20, 27), (24, 14, 14, 14, 14)  # a terminal's columns
NARROWER = (22, 9, 12, 11, 13, 13)  # of two patios


@dataclass(frozen=True)
class SeasonTable:
    """A head and rows of cells, the first of each a name; widths of the columns, of 80 together."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    widths: tuple[int, ...] = PLAIN
    drawn_on_page: bool = False  # the page has it as a picture


@dataclass(frozen=True)
class Prose:
    """A paragraph, or a heading of what follows."""

    text: str
    heading: bool = False
    apart: bool = False  # from what stands before it
    drawn_on_page: bool = False  # the page says it of its own picture


@dataclass(frozen=True)
class RangeBar:
    """A figure with how long its bar is: low, middle and high as shares of the longest of its column."""

    text: str
    shares: Band


@dataclass(frozen=True)
class RangeBars:
    """A picture of rows, a bar in each column: solid to the low figure, open to the high one, a line across
    at the middle. The same figures stand in tables, which a terminal has alone."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, tuple[RangeBar, ...]], ...]


Block = SeasonTable | Prose


def hours(band: Band, locale: Locale) -> str:
    return shown(band, lambda value: locale.number(value, "whole"), locale)


def shown(band: Band, figure: Callable[[float], str], locale: Locale) -> str:
    """Low to middle to high; one figure where all three read alike."""
    low, middle, high = (figure(value) for value in band)
    return middle if low == middle == high else locale.label("season.cell", low=low, middle=middle, high=high)


def volumes(band: Band, locale: Locale) -> str:
    """Water of a range, all three in the unit of the largest: "0 L to 285 L", not "0 mL to 285 L"."""
    return shown(band, lambda value: locale.number(value, "volume", band[2]), locale)
