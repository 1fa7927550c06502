"""The site log, NAME.site.jsonl: what happened on site, one JSON object a line. Only ever added to.

Two logs are joined by putting one behind the other; a line that is there already is not added again. What is
added together, a visit's readings, is there in full after a cut of power or not at all.
"""

from __future__ import annotations

import datetime
import difflib
import json
import math
import re
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

from mistcalc import units
from mistcalc.errors import InputError, InputErrors
from mistcalc.files import atomic_write
from mistcalc.files.text.reading import BOM, read_bytes
from mistcalc.model.site_log import STRIKE, SiteEntry, struck_line
from mistcalc.model.site_readings import BY_FIELD, names_of

MOST_BYTES, MOST_LINES, MOST_SIGNS = 20_000_000, 200_000, 500
MOST_MISTAKES = 20
KEYS = ("when", "who", "mark", "revision", "field", "value", "photo")
NEEDED = ("when", "field", "value")
SENT = "lines"  # the key by which the head of what a phone sent is known
_OF_MARKS = tuple(f"mark {name}" for name in names_of("mark"))
_METRIC = re.compile(r"bar|pa\b|c(elsius)?$|k(elvin)?$|[lm]3?/|l$|\d *[cm]?m$", re.IGNORECASE)  # for limits


def site_log_path(project: Path) -> Path:
    """The log of a project file: courtyard.toml has courtyard.site.jsonl beside it."""
    return project.with_name(f"{project.stem}.site.jsonl")


def read_site_log(path: Path | str, project: str = "") -> tuple[SiteEntry, ...]:
    """Every entry in a log, as it stands. Raises InputErrors: every line that is wrong, with its number.

    project: the name of the job it must be of, where it says of which it is.
    """
    raw = read_bytes(path, MOST_BYTES, InputError("site-no-file"))
    return parse_site_log(raw, str(path), project)


def parse_site_log(raw: bytes | str, source: str = "site log", project: str = "") -> tuple[SiteEntry, ...]:
    """The entries of a text. An empty log has none. Raises InputErrors."""
    if len(raw) > MOST_BYTES:
        raise InputErrors(source, (InputError("site-too-big", most=MOST_BYTES),))
    try:
        text = raw if isinstance(raw, str) else raw.decode("utf-8")
    except UnicodeDecodeError as fault:
        at = fault.object.count(b"\n", 0, fault.start) + 1
        raise InputErrors(source, (InputError("file-wrong-encoding", line=at, encoding=""),)) from None
    lines = text.removeprefix(BOM).split("\n")
    if len(lines) > MOST_LINES:
        raise InputErrors(source, (InputError("site-too-many", most=MOST_LINES),))
    entries: list[SiteEntry] = []
    mistakes: list[InputError] = []
    sent, found = 0, 0  # lines that the head over these promised, and lines since
    for number, line in enumerate(lines, 1):
        if not line.strip():
            continue
        try:
            data = _object(line, number, cut=number == len(lines))
            if SENT in data:
                _all_here(sent, found, number)
                sent, found = _head(data, number, project), 0
                continue
            found += 1
            entry = _entry(data, number)
            if entries and (entry.when.tzinfo is None) != (entries[0].when.tzinfo is None):
                raise InputError("site-when-mixed", "when", number)
            entries.append(entry)
        except InputError as mistake:
            mistakes.append(mistake)
            if len(mistakes) == MOST_MISTAKES:
                mistakes.append(InputError("more-mistakes", told=MOST_MISTAKES))
                break
    if mistakes:
        raise InputErrors(source, tuple(mistakes))
    try:
        _all_here(sent, found, len(lines))
    except InputError as mistake:
        raise InputErrors(source, (mistake,)) from None
    return tuple(entries)


def append_site_log(path: Path, entries: Iterable[SiteEntry]) -> tuple[SiteEntry, ...]:
    """Add to a log what is not in it yet, all of it or nothing; returns what was added.

    Raises InputErrors where the log as it stands cannot be read (nothing is added to a broken log), OSError.
    """
    with atomic_write.locked(path.parent):
        raw = read_bytes(path, MOST_BYTES) if path.exists() else b""
        before = parse_site_log(raw, str(path))
        seen = set(before)
        new = tuple(dict.fromkeys(entry for entry in entries if entry not in seen))
        if len({entry.when.tzinfo is None for entry in (*before, *new)}) > 1:
            raise InputErrors(str(path), (InputError("site-when-mixed", "when"),))
        if new:
            lines = "".join(f"{site_line(entry)}\n" for entry in new).encode("utf-8")
            atomic_write.write_file(path, raw + (b"\n" if raw and not raw.endswith(b"\n") else b"") + lines)
    return new


def merge_logs(logs: Iterable[Sequence[SiteEntry]], source: str = "site log") -> tuple[SiteEntry, ...]:
    """Several logs as one; what stands in two of them, once. InputErrors, of `source`, where their times do
    not mix."""
    entries = tuple(dict.fromkeys(entry for log in logs for entry in log))
    if len({entry.when.tzinfo is None for entry in entries}) > 1:
        raise InputErrors(source, (InputError("site-when-mixed", "when"),))
    return entries


def site_line(entry: SiteEntry) -> str:
    """An entry as one line of a log, without its end; reads back to the same entry."""
    values = {
        "when": entry.when.isoformat(),
        "who": entry.who,
        "mark": entry.mark,
        "revision": entry.revision,
        "field": entry.field,
        "value": entry.value,
        "photo": entry.photo,
    }
    return json.dumps({k: v for k, v in values.items() if v != "" or k in NEEDED}, ensure_ascii=False)


def entries_from_typed(
    when: str, fields: Iterable[tuple[str, str]], source: str, asked: Mapping[str, str] | None = None
) -> tuple[SiteEntry, ...]:
    """Readings taken together, as typed: (field, value) pairs. Raises InputErrors with every mistake, each
    at its field, or at what was asked for it."""
    entries: list[SiteEntry] = []
    mistakes: list[InputError] = []
    for field, value in fields:
        try:
            entries.append(site_entry(_when(when.strip(), None), field, value))
        except InputError as mistake:
            if all(mistake.code != "site-when" or m.code != mistake.code for m in mistakes):
                where = (asked or {}).get(field, field)
                mistakes.append(InputError(mistake.code, where, None, **mistake.placeless))
    if mistakes:
        raise InputErrors(source, tuple(mistakes))
    return tuple(entries)


def site_entry(when: datetime.datetime, field: str, value: str) -> SiteEntry:
    """An entry with its value read. Raises InputError."""
    return SiteEntry(when, field, value, amount=_amount(field, value, None))


def _head(data: dict[str, Any], number: int, project: str) -> int:
    """How many lines a phone put behind this one; they must be of this project."""
    theirs, sent = data.get("project"), data[SENT]
    if not isinstance(theirs, str) or not isinstance(sent, int) or isinstance(sent, bool):
        raise InputError("site-head", line=number)
    if project and theirs != project:
        raise InputError("site-other-project", line=number, theirs=_short(theirs), ours=_short(project))
    return sent


def _all_here(sent: int, found: int, number: int) -> None:
    if found < sent:
        raise InputError("site-cut-short", line=number, sent=sent, found=found)


def _entry(data: dict[str, Any], number: int) -> SiteEntry:
    for key in data:
        if key not in KEYS:
            near = difflib.get_close_matches(key, KEYS, 1)
            raise InputError(
                "site-key", line=number, text=_short(key), known=KEYS, nearest=near[0] if near else ""
            )
    if missing := tuple(key for key in NEEDED if key not in data):
        raise InputError("site-missing", line=number, missing=missing)
    texts = {key: data.get(key, "") for key in KEYS if key != "value"}
    for key, text in texts.items():
        if not _plain(text):
            raise InputError("site-text", key, number, key=key, most=MOST_SIGNS)
    value = data["value"]
    if isinstance(value, int) and not isinstance(value, bool):
        value = float(value) if abs(value) < 2**53 else None
    if not (isinstance(value, bool) or _plain(value) or (isinstance(value, float) and math.isfinite(value))):
        raise InputError("site-value", "value", number)
    if texts["field"] in _OF_MARKS and not texts["mark"].strip():
        raise InputError("site-mark", "mark", number)
    when = texts.pop("when")
    return SiteEntry(
        when=_when(when, number), value=value, amount=_amount(texts["field"], value, number), **texts
    )


def _plain(text: object) -> bool:
    """Whether it is text that a file can hold: half a surrogate pair is not."""
    return (
        isinstance(text, str) and len(text) <= MOST_SIGNS and not any("\ud800" <= s <= "\udfff" for s in text)
    )


def _object(line: str, number: int, cut: bool) -> dict[str, Any]:
    def pairs(entries: list[tuple[str, Any]]) -> dict[str, Any]:
        keys = [key for key, _ in entries]
        twice = next((key for key in keys if keys.count(key) > 1), None) if len(keys) < 50 else None
        if twice is not None:
            raise InputError("site-key-twice", line=number, text=_short(twice))
        return dict(entries)

    try:
        data = json.loads(line, object_pairs_hook=pairs, parse_constant=_no_constant)
    except (ValueError, RecursionError):
        data = None
    if not isinstance(data, dict):
        broken = cut and line.lstrip().startswith("{")
        raise InputError("site-not-json", line=number, text=_short(line.strip()), cut=broken)
    return data


def _no_constant(name: str) -> None:
    raise ValueError(name)  # NaN and Infinity are not JSON


def _when(text: str, number: int | None) -> datetime.datetime:
    """A time; one with an offset is told in UTC, so that logs of two places compare."""
    try:
        when = datetime.datetime.fromisoformat(text)
        if when.tzinfo is not None:
            when = when.astimezone(datetime.UTC)
    except (ValueError, OverflowError):
        raise InputError("site-when", "when", number, text=_short(text)) from None
    return when


def _amount(field: str, value: object, number: int | None) -> float | None:
    """The value in SI where the field is a quantity. A strike must name a line."""
    if field == STRIKE and struck_line(value) is None:
        raise InputError("site-strike", "value", number, text=_short(str(value)))
    known = BY_FIELD.get(field)
    if known is None:
        first = field.split(" ", 1)[0]
        if kin := tuple(name for name in BY_FIELD if name.startswith(f"{first} ")):
            near = difflib.get_close_matches(field, kin, 1)
            raise InputError(
                "site-field", "field", number, text=_short(field), kind=first, known=kin,
                nearest=near[0] if near else "",
            )  # fmt: skip
    if known is None or known.by == "look":
        return None
    kind, low, high = known.kind, known.least, known.most
    try:
        amount = units.parse(value, kind)  # type: ignore[arg-type]
    except InputError as mistake:
        told = mistake.placeless
        if mistake.code == "unit-missing" and known.shown == "bucket":  # a cup is read by its marks
            told |= dict.fromkeys(("us", "metric"), f"{told['text']} mL/min")
        raise InputError(mistake.code, "value", number, **told) from None
    if not low <= amount <= high:
        system: units.System = "metric" if _METRIC.search(str(value)) else "us"
        limits = [units.show(end, kind, system) for end in (low, high)]
        raise InputError(
            "site-out-of-range",
            "value",
            number,
            text=_short(str(value)),
            field=field,
            low=limits[0],
            high=limits[1],
        )
    return amount


def _short(text: str) -> str:
    return text if len(text) <= 60 else f"{text[:60]}..."
