"""Each judgement on the line speaks where it should and keeps quiet where it should."""

import dataclasses

import pytest

from mistcalc import words
from mistcalc.checks.line import line_findings
from mistcalc.line import plumb
from mistcalc.model.project import Nameplate, Piece
from mistcalc.model.results import Finding
from tests.line.rows import porch

PSI, GPM, HP = 6894.757293168, 3.785411784e-3 / 60, 745.699872
GOOD = Nameplate(1.0 * GPM, 1000 * PSI, 1.0 * HP, 115.0, 1150 * PSI)


def judge(
    marks=31, runs=None, plate=GOOD, nozzle=None, tube=None, water=None, set_pressure=1000 * PSI, **plumbing
):
    stated, layouts = porch(runs or {"A": marks})
    pump = dataclasses.replace(stated.pump, nameplate=plate, set_pressure=set_pressure)
    stated = dataclasses.replace(
        stated,
        **{
            "pump": pump,
            "nozzle": dataclasses.replace(stated.nozzle, **(nozzle or {})),
            "tube": dataclasses.replace(stated.tube, **(tube or {})),
            "water": dataclasses.replace(stated.water, **(water or {})),
            **plumbing,
        },
    )
    return {f.code: f for f in line_findings(stated, plumb(stated, layouts))}


def test_a_sound_line_has_nothing_to_say():
    assert judge() == {}


@pytest.mark.parametrize(
    ("changes", "code", "level"),
    [
        # 40 nozzles of 0.029 gpm take 1.16 gpm of 1; 33 take 0.957; 25 take 0.725
        ({"marks": 40}, "pump-too-small", "fail"),
        ({"marks": 33}, "pump-tight", "warn"),
        ({"marks": 25}, "pump-bypass", "warn"),
        ({"marks": 400, "plate": None}, "pump-none", "fail"),
        ({"plate": dataclasses.replace(GOOD, pressure=900 * PSI)}, "nameplate-pressure", "fail"),
        # 1 gpm at 1,000 psi and 85 % takes 0.686 hp
        ({"plate": dataclasses.replace(GOOD, motor=0.5 * HP)}, "nameplate-motor", "fail"),
        ({"plate": dataclasses.replace(GOOD, motor=0.75 * HP)}, "nameplate-motor", "warn"),
        ({"plate": dataclasses.replace(GOOD, relief=None)}, "relief-unknown", "note"),
        ({"plate": dataclasses.replace(GOOD, relief=1000 * PSI)}, "nameplate-relief-early", "fail"),
        ({"plate": dataclasses.replace(GOOD, relief=1400 * PSI)}, "nameplate-relief-odd", "warn"),
        ({"plate": dataclasses.replace(GOOD, relief=3500 * PSI)}, "nameplate-relief", "fail"),
        # NEC: 1-1/2 hp at 115 V is 20 A, a 25 A circuit
        ({"plate": dataclasses.replace(GOOD, motor=1.5 * HP)}, "pump-circuit", "warn"),
        # 3/8 OD x .032 annealed copper: 836 psi at 150 degF (Copper Tube Handbook)
        ({"tube": {"material": "copper", "wall": 0.032 * 0.0254}}, "tube-rating", "fail"),
        ({"tube": {"material": "nylon"}}, "tube-plastic", "note"),
        ({"nozzle": {"opens_at": 1100 * PSI}}, "nozzle-shut", "fail"),
        ({"nozzle": {"opens_at": 900 * PSI}}, "nozzle-part-open", "warn"),
        ({"water": {"static": 100 * PSI}}, "inlet-high", "note"),
        ({"water": {"static": 22 * PSI, "residual": 12 * PSI}}, "inlet-low", "warn"),
        ({"water": {"static": 10 * PSI, "residual": 5 * PSI, "at_flow": 0.5 * GPM}}, "inlet-low", "fail"),
        ({"tube": {"wall": 0.130 * 0.0254}}, "speed-high", "warn"),
    ],
)
def test_each_fault_is_found(changes, code, level):
    found = judge(**changes)
    assert code in found and found[code].level == level


def test_tube_margin_between_working_and_relief():
    # stainless 3/8 x .035 is rated 3,340 psi: working at 3,000 leaves less than a quarter
    plate = dataclasses.replace(GOOD, pressure=3000 * PSI, motor=3 * HP, volts=230.0, relief=3300 * PSI)
    found = judge(marks=18, plate=plate, set_pressure=3000 * PSI)
    assert found["tube-margin"].level == "warn" and "tube-rating" not in found
    assert found["tube-margin"].provided < 1.25 * 3000 * PSI == pytest.approx(found["tube-margin"].required)


def test_uneven_and_weak_on_the_mains():
    feed = Piece("water point", "A start", 6.0, 2.7)
    found = judge(
        marks=60,
        pump=None,
        pieces=(feed,),
        nozzle={"flow": 0.02 * GPM, "at": 60 * PSI, "opens_at": None},
        tube={"outside": 0.25 * 0.0254},
    )
    assert found["flow-spread"].provided > 0.10
    assert found["supply-weak"].provided < 40 * PSI and found["supply-weak"].where == "porch/A60"
    assert not any(code.startswith("pump-") for code in found)


def test_an_empty_line_says_only_that():
    stated, layouts = porch({"A": 3})
    bare = (dataclasses.replace(layouts[0], marks=()),)
    assert [f.code for f in line_findings(stated, plumb(stated, bare))] == ["line-empty"]


def test_worst_first_and_every_finding_can_be_said():
    stated, layouts = porch({"A": 40})
    plate = dataclasses.replace(GOOD, pressure=900 * PSI, motor=0.75 * HP, relief=1400 * PSI)
    stated = dataclasses.replace(stated, pump=dataclasses.replace(stated.pump, nameplate=plate))
    found = line_findings(stated, plumb(stated, layouts))
    order = ["fail", "warn", "note"]
    assert [f.level for f in found] == sorted((f.level for f in found), key=order.index)
    for finding in found:
        assert isinstance(finding, Finding)
        for units in ("us", "metric"):
            said = words.say(finding, units)
            assert said and finding.code not in said  # its own sentence, not the general one
