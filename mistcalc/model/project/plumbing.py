"""All that carries water, as stated: nozzles, tube, zones, pump and water point."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from mistcalc.model.content_digest import ADDED
from mistcalc.model.quantities import (
    CubicMetrePerSecond,
    Kelvin,
    KilogramPerCubicMetre,
    Metre,
    Pascal,
    Volt,
    Watt,
)
from mistcalc.model.reprs import ShortRepr


@dataclass(frozen=True, slots=True)
class Nozzle:
    label: str
    flow: CubicMetrePerSecond  # at `at`
    at: Pascal
    exponent: float
    drop_median: Metre | None  # Dv50 at `at`; with no `drop_sauter` either, from flow and pressure
    drop_spread: float  # Rosin-Rammler
    opens_at: Pascal | None = None  # anti-drip check
    drop_sauter: Metre | None = None  # Sauter mean at `at`, where that is what the maker prints


@dataclass(frozen=True, slots=True)
class Tube:
    material: str
    outside: Metre
    wall: Metre
    stick: Metre
    kerf: Metre
    joints: str
    temper: str | None = None
    rated: Pascal | None = None  # working pressure its maker prints, cold
    joints_rated: Pascal | None = None  # working pressure the joints' maker prints, as hot as the tube gets
    take_up: Metre | None = field(
        default=None, metadata=ADDED
    )  # middle of a fitting to the end of tube in it

    @property
    def bore(self) -> Metre:
        return self.outside - 2 * self.wall


@dataclass(frozen=True, slots=True)
class Tap:
    """A place along a run. `said`, as the project file has it, is its name everywhere ("A at 12 ft")."""

    run: str
    along: Metre  # from the run's datum, at framing
    said: str

    def __str__(self) -> str:
        return self.said


Spot = str | Tap  # "pump", "water point", "<run> start", "<run> end", a name of its own, or along a run


@dataclass(frozen=True, slots=True)
class Piece:
    """Tube beside the runs, between two spots. Everything left None is the line's."""

    start: Spot
    end: Spot
    length: Metre
    rise: Metre | None = None  # None: level, or what closes a ring
    fittings: tuple[tuple[str, int], ...] = ()
    tube: Tube | None = None
    temperature: Kelvin | None = None  # of the water in it while the line runs
    check_opens_at: Pascal = 0.0  # a check valve lets water from start to end alone, past this pressure

    @property
    def name(self) -> str:
        """What it is called everywhere: its two ends. Pieces beside each other share a name."""
        return f"{self.start} to {self.end}"

    @property
    def one_way(self) -> bool:
        return any(kind == "check valve" and count > 0 for kind, count in self.fittings)


@dataclass(frozen=True, slots=True)
class RunPlumbing:
    """What is other on one run than on the line."""

    name: str  # the run's
    nozzle: Nozzle | None = None
    tube: Tube | None = None
    temperature: Kelvin | None = None  # of the water in it while the line runs


@dataclass(frozen=True, slots=True)
class MarkPlumbing:
    """A nozzle of its own at one fixed mark."""

    name: str  # the mark's
    nozzle: Nozzle


@dataclass(frozen=True, slots=True)
class Zone:
    """Runs that open and close together. `valves` names the pieces its valve stands in, where the project
    says so: one, or one in each of its feeds, opened by the same switch."""

    name: str
    runs: tuple[str, ...]
    valves: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Drain:
    at: Spot
    slope: float  # fall over length
    test_port: bool


@dataclass(frozen=True, slots=True)
class Nameplate:
    flow: CubicMetrePerSecond
    pressure: Pascal
    motor: Watt  # shaft
    volts: Volt
    relief: Pascal | None = None


@dataclass(frozen=True, slots=True)
class Pump:
    set_pressure: Pascal
    place: str = ""
    nameplate: Nameplate | None = None
    motors: Literal["NEMA", "IEC"] = "NEMA"  # whose sizes of motors and breakers are sold here
    volts: Volt | None = None  # of the single-phase supply at the pump; None: the usual one for the motor


@dataclass(frozen=True, slots=True)
class Tank:
    """A tank that the water falls into, without pressure, and the pump that lifts it out again."""

    lift: Pascal  # held behind that pump
    at_flow: CubicMetrePerSecond  # while so much runs


@dataclass(frozen=True, slots=True)
class Water:
    point: str
    static: Pascal
    residual: Pascal
    at_flow: CubicMetrePerSecond
    temperature: Kelvin
    filter: Metre | None = None
    hardness: KilogramPerCubicMetre | None = None  # as CaCO3
    calcium: KilogramPerCubicMetre | None = None  # as CaCO3
    alkalinity: KilogramPerCubicMetre | None = None  # as CaCO3
    solids: KilogramPerCubicMetre | None = None
    ph: float | None = None
    treatment: Literal["none", "softener", "scale inhibitor", "reverse osmosis"] = "none"
    tank: Tank | None = None

    @property
    def pressure_known(self) -> bool:
        """Reverse osmosis lets its water go without pressure: what comes after it must be said."""
        return self.treatment != "reverse osmosis" or self.tank is not None


@dataclass(frozen=True, slots=True, repr=False)
class Plumbing(ShortRepr):
    """All that carries water. `pump` None: a line on the mains. `together`: sets of zones that may run at the
    same time; any zone may run alone."""

    tube_temperature: Kelvin
    nozzle: Nozzle
    tube: Tube
    pieces: tuple[Piece, ...]
    zones: tuple[Zone, ...]
    water: Water
    pump: Pump | None = None
    drains: tuple[Drain, ...] = ()
    together: tuple[tuple[str, ...], ...] = ()
    runs: tuple[RunPlumbing, ...] = ()
    marks: tuple[MarkPlumbing, ...] = ()
    tube_temperature_reason: str = ""  # why it stays cooler than a hot afternoon in the sun
    # of second rows, by `model.second_rows`: tube to them, and the run each lies on
    row_feeds: tuple[Piece, ...] = field(default=(), metadata=ADDED)
    second_rows: tuple[tuple[str, str], ...] = field(default=(), metadata=ADDED)

    @property
    def every_piece(self) -> tuple[Piece, ...]:
        """Those of the file, and those to second rows that the program puts in."""
        return (*self.pieces, *self.row_feeds)

    def on_run(self, run: str) -> RunPlumbing:
        """What is stated for one run; nothing of its own where the file is silent. A second row of which
        nothing is said is as its run."""
        if not self.runs:
            return RunPlumbing(run)
        own = {stated.name: stated for stated in self.runs}
        return own.get(run) or own.get(dict(self.second_rows).get(run, run)) or RunPlumbing(run)

    def tube_on(self, run: str) -> Tube:
        """A run's own tube, else the line's."""
        return self.on_run(run).tube or self.tube

    def nozzle_at(self, run: str, mark: str) -> Nozzle:
        """The nozzle at a mark: its own, else its run's, else the line's."""
        if not self.marks and not self.runs:
            return self.nozzle
        alone = next((stated.nozzle for stated in self.marks if stated.name == mark), None)
        return alone or self.on_run(run).nozzle or self.nozzle

    @property
    def working(self) -> Pascal:
        """What the line is worked at: its pump's pressure, else what it has at rest where it begins."""
        if self.pump is not None:
            return self.pump.set_pressure
        return self.water.static if self.water.tank is None else self.water.tank.lift

    @property
    def inlet(self) -> tuple[Piece, ...]:
        """Tube between the water point and the pump: it lowers the pump's inlet, not the line."""
        if self.pump is None:
            return ()
        reached, inlet_pieces, grown = {"water point"}, [], True
        while grown:
            grown = False
            for piece in self.pieces:
                if piece not in inlet_pieces and {str(piece.start), str(piece.end)} & reached:
                    inlet_pieces.append(piece)
                    reached |= {str(piece.start), str(piece.end)} - {"pump"}
                    grown = True
        return tuple(inlet_pieces)

    @property
    def tubes(self) -> tuple[Tube, ...]:
        """Every kind of tube stated, each once, the line's first."""
        stated = [piece.tube for piece in self.every_piece] + [run.tube for run in self.runs]
        return tuple(dict.fromkeys((self.tube, *(tube for tube in stated if tube is not None))))
