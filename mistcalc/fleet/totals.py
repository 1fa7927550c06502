"""Sums over a fleet: what to order, what is wrong with how many, what facing costs. Arithmetic alone."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from mistcalc.design.bids import bought_together
from mistcalc.errors import MistcalcError
from mistcalc.model.lot import Lot
from mistcalc.model.quantities import Kelvin, Radian
from mistcalc.model.results import Finding, LotAnswer, PricedPart

AnswerOf = Callable[[str], "LotAnswer | None"]
SUMMED = "total"  # the one detail of a part that grows with its number: tube built in [m]
EVEN = 0.05  # K: ways round that differ less are called equal


@dataclass(frozen=True, slots=True)
class OrderLine:
    """A part for all lots of one plan in one phase. Packs are opened for all of them together."""

    phase: str
    plan: str
    lots: int  # that want some of it
    bought: PricedPart  # its quantity is that of all the lots
    currency: str


@dataclass(frozen=True, slots=True)
class FindingGroup:
    """Lots with one thing wrong. finding: as the first of them has it; alike: whether all say it so."""

    finding: Finding
    lots: tuple[str, ...]
    plans: tuple[str, ...]
    alike: bool


@dataclass(frozen=True, slots=True)
class FacingCost:
    """A design against the best way round there is of it in the fleet."""

    best: Radian  # where the best of them looks
    less: Kelvin  # cooling of the air at the first patio's seats on the first afternoon, middle of the range
    warmer: Kelvin | None  # as it feels there; None: no index answers


def order_lines(rows: Iterable[FleetRow], answer_of: AnswerOf) -> tuple[OrderLine, ...]:
    """By phase and plan in the order of the table; parts as the sheets list them."""
    orders: dict[tuple[str, str], Counter[str]] = {}
    for row in rows:
        if row.error is None:
            orders.setdefault((row.lot.phase, row.lot.plan), Counter())[row.key] += 1
    return tuple(
        line for (phase, plan), times in orders.items() for line in _order(phase, plan, times, answer_of)
    )


def _order(phase: str, plan: str, times: Counter[str], answer_of: AnswerOf) -> Iterator[OrderLine]:
    """times: of each design, how many lots."""
    sums: dict[tuple[object, ...], list[tuple[PricedPart, int]]] = {}
    for key, count in times.items():
        answer = answer_of(key)
        if answer is None:
            continue
        for row in answer.parts:
            detail = tuple(pair for pair in row.part.detail if pair[0] != SUMMED)
            kind: tuple[object, ...] = (
                row.part.name,
                row.part.unit,
                detail,
                row.pack,
                row.price,
                answer.currency,
            )
            sums.setdefault(kind, []).append((row, count))
    for_all = bought_together([_summed(found) for found in sums.values()])
    for (kind, found), bought in zip(sums.items(), for_all, strict=True):
        yield OrderLine(phase, plan, sum(count for _, count in found), bought, str(kind[-1]))


def _summed(found: Sequence[tuple[PricedPart, int]]) -> PricedPart:
    first, _ = found[0]
    quantity = sum(row.part.quantity * count for row, count in found)
    lengths = [float(str(dict(row.part.detail).get(SUMMED, 0.0))) * count for row, count in found]
    detail = tuple((name, sum(lengths) if name == SUMMED else value) for name, value in first.part.detail)
    return replace(first, part=replace(first.part, quantity=quantity, detail=detail))


def finding_groups(
    rows: Iterable[FleetRow], answer_of: AnswerOf, levels: Sequence[str]
) -> tuple[FindingGroup, ...]:
    """What is wrong, gravest first, then what most lots have."""
    lots: dict[str, list[FleetRow]] = {}
    for row in rows:
        if row.error is None:
            lots.setdefault(row.key, []).append(row)
    found: dict[tuple[str, str, str], list[tuple[Finding, str]]] = {}
    for key in lots:
        answer = answer_of(key)
        for finding in () if answer is None else answer.of_level(*levels):
            homes = found.setdefault((finding.level, finding.code, finding.where), [])
            if not homes or homes[-1][1] != key:  # a design counts once
                homes.append((finding, key))
    groups = [_group(homes, lots) for homes in found.values()]
    return tuple(sorted(groups, key=lambda group: (levels.index(group.finding.level), -len(group.lots))))


def _group(homes: Sequence[tuple[Finding, str]], lots: dict[str, list[FleetRow]]) -> FindingGroup:
    rows = [row for _, key in homes for row in lots[key]]
    rows.sort(key=lambda row: row.lot.line)
    first = homes[0][0]
    return FindingGroup(
        first,
        tuple(row.lot.name for row in rows),
        tuple(dict.fromkeys(row.lot.plan for row in rows)),
        all(finding == first for finding, _ in homes),
    )


def facing_costs(rows: Iterable[FleetRow], answer_of: AnswerOf) -> dict[str, FacingCost]:
    """By key, of designs that the fleet has in two ways round or more."""
    families: dict[str, dict[str, float]] = {}
    for row in rows:
        if row.error is None:
            families.setdefault(row.family, {}).setdefault(row.key, row.facing)
    costs: dict[str, FacingCost] = {}
    for ways in families.values():
        if len(ways) > 1:
            costs |= _family_costs(ways, answer_of)
    return costs


def _family_costs(ways: dict[str, float], answer_of: AnswerOf) -> dict[str, FacingCost]:
    answers = {key: answer_of(key) for key in ways}
    days = {key: answer.afternoons[0] for key, answer in answers.items() if answer and answer.afternoons}
    if len(days) < 2:
        return {}
    best = max(days, key=lambda key: days[key].drop[1])
    felt = days[best].felt
    costs = {}
    for key, day in days.items():
        less = days[best].drop[1] - day.drop[1]
        warmer = None if felt is None or day.felt is None else day.felt[1] - felt[1]
        costs[key] = FacingCost(ways[best], less if less > EVEN else 0.0, warmer)
    return costs


@dataclass(frozen=True, slots=True)
class FleetRow:
    lot: Lot
    key: str = ""  # of the design
    family: str = ""  # of the same design, whichever way round
    facing: Radian = 0.0  # where the open edge of the plan's first run looks, clockwise from north
    climate: str = ""  # its name as stated; "": afternoons of the plan's own
    error: MistcalcError | None = None
