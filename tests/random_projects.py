"""Random projects over the whole schema, valid by construction: the text of a project file from a seed.

The keys come from `mistcalc.files.project.schema` itself. A new key is drawn from its choices or its range
with nothing to do (`tests/random_values.py`), and a test fails where a key is never drawn. What you may have
to add here:

* a key that hangs on others (names, ends, sizes that must not cross): give it to `Draw.table` where its
  table is made, None to leave it out;
* a new list of tables: a line where its home is made, as for `obstacle` in `_patio`. Until then it raises.

Three in ten projects take ordinary values alone; the others take some, or many, from the whole legal range.
"""

from __future__ import annotations

import datetime
from typing import Any

from mistcalc import units
from mistcalc.files import climate_sample_names
from mistcalc.files.project.schema import PRICED, WEEKDAYS
from mistcalc.model.close_in import SCRATCH, USUAL
from mistcalc.model.project import TYPICAL_YEAR, Corner, End
from mistcalc.model.run_extents import Reach, from_datum, lid_reach, spread_of
from tests.random_values import NAMES, Draw, Tree, lines_of, si

BENDS = ("inside bend", "outside bend")
SQUARE = ("inside corner", "outside corner")
THEN = {"inside": "inside corner", "outside": "outside corner", "straight": "straight on"}
MOST_MARKS = (12, 20, 30, 30, 60, 200)  # one is taken: about so many marks a patio, for the sake of time


JOINTS = ("compression", "soldered, 95-5", "brazed", "welded", "push-in", "crimp", "solvent cement", "flared")


def project_text(seed: int) -> str:
    """Text of a project file. The same seed gives the same text."""
    draw = Draw(seed)
    project = _project(draw)
    bends = _more_dice(draw, seed + 4_000_000)
    for patio in project["patio"]:
        _bends_and_tapers(bends, patio)
    rows = _more_dice(draw, seed + 1_000_000)  # their own: without second rows the rest is what it was
    for patio in project["patio"]:
        for run in patio["run"]:
            _second_row(
                rows, run, si(patio.get("line_behind_edge", "6 in")), si(run.get("depth", patio["depth"]))
            )
    more = _more_dice(draw, seed + 2_000_000)
    runs = [run for patio in project["patio"] for run in patio["run"] if "second_row" in run]
    line = project.get("line", {})
    pieces = line.get("piece", [])
    for run in runs if pieces else ():
        _row_piece(more, run, pieces)
    for tube in _tubes(line):
        _as_sold(more, tube)
    usual = _more_dice(draw, seed + 3_000_000).pick
    first = f'defaults = "{usual.choice(("us", "metric"))}"\n' if usual.random() < 0.1 else ""
    return first + "\n".join(lines_of(project, (), draw.pick)) + "\n"


def _bends_and_tapers(draw: Draw, patio: Tree) -> None:
    """Some corners bent open, and lids that grow deeper along their run: what lies on them stays on them."""
    runs, bent = patio["run"], draw.often(0.3)
    if _is_ring(runs):
        return
    for before, run, after in zip([None, *runs], runs, [*runs[1:], None], strict=False):
        if before and before["then"] in BENDS:
            run["depth"] = before.get("depth_at_end", before.get("depth", patio["depth"]))
        depth = run.get("depth", patio["depth"])
        deeper = after is not None and si(after.get("depth", patio["depth"])) > si(depth)
        square = before is not None and before["then"] in SQUARE
        if bent and run.get("then") in ("outside corner", "straight on") and not (square and deeper):
            run["then"] = "outside bend" if run["then"] != "straight on" else draw.pick.choice(BENDS)
            run["bend"] = draw.key("patio.run.bend")
        if square or run.get("then") in SQUARE:
            continue
        if draw.often(0.2):
            run["depth_at_end"] = draw.within(si(depth), min(1.5 * si(depth), 99.0))
        if run.get("then") in BENDS and after is not None and deeper:
            run["depth_at_end"] = after.get("depth", patio["depth"])  # no less room over the next one


def _more_dice(draw: Draw, seed: int) -> Draw:
    more = Draw(seed)
    more.system, more.used, more.stated = draw.system, draw.used, draw.stated
    return more


def _project(draw: Draw) -> Tree:
    patios = [_patio(draw, n) for n in range(draw.pick.choice((1, 1, 1, 1, 1, 1, 1, 1, 2, 3)))]
    pumped = draw.often(0.7)
    pump = draw.table(
        "pump", nameplate=draw.table("pump.nameplate") if draw.often(0.5 * draw.stated) else None
    )
    return draw.table(
        "",
        format=1,
        units=draw.system if draw.system == "metric" or draw.often(0.5) else None,
        defaults=None,  # by its own dice
        place=_place(draw),
        patio=patios,
        line=_line(draw, patios, pumped),
        pump=(pump or {"set_pressure": "900 psi"}) if pumped else None,
        dates=_dates(draw),
        **_money(draw),
        water=_ordered(draw, "water", "residual", "static", "pressure", **_hardness(draw)),
        control=_ordered(draw, "control", "off_below", "on_above", "temperature"),
        alternate=_alternates(draw, patios),
    )


def _part_prices(draw: Draw) -> list[Tree]:
    """How some parts are sold, each once."""
    names = draw.pick.sample(PRICED, draw.pick.choice((0, 0, 1, 3, 8)))
    return [draw.table("prices.part", name=name) for name in names]


def _alternates(draw: Draw, patios: list[Tree]) -> list[Tree]:
    """Each changes what no other key hangs on: in the house, in one patio or in every run."""
    found = []
    for n in range(draw.pick.choice((0, 0, 0, 1, 2))):
        alternate, patio = draw.table("alternate", name=f"alternate {n}"), draw.pick.choice(patios)["name"]
        more = ({}, {f"patio[{patio}].plaster.tolerance": "1/8 in"}, {"water.ph": 7.5},
                {"patio.run.framing.covers_corner": False})  # fmt: skip
        found.append({**alternate, "change": alternate["change"] | draw.pick.choice(more)})
    return found


def _money(draw: Draw) -> Tree:
    """Prices, and tariffs of what has none."""
    prices, of = draw.table("prices", part=_part_prices(draw)), {"water": "water", "power": "electricity"}
    services = [name for name in ("water", "sewer", "power") if of.get(name) not in prices]
    stated = {name: _tariff(draw, name) for name in services if draw.often(0.5 * draw.stated)}
    tariff = draw.table("tariff", **{**dict.fromkeys(("water", "sewer", "power")), **stated})
    return {"prices": prices, "tariff": tariff or None}


def _tariff(draw: Draw, service: str) -> Tree:
    """Tiers in order, one of them perhaps of some months only, the last without end."""
    at, kind, pick = f"tariff.{service}", "energy" if service == "power" else "volume", draw.pick
    tops = [draw.key(f"{at}.tier.up_to") for _ in range(pick.choice((0, 1, 2, 4)))]
    if len({si(top, kind) for top in tops}) < len(tops):
        tops = []
    tiers = [
        draw.table(f"{at}.tier", up_to=top, months=None)
        for top in sorted(tops, key=lambda top: si(top, kind))
    ]
    if tiers and draw.often(0.5):
        pick.choice(tiers)["months"] = draw.key(f"{at}.tier.months")
    tiers.append(draw.table(f"{at}.tier", up_to=None, months=None))
    given: Tree = {"minimum": draw.key(f"{at}.minimum")} if draw.often(draw.stated) else {"includes": None}
    if service == "sewer":  # winter is read by its own mean alone
        given |= pick.choice(({"by": "use", "winter": None}, {"by": "winter average"}))
    adders = [draw.table(f"{at}.adder") for _ in range(pick.choice((0, 0, 1, 2)))]
    return draw.table(at, tier=tiers, adder=adders, **given)


def _dates(draw: Draw) -> Tree:
    """A day, days off; usual steps changed, later than those they come after anyway, and steps of its own."""
    pick, steps = draw.pick, []
    week, off = pick.sample(WEEKDAYS, pick.randint(3, 7)), [draw.key("dates.step.days") for _ in range(3)]
    scratch = draw.key("dates.scratch_coat") if draw.often(0.7) else None
    day = scratch or datetime.date(2027, 3, 8)
    if draw.often(0.4):
        for step in pick.sample(USUAL, pick.randint(1, 4)):
            waits = pick.choice(("", "", " + 1 day", " + 9 days"))
            after = [f"{before.name}{waits}" for before in step.after] if draw.often(0.5) else None
            days = pick.randint(1 if step.name == SCRATCH else 0, 6)
            steps.append(draw.table("dates.step", name=step.name, days=days, after=after or None))
        for n in range(pick.choice((0, 0, 1, 2, 5))):
            after = [pick.choice(USUAL).name] if draw.often(0.7) else None
            given = {"trade": draw.key("dates.step.trade"), "days": pick.randint(0, 9), "after": after}
            steps.append(draw.table("dates.step", name=f"{pick.choice(NAMES)[:50]} {n}", **given))
    days_off = [day + datetime.timedelta(days=min(int(count), 99)) for count in off]
    return draw.table(
        "dates",
        scratch_coat=scratch,
        work_days=week if draw.often(0.5) else None,
        days_off=days_off if draw.often(0.5) and day.year < 2100 else None,
        step=steps,
    )


def _ordered(draw: Draw, at: str, low: str, high: str, kind: str, **given: Any) -> Tree:
    """A table of which two keys must not cross: both stated, or neither."""
    pair = sorted((draw.key(f"{at}.{high}") for _ in range(2)), key=lambda text: si(text, kind))
    if si(pair[0], kind) == si(pair[1], kind) or not draw.often(draw.stated):
        pair = [None, None]
    return draw.table(at, **{low: pair[0], high: pair[1]}, **given)


def _hardness(draw: Draw) -> Tree:
    """Calcium is a part of hardness."""
    hardness, calcium = (draw.key(f"water.{key}") for key in ("hardness", "calcium"))
    both = si(calcium, "concentration") <= si(hardness, "concentration") and draw.often(draw.stated)
    return {"hardness": hardness if both else None, "calcium": calcium if both or draw.often(0.2) else None}


def _place(draw: Draw) -> Tree:
    names = draw.pick.sample(("hot", "typical", "humid"), draw.pick.choice((0, 1, 1, 1, 2, 3)))
    climate = draw.pick.choice(climate_sample_names()) if not names or draw.often(0.15) else None
    afternoon = [_afternoon(draw, name) for name in names]  # and no sample's head tells of rarer heat
    hot = TYPICAL_YEAR if climate else None
    there = draw.often(draw.stated)  # on earth: stated by both numbers, and then it is air enough
    on_earth = {key: draw.key(f"place.{key}") if there else None for key in ("latitude", "longitude")}
    climate = None if there and climate and draw.often(0.5) else climate
    return draw.table("place", climate=climate, hot_afternoon=hot, afternoon=afternoon, **on_earth)


def _afternoon(draw: Draw, name: str) -> Tree:
    """The wind is told once."""
    told, other = draw.pick.sample(("wind", "wind_on_patio"), 2)
    wind = {told: draw.key(f"place.afternoon.{told}"), other: None}
    return draw.table("place.afternoon", name=name, **wind)


# ------------------------------------------------------------------ the lid


def _patio(draw: Draw, number: int) -> Tree:
    pick, depth = draw.pick, draw.key("patio.depth")
    marks = _marks(draw)
    spans: dict[str, tuple[Reach, float]] = {}
    runs = _runs(draw, si(depth), si(marks.get("pitch", "24 in")), spans)
    deep = min(deep for _, deep in spans.values())
    behind = draw.within(0.0, min(deep, 0.4)) if deep < 0.2 or draw.often(draw.stated) else None
    beam = draw.table("patio.edge_beam")
    if si(beam.get("drop", "0 in")) > 1.5:  # a beam ends above the floor of the lowest lid
        del beam["drop"]
    back = draw.key("patio.back") if draw.often(draw.stated) else None
    return draw.table(
        "patio",
        back=back,
        house=_house(draw, back == "open", runs),
        screen=[_screen(draw, back == "open", runs, n) for n in range(pick.choice((0, 0, 0, 1, 2)))],
        edge_beam=beam,
        name=f"{pick.choice(NAMES)[:50]} {number}",
        depth=depth,
        line_behind_edge=behind,
        marks=marks,
        run=runs,
        obstacle=[_thing(draw, "obstacle", spans, n) for n in range(pick.choice((0, 0, 1, 2, 3, 6)))],
        seat=[_thing(draw, "seat", spans, n) for n in range(pick.choice((0, 0, 1, 2)))],
    )


def _runs(draw: Draw, deep: float, pitch: float, spans: dict[str, tuple[Reach, float]]) -> list[Tree]:
    """Runs one after the other, or round a court or a house. Into `spans` goes where `along` may be of each,
    and how deep the lid is."""
    pick = draw.pick
    ring = draw.often(0.1)
    count = 4 if ring else pick.choice((1, 1, 1, 2, 2, 3, 4, 5))
    ends = [
        (0.05 if draw.often(draw.wild) else 1.5, 60.0 if draw.often(draw.wild) else 12.0)
        for _ in range(count)
    ]
    lengths = [pick.uniform(*end) for end in ends]
    if ring:
        lengths = lengths[:2] * 2
    shrink = min(1.0, min(pick.choice(MOST_MARKS) * pitch, 299.0) / sum(lengths))
    sizes = [draw.written(max(length * shrink, 0.02), 0.001, 300.0) for length in lengths]
    if ring:
        sizes = sizes[:2] * 2
    turn: Corner = pick.choice(("inside", "outside"))  # most houses turn one way
    other: Corner = pick.choice(("outside", "straight")) if draw.often(0.3) and not ring else turn
    corners: list[Corner | None] = [pick.choice((turn, other)) for _ in range(count)]
    if not ring:
        corners[-1] = None
    own = [draw.key("patio.run.depth") if draw.often(0.3 * draw.stated) else None for _ in sizes]
    deeps = [si(depth) if depth else deep for depth in own]
    runs = []
    for n, size in enumerate(sizes):
        beside = (deeps[n - 1], deeps[(n + 1) % count])
        run = _run(draw, size, beside, corners[n - 1], corners[n], spans)
        spans[run["name"]] = spans[run["name"]][0], deeps[n]
        rise = draw.within(0.0, 0.5 * si(size)) if not ring and draw.often(0.2 * draw.stated) else None
        runs.append({**run, **{key: said for key, said in (("depth", own[n]), ("rise", rise)) if said}})
    return runs


def _is_ring(runs: list[Tree]) -> bool:
    return runs[-1].get("then", "end") != "end"


def _house(draw: Draw, open_back: bool, runs: list[Tree]) -> Tree | None:
    """Behind an open back nothing is said but of ends that are walls."""
    if not draw.often(draw.stated):
        return None
    if _is_ring(runs):
        return None if open_back else draw.table("patio.house", past_start=None, past_end=None)
    ends = {"past_start": runs[0].get("starts_at"), "past_end": runs[-1].get("ends_at")}
    idle = [key for key, end in ends.items() if open_back and end == "open"]
    return None if len(idle) == 2 else draw.table("patio.house", **dict.fromkeys(idle))


def _screen(draw: Draw, open_back: bool, runs: list[Tree], number: int) -> Tree:
    """At an open side, all of it or a part."""
    run, side = draw.pick.choice(runs), draw.pick.choice(("edge", "back", "start", "end", None))
    if side == "start" and runs[0].get("starts_at") == "open":
        run = runs[0]
    elif side == "end" and runs[-1].get("ends_at") == "open":
        run = runs[-1]
    elif side != "back" or not open_back or len(runs) > 1:  # round a corner a back may have no length
        side = draw.pick.choice(("edge", None))
    given: Tree = {"run": run["name"], "side": side, "from": None, "to": None}
    long = si(run["length"])
    if side not in ("start", "end") and long > 0.3 and draw.often(0.6):
        ends = [draw.within(0.0, 0.4 * long), draw.within(0.6 * long, long)]
        given["from"], given["to"] = ends if draw.often(0.7) else reversed(ends)
    return draw.table("patio.screen", name=f"{draw.pick.choice(NAMES)[:50]} {number}", **given)


def _marks(draw: Draw) -> Tree:
    """Closest, pitch and widest do not cross: all three stated, or none."""
    trio: dict[str, Any] = dict.fromkeys(("closest", "pitch", "widest"))
    if draw.often(0.6):
        trio["pitch"] = draw.within(*((0.03, 6.0) if draw.often(draw.wild) else (0.4, 1.0)))
        pitch = si(trio["pitch"])
        trio["closest"] = draw.within(max(0.025, 0.4 * pitch), pitch)
        trio["widest"] = draw.within(pitch, 2.0 * pitch)
    return draw.table("patio.marks", **trio)


def _run(
    draw: Draw,
    size: str,
    beside: Reach,
    before: Corner | None,
    after: Corner | None,
    spans: dict[str, tuple[Reach, float]],
) -> Tree:
    """A run between the corners before and after it, beyond which the lid is as deep as `beside`. Into
    `spans` goes where `along` may be."""
    pick, name = draw.pick, draw.name("A", "A1", *"BCDE", "A11", *"FGHKMNPQRST")
    long = si(size)
    end: End | None = pick.choice(("start", "end")) if draw.often(0.5) else None
    spreads = spread_of(before, 0.0), spread_of(after, 0.0)
    span = from_datum(lid_reach(long, spreads, beside), long, end or "start")
    if before and not after and end is None:  # which end is meant hangs on what stands there
        span = (0.0, long)
    spans[name] = span, 0.0

    def along() -> str:
        return str(draw.within(*span) if draw.often(0.3) else draw.within(0.0, long))

    thirds = [(k * long / 3, k * long / 3 + max(0.3 * long - 0.1, 0.0)) for k in range(3)]  # a grid apart
    fixed = pick.sample(thirds, pick.choice((0, 0, 0, 1, 2, 3)) if long > 1.5 else 0)
    surface = pick.choice(NAMES) if draw.often(draw.stated) else None
    return draw.table(
        "patio.run",
        name=name,
        length=size,
        starts_at=None if before else pick.choice(("wall", "open", None)),
        then=THEN[after] if after else pick.choice(("end", None)),
        ends_at=None if after else pick.choice(("wall", "open", None)),
        datum=draw.table("patio.run.datum", end=end, surface=surface),
        framing=_framing(draw, long),
        depth=None,
        depth_at_end=None,
        bend=None,
        rise=None,
        second_row=None,
        joints=[
            draw.table("patio.run.joints", name=f"J{k}", along=along())
            for k in range(pick.choice((0, 0, 1, 2)))
        ],
        fixed=[
            draw.table(
                "patio.run.fixed", name=draw.name(f"{name}{k}", f"{name}x{k}"), along=draw.within(*third)
            )
            for k, third in enumerate(fixed)
        ],
    )


def _second_row(draw: Draw, run: Tree, first: float, deep: float) -> None:
    """Behind the first, before the house; mostly called as it is where nobody says."""
    if deep < first + 0.1 or not draw.often(0.15):
        return
    usual, long = f"2{run['name']}", si(run["length"])
    name = draw.name(usual)
    back = draw.within(first + 0.02, min(deep - 0.02, first + 4.0))
    fixed = [
        draw.table("patio.run.second_row.fixed", name=draw.name(f"{name}x"), along=draw.within(0.0, long))
    ]
    told = None if name == usual and draw.often(0.7) else name
    fixed = fixed if draw.often(0.3) else []
    run["second_row"] = draw.table("patio.run.second_row", back=back, name=told, fixed=fixed)


def _row_piece(draw: Draw, run: Tree, pieces: list[Tree]) -> None:
    """A second row with a feed of its own; now and then a ring with the first."""
    if not draw.often(0.5):
        return
    row = run["second_row"].get("name", f"2{run['name']}")
    ends = ["start", "end"] if draw.often(0.3) else [draw.pick.choice(("start", "end"))]
    for end in ends:
        near = f"{run['name']} {end}" if draw.often(0.7) else pieces[0]["to"]
        rise = None if len(ends) > 1 else draw.within(-1.0, 1.0)
        given = {
            "fittings": {"elbow": 2},
            "check_opens_at": None,
            "tube": _tube(draw, "line.piece.tube", 0.2),
        }
        ends_at = {"from": near, "to": f"{row} {end}"}
        pieces.append(draw.table("line.piece", **ends_at, length=draw.within(1.5, 6.0), rise=rise, **given))


def _tubes(line: Tree) -> list[Tree]:
    homes = [line, *line.get("piece", ()), *line.get("run", ())]
    return [home["tube"] for home in homes if "tube" in home]


def _as_sold(draw: Draw, tube: Tree) -> None:
    """Joined as the trade says it; in the length its material is sold in, a coil or a stick."""
    if draw.often(0.3):
        tube["joints"] = draw.pick.choice(JOINTS)
    if draw.often(0.3):
        tube.pop("stick", None)
        if draw.often(0.6):
            tube["material"] = draw.pick.choice(("pex", "nylon", "pvc"))
            tube.pop("temper", None)


def _framing(draw: Draw, long: float) -> Tree:
    """As drawn; or as framed, mostly in order and whole."""
    if draw.often(0.7):
        return draw.table("patio.run.framing", centres=None)
    step, pick = draw.pick.choice((0.3, 0.4, 0.6)), draw.pick
    places = [n * step + pick.uniform(-0.02, 0.02) for n in range(1, min(int(long / step) + 2, 200))]
    if draw.often(draw.wild):
        places = [pick.uniform(-1.0, long + 1.0) for _ in range(pick.randint(1, 6))]
    centres = [units.spell(units.on_grid(at, draw.system), "length", draw.system) for at in places]
    return draw.table("patio.run.framing", centres=centres, spacing=None, first=None)


def _thing(draw: Draw, what: str, spans: dict[str, tuple[Reach, float]], number: int) -> Tree:
    """An obstacle or a seat, on the lid."""
    run = draw.pick.choice(list(spans))
    span, deep = spans[run]
    given: Tree = {"run": run, "along": draw.within(*span), "back": draw.within(0.0, deep)}
    if what == "obstacle":
        kind, size = draw.key("patio.obstacle.kind"), draw.key("patio.obstacle.size")
        given |= {"kind": kind, "size": size}
        if kind == "fan":
            given["size"] = size[0] if isinstance(size, list) else size
        else:
            given["air_speed"] = None
        if kind == "light" and draw.often(0.5):
            given["size"] = None
    return draw.table(f"patio.{what}", name=f"{draw.pick.choice(NAMES)[:50]} {number}", **given)


# ------------------------------------------------------------------ the line


def _line(draw: Draw, patios: list[Tree], pumped: bool) -> Tree:
    runs = {run["name"]: si(run["length"]) for patio in patios for run in patio["run"]}
    fixed = [mark["name"] for patio in patios for run in patio["run"] for mark in run.get("fixed", ())]
    pieces, drains = _pieces(draw, runs, pumped)
    groups: dict[str, list[str]] = {}
    for run in runs:
        groups.setdefault(f"zone {draw.pick.randint(1, 3)}", []).append(run)
    zones = groups if draw.often(0.3) else {}
    together = [draw.table("line.together", zones=list(zones))] if len(zones) > 1 and draw.often(0.4) else []
    return draw.table(
        "line",
        nozzle=_nozzle(draw, "line.nozzle", draw.often(draw.stated)),
        tube=_tube(draw, "line.tube", draw.stated),
        piece=pieces,
        run=[
            draw.table(
                "line.run",
                name=run,
                tube=_tube(draw, "line.run.tube", 0.5),
                nozzle=_nozzle(draw, "line.run.nozzle", True) if draw.often(0.5) else None,
            )
            for run in runs
            if draw.often(0.25)
        ],
        mark=[
            draw.table("line.mark", name=mark, nozzle=_nozzle(draw, "line.mark.nozzle", True))
            for mark in fixed
            if draw.often(0.4)
        ],
        zone=[
            draw.table("line.zone", name=name, runs=group, valves=_valves(draw, pieces))
            for name, group in zones.items()
        ],
        together=together,
        drain=drains[0] if len(drains) == 1 and draw.often(0.5) else drains,
    )


def _valves(draw: Draw, pieces: list[Tree]) -> list[str] | None:
    """The piece that a zone's valve stands in, by its ends."""
    piece = draw.pick.choice(pieces) if pieces and draw.often(0.4) else None
    return [f"{piece['from']} to {piece['to']}"] if piece else None


def _nozzle(draw: Draw, at: str, flows: bool) -> Tree:
    """`flows`: flow and pressure are stated; one size of drop at most is."""
    given: Tree = {key: draw.key(f"{at}.{key}") if flows else None for key in ("flow", "at")}
    sizes = ("drop_median", "drop_sauter")
    out = draw.pick.choice((sizes[:1], sizes[1:], sizes))
    return draw.table(at, **given, **dict.fromkeys(out))


def _tube(draw: Draw, at: str, share: float) -> Tree | None:
    """A tube with a bore; temper where copper is stated."""
    if not draw.often(share):
        return None
    outside, material = draw.key(f"{at}.outside"), draw.key(f"{at}.material") if draw.often(0.7) else None
    wide = si(outside)
    wall = (0.001 * wide, min(0.49 * wide, 0.05)) if draw.often(draw.wild) else (0.05 * wide, 0.12 * wide)
    temper = draw.key(f"{at}.temper") if material == "copper" and draw.often(0.8) else None
    return draw.table(at, outside=outside, wall=draw.within(*wall), material=material, temper=temper)


def _pieces(draw: Draw, runs: dict[str, float], pumped: bool) -> tuple[list[Tree], list[Tree]]:
    """Tube between the runs, hung on at random: tees, taps, a ring, a leg to the drain; or none stated.
    And the drains."""
    pick = draw.pick
    ends = pick.sample([f"{run} end" for run in runs], 1 if len(runs) < 2 or draw.often(0.7) else 2)
    drains = [draw.table("line.drain", at=end) for end in ends] if draw.often(0.4) else []
    if draw.often(0.4):
        return [], drains
    pieces: list[Tree] = []

    def join(start: str, end: str, **given: Any) -> None:
        length = draw.key("line.piece.length")
        most = min(si(length), 99.0)
        given = {"length": length, "rise": draw.within(-most, most) if draw.often(0.5) else None, **given}
        if draw.often(0.1):
            given |= {"fittings": {"check valve": 1}, "check_opens_at": draw.key("line.piece.check_opens_at")}
        given = {"check_opens_at": None, **given, "tube": _tube(draw, "line.piece.tube", 0.2)}
        pieces.append(draw.table("line.piece", **{"from": start, "to": end, **given}))

    if pumped and draw.often(0.3):
        join("water point", "pump")
    join("pump" if pumped else "water point", "tee 1")
    spots = ["tee 1"]
    for run, long in runs.items():
        near, far = ("start", "end") if draw.often(0.7) else ("end", "start")
        join(pick.choice(spots), f"{run} {near}")
        spots += [f"{run} {far}", f"{run} at {units.spell(units.on_grid(0.4 * long, 'us'), 'length', 'us')}"]
    if draw.often(0.3):  # a ring: what closes it rises as it must
        join(*pick.sample(spots, 2), length="20 ft", rise=None)
    if draw.often(0.3):
        drains.append(draw.table("line.drain", at="drain"))
        join(pick.choice(spots), "drain")
    return pieces, drains
