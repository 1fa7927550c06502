"""What the signs and letters of the line diagram mean: those of this line, and no others."""

from __future__ import annotations

from mistcalc.drawing import symbols
from mistcalc.drawing.boxes import Point
from mistcalc.drawing.sheet import FINE, MEDIUM, WHITE, Circle, Item, LineSegment
from mistcalc.drawing.text_and_tables import Paragraph
from mistcalc.report.common.line_kind import LineJob
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.installer.line_diagram.line_graph import LineGraph
from mistcalc.report.installer.line_diagram.tube_and_nozzles import fitting_sign

SIGN_INDENT = 12.0


def draw_legend(design: LineJob, made: LineGraph, locale: Locale) -> tuple[Paragraph, ...]:
    """The signs of this line, and no others."""
    kinds = {sign for join in made.joins for sign in join.signs}
    drains = design.project.plumbing.drains
    pump = design.project.plumbing.pump is not None
    hand = kinds - {"solenoid valve", "check valve", "water meter"}
    rows = (
        (True, _nozzle, "nozzle"),
        ("solenoid valve" in kinds, lambda at: fitting_sign("solenoid valve", at, True), "solenoid"),
        (bool(hand) or pump, symbols.valve, "valve"),
        ("check valve" in kinds, symbols.check_valve, "check"),
        (bool(drains), lambda at: symbols.letter_box(at, "D"), "drain"),
        (any(drain.test_port for drain in drains), lambda at: symbols.letter_box(at, "T"), "port"),
        (True, lambda at: symbols.value_box(at, "0", 2.5), "gauge"),
    )
    words = [
        Paragraph(locale.label(f"paper_line.sign_{name}"), sign=sign, indent=SIGN_INDENT, before=2.2)
        for there, sign, name in rows
        if there
    ]
    water = design.project.plumbing.water
    letters = ["W", "BP"]
    if water.treatment != "none":
        letters.append(water.treatment.replace(" ", "_"))
    letters += ["TK", "LP"] if water.tank is not None else []
    letters += ["F"] if water.filter is not None else []
    letters += ["M"] if "water meter" in kinds else []
    letters_text = "; ".join(locale.label(f"paper_line.letter_{letter}") for letter in letters)
    return (*words, Paragraph(letters_text, before=2.2))


def _nozzle(at: Point) -> list[Item]:
    x, y = at
    return [
        LineSegment((x, y + 2.2), (x, y - 0.2), layer="NOTE", pen=FINE),
        Circle((x, y - 1.0), 1.2, WHITE, layer="NOTE", pen=MEDIUM),
    ]
