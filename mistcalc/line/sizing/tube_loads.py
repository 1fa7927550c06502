"""What the tube must stand: pressure hot, surge, water shut in, and growing warm. `checks.tube` judges."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

from mistcalc.model.practice import MARK_ALONG
from mistcalc.model.project import Plumbing, Tube
from mistcalc.model.results import Layout, LineTube, Mark, Point, RunGrowth, RunLine, SolvedLine, TubeLoads
from mistcalc.physics import strength, tube_elasticity, water
from mistcalc.units import parse

COLDEST = 272.0  # K, 30 degF: a drained line on a cold night; common practice, no source
# Sums over 512 steps, of the few tubes and pressures there are.
trapped_rise = lru_cache(maxsize=256)(tube_elasticity.trapped_rise)
trapped_warming = lru_cache(maxsize=256)(tube_elasticity.trapped_warming)
BENDS = ("pex", "nylon")
NEAR = 1e-6  # m
PLUMB = parse("1/8 in", "length")  # how far a stub stands out of plumb at the hole; judgement


class Rating(NamedTuple):
    """Working pressures [Pa gauge] of a tube and of its joints (None: as their maker says)."""

    tube: float
    joints: float | None
    by: str  # "table" | "maker"

    @property
    def gauge(self) -> float:
        return self.tube if self.joints is None else min(self.tube, self.joints)


@lru_cache(maxsize=64)
def rating(tube: Tube, temperature: float) -> Rating:
    """Working pressure of the tube and its joints at `temperature` [K].

    What its maker prints, where the project says it, derated for heat as the material is; else by table.
    Brazing anneals drawn copper; soldered joints govern where they are weaker than the tube.
    """
    temper = "annealed" if "braze" in tube.joints.lower() else tube.temper
    temper = temper if tube.material == "copper" else None
    if tube.rated is None:
        held = float(strength.rated_gauge(tube.material, tube.outside, tube.wall, temperature, temper=temper))
    else:
        held = tube.rated * float(strength.strength_left(tube.material, temperature, temper=temper))
    soldered = "solder" in tube.joints.lower()
    joints = tube.joints_rated
    if joints is None and soldered:
        joints = float(strength.soldered_joint_gauge(temperature))
    return Rating(held, joints, "table" if tube.rated is None else "maker")


def tube_rating(tube: Tube, temperature: float) -> float:
    """Working pressure [Pa gauge] of the weaker of tube and joints at `temperature` [K]."""
    return rating(tube, temperature).gauge


def weakest_tube(plumbing: Plumbing) -> Tube:
    """The tube of the line that is rated least where it is hottest."""
    return min(plumbing.tubes, key=lambda tube: tube_rating(tube, plumbing.tube_temperature))


def tube_loads_of(
    plumbing: Plumbing, layouts: Sequence[Layout], solved: SolvedLine, fast: Sequence[LineTube]
) -> TubeLoads:
    """What the weakest tube of the line must stand, and how each run moves. fast: each tube as it is when
    water is fastest in it."""
    tube, hot, cold = weakest_tube(plumbing), plumbing.tube_temperature, plumbing.water.temperature
    size = (tube.material, tube.outside, tube.wall)
    rating_hot, within = rating(tube, hot), min(max(hot, cold), water.HIGH)
    working = plumbing.working
    speed = float(tube_elasticity.wave_speed(*size, cold))
    feed = max((t for t in fast if not t.run), key=lambda t: abs(t.speed), default=None)
    surge = (
        float(tube_elasticity.joukowsky_rise(abs(feed.speed), solved.water.density, speed)) if feed else 0.0
    )
    return TubeLoads(
        material=tube.material,
        tube_pressure_rating=rating_hot.tube,
        joint_pressure_rating=rating_hot.joints,
        rated_by=rating_hot.by,  # type: ignore[arg-type]
        wave_speed=speed,
        surge=surge,
        surge_at=f"{feed.start} to {feed.end}" if feed else "",
        slow_closing=2.0 * sum(t.length for t in solved.tubes if not t.run) / speed,
        trapped_slope=float(tube_elasticity.trapped_slope(*size, within)),
        trapped_hot=working + trapped_rise(*size, cold, within),
        trapped_warming=trapped_warming(*size, within, rating_hot.gauge - working),
        coldest=min(COLDEST, hot),
        growth=tube_elasticity.elastic(tube.material).expansion,
        runs=tuple(
            _growth(plumbing, layout, run, solved.laid_tube(run))
            for layout in layouts
            for run in layout.lid.rows
        ),
    )


def _growth(plumbing: Plumbing, layout: Layout, row: RunLine, laid: tuple[Point, Point]) -> RunGrowth:
    """One anchor in the middle of the tube as it is laid, and its clips."""
    tube, hot = plumbing.tube_on(row.name), plumbing.tube_temperature
    marks = layout.marks_of(row.name)
    anchor = math.fsum(map(row.along, laid)) / 2.0
    far = max(marks, key=lambda m: abs(m.along - anchor), default=None)
    reach = abs(far.along - anchor) if far is not None else 0.0
    bends = tube.material in BENDS
    movement = (
        0.0 if bends else float(tube_elasticity.thermal_growth(tube.material, reach, max(hot - COLDEST, 0.0)))
    )
    clips = (
        tuple(mark.along for mark in marks) if bends else _sliding_clips(marks, sorted(map(row.along, laid)))
    )
    return RunGrowth(
        patio=layout.patio,
        run=row.name,
        length=math.dist(*laid),
        held="marks" if bends else "middle",
        anchor=anchor,
        clips=clips,
        clip_gap=max((b - a for a, b in pairwise(clips)), default=0.0),
        far_mark=far.name if far is not None else "",
        movement=movement,
        hole=tube.outside + movement + PLUMB + MARK_ALONG,
    )


def _sliding_clips(marks: Sequence[Mark], tube: Sequence[float]) -> tuple[float, ...]:
    """Midway between marks, and half a gap beyond the first and the last where tube goes on there: past the
    last mark of a dead end there is none to hold. Common practice, no source."""
    alongs = [mark.along for mark in marks]
    if not alongs:
        return ()
    between = [(a + b) / 2 for a, b in pairwise(alongs)]
    first = _beyond(alongs[0] - tube[0], between[0] - alongs[0] if between else 0.0)
    last = _beyond(tube[-1] - alongs[-1], alongs[-1] - between[-1] if between else 0.0)
    before = [alongs[0] - first] if first else []
    return (*before, *between, *([alongs[-1] + last] if last else []))


def _beyond(rest: float, half: float) -> float:
    """How far beyond a mark the next clip is; 0 where no tube is left. half: of the gap beside the mark."""
    return 0.0 if rest <= NEAR else half if NEAR < half < rest else rest / 2
