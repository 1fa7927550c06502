"""The same case by this program: wind, air and drops as the other method had them, all else drawn."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from mistcalc import design, files
from mistcalc.cooling.balance import solve_balance
from mistcalc.cooling.case import Spray, case_in
from mistcalc.cooling.patio_air import Outdoors
from mistcalc.cooling.patio_geometry import PatioGeometry, geometry_of
from mistcalc.cooling.place_air import PlaceAir
from mistcalc.cooling.unknowns import draws
from mistcalc.model.project import Project
from mistcalc.physics import air
from tests.second_method.cases import AIRS, Case
from tests.second_method.shapes import BELOW_LID, DEEP, PAST, PITCH, SHAPES

LITRE_HOUR, GAUGE = 6.6, 70e5


@dataclass(frozen=True)
class Ours:
    """Draws [draw] of the patio's mean drop, of that at each seat [K], of flow [m3/s] and share kept."""

    mean: np.ndarray
    seats: dict[str, np.ndarray]
    flow: np.ndarray
    kept: np.ndarray


def ours(case: Case) -> Ours:
    project, plan = patio(case.shape, case.house)
    u = draws()
    shape = u.wind.shape
    t, humidity = (np.full(shape, value) for value in AIRS[case.air])
    pressure = np.full(shape, 101325.0)
    u = replace(u, drop_size=np.ones(shape), drop_spread=np.zeros(shape))
    toward = np.full(shape, np.radians(90 - case.toward)) if case.wind else 3 * u.turning
    water = replace(project.plumbing.water, temperature=303.15)
    nozzles = len(SHAPES[case.shape].nozzles)
    asked = case_in(
        plan,
        Spray(nozzles, LITRE_HOUR / 3.6e6, GAUGE, PITCH, SHAPES[case.shape].lid_height - BELOW_LID),
        replace(project.plumbing, water=water),
        Outdoors(t, air.humidity_ratio(t, humidity, pressure), pressure),
        u,
        np.full(shape, case.wind) if case.wind else u.calm,
        toward,
    )
    found = solve_balance(asked)
    there = PlaceAir(asked, found).found().seat_drop
    return Ours(
        mean=(t - found.patio.temperature)[:, 0],
        seats={name: there[i, :, 0] for i, name in enumerate(SHAPES[case.shape].seats)},
        flow=found.patio.flow[:, 0],
        kept=found.kept[:, 0],
    )


@lru_cache
def patio(shape: str, house: float) -> tuple[Project, PatioGeometry]:
    project = files.parse_project(_text(shape, house), "second method")
    laid, _ = design.lay(project.patios[0])
    return project, geometry_of(project.patios[0], laid)


def _text(name: str, house: float) -> str:
    """The project file of an invented patio."""
    shape = SHAPES[name]
    seats = ""
    for seat in shape.seats:
        run, along, back = shape.on_run(seat)
        seats += f'[[patio.seat]]\nname = "{seat}"\nrun = "{run}"\nalong = "{along} m"\nback = "{back} m"\n'
    depth = "" if "back" in shape.extra else f'depth = "{DEEP:g} m"\n'
    return f"""format = 1
name = "An invented patio"
units = "metric"
[place]
elevation = "0 m"
[[place.afternoon]]
name = "hot"
dry_bulb = "40 degC"
relative_humidity = "15 %"
wind_on_patio = "1 m/s"
[[patio]]
name = "porch"
depth = "{shape.depth} m"
height = "{shape.lid_height} m"
line_behind_edge = "150 mm"
{shape.extra}
[patio.plaster]
system = "none"
trim = "100 mm"
[patio.house]
above_lid = "{house - shape.lid_height:g} m"
past_start = "{PAST:g} m"
past_end = "{PAST:g} m"
{depth}{shape.runs}{seats}
[line.nozzle]
flow = "{LITRE_HOUR} L/h"
at = "70 bar"
drop_median = "30 um"
drop_spread = 2.5
[pump]
set_pressure = "70 bar"
"""
