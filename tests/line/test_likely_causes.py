"""From readings to causes: Bayes' rule, entropy, the next reading against textbook cases; clear refusals."""

import dataclasses
import math

import numpy as np
import pytest

from mistcalc import words
from mistcalc.errors import InputError, InputErrors
from mistcalc.line.diagnosis.fault_table import build_fault_table, full_scale
from mistcalc.line.diagnosis.isolation_steps import Section, isolation
from mistcalc.line.diagnosis.likely_causes import _smallest_set, diagnose, expected_readings
from mistcalc.line.diagnosis.next_reading import entropy, information
from mistcalc.line.diagnosis.sound_line import fault_case
from mistcalc.line.network.solver import solve
from mistcalc.model.fault_priors import CAUSES, FaultPriors, ReadingErrors
from mistcalc.model.results import CommissioningReadings, Readings
from mistcalc.model.site_readings import MEASURED
from tests.line import call_backs, networks

PSI, ML_PER_MIN = 6894.757293168, 1e-6 / 60


@pytest.fixture(scope="module")
def table():
    """A small table of the pump line: enough for what it says, not for how well."""
    plumbing, line = call_backs.pump_line()
    sheet = CommissioningReadings(line.supply_gauge, line.total_flow)
    return build_fault_table(fault_case(plumbing, line, sheet=sheet), draws=150)


def with_values(table, causes, values, error):
    """The same table with draws of one's own: values {reading: [cause, draw]}; `error` of each reading."""
    shape = (len(causes), next(iter(values.values())).shape[1])
    rows = np.stack([values.get(name, np.zeros(shape)) for name in MEASURED])
    none = np.zeros(shape, np.intp)
    return dataclasses.replace(
        table,
        causes=causes,
        odds=np.full(len(causes), 1 / len(causes)),
        values=rows,
        own=np.zeros_like(rows),
        valid=np.ones(shape, bool),
        extent=np.ones(shape),
        shut=none,
        part=none,
        near_state=none,
        far_state=none,
        error_base=np.full(len(MEASURED), float(error)),
        error_share=np.zeros(len(MEASURED)),
    )


# ------------------------------------------------------------------ Bayes and Shannon


def test_entropy_of_shannons_example():
    """Shannon 1948, A Mathematical Theory of Communication, section 6: H(1/2, 1/3, 1/6) is that of a choice
    of two followed half the time by one of 2/3 and 1/3: 1 + 0.5 x 0.9183 = 1.459 bits."""
    assert entropy(np.array([1 / 2, 1 / 3, 1 / 6])) == pytest.approx(1.459, abs=5e-4)
    assert entropy(np.array([1.0, 0.0])) == 0.0
    assert entropy(np.full(9, 1 / 9)) == pytest.approx(math.log2(9), rel=1e-12)


def test_causes_are_weighed_as_two_normal_spreads_are(table):
    """A normal spread of lines read with a normal error is a normal of both variances together (Gelman et
    al., Bayesian Data Analysis, section 2.5); the odds follow in closed form. 4,000 evenly spread draws with
    the error a third of the spread estimate such a density to better than 1 %."""
    unit = (np.arange(4000) + 0.5) / 4000
    normal = np.sqrt(2) * np.array([_erfinv(2 * u - 1) for u in unit])
    values = {"gauge": np.stack((100.0 + 3.0 * normal, 104.0 + 6.0 * normal))}
    own = with_values(table, ("sound", "worn"), values, 1.0)
    for read in (92.0, 100.0, 103.0, 108.0):  # within three of each spread
        density = [
            math.exp(-0.5 * ((read - m) ** 2 / (s**2 + 1))) / math.sqrt(s**2 + 1)
            for m, s in ((100, 3), (104, 6))
        ]
        said = call_backs.cause_shares(own, Readings(gauge=read))
        assert said[0] == pytest.approx(density[0] / sum(density), rel=0.01)


def _erfinv(y):
    """By bisection on math.erf."""
    low, high = -6.0, 6.0
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if math.erf(middle) < y else (low, middle)
    return low


def test_two_readings_weigh_as_their_product_where_nothing_strays(table):
    """Independent errors: the likelihood of both is the product (Bayes)."""
    values = {"gauge": np.array([[100.0], [102.0]]), "port": np.array([[90.0], [93.0]])}
    own = with_values(table, ("sound", "leak"), values, 2.0)
    alone = [call_backs.cause_shares(own, r) for r in (Readings(gauge=101.5), Readings(port=91.0))]
    both = alone[0] * alone[1]
    said = call_backs.cause_shares(own, Readings(gauge=101.5, port=91.0))
    assert said == pytest.approx(both / both.sum(), rel=1e-12)


def test_a_reading_that_tells_two_causes_apart_half_the_time_is_worth_half_a_bit(table):
    """Two equally likely signals +-1 in normal noise carry half a bit where its deviation is 0.9787 (binary
    input Gaussian channel; Richardson and Urbanke, Modern Coding Theory, example 4.37: the Shannon limit of
    rate one half). Outcomes are counted in steps of a quarter of a deviation, so 0.5 % is room enough."""
    values = {"gauge": np.array([[99.0], [101.0]])}
    own = with_values(table, ("sound", "leak"), values, 0.9787)
    told = information(own, np.full((2, 1), 0.5), ("gauge", "port"))
    assert told["gauge"] == pytest.approx(0.5, rel=0.005)
    assert told["port"] == pytest.approx(0.0, abs=1e-9)  # shows the same for both


def test_what_a_look_tells_is_that_of_an_erring_channel(table):
    """A glance for water that is right 90 % of the time: 1 - H(0.1) = 0.531 bit, as a binary symmetric
    channel (Cover and Thomas, Elements of Information Theory, section 7.1.4)."""
    values = {"gauge": np.array([[100.0], [100.0]])}
    own = with_values(table, ("sound", "drain"), values, 1.0)
    errors = ReadingErrors(wet_drain=(0.1, 0.9, 0.0), wet_else=(0.9, 0.1, 0.0))
    own = dataclasses.replace(own, errors=errors)
    told = information(own, np.full((2, 1), 0.5), ("wet",))
    assert told["wet"] == pytest.approx(0.531, abs=5e-4)


def test_a_reading_that_stands_alone_has_a_mean_of_its_own(table):
    """p(a, b) = p(a) p(b) for independent a and b: the likelihood of gauge and inlet is the product of the
    mean densities, not the mean of the products, which would tie each draw's gauge to its inlet."""
    gauge = np.array([[99.0, 101.0], [100.0, 100.0]])
    inlet = np.array([[4.0, 6.0], [5.0, 9.0]])
    own = with_values(table, ("sound", "inlet"), {"gauge": gauge, "inlet": inlet}, 1.0)
    density = [
        np.mean(np.exp(-0.5 * (101.0 - g) ** 2)) * np.mean(np.exp(-0.5 * (4.0 - i) ** 2))
        for g, i in zip(gauge, inlet, strict=True)
    ]
    said = call_backs.cause_shares(own, Readings(gauge=101.0, inlet=4.0))
    assert said == pytest.approx(np.array(density) / sum(density), rel=1e-12)
    # what the gauge said leaves the inlet's outcomes as they were: asked alone, it tells the same
    first = information(own, np.full((2, 2), 0.25), ("inlet",))["inlet"]
    tilted = information(own, np.array([[0.01, 0.49], [0.3, 0.2]]), ("inlet",))["inlet"]
    assert tilted == pytest.approx(first, rel=1e-9)


def test_odds_shift_the_answer_as_bayes_says(table):
    values = {"gauge": np.array([[100.0], [101.0]])}
    own = with_values(table, ("sound", "leak"), values, 1.0)
    even = call_backs.cause_shares(own, Readings(gauge=100.5))
    assert even == pytest.approx([0.5, 0.5])
    ninefold = dataclasses.replace(own, odds=np.array([0.1, 0.9]))
    assert call_backs.cause_shares(ninefold, Readings(gauge=100.5)) == pytest.approx([0.1, 0.9])


def test_the_set_is_the_smallest_that_holds_nine_tenths():
    shares = np.array([0.05, 0.5, 0.3, 0.15])
    order = np.argsort(-shares, kind="stable")
    assert list(_smallest_set(shares, order)) == [1, 2, 3]
    shares = np.array([0.9, 0.1, 0.0, 0.0])
    assert list(_smallest_set(shares, np.argsort(-shares, kind="stable"))) == [0]


def test_of_two_readings_that_tell_as_much_the_easier_is_asked_for(table):
    """Gauge and far-end port tell exactly the same here; the port comes after the gauge."""
    values = {name: np.array([[99.0], [101.0]]) for name in ("gauge", "port")}
    own = with_values(table, ("sound", "leak"), values, 0.5)
    own = dataclasses.replace(
        own, errors=ReadingErrors(wet_leak=(1.0, 1e-9, 1e-9), wet_else=(1.0, 1e-9, 1e-9))
    )
    said = diagnose(own, Readings(meter=1e-9))
    assert said.next.name == "gauge" and said.next.bits > 0.9
    same = with_values(own, ("sound", "leak"), {"gauge": np.array([[100.0], [100.0]])}, 0.5)
    assert diagnose(same, Readings(meter=1e-9)).next is None  # nothing tells 0.1 bit


# ------------------------------------------------------------------ a real line


def test_the_table_is_of_this_line(table):
    case = table.case
    assert table.valid.all() and np.isfinite(table.values).all() and (table.values >= 0.0).all()
    assert len(table.causes) == len(CAUSES) and table.odds.sum() == pytest.approx(1.0)
    sound = solve(case.network)
    expected = {reading.name: reading for reading in expected_readings(table)}
    assert set(expected) == set(MEASURED)
    # the middle of sound lines is the line as designed: within a third of what one strays
    for name, value in (("gauge", sound.supply_gauge), ("meter", sound.supply_flow)):
        assert abs(expected[name].value - value) < expected[name].deviation / 3
    assert expected["creep"].value == 0.0 and expected["creep"].held < 60 * PSI  # below the opening pressure
    assert expected["far"].at == "B12" and expected["near"].at == "A1" and expected["port"].at == "B end"


def test_plain_faults_are_named(table):
    """Readings far from any other cause's, worked out by hand from what the fault does."""
    gauge, flow = table.case.gauge, table.case.design
    each = flow / 28
    shut = Readings(
        gauge=gauge, meter=flow * 22 / 28, near=each, far=each, weak=("A3", "A5", "A9", "B1", "B7")
    )
    assert diagnose(table, shut).likely == ("plugged",)
    low = Readings(
        gauge=0.7 * gauge, meter=flow * 0.7**0.5, near=each * 0.7**0.5, far=each * 0.7**0.5, inlet=56 * PSI
    )
    assert set(diagnose(table, low).likely) == {"regulator", "pump"}  # the nozzles cannot say which
    high = Readings(
        gauge=1.15 * gauge,
        meter=flow * 1.15**0.5,
        near=each * 1.15**0.5,
        far=each * 1.15**0.5,
        inlet=56 * PSI,
    )
    assert diagnose(table, high).likely == ("regulator",)  # no pump passes more by wear
    starved = Readings(gauge=0.25 * gauge, meter=0.5 * flow, inlet=2 * PSI)
    assert diagnose(table, starved).likely == ("inlet",)
    assert diagnose(table, dataclasses.replace(starved, inlet=56 * PSI)).likely == ("pump",)
    leaking = Readings(
        gauge=gauge, meter=1.12 * flow, near=each, far=each, creep=80 * ML_PER_MIN, inlet=56 * PSI
    )
    said = diagnose(table, leaking)
    assert said.causes[0].cause == "leak"
    low, middle, high = said.causes[0].extent
    assert low <= 0.12 * flow <= high and low < middle < high
    scale = Readings(gauge=gauge, meter=0.75 * flow, near=0.75 * each, far=0.75 * each, weak=())
    said = diagnose(table, scale)
    assert said.likely == ("scaled",)
    low, middle, high = said.causes[0].extent
    assert low <= 0.75 <= high and low < middle < high
    worn = Readings(gauge=gauge, meter=1.2 * flow, near=1.2 * each, far=1.2 * each, creep=0.0, inlet=56 * PSI)
    assert diagnose(table, worn).causes[0].cause == "worn"


def test_scale_lowers_the_flow_and_never_the_gauge():
    """A pump that holds its pressure sends more round the bypass, a main has less to lose on its way; a worn
    pump lets the gauge fall. What of the flow is left is what the nozzles' flow factors say."""
    odds = dataclasses.replace(FaultPriors(), odds=tuple(float(c in ("scaled", "pump")) for c in CAUSES))
    none = (0.0,) * 4  # a line that strays from its design in nothing else
    exact = dataclasses.replace(odds, spread=none, between_nozzles=1e-9)
    for plumbing, line in (call_backs.pump_line((4, 3)), call_backs.mains_line((7,))):
        own = build_fault_table(fault_case(plumbing, line), exact, draws=60)
        gauge, meter = own.values[MEASURED.index("gauge")], own.values[MEASURED.index("meter")]
        assert own.valid.all() and (gauge[0] >= own.case.gauge).all()
        assert meter[0] / own.case.design == pytest.approx(own.extent[0], abs=0.15)  # seven nozzles, uneven
        if plumbing.pump is None:
            assert own.causes == ("scaled",)
        else:
            assert (gauge[1] < own.case.gauge).all() and (meter[1] < own.case.design).all()
            # of a displacement pump that passes too little, nozzles take it all: to the slip, 3 %
            assert meter[1] / own.case.design == pytest.approx(own.extent[1], rel=0.031)


def test_shares_sum_to_one_and_more_readings_leave_less_doubt_on_average(table):
    gauge, flow = table.case.gauge, table.case.design
    few = diagnose(table, Readings(gauge=gauge))
    more = diagnose(table, Readings(gauge=gauge, meter=flow, inlet=56 * PSI))
    for said in (few, more):
        assert math.fsum(one.share for one in said.causes) == pytest.approx(1.0)
        assert [one.share for one in said.causes] == sorted((one.share for one in said.causes), reverse=True)
    assert more.entropy < few.entropy
    assert few.taken == ("gauge",) and few.next.name not in few.taken


def test_readings_of_no_such_line_say_so(table):
    said = diagnose(table, Readings(gauge=1.3 * table.case.gauge, meter=0.05 * table.case.design))
    assert said.misfit > 4.0
    assert math.fsum(one.share for one in said.causes) == pytest.approx(1.0)  # an answer, and no NaN


def test_a_sheet_makes_the_line_read_what_it_says():
    plumbing, line = call_backs.pump_line((4, 3))
    for gauge, more in ((950 * PSI, 1.06), (1040 * PSI, 0.93)):
        meter = more * line.total_flow
        case = fault_case(plumbing, line, sheet=CommissioningReadings(gauge, meter, 50 * PSI))
        solved = solve(case.network)
        assert solved.supply_gauge == pytest.approx(gauge, rel=1e-6)
        assert solved.supply_flow == pytest.approx(meter, rel=1e-6)
        assert case.sheet and case.inlet == 50 * PSI
        near, far = 1.08 * solved.nozzle_flow[case.near], 0.9 * solved.nozzle_flow[case.far]
        case = fault_case(plumbing, line, sheet=CommissioningReadings(gauge, meter, near=near, far=far))
        solved = solve(case.network)
        assert solved.nozzle_flow[[case.near, case.far]] == pytest.approx([near, far], rel=1e-6)
        assert (solved.supply_gauge, solved.supply_flow) == pytest.approx((gauge, meter), rel=1e-6)
        others = np.delete(case.network.coefficient, case.cupped)
        assert np.ptp(others) < 1e-9 * others[0]  # nobody read them: alike still
    for bad in (
        CommissioningReadings(0.0, meter),
        CommissioningReadings(gauge, 0.0),
        CommissioningReadings(gauge, 9 * line.total_flow),
        CommissioningReadings(gauge, meter, near=0.0),
        CommissioningReadings(gauge, meter, far=meter),  # nothing left for the others
    ):
        with pytest.raises(InputError, match="call-back-sheet"):
            fault_case(plumbing, line, sheet=bad)


def test_two_nozzles_need_no_cup_beside_the_meter():
    plumbing, line = call_backs.mains_line((2,))
    meter = line.total_flow
    case = fault_case(
        plumbing,
        line,
        sheet=CommissioningReadings(line.supply_gauge, meter, near=0.4 * meter, far=0.4 * meter),
    )
    assert case.cupped == () and solve(case.network).supply_flow == pytest.approx(meter, rel=1e-6)


def test_a_cup_is_compared_with_the_nozzles_own(table):
    """A far nozzle that always passed 12 % more than its neighbours is no worn one: with its own cup on the
    sheet the same reading speaks for a sound line, without it for something worn."""
    case, (plumbing, line) = table.case, call_backs.pump_line()
    gauge, meter = line.supply_gauge, line.total_flow
    far = 0.8 * case.marks[case.far].flow
    own = build_fault_table(
        fault_case(plumbing, line, sheet=CommissioningReadings(gauge, meter, far=far)), draws=150
    )
    readings = Readings(gauge=gauge, meter=meter, far=far)
    misfit = [diagnose(one, readings).misfit for one in (own, table)]
    assert misfit[0] < 1 < misfit[1]


def test_causes_a_line_cannot_have_are_left_out():
    plumbing, line = call_backs.mains_line((5,))
    bare = dataclasses.replace(plumbing, drains=())
    case = fault_case(bare, line, sheet=CommissioningReadings(line.supply_gauge, line.total_flow))
    small = build_fault_table(
        case, dataclasses.replace(FaultPriors(), odds=(1, 1, 0, 0, 1, 0, 0, 0, 1, 0, 1)), draws=20
    )
    assert small.causes == ("sound", "plugged", "leak")  # odds of nothing, no drain to open, no pump
    assert not small.possible("port")


def test_the_gauge_at_hand_is_the_one_that_errs_and_ends(table):
    errors = ReadingErrors(line_scale=3000 * PSI, gauge=0.02)
    small = build_fault_table(table.case, errors=errors, draws=20)
    assert small.error_base[MEASURED.index("gauge")] == pytest.approx(60 * PSI)
    diagnose(small, Readings(gauge=2900 * PSI))
    with pytest.raises(InputErrors, match="call-back-scale"):
        diagnose(small, Readings(gauge=3100 * PSI))


def test_a_gauge_works_in_the_lower_three_quarters_of_its_scale():
    assert full_scale(1000 * PSI) == pytest.approx(1500 * PSI)
    assert full_scale(60 * PSI) == pytest.approx(100 * PSI)


# ------------------------------------------------------------------ what cannot be


@pytest.mark.parametrize(
    ("readings", "code"),
    [
        ({}, "call-back-nothing"),
        ({"gauge": 1501 * PSI}, "call-back-scale"),
        ({"gauge": -1.0}, "call-back-negative"),
        ({"gauge": math.nan}, "call-back-negative"),
        ({"meter": math.inf}, "call-back-negative"),
        ({"gauge": 0.0}, "call-back-zero-gauge"),
        ({"meter": 0.0}, "call-back-zero-meter"),
        ({"meter": 1.0}, "call-back-flow"),
        ({"near": 1.0}, "call-back-flow"),
        ({"weak": ("A1", "Z9")}, "call-back-mark"),
        ({"wet": "ceiling"}, "call-back-seen"),
        ({"drips": "often"}, "call-back-seen"),
    ],
)
def test_a_reading_that_cannot_be_is_refused_in_a_sentence(table, readings, code):
    with pytest.raises(InputErrors) as caught:
        diagnose(table, Readings(**readings))
    assert [m.code for m in caught.value.mistakes] == [code]
    said = words.say(caught.value.mistakes[0])
    assert code not in said and "{" not in said and said.endswith(".")


def test_every_mistake_is_told_at_once(table):
    with pytest.raises(InputErrors) as caught:
        diagnose(table, Readings(gauge=9000 * PSI, meter=0.0, weak=("Z9",)))
    assert [m.where for m in caught.value.mistakes] == ["gauge", "meter", "weak"]


def test_what_this_line_cannot_show_is_refused():
    plumbing, line = call_backs.mains_line((5,), opens=None)
    plumbing = dataclasses.replace(plumbing, drains=())
    case = fault_case(plumbing, line, sheet=CommissioningReadings(line.supply_gauge, line.total_flow))
    small = build_fault_table(case, draws=10)
    with pytest.raises(InputErrors) as caught:
        diagnose(small, Readings(port=1e5, creep=0.0))
    assert [m.code for m in caught.value.mistakes] == ["call-back-no-port", "call-back-no-creep"]
    said = diagnose(small, Readings(gauge=line.supply_gauge))
    assert said.cannot == ("port", "creep") and said.next.name not in said.cannot


def test_a_zone_that_is_none():
    plumbing, line = call_backs.mains_line((5,))
    with pytest.raises(InputError, match="call-back-zone"):
        fault_case(plumbing, line, zone="lawn")


# ------------------------------------------------------------------ where to close off


def test_a_dead_end_is_halved_first():
    """A feed 0-1 and nine joints in a row behind it: a valve in tube n shuts off the 9 - n joints beyond."""
    net = networks.even(9, 60, 0.1, 7e-3)
    steps = isolation(net, (Section("feed", (0,)), Section("A", (2,)), Section("B", (5,))))
    assert [s.valves for s in steps] == [("B",), ("A",), ("feed",)]
    assert [s.share for s in steps] == pytest.approx([0.4, 0.7, 0.9])


def test_in_a_ring_it_takes_two_valves():
    net = networks.even(8, 60, 0.1, 7e-3, ring=True)
    steps = isolation(net, (Section("A", (1,)), Section("B", (5,)), Section("C", (7,))))
    assert {s.valves for s in steps} == {("A", "B"), ("A", "C"), ("B", "C")}
    told = {s.valves: s.share for s in steps}
    assert told == pytest.approx({("A", "B"): 4 / 9, ("A", "C"): 6 / 9, ("B", "C"): 2 / 9})
    assert steps[0].valves == ("A", "B")


def test_what_has_no_valve_is_never_to_be_shut():
    """Sections were runs and pieces once, though no run has a valve at its start."""
    plumbing, line = call_backs.pump_line((6, 5))
    named = {p.name for p in plumbing.pieces if any(kind.endswith("valve") for kind, _ in p.fittings)}
    case = fault_case(plumbing, line)
    assert {section.name for section in case.sections} == named != set()
    pieces = tuple(dataclasses.replace(piece, fittings=()) for piece in plumbing.pieces)
    bare = dataclasses.replace(plumbing, pieces=pieces)
    case = fault_case(bare, line)
    assert case.sections == () and isolation(case.network, case.sections) == ()
