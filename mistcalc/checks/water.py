"""Is the water clean and soft enough for the nozzles and for what stands below them?"""

from __future__ import annotations

from collections.abc import Iterator

from mistcalc.checks.shared import JUDGEMENT, PRACTICE
from mistcalc.model.practice import FILTER_MOST
from mistcalc.model.project import Plumbing
from mistcalc.model.results import Finding, Line, PumpCheck, Verdict
from mistcalc.units import parse

FILTER_GOOD = 1 / 10  # of the smallest orifice; common practice
# As CaCO3; judgement, nobody has published thresholds for mist
INHIBIT_FROM, OSMOSIS_FROM = parse("7 gpg", "concentration"), parse("15 gpg", "concentration")
SCALES_FROM = 0.5  # Langelier index at the tube's hottest; common practice
METALS_AT_RISK = ("copper",)


def water_findings(plumbing: Plumbing, line: Line) -> Iterator[Finding]:
    yield from _filter(plumbing, line)
    yield from _treatment(plumbing, line)
    if plumbing.water.tank is not None or not plumbing.water.pressure_known:  # or one that will have to be
        yield Finding("water-tank", "warn", "water point", "tank", source=PRACTICE)


def filter_check(plumbing: Plumbing, line: Line) -> PumpCheck:
    """The filter as an item of the check; of one not stated only its limit is told."""
    stated, most = plumbing.water.filter, FILTER_MOST * line.duty.water.orifice
    verdict: Verdict = "not-stated" if stated is None else "look-again" if stated > most else "pass"
    return PumpCheck("filter", verdict, stated, most, "m", most=True)


def _filter(plumbing: Plumbing, line: Line) -> Iterator[Finding]:
    water = line.duty.water
    most, good = FILTER_MOST * water.orifice, FILTER_GOOD * water.orifice
    values = (("orifice", water.orifice), ("good", good), ("estimated", water.orifice_from == "flow"))
    stated = plumbing.water.filter
    if stated is None:
        yield Finding("filter-none", "note", "water point", "filter", None, most, "m", PRACTICE, values)
    elif stated > most:
        yield Finding("filter-coarse", "warn", "water point", "filter", stated, most, "m", PRACTICE, values)


def _treatment(plumbing: Plumbing, line: Line) -> Iterator[Finding]:
    """What to do about hard water, by what the project says is done already."""
    stated, water, point = plumbing.water, line.duty.water, line.duty.point
    values = (
        ("hardness", water.hardness),
        ("dust", None if water.dust is None else 3600.0 * water.dust),  # kg an hour
        ("scales", water.langelier if (water.langelier or 0.0) > SCALES_FROM else None),
    )
    if stated.treatment == "reverse osmosis":
        metal = any(tube.material in METALS_AT_RISK for tube in plumbing.tubes)
        # Over an hour it gives what the nozzles use: what a bypass lets by goes back to the pump's inlet.
        used = line.duty.required_flow / max(point.flow - point.reject, 1e-12)
        reject_values = (("drawn", used * point.flow), ("copper", metal))
        told = "flow", used * point.reject, None, "m3/s", PRACTICE, reject_values
        yield Finding("water-reject", "note", "water point", *told)
    elif stated.hardness is None:
        yield Finding("water-untested", "note", "water point", "hardness", source=PRACTICE)
    elif stated.hardness > OSMOSIS_FROM:
        sizes = ("hardness", stated.hardness, OSMOSIS_FROM, "kg/m3", JUDGEMENT)
        yield Finding("water-very-hard", "note", "water point", *sizes, values)
    elif stated.hardness > INHIBIT_FROM and stated.treatment == "none":
        sizes = ("hardness", stated.hardness, INHIBIT_FROM, "kg/m3", JUDGEMENT)
        yield Finding("water-hard", "note", "water point", *sizes, values)
