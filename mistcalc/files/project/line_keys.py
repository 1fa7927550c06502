"""The keys of [line]: nozzle, tube, the pieces between runs, zones, drains."""

from __future__ import annotations

from mistcalc.files.project.key_specs import (
    NAME,
    SPOT,
    Keys,
    TableListSpec,
    TableSpec,
    ValueSpec,
    choice,
    length,
    quantity,
    text,
)

FITTINGS = (  # the fittings whose loss is known; a test holds this list to physics.pipe
    "elbow", "elbow 45", "tee run", "tee branch", "union", "coupling", "ball valve", "gate valve",
    "globe valve", "angle valve", "solenoid valve", "check valve", "water meter",
)  # fmt: skip
MATERIALS = ("stainless 304", "stainless 316", "copper", "pvc", "pex", "nylon")


OWN_TEMPERATURE = quantity("temperature", low="0.5 degC", high="95 degC")
OWN_TUBE = TableSpec(  # what it leaves out is as [line.tube] says
    {
        "outside": length(required=True, low="1 mm", high="150 mm", like=("3/8 in", "10 mm")),
        "wall": length(required=True, positive=True, high="50 mm", like=("0.035 in", "1 mm")),
        "material": choice(*MATERIALS),
        "temper": choice("annealed", "drawn"),
        "stick": length(low="100 mm", high="300 m"),
        "kerf": length(high="10 mm", like=("1/16 in", "1.5 mm")),
        "joints": ValueSpec("text"),
        "rated": quantity("pressure", low="0 bar", high="1000 bar", positive=True),
        "joints_rated": quantity("pressure", low="0 bar", high="1000 bar", positive=True),
        "take_up": length(high="150 mm", like=("5/16 in", "8 mm")),
    },
    optional=True,
)


def _nozzle(required: bool) -> Keys:
    return {
        "label": ValueSpec("text"),
        "flow": quantity("flow", low="0 L/h", high="600 L/h", positive=True, required=required),
        "at": quantity("pressure", low="0.1 bar", high="200 bar", required=required),
        "exponent": ValueSpec("number", ("0.5", "0.5"), low="0.3", high="1", listed=False),
        "drop_median": length(low="1 um", high="2 mm", like=("50 um", "50 um")),
        "drop_sauter": length(low="1 um", high="2 mm", like=("50 um", "50 um")),
        "drop_spread": ValueSpec("number", low="1.5", high="10", like=("2.5", "2.5")),
        "opens_at": quantity("pressure", low="0 bar", high="50 bar"),
    }


OWN_NOZZLE = _nozzle(required=True)  # in full: nothing of it is taken from [line.nozzle]

LINE: Keys = {
    "tube_temperature": quantity("temperature", "150 degF", "65 degC", "-40 degC", "93 degC"),
    "tube_temperature_reason": text(""),
    "nozzle": TableSpec(_nozzle(required=False), together=("flow", "at")),
    "tube": TableSpec(
        {
            "material": choice(*MATERIALS, default="stainless 304"),
            "temper": choice("annealed", "drawn"),
            "outside": length("3/8 in", "10 mm", low="1 mm", high="150 mm"),
            "wall": length("0.035 in", "1 mm", positive=True, high="50 mm"),
            "stick": length(low="100 mm", high="300 m", like=("10 ft", "3 m")),
            "kerf": length("1/16 in", "1.5 mm", high="10 mm"),
            "joints": ValueSpec("text"),
            "rated": quantity("pressure", low="0 bar", high="1000 bar", positive=True),
            "joints_rated": quantity("pressure", low="0 bar", high="1000 bar", positive=True),
            "take_up": length(high="150 mm", like=("5/16 in", "8 mm")),
        }
    ),
    "piece": TableListSpec(
        TableSpec(
            {
                "from": SPOT,
                "to": SPOT,
                "length": length(required=True, high="1 km", like=("30 ft", "10 m")),
                "rise": length(low="-100 m", high="100 m"),
                "fittings": ValueSpec("counts", choices=FITTINGS, listed=False),
                "check_opens_at": quantity("pressure", "0 psi", "0 bar", "0 bar", "5 bar", listed=False),
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
                "nozzle": TableSpec(OWN_NOZZLE, optional=True),
            }
        ),
        by="name",
    ),
    "mark": TableListSpec(TableSpec({"name": NAME, "nozzle": TableSpec(OWN_NOZZLE)}), by="name"),
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
                "slope": quantity("slope", "1/8 in per ft", "10 mm per m", "0 %", "100 %"),
                "test_port": ValueSpec("flag", ("false", "false"), listed=False),
            }
        ),
        most=100,
        lone=True,
    ),
}
