"""The table of a subdivision, a row a lot: CSV as spreadsheets write it, or Parquet.

A table that cannot be read as one is refused; a row that cannot be read is told with its mistake, and the
others are read. docs/fleet.md lists the columns.
"""

from __future__ import annotations

import csv
import math
import tomllib
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from mistcalc import units
from mistcalc.errors import DataError, InputError, InputErrors
from mistcalc.files.text.reading import read_bytes
from mistcalc.model.lot import Lot
from mistcalc.model.project import COMPASS

MOST_BYTES = 2**28  # of a table: a million lots
WANTED = ("lot", "plan")
KNOWN = (*WANTED, "mirrored", "facing", "climate", "phase", "options")
REMARK = "#"  # a column whose name begins so is nobody's
YES, NO = ("yes", "y", "true", "1", "sí", "si", "x"), ("", "no", "n", "false", "0")
Row = dict[str, Any]
ReadLot = tuple[Lot, InputError | None]


def read_lots(path: Path | str) -> tuple[ReadLot, ...]:
    """Every row, in the order of the table, with what is wrong with it. Raises InputErrors where there is no
    table, DataError("parquet-extra") where a library is wanting."""
    source = Path(path).name
    raw = read_bytes(path, MOST_BYTES, InputError("lots-missing"))
    if len(raw) > MOST_BYTES:
        raise InputErrors(source, (InputError("lots-too-big", most=MOST_BYTES),))
    rows = _parquet(raw, source) if raw[:4] == b"PAR1" else _csv(raw, source)
    read = [_lot(row, line) for line, row in rows]
    if not read:
        raise InputErrors(source, (InputError("lots-empty"),))
    times = Counter(lot.name for lot, _ in read)
    return tuple(
        (lot, InputError("lot-twice", "lot", lot.line, count=times[lot.name]))
        if wrong is None and times[lot.name] > 1
        else (lot, wrong)
        for lot, wrong in read
    )


# ------------------------------------------------------------------ two forms of a table


def _csv(raw: bytes, source: str) -> Iterator[tuple[int, Row]]:
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = raw.decode("cp1252", "replace")  # an old spreadsheet's; the figures are the same
    if "\0" in text:
        raise InputErrors(source, (InputError("lots-not-text"),))
    lines = text.splitlines(keepends=True)
    head = next((line for line in lines if line.strip()), "")
    separator = max(",;\t", key=head.count)
    reader = csv.reader(lines, delimiter=separator, strict=True)
    names: list[str] | None = None
    try:
        for cells in reader:
            if not any(cell.strip() for cell in cells):
                continue
            if names is None:
                names = _columns([cell.strip() for cell in cells], source)
                continue
            yield reader.line_num, _row(names, cells)
    except csv.Error:
        raise InputErrors(source, (InputError("lots-broken", line=reader.line_num),)) from None
    if names is None:
        raise InputErrors(source, (InputError("lots-empty"),))


def _row(names: Sequence[str], cells: Sequence[str]) -> Row:
    """None under a name stands for what lies beyond the last column."""
    row: Row = dict(zip(names, (cell.strip() for cell in cells), strict=False))
    return {**row, "": None} if any(cell.strip() for cell in cells[len(names) :]) else row


def _parquet(raw: bytes, source: str) -> Iterator[tuple[int, Row]]:
    try:
        import pyarrow as pa
        import pyarrow.parquet as pq
    except ImportError:
        raise DataError("parquet-extra", path=source) from None
    try:
        table = pq.read_table(pa.BufferReader(raw))
    except (pa.ArrowException, OSError):
        raise InputErrors(source, (InputError("lots-broken"),)) from None
    names = _columns([str(name).strip() for name in table.column_names], source)
    number = 1
    for batch in table.to_batches():
        for cells in zip(*(column.to_pylist() for column in batch.columns), strict=True):
            number += 1
            yield (
                number,
                {n: c.strip() if isinstance(c, str) else c for n, c in zip(names, cells, strict=True)},
            )


def _columns(names: Sequence[str], source: str) -> list[str]:
    """The names, those we know in small letters. Raises InputErrors with every one that is wrong."""
    known = [name.lower() if name.lower() in KNOWN else name for name in names]
    mistakes = [InputError("lots-column", name=name, known=KNOWN) for name in WANTED if name not in known]
    twice = [name for name, count in Counter(known).items() if count > 1 and name]
    mistakes += [InputError("lots-column-twice", name=name) for name in twice]
    if mistakes:
        raise InputErrors(source, tuple(mistakes))
    return known


# ------------------------------------------------------------------ one row


def _lot(row: Row, line: int) -> ReadLot:
    name = _plain(row.get("lot"))
    bare = Lot(name, _plain(row.get("plan")), line, phase=_plain(row.get("phase")))
    try:
        return _stated(row, bare), None
    except InputError as wrong:
        return bare, wrong


def _stated(row: Row, bare: Lot) -> Lot:
    if not bare.name or not bare.name.isprintable():
        raise InputError("lot-no-name", "lot", bare.line)
    if not bare.plan:
        raise InputError("lot-no-plan", "plan", bare.line)
    if "" in row and row[""] is None:
        raise InputError("lot-cells", "", bare.line)
    changes = (
        (name, _value(cell))
        for name, cell in row.items()
        if name and name not in KNOWN and not name.startswith(REMARK) and cell not in (None, "")
    )
    return Lot(
        bare.name, bare.plan, bare.line, _mirrored(row.get("mirrored"), bare.line),
        _facing(row.get("facing"), bare.line), _plain(row.get("climate")), bare.phase,
        tuple(name.strip() for name in _plain(row.get("options")).split(";") if name.strip()),
        tuple(changes),
    )  # fmt: skip


def _plain(cell: Any) -> str:
    """A name, also one a table holds as a number: lot 12."""
    if cell is None:
        return ""
    return str(int(cell)) if isinstance(cell, float) and cell.is_integer() else str(cell).strip()


def _mirrored(cell: Any, line: int) -> bool:
    text = _plain(cell).lower()
    if text not in (*YES, *NO):
        raise InputError("lot-mirrored", "mirrored", line, text=text[:40])
    return text in YES


def _facing(cell: Any, line: int) -> float | None:
    """Degrees, with or without their unit, or a point of the compass."""
    text = _plain(cell)
    if not text:
        return None
    if text.upper() in COMPASS:
        return COMPASS.index(text.upper()) * math.pi / 4
    try:
        angle = units.parse(text, "angle") if not _is_number(text) else math.radians(float(text))
    except InputError:
        raise InputError("lot-facing", "facing", line, text=text[:40]) from None
    if not abs(angle) <= 2 * math.pi:
        raise InputError("lot-facing", "facing", line, text=text[:40])
    return angle % (2 * math.pi)


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


def _value(cell: Any) -> Any:
    """What a cell says of a key: as the project file writes it, quotes left out where it is text."""
    if not isinstance(cell, str):
        return cell
    try:
        read = tomllib.loads(f"cell = {cell}")
    except tomllib.TOMLDecodeError:
        return cell
    return read["cell"] if read.keys() == {"cell"} else cell
