"""The one font of every sheet: its files, the measured width of a text, and what a text may hold.

DejaVu Sans Condensed, regular and bold, lie beside this module with their licence. Widths come from
the font's own tables (OpenType 1.9: `cmap` formats 4 and 12, `hmtx`, `hhea`, `head`), so a label is as
wide on paper as it was when it was placed.
"""

from __future__ import annotations

import struct
import unicodedata
from array import array
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files

from mistcalc.units import with_no_break_spaces

NAME = "DejaVu Sans Condensed"
CAP = 0.729  # height of a capital letter / font size, both faces (1493 of 2048 units)
LEAD = 1.75  # baseline to baseline / height of a capital
LONGEST = 600  # characters of one text; nothing a person writes for a sheet is longer
BLANK = "\u25a1"  # stands for what the font cannot draw
_ELLIPSIS = "\u2026"


def ttf(bold: bool = False) -> bytes:
    """The whole font file, for embedding."""
    return _read("DejaVuSansCondensed-Bold.ttf" if bold else "DejaVuSansCondensed.ttf")


def woff(bold: bool = False) -> bytes:
    """The Latin letters of the font (16 kB), for pictures on screen; same outlines and widths."""
    return _read("DejaVuSansCondensed-Bold-latin.woff" if bold else "DejaVuSansCondensed-latin.woff")


@lru_cache(maxsize=20_000)
def width(text: str, height: float, bold: bool = False) -> float:
    """How wide is a text whose capitals are `height` high? Same unit as `height`; no kerning.

    The writers switch kerning off, so this is the width drawn. A letter the font lacks counts as
    the box drawn in its place.
    """
    face = _face(bold)
    return sum(face.advance(ord(letter)) for letter in text) * height / CAP


@lru_cache(maxsize=20_000)
def clean(text: str) -> str:
    """A text safe to draw: one line, no control or direction characters, only letters of the font.

    Project text is not to be trusted. Line ends and tabs become spaces; control, format, surrogate
    and private characters go; accents are composed (NFC); what the font lacks becomes an empty box;
    beyond LONGEST characters it ends in an ellipsis. Markup is left as it is: escaping it is the
    business of each writer.
    """
    text = unicodedata.normalize("NFC", text[: 2 * LONGEST])
    letters = []
    for letter in text:
        if letter.isspace():
            letters.append("\u00a0" if letter == "\u00a0" else " ")
        elif unicodedata.category(letter)[0] != "C":
            known = _face(False).has(ord(letter)) and _face(True).has(ord(letter))
            letters.append(letter if known else BLANK)
    whole = "".join(letters)
    return whole if len(whole) <= LONGEST else whole[: LONGEST - 1] + _ELLIPSIS


def fit(text: str, height: float, room: float, bold: bool = False) -> str:
    """The text, shortened with an ellipsis where it is wider than `room` (same unit as `height`)."""
    text = clean(text)
    if width(text, height, bold) <= room:
        return text
    low, high = 0, len(text)
    while low < high:  # longest beginning that leaves room for the ellipsis
        middle = (low + high + 1) // 2
        if width(text[:middle] + _ELLIPSIS, height, bold) <= room:
            low = middle
        else:
            high = middle - 1
    return text[:low].rstrip() + _ELLIPSIS


def wrap(text: str, height: float, room: float, bold: bool = False) -> list[str]:
    """The text in lines no wider than `room`; a word wider than that is broken, never left to stick out. A
    number stays with its unit."""
    return list(_wrapped(text, height, room, bold))


@lru_cache(maxsize=20_000)
def _wrapped(text: str, height: float, room: float, bold: bool) -> tuple[str, ...]:
    lines: list[str] = []
    line = ""
    for word in _words(clean(text), height, room, bold):
        if width(f"{line} {word}".lstrip(), height, bold) <= room:
            line = f"{line} {word}".lstrip()
            continue
        if line:
            lines.append(line)
        while len(word) > 1 and width(word, height, bold) > room:
            cut = _letters_that_fit(word, height, room, bold)
            lines.append(word[:cut])
            word = word[cut:]
        line = word
    lines = [*lines, line] if line else lines
    return tuple(line.replace("\N{NO-BREAK SPACE}", " ") for line in lines)


def _words(text: str, height: float, room: float, bold: bool) -> list[str]:
    """What no line is to end in, but where there is no room for it."""
    whole = filter(None, with_no_break_spaces(text).split(" "))
    return [
        part for word in whole for part in ([word] if width(word, height, bold) <= room else word.split())
    ]


def _letters_that_fit(word: str, height: float, room: float, bold: bool) -> int:
    used = 0.0
    for count, letter in enumerate(word):
        used += width(letter, height, bold)
        if used > room:
            return max(count, 1)
    return len(word)


@dataclass(frozen=True)
class _Face:
    """Advance widths of one font file, as shares of the font size."""

    glyphs: dict[int, int]  # character -> glyph
    advances: tuple[float, ...]  # by glyph

    def has(self, code: int) -> bool:
        return code in self.glyphs

    def advance(self, code: int) -> float:
        glyph = self.glyphs.get(code) or self.glyphs[ord(BLANK)]
        return self.advances[min(glyph, len(self.advances) - 1)]


def _read(name: str) -> bytes:
    return files(__package__).joinpath("fonts", name).read_bytes()


@lru_cache(maxsize=2)
def _face(bold: bool) -> _Face:
    data = ttf(bold)
    tables = {}
    for at in range(12, 12 + 16 * _u16(data, 4), 16):
        tables[data[at : at + 4]] = int.from_bytes(data[at + 8 : at + 12])
    units = _u16(data, tables[b"head"] + 18)
    full = _u16(data, tables[b"hhea"] + 34)  # glyphs with a width of their own; the rest repeat the last
    pairs = _u16s(data, tables[b"hmtx"], 2 * full)
    return _Face(_characters(data, tables[b"cmap"]), tuple(advance / units for advance in pairs[::2]))


def _characters(data: bytes, cmap: int) -> dict[int, int]:
    """Character to glyph, from the Unicode subtables of a cmap."""
    glyph_by_code: dict[int, int] = {}
    for at in range(cmap + 4, cmap + 4 + 8 * _u16(data, cmap + 2), 8):
        platform, _, offset = struct.unpack_from(">HHL", data, at)
        start = cmap + offset
        if platform not in (0, 3):
            continue
        if _u16(data, start) == 4:
            glyph_by_code.update(_segments(data, start))
        elif _u16(data, start) == 12:
            for group in struct.iter_unpack(
                ">LLL", data[start + 16 : start + 16 + 12 * _u32(data, start + 12)]
            ):
                first, last, glyph = group
                glyph_by_code.update(
                    zip(range(first, last + 1), range(glyph, glyph + last - first + 1), strict=True)
                )
    return glyph_by_code


def _segments(data: bytes, start: int) -> dict[int, int]:
    """cmap format 4: runs of characters, each with a shift or a table of glyphs."""
    count = _u16(data, start + 6) // 2
    ends = _u16s(data, start + 14, count)
    starts = _u16s(data, start + 16 + 2 * count, count)
    shifts = _u16s(data, start + 16 + 4 * count, count)
    ranges_at = start + 16 + 6 * count
    ranges = _u16s(data, ranges_at, count)
    glyph_by_code = {}
    for index, (first, last, shift, table) in enumerate(zip(starts, ends, shifts, ranges, strict=True)):
        for code in range(first, min(last, 0xFFFE) + 1):
            glyph = code
            if table:
                glyph = _u16(data, ranges_at + 2 * index + table + 2 * (code - first))
                if not glyph:
                    continue
            glyph_by_code[code] = (glyph + shift) & 0xFFFF
    return glyph_by_code


def _u16(data: bytes, at: int) -> int:
    return int.from_bytes(data[at : at + 2])


def _u32(data: bytes, at: int) -> int:
    return int.from_bytes(data[at : at + 4])


def _u16s(data: bytes, at: int, count: int) -> array[int]:
    values = array("H", data[at : at + 2 * count])
    if struct.pack("=H", 1) != struct.pack(">H", 1):
        values.byteswap()
    return values
