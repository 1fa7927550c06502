"""Every lot of a table and every distinct design once, in whatever process; each kept the moment it is there.

Stopped at any moment and started again it loses, doubles and repeats nothing that it had.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path

from mistcalc import files
from mistcalc.errors import DataError, MistcalcError
from mistcalc.fleet.answer_json import answer_from_text
from mistcalc.fleet.answer_store import AnswerStore
from mistcalc.fleet.content_keys import content_key, family_key, program_digest
from mistcalc.fleet.fleet_row import FleetRow
from mistcalc.fleet.lot_project import LotProject, LotProjects
from mistcalc.fleet.runners import Runner, on_cores, serial
from mistcalc.fleet.solving import SolveOrder, solve
from mistcalc.model.lot import Lot
from mistcalc.model.project import Project
from mistcalc.model.results import LotAnswer

REMEMBERED = 512  # answers, 20 kB each
Told = Callable[[int, int], None]  # designs done of those wanted


@dataclass
class Fleet:
    """What became of a table. Rows stand in its order."""

    rows: tuple[FleetRow, ...]
    answer_of: Callable[[str], LotAnswer | None]
    first: Project | None  # of the first lot that has one: whose units and language are spoken
    designs: int = 0
    worked: int = 0  # worked out now
    unkept: int = 0  # worked out, but the disk took no more
    other_versions: int = 0
    damaged: int = 0
    notices: list[MistcalcError] = field(default_factory=list)

    @property
    def errors(self) -> int:
        return sum(row.error is not None for row in self.rows)

    @property
    def failed(self) -> bool:
        keys = {row.key for row in self.rows if row.error is None}
        return any(answer.failed for answer in map(self.answer_of, keys) if answer is not None)


def runner_for(processes: int, scheduler: str | None, notices: list[MistcalcError]) -> Runner:
    """Raises DataError where a scheduler is asked for and cannot be had."""
    here = serial if processes == 1 else on_cores(processes)
    if scheduler is None:
        return here
    from mistcalc.fleet.cluster import on_cluster

    return on_cluster(scheduler, here, notices)


def work_out(table: Path, folder: Path, runner: Runner, told: Told, notices: list[MistcalcError]) -> Fleet:
    """Every lot of a table, its designs kept in `folder`, which is locked by whoever calls. Raises what
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
    wanted = [key for key in firsts if not store.holds(key)]
    first = next((projects.of(row.lot).project for row in rows if row.error is None), None)
    fleet = Fleet((), lambda key: None, first, len(firsts), notices=notices)

    def orders() -> Iterator[SolveOrder]:
        for key in wanted:
            found = projects.of(firsts[key])
            yield SolveOrder(key, found.project, found.climate, program)

    unkept: dict[str, str] = {}
    faults: dict[str, MistcalcError] = {}
    told(0, len(wanted))
    for done, (order, result) in enumerate(runner(solve, orders()), 1):
        if isinstance(result, MistcalcError):
            faults[order.key] = result
        else:
            fleet.worked += 1
            _keep(store, order.key, result, unkept, notices)
        told(done, len(wanted))
    fleet.rows = tuple(_with_fault(row, faults) for row in rows)
    fleet.unkept, fleet.damaged, fleet.other_versions = (
        len(unkept),
        len(store.damaged),
        store.of_other_versions(),
    )

    @lru_cache(REMEMBERED)
    def answer_of(key: str) -> LotAnswer | None:
        return answer_from_text(key, unkept[key]) if key in unkept else store.answer(key)

    fleet.answer_of = answer_of
    return fleet


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


def _keep(
    store: AnswerStore, key: str, text: str, unkept: dict[str, str], notices: list[MistcalcError]
) -> None:
    """An answer the disk does not take is told once, counted, and used all the same."""
    try:
        store.keep(key, text)
    except OSError as fault:
        if not unkept:
            reason = fault.strerror or type(fault).__name__
            notices.append(DataError("fleet-unkept", path=str(store.folder), reason=reason))
        unkept[key] = text
