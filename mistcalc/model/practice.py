"""Figures that rooms choose by, checks judge by and sheets tell: once each, so that what is chosen passes.

Common practice without a source unless said.
"""

from mistcalc.units import parse

PUMP_USED_MOST = 0.90  # of a pump's flow by the nozzles; 80 to 90 %
HIGH_VOLTS = 160.0  # between the single-phase supplies of about 120 and about 230 V
MOTOR_MARGIN = 1.15  # motor over shaft power
AIR_LEFT = 100e-6 / 0.86e-3  # of a filled line's volume, at 1 atm: as much air may be trapped; judgement
PATIO_HEIGHT = 1.5  # m, where a patio's wind is told: the middle of a 3 m opening
MOST_MARKS = 10_000  # more than any house: a lid past this is not laid; judgement
FILTER_MOST = 1 / 7  # of the smallest orifice
STATIC_MOST = parse("80 psi", "pressure")  # above it a reducing valve; International Plumbing Code 604.8
PLASTICS = ("pvc", "pex", "nylon")
MARK_ALONG = parse("1/4 in", "length")  # a mark is held so near along its run; judgement
MARK_ACROSS = parse("1/8 in", "length")  # and across it
CHECK_WITHIN = parse("1/4 in", "length")  # a check distance off by more stops the work
LATH_FASTENERS = parse("1-3/4 in", "length")  # so far they reach into a member
BAY = parse("2 ft", "length")  # the usual bay: nothing farther off is next to a mark; judgement
BORE_EDGE = parse(
    "2 in", "length"
)  # from a bore to either edge of a joist, and from one to the next; IRC R502.8.1
BORE_SHARE = 1 / 3  # of a joist's depth, the most a bore may be wide; IRC R502.8.1 (both from memory)
NAIL_PLATE = parse("1-1/4 in", "length")  # less from a bore to an edge is plated; IRC P2603.2.1, from memory
# What is tried when a line is built otherwise: pitches, setbacks; nozzles as (label, m3/s, Pa), their flow at
# 1,000 psi from one trade table, no standard; pressures at the pump.
PITCHES = {
    "us": tuple(parse(text, "length") for text in ("18 in", "24 in", "30 in", "36 in")),
    "metric": tuple(parse(text, "length") for text in ("450 mm", "600 mm", "750 mm", "900 mm")),
}
SETBACKS = {  # of the line behind the lid's edge
    "us": tuple(parse(text, "length") for text in ("6 in", "12 in", "24 in")),
    "metric": tuple(parse(text, "length") for text in ("150 mm", "300 mm", "600 mm")),
}
# Where a second row is tried: under lids of this depth at least, half way to the house. One trade page, no
# standard: narrower patios have one row, deeper ones than the mist reaches a line in the middle. A third of
# the way from either is tried as well; judgement.
TWO_ROWS = {"us": parse("8 ft", "length"), "metric": parse("2.4 m", "length")}
ROW_DEPTHS = (1 / 2, 1 / 3, 2 / 3)  # of the way from the edge to the house
SCREEN = {"us": parse("4 ft", "length"), "metric": parse("1.2 m", "length")}  # its height, beside the ways
NOZZLE_CLASSES = tuple(
    (f"{orifice} in orifice", parse(flow, "flow"), parse("1000 psi", "pressure"))
    for orifice, flow in (
        ("0.006", "0.0122 gpm"), ("0.008", "0.0208 gpm"), ("0.012", "0.0290 gpm"), ("0.016", "0.0398 gpm"),
    )
)  # fmt: skip
PRESSURES = tuple(parse(text, "pressure") for text in ("800 psi", "1000 psi"))
