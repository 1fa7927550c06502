"""Everything that can go wrong, in one tree. No error holds a sentence: `words` speaks them.

A bad *design* is never an exception: it is a Finding (model/results.py). An error here means
"there is no answer to give".
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any


class MistcalcError(Exception):
    """Base of all errors of this package.

    `code` names the mistake, `values` hold what a sentence about it needs (plain numbers, strings).
    """

    def __init__(self, code: str, **values: object) -> None:
        self.code = code
        self.values: Mapping[str, object] = values
        shown = ", ".join(f"{name}={value!r}" for name, value in values.items())
        super().__init__(f"{code}({shown})")

    def __reduce__(self) -> tuple[object, ...]:
        """So that an error raised in another process arrives whole: each class has arguments of its own."""
        return _as_it_was, (type(self), self.args, dict(self.__dict__))


def _as_it_was(
    kind: type[MistcalcError], shown: tuple[object, ...], held: dict[str, object]
) -> MistcalcError:
    error = kind.__new__(kind, *shown)
    error.__dict__.update(held)
    return error


class InputError(MistcalcError):
    """One mistake in what a person wrote. `where` is a key path ("patio[court].run[A].length")."""

    def __init__(self, code: str, where: str = "", line: int | None = None, **values: object) -> None:
        self.where = where
        self.line = line
        super().__init__(code, where=where, line=line, **values)

    @property
    def placeless(self) -> dict[str, Any]:
        """Its values alone, for the same mistake told of another place."""
        return {name: value for name, value in self.values.items() if name not in ("where", "line")}


class InputErrors(MistcalcError):
    """All mistakes of one file, found together. `mistakes` is never empty."""

    def __init__(self, source: str, mistakes: tuple[InputError, ...]) -> None:
        self.source = source
        self.mistakes = mistakes
        super().__init__("input", source=source, mistakes=mistakes)


class FilesRefused(MistcalcError):
    """Several files given at once of which some cannot be read: every one's mistakes, none of them used.

    `good` names those that hold no mistake.
    """

    def __init__(self, refused: tuple[MistcalcError, ...], good: tuple[str, ...]) -> None:
        self.refused = refused
        self.good = good
        super().__init__("files-refused", refused=refused, good=good)


class DataError(MistcalcError):
    """A data file (climate, site log) that cannot be used as it stands."""


class RangeError(MistcalcError):
    """A quantity outside the range in which an equation has an answer."""

    def __init__(self, quantity: str, value: float, low: float, high: float, unit: str) -> None:
        super().__init__("range", quantity=quantity, value=value, low=low, high=high, unit=unit)


class ConvergenceError(MistcalcError):
    """An iteration that did not close; `where` names the node or case that is worst."""

    def __init__(self, where: str, residual: float, unit: str, iterations: int) -> None:
        super().__init__("convergence", where=where, residual=residual, unit=unit, iterations=iterations)


def raised_at(fault: BaseException) -> str:
    """Where a fault of ours was raised, for whoever is to mend it: "walk.py:120"."""
    trace = fault.__traceback__
    while trace is not None and trace.tb_next is not None:
        trace = trace.tb_next
    if trace is None:
        return "?"
    name = trace.tb_frame.f_code.co_filename.replace("\\", "/").rsplit("/", 1)[-1]
    return f"{name}:{trace.tb_lineno}"
