"""Can every zone run alone, and be shut off?"""

from __future__ import annotations

from collections.abc import Iterator

from mistcalc.checks.shared import DERIVED
from mistcalc.model.results import Finding, Line


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
