"""Judgements on a tariff: what is legal and yet mostly a slip of the pen."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from mistcalc.checks.shared import JUDGEMENT, heard
from mistcalc.model.project import Tariff, Tariffs
from mistcalc.model.results import SERVICES, Finding


def tariff_findings(tariffs: Tariffs | None) -> tuple[Finding, ...]:
    """Prices that fall as more is used: some utilities do bill power so, so it is no mistake."""
    stated = [(name, getattr(tariffs, name)) for name in SERVICES if tariffs and getattr(tariffs, name)]
    found = [finding for name, tariff in stated for finding in _falling(name, tariff)]
    return heard(found, "owner", topic="season")


def _falling(service: str, tariff: Tariff) -> Iterator[Finding]:
    """The first price that falls, of tiers that hold in the same months."""
    for before, tier in pairwise(tariff.tiers):
        if tier.price < before.price and tier.months == before.months:
            values = (("service", service),)
            yield Finding("tariff-falls", "note", "tariff", service, source=JUDGEMENT, values=values)
            return
