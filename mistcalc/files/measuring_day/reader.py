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
from mistcalc.files.measuring_day.logger_columns import UNITS, LoggerColumns
from mistcalc.files.measuring_day.values import clock_of, offset, span, wind
from mistcalc.files.text.reading import decode, parse_toml, read_bytes
from mistcalc.files.text.toml_positions import TomlPositions
from mistcalc.model.measuring_day import FEWEST, LOOKS, OUTSIDE, MeasuringDay, Record, WindNote, Window
from mistcalc.model.project import Project

ENDINGS = (".csv", ".tsv", ".toml")  # of `--site` files that are a measuring day; others are site logs
KEYS = ("patio", "unit", "clock", "date", "day", "time", "mist", "wind", "humidity", "sensor", "case")
SENSOR_KEYS = ("at", "column", "file", "humidity", "offset", "looked", "unit", "clock", "time", "date")
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
        self.columns = LoggerColumns(data, path, described)

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
            self._fault(mistake.code, where, **mistake.placeless)
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
            rounds = self._try(("mist",), self.columns.rounds, stated) or ()
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
        record = self._try(where, self.columns.readings, sensor, unit, rounds)
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
