"""All that a fleet is told by, made once: counts, exceptions, what facing costs, orders."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from mistcalc import words
from mistcalc.fleet.tables import STATES, error_text, state_of
from mistcalc.fleet.totals import (
    FacingCost,
    FindingGroup,
    FleetRow,
    OrderLine,
    facing_costs,
    finding_groups,
    order_lines,
)
from mistcalc.fleet.working import Fleet
from mistcalc.report.common.locale_text import Locale


@dataclass(frozen=True)
class ErrorGroup:
    """Lots without an answer for one reason."""

    text: str
    lots: tuple[str, ...]


@dataclass(frozen=True)
class FacingFamily:
    """One design in all ways round that the fleet has of it, the best first."""

    plan: str
    mirrored: bool
    climate: str
    ways: tuple[tuple[float, FacingCost, tuple[str, ...]], ...]  # where it looks, its cost, the lots


@dataclass(frozen=True)
class FleetReport:
    fleet: Fleet
    states: dict[str, int]  # STATES -> lots
    errors: tuple[ErrorGroup, ...]  # most lots first
    found: tuple[FindingGroup, ...]  # to mend and to look at
    cautions: tuple[FindingGroup, ...]
    costs: dict[str, FacingCost]
    families: tuple[FacingFamily, ...]  # the one that loses most first
    orders: tuple[OrderLine, ...]

    @property
    def costliest(self) -> tuple[FacingFamily, ...]:
        """Those in which a way round costs something."""
        return tuple(one for one in self.families if _most(one) > 0.0)


def fleet_report(fleet: Fleet, locale: Locale) -> FleetReport:
    states = Counter(state_of(row, None if row.error else fleet.answer_of(row.key)) for row in fleet.rows)
    errors: dict[str, list[str]] = {}
    for row in fleet.rows:
        if row.error is not None:
            errors.setdefault(error_text(row, locale), []).append(row.lot.name)
    costs = facing_costs(fleet.rows, fleet.answer_of)
    groups = (ErrorGroup(text, tuple(lots)) for text, lots in errors.items())
    return FleetReport(
        fleet,
        {state: states[state] for state in STATES},
        tuple(sorted(groups, key=lambda group: -len(group.lots))),
        _told_once(finding_groups(fleet.rows, fleet.answer_of, ("fail", "warn")), locale),
        _told_once(finding_groups(fleet.rows, fleet.answer_of, ("danger", "caution")), locale),
        costs,
        _families(fleet.rows, costs),
        order_lines(fleet.rows, fleet.answer_of),
    )


def _told_once(groups: tuple[FindingGroup, ...], locale: Locale) -> tuple[FindingGroup, ...]:
    """What two patios of the same lots have alike, once."""
    told = {(one.finding.level, group_text(one, locale), one.lots): one for one in groups}
    return tuple(told.values())


def _families(rows: tuple[FleetRow, ...], costs: dict[str, FacingCost]) -> tuple[FacingFamily, ...]:
    of_family: dict[str, dict[str, list[FleetRow]]] = {}
    for row in rows:
        if row.key in costs and row.error is None:
            of_family.setdefault(row.family, {}).setdefault(row.key, []).append(row)
    families = [_family(designs, costs) for designs in of_family.values()]
    return tuple(sorted(families, key=_most, reverse=True))


def _family(designs: dict[str, list[FleetRow]], costs: dict[str, FacingCost]) -> FacingFamily:
    first = next(iter(designs.values()))[0]
    ways = ((r[0].facing, costs[key], tuple(row.lot.name for row in r)) for key, r in designs.items())
    ordered = tuple(sorted(ways, key=lambda way: way[1].less))
    return FacingFamily(first.lot.plan, first.lot.mirrored, first.climate, ordered)


def _most(family: FacingFamily) -> float:
    return max(cost.less for _, cost, _ in family.ways)


def group_text(group: FindingGroup, locale: Locale) -> str:
    """What is wrong, as the first of the lots has it; that others' figures differ, where they do."""
    said = words.say(group.finding, locale.units, locale.language)
    return said if group.alike else f"{said} {locale.label('fleet.others_differ', lot=group.lots[0])}"
