"""What we derive: the nouns rooms hand on. SI and kelvin; water pressure is gauge, air pressure absolute.

Nouns of one case hold tuples and compare exactly. Weather, Air and Cooling hold arrays and
compare by `key`, a digest of what made them.

Plan coordinates: x along the first run's open edge from its start, y toward the house, metres; (0, 0)
is the first run's start on the open edge. Distances `along` are from the run's datum; `tube_along` is
from the run's tube start, in the direction the open edge is walked.
"""

from mistcalc.model.results.air import Air, StateCard, Weather
from mistcalc.model.results.callback import (
    CAUSES,
    READINGS,
    Cause,
    CauseShare,
    Diagnosis,
    ExpectedReading,
    IsolationStep,
    Judgement,
    NextReading,
    ReadingErrors,
    ReadingName,
    Readings,
    Sheet,
    Wet,
)
from mistcalc.model.results.cooling import (
    FEEL_COLUMNS,
    PLACES,
    Cooling,
    Driver,
    Feel,
    FeelIndex,
    Picture,
    Wetness,
)
from mistcalc.model.results.design import Design, Part
from mistcalc.model.results.duty import Duty
from mistcalc.model.results.finding import Finding, Level
from mistcalc.model.results.lid import (
    Blocked,
    Clash,
    Fix,
    JointLine,
    Layout,
    Lid,
    Mark,
    Member,
    Placed,
    PlacedSeat,
    Point,
    RunLine,
)
from mistcalc.model.results.line import (
    Line,
    LineNode,
    LineTube,
    MarkFlow,
    SolvedLine,
    WaterState,
    ZoneFlow,
)

__all__ = [
    "CAUSES",
    "FEEL_COLUMNS",
    "PLACES",
    "READINGS",
    "Air",
    "Blocked",
    "Cause",
    "CauseShare",
    "Clash",
    "Cooling",
    "Design",
    "Diagnosis",
    "Driver",
    "Duty",
    "ExpectedReading",
    "Feel",
    "FeelIndex",
    "Finding",
    "Fix",
    "IsolationStep",
    "JointLine",
    "Judgement",
    "Layout",
    "Level",
    "Lid",
    "Line",
    "LineNode",
    "LineTube",
    "Mark",
    "MarkFlow",
    "Member",
    "NextReading",
    "Part",
    "Picture",
    "Placed",
    "PlacedSeat",
    "Point",
    "ReadingErrors",
    "ReadingName",
    "Readings",
    "RunLine",
    "Sheet",
    "SolvedLine",
    "StateCard",
    "WaterState",
    "Weather",
    "Wet",
    "Wetness",
    "ZoneFlow",
]
