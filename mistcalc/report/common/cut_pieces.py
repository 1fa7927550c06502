"""Pieces of tube as lists call them: numbered in the order of sawing."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from mistcalc.model.results import CutPiece, CutPlan
from mistcalc.report.common.locale_text import Locale


class NumberedPiece(NamedTuple):
    """A piece with its number in the order of sawing, and that of its length."""

    number: int
    stick: int
    piece: CutPiece
    left: float | None  # of its length, told at the last piece


def numbered_pieces(plan: CutPlan, first: int = 1) -> Iterator[NumberedPiece]:
    number = first
    for n, stick in enumerate(plan.sticks, 1):
        for piece in stick.pieces:
            last = piece is stick.pieces[-1]
            yield NumberedPiece(number, n, piece, stick.left if last else None)
            number += 1


def piece_name(piece: CutPiece, locale: Locale) -> str:
    """Its two ends; of one longer than a stick which part it is; a star where it has fittings of its own."""
    key = "part" if piece.parts > 1 else "whole"
    name = locale.label(f"paper_cut.{key}", piece=piece.name, part=piece.part, parts=piece.parts)
    return locale.label("paper_cut.fitted", piece=name) if piece.fitted else name
