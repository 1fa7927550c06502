"""Every key of a project file: its kind, its default, its range. Read by the reader and by `rewrite`.

A default is written as a person would write it, for US and for metric files, and is read the same way.
Defaults and clearances are common practice without a source unless a comment names one; each that the file
does not state is listed on every sheet. What can only be settled by looking at other keys (a light's
clearance, the nozzle of a line without a pump) is in `dependent_defaults.py`.
"""

from __future__ import annotations

from mistcalc.files.project.key_specs import (
    NAME,
    TableListSpec,
    TableSpec,
    ValueSpec,
    choice,
    length,
    quantity,
    text,
)
from mistcalc.files.project.line_keys import FITTINGS, LINE
from mistcalc.files.project.patio_keys import PATIO
from mistcalc.files.project.tariff_keys import TARIFF
from mistcalc.model.close_in import TRADES
from mistcalc.model.fault_priors import CAUSES
from mistcalc.model.parts import LATER, ROUGH_IN, price_name
from mistcalc.model.project import COMPASS, RARER, TYPICAL_YEAR, WEEKDAYS

FORMAT = 1
PRICED = tuple(
    dict.fromkeys((*(price_name(part) for part in (*ROUGH_IN, *LATER) if part != "fitting"), *FITTINGS))
)


def _likely(cause: str) -> ValueSpec:
    """Odds of a cause before anything is read; that nothing is wrong stays possible."""
    return ValueSpec("number", ("1", "1"), low="0", high="1000", positive=cause == "sound", listed=False)


def _dissolved() -> ValueSpec:
    return quantity("concentration", low="0 mg/L", high="100 g/L")


ROOT = TableSpec(
    {
        "format": ValueSpec("whole", required=True),
        "name": NAME,
        "about": text(""),
        "mirrored_from": text(""),
        "units": choice("us", "metric", default="us", listed=False),
        "defaults": choice("us", "metric"),
        "language": choice(default="en", listed=False),  # choices: the languages there are words for
        "crew_language": choice(),
        "revision": TableSpec(
            {"letter": text("A"), "date": ValueSpec("date"), "status": text("for rough-in"), "keep": text("")}
        ),
        "place": TableSpec(
            {
                "elevation": quantity(
                    "length", low="-450 m", high="5000 m", required=True, like=("1200 ft", "400 m")
                ),
                "latitude": quantity("angle", low="-90 deg", high="90 deg", like=("32.3 deg", "32.3 deg")),
                "longitude": quantity(
                    "angle", low="-180 deg", high="180 deg", like=("-106.8 deg", "-106.8 deg")
                ),
                "climate": text(),
                "surroundings": choice("open", "suburb", "city", default="suburb"),
                "shelter": quantity("share", "50 %", low="0 %", high="100 %"),
                "daylight_saving": choice("us", "eu", "none", default=("us", "eu"), listed=False),
                "hot_afternoon": choice(TYPICAL_YEAR, *RARER, default=TYPICAL_YEAR, listed=False),
                "north": text(""),
                "bearing": quantity("angle", "0 deg", low="-360 deg", high="360 deg"),
                "afternoon": TableListSpec(
                    TableSpec(
                        {
                            "name": choice("hot", "typical", "humid", required=True),
                            "dry_bulb": quantity(
                                "temperature", low="-40 degC", high="60 degC", required=True
                            ),
                            "relative_humidity": quantity("share", low="0 %", high="100 %", required=True),
                            "wind": quantity("speed", low="0 m/s", high="60 m/s"),
                            "wind_on_patio": quantity("speed", low="0 m/s", high="20 m/s"),
                            "wind_from": choice(*COMPASS),
                        }
                    ),
                    by="name",
                    most=3,
                ),
            },
            together=("latitude", "longitude"),
        ),
        "patio": TableListSpec(TableSpec(PATIO), by="name", most=50, required=True),
        "line": TableSpec(LINE),
        "pump": TableSpec(
            {
                "set_pressure": quantity("pressure", "1000 psi", "70 bar", "0.5 bar", "200 bar"),
                "place": text(""),
                "motors": choice("NEMA", "IEC"),
                "volts": quantity("voltage", low="90 V", high="260 V"),
                "nameplate": TableSpec(
                    {
                        "flow": quantity(
                            "flow",
                            low="0 L/h",
                            high="60 m3/h",
                            positive=True,
                            required=True,
                            like=("1 gpm", "4 L/min"),
                        ),
                        "pressure": quantity(
                            "pressure", low="0 bar", high="400 bar", positive=True, required=True
                        ),
                        "motor": quantity("power", low="0 W", high="200 kW", positive=True, required=True),
                        "volts": quantity("voltage", low="1 V", high="1000 V", required=True),
                        "relief": quantity("pressure", low="0 bar", high="400 bar", positive=True),
                    },
                    optional=True,
                ),
            },
            optional=True,
        ),
        "water": TableSpec(
            {
                "point": text(""),
                "static": quantity("pressure", "60 psi", "4 bar", "0.1 bar", "40 bar"),
                "residual": quantity("pressure", low="0 bar", high="40 bar"),
                "at_flow": quantity("flow", "3 gpm", "11 L/min", "0 L/h", "60 m3/h", positive=True),
                "temperature": quantity("temperature", "77 degF", "25 degC", "0.5 degC", "70 degC"),
                "hardness": _dissolved(),
                "calcium": _dissolved(),
                "alkalinity": _dissolved(),
                "solids": _dissolved(),
                "ph": ValueSpec("number", low="0", high="14", like=("7", "7")),
                "filter": length(positive=True, high="2 mm", like=("5 um", "5 um")),
                "treatment": choice(
                    "none", "softener", "scale inhibitor", "reverse osmosis", default="none", listed=False
                ),
                "tank": TableSpec(
                    {
                        "lift": quantity("pressure", low="0.1 bar", high="40 bar", required=True),
                        "at_flow": quantity(
                            "flow", low="0 L/h", high="60 m3/h", positive=True, required=True
                        ),
                    },
                    optional=True,
                ),
            }
        ),
        "control": TableSpec(
            {
                "on_above": quantity("temperature", "88 degF", "31 degC", "-40 degC", "60 degC"),
                "off_below": quantity("temperature", "85 degF", "29 degC", "-40 degC", "60 degC"),
                "humidity_stop": quantity("share", "55 %", low="0 %", high="100 %"),
                "wind_stop": quantity("speed", "10 mph", "4.5 m/s", "0 m/s", "60 m/s"),
                "hours": ValueSpec("clock", ("14:00 20:00", "14:00 20:00"), many="pair"),
                "months": ValueSpec("month", ("May Sep", "May Sep"), many="pair"),
                "wind_measured_at": choice("mast", "patio", default="patio", listed=False),
                "not_from": choice(*COMPASS, many="list", most=7),
                "least_run": quantity("duration", "0 min", low="0 s", high="24 h", listed=False),
                "least_rest": quantity("duration", "0 min", low="0 s", high="24 h", listed=False),
                "days": choice(*WEEKDAYS, many="list", most=7),
                "most_a_day": quantity("volume", low="0 L", high="1000 m3", positive=True),
            }
        ),
        "call_back": TableSpec(
            {
                "line_scale": quantity("pressure", low="1 bar", high="1000 bar"),
                "inlet_scale": quantity("pressure", low="1 bar", high="100 bar"),
                "gauge_error": quantity("share", "1 %", low="0.05 %", high="10 %", listed=False),
                "meter_error": quantity("share", "1.5 %", low="0.1 %", high="20 %", listed=False),
                "cup_error": quantity("share", "2 %", low="0.1 %", high="20 %", listed=False),
                "likely": TableSpec({cause.replace("-", "_"): _likely(cause) for cause in CAUSES}),
            }
        ),
        "prices": TableSpec(
            {
                "currency": ValueSpec("text", ("USD", "EUR"), listed=False),
                "water": quantity("price_volume"),
                "electricity": quantity("price_energy"),
                "tube": quantity("price_length"),
                "nozzle": quantity("price_each"),
                "years": ValueSpec("number", low="1", high="50", like=("10", "10")),
                "part": TableListSpec(
                    TableSpec(
                        {
                            "name": choice(*PRICED, required=True),
                            "outside": length(low="1 mm", high="150 mm", like=("3/8 in", "10 mm")),
                            "price": quantity("price_each"),
                            "pack": ValueSpec("whole", low="1", high="10000"),
                        }
                    )
                ),
            }
        ),
        "tariff": TARIFF,
        "dates": TableSpec(
            {
                "scratch_coat": ValueSpec("date"),
                "work_days": choice(*WEEKDAYS, many="list", most=7),
                "days_off": ValueSpec("date", many="list", most=200),
                "step": TableListSpec(
                    TableSpec(
                        {
                            "name": NAME,
                            "trade": choice(*TRADES),
                            "days": ValueSpec("whole", low="0", high="120"),
                            "after": ValueSpec("spot", many="list", most=20),
                        }
                    ),
                    by="name",
                    most=20,
                ),
            }
        ),
        "alternate": TableListSpec(
            TableSpec({"name": NAME, "change": ValueSpec("changes", required=True)}), by="name", most=4
        ),
        "paper": TableSpec(
            {"sheet": choice("11x17", "letter", "A3", "A4", default=("11x17", "A3"), listed=False)}
        ),
    }
)
