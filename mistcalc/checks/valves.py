"""Can every zone run alone, and be shut off? Does every check valve let water through the way it runs?"""

from __future__ import annotations

from collections.abc import Iterator

from mistcalc.checks.shared import DERIVED
from mistcalc.model.results import Finding, Level, Line

HELD = 1e-6  # of supply pressure: less is water standing still
DRY = 0.1  # of supply pressure: a nozzle with less is not served


def zone_isolation_findings(line: Line) -> Iterator[Finding]:
    """A zone behind another's nozzles, one that runs past its shut valve, one that no valve shuts."""
    if len(line.zones) < 2:
        return
    for zone in line.zones:
        piping, where = zone.piping, f"line/zone {zone.name}"
        if not piping.valves:
            yield Finding(
                "zone-no-valve", "fail", where, "valve", source=DERIVED, values=(("zone", zone.name),)
            )
            continue
        if piping.behind:
            values: tuple[tuple[str, object], ...] = (
                ("zone", zone.name), ("behind", piping.behind), ("cut", piping.cut), ("end", piping.end),
                ("tee", piping.tee), ("move", piping.move),
            )  # fmt: skip
            yield Finding("zone-through", "fail", where, "valve", source=DERIVED, values=values)
        if piping.leaks_with is not None:
            values = (
                ("zone", zone.name), ("always", not piping.leaks_with), ("with", piping.leaks_with),
                ("by", piping.leaks_by),
            )  # fmt: skip
            yield Finding("zone-leaks", "fail", where, "valve", source=DERIVED, values=values)


def check_valve_findings(line: Line) -> Iterator[Finding]:
    """A valve that is shut though the line runs: it stands against the water, or parts a ring for nothing."""
    dry = any(mark.state != "open" or mark.pressure_gauge < DRY * line.supply_gauge for mark in line.marks)
    level: Level = "fail" if dry else "warn"
    for tube in line.tubes:
        if tube.one_way and tube.loss < -HELD * line.supply_gauge:
            sizes = ("pressure", -tube.loss, 0.0, "Pa", DERIVED)
            ends = (("start", tube.start), ("end", tube.end))
            yield Finding("check-valve-shut", level, f"line/{tube.start} to {tube.end}", *sizes, ends)
