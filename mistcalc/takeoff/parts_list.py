"""What to buy: the materials list, from the marks and the solved line.

Thin on purpose: tube is counted as `cut_plan` saws it; nothing here is priced. Rules marked "common
practice" have no published source and are stated as constants so that they can be argued with.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Sequence
from itertools import pairwise

from mistcalc.model.practice import FILTER_MOST, STATIC_MOST
from mistcalc.model.project import Plumbing, Project, Tube
from mistcalc.model.quantities import Metre
from mistcalc.model.results import CutPlan, Layout, Line, Part
from mistcalc.takeoff.cut_plan import mark_nodes
from mistcalc.units import gauge_scale, parse

SPARE_NOZZLES = 0.10  # share handed over as spares; common practice, no source
FEED_CLIP = 1.83  # m between clips on feed pieces (6 ft); common practice, check the local code
ISOLATING = ("ball valve", "gate valve", "globe valve")
STRAIGHT = 6.5  # m: tube is sold straight up to about 6 m or 20 ft, longer as a coil; common practice
# A pump is stopped below, as its maker says; common practice, 5-20 psi.
CUT_OUT = parse("10 psi", "pressure")


def list_parts(
    project: Project, layouts: Sequence[Layout], line: Line, plans: Sequence[CutPlan]
) -> tuple[Part, ...]:
    """Rows of the materials list, in the order a fitter walks the line: pump set to spares. plans: how its
    tube is cut."""
    return (
        *_pump_set(project, line),
        *_tube(project, layouts, line, plans),
        *_fittings(project, layouts, line),
        *_at_the_marks(project, layouts),
    )


def _pump_set(project: Project, line: Line) -> Iterable[Part]:
    plumbing, duty = project.plumbing, line.duty
    pump, worst = plumbing.pump, (duty.relief_range or (plumbing.working, plumbing.working))[1]
    if pump is not None:
        flow = pump.nameplate.flow if pump.nameplate is not None else duty.pick_flow
        size = (("flow", flow), ("pressure", pump.set_pressure), ("motor", duty.pick_motor))
        yield Part("pump", 1, "", (*size, ("volts", duty.pick_volts)))
        yield Part("regulator", 1, "", size[:2])
        opens = tuple(zip(("low", "high"), duty.relief_range or (), strict=False))
        yield Part("relief-valve", 1, "", (*opens, ("flow", flow)))
        yield Part("cut-out", 1, "", (("pressure", CUT_OUT),))
        if duty.full_load_amps is not None:
            amps = (("full_load", duty.full_load_amps), ("circuit", duty.circuit_amps))
            more = (("volts", duty.pick_volts), ("breaker", duty.breaker_amps))
            yield Part("circuit", 1, "", (*amps, *more))
        yield Part("union", 2, "", (("outside", plumbing.tube.outside),))
    yield from _gauges(project)
    fine = plumbing.water.filter or FILTER_MOST * duty.water.orifice
    yield Part("filter", 1, "", (("size", fine),))
    yield Part("backflow", 1, "")
    if plumbing.water.static > STATIC_MOST:
        yield Part("reducing-valve", 1, "", (("pressure", STATIC_MOST),))
    fitted = Counter[str]()
    for piece in plumbing.every_piece:
        fitted.update(dict(piece.fittings))
    if not any(fitted[valve] for valve in ISOLATING):
        yield Part("isolation-valve", 1, "")
    valves = sum(len(zone.piping.valves) for zone in line.zones)
    if valves > fitted["solenoid valve"]:
        yield Part("zone-valve", valves - fitted["solenoid valve"], "", (("pressure", worst),))
    scale = gauge_scale(plumbing.working, project.units)
    for drain in plumbing.drains:
        yield Part("drain-valve", 1, "", (("at", str(drain.at)), ("pressure", worst)))
        if drain.test_port:
            yield Part("test-port", 1, "", (("at", str(drain.at)), ("scale", scale)))


def _gauges(project: Project) -> Iterable[Part]:
    """A gauge where the line's pressure is set or begins, and one before the filter."""
    plumbing, system = project.plumbing, project.units
    at = "gauge-pump" if plumbing.pump is not None else "gauge-start"
    yield Part(at, 1, "", (("scale", gauge_scale(plumbing.working, system)),))
    yield Part("gauge-inlet", 1, "", (("scale", gauge_scale(plumbing.water.static, system)),))


def _tube(
    project: Project, layouts: Sequence[Layout], line: Line, plans: Sequence[CutPlan]
) -> Iterable[Part]:
    """Sticks, couplings and clips, each kind of tube by itself."""
    bought = _lengths(project.plumbing, line)
    runs = {run.name for layout in layouts for run in layout.lid.rows}
    clips = Counter[Metre]()
    by_tube = {plan.tube: plan for plan in plans}
    for tube, lengths in bought.items():
        if tube in by_tube:
            yield from _sticks(by_tube[tube], math.fsum(length for _, length in lengths))
        feed = math.fsum(length for run, length in lengths if run not in runs)
        clips[tube.outside] += math.ceil(feed / FEED_CLIP)
    for growth in line.duty.tube.runs:
        clips[project.plumbing.tube_on(growth.run).outside] += growth.clip_count
    for outside, count in clips.items():
        if count:
            yield Part("clip", count, "", (("outside", outside),))
    held = (run.run for run in line.duty.tube.runs if run.held == "middle" and run.clips)
    anchors = Counter(project.plumbing.tube_on(run).outside for run in held)
    for outside, count in anchors.items():
        yield Part("anchor", count, "", (("outside", outside),))


def _lengths(plumbing: Plumbing, line: Line) -> dict[Tube, list[tuple[str, Metre]]]:
    """(run, length) of every tube of a length, by kind: the line's, and what is before the pump."""
    lengths_by_kind: dict[Tube, list[tuple[str, Metre]]] = {}
    for tube in line.tubes:
        lengths_by_kind.setdefault(tube.tube or plumbing.tube, []).append((tube.run, tube.length))
    for piece in plumbing.inlet:
        lengths_by_kind.setdefault(piece.tube or plumbing.tube, []).append(("", piece.length))
    some = (
        (kind, [length for length in lengths if length[1] > 0]) for kind, lengths in lengths_by_kind.items()
    )
    return {kind: lengths for kind, lengths in some if lengths}


def _sticks(plan: CutPlan, total: Metre) -> Iterable[Part]:
    """Straight lengths are sawn; what is longer than those comes as a coil."""
    tube = plan.tube
    detail = (
        ("material", tube.material),
        ("outside", tube.outside),
        ("wall", tube.wall),
        ("stick", tube.stick),
        ("total", total),
    )
    yield Part("coil" if tube.stick > STRAIGHT else "tube", len(plan.sticks), "", detail)
    if plan.joints:
        yield Part("coupling", len(plan.joints), "", _made_for(tube))


def _made_for(tube: Tube) -> tuple[tuple[str, object], ...]:
    return (("outside", tube.outside), ("joints", tube.joints))


def _fittings(project: Project, layouts: Sequence[Layout], line: Line) -> Iterable[Part]:
    plumbing = project.plumbing
    meets = Counter(end for tube in line.tubes for end in (tube.start, tube.end))
    meets[line.supply_node] += 1  # the pump or the main itself
    kinds: dict[str, Tube] = {}  # the widest tube at each place: a fitting is bought for that, and reduced
    for piece in line.tubes:
        kind = piece.tube or plumbing.tube
        for end in (piece.start, piece.end):
            kinds[end] = max(kinds.get(end, kind), kind, key=lambda tube: tube.outside)
    marks = mark_nodes(layouts, line)
    meets.update({str(drain.at) for drain in plumbing.drains} & set(meets))  # its valve is one more branch
    # A mark where the tube goes on wants a tee down, where it ends an elbow; a junction wants a tee, but for
    # one that its piece lists; tube that ends elsewhere a cap, or the drain's valve. Where tube goes on past
    # a drain, that is a junction too.
    wanted: Counter[tuple[str, Metre, str]] = Counter()
    for name, count in meets.items():
        tube = kinds.get(name, plumbing.tube)
        part = "tee" if count > 1 else "stub-elbow"
        if name in marks:
            wanted[part, tube.outside, tube.joints] += max(count - 1, 1)
        elif count > 2:
            wanted["tee", tube.outside, tube.joints] += count - 2
        elif count == 1:
            wanted["end-cap", tube.outside, tube.joints] += 1
    fitted: Counter[tuple[str, Metre, str]] = Counter()
    for stated in plumbing.every_piece:
        tube = stated.tube or plumbing.tube
        for kind_of, count in stated.fittings:
            fitted[kind_of, tube.outside, tube.joints] += count
    _without_listed(wanted, meets, marks, fitted)
    for part in ("tee", "stub-elbow", "end-cap"):
        for (name, outside, joints), count in sorted(wanted.items()):
            if name == part and count > 0:
                yield Part(part, count, "", (("outside", outside), ("joints", joints)))
    for sizes, count in sorted(_changes(plumbing, line).items()):
        yield Part("reducer", count, "", (("large", sizes[1]), ("small", sizes[0])))
    for (name, outside, joints), count in sorted(fitted.items()):
        if count:
            yield Part("fitting", count, "", (("fitting", name), ("outside", outside), ("joints", joints)))


def _without_listed(
    wanted: Counter[tuple[str, Metre, str]],
    meets: Counter[str],
    marks: set[str],
    fitted: Counter[tuple[str, Metre, str]],
) -> None:
    """Tees of junctions that the pieces list already are bought once."""
    junctions = sum(count - 2 for name, count in meets.items() if count > 2 and name not in marks)
    listed = sum(count for (name, _, _), count in fitted.items() if name in ("tee run", "tee branch"))
    spare = min(junctions, listed)
    for key in [key for key in wanted if key[0] == "tee"]:
        taken = min(spare, wanted[key])
        wanted[key] -= taken
        spare -= taken


def _changes(plumbing: Plumbing, line: Line) -> Counter[tuple[Metre, Metre]]:
    """How many joints change the size of tube, by (small, large) outside."""
    sizes: dict[str, set[Metre]] = {}
    for tube in line.tubes:
        for end in (tube.start, tube.end):
            sizes.setdefault(end, set()).add((tube.tube or plumbing.tube).outside)
    return Counter(pair for size in sizes.values() for pair in pairwise(sorted(size)))


def _at_the_marks(project: Project, layouts: Sequence[Layout]) -> Iterable[Part]:
    marks = [mark for layout in layouts for mark in layout.marks]
    if not marks:
        return
    # Stubs of one length are one row: patios may differ in plaster.
    for nominal, count in sorted(Counter(mark.stub_nominal for mark in marks).items()):
        yield Part("stub", count, "", (("below", nominal),))
    yield Part("plug", len(marks), "")
    kinds = Counter(project.plumbing.nozzle_at(mark.run, mark.name) for mark in marks)
    for nozzle, count in kinds.items():
        yield Part("nozzle", count, "", (("nozzle", nozzle.label),))
    for nozzle, count in kinds.items():
        yield Part("spare-nozzle", math.ceil(SPARE_NOZZLES * count), "", (("nozzle", nozzle.label),))
