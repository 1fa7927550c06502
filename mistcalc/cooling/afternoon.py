"""One patio on the hours asked, as a range: the patio's air, three places in it, what people feel."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from mistcalc.cooling import wind
from mistcalc.cooling.balance import PASSES, solve_balance
from mistcalc.cooling.case import Case, case_of, outdoors_of, spray_of
from mistcalc.cooling.comfort_indices import relative_humidity, running_fans, seat_comfort
from mistcalc.cooling.hour_sampling import assign_hours, representative_draw
from mistcalc.cooling.patio_air import Outdoors, wet_bulb_depression
from mistcalc.cooling.patio_geometry import STANDING, geometry_of
from mistcalc.cooling.place_air import AirAtPlaces, PlaceAir
from mistcalc.cooling.stratification import air_at
from mistcalc.cooling.sunlight import sunlight_at_seats
from mistcalc.cooling.unknowns import Unknowns, draws, shares
from mistcalc.cooling.wind_effect import information_value, wind_classes
from mistcalc.model.content_digest import fingerprint
from mistcalc.model.project import Patio, Plumbing
from mistcalc.model.results import (
    FATES,
    PLACES,
    Air,
    Comfort,
    Cooling,
    Layout,
    Line,
    RangeDriver,
    Stratification,
)


def afternoon_cooling(
    patio: Patio,
    layout: Layout,
    line: Line,
    plumbing: Plumbing,
    airs: tuple[Air, ...],
    bearing: float = 0.0,
    unknowns: Unknowns | None = None,
) -> tuple[Cooling, ...]:
    """The patio's air with the mist on and off, a Cooling for each of `airs`: each draw has one of its hours.

    bearing: heading of the plan's +x, rad clockwise from north; only a wind of known direction needs it.
    A line that passes no water gives Coolings of zero drops and `water_flow` 0. All airs are solved together:
    they share nothing but the arithmetic's overhead.
    """
    u = draws() if unknowns is None else unknowns
    count = len(u.wind)
    one_each = tuple(assign_hours(air, count) for air in airs)
    return every_hour(patio, layout, line, plumbing, one_each, bearing, u)


def every_hour(
    patio: Patio,
    layout: Layout,
    line: Line,
    plumbing: Plumbing,
    airs: tuple[Air, ...],
    bearing: float,
    unknowns: Unknowns,
    passes: int = PASSES,
) -> tuple[Cooling, ...]:
    """The same with every draw at every hour of each of `airs`; what is drawn from pairs (drivers, kinds of
    wind, what finding out is worth) is told where there is one column of hours. passes: the fixed point's."""
    spray = spray_of(patio, layout, line)
    made_of = (patio, layout.marks, spray, plumbing, bearing, unknowns.key)
    if spray is None:
        return tuple(_dry(patio, layout, air, unknowns, bearing, fingerprint(made_of, air)) for air in airs)
    case = case_of(patio, layout, spray, plumbing, airs, bearing, unknowns)
    solved = _Told(patio, layout, case, passes)
    ends = np.cumsum([air.temperature.shape[-1] for air in airs]).tolist()
    return tuple(
        solved.cooling(air, slice(end - air.temperature.shape[-1], end), bearing, fingerprint(made_of, air))
        for air, end in zip(airs, ends, strict=True)
    )


class _Told:
    """The answer to all hours of all airs, and the part of it that each Air asked for."""

    def __init__(self, patio: Patio, layout: Layout, case: Case, passes: int) -> None:
        self.patio, self.layout, self.case = patio, layout, case
        self.answer = answer = solve_balance(case, passes)
        self.depression = wet_bulb_depression(case.outdoors)
        self.found: AirAtPlaces = PlaceAir(case, answer).found().within(self.depression)
        self.floor, self.standing = (
            air_at(case, answer, height=height).temperature for height in (0.0, STANDING)
        )
        fans = running_fans(patio, layout)
        blown = PlaceAir(case, answer, fans).found().within(self.depression) if fans else None
        self.with_fans = None if blown is None else blown.drop

    def cooling(self, air: Air, hours: slice, bearing: float, key: str) -> Cooling:
        def cut(x: np.ndarray) -> np.ndarray:
            return x[..., hours]

        def each(of_place: dict[str, np.ndarray]) -> dict[str, np.ndarray]:
            return {place: cut(x) for place, x in of_place.items()}

        case, answer = self.case, self.answer
        out = Outdoors(*(cut(getattr(case.outdoors, name)) for name in Outdoors.__slots__))
        drop, ratio = each(self.found.drop), each(self.found.ratio)
        humidity = {
            p: relative_humidity(out.temperature - drop[p], ratio[p], out.air_pressure) for p in PLACES
        }
        cooled = Cooling(
            patio=self.patio.name,
            afternoon=air.name,
            baseline=out.temperature,
            depression=cut(self.depression),
            drop=drop,
            ratio=ratio,
            relative_humidity=humidity,
            fates=each(answer.fates),
            carried_out=cut(answer.carried),
            water_flow=case.water,
            drivers=(),
            residual=float(np.max(cut(answer.residual))),
            key=key,
            mixed=out.temperature - cut(answer.patio.temperature),
            layers=Stratification(
                still=cut(1 - answer.patio.by_wind),
                floor=out.temperature - cut(self.floor),
                standing=out.temperature - cut(self.standing),
            ),
            lee=cut(case.lee_share),
            with_fans=None if self.with_fans is None else each(self.with_fans),
            feel=self.feel(air, out, hours, bearing),
            seat_drop=cut(self.found.seat_drop),
        )
        seats = drop["seats"]
        if seats.shape[1] > 1:
            return cooled
        lee = replace(case.lee, share=cut(case.lee.share))
        pairs = replace(case, outdoors=out, wind=cut(case.wind), wind_toward=cut(case.wind_toward), lee=lee)
        return replace(
            cooled,
            drivers=_drivers(case, air, bearing, seats),
            winds=wind_classes(pairs, seats, bearing, _any_side(air)),
            worth=information_value(pairs, seats),
            middle=representative_draw(pairs, seats),
        )

    def feel(self, air: Air, out: Outdoors, hours: slice, bearing: float) -> Comfort:
        case, found, mixed = self.case, self.found, self.answer.patio.temperature[..., hours]
        there = out.temperature - found.seat_drop[..., hours]
        at_seats = there, relative_humidity(there, found.seat_ratio[..., hours], out.air_pressure)
        mixed_air = mixed, relative_humidity(mixed, self.answer.patio.ratio[..., hours], out.air_pressure)
        return seat_comfort(
            self.patio, self.layout, case.ground.seats, out, at_seats, mixed_air, case.air_speed[..., hours],
            sunlight_at_seats(case.ground, air, bearing),
        )  # fmt: skip


def _any_side(air: Air) -> bool:
    """Whether the wind may come from several sides: not where one hour's was told."""
    return air.direction is None or air.hours_used > 1


def _drivers(case: Case, air: Air, bearing: float, drop: np.ndarray) -> tuple[RangeDriver, ...]:
    """What makes the range at the seats: each unknown, and what an hour brings with it taken together."""
    return tuple(RangeDriver(n, s) for n, s in shares(case.unknowns, drop[:, 0], _weather(air, bearing)))


def _weather(air: Air, bearing: float) -> np.ndarray | None:
    """Every draw's hour in numbers, [draw, quantity]; the wind's direction as the two waves a patio can have
    of it, open one side or two. None: one hour for all."""
    t = air.temperature
    if np.ptp(t) == 0 and np.ptp(air.wind) == 0:
        return None
    columns = [t, t - air.wet_bulb, air.wind]
    if air.direction is not None:
        blowing, angle = ~np.isnan(air.direction), np.nan_to_num(air.direction) - bearing
        columns += [np.where(blowing, turn(n * angle), 0.0) for n in (1, 2) for turn in (np.cos, np.sin)]
    return np.column_stack([column[:, 0] for column in columns])


def _dry(patio: Patio, layout: Layout, air: Air, u: Unknowns, bearing: float, key: str) -> Cooling:
    """No water: the patio is outdoor air under its lid."""
    out = outdoors_of(air, u)
    still = np.zeros(out.temperature.shape)
    humidity = relative_humidity(out.temperature, out.ratio, out.air_pressure)
    still_air = out.temperature, humidity
    ground = geometry_of(patio, layout)
    return Cooling(
        patio=patio.name,
        afternoon=air.name,
        baseline=out.temperature,
        depression=wet_bulb_depression(out),
        drop=dict.fromkeys(PLACES, still),
        ratio=dict.fromkeys(PLACES, out.ratio),
        relative_humidity=dict.fromkeys(PLACES, humidity),
        fates=dict.fromkeys(FATES, still),
        carried_out=still,
        water_flow=0.0,
        drivers=(),
        residual=0.0,
        key=key,
        mixed=still,
        feel=seat_comfort(
            patio,
            layout,
            ground.seats,
            out,
            still_air,
            still_air,
            wind.speed(air, u.wind, u.calm),
            sunlight_at_seats(ground, air, bearing),
        ),
        seat_drop=np.zeros((len(ground.seats), *still.shape)),
    )
