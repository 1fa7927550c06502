"""What a fleet keeps of one design: a row of a table and what there is to buy, without paper."""

from __future__ import annotations

from dataclasses import dataclass

from mistcalc.model.quantities import CubicMetrePerSecond, Kelvin, Metre, Pascal, Share, Watt
from mistcalc.model.reprs import ShortRepr
from mistcalc.model.results.finding import Finding
from mistcalc.model.results.first_cost import PricedPart

Middle = tuple[Kelvin, Kelvin, Kelvin]  # 10, 50 and 90 %


@dataclass(frozen=True, slots=True)
class LotAfternoon:
    """A patio on one afternoon, at its seats."""

    patio: str
    afternoon: str
    drop: Middle  # of dry bulb against the same shade with the mist off
    felt: Middle | None  # SET with the mist on, sun counted in; None: mostly outside the index's range
    landing: Share  # of the water, on floor and ground, mean


@dataclass(frozen=True, slots=True, repr=False)
class LotAnswer(ShortRepr):
    """One distinct design. The same project and the same climate give the same answer to the digit."""

    marks: int
    stops: int  # holes that must not be drilled as they lie
    flow: CubicMetrePerSecond  # of the largest set of zones that may run together
    far_gauge: Pascal
    supply_gauge: Pascal
    motor: Watt | None  # to buy, or of the nameplate; None: on the mains, or none is large enough
    tube: Metre  # that is built in
    verdict: str  # on line and pump, a word of `LineVerdict`
    afternoons: tuple[LotAfternoon, ...]  # patios x afternoons
    currency: str
    parts: tuple[PricedPart, ...]
    findings: tuple[Finding, ...]  # those to act on (fail, warn) and the cautions; no notes

    def of_level(self, *levels: str) -> tuple[Finding, ...]:
        return tuple(finding for finding in self.findings if finding.level in levels)

    @property
    def failed(self) -> bool:
        return any(finding.level == "fail" for finding in self.findings)
