"""A row of the materials list."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Part:
    """One row of the materials list."""

    name: str  # of `model.parts`, and key into words
    quantity: float
    unit: str  # "" for pieces, else SI
    detail: tuple[tuple[str, object], ...] = ()
