"""Where things stand in a TOML text: every key path with its line and the span of its value.

TOML libraries hand over values without their places. This one hands over places without values: it
walks text that `tomllib` has already accepted, so it only has to know where a key, a string, an array
and a table end. The reader takes line numbers from it, `rewrite` takes spans.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from dataclasses import dataclass, field

Path = tuple[str | int, ...]  # ("patio", 0, "run", 1, "length")

_SPACE = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_BLANK = re.compile(r"[ \t]*")
_BASIC = re.compile(r'"(?:[^"\\\n]|\\.)*"')
_LITERAL = re.compile(r"'[^'\n]*'")
_NAME = re.compile(rf"[A-Za-z0-9_-]+|{_BASIC.pattern}|{_LITERAL.pattern}")
_LONG = (re.compile(r'"""(?:[^\\]|\\.)*?"""(?!")', re.S), re.compile(r"'''.*?'''(?!')", re.S))
_PLAIN = re.compile(r"[^,\]}#\r\n]+")
_STATEMENT = re.compile(r"[A-Za-z0-9_.-]+[ \t]*=|\[\[?[A-Za-z]")
_ESCAPE = re.compile(r"\\(u[0-9A-Fa-f]{4}|U[0-9A-Fa-f]{8}|.)")
_ESCAPED = {"b": "\b", "t": "\t", "n": "\n", "f": "\f", "r": "\r", '"': '"', "\\": "\\"}


class ScanError(Exception):
    """The text stops making sense at `offset`. `started` is where the unfinished string or bracket began."""

    def __init__(self, offset: int, started: int | None = None) -> None:
        super().__init__(offset)
        self.offset = offset
        self.started = started


@dataclass(slots=True)
class KeyPosition:
    """One key or array element: where its key (or itself) starts and the span of its value."""

    start: int
    value: tuple[int, int]
    inline: bool  # inside brackets or braces, not on a line of its own


@dataclass(slots=True)
class TablePosition:
    """A [table] or one [[element]]: its header and the end of its last own line."""

    start: int
    header_end: int
    end: int


@dataclass(slots=True)
class TomlPositions:
    text: str
    items: dict[Path, KeyPosition] = field(default_factory=dict)
    blocks: dict[Path, TablePosition] = field(default_factory=dict)
    twice: tuple[Path, int, int] | None = None  # a path stated again: path, first offset, second offset
    ends: list[int] = field(default_factory=list)  # offsets of line ends, once a line is asked for

    def line(self, path: Path) -> int | None:
        """Line of a key, else of the nearest thing that holds it; None for the file as a whole."""
        while path:
            if path in self.items:
                return self.line_at(self.items[path].start)
            for block in (path, (*path, 0)):  # of a list of tables, the first
                if block in self.blocks:
                    return self.line_at(self.blocks[block].start)
            path = path[:-1]
        return None

    def line_at(self, offset: int) -> int:
        if not self.ends:
            self.ends = [newline.start() for newline in re.finditer("\n", self.text)] or [len(self.text)]
        return bisect_left(self.ends, offset) + 1


def locate_keys(text: str) -> TomlPositions:
    """Places of all keys. Raises ScanError, its `places` filled so far, where the text is no TOML."""
    return _Walk(text).run()


class _Walk:
    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.found = TomlPositions(text)
        self.counts: dict[Path, int] = {}  # elements so far of each [[array]]

    def run(self) -> TomlPositions:
        table: Path = ()
        block = self.found.blocks.setdefault((), TablePosition(0, 0, 0))
        while True:
            self._skip(_SPACE)
            if self.at >= len(self.text):
                return self.found
            start = self.at
            if self.text[self.at] == "[":
                table = self._header()
                block = TablePosition(start, self.at, self.at)
                if table in self.found.blocks and table != ():
                    self._note_twice(table, self.found.blocks[table].start, start)
                self.found.blocks.setdefault(table, block)
            else:
                self._pair(table, inline=False)
                block.end = self.at
            self._end_of_line()

    def _end_of_line(self) -> None:
        self._skip(_BLANK)
        if self.at < len(self.text) and self.text[self.at] not in "#\r\n":
            raise ScanError(self.at)

    def _header(self) -> Path:
        many = self.text.startswith("[[", self.at)
        self.at += 2 if many else 1
        names = self._key()
        self._expect("]]" if many else "]")
        path: Path = ()
        for name in names[:-1]:
            path = self._last_element((*path, name))
        path = (*path, names[-1])
        if not many:
            return path
        count = self.counts.get(path, 0)
        self.counts[path] = count + 1
        return (*path, count)

    def _last_element(self, path: Path) -> Path:
        return (*path, self.counts[path] - 1) if path in self.counts else path

    def _pair(self, table: Path, inline: bool) -> None:
        start = self.at
        names = self._key()
        self._expect("=")
        path = (*table, *names)
        if path in self.found.items:
            self._note_twice(path, self.found.items[path].start, start)
        self._skip(_BLANK)
        self._value(path, start, inline)

    def _note_twice(self, path: Path, first: int, second: int) -> None:
        self.found.twice = self.found.twice or (path, first, second)

    def _key(self) -> tuple[str, ...]:
        names: list[str] = []
        while True:
            self._skip(_BLANK)
            match = _NAME.match(self.text, self.at)
            if not match:
                raise ScanError(self.at)
            self.at = match.end()
            names.append(_unquoted(match[0]))
            self._skip(_BLANK)
            if not self.text.startswith(".", self.at):
                return tuple(names)
            self.at += 1

    def _value(self, path: Path, start: int, inline: bool) -> None:
        begin = self.at
        opening = self.text[begin : begin + 1]
        if opening == "[":
            self._array(path)
        elif opening == "{":
            self._inline_table(path)
        elif opening in ("'", '"'):
            self._string(opening)
        else:
            self._plain()
        self.found.items[path] = KeyPosition(start, (begin, self.at), inline)

    def _string(self, quote: str) -> None:
        begin = self.at
        if self.text.startswith(quote * 3, begin):
            match = _LONG[quote == "'"].match(self.text, begin)
        else:
            match = (_BASIC if quote == '"' else _LITERAL).match(self.text, begin)
        if not match:
            raise ScanError(begin, started=begin)
        self.at = match.end()

    def _plain(self) -> None:
        match = _PLAIN.match(self.text, self.at)
        if not match or not match[0].strip():
            raise ScanError(self.at)
        self.at += len(match[0].rstrip())

    def _array(self, path: Path) -> None:
        begin, count = self.at, 0
        self.at += 1
        while True:
            self._skip(_SPACE)
            if self._take("]"):
                return
            self._within(begin)
            self._value((*path, count), self.at, inline=True)
            count += 1
            self._skip(_SPACE)
            if self._take("]"):
                return
            self._within(begin)
            if _STATEMENT.match(self.text, self.at):  # the next line of the file, not an element
                raise ScanError(self.at, started=begin)
            self._expect(",")

    def _inline_table(self, path: Path) -> None:
        begin = self.at
        self.at += 1
        self._skip(_BLANK)
        if self._take("}"):
            return
        while True:
            self._within(begin)
            self._skip(_BLANK)
            self._pair(path, inline=True)
            self._skip(_BLANK)
            if self._take("}"):
                return
            self._within(begin)
            self._expect(",")

    def _within(self, begin: int) -> None:
        if self.at >= len(self.text):
            raise ScanError(self.at, started=begin)

    def _take(self, sign: str) -> bool:
        if self.text.startswith(sign, self.at):
            self.at += len(sign)
            return True
        return False

    def _expect(self, sign: str) -> None:
        self._skip(_BLANK)
        if not self._take(sign):
            raise ScanError(self.at)

    def _skip(self, pattern: re.Pattern[str]) -> None:
        match = pattern.match(self.text, self.at)
        self.at = match.end() if match else self.at


def _unquoted(key: str) -> str:
    if key[0] == "'":
        return key[1:-1]
    if key[0] != '"':
        return key
    return _ESCAPE.sub(
        lambda m: _ESCAPED.get(m[1][0]) or (chr(int(m[1][1:], 16)) if m[1][0] in "uU" else m[1]), key[1:-1]
    )
