"""The one door to spreadsheets: a table as CSV in which no text is run as a formula."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import pandas as pd


def csv_of(table: pd.DataFrame, float_format: str | None = None) -> str:
    """Rows end as the CSV standard has them (RFC 4180); numbers stay numbers, text goes through `cell`."""
    safe_table = table.map(lambda value: cell(value) if isinstance(value, str) else value)
    return safe_table.to_csv(index=False, lineterminator="\r\n", float_format=float_format)


def cell(text: str) -> str:
    """Text a spreadsheet will not run: names come from a file anyone may have written.

    A leading = + - @ or control sign starts a formula in common spreadsheets; an apostrophe before it
    makes it text again.
    """
    text = "".join(" " if sign < " " or sign == "\x7f" else sign for sign in text)
    return f"'{text}" if text.lstrip()[:1] in ("=", "+", "-", "@", "＝", "＋", "－", "＠") else text
