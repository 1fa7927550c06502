"""From bytes to plain TOML data, or the one mistake that stops reading: size, encoding, syntax."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path as FilePath
from typing import Any

from mistcalc import units
from mistcalc.errors import InputError, InputErrors
from mistcalc.files.text.toml_positions import Path, ScanError, TomlPositions, locate_keys

MOST_BYTES = 1_000_000  # a project of fifty patios is a tenth of this
MOST_PIECES = 30_000  # keys, values and tables: sixty projects of a demo's size
BOM = "\ufeff"

# Twelve names with dots between: no key of ours has more than four, and TOML readers take a time that
# grows with the square of their number.
_ENDLESS_KEY = re.compile(r"""(?<![\w-])(?:(?:[\w-]+|"[^"\n]*"|'[^'\n]*')[ \t]*\.[ \t]*){12}""")
_DATE = re.compile(r"\d{1,4}[-/.]\d{1,2}[-/.]\d{1,4}")  # a date as people write it
_NO_COMMA = re.compile(r"""("[^"]*"|'[^']*'|[\]}]|\b(?:true|false|\d+))\s+(?=[\w-]+\s*=|["'{\[\d])""")
_ENDS = re.compile(r"""(["'\]}]|\b(?:true|false|\d+))(?=\s*(?:#[^"']*)?$)""")
_STATEMENT = re.compile(r"\s*(?P<key>[A-Za-z0-9_.\-]+)\s*=\s*(?P<value>[^#]*)")


def read_bytes(path: FilePath | str, most: int = MOST_BYTES, missing: InputError | None = None) -> bytes:
    """The bytes of a file, at most one more than `most`, so that its size tells. Raises InputErrors.

    `missing` is what is said of a file that is not there.
    """
    file = FilePath(path)
    try:
        if file.is_dir():
            raise InputErrors(str(path), (InputError("file-is-folder"),))
        with file.open("rb") as stream:
            raw = stream.read(most + 1)
    except FileNotFoundError:
        raise InputErrors(str(path), (missing or InputError("file-missing"),)) from None
    except (OSError, ValueError) as fault:
        reason = getattr(fault, "strerror", None) or "not a file name"
        raise InputErrors(str(path), (InputError("file-unreadable", reason=reason),)) from None
    return raw


def decode(raw: bytes | str, source: str) -> str:
    """Text of a project file. Raises InputErrors for what no person typed."""
    mistake: InputError | None = None
    text = ""
    size = len(raw)
    if size > MOST_BYTES:
        mistake = InputError("file-too-big", most=MOST_BYTES)
    elif isinstance(raw, str):
        text = raw
    elif raw[:2] in (b"\xff\xfe", b"\xfe\xff"):
        mistake = InputError("file-wrong-encoding", line=1, encoding="UTF-16")
    elif b"\0" in raw:
        mistake = InputError("file-not-text")
    else:
        try:
            text = raw.decode("utf-8")
        except UnicodeDecodeError as fault:
            line = raw.count(b"\n", 0, fault.start) + 1
            mistake = InputError("file-wrong-encoding", line=line, encoding="")
    if mistake is None and not text.strip(BOM + " \t\r\n"):
        mistake = InputError("file-empty")
    if mistake is None and "\0" in text:
        mistake = InputError("file-not-text")
    if mistake is not None:
        raise InputErrors(source, (mistake,))
    return text


def parse_toml(text: str, source: str) -> tuple[dict[str, Any], TomlPositions]:
    """Data and places. A byte order mark is passed over; places count from after it."""
    body = text.removeprefix(BOM)
    if sum(map(body.count, "=,[{")) > MOST_PIECES:
        raise InputErrors(source, (InputError("file-too-full", most=MOST_PIECES),))
    if _ENDLESS_KEY.search(body):
        raise InputErrors(source, (InputError("nested-too-deep"),))
    try:
        data = tomllib.loads(body)
        return data, locate_keys(body)
    except RecursionError:
        mistake = InputError("nested-too-deep")
    except (ValueError, ScanError) as fault:  # TOMLDecodeError is a ValueError; so is a 5,000-digit number
        mistake = _explain(body, str(fault))
    raise InputErrors(source, (mistake,)) from None


def _explain(body: str, fault: str) -> InputError:
    """The syntax mistake in words a builder can act on."""
    lines = body.split("\n")
    named = re.search(r"at line (\d+), column (\d+)", fault)
    line, column = (int(named[1]), int(named[2])) if named else (len(lines), 1)
    opened = ""
    try:
        places = locate_keys(body)
        if places.twice:
            path, first, second = places.twice
            return InputError(
                "key-twice", written(path), places.line_at(second), key=path[-1], first=places.line_at(first)
            )
    except ScanError as stop:
        if not named or stop.started is not None:
            offset = stop.offset if stop.started is None else stop.started
            line = body.count("\n", 0, offset) + 1
            column = offset - (body.rfind("\n", 0, offset) + 1) + 1
            opened = body[offset] if stop.started is not None else ""
    except (RecursionError, ValueError):
        return InputError("nested-too-deep")
    if line > len(lines) or not lines[line - 1].strip():  # a value that was never written: blame its key
        line = next((n for n in range(min(line, len(lines)), 0, -1) if lines[n - 1].strip()), 1)
    text = units.printable(lines[line - 1].strip()[:120])
    if mistake := _spelling(text, line):
        return mistake
    if mistake := _comma(lines, line - 1):
        return mistake
    if text.startswith("[") and "=" not in text:
        return InputError("heading-unread", line=line, text=text, instead=_heading(lines, line - 1))
    if opened:
        return InputError("not-closed", line=line, text=text, sign=opened)
    return InputError("toml-syntax", line=line, column=column, text=text)


def _comma(lines: list[str], at: int) -> InputError | None:
    """A comma left out before a place that cannot be read: in its line, or at the end of the line before. It
    is one where with the comma the file is read, or is stopped only farther on."""
    whole = {at: _NO_COMMA.sub(r"\1, ", lines[at])} if _NO_COMMA.search(lines[at]) else {}
    before = next(
        (n for n in range(at - 1, -1, -1) if lines[n].strip() and lines[n].lstrip()[0] != "#"), None
    )
    if before is not None and _ENDS.search(lines[before]):
        whole[before] = _ENDS.sub(r"\1,", lines[before], count=1)
    for n, mended in whole.items():
        try:
            tomllib.loads("\n".join((*lines[:n], mended, *lines[n + 1 :])))
        except tomllib.TOMLDecodeError as fault:
            named = re.search(r"at line (\d+)", str(fault))
            if named is None or int(named[1]) <= at + 1:
                continue
        text, instead = (units.printable(line.strip()[:120]) for line in (lines[n], mended))
        return InputError("comma-missing", line=n + 1, text=text, instead=instead)
    return None


def _heading(lines: list[str], at: int) -> str:
    """A heading with as many brackets as it takes to be read there; an example where it is no name."""
    name = re.sub(r"[\[\]\s]", "", lines[at].split("#")[0])
    for instead in (f"[[{name}]]", f"[{name}]"):
        try:
            tomllib.loads("\n".join((*lines[:at], instead)))
        except tomllib.TOMLDecodeError:
            continue
        return units.printable(instead[:120])
    return f"[{name}]" if re.fullmatch(r"[\w-]+(\.[\w-]+)*", name) else "[[patio.run]]"


def _spelling(text: str, line: int) -> InputError | None:
    """Inch marks inside quotes, values without quotes, quotes from a word processor."""
    for match in re.finditer(r'"([0-9][^"]*")\s*"', text):  # "9' 6 1/2"" : the inch mark ends the string
        if (metres := _length(match[1])) is not None:
            names = re.findall(r"([A-Za-z0-9_\-]+)\s*=", text[: match.start()])
            instead = f'"{units.spell(metres, "length", "us")}"'
            name = names[-1] if names else ""
            return InputError("inch-mark-in-string", name, line, key=name, text=text, instead=instead)
    statement = _STATEMENT.fullmatch(text) or _STATEMENT.match(text)
    if not statement:
        return None
    key, value = statement["key"], statement["value"].strip()
    if not value:
        return InputError("value-missing", key, line, key=key, text=text)
    if value[0] == "'" and value[-1] == "'" and (metres := _length(value[1:-1])) is not None:
        instead = f'"{units.spell(metres, "length", "us")}"'
        return InputError("inch-mark-in-string", key, line, key=key, text=text, instead=instead)
    if _DATE.fullmatch(value):
        return InputError("date-wanted", key, line, key=key, text=value, example="2027-03-08")
    if value[0] in "“”„«" or value[0].isalpha() or _is_quantity(value):
        inner = value.strip("“”„«» ").replace('"', "")
        metres = _length(value)
        instead = (
            inner.casefold()
            if inner in ("True", "False", "TRUE", "FALSE")
            else f'"{units.spell(metres, "length", "us", like=value) if metres is not None else inner}"'
        )
        return InputError("value-not-quoted", key, line, key=key, text=text, instead=instead)
    return None


def _length(text: str) -> float | None:
    try:
        return units.parse(text, "length")
    except InputError:
        return None


def _is_quantity(text: str) -> bool:
    for kind in units.KINDS:
        try:
            units.parse(text, kind)
        except InputError:
            continue
        return True
    return False


def written(path: Path) -> str:
    """A key path as we show it, list elements counted from 1: patio[1].run[2].length."""
    shown = ""
    for piece in path:
        shown += f"[{piece + 1}]" if isinstance(piece, int) else f".{piece}" if shown else str(piece)
    return shown
