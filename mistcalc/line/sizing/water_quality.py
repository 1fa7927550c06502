"""What is in the water: scale, dust, and how fine its drops come out at the far nozzle."""

from __future__ import annotations

import calendar
import math
import re
from collections.abc import Iterator, Sequence

import numpy as np

from mistcalc import units
from mistcalc.errors import MistcalcError
from mistcalc.line.sizing.inlet_conditions import raw_water_flow
from mistcalc.model.project import WEEKDAYS, Control, Nozzle, Plumbing
from mistcalc.model.results import Layout, Line, MarkFlow, SolvedLine, WaterQuality, WaterUse
from mistcalc.physics import nozzle, water, water_chemistry

PASSED = 0.02  # of the solids, by reverse osmosis: it keeps back 98-99 %; common practice, one page
# Discharge coefficient of a misting nozzle, from trade tables of orifice and flow: 0.14 to 0.36. The largest
# gives the smallest hole, and so the finest filter.
DISCHARGE = 0.36
ORIFICES = (2e-5, 3e-3)  # m: a length in a nozzle's label outside of these is no orifice
_LENGTH = re.compile(r"(\d+(?:[.,]\d+)?|[.,]\d+|\d+/\d+)\s*(in|inch|mm|um|mil)\b")
LEAP_FEBRUARY = 28  # days: a year of hours has 365


def water_quality_of(plumbing: Plumbing, layouts: Sequence[Layout], solved: SolvedLine) -> WaterQuality:
    """Hardness, indices at the tube's hottest, dust of the largest zone, orifice, drop at the far nozzle."""
    stated = plumbing.water
    left, source = _solids(plumbing)
    index = _indices(plumbing)
    sizes = [_orifice(fitted) for fitted in _nozzles(plumbing, layouts)] or [_orifice(plumbing.nozzle)]
    smallest, orifice_source = min(sizes)
    return WaterQuality(
        hardness=water_chemistry.hardness_class(stated.hardness) if stated.hardness is not None else None,
        langelier=index[0] if index else None,
        ryznar=index[1] if index else None,
        solids=left,
        solids_from=source,  # type: ignore[arg-type]
        dust=float(water_chemistry.mineral_rate(solved.total_flow, left)) if left is not None else None,
        orifice=smallest,
        orifice_from=orifice_source,  # type: ignore[arg-type]
        drop_far=_far_drop(plumbing, layouts, solved),
    )


def water_use(plumbing: Plumbing, line: Line, control: Control) -> WaterUse:
    """The most water and dust: the largest zone runs all that its control leaves it by clock, days and water.

    What a season's weather leaves of that is another question.
    """
    first, last = control.months
    months = [(first - 1 + n) % 12 + 1 for n in range((last - first) % 12 + 1)]
    days = sum(LEAP_FEBRUARY if m == 2 else calendar.monthrange(2025, m)[1] for m in months)
    if control.days is not None:
        days = math.ceil(days * len(control.days) / len(WEEKDAYS))
    start, end = control.hours
    hours = (end - start) % 24.0 or 24.0
    hour, dust = 3600.0 * raw_water_flow(plumbing, line.total_flow), line.duty.water.dust
    if control.most_a_day is not None and hour * hours > control.most_a_day:
        hours = control.most_a_day / hour
    powder = None if dust is None else 3600.0 * dust
    return WaterUse(
        hours=hours,
        days=days,
        an_hour=hour,
        a_day=hour * hours,
        a_season=hour * hours * days,
        dust_hour=powder,
        dust_day=None if powder is None else powder * hours,
        dust_season=None if powder is None else powder * hours * days,
    )


# ------------------------------------------------------------------ what is dissolved


def _solids(plumbing: Plumbing) -> tuple[float | None, str]:
    """(solids the nozzles let out [kg/m3], where the figure is from). Unstated, hardness alone: the least
    they can be. A softener trades calcium for sodium and takes nothing out."""
    stated = plumbing.water
    solids, source = stated.solids, "stated"
    if solids is None:
        solids, source = stated.hardness, "hardness"
    if solids is None:
        return None, "unknown"
    return (PASSED * solids if stated.treatment == "reverse osmosis" else solids), source


def _indices(plumbing: Plumbing) -> tuple[float, float] | None:
    """(Langelier, Ryznar) at the tube's hottest, below boiling; None where a figure is wanting, or the water
    is treated so that it no longer holds."""
    stated = plumbing.water
    figures = (stated.solids, stated.calcium, stated.alkalinity)
    if stated.ph is None or any(amount is None or amount <= 0.0 for amount in figures):
        return None
    if stated.treatment in ("reverse osmosis", "softener"):
        return None
    hottest = float(np.clip(plumbing.tube_temperature, stated.temperature, 373.0))
    report = (stated.ph, *(float(figure or 0.0) / water_chemistry.MILLIGRAM for figure in figures), hottest)
    return float(water.langelier_index(*report)), float(water.ryznar_index(*report))


# ------------------------------------------------------------------ nozzles


def _nozzles(plumbing: Plumbing, layouts: Sequence[Layout]) -> Iterator[Nozzle]:
    for layout in layouts:
        for mark in layout.marks:
            yield plumbing.nozzle_at(mark.run, mark.name)


def _orifice(fitted: Nozzle) -> tuple[float, str]:
    """(diameter of a nozzle's hole [m], "label" or "flow"): what its label says, else from its flow by the
    largest discharge coefficient seen, q = C A sqrt(2 P / rho): then it may be up to 1.6 times as wide."""
    for number_and_unit in _LENGTH.findall(fitted.label):
        try:
            size = units.parse(" ".join(number_and_unit).replace(",", "."), "length")
        except MistcalcError:
            continue
        if ORIFICES[0] <= size <= ORIFICES[1]:
            return size, "label"
    area = fitted.flow / (DISCHARGE * np.sqrt(2.0 * fitted.at / 1000.0))
    return float(np.sqrt(4.0 * area / np.pi)), "flow"


def _far_drop(plumbing: Plumbing, layouts: Sequence[Layout], solved: SolvedLine) -> float | None:
    """Median drop [m] at the open nozzle with the least pressure; None where none is open."""
    run_of = {(layout.patio, mark.name): mark.run for layout in layouts for mark in layout.marks}
    open_ = [mark for mark in solved.marks if mark.state != "shut" and mark.pressure_gauge >= 1e3]
    if not open_:
        return None
    far: MarkFlow = min(open_, key=lambda mark: mark.pressure_gauge)
    far_nozzle = plumbing.nozzle_at(run_of[far.patio, far.name], far.name)
    size = nozzle.median_of(
        far.pressure_gauge,
        far_nozzle.at,
        far_nozzle.drop_spread,
        flow=far_nozzle.flow,
        median=far_nozzle.drop_median,
        sauter=far_nozzle.drop_sauter,
    )
    return float(size)
