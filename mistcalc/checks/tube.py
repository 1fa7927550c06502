"""Does the tube stand it: how hot it gets, rated so hot, surge, water shut in."""

from __future__ import annotations

from collections.abc import Iterator

from mistcalc.checks.shared import DERIVED, JUDGEMENT, PRACTICE
from mistcalc.model.practice import PLASTICS
from mistcalc.model.project import Plumbing
from mistcalc.model.results import Finding, Line, PumpCheck, Verdict

AS_THE_TUBE = ("braze", "weld")
SHUTS_FAST = "solenoid valve"
# K over the hottest afternoon's dry bulb: bare tube in full sun, or a soffit under a roof in it. Judgement.
SUN = 15.0
SOFFIT = 338.15  # K, 65 degC: a soffit behind plaster in July; judgement


def tube_findings(plumbing: Plumbing, line: Line) -> Iterator[Finding]:
    """The tube and its joints, hot, must stand the pressure the line is worked at and what it may reach."""
    working = plumbing.working
    yield from _rating(plumbing, line, working)
    yield from _surge(plumbing, line, working)
    duty = line.duty.tube
    if shut_in_bursts(plumbing, line):
        hottest, warming = line.duty.tube_rating_temperature, duty.trapped_warming or 0.0
        values = (
            ("start", hottest - warming),
            ("warming", warming),
            ("hottest", hottest),
            ("working", working),
        )
        sizes = ("pressure", duty.trapped_hot, line.duty.tube_rating, "Pa", DERIVED)
        yield Finding("trapped-water", "note", "line/tube", *sizes, values)


def shut_in_bursts(plumbing: Plumbing, line: Line) -> bool:
    """Does a line that stands its working pressure pass its rating where it is valved off full and warms?"""
    return line.duty.tube.trapped_hot > line.duty.tube_rating >= plumbing.working


def tube_check(plumbing: Plumbing, line: Line) -> PumpCheck:
    """The rating of the tube, hot, as an item of the installer's check."""
    working = plumbing.working
    rating, wanted = line.duty.tube.tube_pressure_rating, (line.duty.relief_range or (working, working))[1]
    verdict: Verdict = "no" if rating < working else "look-again" if rating < wanted else "pass"
    return PumpCheck("tube", verdict, rating, working if verdict == "no" else wanted, "Pa")


def joints_check(plumbing: Plumbing, line: Line) -> tuple[PumpCheck, ...]:
    """The joints as an item of the check: judged where a table or their maker says what they hold, else not
    stated. Brazed and welded ones hold as the tube does, and are no item."""
    made = [tube for tube in plumbing.tubes if not any(how in tube.joints.lower() for how in AS_THE_TUBE)]
    if not made:
        return ()
    working = plumbing.working
    wanted, held = (line.duty.relief_range or (working, working))[1], line.duty.tube.joint_pressure_rating
    rated = [tube.joints_rated for tube in made if tube.joints_rated]
    unknown = any(tube.joints_rated is None and "solder" not in tube.joints.lower() for tube in made)
    if unknown or (held is None and not rated):  # the table's figure is the weakest tube's alone
        return (PumpCheck("joints", "not-stated", None, wanted, "Pa"),)
    held = min(rated) if held is None else held
    verdict: Verdict = "no" if held < working else "look-again" if held < wanted else "pass"
    return (PumpCheck("joints", verdict, held, working if verdict == "no" else wanted, "Pa"),)


def _rating(plumbing: Plumbing, line: Line, working: float) -> Iterator[Finding]:
    rating, duty = line.duty.tube_rating, line.duty.tube
    weakest = next((t for t in plumbing.tubes if t.material == duty.material), plumbing.tube)
    brazed = duty.material == "copper" and weakest.temper == "drawn" and "braze" in weakest.joints.lower()
    values: tuple[tuple[str, object], ...] = (
        ("material", duty.material),
        ("temperature", line.duty.tube_rating_temperature),
        ("joints", weakest.joints),
        ("tube", duty.tube_pressure_rating),
        ("brazed", brazed),
    )
    if rating < working:
        code = "tube-joints" if duty.weakest == "joints" else "tube-rating"
        yield Finding(code, "fail", "line/tube", "tube rating", rating, working, "Pa", DERIVED, values)
    elif line.duty.relief_range is not None and rating < line.duty.relief_range[1]:
        needed = line.duty.relief_range[1]
        yield Finding(
            "tube-margin", "warn", "line/tube", "tube rating", rating, needed, "Pa", PRACTICE, values
        )
    if duty.material in PLASTICS and duty.rated_by == "table":
        yield Finding(
            "tube-plastic", "note", "line/tube", "tube rating", rating, working, "Pa", PRACTICE, values
        )


def _surge(plumbing: Plumbing, line: Line, working: float) -> Iterator[Finding]:
    """What a valve that shuts at a stroke makes of the water behind it, against tube and relief valve."""
    duty, relief = line.duty.tube, None
    if plumbing.pump is not None and plumbing.pump.nameplate is not None:
        relief = plumbing.pump.nameplate.relief
    peak, fast = (
        working + duty.surge,
        any(SHUTS_FAST in dict(piece.fittings) for piece in plumbing.every_piece),
    )
    values = (("surge", duty.surge), ("working", working), ("closing", duty.slow_closing))
    if peak > line.duty.tube_rating >= working:
        sizes = ("pressure", peak, line.duty.tube_rating, "Pa", "Joukowsky")
        yield Finding("surge-high", "warn" if fast else "note", "line/tube", *sizes, values)
    elif fast and relief is not None and peak > relief > working:
        yield Finding(
            "surge-relief", "note", "line/tube", "pressure", peak, relief, "Pa", "Joukowsky", values
        )


def tube_rating_temperature(plumbing: Plumbing, hottest: float | None) -> float:
    """Temperature [K] at which the tube is rated. hottest: dry bulb of the job's hottest afternoon [K]; None:
    nobody knows, so what is stated stands.

    What is stated, unless a hot afternoon in the sun is hotter and no reason is given: then a soffit's.
    """
    stated = plumbing.tube_temperature
    if hottest is None or stated >= hottest + SUN or plumbing.tube_temperature_reason:
        return stated
    return max(SOFFIT, hottest + SUN)


def heat_findings(plumbing: Plumbing, hottest: float | None) -> Iterator[Finding]:
    """A tube said to stay cooler than a hot afternoon in the sun."""
    stated, reason = plumbing.tube_temperature, plumbing.tube_temperature_reason
    if hottest is None or stated >= hottest + SUN:
        return
    values = (
        ("hottest", hottest), ("sun", SUN), ("rated", tube_rating_temperature(plumbing, hottest)),
        ("reason", reason),
    )  # fmt: skip
    sizes = ("temperature", stated, hottest + SUN, "K", JUDGEMENT, values)
    if reason:
        yield Finding("tube-cool-for-reason", "warn", "line/tube", *sizes)
    else:
        yield Finding("tube-cool", "fail", "line/tube", *sizes)
