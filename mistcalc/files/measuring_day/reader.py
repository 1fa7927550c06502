"""A measuring day: what loggers exported, and beside it the few lines that say what their columns are.

The lines are TOML: NAME.toml beside NAME.csv, or at the head of the CSV itself, each after a "#".
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import numpy as np

from mistcalc import units
from mistcalc.errors import InputError, InputErrors
from mistcalc.files.measuring_day import logger_table
from mistcalc.files.measuring_day.logger_table import LoggerTable, Stamps
from mistcalc.files.measuring_day.values import ahead, clock_of, offset, span, wind
from mistcalc.files.text.reading import decode, parse_toml, read_bytes
from mistcalc.files.text.toml_positions import TomlPositions
from mistcalc.model.measuring_day import FEWEST, LOOKS, OUTSIDE, MeasuringDay, Record, WindNote, Window
from mistcalc.model.project import Project

ENDINGS = (".csv", ".tsv", ".toml")  # of `--site` files that are a measuring day; others are site logs
KEYS = ("patio", "unit", "clock", "date", "day", "time", "mist", "wind", "humidity", "sensor", "case")
SENSOR_KEYS = ("at", "column", "file", "humidity", "offset", "looked", "unit", "clock", "time", "date")
UNITS = ("degC", "degF")
COLDEST, HOTTEST = (
    units.parse(end, "temperature") for end in ("-20 degC", "70 degC")
)  # what a thermometer in a patio can read
SHORTEST = 900.0  # s: twenty minutes are asked for; of less than fifteen the first five are too few to settle
LONGEST_STEP = 150.0  # s between readings


def is_measuring_day(path: Path | str) -> bool:
    """Whether a file given to `--site` is a measuring day, by its ending."""
    return Path(path).suffix.casefold() in ENDINGS


def read_measuring_day(path: Path | str, project: Project) -> MeasuringDay:
    """One day's measurements. `path`: the logger's CSV, or the TOML beside it. Raises InputErrors."""
    given = Path(path)
    described = given if given.suffix.casefold() == ".toml" else given.with_suffix(".toml")
    if given == described:
        given = given.with_suffix(".csv")
        text = decode(read_bytes(described, missing=InputError("day-no-file")), str(described))
    else:
        raw = read_bytes(given, logger_table.MOST_BYTES, InputError("day-no-file"))
        toml_in_comments = _in_comments(logger_table.decoded(raw, str(given)))
        if toml_in_comments is None and not described.exists():
            raise InputErrors(str(given), (_undescribed(given, described, project),))
        if toml_in_comments is None:
            text = decode(read_bytes(described), str(described))
        else:
            described, text = given, toml_in_comments
    data, places = parse_toml(text, str(described))
    return _Day(data, places, given, described, project).read()


def _in_comments(text: str) -> str | None:
    """TOML from lines beginning with # at the top of a file, each in its own line; None: there is none."""
    lines = []
    for line in text.splitlines():
        if not line.startswith("#"):
            break
        lines.append(line[1:].strip())
    return "\n".join(lines) if any(line.startswith("unit") for line in lines) else None


def _undescribed(path: Path, described: Path, project: Project) -> InputError:
    """What to write, with the headings of this very file."""
    table = logger_table.read_table(path)
    have = [h for h in table.headings() if h]
    guess = [
        next((h for h in have if re.search(part, h, re.I)), "") for part in ("time", "temp|°|deg", "rh|hum")
    ]
    seats = [seat.name for seat in project.patios[0].seats]
    return InputError(
        "day-undescribed", name=described.name, known=tuple(have[:12]),
        time=guess[0] or "Date Time", column=guess[1] or "Temp", humidity=guess[2] or "RH",
        patio=project.patios[0].name, seat=seats[0] if seats else "seat 1",
    )  # fmt: skip


class _Day:
    """The description walked key by key, its mistakes collected."""

    def __init__(
        self, data: Mapping[str, Any], places: TomlPositions, path: Path, described: Path, project: Project
    ) -> None:
        self.data, self.places, self.path, self.described = data, places, path, described
        self.project = project
        self.mistakes: list[InputError] = []
        self.tables: dict[Path, LoggerTable] = {}

    def read(self) -> MeasuringDay:
        data = self.data
        self._known(data, KEYS, ())
        patio = self._patio(data.get("patio"))
        sensors = data.get("sensor")
        if not isinstance(sensors, list) or not all(isinstance(s, dict) for s in sensors) or not sensors:
            self._fault("day-missing", ("sensor",), key="sensor")
            sensors = []
        typed = self._try(("humidity",), self._share, data["humidity"]) if "humidity" in data else None
        for n, sensor_table in enumerate(sensors):
            self._known(sensor_table, SENSOR_KEYS, ("sensor", n))
        for key in ("unit", "clock", "time"):
            if key not in data and not all(key in sensor for sensor in sensors):
                self._fault("day-missing", (key,), key=key)
        for key in ("mist", "wind"):
            if key not in data:
                self._fault("day-missing", (key,), key=key)
        self._stop()
        rounds = self._rounds(data["mist"])
        self._stop()
        winds = self._winds(data["wind"], len(rounds))
        records = [
            r
            for n, sensor_table in enumerate(sensors)
            if (r := self._record(n, sensor_table, patio, rounds)) is not None
        ]
        self._stop()
        outside = [r for r in records if r.at == OUTSIDE]
        if len(outside) != 1 or len(records) == 1:
            self._fault("day-outside", ("sensor",), count=len(outside), seats=len(records) - len(outside))
        elif outside[0].humidity is None and typed is None:
            self._fault("day-no-humidity", ("humidity",))
        self._stop()
        day = MeasuringDay(self.path.name, patio, rounds, tuple(winds), tuple(records), typed)
        for n, record in enumerate(records):
            self._enough(n, record, day)
        self._stop()
        return day

    # -------------------------------------------------------------- mistakes

    def _fault(self, code: str, where: tuple[str | int, ...], **values: object) -> None:
        shown = ".".join(str(w + 1) if isinstance(w, int) else w for w in where)
        line = self.places.line(where) if where else None
        self.mistakes.append(InputError(code, shown, line, **values))

    def _stop(self) -> None:
        if self.mistakes:
            raise InputErrors(str(self.described), tuple(self.mistakes))

    def _try(self, where: tuple[str | int, ...], read: Callable[..., Any], *given: Any) -> Any:
        """What `read` makes of a value; where it cannot, the mistake is noted at its key."""
        try:
            return read(*given)
        except InputError as mistake:
            values = {k: v for k, v in mistake.values.items() if k not in ("where", "line")}
            self._fault(mistake.code, where, **values)
            return None

    def _known(self, table: Mapping[str, Any], keys: tuple[str, ...], where: tuple[str | int, ...]) -> None:
        for key in table:
            if key not in keys:
                near = difflib.get_close_matches(key, keys, 1)
                self._fault("day-key", (*where, key), key=key, known=keys, nearest=near[0] if near else "")

    # -------------------------------------------------------------- one key each

    def _patio(self, stated: Any) -> str:
        names = tuple(patio.name for patio in self.project.patios)
        if stated is None and len(names) == 1:
            return names[0]
        if stated not in names:
            self._fault("day-patio", ("patio",), text=str(stated or ""), known=names)
            return names[0]
        return str(stated)

    def _rounds(self, stated: Any) -> tuple[Window, ...]:
        if isinstance(stated, dict):
            rounds = self._try(("mist",), self._rounds_of_column, stated) or ()
        elif isinstance(stated, list) and all(isinstance(window, str) for window in stated):
            windows = [self._try(("mist",), span, window) for window in stated]
            rounds = tuple(window for window in windows if window is not None)
        else:
            self._fault("day-mist", ("mist",), text=str(stated)[:60])
            return ()
        if self.mistakes:
            return ()
        ends = [end for window in rounds for end in window]
        lengths = np.diff(ends)
        if len(rounds) < 2:
            self._fault("day-rounds-few", ("mist",), count=len(rounds))
        elif (lengths < SHORTEST).any():
            short = int(np.argmax(lengths < SHORTEST))
            code = "day-block-short" if lengths[short] > 0 else "day-rounds-order"
            self._fault(code, ("mist",), first=clock_of(ends[short]), last=clock_of(ends[short + 1]))
        return rounds

    def _rounds_of_column(self, stated: Mapping[str, Any]) -> tuple[Window, ...]:
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

    def _winds(self, stated: Any, rounds: int) -> list[WindNote]:
        if (
            not isinstance(stated, list)
            or len(stated) != rounds
            or not all(isinstance(w, str) for w in stated)
        ):
            self._fault("day-winds", ("wind",), count=rounds)
            return []
        notes = [self._try(("wind",), wind, note) for note in stated]
        return [note for note in notes if note is not None]

    def _record(
        self, n: int, sensor: Mapping[str, Any], patio: str, rounds: tuple[Window, ...]
    ) -> Record | None:
        where = ("sensor", n)
        before = len(self.mistakes)
        at = self._try((*where, "at"), self._at, sensor.get("at"), patio)
        above = self._try((*where, "offset"), offset, sensor["offset"]) if "offset" in sensor else 0.0
        looked = sensor.get("looked", [])
        if (
            not isinstance(looked, list)
            or any(look not in LOOKS for look in looked)
            or len(looked) not in (0, len(rounds))
        ):
            self._fault("day-looked", (*where, "looked"), count=len(rounds), known=LOOKS)
        unit = sensor.get("unit", self.data.get("unit"))
        if unit not in UNITS:
            self._fault("day-unit", (*where, "unit") if "unit" in sensor else ("unit",), text=str(unit)[:60])
        if "column" not in sensor:
            self._fault("day-missing", (*where, "column"), key="column")
        if len(self.mistakes) > before:
            return None
        record = self._try(where, self._columns, sensor, unit, rounds)
        if record is None:
            return None
        time, kelvin, humidity = record
        return Record(at, time, kelvin - above, humidity, tuple(looked), str(sensor["column"]))

    def _at(self, stated: Any, patio: str) -> str:
        """A seat's name, also as "seat 2", the second of the file; or "outside"."""
        seats = tuple(s.name for s in next(p for p in self.project.patios if p.name == patio).seats) or (
            "seat 1",
        )
        numbered = re.fullmatch(r"seat (\d+)", str(stated))
        if stated in seats or stated == OUTSIDE:
            return str(stated)
        if numbered and 1 <= int(numbered[1]) <= len(seats):
            return seats[int(numbered[1]) - 1]
        raise InputError("day-at", text=str(stated)[:60], known=(*seats, OUTSIDE))

    def _share(self, stated: Any) -> float:
        return float(units.parse(stated, "share"))

    def _columns(
        self, sensor: Mapping[str, Any], unit: str, rounds: tuple[Window, ...]
    ) -> tuple[np.ndarray, np.ndarray, np.ndarray | None]:
        wanted = [sensor["column"], *([sensor["humidity"]] if "humidity" in sensor else [])]
        table, stamps, columns = self._stamps(sensor, wanted, "column")
        have = table.headings()
        heading_unit = logger_table.unit_in(have[columns[0]] if columns[0] < len(have) else "")
        if heading_unit and heading_unit != unit:
            raise InputError("day-unit-heading", text=str(sensor["column"]), told=heading_unit, unit=unit)
        try:
            kelvin, humidity = self._readings(table, stamps, columns, unit)
        except InputError as mistake:
            raise _in_file(mistake, table.source) from None
        used = np.isfinite(kelvin)
        time = self._of_day(stamps.seconds, rounds)
        keep = used & (time >= rounds[0][0] - 7200) & (time <= rounds[-1][1] + 7200)
        return time[keep], kelvin[keep], None if humidity is None else humidity[keep]

    def _readings(
        self, table: LoggerTable, stamps: Stamps, columns: tuple[int, ...], unit: str
    ) -> tuple[np.ndarray, np.ndarray | None]:
        """Kelvin and, where there is a second column, relative humidity."""
        low, high = (units.from_si(end, unit, "temperature") for end in (COLDEST, HOTTEST))
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

    def _enough(self, n: int, record: Record, day: MeasuringDay) -> None:
        """Refuse a sensor that has readings of fewer than two rounds and the rests either side of them."""
        step = float(np.median(np.diff(record.time))) if len(record.time) > 1 else np.inf
        where = ("sensor", n)
        if step > LONGEST_STEP:
            self._fault("day-step", where, at=record.at, step=min(step, 86400.0), most=LONGEST_STEP)
            return
        if len(day.pairs(record)) >= 2:
            return
        windows = [w for k in range(len(day.rounds)) for w in (day.off(k), day.on(k))] + [
            day.off(len(day.rounds))
        ]
        poor = [w for w in windows if record.full(w) < FEWEST]
        if poor:
            a, b = poor[0]
            self._fault("day-few-readings", where, at=record.at, first=clock_of(a), last=clock_of(b),
                        share=min(record.full(poor[0]), 1.0), fewest=FEWEST)  # fmt: skip


def _in_file(mistake: InputError, source: str) -> InputErrors | InputError:
    """A mistake in the logger's file, told with that file's name and line."""
    return mistake if mistake.line is None else InputErrors(source, (mistake,))
