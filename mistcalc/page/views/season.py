"""The season: is it worth it. A calendar of hours worth running, then what a year takes, gives and costs."""

from __future__ import annotations

from collections.abc import Iterator

import streamlit as st

from mistcalc.model.results import Design, PatioSeason, Season, year_middle
from mistcalc.page import open_project
from mistcalc.page.open_project import OpenProject
from mistcalc.page.views import background_work, climate_way, components, controls, set_points
from mistcalc.page.views.patio_map import SIX
from mistcalc.report import about_climate
from mistcalc.report.owner.bars_by_month import month_bars
from mistcalc.report.owner.season_money_text import headline
from mistcalc.report.owner.season_text import day_count, ever_runs, first_sentence, season_blocks
from mistcalc.report.owner.text_blocks import PLAIN, Prose, RangeBar, RangeBars, SeasonTable

OPEN = 3  # blocks of the year that stand open: the control, what it takes, what it costs
LIGHT = 3  # of the six colors, with dark writing
DARK, WHITE = "#111111", "#ffffff"


def show(opened: OpenProject) -> None:
    if open_project.weather(opened) is None:
        components.headline(opened.label("season_view.none"))
        components.sentence(opened.label("season_view.none_do"))
        climate_way.offer(opened, "season")
        return
    job = background_work.whole_job(opened, opened.label("page.view_season"))
    if job is None:
        return
    designed = job.made
    made = background_work.standing(
        opened, "season", lambda: (designed, open_project.with_season(opened, designed)), after=job
    )
    if made is None or made.made[1].season is None:
        components.headline(opened.label("page.view_season"))
        return
    shown, season = made.opened, made.made[1].season
    patio = next(known for known in season.patios if known.patio == shown.patio.name)
    first = first_sentence(season, patio, shown.locale)
    worth = [block.text for block in headline(season, patio, shown.locale)]
    if ever_runs(season):
        components.headline(worth[0] if worth else first)
        if worth:
            components.sentence(first)
        _calendar(shown, season, patio)
        for bars in month_bars(season, shown.locale):
            _bars(shown, bars)
    else:
        components.headline(opened.label("season_view.never"))
    if not opened.read_only:
        _prices(opened, season)
        set_points.show(opened)
    _told(shown, *made.made, season, {first, *worth[:1]})


def _prices(opened: OpenProject, season: Season) -> None:
    """What water and power cost, to type in; a tariff in the file says it by itself."""
    if opened.project.tariff is not None:
        return
    components.heading(opened.label("season_view.prices"))
    if season.money is None:
        components.side(opened.label(f"season_view.prices_do_{opened.project.units}"))
    priced = {"water": "price_volume", "electricity": "price_energy"}
    if opened.project.plumbing.pump is None:
        del priced["electricity"]  # a valve takes none to speak of
    with st.container(key="fields-prices"):
        for name, kind in priced.items():
            title = opened.label(f"season_view.price_{name}")
            components.quantity(opened, title, ("prices", name), kind, optional=True)


def _calendar(opened: OpenProject, season: Season, patio: PatioSeason) -> None:
    """Months beside hours of the day: on how many days of the month the mist is noticed then."""
    days = year_middle(patio.outcomes["good"])
    hours = [hour for hour in range(24) if season.used[:, hour].any()]
    months = [month for month in range(12) if season.used[month].any()]
    step = max(-(-round(float(days.max())) // len(SIX)), 1)  # days in a class
    label = opened.label
    head = "".join(
        f"<th scope=col>{components.safe(label('season_view.hour', hour=float(hour)))}</th>" for hour in hours
    )
    rows = []
    for month in months:
        cells = "".join(
            _cell(float(days[month, hour]), step, bool(season.used[month, hour])) for hour in hours
        )
        name = components.safe(label("season.month", month=f"month-{month + 1}"))
        rows.append(f"<tr><th scope=row>{name}</th>{cells}</tr>")
    components.heading(label("season_view.calendar"))
    table = f'<table class="calendar"><tr><td></td>{head}</tr>{"".join(rows)}</table>'
    st.html(f'<div class="scroll" tabindex="0">{table}</div>')
    st.html(f'<div class="legend">{"".join(_keys(opened, step))}</div>')
    components.side(label("season_view.calendar_meant"))


def _keys(opened: OpenProject, step: int) -> Iterator[str]:
    """The six classes with the days they stand for."""
    for level, color in enumerate(SIX):
        first, last = level * step + 1, (level + 1) * step
        values = {"first": first, "last": last}
        kind = "last" if level == len(SIX) - 1 else "one" if first == last else "between"
        name = components.safe(opened.label(f"season_view.key_{kind}", **values))
        yield f'<span class="key"><i style="background:{color};forced-color-adjust:none"></i>{name}</span> '


def _cell(days: float, step: int, used: bool) -> str:
    """A number in its class of the six colors; a dash where it is never worth it, blank out of use."""
    told = day_count(days, used)
    if not used or days < 0.5:
        return f"<td>{told}</td>"
    level = min((round(days) - 1) // step, len(SIX) - 1)
    ink = DARK if level < LIGHT else WHITE
    return f'<td style="background:{SIX[level]};color:{ink}">{told}</td>'


def _bars(opened: OpenProject, bars: RangeBars) -> None:
    """A row a month: its figures, and under each a bar of them."""
    components.heading(opened.label("season_view.bars" if len(bars.head) > 2 else "season_view.bars_water"))
    head = "".join(f"<th scope=col>{components.safe(name)}</th>" for name in bars.head[1:])
    rows = "".join(
        f"<tr><th scope=row>{components.safe(month)}</th>{''.join(_bar(bar) for bar in each)}</tr>"
        for month, each in bars.rows
    )
    st.html(f'<table class="bars"><tr><td></td>{head}</tr>{rows}</table>')
    components.side(opened.label("season.bars_meant"))


def _bar(bar: RangeBar) -> str:
    """Solid to the low figure, open to the high one, a line across at the middle."""
    low, middle, high = bar.shares
    drawn = (
        f'<i style="width:{100 * high:.1f}%"></i><b style="width:{100 * low:.1f}%"></b>'
        f'<u style="left:{100 * middle:.1f}%"></u>'
    )
    told = components.safe(bar.text)
    return f'<td>{told}<div class="bar" aria-hidden="true">{drawn if high else ""}</div></td>'


def _told(opened: OpenProject, job: Design, year: Design, season: Season, said: set[str]) -> None:
    """The year in words and tables, as the terminal and the owner's paper have it."""
    components.findings(opened, (*about_climate(job.findings), *year.findings[len(job.findings) :]))
    _title, *blocks = season_blocks(season, (), opened.project, opened.locale)
    kept = [block for block in blocks if not isinstance(block, RangeBars) and not block.drawn_on_page]
    left = [block for block in kept if not (isinstance(block, Prose) and block.text in said)]
    opened_blocks = left[:OPEN]
    while opened_blocks and isinstance(opened_blocks[-1], Prose) and opened_blocks[-1].heading:
        opened_blocks.pop()  # a heading folds with what it heads
    for block in opened_blocks:
        _block(block)
    if len(opened_blocks) == len(left):
        return
    with controls.collapsible(opened.label("season_view.figures")):
        for block in left[len(opened_blocks) :]:
            _block(block)


def _block(block: Prose | SeasonTable) -> None:
    if isinstance(block, Prose):
        (components.heading if block.heading else components.sentence)(block.text)
        return
    plain = block.widths == PLAIN  # its second head is a remark
    components.table((block.head[0], "") if plain else block.head, block.rows)
    if plain and block.head[1]:
        components.side(block.head[1])
