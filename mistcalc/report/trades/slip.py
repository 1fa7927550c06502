"""What stands on one trade's page, before it is drawn; and how places of the lid are told and found."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from mistcalc.drawing import line_geometry
from mistcalc.drawing.boxes import Box, Point
from mistcalc.drawing.sheet import Item
from mistcalc.model.project import Patio
from mistcalc.model.results import Design, Finding
from mistcalc.model.run_extents import SAME
from mistcalc.report.builder.runs_in_plan import PlanRun, plan_runs
from mistcalc.report.common.findings_by_reader import caution_name, cautions
from mistcalc.report.common.locale_text import Locale

Spot = tuple[str, Point]  # a patio, and a place in its plan
Detail = Callable[[Box], list[Item]]  # the one detail of a page, drawn into a box under its own head


@dataclass(frozen=True)
class SlipRow:
    """A line of a list with a box to tick. With spots its label stands in a box here and on the key plan."""

    label: str
    where: str
    words: str = ""
    spots: tuple[Spot, ...] = ()


@dataclass(frozen=True)
class SlipList:
    """columns: two where its words are short. height: of its places. A page too full has its lists in as many
    columns as make them lowest, and lower places."""

    head: str
    note: str
    rows: tuple[SlipRow, ...]
    columns: int = 1
    height: float = 3.5


@dataclass(frozen=True)
class Need:
    """What must be there before, and the step of the close-in after which it is."""

    words: str
    step: str = ""


@dataclass(frozen=True)
class Slip:
    """trades: whose steps of the close-in are told. shows: which parts of the lid its key plan has."""

    name: str
    trades: tuple[str, ...]
    lead: str
    lists: tuple[SlipList, ...]
    detail: Detail | None
    cautions: tuple[Finding, ...]
    mind: tuple[str, ...]
    needs: tuple[Need, ...]
    hold: str
    hold_words: str
    signing: tuple[tuple[str, tuple[str, ...]], ...]  # a line each: what is signed for, then its blanks
    shows: frozenset[str] = frozenset()
    least_pictures: float = 38.0  # least height of key plan and detail [mm]


def alike(rows: Iterable[SlipRow]) -> tuple[SlipRow, ...]:
    """Rows that say the same of several runs as one, under the names of all."""
    together: dict[tuple[str, str], list[SlipRow]] = {}
    for row in rows:
        together.setdefault((row.where, row.words), []).append(row)
    return tuple(replace(of[0], label=", ".join(row.label for row in of)) for of in together.values())


def named_cautions(design: Design, *names: str) -> tuple[Finding, ...]:
    """Those of the job's cautions that are meant for one trade."""
    return tuple(f for f in cautions(design.findings) if caution_name(f) in names)


def signed_by(locale: Locale, *trades: str) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """One line for these people to sign on, and the date."""
    names = (locale.label("paper_trade.sign", trade=trade) for trade in trades)
    return (("", (*names, locale.label("paper_calendar.sign_date"))),)


class Places:
    """Where on each patio's plan something is, and how it is told."""

    def __init__(self, design: Design, locale: Locale) -> None:
        self.locale = locale
        self.patios = {patio.name: patio for patio in design.project.patios}
        self.runs = {name: self._runs(design, patio) for name, patio in self.patios.items()}

    def _runs(self, design: Design, patio: Patio) -> dict[str, PlanRun]:
        return {r.run.name: r for r in plan_runs(patio, design.layout_of(patio.name), design.line)}

    def spot(self, patio: str, run: str, along: float, back: float | None = None) -> Spot:
        """back None: half way to the house."""
        plan_run = self.runs[patio][run]
        depth = plan_run.depth
        edge = line_geometry.moved(plan_run.datum, plan_run.ahead, along)
        return patio, line_geometry.moved(edge, plan_run.house, 0.5 * depth if back is None else back)

    def at(self, run: str, along: float) -> str:
        """ "B 7'-3 1/4"" """
        return self.locale.label("paper_trade.at", run=run, along=along)

    def series(self, alongs: Sequence[float]) -> str:
        """Several places of one run: "1'-3 1/4" and every 16 in", or each of them; no tape reads under 0."""
        behind = [self.locale.tape(along) for along in alongs if along < -SAME]
        if behind:
            return "; ".join(filter(None, (self.series(alongs[len(behind) :]), ", ".join(behind))))
        gaps = {round(b - a, 6) for a, b in pairwise(alongs)}
        if len(alongs) > 2 and len(gaps) == 1:
            return self.locale.label("paper_trade.series", first=alongs[0], gap=gaps.pop())
        return ", ".join(self.locale.tape(along) for along in alongs)
