"""The one drawing of a trade's page: its words stand beside what they name."""

from __future__ import annotations

import pytest

from mistcalc.drawing.boxes import Box
from mistcalc.drawing.sheet import Polyline, Text
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.trades.details import bore_detail
from tests.report.jobs import job


@pytest.mark.thorough
@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("units", ["us", "metric"])
@pytest.mark.parametrize("tall", [28.0, 44.0, 70.0])
@pytest.mark.parametrize("width", [0.038, 0.045, 0.063, 0.089])
def test_the_hole_is_named_beside_its_joist(width: float, tall: float, units, language: str) -> None:
    """On a metric page in Spanish its words touched the joist."""
    locale, box = Locale(units, language), Box(0.0, 0.0, 62.0, tall)
    bored = job("terraza").carpentry.bores[0]
    items = bore_detail(bored, width, True, locale)(box)
    words = locale.label("paper_trade.hole", hole=bored.hole)
    (named,) = (item for item in items if isinstance(item, Text) and item.text == words)
    joist = max((i.box() for i in items if isinstance(i, Polyline)), key=lambda b: b.height)
    assert named.box().left > joist.right + 1.0
    assert named.box().right <= box.right + 0.1
