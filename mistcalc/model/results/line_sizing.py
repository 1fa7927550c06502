"""What a solved line asks of pump, tube, water and fitter."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Literal

from mistcalc.model.quantities import (
    CubicMetrePerSecond,
    Kelvin,
    KilogramPerCubicMetre,
    Metre,
    MetrePerSecond,
    Pascal,
    Share,
    Watt,
)
from mistcalc.model.reprs import ShortRepr

Second = Annotated[float, "s"]
CubicMetre = Annotated[float, "m3"]
Kilogram = Annotated[float, "kg"]
KilogramPerSecond = Annotated[float, "kg/s"]


@dataclass(frozen=True, slots=True)
class RunGrowth:
    """How one straight run moves between its coldest and hottest.

    Stiff tube is held by one anchor in the middle of what is laid and slides in its clips; tube that bends is
    held at every mark and bows between them.
    """

    patio: str
    run: str
    length: Metre  # of tube: a dead end stops at its last mark
    held: Literal["middle", "marks"]
    anchor: Metre  # from the run's datum: the middle of the tube
    clips: tuple[Metre, ...]  # from the datum: they let stiff tube slide, and hold the other at its marks
    clip_gap: Metre  # widest between two of them
    far_mark: str  # moves most; "" for a run without marks
    movement: Metre  # of that mark, coldest to hottest; 0 where each is held
    hole: Metre  # least hole there: stub + movement + plumb + mark tolerance

    @property
    def clip_count(self) -> int:
        return len(self.clips)


@dataclass(frozen=True, slots=True, repr=False)
class TubeLoads(ShortRepr):
    """What the tube must stand."""

    material: str  # of the weakest tube of the line, as all that follows
    tube_pressure_rating: Pascal  # the tube alone, hot
    joint_pressure_rating: Pascal | None  # its joints, hot; None: as their maker says
    rated_by: Literal["table", "maker"]
    wave_speed: MetrePerSecond
    surge: Pascal  # rise when the fastest feed water stops at a stroke
    surge_at: str  # piece where it is
    slow_closing: Second  # a valve that takes much longer makes less of it
    trapped_slope: Annotated[float, "Pa/K"]  # water shut in, at the tube's hottest
    trapped_hot: Pascal  # shut in at working pressure and water's temperature, brought to the hottest
    trapped_warming: Kelvin | None  # fewest from working pressure to the rating, ending hottest; None: never
    coldest: Kelvin
    growth: Annotated[float, "1/K"]
    runs: tuple[RunGrowth, ...]

    @property
    def weakest(self) -> Literal["tube", "joints"]:
        """What gives first."""
        joints = self.joint_pressure_rating
        return "joints" if joints is not None and joints < self.tube_pressure_rating else "tube"


@dataclass(frozen=True, slots=True)
class ZoneDrain:
    """What runs out of one zone behind its shut valve."""

    zone: str
    low_point: str  # lowest place of its runs
    drains: tuple[str, ...]  # places of the drains that hang together with it
    low: bool  # is one of them at its lowest place?
    drained: CubicMetre
    left: CubicMetre


@dataclass(frozen=True, slots=True, repr=False)
class FillAndDrain(ShortRepr):
    """Full, up to pressure, and empty again, the zones' valves shut."""

    flow: CubicMetrePerSecond
    time: Second  # to fill, at most
    pressure_time: Second | None  # from full to working pressure; None: never
    low_point: str  # lowest place of the runs
    drain_volume: CubicMetre | None  # runs out of the drain; None without one
    left_volume: CubicMetre  # stays in the feed below the drain (all of it without one)
    drain_low: bool  # has every zone a drain at the lowest place of its runs?
    standing: Pascal  # of water standing in the line on its lowest nozzle, supply shut
    dribbling: tuple[str, ...]  # marks that let it out then
    zones: tuple[ZoneDrain, ...] = ()
    feed_low: str = ""  # lowest place of a feed that zone valves shut in and no drain empties; "" for none
    feed_left: CubicMetre = 0.0  # what stands in it


@dataclass(frozen=True, slots=True)
class InletConditions:
    """What is left of the water point's pressure while the line runs."""

    flow: CubicMetrePerSecond  # drawn, what a treatment rejects counted in
    reject: CubicMetrePerSecond
    point_gauge: (
        Pascal | None
    )  # or behind the lift from a tank; None: what comes after the treatment is not stated
    filter_loss: Pascal
    feed_loss: Pascal  # to the pump, rise counted in; 0 without a pump
    pass_warming: Kelvin | None  # of water that goes round the bypass once
    bypass_warming: Kelvin | None  # at the pump's inlet in the smallest zone, bypass led back to it


@dataclass(frozen=True, slots=True)
class WaterQuality:
    """What is in the water, and how fine it must be and comes out."""

    hardness: Literal["soft", "moderate", "hard", "very hard"] | None
    langelier: float | None  # at the tube's hottest
    ryznar: float | None
    solids: KilogramPerCubicMetre | None  # what the nozzles let out, treatment counted in
    solids_from: Literal["stated", "hardness", "unknown"]
    dust: KilogramPerSecond | None  # left behind while the largest zone runs
    orifice: Metre  # of the smallest nozzle
    orifice_from: Literal["label", "flow"]
    drop_far: Metre | None  # median drop at the nozzle with the least pressure; None while it is shut


@dataclass(frozen=True, slots=True)
class WaterUse:
    """Water drawn and dust left, as if the largest zone ran all that its control leaves it."""

    hours: float  # a day
    days: int  # a season
    an_hour: CubicMetre
    a_day: CubicMetre
    a_season: CubicMetre
    dust_hour: Kilogram | None
    dust_day: Kilogram | None
    dust_season: Kilogram | None


# "not-stated": nobody said what it takes to judge the item, and an unknown is no pass.
Verdict = Literal["pass", "not-stated", "look-again", "no"]


@dataclass(frozen=True, slots=True)
class PumpCheck:
    """One line of the check of a pump set: what it has against what it needs, and the verdict on it."""

    item: str  # flow, pressure, motor, volts, circuit, relief, static, residual, inlet, bypass
    verdict: Verdict
    has: float | None
    needs: float | None
    unit: str  # SI
    most: bool = False  # is `needs` a most and not a least?


@dataclass(frozen=True, slots=True, repr=False)
class LineVerdict(ShortRepr):
    """Line and pump, or line and mains, as planned: the one judgement which sheets and screens only phrase.

    meter, cup: by what share of the flow planned a sound line may read more or less, nineteen times of
    twenty: new nozzles differ from what their maker prints, one from the next, and a meter or a cup errs.
    """

    word: Verdict | Literal["some-not-stated"]  # the last: only what nobody stated keeps it from a pass
    fails: bool  # something must be mended before it is built
    items: tuple[PumpCheck, ...]  # of the installer's check; none without nozzles
    tube_holds: bool  # tube and joints, hot, stand the pressure the line works at
    trapped: bool  # and water shut in there passes what they stand
    meter: Share
    cup: Share
    feed_tells: bool = False  # the feed loses enough to be worth a sentence
    zones_tell: tuple[str, ...] = ()  # zones whose runs do

    def sound(self, flow: CubicMetrePerSecond, cup: bool = False) -> tuple[float, float]:
        """Between which flows a sound line reads where `flow` is planned [m3/s]."""
        off = self.cup if cup else self.meter
        return flow * (1.0 - off), flow * (1.0 + off)


@dataclass(frozen=True, slots=True, repr=False, kw_only=True)
class LineSizing(ShortRepr):
    """What the pump set must do; what has a default, only a line with a pump has."""

    required_flow: CubicMetrePerSecond  # all nozzles of the largest set of zones at set pressure
    largest_zones: tuple[str, ...]  # that run together then
    smallest_zones: tuple[str, ...]
    smallest_flow: CubicMetrePerSecond
    pick_flow: CubicMetrePerSecond | None = None  # generic ladder
    smaller_flow: CubicMetrePerSecond | None = None  # of a usual pump that would do, this one larger
    pick_motor: Watt | None = None
    usual_motor: Watt | None = None  # least usual one with room over `shaft_power`, whatever the plate's is
    pick_volts: float | None = None
    used_share: Share | None = None  # required over the pick's (or the nameplate's) flow
    smallest_share: Share | None = None
    shaft_power: Watt | None = None
    electric_power: Watt | None = None
    full_load_amps: float | None = None
    circuit_amps: float | None = None  # 125 % of full load: the least its conductors must carry
    breaker_amps: float | None = None  # standard rating at or above that
    breaker_most_amps: float | None = None  # 250 %, next standard rating; None where no code says so
    inlet_gauge: Pascal | None  # at the pump (mains: at the line's start) while running; None: not stated
    from_nameplate: bool = False
    tube_rating: Pascal  # of tube and joints, hot: the weaker
    tube_rating_temperature: Kelvin
    christiansen_loss: Pascal  # hand check of the run that loses most of all, beside the solver's
    solver_loss: Pascal
    fill_volume: CubicMetre
    relief_range: (
        tuple[Pascal, Pascal] | None
    )  # where its relief valve should open; None: no pump, or none for that pressure
    feed_length: Metre  # on the way from the supply to the nozzle with the least pressure
    feed_friction: Pascal  # lost in it, tube and fittings, rise not counted
    feed_fittings: Pascal  # the fittings' part of that
    fastest: MetrePerSecond
    fastest_at: str
    tube: TubeLoads
    filling: FillAndDrain
    point: InletConditions
    water: WaterQuality
