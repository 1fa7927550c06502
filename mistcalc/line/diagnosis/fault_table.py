"""What a line with one thing wrong shows on gauge, meter and cup: the table readings are held against."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np

from mistcalc.line.diagnosis.faults import Faults, draw_faults
from mistcalc.line.diagnosis.sound_line import FaultCase
from mistcalc.line.network.arrays import Floats, Ints
from mistcalc.line.network.batch_solver import Batch, solve_many
from mistcalc.model.fault_priors import CAUSES, Cause, FaultPriors, ReadingErrors
from mistcalc.model.site_readings import MEASURED, ReadingName
from mistcalc.units import gauge_scale

DRAWS, DRAWS_WITHOUT_SHEET = 4_000, 16_000  # a cause


@dataclass(frozen=True, eq=False)
class FaultTable:
    """What each cause makes of each reading, draw by draw.

    values [reading, cause, draw], readings in the order of MEASURED, NaN-free (0 where the line cannot show
    it: see `possible`). own [reading, cause, draw]: of a cup, the standard deviation of the logarithm of what
    its nozzle strays by, which `values` leave out: a nozzle far from its neighbours is then not a matter of a
    few draws. valid [cause, draw]: the network closed. extent [cause, draw] as
    CauseShare.extent. shut, part [cause, draw]: nozzles so plugged besides the near and the far one, whose
    own state (0 sound, 1 part, 2 shut) near_state and far_state hold. error_base, error_share [reading]: a
    reading's deviation is the root of the sum of squares of base and share of the value.
    """

    case: FaultCase
    causes: tuple[Cause, ...]
    odds: Floats  # [cause], sums to 1
    values: Floats
    own: Floats
    valid: np.ndarray
    extent: Floats
    shut: Ints
    part: Ints
    near_state: Ints
    far_state: Ints
    errors: ReadingErrors
    error_base: Floats
    error_share: Floats
    full_scale: Floats

    def possible(self, name: ReadingName) -> bool:
        if name == "port":
            return self.case.port is not None
        if name == "creep":
            return self.case.creep_gauge is not None
        return name != "inlet" or not self.case.pump or self.case.inlet is not None

    def alone(self, name: ReadingName) -> bool:
        """Whether, within each cause, a reading depends on nothing that the others depend on. The pressure
        before a pump does: the pump draws its rated flow whatever the line takes."""
        return name == "inlet" and self.case.pump

    @cached_property
    def spread(self) -> Floats:
        """Standard deviation of each reading at each draw, as `values`."""
        base, share = self.error_base[:, None, None], self.error_share[:, None, None]
        return np.hypot(base, np.hypot(share, self.own) * self.values)

    @cached_property
    def log_spread(self) -> Floats:
        """Logarithm of `spread`, which every reading's density wants."""
        return np.log(self.spread)

    def deviation(self, reading: int, value: Floats, stray: Floats | float = 0.0) -> Floats:
        """Standard deviation of a reading whose true value is `value`, times what its nozzle strays by."""
        return np.hypot(self.error_base[reading], np.hypot(self.error_share[reading], stray) * value)


def build_fault_table(
    case: FaultCase,
    judgement: FaultPriors | None = None,
    errors: ReadingErrors | None = None,
    draws: int | None = None,
) -> FaultTable:
    """The table for one zone: `draws` of each cause this line can have (4,000, or 16,000 of a line that
    nobody measured when it was sound), solved together."""
    judgement, errors = judgement or FaultPriors(), errors or ReadingErrors()
    count = draws or (DRAWS if case.sheet else DRAWS_WITHOUT_SHEET)
    causes = tuple(c for c in CAUSES if _can_have(case, c) and judgement.odds[CAUSES.index(c)] > 0.0)
    odds = np.array([judgement.odds[CAUSES.index(c)] for c in causes])
    rows = [_rows(case, cause, count, judgement, errors) for cause in causes]
    base, share, scale = _errors(case, errors)
    return FaultTable(
        case=case,
        causes=causes,
        odds=odds / odds.sum(),
        errors=errors,
        error_base=base,
        error_share=share,
        full_scale=scale,
        **{field: np.stack([row[field] for row in rows], axis=-2) for field in rows[0]},
    )


def sound_table(case: FaultCase, errors: ReadingErrors | None = None, draws: int = 400) -> FaultTable:
    """The sound line alone, for what it shows and how much that strays: cheap enough to ask at any time."""
    odds = tuple(float(cause == "sound") for cause in CAUSES)
    return build_fault_table(case, FaultPriors(odds=odds), errors, draws)


def simulate_readings(case: FaultCase, faults: Faults) -> tuple[Floats, np.ndarray, Batch]:
    """(values [reading, draw] that a line with these faults shows, converged [draw], the solved batch)."""
    batch = _solved(case, faults)
    net, count = case.network, faults.bore.size
    main_flow = batch.supply_flow
    if case.pump:
        inlet = faults.inlet if faults.starved else (case.inlet or 0.0) * faults.main
    else:
        flow, gauge = np.array(case.source).T
        inlet = faults.supply * np.interp(main_flow, flow, gauge)
    none = np.zeros(count)
    creep = none
    if case.creep_gauge is not None:
        height = net.elevation[faults.leak_at] - net.elevation[net.supply_node]
        density = float(np.mean(net.density))
        behind = np.maximum(case.creep_gauge - density * net.gravity * height, 0.0)
        creep = faults.leak * case.design * np.sqrt(behind / case.gauge)
    port = batch.node_gauge[case.port] if case.port is not None else none
    values = np.stack(
        (
            batch.supply_gauge,
            main_flow,
            inlet,
            batch.nozzle_flow[case.near],
            batch.nozzle_flow[case.far],
            port,
            creep,
        )
    )
    return np.maximum(values, 0.0), batch.converged, batch


# ------------------------------------------------------------------ inside


def _can_have(case: FaultCase, cause: Cause) -> bool:
    if cause == "drain":
        return case.drain is not None
    if cause == "pump":
        return case.pump
    return bool(case.feed.any()) if cause == "feed" else True


def _rows(
    case: FaultCase, cause: Cause, count: int, judgement: FaultPriors, errors: ReadingErrors
) -> dict[str, Any]:
    """One cause's part of the table, by the fields of FaultTable: [reading, draw] and [draw]."""
    net = case.network
    faults = draw_faults(
        cause,
        count,
        net.coefficient.size,
        net.elevation.size,
        pump=case.pump,
        used=case.design / float(net.supply_flow[1]),
        sheet=case.sheet,
        judgement=judgement,
        cups=_cups(case, errors),
    )
    values, closed, batch = simulate_readings(case, faults)
    extent = faults.extent
    if cause in ("leak", "drain"):
        extent = batch.nozzle_flow[net.coefficient.size :].sum(axis=0)
    elif cause == "feed":
        extent = extent * float(net.bore[case.feed].mean())
    state = np.where(faults.left >= 1.0, 0, np.where(faults.left > 0.0, 1, 2))
    rest = np.ones(state.shape[0], bool)
    rest[[case.near, case.far]] = False
    stray = np.zeros_like(values)
    for name, nozzle in (("near", case.near), ("far", case.far)):
        values[MEASURED.index(name)] /= faults.own[nozzle]
        stray[MEASURED.index(name)] = faults.uneven[nozzle]
    return {
        "values": np.where(closed, values, 0.0),
        "own": stray,
        "valid": closed,
        "extent": np.asarray(extent, float),
        "shut": (state[rest] == 2).sum(axis=0),
        "part": (state[rest] == 1).sum(axis=0),
        "near_state": state[case.near],
        "far_state": state[case.far],
    }


def _cups(case: FaultCase, errors: ReadingErrors) -> dict[int, float]:
    """Nozzles read into a cup when the line was sound, each with the share that its cup missed by."""
    flows = {nozzle: max(case.marks[nozzle].flow, errors.cup_least) for nozzle in case.cupped}
    return {nozzle: float(np.hypot(errors.cup, errors.cup_least / flow)) for nozzle, flow in flows.items()}


def _solved(case: FaultCase, faults: Faults) -> Batch:
    net = case.network
    flow, gauge = net.supply_flow[:, None], net.supply_gauge[:, None]
    held = faults.supply * (gauge[0] - faults.loss * (gauge[0] - gauge))
    coefficient = np.broadcast_to(net.coefficient[:, None], faults.coefficient.shape) * faults.coefficient
    extra = list(_extra(case, faults))
    if extra:
        nodes = np.array([node for node, _ in extra], np.intp)
        coefficient = np.vstack([coefficient, *(opening for _, opening in extra)])
        net = replace(
            net,
            nozzle_node=np.concatenate((net.nozzle_node, nodes)),
            coefficient=np.concatenate((net.coefficient, np.zeros(nodes.size))),
            exponent=np.concatenate((_full(net.exponent, case), np.full(nodes.size, 0.5))),
            opens_at=np.concatenate((_full(net.opens_at, case), np.zeros(nodes.size))),
        )
    bore = np.where(case.feed[:, None], faults.feed, 1.0) * faults.bore * net.bore[:, None]
    return solve_many(
        net,
        coefficient=coefficient,
        bore=bore,
        supply_flow=flow * faults.pump,
        supply_gauge=held,
    )


def _extra(case: FaultCase, faults: Faults) -> Iterator[tuple[int, Floats]]:
    """(node, coefficient [draw]) of openings that should not be there: flow goes as the root of pressure."""
    opening = case.design / np.sqrt(case.gauge)
    if faults.leak.any():
        for node in np.unique(faults.leak_at):
            yield int(node), np.where(faults.leak_at == node, faults.leak, 0.0) * opening
    if faults.drain.any() and case.drain is not None:
        yield case.drain, faults.drain * opening


def _full(value: Floats | float, case: FaultCase) -> Floats:
    return np.broadcast_to(np.asarray(value, float), case.network.coefficient.shape)


def _errors(case: FaultCase, errors: ReadingErrors) -> tuple[Floats, Floats, Floats]:
    """Base and share of each reading's deviation, and the full scale of its gauge (inf: none)."""
    line = errors.line_scale or full_scale(case.gauge)
    before = errors.inlet_scale or full_scale(max(case.inlet or 0.0, case.source[0][1]))
    base = {
        "gauge": errors.gauge * line,
        "meter": errors.meter_least,
        "inlet": errors.gauge * before,
        "near": errors.cup_least,
        "far": errors.cup_least,
        "port": errors.gauge * line,
        "creep": errors.creep,
    }
    share = {"meter": errors.meter, "near": errors.cup, "far": errors.cup, "creep": errors.meter}
    scale = {"gauge": line, "port": line, "inlet": before}
    return (
        np.array([base[name] for name in MEASURED]),
        np.array([share.get(name, 0.0) for name in MEASURED]),
        np.array([scale.get(name, np.inf) for name in MEASURED]),
    )


def full_scale(gauge: float) -> float:
    """Full scale [Pa] of the gauge a fitter would take for a line that works at `gauge` [Pa]."""
    return gauge_scale(gauge, "us")
