"""What there is to buy, and alternates side by side: marks, line and materials, without the cooling."""

from __future__ import annotations

from collections.abc import Sequence

from mistcalc import takeoff
from mistcalc.model.project import Project
from mistcalc.model.results import BidColumn, CutPlan, Layout, Line, LineVerdict, Part, PricedPart


def to_buy(
    project: Project, layouts: tuple[Layout, ...], solved: Line, sawn: tuple[CutPlan, ...] | None = None
) -> tuple[tuple[CutPlan, ...], tuple[Part, ...]]:
    """How the tube is cut, and every part there is to buy. sawn: the first, where it is known."""
    plans = takeoff.cut_plans(project, layouts, solved) if sawn is None else sawn
    return plans, takeoff.list_parts(project, layouts, solved, plans)


def bought_together(rows: Sequence[PricedPart]) -> tuple[PricedPart, ...]:
    """Parts of several jobs, summed, as they are bought for all of them at once."""
    return takeoff.open_packs(rows)


def bid_column(
    name: str,
    changes: tuple[tuple[str, object], ...],
    project: Project,
    layouts: tuple[Layout, ...],
    solved: Line,
    verdict: LineVerdict,
    bought: tuple[tuple[CutPlan, ...], tuple[Part, ...]],
) -> BidColumn:
    """What one of them needs and costs."""
    plumbing, duty, (plans, parts) = project.plumbing, solved.duty, bought
    gaps = [gap for layout in layouts for _, row in layout.gaps for gap in row]
    pump = plumbing.pump
    plate = pump.nameplate if pump is not None else None
    return BidColumn(
        name,
        tuple((path, str(value)) for path, value in changes),
        marks=sum(len(layout.marks) for layout in layouts),
        stops=sum(len(layout.holes.stop) + len(layout.holes.stop_drilled) for layout in layouts),
        spacing=(min(gaps), max(gaps)) if gaps else None,
        nozzle_flow=solved.total_flow,
        pump_flow=None if pump is None else plate.flow if plate is not None else duty.pick_flow,
        working=plumbing.working,
        motor=None if pump is None else plate.motor if plate is not None else duty.pick_motor,
        far_gauge=solved.far_gauge,
        tube=sum(plan.total for plan in plans),
        cost=takeoff.first_cost(parts, project.prices, plumbing.tube),
        verdict=verdict.word,
    )
