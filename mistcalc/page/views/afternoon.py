"""A hot afternoon: how much cooler, as a range, on a hot, a typical and a humid day beside each other."""

from __future__ import annotations

from collections.abc import Sequence

import streamlit as st

from mistcalc.model.results import COMFORT_COLUMNS, FATES, PLACES, Air, Cooling, Design
from mistcalc.page.first_answers import air_guessed
from mistcalc.page.open_project import OpenProject
from mistcalc.page.views import background_work, climate_way, components, controls, hour_by_hour, patio_map
from mistcalc.report.common.findings_by_reader import about_air, about_sun, notes_apart
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.owner import afternoon_text
from mistcalc.report.owner.felt_temperature_text import readings
from mistcalc.report.owner.map_classes import claims_note
from mistcalc.report.owner.range_axis import RangeAxis


def show(opened: OpenProject) -> None:
    work = background_work.whole_job(opened, opened.label("page.view_afternoon"))
    if work is None:
        hour_by_hour.show_old(opened)
        return
    opened, job = work.opened, work.made
    patio, locale = opened.patio, opened.locale
    cooled = [job.cooling_of(patio.name, air.name) for air in job.afternoons]
    with st.container():  # what comes and goes in here shifts no fold beneath, which would close it
        first = st.container()  # the answer stands above what asks for another
        day = _chosen(opened, cooled)
        with first:
            components.headline(afternoon_text.sentence(job, day, locale))
            if most := job.verdict_of(patio.name, day.afternoon).past_measured:
                components.side(locale.label("paper_owner.past_measured", most=most))
            if air_guessed(opened.project.place):
                components.sentence(locale.label("page.air_is_guess"))
                climate_way.offer(opened, "afternoon")
        if work.old:
            hour_by_hour.show_old(opened)
        else:
            hour_by_hour.show(opened, job, day)
        heard, notes = notes_apart((*about_air(job, patio.name, day.afternoon), *about_sun(job, patio.name)))
        components.findings(opened, heard)
        components.alerts(opened, job.findings, "sit")
    with controls.collapsible(opened.label("map.told")):
        components.side(claims_note(job, day, locale))
        components.findings(opened, notes)
    with controls.collapsible(opened.label("map.head")):
        patio_map.show(opened, job, day.afternoon)
    with controls.collapsible(opened.label("ways.figures")):
        _figures(opened, job, cooled, day)
    components.cautions(opened, job.findings)


def _chosen(opened: OpenProject, cooled: Sequence[Cooling]) -> Cooling:
    """The afternoon the pictures show; the first until another is asked for."""
    if len(cooled) == 1:
        return cooled[0]
    names = [day.afternoon for day in cooled]
    name = controls.radio_buttons(
        opened.label("ways.day"),
        names,
        format_func=lambda name: day_word(opened, name),
        horizontal=True,
        label_visibility="collapsed",
        key=f"day:{opened.identity}",
    )
    return next((day for day in cooled if day.afternoon == name), cooled[0])


def _figures(opened: OpenProject, job: Design, cooled: list[Cooling], day: Cooling) -> None:
    """What only some ask for: every afternoon and seat, what stretches the range, the air behind it."""
    locale = opened.locale
    components.heading(opened.label("page.cooler_than_shade"))
    st.html(ranges(opened, job.afternoons, cooled))
    components.side(opened.label("page.shapes" if job.afternoons[0].hours_used else "page.shapes_typed"))
    components.side(afternoon_text.behind(job, day, locale))
    components.side(opened.label("page.cooling_meant"))
    _winds(cooled, locale)
    _feel(opened, cooled)
    _feel_each(opened, day, [seat.name for seat in job.layout_of(day.patio).lid.seats])
    _water(opened, cooled)
    _find_out(job, day, locale)
    _drivers(opened, day, locale)
    air_table(opened, job.afternoons)


def day_word(opened: OpenProject, name: str) -> str:
    return opened.label(f"afternoon.{name}")


def ranges(opened: OpenProject, airs: tuple[Air, ...], cooled: list[Cooling]) -> str:
    """Hexagons on one scale: points at the 10 and 90 % draws, full height between the 25 and 75 %.

    The seats' shape is solid (the answer asked for), the others hollow; words stand beside every one.
    """
    axis = RangeAxis(cooled, opened.project.units)

    def at(value: float) -> float:
        return 100 * axis.share(value)

    marks = "".join(f'<span style="left:{at(t):.2f}%">{t:g}</span>' for t in axis.ticks)
    degrees = components.safe(opened.label("page.degrees_cooler"))
    rows = [f'<div class="scale"><span class="unit">{degrees}</span><div class="axis">{marks}</div></div>']
    lines = "".join(f'<i style="left:{at(t):.2f}%"></i>' for t in axis.ticks)
    for air in airs:
        day = opened.label(
            "page.day_head", day=day_word(opened, air.name), dry_bulb=air.middle("temperature")
        )
        rows.append(f"<h3>{components.safe(day)}</h3>")
        day_cooling = next(day for day in cooled if day.afternoon == air.name)
        for place in PLACES:
            shares = [at(value) for value in axis.bands[air.name, place]]
            rows.append(_range(opened, place, day_cooling, shares, lines))
    return f'<div class="ranges">{"".join(rows)}</div>'


def _range(opened: OpenProject, place: str, cooled: Cooling, shares: list[float], lines: str) -> str:
    name = components.safe(opened.label(f"page.place_{place}"))
    range_text = components.safe(components.span(opened, *cooled.band(place)[::2]))
    solid = " solid" if place == "seats" else ""
    shape = components.range_shape(shares, bool(solid))
    return (
        f'<div class="range{solid}"><span class="name">{name}</span><span class="told">{range_text}</span>'
        f'<div class="track" aria-hidden="true">{lines}{shape}</div></div>'
    )


def _feel(opened: OpenProject, cooled: list[Cooling]) -> None:
    """SET in shade alone, with a fan, with the mist and with both, as ranges."""
    components.heading(opened.label("page.how_it_feels"))
    head = [opened.label(f"page.col_{name}") for name in ("afternoon", *COMFORT_COLUMNS)]
    none = opened.label("page.feel_none")
    components.table(
        head,
        [
            (
                day_word(opened, day.afternoon),
                *(readings(day.feel, column, opened.locale) or none for column in COMFORT_COLUMNS),
            )
            for day in cooled
        ],
    )
    felt = cooled[0].feel
    if felt is not None:
        components.side(opened.label("ways.meant"))
        fan = "ways.fan_meant" if felt.fan_supposed is None else "ways.fan_supposed"
        components.side(opened.label(fan, speed=felt.fan_speed))


def _feel_each(opened: OpenProject, day: Cooling, seats: list[str]) -> None:
    """The same at each stated seat, where there is more than one."""
    if len(seats) < 2 or day.feel is None or not day.feel.at_seats:
        return
    components.side(opened.label("page.feel_each", afternoon=day.afternoon))
    components.table(
        [opened.label(f"page.col_{name}") for name in ("seat", *COMFORT_COLUMNS)],
        [
            (name, *(readings(day.feel, column, opened.locale, seat) for column in COMFORT_COLUMNS))
            for seat, name in enumerate(seats)
        ],
    )


def _winds(cooled: Sequence[Cooling], locale: Locale) -> None:
    """How much of it each kind of wind leaves: what anyone can look up from the seat."""
    head, rows = afternoon_text.wind_table(cooled, locale)
    if rows:
        components.heading(locale.label("told.look_up"))
        components.table(head, rows)
        components.side(locale.label("told.winds_meant", calm=True, light=True, breeze=True, sides=True))


def _find_out(job: Design, first: Cooling, locale: Locale) -> None:
    head, sentences = afternoon_text.worth_measuring(job, first, locale)
    if sentences:
        components.heading(head)
        for sentence in sentences:
            components.side(sentence)


def _water(opened: OpenProject, cooled: Sequence[Cooling]) -> None:
    """Where the water goes on the mean of the draws, so that the shares of a row sum to all of it."""
    components.heading(opened.label("page.where_water_goes"))
    head = ["", *(day_word(opened, day.afternoon) for day in cooled)]
    rows = [
        (
            opened.label(f"page.fate_{fate}"),
            *(components.quantity_text(opened, float(day.fates[fate].mean()), "share") for day in cooled),
        )
        for fate in FATES
    ]
    components.table(head, rows)


def _drivers(opened: OpenProject, cooled: Cooling, locale: Locale) -> None:
    if not cooled.drivers:
        return
    components.heading(opened.label("page.what_stretches"))
    components.side(afternoon_text.range_causes(cooled, locale))
    components.facts(
        (locale.label(f"driver.{driver.name}"), components.quantity_text(opened, driver.share, "share"))
        for driver in cooled.drivers[:5]
    )


def air_table(opened: OpenProject, airs: tuple[Air, ...]) -> None:
    """The middle of the hours behind each afternoon."""
    names = ("afternoon", "dry_bulb", "humidity", "wet_bulb", "dew_point", "wind", "hours")
    head = [opened.label(f"page.col_{name}") for name in names]
    rows = [
        (
            day_word(opened, air.name),
            components.quantity_text(opened, air.middle("temperature"), "temperature"),
            components.quantity_text(opened, air.middle("relative_humidity"), "share"),
            components.quantity_text(opened, air.middle("wet_bulb"), "temperature"),
            components.quantity_text(opened, air.middle("dew_point"), "temperature"),
            components.quantity_text(opened, air.middle("wind"), "speed"),
            str(air.hours_used) if air.hours_used else opened.label("page.typed_in"),
        )
        for air in airs
    ]
    components.table(head, rows)
