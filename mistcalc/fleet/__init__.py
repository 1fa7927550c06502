"""A subdivision at once: a table of lots, its distinct designs worked out once each, what follows for all.

A door above `report`, as the page is: it reads, has designs worked out in whatever process, keeps each in a
file the moment it is there, and writes tables, a page and, where asked, sheets.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import NamedTuple

from mistcalc import files
from mistcalc.errors import DataError, InputError, MistcalcError
from mistcalc.fleet.overview import fleet_report
from mistcalc.fleet.page import page_html
from mistcalc.fleet.sheets import write_sheets
from mistcalc.fleet.summary import summary_text
from mistcalc.fleet.tables import lots_csv, orders_csv
from mistcalc.fleet.working import runner_for, work_out
from mistcalc.report.common.locale_text import Locale
from mistcalc.units import System


@dataclass(frozen=True)
class FleetWish:
    """What is asked for. processes: 0 for as many as there are cores; 1: none but this one."""

    lots: Path
    folder: Path
    processes: int = 0
    scheduler: str | None = None
    sheets: bool = False
    units: System | None = None
    language: str | None = None


class FleetDone(NamedTuple):
    """The summary; whether every lot has an answer; whether none of them fails."""

    text: str
    answered: bool
    sound: bool


def run_fleet(wish: FleetWish, told: Callable[[str, int, int], None] = lambda *_: None) -> FleetDone:
    """told: what is done ("designs", "sheets"), how many of how many. Raises InputErrors and DataError where
    there is no table, no folder or no scheduler to work with."""
    _look(wish)
    notices: list[MistcalcError] = []
    runner = runner_for(wish.processes or _cores(), wish.scheduler, notices)
    with files.locked(_made(wish.folder)):
        fleet = work_out(wish.lots, wish.folder, runner, partial(told, "designs"), notices)
        first = fleet.first
        locale = Locale(
            wish.units or (first.units if first else "us"),
            wish.language or (first.language if first else "en"),
        )
        packs: dict[str, str] = {}
        if wish.sheets:
            here = runner_for(wish.processes or _cores(), None, notices)
            counted, spoken = partial(told, "sheets"), (wish.units, wish.language)
            packs = write_sheets(fleet, wish.lots, wish.folder, here, counted, spoken, locale)
        report = fleet_report(fleet, locale)
        title = locale.label("fleet.title", name=wish.lots.name)
        made = {
            "lots.csv": lots_csv(fleet.rows, fleet.answer_of, report.costs, packs, locale),
            "orders.csv": orders_csv(report.orders, locale),
            "index.html": page_html(report, title, packs, locale),
        }
        for name, text in made.items():
            files.write_file(wish.folder / name, text)
    written = [wish.folder / name for name in made]
    text = summary_text(report, written, locale)
    return FleetDone(text, not report.states["error"] and not fleet.unkept, not report.states["fails"])


def _look(wish: FleetWish) -> None:
    """Whether it can be begun at all."""
    if wish.processes < 0:
        raise InputError("fleet-processes", text=str(wish.processes))
    if wish.lots.resolve().parent == wish.folder.resolve():
        raise DataError("fleet-lots-in-out", path=str(wish.lots), folder=str(wish.folder))


def _made(folder: Path) -> Path:
    if folder.exists() and not folder.is_dir():
        raise DataError("folder-is-file", path=str(folder))
    folder.mkdir(parents=True, exist_ok=True)
    return folder


def _cores() -> int:
    """Those this process may use."""
    try:
        return len(os.sched_getaffinity(0))
    except AttributeError:
        return os.cpu_count() or 1
