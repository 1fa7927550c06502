"""What loggers export: a table of text, with lines before its header, in any of the usual spellings.

Nothing is guessed that cannot be seen: whoever calls says which column is what and in which unit.
"""

from __future__ import annotations

import csv
import datetime
import io
import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from mistcalc.errors import InputError, InputErrors
from mistcalc.files.text.reading import read_bytes

MOST_BYTES, MOST_LINES = 20_000_000, 200_000
MISSING = {"", "-", "--", "---", "nan", "null", "none", "na", "n/a", "#n/a", "-9999", "-999", "-9999.0"}
LOOKED_AT = 200  # lines by which the delimiter is told
HEADER_WITHIN = 60  # lines before the readings
UNITS_LINES = 2  # lines between header and readings that may hold units
_DATE = (
    r"(?:(?P<y>\d{4})[-/.](?P<m>\d{1,2})[-/.](?P<d>\d{1,2})"
    r"|(?P<a>\d{1,2})[-/.](?P<b>\d{1,2})[-/.](?P<c>\d{4}|\d{2})"
    r"|(?P<nd>\d{1,2})[-\s](?P<nm>[A-Za-z]{3})[A-Za-z]*[-\s,]+(?P<ny>\d{4}))"
)
_CLOCK = r"(?P<h>\d{1,2}):(?P<min>\d{2})(?::(?P<s>\d{2}(?:[.,]\d+)?))?(?:\s*(?P<half>[apAP])\.?\s?[mM]\.?)?"
_ZONE = r"(?:\s*(?P<zone>Z|UTC|GMT|(?:UTC|GMT)?[+-]\d{2}:?\d{2}))?"
_STAMP = re.compile(rf"(?:{_DATE}[T,\s]+)?{_CLOCK}{_ZONE}")
_SERIAL = re.compile(r"\d{5}[.,]\d+")
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_UNIT = re.compile(
    r"(?:[°º\ufffd?(\[]|deg|degrees)\s*(?P<unit>[CF])(?![A-Za-z])|(?P<word>celsius|fahrenheit)", re.I
)
SERIAL_ZERO = datetime.date(1899, 12, 30).toordinal()  # day 0 of spreadsheets (the 1900 system)
ORDERS = ("day first", "month first")


@dataclass(frozen=True)
class Stamps:
    """Rows that hold a time: place in `LoggerTable.lines`, and seconds since the calendar began."""

    rows: tuple[int, ...]
    seconds: np.ndarray


@dataclass(frozen=True)
class LoggerTable:
    source: str
    lines: tuple[tuple[int, tuple[str, ...]], ...]  # number of the line in the file, its cells

    def headings(self) -> tuple[str, ...]:
        """The likeliest header: of the lines before the readings, the last with the most cells."""
        before = []
        for _, cells in self.lines[:HEADER_WITHIN]:
            if any(_STAMP.fullmatch(c.strip()) or _SERIAL.fullmatch(c.strip()) for c in cells):
                break
            before.append(tuple(c.strip() for c in cells))
        return max(before, key=lambda cells: sum(map(bool, cells)), default=())

    def find(self, wanted: Sequence[str | int], key: str) -> tuple[tuple[int, ...], int]:
        """Columns of headings, or of numbers counted from 1; and how many lines end with the header.

        Raises InputError, which names the headings there are.
        """
        names = [_plain(w) for w in wanted if isinstance(w, str)]
        at = 0
        for number, (_, cells) in enumerate(self.lines[:HEADER_WITHIN]):
            if names and set(names) <= {_plain(cell) for cell in cells}:
                at = number + 1
                break
        else:
            if names:
                have = self.headings()
                lost = next(
                    (w for w in wanted if isinstance(w, str) and _plain(w) not in map(_plain, have)), ""
                )
                raise InputError("day-no-column", key, text=str(lost or wanted[0]), known=have[:20],
                                 source=self.source)  # fmt: skip
        header = [_plain(cell) for cell in self.lines[at - 1][1]] if names else []
        wide = max((len(cells) for _, cells in self.lines), default=0)
        columns = []
        for column in wanted:
            if isinstance(column, int) and not 1 <= column <= wide:
                raise InputError("day-column-number", key, text=str(column), most=wide, source=self.source)
            if isinstance(column, str) and header.count(_plain(column)) > 1:
                raise InputError(
                    "day-column-twice", key, text=column, instead=header.index(_plain(column)) + 1
                )
            columns.append(column - 1 if isinstance(column, int) else header.index(_plain(column)))
        return tuple(columns), at

    def times(self, columns: Sequence[int], start: int, order: str) -> Stamps:
        """The time in each row from `start` on. order: one of ORDERS, or "" where nobody said.

        Raises InputError: a time that cannot be read, does not rise, or whose order of day and month only
        its writer knows.
        """
        rows: list[int] = []
        stamps: list[_Stamp] = []
        for number in range(start, len(self.lines)):
            line, cells = self.lines[number]
            text = " ".join(cells[c].strip() for c in columns if c < len(cells)).strip()
            if not text:
                continue
            stamp = _stamp(text)
            if stamp is None:
                if not rows and number - start < (UNITS_LINES if start else HEADER_WITHIN):
                    continue
                raise InputError("day-time", line=line, text=text[:60])
            rows.append(number)
            stamps.append(stamp)
        if not rows:
            raise InputError("day-no-times", source=self.source)
        first = self._order(stamps, rows, order)
        seconds = np.array([moment.seconds(first) for moment in stamps])
        return Stamps(tuple(rows), seconds)

    def _order(self, stamps: Sequence[_Stamp], rows: Sequence[int], order: str) -> str:
        pairs = [(stamp.a, stamp.b, row) for stamp, row in zip(stamps, rows, strict=True) if stamp.a]
        for a, b, row in pairs:
            fits = [
                name
                for name, day, month in zip(ORDERS, (a, b), (b, a), strict=True)
                if day <= 31 and month <= 12
            ]
            if not fits or (order and order not in fits):
                raise InputError("day-date", line=self.lines[row][0], text=f"{a}/{b}", order=order)
        if order or all(a == b for a, b, _ in pairs):
            return order or ORDERS[0]
        if any(a > 12 for a, _, _ in pairs):
            return ORDERS[0]
        if any(b > 12 for _, b, _ in pairs):
            return ORDERS[1]
        raise InputError(
            "day-order", "date", line=self.lines[pairs[0][2]][0], text=f"{pairs[0][0]}/{pairs[0][1]}"
        )

    def numbers(self, column: int, stamps: Stamps, low: float, high: float, key: str) -> np.ndarray:
        """The numbers of a column, NaN where the logger wrote none. Raises InputError outside low..high."""
        values = np.full(len(stamps.rows), np.nan)
        for n, row in enumerate(stamps.rows):
            line, cells = self.lines[row]
            text = cells[column].strip() if column < len(cells) else ""
            if text.casefold() in MISSING:
                continue
            plain = text.replace(",", ".") if re.fullmatch(r"[+-]?\d+,\d+", text) else text
            try:
                values[n] = float(re.sub(r"\s*[%°º\ufffd]?\s*[CFcf]?$", "", plain))
            except ValueError:
                raise InputError("day-number", key, line, text=text[:60]) from None
            if not low <= values[n] <= high:
                raise InputError("day-value", key, line, text=text[:60], low=f"{low:.0f}", high=f"{high:.0f}")
        return values

    def words(self, column: int, stamps: Stamps) -> list[str]:
        cells = [self.lines[row][1] for row in stamps.rows]
        return [c[column].strip().casefold() if column < len(c) else "" for c in cells]


def rising(table: LoggerTable, stamps: Stamps, used: np.ndarray) -> None:
    """Raises InputError with the line at which a time repeats or goes back, of the rows that are `used`."""
    last = -np.inf
    for row, at, counts in zip(stamps.rows, stamps.seconds, used, strict=True):
        if counts and at <= last:
            raise InputError("day-not-rising", line=table.lines[row][0], back=at < last, again=at == last)
        last = at if counts else last


def read_table(path: Path) -> LoggerTable:
    """A logger's file. Raises InputErrors for what is no text, or too much of it."""
    raw = read_bytes(path, MOST_BYTES, InputError("day-no-file"))
    if len(raw) > MOST_BYTES:
        raise InputErrors(str(path), (InputError("day-too-big", most=MOST_BYTES),))
    return parse_table(decoded(raw, str(path)), str(path))


def decoded(raw: bytes, source: str) -> str:
    """Text in UTF-8, in UTF-16 by its mark, else in Latin-1 as Windows writes it."""
    wide = raw[:2] in (b"\xff\xfe", b"\xfe\xff")
    if b"\0" in raw and not wide:
        raise InputErrors(source, (InputError("day-not-text"),))
    try:
        return raw.decode("utf-16" if wide else "utf-8-sig")
    except UnicodeDecodeError:
        return raw.decode("cp1252", errors="replace")


def parse_table(text: str, source: str) -> LoggerTable:
    """Cells of a text. Lines that begin with # are passed over."""
    body = [line for line in text.splitlines() if line.strip()][:LOOKED_AT]
    most = len([line for line in body if not line.startswith("#")]) / 2
    delimiter = next((d for d in "\t;" if sum(d in line for line in body) > most), ",")
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    lines: list[tuple[int, tuple[str, ...]]] = []
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells) and not cells[0].startswith("#"):
                lines.append((reader.line_num, tuple(cells)))
            if len(lines) > MOST_LINES:
                raise InputErrors(source, (InputError("day-too-many", most=MOST_LINES),))
    except csv.Error:
        raise InputErrors(source, (InputError("day-not-table", line=reader.line_num),)) from None
    table = LoggerTable(source, tuple(lines))
    if delimiter == ",":
        _no_stray_commas(table)
    return table


def _no_stray_commas(table: LoggerTable) -> None:
    """Decimal commas between commas: most rows have more cells than the header."""
    head = sum(map(bool, table.headings()))
    wide = [
        n
        for n, cells in table.lines
        if head > 1 and sum(map(bool, cells)) > head and _stamp(cells[0].strip())
    ]
    if len(wide) > len(table.lines) / 2:
        raise InputErrors(table.source, (InputError("day-decimal-comma", line=wide[0]),))


def unit_in(heading: str) -> str:
    """degC or degF where a heading tells it, else ""."""
    match = _UNIT.search(heading)
    return f"deg{(match['unit'] or match['word'][0]).upper()}" if match else ""


def _plain(text: str) -> str:
    """A heading without what gets lost on the way: degree signs, spaces, capitals."""
    return re.sub(r"[^0-9a-z%]+", " ", str(text).casefold()).strip()


@dataclass(frozen=True)
class _Stamp:
    clock: float  # s
    day: int = 0  # its number in the calendar; 0: none was written, or day and month may be swapped
    a: int = 0
    b: int = 0
    year: int = 0

    def seconds(self, order: str) -> float:
        day = self.day
        if self.a:
            d, m = (self.a, self.b) if order == ORDERS[0] else (self.b, self.a)
            day = datetime.date(self.year, m, 1).toordinal() + d - 1
        return day * 86400.0 + self.clock


def _stamp(text: str) -> _Stamp | None:
    if _SERIAL.fullmatch(text):
        days = float(text.replace(",", "."))
        return _Stamp(round(days % 1 * 86400.0, 3), SERIAL_ZERO + int(days))
    match = _STAMP.fullmatch(text)
    if match is None:
        return None
    hour, minute, second = int(match["h"]), int(match["min"]), float((match["s"] or "0").replace(",", "."))
    if match["half"]:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if match["half"] in "pP" else 0)
    if hour > 23 or minute > 59 or second >= 60:
        return None
    clock = hour * 3600.0 + minute * 60.0 + second
    try:
        if match["y"]:
            return _Stamp(clock, datetime.date(int(match["y"]), int(match["m"]), int(match["d"])).toordinal())
        if match["nm"]:
            month = _MONTHS.index(match["nm"].casefold()) + 1
            return _Stamp(clock, datetime.date(int(match["ny"]), month, int(match["nd"])).toordinal())
    except ValueError:
        return None
    if match["a"]:
        year = int(match["c"])
        return _Stamp(clock, 0, int(match["a"]), int(match["b"]), year + 2000 if year < 100 else year)
    return _Stamp(clock)
