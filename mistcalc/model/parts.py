"""Names of all parts of a materials list, and which go in before the ceiling is closed.

What stays within reach, pump, gauges, valves and nozzles, may be bought later. Which is which is common
practice, no source.
"""

from __future__ import annotations

ROUGH_IN = (
    "circuit", "drain-valve", "test-port", "tube", "coil", "coupling", "clip", "anchor", "tee", "reducer",
    "stub-elbow", "end-cap", "fitting", "stub", "plug",
)  # fmt: skip
LATER = (
    "pump", "regulator", "relief-valve", "cut-out", "union", "gauge-pump", "gauge-start", "gauge-inlet",
    "filter", "backflow", "reducing-valve", "isolation-valve", "zone-valve", "nozzle", "spare-nozzle",
)  # fmt: skip
REACHED = (  # fittings of a piece that stand where a hand gets at them: with the pump, not in the ceiling
    "union", "ball valve", "gate valve", "globe valve", "angle valve", "solenoid valve", "check valve",
    "water meter",
)  # fmt: skip


def price_name(part: str, fitting: object = None) -> str:
    """The name a price goes by: a fitting's own, a spare nozzle's as any nozzle's, else the part's."""
    return str(fitting) if part == "fitting" else part.removeprefix("spare-").replace("-", " ")
