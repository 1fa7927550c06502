"""Every key of a project file: its kind, its default, its range. Read by the reader and by `rewrite`.

A default is written as a person would write it, for US and for metric files, and is read the same way.
Defaults and clearances are common practice without a source unless a comment names one; each that the file
does not state is listed on every sheet. What can only be settled by looking at other keys (a light's
clearance, the nozzle of a line without a pump) is in `defaults.py`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from mistcalc.model.fault_priors import CAUSES
from mistcalc.model.project import COMPASS

FORMAT = 1


@dataclass(frozen=True, slots=True)
class ValueSpec:
    """One value. `default` is (US, metric) text; None: nothing; `required`: the file must say.
    A "spot" is where tube begins or ends.

    `many`: "list" of one or more, "pair" of exactly two, "size" one or two (a single one counts twice).
    `low`, `high` are inclusive; `positive` leaves out zero. `listed`: an unstated default is an assumption.
    """

    kind: str  # a kind of `units`, or text, name, spot, choice, number, flag, date, month, counts
    default: tuple[str, str] | None = None
    required: bool = False
    low: str | None = None
    high: str | None = None
    positive: bool = False
    choices: tuple[str, ...] = ()
    many: Literal["", "list", "pair", "size"] = ""
    listed: bool = True
    most: int = 1  # elements of a list
    like: tuple[str, str] | None = None  # what people write (US, metric), where there is no default to show


@dataclass(frozen=True, slots=True)
class TableSpec:
    keys: dict[str, ValueSpec | TableSpec | TableListSpec]
    optional: bool = False  # a table that may be left out as a whole: then there is no such thing
    together: tuple[str, ...] = ()  # keys that mean nothing apart: all stated, or none


@dataclass(frozen=True, slots=True)
class TableListSpec:
    """A list of tables. `by`: the key that names an element; without it elements go by their place. `lone`:
    where there is but one it may be written as a table."""

    table: TableSpec
    by: str = ""
    most: int = 500
    required: bool = False
    lone: bool = False


def _length(
    us: str = "", metric: str = "", low: str = "0 m", high: str = "300 m", **rest: object
) -> ValueSpec:
    return _quantity("length", us, metric, low, high, **rest)


def _quantity(
    kind: str, us: str = "", metric: str = "", low: str = "", high: str = "", **rest: object
) -> ValueSpec:
    default = (us, metric or us) if us else None
    return ValueSpec(kind, default, low=low or None, high=high or None, **rest)  # type: ignore[arg-type]


def _choice(*choices: str, default: str | tuple[str, str] = "", **rest: object) -> ValueSpec:
    pair = default if isinstance(default, tuple) else (default, default)
    return ValueSpec("choice", pair if pair[0] else None, choices=choices, **rest)  # type: ignore[arg-type]


def _text(default: str | None = None) -> ValueSpec:
    return ValueSpec("text", None if default is None else (default, default), listed=False)


def _likely(cause: str) -> ValueSpec:
    """Odds of a cause before anything is read; that nothing is wrong stays possible."""
    return ValueSpec("number", ("1", "1"), low="0", high="1000", positive=cause == "sound", listed=False)


NAME, SPOT = ValueSpec("name", required=True), ValueSpec("spot", required=True)
PLACE: dict[str, ValueSpec | TableSpec | TableListSpec] = {  # where something is on the lid
    "run": NAME,
    "along": _length(required=True, low="-300 m"),
    "back": _length(required=True, low="-1 m"),
}
OBSTACLES = (
    "light", "fan", "heater", "speaker", "screen", "door glass",
    "column", "beam", "vent", "outlet", "grill", "other",
)  # fmt: skip
SIDES = ("edge", "back", "start", "end")  # of the lid, where a screen may stand
FITTINGS = (  # the fittings whose loss is known; a test holds this list to physics.pipe
    "elbow", "elbow 45", "tee run", "tee branch", "union", "coupling", "ball valve", "gate valve",
    "globe valve", "angle valve", "solenoid valve", "check valve", "water meter",
)  # fmt: skip
MATERIALS = ("stainless 304", "stainless 316", "copper", "pvc", "pex", "nylon")

_PATIO: dict[str, ValueSpec | TableSpec | TableListSpec] = {
    "name": NAME,
    "height": _length("10 ft", "3 m", low="1.5 m", high="30 m"),
    "depth": _length(required=True, low="300 mm", high="100 m", like=("10 ft", "3 m")),
    "line_behind_edge": _length("6 in", "150 mm", high="3 m"),
    "back": _choice("wall", "open", default="wall"),
    "house": TableSpec(
        {
            "above_lid": _length("0 ft", "0 m", high="30 m"),
            "past_start": _length("10 ft", "3 m", high="100 m"),
            "past_end": _length("10 ft", "3 m", high="100 m"),
            "depth": _length("30 ft", "9 m", positive=True, high="100 m"),
        }
    ),
    "edge_beam": TableSpec(
        {"width": _length("3-1/2 in", "90 mm", high="2 m"), "drop": _length("0 in", "0 mm", high="3 m")}
    ),
    "plaster": TableSpec(
        {
            "system": _choice("three-coat", "one-coat", "direct", "none", default="three-coat"),
            "thickness": _length(high="150 mm", like=("7/8 in", "22 mm")),
            "sheathing": _length(high="300 mm", like=("1 in", "25 mm")),
            "trim": _length("1/2 in", "13 mm", high="150 mm"),
            "tolerance": _length("1/4 in", "6 mm", high="50 mm"),
        }
    ),
    "marks": TableSpec(
        {
            "pitch": _length("24 in", "600 mm", low="25 mm", high="6 m"),
            "closest": _length("18 in", "450 mm", low="25 mm", high="6 m"),
            "widest": _length("36 in", "900 mm", low="25 mm", high="12 m"),
            "from_wall": _length("24 in", "600 mm", high="6 m"),
            "hole": _length("1 in", "25 mm", positive=True, high="300 mm"),
            "clear_of_members": _length("3/4 in", "20 mm", high="300 mm"),
            "clear_of_joints": _length("3 in", "75 mm", high="1 m"),
            "grid": _length("1/8 in", "5 mm", low="0.5 mm", high="100 mm"),
        }
    ),
    "run": TableListSpec(
        TableSpec(
            {
                "name": NAME,
                "length": _length(required=True, positive=True, like=("20 ft", "6 m")),
                "starts_at": _choice("wall", "open"),
                "then": _choice("inside corner", "outside corner", "end"),
                "ends_at": _choice("wall", "open"),
                "datum": TableSpec({"end": _choice("start", "end"), "surface": ValueSpec("text")}),
                "framing": TableSpec(
                    {
                        "lies": _choice("across", "along", default="across"),
                        "spacing": _length(positive=True, high="10 m", like=("16 in", "400 mm")),
                        "first": _length(high="10 m", like=("15-1/4 in", "380 mm")),
                        "centres": _length(low="-300 m", many="list", most=2000),
                        "width": _length("1-1/2 in", "45 mm", positive=True, high="1 m"),
                        "depth": _length("9-1/4 in", "235 mm", positive=True, high="2 m"),
                        "covers_corner": ValueSpec("flag", ("false", "false"), listed=False),
                    }
                ),
                "joints": TableListSpec(
                    TableSpec(
                        {
                            "name": NAME,
                            "along": _length(required=True, low="-300 m"),
                            "on": _choice("member", "blocking", default="member", listed=False),
                        }
                    ),
                    by="name",
                ),
                "fixed": TableListSpec(
                    TableSpec(
                        {
                            "name": NAME,
                            "along": _length(required=True, low="-300 m"),
                            "drilled": ValueSpec("flag", ("false", "false"), listed=False),
                        }
                    ),
                    by="name",
                ),
            }
        ),
        by="name",
        most=40,
        required=True,
    ),
    "obstacle": TableListSpec(
        TableSpec(
            {
                "name": NAME,
                "kind": _choice(*OBSTACLES, required=True),
                **PLACE,
                "size": _length(many="size", high="100 m", like=("24 in", "600 mm")),
                "clearance": _length(high="30 m", like=("3 ft", "900 mm")),
                "air_speed": _quantity("speed", low="0 m/s", high="10 m/s"),
            }
        ),
        by="name",
    ),
    "seat": TableListSpec(TableSpec({"name": NAME, **PLACE}), by="name", most=100),
    "screen": TableListSpec(
        TableSpec(
            {
                "name": NAME,
                "run": NAME,
                "side": _choice(*SIDES, default="edge", listed=False),
                "from": _length(low="-300 m", like=("0 ft", "0 m")),
                "to": _length(low="-300 m", like=("6 ft", "2 m")),
                "out": _length("0 ft", "0 m", high="30 m"),
                "height": _length(required=True, positive=True, high="30 m", like=("6 ft", "1.8 m")),
                "open": _quantity("share", "0 %", low="0 %", high="95 %"),
            },
            together=("from", "to"),
        ),
        by="name",
        most=100,
    ),
}

OWN_TEMPERATURE = _quantity("temperature", low="0.5 degC", high="95 degC")
OWN_TUBE = TableSpec(  # what it leaves out is as [line.tube] says
    {
        "outside": _length(required=True, low="1 mm", high="150 mm", like=("3/8 in", "10 mm")),
        "wall": _length(required=True, positive=True, high="50 mm", like=("0.035 in", "1 mm")),
        "material": _choice(*MATERIALS),
        "temper": _choice("annealed", "drawn"),
        "stick": _length(low="100 mm", high="300 m"),
        "kerf": _length(high="10 mm", like=("1/16 in", "1.5 mm")),
        "joints": ValueSpec("text"),
        "rated": _quantity("pressure", low="0 bar", high="1000 bar", positive=True),
        "joints_rated": _quantity("pressure", low="0 bar", high="1000 bar", positive=True),
    },
    optional=True,
)


def _own_nozzle(required: bool) -> TableSpec:
    """A nozzle in full: nothing of it is taken from [line.nozzle]."""
    return TableSpec(
        {
            "label": ValueSpec("text"),
            "flow": _quantity("flow", low="0 L/h", high="600 L/h", positive=True, required=True),
            "at": _quantity("pressure", low="0.1 bar", high="200 bar", required=True),
            "exponent": ValueSpec("number", ("0.5", "0.5"), low="0.3", high="1", listed=False),
            "drop_median": _length(low="1 um", high="2 mm", like=("50 um", "50 um")),
            "drop_sauter": _length(low="1 um", high="2 mm", like=("50 um", "50 um")),
            "drop_spread": ValueSpec("number", low="1.5", high="10", like=("2.5", "2.5")),
            "opens_at": _quantity("pressure", low="0 bar", high="50 bar"),
        },
        optional=not required,
    )


_LINE: dict[str, ValueSpec | TableSpec | TableListSpec] = {
    "tube_temperature": _quantity("temperature", "150 degF", "65 degC", "-40 degC", "93 degC"),
    "tube_temperature_reason": _text(""),
    "nozzle": TableSpec(
        {
            "label": ValueSpec("text"),
            "flow": _quantity("flow", low="0 L/h", high="600 L/h", positive=True),
            "at": _quantity("pressure", low="0.1 bar", high="200 bar"),
            "exponent": ValueSpec("number", ("0.5", "0.5"), low="0.3", high="1", listed=False),
            "drop_median": _length(low="1 um", high="2 mm", like=("50 um", "50 um")),
            "drop_sauter": _length(low="1 um", high="2 mm", like=("50 um", "50 um")),
            "drop_spread": ValueSpec("number", low="1.5", high="10", like=("2.5", "2.5")),
            "opens_at": _quantity("pressure", low="0 bar", high="50 bar"),
        },
        together=("flow", "at"),
    ),
    "tube": TableSpec(
        {
            "material": _choice(*MATERIALS, default="stainless 304"),
            "temper": _choice("annealed", "drawn"),
            "outside": _length("3/8 in", "10 mm", low="1 mm", high="150 mm"),
            "wall": _length("0.035 in", "1 mm", positive=True, high="50 mm"),
            "stick": _length("10 ft", "3 m", low="100 mm", high="300 m"),
            "kerf": _length("1/16 in", "1.5 mm", high="10 mm"),
            "joints": ValueSpec("text", ("compression", "compression")),
            "rated": _quantity("pressure", low="0 bar", high="1000 bar", positive=True),
            "joints_rated": _quantity("pressure", low="0 bar", high="1000 bar", positive=True),
        }
    ),
    "piece": TableListSpec(
        TableSpec(
            {
                "from": SPOT,
                "to": SPOT,
                "length": _length(required=True, high="1 km", like=("30 ft", "10 m")),
                "rise": _length(low="-100 m", high="100 m"),
                "fittings": ValueSpec("counts", choices=FITTINGS, listed=False),
                "check_opens_at": _quantity("pressure", "0 psi", "0 bar", "0 bar", "5 bar", listed=False),
                "temperature": OWN_TEMPERATURE,
                "tube": OWN_TUBE,
            }
        )
    ),
    "run": TableListSpec(
        TableSpec(
            {
                "name": NAME,
                "temperature": OWN_TEMPERATURE,
                "tube": OWN_TUBE,
                "nozzle": _own_nozzle(required=False),
            }
        ),
        by="name",
    ),
    "mark": TableListSpec(TableSpec({"name": NAME, "nozzle": _own_nozzle(required=True)}), by="name"),
    "zone": TableListSpec(
        TableSpec(
            {
                "name": NAME,
                "runs": ValueSpec("name", required=True, many="list", most=40),
                "valves": ValueSpec("text", many="list", most=40),
            }
        ),
        by="name",
        most=100,
    ),
    "together": TableListSpec(
        TableSpec({"zones": ValueSpec("name", required=True, many="list", most=100)}), most=100
    ),
    "drain": TableListSpec(
        TableSpec(
            {
                "at": SPOT,
                "slope": _quantity("slope", "1/8 in per ft", "10 mm per m", "0 %", "100 %"),
                "test_port": ValueSpec("flag", ("false", "false"), listed=False),
            }
        ),
        most=100,
        lone=True,
    ),
}


def _dissolved() -> ValueSpec:
    return _quantity("concentration", low="0 mg/L", high="100 g/L")


ROOT = TableSpec(
    {
        "format": ValueSpec("whole", required=True),
        "name": NAME,
        "about": _text(""),
        "units": _choice("us", "metric", default="us", listed=False),
        "language": _choice(default="en", listed=False),  # choices: the languages there are words for
        "revision": TableSpec(
            {"letter": _text("A"), "date": ValueSpec("date"), "status": _text("for rough-in")}
        ),
        "place": TableSpec(
            {
                "elevation": _quantity(
                    "length", low="-450 m", high="5000 m", required=True, like=("1200 ft", "400 m")
                ),
                "climate": _text(),
                "surroundings": _choice("open", "suburb", "city", default="suburb"),
                "shelter": _quantity("share", "50 %", low="0 %", high="100 %"),
                "daylight_saving": _choice("us", "eu", "none", default=("us", "eu"), listed=False),
                "north": _text(""),
                "bearing": _quantity("angle", "0 deg", low="-360 deg", high="360 deg"),
                "afternoon": TableListSpec(
                    TableSpec(
                        {
                            "name": _choice("hot", "typical", "humid", required=True),
                            "dry_bulb": _quantity(
                                "temperature", low="-40 degC", high="60 degC", required=True
                            ),
                            "relative_humidity": _quantity("share", low="0 %", high="100 %", required=True),
                            "wind": _quantity("speed", low="0 m/s", high="60 m/s"),
                            "wind_on_patio": _quantity("speed", low="0 m/s", high="20 m/s"),
                            "wind_from": _choice(*COMPASS),
                        }
                    ),
                    by="name",
                    most=3,
                ),
            }
        ),
        "patio": TableListSpec(TableSpec(_PATIO), by="name", most=50, required=True),
        "line": TableSpec(_LINE),
        "pump": TableSpec(
            {
                "set_pressure": _quantity("pressure", "1000 psi", "70 bar", "0.5 bar", "200 bar"),
                "place": _text(""),
                "motors": _choice("NEMA", "IEC"),
                "volts": _quantity("voltage", low="90 V", high="260 V"),
                "nameplate": TableSpec(
                    {
                        "flow": _quantity(
                            "flow",
                            low="0 L/h",
                            high="60 m3/h",
                            positive=True,
                            required=True,
                            like=("1 gpm", "4 L/min"),
                        ),
                        "pressure": _quantity(
                            "pressure", low="0 bar", high="400 bar", positive=True, required=True
                        ),
                        "motor": _quantity("power", low="0 W", high="200 kW", positive=True, required=True),
                        "volts": _quantity("voltage", low="1 V", high="1000 V", required=True),
                        "relief": _quantity("pressure", low="0 bar", high="400 bar", positive=True),
                    },
                    optional=True,
                ),
            },
            optional=True,
        ),
        "water": TableSpec(
            {
                "point": _text(""),
                "static": _quantity("pressure", "60 psi", "4 bar", "0.1 bar", "40 bar"),
                "residual": _quantity("pressure", low="0 bar", high="40 bar"),
                "at_flow": _quantity("flow", "3 gpm", "11 L/min", "0 L/h", "60 m3/h", positive=True),
                "temperature": _quantity("temperature", "77 degF", "25 degC", "0.5 degC", "70 degC"),
                "hardness": _dissolved(),
                "calcium": _dissolved(),
                "alkalinity": _dissolved(),
                "solids": _dissolved(),
                "ph": ValueSpec("number", low="0", high="14", like=("7", "7")),
                "filter": _length(positive=True, high="2 mm", like=("5 um", "5 um")),
                "treatment": _choice(
                    "none", "softener", "scale inhibitor", "reverse osmosis", default="none", listed=False
                ),
                "tank": TableSpec(
                    {
                        "lift": _quantity("pressure", low="0.1 bar", high="40 bar", required=True),
                        "at_flow": _quantity(
                            "flow", low="0 L/h", high="60 m3/h", positive=True, required=True
                        ),
                    },
                    optional=True,
                ),
            }
        ),
        "control": TableSpec(
            {
                "on_above": _quantity(
                    "temperature", "88 degF", "31 degC", "-40 degC", "60 degC", listed=False
                ),
                "off_below": _quantity(
                    "temperature", "85 degF", "29 degC", "-40 degC", "60 degC", listed=False
                ),
                "humidity_stop": _quantity("share", "55 %", low="0 %", high="100 %", listed=False),
                "wind_stop": _quantity("speed", "10 mph", "4.5 m/s", "0 m/s", "60 m/s", listed=False),
                "hours": ValueSpec("clock", ("14:00 20:00", "14:00 20:00"), many="pair", listed=False),
                "months": ValueSpec("month", ("May Sep", "May Sep"), many="pair", listed=False),
            }
        ),
        "call_back": TableSpec(
            {
                "line_scale": _quantity("pressure", low="1 bar", high="1000 bar"),
                "inlet_scale": _quantity("pressure", low="1 bar", high="100 bar"),
                "gauge_error": _quantity("share", "1 %", low="0.05 %", high="10 %", listed=False),
                "meter_error": _quantity("share", "1.5 %", low="0.1 %", high="20 %", listed=False),
                "cup_error": _quantity("share", "2 %", low="0.1 %", high="20 %", listed=False),
                "likely": TableSpec({cause.replace("-", "_"): _likely(cause) for cause in CAUSES}),
            }
        ),
        "prices": TableSpec(
            {
                "currency": ValueSpec("text", ("USD", "EUR"), listed=False),
                "water": _quantity("price_volume"),
                "electricity": _quantity("price_energy"),
                "tube": _quantity("price_length"),
                "nozzle": _quantity("price_each"),
            }
        ),
        "dates": TableSpec({"scratch_coat": ValueSpec("date")}),
        "paper": TableSpec(
            {"sheet": _choice("11x17", "letter", "A3", "A4", default=("11x17", "A3"), listed=False)}
        ),
    }
)
