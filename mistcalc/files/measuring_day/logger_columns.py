"""Columns of the loggers' files, as the description names them: when mist was on, and what a sensor read."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np

from mistcalc import units
from mistcalc.errors import InputError, InputErrors
from mistcalc.files.measuring_day import logger_table
from mistcalc.files.measuring_day.logger_table import LoggerTable, Stamps
from mistcalc.files.measuring_day.values import ahead
from mistcalc.model.measuring_day import Window

UNITS = ("degC", "degF")
RANGE = ("-20 degC", "70 degC")  # what a thermometer in a patio can read


class LoggerColumns:
    """The tables of one description, each read once. What cannot be read raises InputError."""

    def __init__(self, data: Mapping[str, Any], path: Path, described: Path) -> None:
        self.data, self.path, self.described = data, path, described
        self.tables: dict[Path, LoggerTable] = {}

    def rounds(self, stated: Mapping[str, Any]) -> tuple[Window, ...]:
        if set(stated) != {"column", "on"}:
            raise InputError("day-mist", text=str(stated)[:60])
        table, stamps, (column,) = self._stamps({}, [stated["column"]], "mist")
        on = np.array([word == str(stated["on"]).strip().casefold() for word in table.words(column, stamps)])
        edges = np.flatnonzero(np.diff(np.r_[False, on, False].astype(int)))
        at = self._of_day(stamps.seconds, None)
        return tuple(
            (float(at[a]), float(at[min(b, len(at) - 1)]))
            for a, b in zip(edges[::2], edges[1::2], strict=True)
        )

    def readings(
        self, sensor: Mapping[str, Any], unit: str, rounds: tuple[Window, ...]
    ) -> tuple[np.ndarray, np.ndarray, np.ndarray | None]:
        wanted = [sensor["column"], *([sensor["humidity"]] if "humidity" in sensor else [])]
        table, stamps, columns = self._stamps(sensor, wanted, "column")
        have = table.headings()
        heading_unit = logger_table.unit_in(have[columns[0]] if columns[0] < len(have) else "")
        if heading_unit and heading_unit != unit:
            raise InputError("day-unit-heading", text=str(sensor["column"]), told=heading_unit, unit=unit)
        try:
            kelvin, humidity = self._kelvin_and_humidity(table, stamps, columns, unit)
        except InputError as mistake:
            raise _in_file(mistake, table.source) from None
        used = np.isfinite(kelvin)
        time = self._of_day(stamps.seconds, rounds)
        keep = used & (time >= rounds[0][0] - 7200) & (time <= rounds[-1][1] + 7200)
        return time[keep], kelvin[keep], None if humidity is None else humidity[keep]

    def _kelvin_and_humidity(
        self, table: LoggerTable, stamps: Stamps, columns: tuple[int, ...], unit: str
    ) -> tuple[np.ndarray, np.ndarray | None]:
        """Kelvin and, where there is a second column, relative humidity."""
        ends = (units.parse(end, "temperature") for end in RANGE)
        low, high = (units.from_si(end, unit, "temperature") for end in ends)
        read = table.numbers(columns[0], stamps, low, high, "column")
        kelvin = units.to_si(read, unit, "temperature")
        logger_table.rising(table, stamps, np.isfinite(kelvin))
        if len(columns) == 1:
            return kelvin, None
        humidity = table.numbers(columns[1], stamps, 0.0, 105.0, "humidity") / 100
        if np.isfinite(humidity).any() and np.nanmax(humidity) <= 0.0105:
            raise InputError("day-humidity-unit", "humidity", text=f"{np.nanmax(humidity) * 100:.2g}")
        return kelvin, np.minimum(humidity, 1.0)

    def _stamps(
        self, sensor: Mapping[str, Any], wanted: list[Any], key: str
    ) -> tuple[LoggerTable, Stamps, tuple[int, ...]]:
        """The table that holds some columns, its times by the watch, and where the columns are."""
        path = self.described.parent / sensor["file"] if isinstance(sensor.get("file"), str) else self.path
        if path not in self.tables:
            self.tables[path] = logger_table.read_table(path)
        table = self.tables[path]
        time_columns = sensor.get("time", self.data.get("time"))
        columns = time_columns if isinstance(time_columns, list) else [time_columns]
        if not all(isinstance(c, (str, int)) and not isinstance(c, bool) for c in (*columns, *wanted)):
            raise InputError("day-column-wanted", key)
        order = sensor.get("date", self.data.get("date", ""))
        if order not in ("", *logger_table.ORDERS):
            raise InputError("day-order-word", "date", text=str(order)[:60], known=logger_table.ORDERS)
        indices, start = table.find([*columns, *wanted], key)
        try:
            stamps = table.times(indices[: len(columns)], start, order)
        except InputError as mistake:
            raise _in_file(mistake, table.source) from None
        shifted = Stamps(stamps.rows, stamps.seconds - ahead(sensor.get("clock", self.data.get("clock"))))
        return table, shifted, indices[len(columns) :]

    def _of_day(self, seconds: np.ndarray, rounds: tuple[Window, ...] | None) -> np.ndarray:
        """Times from midnight of the one day that is meant."""
        stated = self.data.get("day")
        days = np.unique(seconds // 86400)
        if stated is not None:
            if not hasattr(stated, "toordinal"):
                raise InputError("day-day", text=str(stated)[:60])
            return seconds - stated.toordinal() * 86400.0
        if rounds is not None:
            days = np.array(
                [
                    d
                    for d in days
                    if ((seconds - d * 86400 >= rounds[0][0]) & (seconds - d * 86400 <= rounds[-1][1])).any()
                ]
            )
        if len(days) > 1:
            raise InputError("day-days", "day", count=len(days))
        return seconds - (days[0] if len(days) else seconds[0] // 86400) * 86400.0


def _in_file(mistake: InputError, source: str) -> InputErrors | InputError:
    """A mistake in the logger's file, told with that file's name and line."""
    return mistake if mistake.line is None else InputErrors(source, (mistake,))
