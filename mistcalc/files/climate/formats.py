"""The three forms of an hourly climate file, each read into the same `ClimateRows`; nothing is judged here.

EPW      EnergyPlus weather file: eight header lines, then 35 numbered fields a row (EnergyPlus, "Auxiliary
         Programs", chapter "EnergyPlus Weather File (EPW) Data Dictionary").
TMY3     native NREL typical year: a station line, a line of column names, then rows (Wilcox & Marion 2008,
         NREL/TP-581-43156, table 1-2 and 1-3).
plain    our own: "# station=...; lat=...; elev_m=..." and a line of column names with their unit; see
         docs/climate-files.md.
Values come out in degC, %, Pa, m/s, degrees and W/m2, NaN where the file has none.
"""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from mistcalc.errors import DataError
from mistcalc.units import degree_of, from_si, to_si

MOST_ROWS = 20_000  # two years and more: no single year looks like that
LONGEST_LINE = 20_000  # characters; an EPW's longest heading has some 3,000
DAYS = (31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
NO_VALUE = frozenset({"", "-", "--", "na", "n/a", "nan", "none", "null", "m", "missing"})
# What files write for "no value", beside the codes of their own form.
ALWAYS_MISSING = (-9999.0, -9900.0, -999.0, 9999.0, 999999.0)


@dataclass(frozen=True)
class ColumnSpec:
    """Where a quantity stands in a form and how its unit becomes ours: value * factor + offset."""

    quantity: str
    factor: float = 1.0
    offset: float = 0.0
    missing: tuple[float, ...] = ()  # codes of this form, in the file's own unit


# EPW: field number (from 0) -> column. Missing codes are those of the data dictionary.
EPW = {
    6: ColumnSpec("temperature", missing=(99.9,)),
    7: ColumnSpec("dew_point", missing=(99.9,)),
    8: ColumnSpec("relative_humidity", missing=(999.0,)),
    9: ColumnSpec("air_pressure"),
    13: ColumnSpec("ghi"),
    14: ColumnSpec("dni"),
    15: ColumnSpec("dhi"),
    20: ColumnSpec("direction", missing=(999.0,)),
    21: ColumnSpec("wind", missing=(999.0,)),
}

TMY3 = {
    "Dry-bulb (C)": ColumnSpec("temperature", missing=(99.9,)),
    "Dew-point (C)": ColumnSpec("dew_point", missing=(99.9,)),
    "RHum (%)": ColumnSpec("relative_humidity", missing=(999.0,)),
    "Pressure (mbar)": ColumnSpec("air_pressure", 100.0),
    "GHI (W/m^2)": ColumnSpec("ghi"),
    "DNI (W/m^2)": ColumnSpec("dni"),
    "DHI (W/m^2)": ColumnSpec("dhi"),
    "Wdir (degrees)": ColumnSpec("direction", missing=(999.0,)),
    "Wspd (m/s)": ColumnSpec("wind", missing=(999.0, 99.9)),
}

FAHRENHEIT = (degree_of("us"), from_si(to_si(0.0, "degF", "temperature"), "degC", "temperature"))
# The plain form's names carry their unit, so that a station's export needs a new heading and no sums.
PLAIN = {
    "db_C": ColumnSpec("temperature", missing=(99.9, 999.0)),
    "db_F": ColumnSpec("temperature", *FAHRENHEIT, missing=(999.0,)),
    "dp_C": ColumnSpec("dew_point", missing=(99.9, 999.0)),
    "dp_F": ColumnSpec("dew_point", *FAHRENHEIT, missing=(999.0,)),
    "rh_pct": ColumnSpec("relative_humidity", missing=(999.0,)),
    "p_hPa": ColumnSpec("air_pressure", 100.0),
    "p_inHg": ColumnSpec("air_pressure", 3386.389, missing=(99.9, 99.99, 999.0)),
    "wspd_ms": ColumnSpec("wind", missing=(999.0, 99.9)),
    "wspd_mph": ColumnSpec("wind", to_si(1.0, "mph", "speed"), missing=(999.0, 99.9)),
    "wspd_kmh": ColumnSpec("wind", 1 / 3.6, missing=(999.0,)),
    "wdir_deg": ColumnSpec("direction", missing=(999.0,)),
    "ghi_Wm2": ColumnSpec("ghi"),
    "dni_Wm2": ColumnSpec("dni"),
    "dhi_Wm2": ColumnSpec("dhi"),
}


@dataclass
class ClimateRows:
    """A file's rows in its own order, and what its head says. `hour` is hour ENDING, 1-24.

    `latitude`, `longitude`, `elevation`, `utc_offset`: text as written, "" where the file does not say.
    """

    form: str
    station: str = ""
    latitude: str = ""
    longitude: str = ""
    elevation: str = ""
    utc_offset: str = ""
    month: list[int] = field(default_factory=list)
    day: list[int] = field(default_factory=list)
    hour: list[int] = field(default_factory=list)
    columns: dict[str, np.ndarray] = field(default_factory=dict)
    ignored: tuple[str, ...] = ()  # names of columns nobody asked for
    broken: list[int] = field(default_factory=list)  # line numbers of rows that are not rows
    unreadable: list[int] = field(default_factory=list)  # line numbers of cells that are not numbers
    design: list[tuple[float, float, float]] = field(default_factory=list)  # rare heat: `_rare_heat`
    hours_counted: str = ""  # "ending" or "beginning" where the file says so


def read_rows(text: str, name: str) -> ClimateRows:
    """The rows of a file in whichever form it is; `name` is for messages. DataError where it is in none."""
    lines = text.splitlines()
    first = next((line for line in lines if line.strip()), "")
    if not first:
        raise DataError("climate-empty", name=name)
    if max(map(len, lines)) > LONGEST_LINE:
        raise DataError("climate-form-unknown", name=name, text="")
    if len(lines) > MOST_ROWS:
        raise DataError("climate-too-many-rows", name=name, rows=len(lines), limit=MOST_ROWS)
    if first.upper().startswith("LOCATION,"):
        return _epw(lines, name)
    if first.startswith("#"):
        return _plain(lines, name)
    if len(lines) > 1 and lines[1].startswith("Date (MM/DD/YYYY)"):
        return _tmy3(lines, name)
    raise DataError("climate-form-unknown", name=name, text="".join(c for c in first[:60] if c.isprintable()))


def _cells(line: str, separator: str = ",") -> list[str]:
    # One line at a time, so that a stray quotation mark spoils one row and not the rest of the file.
    if '"' not in line:
        return line.split(separator)
    return next(csv.reader([line], delimiter=separator), [])


def _head(line: str, separator: str = ",", fields: int = 0) -> list[str]:
    """Cells of a heading, stripped, at least so many."""
    cells = [cell.strip() for cell in _cells(line, separator)]
    return cells + [""] * (fields - len(cells))


def _epw(lines: Sequence[str], where: str) -> ClimateRows:
    head = _head(lines[0], fields=10)
    rows = ClimateRows("EPW", head[1], head[6], head[7], head[9], head[8])
    start = next((n for n, line in enumerate(lines[:60]) if line.upper().startswith("DATA PERIODS")), None)
    if start is None:
        raise DataError("climate-header", name=where, form="EPW", missing="DATA PERIODS")
    per_hour = _head(lines[start], fields=3)[2]
    if per_hour not in ("", "1"):
        raise DataError("climate-not-hourly", name=where, per_hour=per_hour[:20])

    rows.design = _rare_heat(lines[1:start])

    def when(cells: Sequence[str]) -> tuple[int, int, int]:
        return int(cells[1]), int(cells[2]), int(cells[3])

    return _fill(where, rows, _numbered(lines, start + 1), EPW, when)


RARE = (0.004, 0.01, 0.02)  # shares of a year's hours, in the order of the heading


def _rare_heat(head: Sequence[str]) -> list[tuple[float, float, float]]:
    """(share of all hours that are as hot, dry bulb, mean wet bulb then [degC]) of a heading DESIGN
    CONDITIONS: after the word Cooling the hottest month and its daily range, then three such pairs. None
    where the heading is empty or of another make."""
    line = next((line for line in head if line.upper().startswith("DESIGN CONDITIONS")), "")
    cells = _head(line)
    if "Cooling" not in cells:
        return []
    try:
        numbers = [float(cell) for cell in cells[cells.index("Cooling") + 3 :][:6]]
    except ValueError:
        return []
    pairs = list(zip(RARE, numbers[::2], numbers[1::2], strict=False))
    hotter_first = sorted((dry for _, dry, _ in pairs), reverse=True) == [dry for _, dry, _ in pairs]
    likely = len(pairs) == len(RARE) and all(-20.0 < wet <= dry < 60.0 for _, dry, wet in pairs)
    return pairs if hotter_first and likely else []


def _tmy3(lines: Sequence[str], where: str) -> ClimateRows:
    head = _head(lines[0], fields=7)
    rows = ClimateRows("TMY3", head[1], head[4], head[5], head[6], head[3])
    names = _head(lines[1])
    columns = {names.index(name): column for name, column in TMY3.items() if name in names}

    def when(cells: Sequence[str]) -> tuple[int, int, int]:
        month, day, _ = cells[0].split("/")
        hour, minute = cells[1].split(":")
        if int(minute) != 0:
            raise ValueError
        return int(month), int(day), int(hour)

    return _fill(where, rows, _numbered(lines, 2), columns, when)


def _plain(lines: Sequence[str], where: str) -> ClimateRows:
    header_values: dict[str, str] = {}
    start = 0
    while start < len(lines) and (lines[start].startswith("#") or not lines[start].strip()):
        for part in lines[start].lstrip("# ").split(";"):
            key, _, value = part.partition("=")
            header_values.setdefault(key.strip().lower(), value.strip())
        start += 1
    if start == len(lines):
        raise DataError("climate-header", name=where, form="plain", missing="column names")
    separator = max(",;\t", key=lines[start].count)
    names = _head(lines[start], separator)
    wanted = ("month", "day", "hour")
    if absent := [name for name in wanted if name not in names]:
        raise DataError("climate-columns-missing", name=where, missing=tuple(absent), known=(*wanted, *PLAIN))
    if len(set(names)) < len(names):
        raise DataError(
            "climate-column-twice", name=where, column=next(n for n in names if names.count(n) > 1)[:40]
        )
    columns = {n: PLAIN[name] for n, name in enumerate(names) if name in PLAIN}
    quantities = [column.quantity for column in columns.values()]
    if len(set(quantities)) < len(quantities):
        twice = next(name for name in names if name in PLAIN and quantities.count(PLAIN[name].quantity) > 1)
        raise DataError("climate-column-twice", name=where, column=twice)
    counted = header_values.get("hour", "").lower()
    rows = ClimateRows("plain")
    rows.station, rows.latitude, rows.longitude = (
        header_values.get("station", ""),
        header_values.get("lat", ""),
        header_values.get("lon", ""),
    )
    rows.elevation, rows.utc_offset = header_values.get("elev_m", ""), header_values.get("tz", "")
    rows.ignored = tuple(name[:40] for name in names if name not in PLAIN and name not in wanted)
    rows.hours_counted = "beginning" if "begin" in counted else "ending" if "ending" in counted else ""
    month, day, hour = (names.index(name) for name in wanted)

    def when(cells: Sequence[str]) -> tuple[int, int, int]:
        return int(cells[month]), int(cells[day]), int(cells[hour])

    decimal_comma = separator != ","
    return _fill(where, rows, _numbered(lines, start + 1, separator), columns, when, decimal_comma)


def _numbered(lines: Sequence[str], start: int, separator: str = ",") -> Iterator[tuple[int, list[str]]]:
    """(line number as an editor shows it, cells) of every line that is not blank."""
    for number, line in enumerate(lines[start:], start + 1):
        if line.strip():
            try:
                yield number, _cells(line, separator)
            except csv.Error:
                yield number, []


def _fill(
    where: str,
    rows: ClimateRows,
    numbered: Iterator[tuple[int, list[str]]],
    columns: Mapping[int, ColumnSpec],
    when: Callable[[Sequence[str]], tuple[int, int, int]],
    decimal_comma: bool = False,
) -> ClimateRows:
    """Put dates and columns into `rows`; a row too short or without a date is `broken`."""
    if not columns:
        raise DataError("climate-columns-missing", name=where, missing=("db_C",), known=tuple(PLAIN))
    last = max(columns)
    readable_rows: list[list[str]] = []
    lines: list[int] = []
    for line, cells in numbered:
        try:
            month, day, hour = when(cells)
            if len(cells) <= last or not (
                1 <= month <= 12 and 1 <= day <= DAYS[month - 1] and 0 <= hour <= 24
            ):
                raise ValueError
        except (ValueError, IndexError):
            rows.broken.append(line)
            continue
        rows.month.append(month)
        rows.day.append(day)
        rows.hour.append(hour)
        readable_rows.append(cells)
        lines.append(line)
    for n, column in columns.items():
        texts = [cells[n] for cells in readable_rows]
        if decimal_comma:
            texts = [text.replace(",", ".") for text in texts]
        values, unreadable = _numbers(texts)
        rows.unreadable += [lines[at] for at in unreadable]
        values[np.isin(values, (*ALWAYS_MISSING, *column.missing))] = np.nan
        rows.columns[column.quantity] = values * column.factor + column.offset
    rows.unreadable.sort()
    return rows


def _numbers(texts: Sequence[str]) -> tuple[np.ndarray, list[int]]:
    """Values of a column's cells, NaN where they say "no value", and the places of those that say neither."""
    try:
        return np.array(texts, dtype=float), []
    except ValueError:
        pass
    values = np.full(len(texts), np.nan)
    unreadable = []
    for at, text in enumerate(texts):
        try:
            values[at] = float(text)
        except ValueError:
            if text.strip().lower() not in NO_VALUE:
                unreadable.append(at)
    return values, unreadable
