"""A small job made by hand, for tests that need nouns but no room that computes them.

"Test porch": one invented patio, one 12 ft run between two walls, four marks 24 in apart, one light too
near the second. Every number is typed; none comes from a solver, so it must not be used to check one.
Change a part with `dataclasses.replace`.
"""

from __future__ import annotations

import dataclasses
import datetime
import math
from collections.abc import Mapping

import numpy as np

from mistcalc.checks import SEASON_LIMITS, classify_wetness, mist_verdict
from mistcalc.cooling.patio_geometry import inside_of
from mistcalc.model.earlier_set import SetRevision
from mistcalc.model.project import (
    Control,
    Datum,
    Drain,
    EdgeBeam,
    Framing,
    Joint,
    MarkRules,
    Nameplate,
    Nozzle,
    Obstacle,
    Patio,
    Piece,
    Place,
    Plaster,
    Plumbing,
    Prices,
    Project,
    Pump,
    Revision,
    Run,
    Seat,
    Tube,
    Water,
    Zone,
)
from mistcalc.model.results import (
    SERVICES,
    Air,
    Clash,
    Comfort,
    Cooling,
    CoolingMap,
    CutPiece,
    CutPlan,
    Design,
    FillAndDrain,
    Finding,
    Fix,
    FrostHours,
    GaugeReadingErrors,
    HolesVerdict,
    HourlyUse,
    InformationValue,
    InletConditions,
    JointLine,
    Layout,
    Lid,
    Line,
    LineNode,
    LineSizing,
    LineTube,
    LineVerdict,
    LowPressureWatch,
    Mark,
    MarkChange,
    MarkFlow,
    Member,
    Part,
    PatioSeason,
    PatioSun,
    PlacedObstacle,
    PlacedSeat,
    PlanChange,
    PressureTestPlan,
    PressureTestStep,
    PumpCheck,
    RangeDriver,
    RunGrowth,
    RunLine,
    Season,
    SeasonMoney,
    SetFlow,
    ShadeScreen,
    Stick,
    Stratification,
    SunMap,
    SunPath,
    SunSpell,
    ThingChange,
    TubeJoint,
    TubeLoads,
    WatchStep,
    WaterQuality,
    WaterState,
    WaterUse,
    WindClass,
    WorkingPressureTest,
    ZoneDrain,
    ZoneFlow,
)
from mistcalc.takeoff import first_cost

IN = 0.0254
FT = 12 * IN
PSI = 6894.757293168
GPM = 3.785411784e-3 / 60
F = 5 / 9


def fahrenheit(degrees: float) -> float:
    return (degrees - 32) * F + 273.15


LENGTH, DEPTH, BACK = 12 * FT, 10 * FT, 6 * IN
ALONG = {"A1": 36 * IN, "A2": 60 * IN, "A3": 84 * IN, "A4": 108 * IN}
JOISTS = tuple((15.25 + 16 * n) * IN for n in range(9))


def patio() -> Patio:
    return Patio(
        name="porch",
        height=10 * FT,
        depth=DEPTH,
        line_behind_edge=BACK,
        edge_beam=EdgeBeam(width=3.5 * IN, drop=0.0),
        plaster=Plaster("three-coat", 0.875 * IN, 0.0, 0.5 * IN, 0.25 * IN),
        marks=MarkRules(24 * IN, 18 * IN, 36 * IN, 24 * IN, 1 * IN, 0.75 * IN, 3 * IN, 0.125 * IN),
        runs=(
            Run(
                name="A",
                length=LENGTH,
                starts_at="wall",
                ends_at="wall",
                corner=None,
                datum=Datum("start", "face of west wall framing"),
                framing=Framing("across", 1.5 * IN, 9.25 * IN, spacing=16 * IN, first=15.25 * IN),
                joints=(Joint("J1", JOISTS[3], "member"),),
            ),
        ),
        obstacles=(Obstacle("L1", "light", "A", 60 * IN, 30 * IN, (6 * IN, 6 * IN), 36 * IN),),
        seats=(Seat("chairs", "A", 72 * IN, 60 * IN),),
    )


def plumbing() -> Plumbing:
    return Plumbing(
        tube_temperature=fahrenheit(150),
        nozzle=Nozzle("0.012 in orifice", 0.029 * GPM, 1000 * PSI, 0.5, 27e-6, 2.5, 60 * PSI),
        tube=Tube("stainless 304", 0.375 * IN, 0.035 * IN, 10 * FT, IN / 16, "compression"),
        pieces=(Piece("pump", "A start", 20 * FT, 9 * FT, (("elbow", 3), ("ball valve", 1))),),
        zones=(Zone("all", ("A",)),),
        water=Water("1/2 in stub", 60 * PSI, 48 * PSI, 3 * GPM, fahrenheit(80), filter=5e-6, hardness=0.18),
        pump=Pump(
            1000 * PSI, "side yard, shaded", Nameplate(0.3 * GPM, 1000 * PSI, 559.27, 115.0, 1150 * PSI)
        ),
        drains=(Drain("A end", 1 / 96, True),),
    )


def project() -> Project:
    return Project(
        format=1,
        name="Test porch",
        about="Invented for tests.",
        units="us",
        language="en",
        revision=Revision("A", datetime.date(2026, 11, 25), "for rough-in"),
        place=Place(1190.0, "el-paso", bearing=np.pi / 2),
        patios=(patio(),),
        plumbing=plumbing(),
        control=Control(fahrenheit(88), fahrenheit(85), 0.55, 4.4704, (14.0, 20.0), (5, 9)),
        prices=Prices(),
        assumed=("line.tube.kerf", "patio[porch].marks.hole"),
    )


def layout() -> Layout:
    def mark(name: str, near: str, offset: float, clear: float) -> Mark:
        along = ALONG[name]
        return Mark(
            name=name,
            patio="porch",
            run="A",
            along=along,
            along_finished=along - 0.875 * IN,
            tube_along=along,
            back=BACK,
            point=(along, BACK),
            stub_min=1.125 * IN,
            stub_nominal=1.375 * IN,
            stub_max=1.625 * IN,
            why="equal",
            member_clear=clear,
            near=near,
            near_offset=offset,
        )

    corners = ((0.0, 0.0), (LENGTH, 0.0), (LENGTH, DEPTH), (0.0, DEPTH))
    run = patio().runs[0]
    lid = Lid(
        outline=corners,
        walls=((corners[1], corners[2]), (corners[2], corners[3]), (corners[3], corners[0])),
        open_edges=((corners[0], corners[1]),),
        runs=(
            RunLine(
                "A",
                (corners[0], corners[1]),
                ((0.0, BACK), (LENGTH, BACK)),
                LENGTH,
                (0.0, 0.0),
                True,
                24 * IN,
                BACK,
            ),
        ),
        members=tuple(Member("A", ((x, 0.0), (x, DEPTH)), 1.5 * IN, x) for x in JOISTS),
        joints=(JointLine(run.joints[0], "A", ((JOISTS[3], 0.0), (JOISTS[3], DEPTH))),),
        obstacles=(
            PlacedObstacle(
                "L1", "light", "A", 60 * IN, 30 * IN, (60 * IN, 30 * IN), (), 3 * IN, 36 * IN, 26.8328 * IN
            ),
        ),
        seats=(PlacedSeat("chairs", "A", (72 * IN, 60 * IN)),),
        area=LENGTH * DEPTH,
    )
    return Layout(
        patio="porch",
        marks=(
            mark("A1", "member", 4.75 * IN, 3.5 * IN),
            mark("A2", "member", -3.25 * IN, 2.0 * IN),
            mark("A3", "member", 4.75 * IN, 3.5 * IN),
            mark("A4", "member", -3.25 * IN, 2.0 * IN),
        ),
        gaps=(("A", (24 * IN, 24 * IN, 24 * IN)),),
        pattern="equal",
        pitch=24 * IN,
        lid=lid,
        clashes=(Clash("clearance", False, "A2", "L1", 24 * IN, 36 * IN),),
        fixes=(Fix("L1", "house", 12 * IN, ("A2",)),),
        panels=(("A1", 5.3, 1.6), ("A2", 5.8, 1.3)),
        panel_spans=(("A", 0.0, 6 * FT), ("A", 6 * FT, 12 * FT)),
        holes=HolesVerdict(wood="missed", clear=2.0 * IN),
    )


CLIPS = tuple(feet * FT for feet in (2.0, 4.0, 6.0, 8.0))  # before each of four marks on a dead end


def tube_duty() -> TubeLoads:
    run = RunGrowth("porch", "A", 12 * FT, "middle", 6 * FT, CLIPS, 24 * IN, "A1", 0.05 * IN, 0.8 * IN)
    return TubeLoads(
        material="stainless 304",
        tube_pressure_rating=3100 * PSI,
        joint_pressure_rating=None,
        rated_by="table",
        wave_speed=1410.0,
        surge=33 * PSI,
        surge_at="pump to A1",
        slow_closing=0.01,
        trapped_slope=81 * 1.8 * PSI,
        trapped_hot=5200 * PSI,
        trapped_warming=22.0,
        coldest=fahrenheit(30),
        growth=17.3e-6,
        runs=(run,),
    )


def filling() -> FillAndDrain:
    return FillAndDrain(
        flow=0.3 * GPM,
        time=24.0,
        pressure_time=4.0,
        low_point="A4",
        drain_volume=1.5e-4,
        left_volume=3.1e-4,
        drain_low=True,
        standing=250.0,
        dribbling=(),
        zones=(ZoneDrain("all", "A4", ("A end",), True, 1.5e-4, 3.1e-4),),
    )


def water_duty() -> WaterQuality:
    return WaterQuality("hard", 0.8, 6.1, 0.42, "stated", 3.0e-6, 0.012 * IN, "label", 27e-6)


def line() -> Line:
    nozzles = ["A1", "A2", "A3", "A4"]
    gauge = {name: (998 - 0.2 * i) * PSI for i, name in enumerate(nozzles)}
    flow = {name: 0.029 * GPM * (gauge[name] / (1000 * PSI)) ** 0.5 for name in nozzles}
    total = sum(flow.values())
    bore = 0.305 * IN
    chain = ["pump", *nozzles]
    lengths = [20 * FT + 36 * IN, 24 * IN, 24 * IN, 24 * IN]
    left, tubes = total, []
    for i, (start, end, length) in enumerate(zip(chain, nozzles, lengths, strict=False)):
        minor = 4.5 if i == 0 else 0.2
        run = "" if i == 0 else "A"
        tubes.append(LineTube(start, end, length, bore, 1.5e-6, left, 0.16, 300.0, minor, run))
        left -= flow[end]
    return Line(
        nodes=(
            LineNode("pump", 0.0, None, 1000 * PSI),
            *(LineNode(n, 9 * FT, (ALONG[n], BACK), gauge[n]) for n in nozzles),
        ),
        tubes=tuple(tubes),
        marks=tuple(
            MarkFlow(
                n,
                "porch",
                flow[n],
                gauge[n],
                "open",
                "all",
                0.029 * GPM / (1000 * PSI) ** 0.5,
                0.5,
                60 * PSI,
                72 * PSI,
            )
            for n in nozzles
        ),
        zones=(ZoneFlow("all", total, "A4", gauge["A4"], 4, 1000 * PSI, flow["A4"], flow["A1"], ("all",)),),
        sets=(SetFlow(("all",), ("all",), ("all",), total, total, 1000 * PSI),),
        supply_node="pump",
        supply=((0.0, 1000 * PSI), (0.3 * GPM, 1000 * PSI), (0.31 * GPM, 0.0)),
        supply_gauge=1000 * PSI,
        total_flow=total,
        far_mark="A4",
        far_gauge=gauge["A4"],
        flow_spread=1 - flow["A4"] / flow["A1"],
        uniformity_cu=0.999,
        uniformity_du=0.999,
        nozzle_exponent=0.5,
        opens_at=60 * PSI,
        water=WaterState(fahrenheit(80), 996.5, 8.6e-4),
        friction_law="swamee-jain",
        duty=LineSizing(
            required_flow=0.116 * GPM,
            largest_zones=("all",),
            smallest_zones=("all",),
            smallest_flow=0.116 * GPM,
            pick_flow=0.3 * GPM,
            smaller_flow=None,
            pick_motor=372.85,
            pick_volts=115.0,
            used_share=0.387,
            smallest_share=0.387,
            shaft_power=154.0,
            electric_power=220.0,
            full_load_amps=2.4,
            circuit_amps=3.0,
            breaker_amps=15.0,
            breaker_most_amps=15.0,
            inlet_gauge=58 * PSI,
            from_nameplate=True,
            tube_rating=3100 * PSI,
            tube_rating_temperature=fahrenheit(150),
            christiansen_loss=900.0,
            solver_loss=910.0,
            fill_volume=4.6e-4,
            relief_range=(1100 * PSI, 1250 * PSI),
            feed_length=20 * FT,
            feed_friction=300.0,
            feed_fittings=100.0,
            fastest=0.16,
            fastest_at="pump to A1",
            tube=tube_duty(),
            filling=filling(),
            point=InletConditions(0.3 * GPM, 0.0, 59.5 * PSI, 0.8 * PSI, 0.7 * PSI, 1.95, 3.1),
            water=water_duty(),
        ),
        residual=1e-4,
        flow_residual=1e-12,
        worst_node="A4",
        iterations=5,
    )


def air(name: str = "hot", dry_bulb: float = 102.0, share: float = 0.13, ratio: float = 0.0066) -> Air:
    def one(value: float) -> np.ndarray:
        return np.array([value])

    return Air(
        name=name,
        source="typed in",
        temperature=one(fahrenheit(dry_bulb)),
        ratio=one(ratio),
        air_pressure=one(87_800.0),
        wind=one(0.9),
        mast_wind=one(4.0),
        direction=None,
        relative_humidity=one(share),
        wet_bulb=one(fahrenheit(dry_bulb) - 20.0),
        dew_point=one(fahrenheit(41)),
        hours_used=0,
        key=f"test-air-{name}",
    )


BANDS: Mapping[str, tuple[float, float, float]] = {
    "near_line": (4.0, 7.0, 10.0),
    "seats": (2.0, 4.0, 6.5),
    "far_edge": (1.0, 2.2, 4.0),
}


FELT: Mapping[str, tuple[float, ...]] = {  # degF of five draws; quantiles of 10 and 90 % lie between the ends
    "shade": (84.0, 85.0, 86.0, 87.0, 88.0),
    "fan": (83.0, 83.5, 84.0, 84.5, 85.0),
    "mist": (78.0, 79.0, 80.0, 81.0, 82.0),
    "both": (76.0, 77.0, 78.0, 79.0, 80.0),
}


def feel(seats: int = 1) -> Comfort:
    """SET of FELT, at every seat alike, the heat index 8 K above it, and UTCI out of its range."""
    effective = {name: np.array([[fahrenheit(f)] for f in draws]) for name, draws in FELT.items()}
    return Comfort(
        effective=effective,
        utci={},
        heat_index={name: kelvin + 8.0 for name, kelvin in effective.items()},
        radiant=np.full((5, 1), fahrenheit(104.0)),
        fan_speed=0.6,
        fan_supposed=0.6,
        at_seats={name: np.stack([kelvin] * seats) for name, kelvin in effective.items()},
    )


FATE_SHARES = {
    "dried_under": 0.9, "dried_outside": 0.04, "floor_under": 0.02, "floor_outside": 0.01, "away": 0.03,
}  # fmt: skip
WINDS = (
    WindClass("calm", 0.1, (3.0, 5.0, 6.5), None),
    WindClass("light", 0.7, (2.2, 4.0, 6.0), None),
    WindClass("breeze", 0.2, (1.0, 2.0, 3.0), None),
    WindClass("worst_side", 0.15, (0.2, 1.0, 2.0), math.pi / 4),
)


def cooling(afternoon: str = "hot", scale: float = 1.0) -> Cooling:
    """Five draws whose 10, 50 and 90 % points are BANDS times `scale` (linear between draws)."""

    def draws(low: float, middle: float, high: float) -> np.ndarray:
        first, last = low - (middle - low) / 4, high + (high - middle) / 4
        # np.quantile of five points: 10 % lies 0.4 of the way from the first to the second.
        second, fourth = (low - 0.6 * first) / 0.4, (high - 0.6 * last) / 0.4
        return scale * np.array([[first], [second], [middle], [fourth], [last]])

    drop = {place: draws(*band) for place, band in BANDS.items()}
    five = np.ones((5, 1))
    return Cooling(
        patio="porch",
        afternoon=afternoon,
        baseline=five * fahrenheit(102.0),
        depression=five * 20.0,
        drop=drop,
        ratio=dict.fromkeys(drop, five * 0.009),
        relative_humidity=dict.fromkeys(drop, five * 0.3),
        fates={name: five * share for name, share in FATE_SHARES.items()},
        carried_out=five * 0.04,
        water_flow=0.00728,
        drivers=(RangeDriver("weather", 0.5), RangeDriver("wind", 0.3), RangeDriver("exchange", 0.2)),
        residual=1e-12,
        key=f"test-cooling-{afternoon}-{scale}",
        mixed=drop["far_edge"],
        layers=Stratification(still=five * 0.6, floor=five * 6.0, standing=five * 2.0),
        feel=feel(),
        winds=WINDS,
        worth=(InformationValue("wind", 2.0 * scale), InformationValue("wind_speed", 3.0 * scale)),
    )


def picture(
    afternoon: str = "hot", scale: float = 1.0, patio: str = "porch", laid: Layout | None = None
) -> CoolingMap:
    """A lid 6 `scale` K cooler at its foot (least y), 2 at its head, 1 more standing; the foot is wet.

    Cells of about a foot. Where the lid has corners, cells whose middle lies outside are left out.
    """
    lid = (laid or layout()).lid
    outline = np.asarray(lid.outline)
    low, high = outline.min(axis=0), outline.max(axis=0)
    counts = np.maximum(np.round((high - low) / FT).astype(int), 2)
    x, y = (low[i] + (high[i] - low[i]) / counts[i] * (np.arange(counts[i]) + 0.5) for i in (0, 1))
    inside = inside_of(*np.meshgrid(x, y), outline)  # type: ignore[call-arg]
    up = (y - low[1]) / (high[1] - low[1])
    seated = np.where(inside, (scale * (6.0 - 4.0 * up))[:, None], 0.0)
    drop = np.stack([seated, np.where(inside, seated + 1.0, 0.0)])
    falling = np.where(inside & (up < 0.2)[:, None], 4e-5, 0.0)
    falling = np.where(inside & ((up >= 0.2) & (up < 0.4))[:, None], 5e-6, falling)
    seats = tuple(seat.point for seat in lid.seats) or ((float(x.mean()), float(y.mean())),)
    return CoolingMap(
        patio=patio,
        afternoon=afternoon,
        x=x,
        y=y,
        inside=inside,
        heights=(1.1, 1.7),
        baseline=fahrenheit(102.0),
        drop=drop,
        depression=np.full(drop.shape, 5.0),
        face_water=np.stack([falling, 2 * falling]),
        floor_water=falling,
        scale_water=2 * falling,
        film_rate=2e-5,
        seats=seats,
        seat_drop=scale * np.array([[4.0] * len(seats), [5.0] * len(seats)]),
        mean_drop=(4.0 * scale, 4.0 * scale + 1.0),
        patio_drop=3.0 * scale,
        landed=0.02,
        landed_beyond=0.001,
        wind=0.9,
        toward=1.2,
        wind_known=False,
        water_flow=0.00728,
        key=f"test-picture-{afternoon}-{scale}-{patio}",
    )


def findings() -> tuple[Finding, ...]:
    return (
        Finding(
            "clearance-judgement",
            "warn",
            "porch/L1",
            "clearance",
            24 * IN,
            36 * IN,
            "m",
            "judgement",
            values=(("obstacle", "L1"), ("kind", "light"), ("marks", "A2"), ("patio", "porch")),
            fix=(("move", "L1"), ("toward", "house"), ("by", 12 * IN)),
            audience=("builder",),
        ),
    )


def hold_plan() -> PressureTestPlan:
    """Typed, of the size a line of a litre has."""
    test = WorkingPressureTest(
        gauge=1000 * PSI,
        temperature=fahrenheit(80),
        seconds=(0.0, 300.0, 600.0, 900.0),
        volume=0.9e-3,
        air_most=100e-6,
        per_volume=(330e6 * PSI, 210e6 * PSI),
        per_kelvin=(36 * PSI / F, 25 * PSI / F),
        leak_limit=0.1e-6 / 60,
        sees=0.02e-6 / 60,
        steps=(PressureTestStep(fahrenheit(70), 0.0, 940 * PSI, 450 * PSI),),
        steps_metric=(PressureTestStep(293.15, 0.0, 940 * PSI, 450 * PSI),),
        errors=GaugeReadingErrors(7 * PSI, 0.5 * F, 0.15),
    )
    watch = LowPressureWatch(
        gauge=60 * PSI,
        temperature=fahrenheit(70),
        gas=100e-6,
        air_most=10e-6,
        per_kelvin=(0.24 * PSI / F, 0.1 * PSI / F),
        per_volume=0.68e6 * PSI,
        draw=10e-6,
        draw_fall=6.8 * PSI,
        draw_room=1.0 * PSI,
        limit=8e-6,
        sees=2e-6,
        leak_below=46 * PSI,
        steps=(WatchStep(0.0, 0.0, 60 * PSI, 58.4 * PSI, 57.1 * PSI),),
        steps_metric=(WatchStep(0.0, 0.0, 60 * PSI, 58.4 * PSI, 57.1 * PSI),),
        gauge_most=70 * PSI,
        errors=GaugeReadingErrors(0.5 * PSI, 0.5 * F, 0.15, 0.15),
    )
    first = datetime.date(2027, 3, 8)
    soon, late = datetime.date(2027, 3, 17), datetime.date(2027, 4, 26)
    frost = FrostHours(273.65, first, soon, late, 0, 2, (37, 36, 12, 0, 0, 0, 0, 0, 0, 0, 10, 93))
    return PressureTestPlan(test, watch, frost)


def line_verdict(**changes: object) -> LineVerdict:
    items = (
        PumpCheck("flow", "pass", 0.3 * GPM, 0.129 * GPM, "m3/s"),
        PumpCheck("static", "pass", 60 * PSI, 80 * PSI, "Pa", True),
    )
    told = LineVerdict("pass", False, items, True, False, 0.1237, 0.14)
    return dataclasses.replace(told, **changes)  # type: ignore[arg-type]


def season() -> Season:
    """A year of 900 hours in use, May to September from 2 to 8 pm, half of them misted; three draws."""
    used = np.zeros((12, 24))
    used[4:9, 14:20] = 30.0
    share = np.array([0.4, 0.5, 0.6])[:, None, None]
    runs, columns = share * used, ("shade", "fan", "mist", "both")
    comfort = {name: used * share / n for n, name in enumerate(columns, 1)}
    patio_season = PatioSeason(
        "porch", True, comfort, {name: hours + used / 4 for name, hours in comfort.items()},
        {name: 5 * hours for name, hours in comfort.items()},
        {name: (used > 0).any(axis=1) * n * share[:, :, 0] * 6 for n, name in enumerate(columns, 1)},
        {"good": 0.5 * runs, "blown": 0.25 * runs, "damp": 0.125 * runs, "little": 0.125 * runs},
        {"wet_floor": 0.2 * runs, "humid": 0.1 * runs},
        {name: np.array([1.0, 2.0, 3.0]) for name in columns[1:]}, 1.0, 1e-4,
    )  # fmt: skip
    kept_off = {
        "cool": used - runs - 2.0 * (used > 0),
        "humid": 1.0 * (share * used > 0),
        "windy": 1.0 * (share * used > 0),
        **dict.fromkeys(("side", "day", "resting", "water"), 0.0 * runs),
    }
    return Season(
        "typed in", used, runs, runs / 5, kept_off, used.max(axis=1), 200.0, np.zeros((3, 7)),
        np.array([4.0, 5.0, 6.0]), 313.0,
        HourlyUse(0.0264, 2.6e6, 0.011), (patio_season,), SEASON_LIMITS, "made up",
        SeasonMoney("USD", {name: 0.01 * runs.sum(axis=2) for name in SERVICES}),
    )  # fmt: skip


def plan_change() -> PlanChange:
    """Revision A of the porch had its second mark where a joist was found; its last was drilled off its
    place."""
    joist = ThingChange("member", "porch", "A", "", 46.25 * IN, 48.25 * IN)
    moved = MarkChange(
        "A2", "porch", "A", 48 * IN, 50 * IN, "member", False, "", 0.0, 0.75 * IN, 0.75 * IN, joist
    )
    drilled = MarkChange("A4", "porch", "A", 94.5 * IN, 96 * IN, "drilled", True, clear=4 * IN)
    before = SetRevision("A", "85Y CX7", datetime.date(2027, 1, 11), "for rough-in")
    return PlanChange((before,), (moved, drilled), (joist,), 2, ("A5",))


def cut_plan() -> CutPlan:
    """Two ways from 10 ft lengths, one of them in two parts."""
    tube = plumbing().tube
    feed = [CutPiece("pump to A1", length * FT, n, 2, True) for n, length in ((1, 10.0), (2, 2.0))]
    sticks = (Stick((feed[0],), 0.0), Stick((feed[1], CutPiece("A1 to A2", 2 * FT)), 6 * FT - IN / 8))
    return CutPlan(tube, sticks, 2, (TubeJoint("pump to A1", 12 * FT, "", 10 * FT, ""),))


def patio_sun() -> PatioSun:
    """Sun on the one seat of `layout` from 5 to 7 pm in July, through the edge of run A; one map of it."""
    clock = np.arange(0.0, 24.0, SunPath.STEP)
    used = np.zeros((12, clock.size), dtype=bool)
    used[4:9] = (clock >= 14) & (clock < 20)
    lit = np.zeros((1, 12, clock.size))
    lit[0, 6] = (clock >= 17) & (clock < 19)
    x, y = np.linspace(0.1, 5.9, 30), np.linspace(0.1, 2.9, 15)
    shines = SunMap(17.0, 0.5, 0.6, np.tile(x < 3.0, (y.size, 1)).astype(float))
    return PatioSun(
        patio="porch", clock=clock, seats=((3.0, 1.5),), lit=lit, used=used,
        screens=(ShadeScreen("A", "edge", 1.0, 3.0, 6.0, 1.7, ((1.0, 0.0), (3.0, 0.0)), 2.1),),
        skyline=0.17, month=6, x=x, y=y,
        inside=np.ones((y.size, x.size), dtype=bool), maps=(shines,), lap=0.457, key="test-sun",
        spells=(SunSpell(0, 6, 17.0, 19.0),),
    )  # fmt: skip


def design(**changes: object) -> Design:
    parts: dict[str, object] = {
        "project": project(),
        "air_source": "typed in",
        "afternoons": (air("hot"), air("typical", 96.0, 0.18, 0.0074), air("humid", 93.0, 0.45, 0.0172)),
        "layouts": (layout(),),
        "line": line(),
        "cooling": (cooling("hot"), cooling("typical", 0.8), cooling("humid", 0.4)),
        "parts": (Part("nozzle", 4, ""), Part("tube", 9.5, "m")),
        "cut_plans": (cut_plan(),),
        "findings": findings(),
        "code": "7KM 4Q2",
        "line_verdict": line_verdict(),
        "hold": hold_plan(),
        "season": season(),
        "use": WaterUse(6.0, 153, 0.0264, 0.158, 24.2, 0.011, 0.066, 10.2),
    }
    parts.update(changes)
    if "pictures" not in changes and parts["cooling"]:
        lids = {one.patio: one for one in parts["layouts"]}  # type: ignore[attr-defined]
        seen = tuple(picture(c.afternoon, patio=c.patio, laid=lids[c.patio]) for c in parts["cooling"])  # type: ignore[attr-defined]
        parts |= {"pictures": seen, "wetness": tuple(map(classify_wetness, seen))}
    if "first_cost" not in changes:
        stated: Project = parts["project"]  # type: ignore[assignment]
        parts["first_cost"] = first_cost(parts["parts"], stated.prices, stated.plumbing.tube)  # type: ignore[arg-type]
    if "verdicts" not in changes:
        found = parts["findings"]
        parts["verdicts"] = tuple(mist_verdict(c, found) for c in parts["cooling"])  # type: ignore[attr-defined,arg-type]
    return Design(**parts)  # type: ignore[arg-type]
