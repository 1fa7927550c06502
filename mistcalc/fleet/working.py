"""Every lot of a table and every distinct design once, in whatever process; each kept the moment it is there.

Stopped at any moment and started again it loses, doubles and repeats nothing that it had.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from functools import lru_cache
from pathlib import Path
from typing import Any

from mistcalc import files
from mistcalc.errors import DataError, MistcalcError
from mistcalc.fleet.answer_json import answer_from_text
from mistcalc.fleet.answer_store import AnswerStore
from mistcalc.fleet.content_keys import content_key, family_key, program_digest
from mistcalc.fleet.lot_project import LotProject, LotProjects
from mistcalc.fleet.runners import Runner, on_cores, serial
from mistcalc.fleet.solving import SolveOrder, solve
from mistcalc.fleet.totals import FleetRow
from mistcalc.model.lot import Lot
from mistcalc.model.project import Project
from mistcalc.model.results import LotAnswer

REMEMBERED = 1024  # keys worked out last
Told = Callable[[int, int], None]  # designs done of those wanted


@dataclass
class Fleet:
    """What became of a table. Rows stand in its order."""

    rows: tuple[FleetRow, ...]
    answer_of: Callable[[str], LotAnswer | None]
    first: Project | None  # of the first lot that has one: whose units and language are spoken
    designs: int = 0
    had: int = 0  # there already
    worked: int = 0  # worked out now
    unkept: int = 0  # worked out, but the disk took no more
    other_versions: int = 0
    damaged: int = 0
    notices: list[MistcalcError] = field(default_factory=list)


def runner_for(processes: int, scheduler: str | None, notices: list[MistcalcError]) -> Runner:
    """Raises DataError where a scheduler is asked for and cannot be had."""
    here = serial if processes == 1 else on_cores(processes)
    if scheduler is None:
        return here
    from mistcalc.fleet.cluster import on_cluster

    return on_cluster(scheduler, here, notices)


def work_out(table: Path, folder: Path, runner: Runner, told: Told, notices: list[MistcalcError]) -> Fleet:
    """Every lot of a table, its designs kept in `folder`, made and locked by whoever calls. Raises what
    `files.read_lots` and `AnswerStore.open` raise; what is wrong with one lot is in its row."""
    read = files.read_lots(table)
    program = program_digest()
    store = AnswerStore(folder, program)
    store.open()
    projects = LotProjects(table)
    rows = [_row(lot, wrong, projects, program) for lot, wrong in read]
    firsts: dict[str, Lot] = {}
    for row in rows:
        if row.error is None:
            firsts.setdefault(row.key, row.lot)
    answers = HeldAnswers(store)
    wanted = [key for key in firsts if not answers.there(key)]
    first = next((projects.of(row.lot).project for row in rows if row.error is None), None)
    fleet = Fleet((), answers.of, first, len(firsts), len(firsts) - len(wanted), notices=notices)

    def orders() -> Iterator[SolveOrder]:
        for key in wanted:
            found = projects.of(firsts[key])
            yield SolveOrder(key, found.project, found.climate, program)

    faults: dict[str, MistcalcError] = {}
    told(0, len(wanted))
    for done, (order, result) in enumerate(runner(solve, orders()), 1):
        if isinstance(result, MistcalcError):
            faults[order.key] = result
        else:
            fleet.worked += 1
            answers.add(order.key, result)
            fleet.unkept += not _kept(store, order.key, result, notices)
        told(done, len(wanted))
    fleet.rows = tuple(_with_fault(row, faults) for row in rows)
    fleet.damaged, fleet.other_versions = len(store.damaged), store.of_other_versions()
    return fleet


class HeldAnswers:
    """The answers of a fleet, by key, in memory: what is the same in many of them is held once, so that one
    more way round of a plan costs a kilobyte and not twenty."""

    def __init__(self, store: AnswerStore) -> None:
        self.store = store
        self.held: dict[str, LotAnswer] = {}
        self.same: dict[Any, Any] = {}  # a value to the first that was equal to it

    def there(self, key: str) -> bool:
        """Whether the folder has it; then it is read."""
        answer = self.store.answer(key)
        if answer is not None:
            self._hold(key, answer)
        return answer is not None

    def add(self, key: str, text: str) -> None:
        self._hold(key, answer_from_text(key, text))

    def of(self, key: str) -> LotAnswer | None:
        return self.held.get(key)

    def _hold(self, key: str, answer: LotAnswer) -> None:
        once = self.same.setdefault
        parts = tuple(once(row, row) for row in answer.parts)
        findings = tuple(once(finding, finding) for finding in answer.findings)
        self.held[key] = replace(answer, parts=once(parts, parts), findings=once(findings, findings))


def _row(lot: Lot, wrong: MistcalcError | None, projects: LotProjects, program: str) -> FleetRow:
    if wrong is not None:
        return FleetRow(lot, error=wrong)
    try:
        found = projects.of(lot)
    except MistcalcError as mistake:
        return FleetRow(lot, error=mistake)
    key, family = _keys(found, program)
    return FleetRow(lot, key, family, found.facing, found.project.place.climate or "")


@lru_cache(REMEMBERED)
def _keys(found: LotProject, program: str) -> tuple[str, str]:
    digest = found.climate.digest
    return content_key(found.project, digest, program), family_key(found.project, digest)


def _with_fault(row: FleetRow, faults: dict[str, MistcalcError]) -> FleetRow:
    return FleetRow(row.lot, error=faults[row.key]) if row.key in faults else row


def _kept(store: AnswerStore, key: str, text: str, notices: list[MistcalcError]) -> bool:
    """An answer the disk does not take is told once, counted, and used all the same."""
    try:
        store.keep(key, text)
        return True
    except OSError as fault:
        if not any(notice.code == "fleet-unkept" for notice in notices):
            reason = fault.strerror or type(fault).__name__
            notices.append(DataError("fleet-unkept", path=str(store.folder), reason=reason))
        return False
