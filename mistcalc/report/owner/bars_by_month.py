"""A year month by month as a picture: a bar of water, and one of money where a price is stated."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from mistcalc.model.results import Band, Season, month_bands, times
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.owner.season_money_text import amount_text
from mistcalc.report.owner.text_blocks import RangeBar, RangeBars, volumes


def month_bars(season: Season, locale: Locale) -> Iterator[RangeBars]:
    """Months that take something; nothing where none does."""
    label, cost = locale.label, season.money

    water = [times(band, season.hourly.water) for band in month_bands(season.runs)]
    columns = {label("season.bars_water"): _bars(water, lambda band: volumes(band, locale))}
    if cost is not None:
        money = _bars(month_bands(cost.total), lambda band: amount_text(band, cost, locale))
        columns[label("season.bars_money")] = money
    rows = [
        (label("season.month", month=f"month-{n + 1}"), bars)
        for n, bars in enumerate(zip(*columns.values(), strict=True))
        if any(bar.shares[2] > 0.0 for bar in bars)
    ]
    if rows:
        yield RangeBars((label("season.by_month"), *columns), tuple(rows))


def _bars(bands: Sequence[Band], told: Callable[[Band], str]) -> list[RangeBar]:
    longest = max(high for _, _, high in bands) or 1.0
    return [RangeBar(told(band), times(band, 1.0 / longest)) for band in bands]
