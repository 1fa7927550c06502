"""Marks and materials as CSV: one row a thing, and nothing that could start a formula in a spreadsheet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from mistcalc import words
from mistcalc.model.results import Design, Mark, Part, PricedPart
from mistcalc.report.common.cut_pieces import numbered_pieces, piece_name
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.mark_position import next_to
from mistcalc.report.exports.csv_writer import csv_of

if TYPE_CHECKING:
    import pandas as pd

MATERIAL_COLUMNS = (
    "part", "quantity", "unit", "detail", "when", "pack", "buy", "price", "total", "currency",
)  # fmt: skip


def marks_csv(design: Design, locale: Locale) -> str:
    """`marks_dataframe` as CSV."""
    return csv_of(marks_dataframe(design, locale))


def marks_dataframe(design: Design, locale: Locale) -> pd.DataFrame:
    """One row a mark in the order the tape meets them: feet and inches, total inches, millimetres."""
    import pandas as pd  # here and below: half a second that only tables need

    names: tuple[str, ...] = (
        "mark", "patio", "run", "from", "along_tape", "along_in", "along_mm", "last_tape", "next_to",
        "finished_tape", "finished_in", "finished_mm", "back_tape", "back_mm", "stub_min_in",
        "stub_nominal_in", "stub_max_in", "stub_nominal_mm", "locked", "drilled",
    )  # fmt: skip
    slopes = any(run.rise for layout in design.layouts for run in layout.lid.runs)
    names += ("level_tape", "height_tape") if slopes else ()
    rows = []
    for layout in design.layouts:
        surfaces = {
            run.name: locale.word(run.hooked_on)
            for patio in design.project.patios
            if patio.name == layout.patio
            for run in patio.rows
        }
        for run in layout.lid.rows:
            last: Mark | None = None
            for mark in layout.marks_of(run.name):
                row = _mark_row(mark, last, surfaces.get(run.name, ""), locale)
                rows.append(row[: len(names)])
                last = mark
    return pd.DataFrame(rows, columns=[locale.label(f"marks_csv.{n}") for n in names])


def _mark_row(mark: Mark, last: Mark | None, surface: str, locale: Locale) -> list[str]:
    def tape(value: float) -> str:
        return words.number(value, "tape", "us", locale.language)

    def inches(value: float) -> str:
        return words.number(value, "inches", "us", locale.language)

    def mm(value: float) -> str:
        return words.number(value, "mm", "metric", locale.language)

    def yes(value: bool) -> str:
        return locale.label("marks_csv.yes") if value else ""

    return [
        mark.name, mark.patio, mark.run, surface,
        tape(mark.along), inches(mark.along), mm(mark.along),
        tape(mark.along - last.along) if last else "", next_to(mark, locale, center=True),
        tape(mark.along_finished), inches(mark.along_finished), mm(mark.along_finished),
        tape(mark.back), mm(mark.back),
        inches(mark.stub_min), inches(mark.stub_nominal), inches(mark.stub_max), mm(mark.stub_nominal),
        yes(mark.locked), yes(mark.drilled), tape(mark.level), tape(mark.height),
    ]  # fmt: skip


def materials_csv(design: Design, locale: Locale) -> str:
    """`materials_dataframe` as CSV."""
    return csv_of(materials_dataframe(design, locale))


def materials_dataframe(design: Design, locale: Locale) -> pd.DataFrame:
    """One row a part: what, how many, unit, detail; when it is wanted, packs to buy, price and total."""
    import pandas as pd

    rows = [] if design.first_cost is None else [
        material_cells(row, design.first_cost.currency, locale) for row in design.first_cost.parts
    ]  # fmt: skip
    return pd.DataFrame(rows, columns=[locale.label(f"materials_csv.{n}") for n in MATERIAL_COLUMNS])


def material_cells(row: PricedPart, currency: str, locale: Locale) -> tuple[str, ...]:
    """What stands under MATERIAL_COLUMNS."""
    part, when = row.part, "rough_in" if row.rough_in else "later"
    money = tuple("" if amount is None else str(amount) for amount in (row.price, row.total))
    return (
        part_name(part, locale), f"{part.quantity:g}", part.unit, part_detail(part, locale),
        locale.label(f"materials_csv.{when}"), str(row.pack), str(row.buy), *money,
        currency if row.price is not None else "",
    )  # fmt: skip


def cuts_csv(design: Design, locale: Locale) -> str:
    """One row a piece of tube in the order of sawing: from which length, how long, what is left of that."""
    import pandas as pd

    names = (
        "tube", "stick", "number", "piece", "length_tape", "length_mm", "left_mm", "on_site"
    )  # fmt: skip
    rows: list[tuple[object, ...]] = []
    for plan in design.cut_plans:
        for each in numbered_pieces(plan, len(rows) + 1):
            piece = each.piece
            rows.append((
                _mm(plan.tube.outside), each.stick, each.number, piece_name(piece, locale),
                words.number(piece.length, "sawn", "us", locale.language), _mm(piece.length),
                "" if each.left is None else _mm(each.left),
                locale.label("cuts_csv.yes") if piece.fitted else "",
            ))  # fmt: skip
    return csv_of(pd.DataFrame(rows, columns=[locale.label(f"cuts_csv.{n}") for n in names]))


def _mm(length: float) -> str:
    return f"{1000.0 * length:.1f}"


def part_name(part: Part, locale: Locale) -> str:
    return locale.label(f"part.{part.name}")


def part_detail(part: Part, locale: Locale) -> str:
    """What a buyer must know of a part; empty where the name says it all."""
    if not part.detail:
        return ""
    return locale.label(f"part_detail.{part.name}", **dict(part.detail))
