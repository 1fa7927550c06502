"""Edits of one text, collected by their places in it as it was and made together at the end."""

from __future__ import annotations

import re

KEYS, BLOCKS, TAIL = 0, 1, 2  # what goes first of several things put in at one place


class TextEdits:
    """Replacements, whole lines put in or taken out, and elements taken out from between brackets."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.newline = "\r\n" if "\r\n" in text else "\n"
        self._splices: list[tuple[int, int, str, int]] = []
        self._gone: list[tuple[int, int]] = []  # things between brackets that go, each with one comma

    def splice(self, start: int, end: int, new: str, rank: int = KEYS) -> None:
        self._splices.append((start, end, new, rank))

    def put_lines(self, after: int, lines: list[str], rank: int = KEYS) -> None:
        """Whole lines behind the line that holds offset `after`; that line itself may be about to go."""
        line_break = self.text.find("\n", after)
        spot = len(self.text) if line_break < 0 else line_break + 1
        gap = self.newline if line_break < 0 else ""
        self.splice(spot, spot, gap + "".join(line + self.newline for line in lines), rank)

    def append_lines(self, lines: list[str]) -> None:
        """At the end of the text, behind an empty line."""
        gap = "" if self.text.endswith("\n") or not self.text else self.newline
        inserted = "".join(line + self.newline for line in lines)
        self.splice(len(self.text), len(self.text), f"{gap}{self.newline}{inserted}", TAIL)

    def line_end(self, offset: int) -> int:
        line_break = self.text.find("\n", offset)
        end = len(self.text) if line_break < 0 else line_break
        return end - 1 if end > 0 and self.text[end - 1] == "\r" and line_break >= 0 else end

    def remove_lines(self, start: int, end: int) -> None:
        """Whole lines, with what stands behind the value on its last one."""
        begin = self.text.rfind("\n", 0, start) + 1
        line_break = self.text.find("\n", end)
        self.splice(begin, len(self.text) if line_break < 0 else line_break + 1, "")

    def remove_between(self, start: int, end: int) -> None:
        """One of several things between brackets; a line of its own goes whole."""
        follows = re.compile(r"[ \t]*,?[ \t]*(?:#[^\n]*)?\r?(?:\n|$)").match(self.text, end)
        if follows and not self.text[self.text.rfind("\n", 0, start) + 1 : start].strip():
            self.remove_lines(start, end)
        else:
            self._gone.append((start, end))

    def removes(self, start: int, end: int) -> bool:
        """Whether all of this goes by the edits so far."""
        cuts = [(begin, stop) for begin, stop, new, _ in self._splices if not new]
        return any(begin <= start and end <= stop for begin, stop in (*cuts, *self._gone))

    def cut_between(self) -> None:
        """Take out what goes from between brackets, once all of it is known, with the commas."""
        for start, end in sorted(self._gone):
            self._cut(start, end)

    def _cut(self, start: int, end: int) -> None:
        """With the comma before it, for an inline table must not end in one; with the comma behind it where
        all before it has gone."""
        comma = len(self.text[:start].rstrip()) - 1
        if self.text[comma] == "," and not any(a <= comma < b and not new for a, b, new, _ in self._splices):
            start = comma
        elif behind := re.compile(r"\s*,[ \t]*").match(self.text, end):
            end = behind.end()
        self.splice(start, end, "")

    def applied(self) -> str:
        """The text with all edits made."""
        parts, at = [], 0
        for start, end, new, _ in sorted(self._splices, key=lambda splice: (splice[0], splice[3])):
            parts += [self.text[at:start], new]
            at = max(at, end)
        return "".join(parts) + self.text[at:]
