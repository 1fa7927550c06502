"""One reader's language and units, so that no function has to hand both on."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from mistcalc import words
from mistcalc.model.results import Finding
from mistcalc.units import System


def town_of(sample: str) -> str:
    """The town that one of the climate samples is named by: "el-paso"."""
    return sample.replace("-", " ").title()


@dataclass(frozen=True)
class Locale:
    """`words`, spoken to one reader."""

    units: System
    language: str

    def label(self, key: str, **values: Any) -> str:
        return words.label(key, self.units, self.language, **values)

    def word(self, text: str) -> str:
        return words.word(text, self.language, self.units)

    def say(self, finding: Finding, in_file: bool = True) -> str:
        """in_file: whether the reader has the project file at hand, and hears what to write there."""
        return words.say(finding, self.units, self.language, in_file)

    def number(self, value: float | None, kind: str, like: float | None = None) -> str:
        """like: a value beside it whose unit it takes."""
        return words.number(value, kind, self.units, self.language, like)

    def span(self, low: float, high: float) -> str:
        return words.span(low, high, self.units, self.language)

    def tape(self, value: float) -> str:
        """A distance as the tape shows it, with its unit; past its datum, that it is pulled the other way."""
        return self.label("number.tape", at=value)

    def in_cell(self, value: float, kind: str = "tape") -> str:
        """The same for a narrow cell, where the words for that take a line of their own."""
        told = self.number(value, kind)
        return self.label("number.other_way_cell", tape=told[1:]) if told[:1] == "-" else told
