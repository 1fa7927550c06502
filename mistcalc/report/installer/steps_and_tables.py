"""Numbered steps and tables under a head, as the sheets of a test and of a watch have them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from mistcalc.drawing import text_and_tables
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.sheet import Item
from mistcalc.drawing.text_and_tables import Paragraph, Row, TableColumn
from mistcalc.report.common.locale_text import Locale

ROWS, BETWEEN = (5.3, 5.0), 4.0  # mm: a row, lower at need; from one table to the next


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
        drawn = _drawn(table, room._replace(top=y), row)
        if drawn is None:
            return items, tables[number:]
        items += drawn[0]
        y = drawn[1] - BETWEEN
    return items, ()


def _drawn(table: HeadedTable, room: Box, row: float) -> tuple[list[Item], float] | None:
    """One table under its head, and where it ends; None where it finds no room."""
    head = text_and_tables.flow_text([text_and_tables.heading(table.head, rule=False)], [room])
    rows = sum(text_and_tables.row_depth(one, row) for one in table.rows[: 1 if table.blanks else None])
    heads = text_and_tables.row_depth(Row(tuple(column.head for column in table.columns)), row)
    if head.bottom - 2.0 - heads - rows < room.bottom:
        return None
    drawn = text_and_tables.table(table.columns, table.rows, (room.left, head.bottom - 2.0), room.bottom, row)
    return [*head.items, *drawn.items], drawn.bottom


def with_heads_in_full(columns: Sequence[TableColumn]) -> tuple[TableColumn, ...]:
    """Columns as wide together, none narrower than the longest word of its head; heads in as many lines as
    they take."""
    least = [max(map(text_and_tables.head_width, column.head.split(" "))) for column in columns]
    over = sum(max(0.0, need - column.width) for need, column in zip(least, columns, strict=True))
    spare = sum(max(0.0, column.width - need) for need, column in zip(least, columns, strict=True))
    share = min(1.0, over / max(spare, 1e-9))
    made = []
    for need, column in zip(least, columns, strict=True):
        wide = max(need, column.width - share * max(0.0, column.width - need)) + 0.01
        head = text_and_tables.in_lines(column.head, replace(column, width=wide, bold=True, height=2.5))
        made.append(replace(column, width=wide, head=head))
    return tuple(made)


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
