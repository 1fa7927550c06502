"""Whole jobs for tests of paper: lids laid and lines solved as in a real job; the air typed (tests.builders).

Each is invented and holds one difficulty: a corner, a very long run, close marks, a row that cannot be.
"""

from __future__ import annotations

import dataclasses
from functools import cache

from mistcalc import carpentry, checks, design, files
from mistcalc.drawing.boxes import Point
from mistcalc.drawing.sheet import Sheet, View
from mistcalc.files import parse_project
from mistcalc.model.results import Design
from tests import builders

_HEAD = """format = 1
name = "{name}"
about = "Invented for tests."
units = "{units}"
place = {{ elevation = "1190 m", bearing = "90 deg", climate = "el-paso" }}
pump = {{ set_pressure = "1000 psi" }}
paper = {{ sheet = "{sheet}" }}
"""
_REGULAR = '{ lies = "across", spacing = "16 in", first = "15-1/4 in", width = "1-1/2 in" }'
_WIDE = '{ lies = "across", spacing = "24 in", first = "22-3/4 in", width = "1-1/2 in" }'
_METRIC = '{ lies = "across", spacing = "400 mm", first = "390 mm", width = "40 mm" }'
_CENTRES = (
    "13-3/8 in", "2 ft 7-1/4 in", "3 ft 9-1/2 in", "5 ft 4 in", "6 ft 5-1/2 in", "8 ft 2 in", "9 ft 1 in",
    "11 ft", "12 ft 3-3/4 in", "13 ft 5 in", "15 ft 2-1/2 in", "16 ft 1 in", "18 ft", "19 ft 2 in",
    "20 ft 9 in", "22 ft",
)  # fmt: skip
_QUOTED = ", ".join(f'"{centre}"' for centre in _CENTRES)
_FRAMED = f'{{ lies = "across", width = "1-1/2 in", centres = [{_QUOTED}] }}'
LONG_NAME = "Corredor <script>alert(1)</script> principal de la cocina"
LONG_SURFACE = (
    "cara interior de la estructura del muro poniente, junto a la puerta de la cocina vieja y la despensa"
)


def run(name: str, length: str, framing: str = _REGULAR, **keys: str) -> str:
    lines = [f'name = "{name}"', f'length = "{length}"', f"framing = {framing}"]
    lines += [f"{key} = {value}" if value[:1] == "{" else f'{key} = "{value}"' for key, value in keys.items()]
    return "\n".join(["[[patio.run]]", *lines, ""])


def thing(name: str, kind: str, run_: str, along: str, back: str, size: str = "", clearance: str = "") -> str:
    lines = [
        f'name = "{name}"',
        f'kind = "{kind}"',
        f'run = "{run_}"',
        f'along = "{along}"',
        f'back = "{back}"',
    ]
    lines += [f"size = {size}"] if size else []
    lines += [f'clearance = "{clearance}"'] if clearance else []
    return "\n".join(["[[patio.obstacle]]", *lines, ""])


def screen(name: str, run_: str, height: str, **keys: str) -> str:
    lines = [
        f'{key} = "{value}"' for key, value in {"name": name, "run": run_, "height": height, **keys}.items()
    ]
    return "\n".join(["[[patio.screen]]", *lines, ""])


def patio(name: str, depth: str, *parts: str, marks: str = "") -> str:
    return "\n".join(
        ["[[patio]]", f'name = "{name}"', f'depth = "{depth}"', f"marks = {{ {marks} }}", *parts]
    )


def _text(name: str, *patios: str, units: str = "us", sheet: str = "11x17") -> str:
    return _HEAD.format(name=name, units=units, sheet=sheet) + "\n".join(patios)


_BOTH = ("10 ft 7-1/4 in", "21 ft 3-1/4 in")


def _joined(*joints: str, cover: bool = False) -> str:
    """Regular framing, and joints at these distances."""
    named = ", ".join(f'{{ name = "J{n}", along = "{at}" }}' for n, at in enumerate(joints, 1))
    return f"{_REGULAR[:-2]}, covers_corner = {str(cover).lower()} }}\njoints = [ {named} ]"


_POST = '{ end = "start", surface = "face of first post" }'
_FAR = '{ end = "end", surface = "face of wall" }'
TEXTS = {
    "straight": _text("straight", patio("yard", "12 ft", run("A", "19 ft 3 in"))),
    "outside": _text(
        "outside",
        patio(
            "wrap", "10 ft",
            run("A", "14 ft", _WIDE, starts_at="open", then="outside corner", datum=_POST),
            run("B", "9 ft", _WIDE, datum=_FAR),
            thing("Stove", "grill", "B", "4 ft", "8 ft", '["4 ft", "2 ft"]'),
        ),
    ),
    "court": _text(
        "court",
        patio(
            "court", "10 ft",
            run("A", "26 ft", then="inside corner"),
            run("B", "20 ft", then="inside corner", datum='{ end = "start", surface = "corner post" }'),
            run("C", "16 ft"),
            thing("F1", "fan", "A", "12 ft", "6 ft", '"52 in"', "2 ft"),
            thing("L1", "light", "B", "10 ft", "5 ft"),
            thing("L2", "light", "C", "10 ft", "6 ft"),
        ),
    ),
    "free": _text(
        "free",
        patio(
            "pavilion", "11 ft", 'back = "open"',
            run("A", "18 ft", starts_at="open", ends_at="open"),
            screen("fence", "A", "6 ft", side="back", **{"from": "2 ft", "to": "14 ft"}),
            screen("hedge far out", "A", "4 ft", out="8 ft"),
            screen("slats", "A", "7 ft", side="end", out="1 ft", open="50 %"),
            screen("low wall", "A", "3 ft", **{"from": "0 ft", "to": "5 ft"}),
        ),
    ),
    "screened court": _text(
        "screened court",
        patio(
            "court", "3.6 m",
            run("A", "7 m", _METRIC, then="inside corner"),
            run("B", "4.5 m", _METRIC, ends_at="open"),
            screen("Mampara de madera con nombre muy largo, junto a la entrada", "B", "1.2 m", side="end"),
            screen("bambú", "A", "2 m", out="0.6 m", **{"from": "1 m", "to": "4 m"}),
            screen("seto", "A", "1 m", out="0.3 m"),
        ),
        units="metric", sheet="A3",
    ),
    "screened arcade": _text(
        "screened arcade",
        patio(
            "arcade", "13 ft", run("A", "120 ft"),
            screen("wall", "A", "6 ft", **{"from": "40 ft", "to": "90 ft"}),
            screen("hedge", "A", "5 ft", out="9 ft"),
        ),
    ),
    "long": _text("long", patio("arcade", "13 ft", run("A", "120 ft"))),
    "long corner": _text(
        "long corner", patio("big", "20 ft", run("A", "150 ft", then="inside corner"), run("B", "90 ft"))
    ),
    "one": _text("one", patio("nook", "8 ft", run("A", "5 ft"))),
    "none": _text("none", patio("nook", "8 ft", run("A", "2 ft 6 in"))),
    "close": _text(
        "close",
        patio(
            "bar", "12 ft", run("A", "20 ft"),
            marks='pitch = "6 in", closest = "5 in", widest = "9 in", from_wall = "6 in"',
        ),
    ),
    "framed": _text(
        "framed",
        patio(
            "porch", "12 ft", run("A", "24 ft", _FRAMED),
            thing("V1", "vent", "A", "8 ft", "6 in", '["12 in", "12 in"]', "6 in"),
        ),
    ),
    "stops": _text(
        "stops",
        patio(
            "porch", "12 ft",
            run("A", "16 ft", fixed=''),
            thing("Heater", "heater", "A", "8 ft", "1 ft", '["3 ft", "10 in"]'),
        ),
    ),
    "hostile": _text(
        "hostile %%c ^J \\\\P{x}",
        patio(
            "<b>patio & 'amigos'); DROP</b>", "13 ft",
            run(LONG_NAME, "30 ft", datum=f'{{ end = "start", surface = "{LONG_SURFACE}" }}'),
            thing("Lámpara colgante número uno de la entrada principal", "light", LONG_NAME, "9 ft", "2 ft"),
            thing("漢字と絵文字😀", "fan", LONG_NAME, "18 ft", "6 ft", '"60 in"'),
        ),
    ),
    "two patios": _text(
        "two patios",
        patio("front", "9 ft", run("A", "30 ft", starts_at="open", ends_at="open")),
        patio("rear", "12 ft", run("R", "40 ft"), thing("L9", "light", "R", "9 ft", "2 ft")),
    ),
    "metric": _text(
        "metric", patio("pergola", "4 m", run("A", "12 m", _METRIC, starts_at="open", ends_at="open")),
        units="metric", sheet="A4",
    ),
    "things": _text(
        "things",
        patio(
            "porch", "13 ft", run("A", "34 ft"),
            *(
                thing(f"L{n}", "light", "A", f"{2 + 1.25 * n:g} ft", f"{2 + n % 4 * 2.25:g} ft")
                for n in range(25)
            ),
        ),
    ),
    "letter": _text(
        "letter",
        patio(
            "court", "13 ft", run("A", "38 ft", then="inside corner"), run("B", "21 ft"),
            thing("L1", "light", "B", "6 ft", "6 ft"),
        ),
        sheet="letter",
    ),
    "wings": _text(
        "wings",
        patio(
            "court", "9 ft",
            run("West", "24 ft", _joined(*_BOTH, cover=True), then="inside corner"),
            run("North", "30 ft", _joined(*_BOTH, cover=True), then="inside corner"),
            run("South", "22 ft", _joined("10 ft 7-1/4 in")),
            thing("Fan", "fan", "North", "15 ft", "5 ft", '"52 in"'),
            thing("Light", "light", "West", "8 ft", "3 ft"),
        ),
    ).replace("90 deg", "160 deg"),
    "elbow": _text(
        "elbow",
        patio(
            "patio", "3.2 m",
            run("A", "4 m", _METRIC, then="inside corner",
                datum='{ end = "start", surface = "face of the framing of the north wall" }'),
            run("B", "8 m", _METRIC),
        ),
        units="metric", sheet="A3",
    ).replace("90 deg", "180 deg"),
}  # fmt: skip
TEXTS["stops"] = TEXTS["stops"].replace(
    'fixed = ""', 'fixed = [{ name = "A9", along = "2 ft 7-1/4 in" }, { name = "A8", along = "7 ft" }]'
)
DEMOS = ("courtyard", "bayou", "terraza")


def text_of(*patios: str) -> str:
    """A whole project file round patios."""
    return _text("test", *patios)


@cache
def job(name: str) -> Design:
    """A demo or one of TEXTS."""
    return solved(files.example_text(name) if name in DEMOS else TEXTS[name], name)


def solved(text: str, name: str = "test") -> Design:
    """Lids laid and line solved as in a real job, the air by hand."""
    project = parse_project(text, f"{name}.toml")
    laid = design.lay_all(project)
    layouts = tuple(layout for layout, _ in laid)
    line, line_findings = design.solve_line(project.plumbing, layouts)
    cooling = [
        dataclasses.replace(
            builders.cooling(day, scale),
            patio=layout.patio,
            feel=builders.feel(max(len(layout.lid.seats), 1)),
        )
        for layout in layouts
        for day, scale in (("hot", 1.0), ("typical", 0.8), ("humid", 0.2))
    ]
    findings = (*(f for _, found in laid for f in found), *line_findings, *checks.all_cautions(project))
    verdict, use = design.installer(project, line, line_findings)
    plans, parts = design.to_buy(project, layouts, line)
    return builders.design(
        project=project,
        layouts=layouts,
        line=line,
        cooling=tuple(cooling),
        findings=findings,
        line_verdict=verdict,
        use=use,
        parts=parts,
        cut_plans=plans,
        carpentry=carpentry.carpentry_of(project, layouts, line),
    )


def views(sheet: Sheet) -> list[View]:
    """The views on a sheet, each once, in the order they appear."""
    return list(dict.fromkeys(item.view for item in sheet.items if item.view is not None))


def in_metres(view: View, point: Point) -> Point:
    """Where in the world a point of paper is."""
    return tuple((p - o) * view.scale / 1000.0 for p, o in zip(point, view.origin, strict=True))
