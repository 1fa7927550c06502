"""Growth, filling, emptying, water point, bypass, scale and dust: by hand, by balance, at limits."""

import dataclasses
import warnings

import numpy as np
import pytest

from mistcalc.line import solve_line
from mistcalc.line.network.supply_curve import mains_curve
from mistcalc.line.sizing import inlet_conditions, tube_loads, water_quality
from mistcalc.model.project import Drain, Piece, Tank
from mistcalc.physics import pipe
from tests import builders
from tests.line.rows import porch

PSI, GPM, INCH, FOOT = 6894.757293168, 3.785411784e-3 / 60, 0.0254, 0.3048


def kelvin(fahrenheit):
    return (fahrenheit + 459.67) / 1.8


def solved(runs=None, **changes):
    stated, layouts = porch(runs or {"A": 31})
    stated = dataclasses.replace(stated, **changes)
    return stated, layouts, solve_line(stated, layouts)


# ------------------------------------------------------------------ tube


def test_forty_feet_of_tube_move_a_quarter_inch_at_the_end_nozzle():
    # Common practice, no source: 40 ft, 30 to 150 degF, about half an inch in all; anchored at mid-run, the
    # end nozzle moves about a quarter. Here the last stands 19-1/2 ft from the middle.
    _, _, line = solved({"A": 19}, tube_temperature=kelvin(150))
    (run,) = line.duty.tube.runs
    # 19 marks 24 in apart and 3 ft before the first are 39 ft: a dead end stops at its last mark
    assert run.length / FOOT == pytest.approx(39.0) and run.anchor == pytest.approx(run.length / 2)
    assert run.movement / INCH == pytest.approx(0.25, abs=0.03)  # "about": between 0.22 and 0.28
    assert run.far_mark == "A19" and run.clip_count == 19 and run.clip_gap / INCH == pytest.approx(24.0)
    # half an inch over 40 ft and 120 degF is 0.0104 in a foot: 8.7e-6 a degF
    assert line.duty.tube.growth / 1.8 == pytest.approx(0.5 / (40 * 12 * 120), rel=0.12)
    stub = run.hole - run.movement
    assert stub / INCH == pytest.approx(3 / 8 + 1 / 8 + 1 / 4)  # tube, plumb, mark: judgement


def test_clips_stand_where_there_is_tube_and_beside_no_stub_of_stiff_tube():
    """By hand: 19 marks from 3 ft on, 24 in apart; the first clip a foot before the first mark, none past the
    last, where a dead end stops; one beyond it where tube goes on. Soft tube is held at every mark."""
    for drains, count in (((), 19), ((Drain("A end", 0.0, False),), 20)):
        _, layouts, line = solved({"A": 19}, drains=drains)
        (run,) = line.duty.tube.runs
        feet = [along / FOOT for along in run.clips]
        assert feet == pytest.approx([2.0 + 2.0 * n for n in range(count)])
    pex = dataclasses.replace(builders.plumbing().tube, material="pex")
    _, layouts, line = solved({"A": 19}, tube=pex)
    assert line.duty.tube.runs[0].clips == tuple(mark.along for mark in layouts[0].marks_of("A"))


def test_a_cold_line_does_not_move_and_a_hotter_one_moves_more():
    moves = [
        solved({"A": 19}, tube_temperature=t)[2].duty.tube.runs[0].movement
        for t in (270.0, 290.0, 310.0, 340.0)
    ]
    assert moves[0] == 0.0 and np.all(np.diff(moves) > 0)


def test_maker_s_rating_is_taken_and_derated_as_its_material():
    stated = builders.plumbing()
    nylon = dataclasses.replace(stated.tube, material="nylon", rated=1000 * PSI)
    # DIN 73378 factors of nylon 12, from memory: 1 at 20 degC, 0.72 at 40 degC (576 of 800 psi)
    found = tube_loads.rating(nylon, kelvin(104))
    assert found.by == "maker" and found.tube / PSI == pytest.approx(720.0)
    steel = dataclasses.replace(stated.tube, rated=3000 * PSI)
    assert tube_loads.rating(steel, kelvin(150)).tube / PSI == pytest.approx(3000.0)  # 20,000 psi to 300 degF
    # Copper Tube Handbook: 5,100 of 6,000 psi are left at 150 degF
    copper = dataclasses.replace(stated.tube, material="copper", rated=1000 * PSI)
    assert tube_loads.rating(copper, kelvin(150)).tube / PSI == pytest.approx(850.0)


def test_the_weakest_tube_of_a_line_rates_it():
    stated, layouts = porch({"A": 5})
    soft = dataclasses.replace(stated.tube, material="nylon", wall=1.5e-3)
    feed = dataclasses.replace(stated.pieces[0], tube=soft)
    line = solve_line(dataclasses.replace(stated, pieces=(feed,)), layouts)
    assert line.duty.tube.material == "nylon"
    assert line.duty.tube_rating == tube_loads.tube_rating(soft, stated.tube_temperature)


def test_surge_is_of_the_fastest_feed_water():
    _, _, line = solved()
    feed = next(tube for tube in line.tubes if not tube.run)
    joukowsky = line.water.density * line.duty.tube.wave_speed * abs(feed.speed)
    assert line.duty.tube.surge == pytest.approx(joukowsky)
    assert line.duty.tube.slow_closing == pytest.approx(2 * feed.length / line.duty.tube.wave_speed)


# ------------------------------------------------------------------ full and empty


def test_what_is_in_the_line_is_drained_or_left():
    for slope in (0.0, 0.01):
        _, _, line = solved(drains=(Drain("A end", slope, True),))
        full = line.duty.filling
        assert full.drain_volume + full.left_volume == pytest.approx(line.duty.fill_volume)
        # the feed rises to the run, so the run drains and the feed stays
        run = sum(t.length * np.pi / 4 * t.bore**2 for t in line.tubes if t.run)
        assert full.drain_volume == pytest.approx(run, rel=1e-9 if slope == 0 else 0.05) and full.drain_low
    _, _, line = solved()
    assert line.duty.filling.drain_volume is None and not line.duty.filling.drain_low
    assert line.duty.filling.left_volume == pytest.approx(line.duty.fill_volume)


def test_a_pump_fills_with_its_flow_and_the_main_with_what_friction_leaves():
    _, _, line = solved()
    rated = line.duty.required_flow / line.duty.used_share
    assert line.duty.filling.time == pytest.approx(line.duty.fill_volume / rated)
    feed = Piece("water point", "A start", 6.0, 2.7)
    _, _, main = solved({"A": 5}, pump=None, pieces=(feed,))
    flow = main.duty.filling.flow
    # at that flow the main's pressure is what the whole way and its rise take
    lost = sum(
        float(pipe.pressure_loss(flow, t.length, t.bore, density=main.water.density,
                                 viscosity=main.water.viscosity, minor_k=t.minor_k))
        for t in main.tubes
    )  # fmt: skip
    curve = [(q, p) for q, p in main.supply]
    held = np.interp(flow, [q for q, _ in curve], [p for _, p in curve])
    assert held == pytest.approx(lost + main.water.density * pipe.GRAVITY * 2.7, rel=1e-6)


def test_up_to_pressure_sooner_with_more_to_spare_and_never_with_none():
    def seconds(gpm):
        stated, layouts = porch({"A": 20})  # 0.58 gpm of nozzles
        plate = dataclasses.replace(builders.plumbing().pump.nameplate, flow=gpm * GPM)
        pump = dataclasses.replace(stated.pump, nameplate=plate)
        return solve_line(dataclasses.replace(stated, pump=pump), layouts).duty.filling.pressure_time

    times = [seconds(gpm) for gpm in (0.7, 1.0, 2.0, 4.0)]
    assert np.all(np.diff(times) < 0) and times[-1] > 0
    assert seconds(0.5) is None


def test_low_nozzles_dribble_unless_a_check_holds_what_stands_over_them():
    # A falls 1 % to its end: the first mark of 31 stands 60 ft x 1 % = 0.183 m over the last
    stated, layouts = porch({"A": 31})
    drain = Drain("A end", 0.01, True)
    bare = dataclasses.replace(
        stated, drains=(drain,), nozzle=dataclasses.replace(stated.nozzle, opens_at=None)
    )
    open_ = solve_line(bare, layouts).duty.filling
    assert "A31" in open_.dribbling
    height = 0.01 * (30 * 24 * INCH)  # highest mark is the highest place of the run with a tube
    assert open_.standing == pytest.approx(996.5 * 9.80665 * height, rel=0.06)
    held = solve_line(dataclasses.replace(stated, drains=(drain,)), layouts).duty.filling  # checks of 60 psi
    assert held.dribbling == () and held.standing == pytest.approx(open_.standing)
    assert held.standing < stated.nozzle.opens_at


# ------------------------------------------------------------------ water point and bypass


def test_water_point_filter_and_feed_add_up_to_the_inlet():
    stated, _, line = solved()
    point, flow = line.duty.point, line.duty.required_flow / line.duty.used_share
    assert point.flow == pytest.approx(flow) and point.reject == 0.0
    at = mains_curve(stated.water.static, stated.water.residual, stated.water.at_flow)
    assert point.point_gauge == pytest.approx(np.interp(flow, *zip(*at, strict=True)))
    assert line.duty.inlet_gauge == pytest.approx(point.point_gauge - point.filter_loss - point.feed_loss)
    # common practice, one page: reverse osmosis sends 35 % to the drain
    osmosis = dataclasses.replace(stated.water, treatment="reverse osmosis")
    drawn = solved(water=osmosis)[2].duty.point
    assert drawn.flow * 0.65 == pytest.approx(flow) and drawn.reject == pytest.approx(0.35 * drawn.flow)
    assert drawn.point_gauge is None  # it lets its water go without pressure


def test_what_comes_after_reverse_osmosis_is_a_tank_and_a_lift_or_is_not_known():
    """A displacement pump holds its pressure at its flow, less the tube and the filter behind it."""
    stated, _, _ = solved()
    osmosis = dataclasses.replace(stated.water, treatment="reverse osmosis")
    assert solved(water=osmosis)[2].duty.inlet_gauge is None
    rated = 1.0 * 3.785411784e-3 / 60
    for at_flow, gauge in ((rated, 45 * PSI), (0.5 * rated, 0.0)):
        duty = solved(water=dataclasses.replace(osmosis, tank=Tank(45 * PSI, at_flow)))[2].duty
        assert duty.point.point_gauge == pytest.approx(gauge)
        left = gauge - duty.point.filter_loss - duty.point.feed_loss
        assert duty.inlet_gauge == pytest.approx(left)


def test_bypass_heat_is_all_the_work_of_the_pump():
    # 1,000 psi through a pump of 85 %: 6.895e6 / 0.85 J/m3 over 996.5 x 4180 J/(m3 K) = 1.947 K a pass
    once = inlet_conditions.pass_warming(1000 * PSI, 996.5)
    assert once == pytest.approx(1.947, abs=5e-4)
    # heat in = heat out: the share used leaves warm, all the flow gains a pass
    for used in (0.1, 0.5, 0.9):
        inlet = inlet_conditions.bypass_warming(once, used)
        leaves = inlet + once
        assert used * leaves == pytest.approx(once)
    assert inlet_conditions.bypass_warming(once, 1.0) == 0.0
    assert inlet_conditions.bypass_warming(once, 0.0) is None


# ------------------------------------------------------------------ water


def test_solids_by_what_is_stated_and_treated():
    stated = builders.plumbing()
    told = {"solids": 0.42, "hardness": 0.18}
    by = {
        ("none", 0.42): 0.42,
        ("softener", 0.42): 0.42,  # sodium for calcium: nothing is taken out
        ("reverse osmosis", 0.42): 0.0084,  # common practice: 98 % kept back
        ("none", None): 0.18,  # hardness alone: the least there is
    }
    for (treatment, solids), left in by.items():
        water = dataclasses.replace(stated.water, **{**told, "solids": solids, "treatment": treatment})
        _, _, line = solved(water=water)
        assert line.duty.water.solids == pytest.approx(left)
        assert line.duty.water.dust == pytest.approx(line.total_flow * left)
    bare = dataclasses.replace(stated.water, solids=None, hardness=None)
    assert solved(water=bare)[2].duty.water.dust is None


@pytest.mark.parametrize(
    ("label", "millimetres"),
    [("0.012 in orifice", 0.3048), ("0.3 mm nozzle", 0.3), ("0,5 mm tip", 0.5), ("300 um", 0.3)],
)
def test_orifice_of_a_label(label, millimetres):
    stated = builders.plumbing()
    size, by = water_quality._orifice(dataclasses.replace(stated.nozzle, label=label))
    assert by == "label" and size * 1e3 == pytest.approx(millimetres)


@pytest.mark.parametrize("inch", [0.006, 0.008, 0.012, 0.016, 0.020])
def test_orifice_of_a_flow_is_never_wider_than_the_trade_table_s(inch):
    # Common practice, one table at 1,000 psi: gpm of .006, .008, .012, .016, .020 in. A filter for the
    # hole reckoned from flow is then fine enough for the true one.
    gpm = {0.006: 0.0122, 0.008: 0.0208, 0.012: 0.0290, 0.016: 0.0398, 0.020: 0.0543}[inch]
    stated = builders.plumbing()
    bare = dataclasses.replace(stated.nozzle, label="3 ft hose nozzle, type 7", flow=gpm * GPM, at=1000 * PSI)
    size, by = water_quality._orifice(bare)
    assert by == "flow" and size / INCH <= inch * 1.005  # the table prints its flows to 3 figures


def test_use_by_the_clock():
    stated, _, line = solved()
    control = dataclasses.replace(builders.project().control, hours=(14.0, 20.0), months=(5, 9))
    use = water_quality.water_use(stated, line, control)
    assert (use.hours, use.days) == (6.0, 153)  # May to September: 31 + 30 + 31 + 31 + 30
    assert use.an_hour == pytest.approx(3600 * line.total_flow)
    assert use.a_season == pytest.approx(use.an_hour * 6 * 153)
    late = dataclasses.replace(control, hours=(22.0, 2.0), months=(12, 2))
    over = water_quality.water_use(stated, line, late)
    assert (over.hours, over.days) == (4.0, 31 + 31 + 28)  # over midnight, over new year
    some = water_quality.water_use(stated, line, dataclasses.replace(control, days=("Tue", "Sat")))
    assert (some.a_day, some.days) == (use.a_day, 44)  # two sevenths of 153
    most = water_quality.water_use(stated, line, dataclasses.replace(control, most_a_day=use.an_hour * 2.5))
    assert (most.hours, most.a_day) == pytest.approx((2.5, 2.5 * use.an_hour))
    ample = dataclasses.replace(control, most_a_day=use.an_hour * 7)
    assert water_quality.water_use(stated, line, ample) == use


@pytest.mark.thorough
def test_any_line_has_finite_numbers_and_no_warning():
    """Materials, heat, treatment, pump or main, check or none, at the ends of what a project file may say."""
    draw = np.random.default_rng(41)
    stated, layouts = porch({"A": 9, "B": 4})
    feed, corner = stated.pieces
    for _ in range(60):
        material = str(draw.choice(["stainless 304", "stainless 316", "copper", "pvc", "pex", "nylon"]))
        mains = bool(draw.integers(2))
        opens = [None, 2e5, 4e6][draw.integers(3)]
        made = dataclasses.replace(
            stated,
            tube=dataclasses.replace(stated.tube, material=material, wall=draw.uniform(0.3e-3, 2.5e-3)),
            tube_temperature=draw.uniform(233.0, 366.0),  # up to where annealed copper is tabulated
            nozzle=dataclasses.replace(stated.nozzle, opens_at=opens),
            pieces=(dataclasses.replace(feed, start="water point" if mains else "pump"), corner),
            pump=None if mains else stated.pump,
            drains=[(), (Drain("B end", 0.02, True),), (Drain("A start", 0.0, False),)][draw.integers(3)],
            water=dataclasses.replace(
                stated.water,
                temperature=draw.uniform(274.0, 368.0),
                treatment=str(draw.choice(["none", "softener", "reverse osmosis"])),
                hardness=[None, 0.0, draw.uniform(0, 2)][draw.integers(3)],
                solids=[None, 0.0, draw.uniform(0, 2)][draw.integers(3)],
                calcium=draw.uniform(0, 0.5),
                alkalinity=draw.uniform(0, 0.5),
                ph=[None, 7.7][draw.integers(2)],
            ),
        )  # fmt: skip
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            line = solve_line(made, layouts)
        for noun in (line.duty, line.duty.tube, line.duty.filling, line.duty.point, line.duty.water):
            for field in dataclasses.fields(noun):
                value = getattr(noun, field.name)
                assert not isinstance(value, float) or np.isfinite(value), field.name
        assert line.duty.filling.drain_volume is None or line.duty.filling.drain_volume >= 0.0
        assert all(0.0 <= run.movement <= 0.2 for run in line.duty.tube.runs)


def test_an_empty_line_has_numbers_too():
    stated, layouts = porch({"A": 3})
    bare = (dataclasses.replace(layouts[0], marks=()),)
    duty = solve_line(stated, bare).duty
    assert duty.water.dust == 0.0 and duty.water.drop_far is None and duty.filling.dribbling == ()
