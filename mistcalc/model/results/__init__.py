"""What we derive: the nouns rooms hand on. SI and kelvin; water pressure is gauge, air pressure absolute.

Nouns of one case hold tuples and compare exactly. Weather, Air and Cooling hold arrays and
compare by `key`, a digest of what made them.

Plan coordinates: x along the first run's open edge from its start, y toward the house, metres; (0, 0)
is the first run's start on the open edge. Distances `along` are from the run's datum; `tube_along` is
from the run's tube start, in the direction the open edge is walked.
"""

from mistcalc.model.results.air import Air, DesignHour, Weather
from mistcalc.model.results.as_built import AsBuilt
from mistcalc.model.results.calendar import Calendar, CalendarDay, CalendarStep
from mistcalc.model.results.carpentry import Blocking, BoredBack, BoredRun, Carpentry
from mistcalc.model.results.change import MarkChange, PlanChange, ThingChange, things_of
from mistcalc.model.results.cooling import (
    BAND,
    COMFORT_COLUMNS,
    FATES,
    KNOWABLE,
    PLACES,
    ColdLies,
    Comfort,
    ComfortIndexName,
    Cooling,
    CoolingMap,
    InformationValue,
    MistAdvice,
    MistVerdict,
    RangeDriver,
    Shares,
    Stratification,
    Wetness,
    WindClass,
    WindSweep,
    quantiles,
)
from mistcalc.model.results.cut_plan import CutPiece, CutPlan, Stick, TubeJoint
from mistcalc.model.results.design import Design
from mistcalc.model.results.diagnosis import (
    CauseShare,
    CommissioningReadings,
    Diagnosis,
    ExpectedReading,
    IsolationStep,
    NextReading,
    Readings,
    ServiceVisit,
)
from mistcalc.model.results.finding import LEVELS, Audience, Finding, Level, Topic, Work
from mistcalc.model.results.first_cost import BidColumn, CostTotal, FirstCost, Part, PricedPart
from mistcalc.model.results.found_rule import (
    RULE_PARTS,
    FoundRule,
    RulePart,
    RulePartName,
    RuleScore,
    RuleTiming,
)
from mistcalc.model.results.layout import (
    Blocked,
    Clash,
    Fix,
    HolesVerdict,
    JointLine,
    Layout,
    Lid,
    Mark,
    Member,
    PlacedObstacle,
    PlacedScreen,
    PlacedSeat,
    Point,
    RunLine,
)
from mistcalc.model.results.line import (
    Line,
    LineNode,
    LineTube,
    MarkFlow,
    SetFlow,
    SolvedLine,
    WaterState,
    ZoneFlow,
    ZonePiping,
)
from mistcalc.model.results.line_sizing import (
    FillAndDrain,
    InletConditions,
    LineSizing,
    LineVerdict,
    PumpCheck,
    RunGrowth,
    TubeLoads,
    Verdict,
    WaterQuality,
    WaterUse,
    ZoneDrain,
)
from mistcalc.model.results.lot_answer import LotAfternoon, LotAnswer
from mistcalc.model.results.measuring_day import CalibratedRanges, MeasuredCooling, Sensors, UpdatedRange
from mistcalc.model.results.options import (
    BREAKS,
    SAME,
    BesideIt,
    BuildOption,
    OptionLadder,
    SeatAir,
    Wishes,
    YearTaken,
)
from mistcalc.model.results.pressure_test import (
    FrostHours,
    GaugeReading,
    GaugeReadingErrors,
    LowPressureWatch,
    MissingReading,
    PressureBounds,
    PressureTest,
    PressureTestKind,
    PressureTestOutcome,
    PressureTestPlan,
    PressureTestStep,
    PressureTestVerdict,
    WatchStep,
    WorkingPressureTest,
)
from mistcalc.model.results.season import (
    HARMS,
    KEPT_OFF,
    OUTCOMES,
    SERVICES,
    Band,
    HourlyUse,
    PatioSeason,
    Season,
    SeasonHours,
    SeasonLimits,
    SeasonMoney,
    hour_bands,
    month_bands,
    per_evening,
    times,
    year_band,
    year_middle,
)
from mistcalc.model.results.sun import PatioSun, ShadeScreen, SunMap, SunPath, SunSpell
