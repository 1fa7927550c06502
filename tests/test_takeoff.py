"""The materials list against counting by hand."""

from __future__ import annotations

import dataclasses

import pytest

from mistcalc.design import to_buy
from mistcalc.line import solve_line
from mistcalc.model.project import Drain
from tests import builders
from tests.builders import FT, IN
from tests.line import houses, rows


def parts() -> dict[str, float]:
    found = to_buy(builders.project(), (builders.layout(),), builders.line())[1]
    return {part.name: part.quantity for part in found if part.name != "fitting"}


def test_the_porch_counted_by_hand():
    # Four marks on one dead end: three tees and an elbow at the last; four stubs, plugs, nozzles; one spare
    # (10 % of four, rounded up). Tube: 23 ft of feed (to the first mark) and three of 24 in; 10 ft sticks:
    # two whole and 3 ft, three of 2 ft from one more: three sticks, two couplings in the feed.
    found = parts()
    assert found["tee"] == 3
    assert found["stub-elbow"] == 1
    assert found["stub"] == found["plug"] == found["nozzle"] == 4
    assert found["spare-nozzle"] == 1
    assert found["tube"] == 3
    assert found["coupling"] == 2
    # Three gaps and one before the first mark, none past the last, where the tube ends; 23 ft of feed at 6 ft
    # wants four.
    assert found["clip"] == 4 + 4
    assert "isolation-valve" not in found  # a ball valve is among the fittings


def test_fittings_are_those_stated():
    found = to_buy(builders.project(), (builders.layout(),), builders.line())[1]
    assert {dict(p.detail)["fitting"]: p.quantity for p in found if p.name == "fitting"} == {
        "elbow": 3,
        "ball valve": 1,
    }


# ------------------------------------------------------------------ houses, counted by hand from their text


def bought(text: str) -> list[tuple[str, float, dict[str, object]]]:
    plumbing, layouts = houses.laid(text)
    project = dataclasses.replace(builders.project(), plumbing=plumbing)
    found = to_buy(project, layouts, houses.solved(text))[1]
    return [(part.name, part.quantity, dict(part.detail)) for part in found]


def test_a_ring_wants_a_tee_at_the_pump():
    found = bought(houses.RING)
    tees = {name: [n for kind, n, _ in found if kind == name] for name in ("tee", "stub-elbow", "reducer")}
    marks = len(houses.solved(houses.RING).marks)
    # every mark has tube on both sides; one tee more where the two ways part
    assert tees == {"tee": [marks + 1], "stub-elbow": [], "reducer": []}


def test_each_kind_of_tube_and_nozzle_has_its_row():
    found = bought(houses.TWO_PATIOS)
    tubes = [detail for name, _, detail in found if name == "tube"]
    tube = {round(one["outside"] / IN, 4): one["total"] / FT for one in tubes}
    marks = {
        patio: layout.marks
        for patio, layout in zip(("porch", "pergola"), houses.laid(houses.TWO_PATIOS)[1], strict=True)
    }
    last, first = marks["porch"][-1].tube_along / FT, marks["pergola"][0].tube_along / FT
    assert tube == pytest.approx({0.5: 60.0, 0.375: 4 + 40 + last, 0.25: 14 - first})
    nozzles = {detail["nozzle"]: n for name, n, detail in found if name == "nozzle"}
    assert nozzles == {"0.012 in orifice": len(marks["porch"]), "0.008 in orifice": len(marks["pergola"])}
    # 1/2 to 3/8 at the tee, 3/8 to 1/4 where the pergola begins
    sizes = sorted(
        (detail["large"] / IN, detail["small"] / IN) for name, _, detail in found if name == "reducer"
    )
    assert sizes == [pytest.approx((0.375, 0.25)), pytest.approx((0.5, 0.375))]


def test_tube_before_the_pump_is_bought_too():
    inlet = '[[line.piece]]\nfrom = "water point"\nto = "pump"\nlength = "16 ft"\n[pump]\n'
    with_it, without = (
        sum(detail["total"] for name, _, detail in bought(text) if name == "tube") / FT
        for text in (houses.RING.replace("[pump]\n", inlet), houses.RING)
    )
    assert with_it - without == pytest.approx(16)


def test_a_drain_where_tube_goes_on_wants_a_tee_and_a_stiff_run_one_anchor():
    """By hand: at the run's start the feed goes on into the run; at its end the valve itself is the end."""
    plumbing, layouts = rows.porch({"A": 4})

    def count(*places: str) -> dict[str, float]:
        drained = dataclasses.replace(plumbing, drains=tuple(Drain(at, 0.0, False) for at in places))
        project = dataclasses.replace(builders.project(), plumbing=drained)
        bought = to_buy(project, layouts, solve_line(drained, layouts))[1]
        return {part.name: part.quantity for part in bought if part.name != "fitting"}

    none, start, end = count(), count("A start"), count("A end")
    assert start["tee"] == none["tee"] + 1
    assert end["tee"] + end.get("stub-elbow", 0) == 4 and "end-cap" not in end
    assert none["anchor"] == 1  # stainless slides in its clips from one fixed place


# ------------------------------------------------------------------ what guards the pump


def listed(text: str, units: str = "us") -> dict[str, list[tuple[float, dict[str, object]]]]:
    plumbing, layouts = houses.laid(text)
    project = dataclasses.replace(builders.project(), plumbing=plumbing, units=units)
    found: dict[str, list[tuple[float, dict[str, object]]]] = {}
    for part in to_buy(project, layouts, houses.solved(text))[1]:
        found.setdefault(part.name, []).append((part.quantity, dict(part.detail)))
    return found


def test_what_guards_a_pump_is_bought_with_it():
    found = listed(houses.RING)
    ((count, relief),) = found["relief-valve"]
    assert count == 1 and relief["low"] == pytest.approx(1100 * builders.PSI)
    assert relief["high"] == pytest.approx(1250 * builders.PSI)
    assert {"regulator", "cut-out", "circuit", "gauge-pump", "gauge-inlet", "union"} <= set(found)
    # 1,000 psi works at three quarters of a 1,500 psi gauge or less; 60 psi of a 100 psi one
    assert found["gauge-pump"][0][1]["scale"] == pytest.approx(1500 * builders.PSI)
    assert found["gauge-inlet"][0][1]["scale"] == pytest.approx(100 * builders.PSI)
    ((_, circuit),) = found["circuit"]
    assert circuit["breaker"] >= circuit["circuit"] == pytest.approx(1.25 * circuit["full_load"])


def test_a_line_on_the_main_buys_no_pump_and_its_coil_is_a_coil():
    long, short = (
        houses.MIXED.replace('wall = "1/16 in"', f'wall = "1/16 in"\nstick = "{sold}"', 1)
        for sold in ("100 ft", "10 ft")
    )
    found = listed(short)
    assert not {"pump", "regulator", "relief-valve", "cut-out", "circuit", "union"} & set(found)
    assert {"gauge-start", "gauge-inlet"} <= set(found)
    assert "coil" in listed(long) and "coil" not in found
    ((count, coil),) = [row for row in listed(long)["coil"] if row[1]["outside"] == pytest.approx(0.375 * IN)]
    assert count == 1 and coil["stick"] == pytest.approx(100 * FT) and coil["total"] < 100 * FT
    assert "reducing-valve" not in found
    high = houses.MIXED.replace('static = "60 psi"', 'static = "95 psi"')
    assert listed(high)["reducing-valve"][0][0] == 1


def test_tube_that_ends_at_no_mark_is_capped_or_drained():
    text = houses.BRANCHES
    found = listed(text)
    assert "end-cap" not in found and [detail["at"] for _, detail in found["drain-valve"]] == ["drain"]
    undrained = text.replace('[line.drain]\nat = "drain"\n', "")
    ((count, cap),) = listed(undrained)["end-cap"]
    assert count == 1 and cap["outside"] == pytest.approx(0.375 * IN)


def test_fittings_are_bought_by_the_tube_they_are_for():
    found = listed(houses.TWO_PATIOS)
    elbows = {
        round(detail["outside"] / IN, 4): n for n, detail in found["fitting"] if detail["fitting"] == "elbow"
    }
    assert elbows == {0.5: 3}
    sizes = {round(detail["outside"] / IN, 4) for _, detail in found["tee"]}
    assert sizes == {0.25, 0.375, 0.5}  # at the pergola's marks, the porch's, and where the main parts
