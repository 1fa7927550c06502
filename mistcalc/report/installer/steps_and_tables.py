"""Numbered steps and tables under a head, as the sheets of a test and of a watch have them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from mistcalc.drawing import text_and_tables
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.sheet import Item
from mistcalc.drawing.text_and_tables import Paragraph, Row, TableColumn
from mistcalc.report.common.locale_text import Locale

ROWS, BETWEEN = (5.6, 5.3, 5.0), 5.0  # mm: a row, lower at need; from one table to the next


@dataclass(frozen=True)
class HeadedTable:
    """A table with its head. blanks: its rows are only to write in, and as many are drawn as find room."""

    head: str
    columns: tuple[TableColumn, ...]
    rows: tuple[Row, ...]
    blanks: bool = False


def stack_tables(tables: Sequence[HeadedTable], room: Box) -> tuple[list[Item], Sequence[HeadedTable]]:
    """Tables under each other, each under its head, and those that found no room; rows are a little lower
    where all find room so."""
    tries = [_stacked(tables, room, row) for row in ROWS]
    return next((one for one in tries if not one[1]), tries[0])


def _stacked(
    tables: Sequence[HeadedTable], room: Box, row: float
) -> tuple[list[Item], Sequence[HeadedTable]]:
    items: list[Item] = []
    y = room.top
    for number, table in enumerate(tables):
        head = text_and_tables.flow_text(
            [text_and_tables.heading(table.head, rule=False)], [room._replace(top=y)]
        )
        rows = 1 if table.blanks else len(table.rows)
        if head.bottom - 2.0 - row * (1 + rows) < room.bottom:
            return items, tables[number:]
        items += head.items
        drawn = text_and_tables.table(
            table.columns, table.rows, (room.left, head.bottom - 2.0), room.bottom, row
        )
        items += drawn.items
        y = drawn.bottom - BETWEEN
    return items, ()


def plain_gauge(value: float, kind: str, locale: Locale) -> str:
    """A gauge without its unit, which the table's head tells; a dash for what no gauge shows."""
    return locale.number(value, kind).rsplit(" ", 1)[0] if value > 0.0 else "–"


def signed_change(change: float, locale: Locale) -> str:
    text = locale.number(abs(change), "degrees")
    return text if text == "0" else f"{'+' if change > 0 else '–'}{text}"


def pressure_unit(locale: Locale) -> str:
    return "psi" if locale.units == "us" else "bar"


def numbered_steps(keys: Sequence[str], section: str, locale: Locale, **values: object) -> list[Paragraph]:
    return [
        Paragraph(locale.label(f"{section}.{key}", **values), sign=f"{n}", indent=6.0, before=1.6)
        for n, key in enumerate(keys, 1)
    ]


def dashed(sentences: Sequence[str]) -> list[Paragraph]:
    return [Paragraph(words, sign="–", indent=3.5) for words in sentences]
