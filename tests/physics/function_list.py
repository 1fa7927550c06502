"""Writes docs/physics.md, the list of equations, from their docstrings (--check: only looks).

    python -m tests.physics.function_list

The docstring of an equation begins with what it answers, its unit in brackets, and names its source after
"Source:"; each argument has its unit there or where the docstring sends the reader.
"""

from __future__ import annotations

import importlib
import inspect
import re
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType

import mistcalc.physics

PAGE = Path(__file__).resolve().parents[2] / "docs" / "physics.md"
HEAD = """\
# Equations

<!-- written by `python -m tests.physics.function_list`; change the docstrings, not this page -->

Every equation of the program by itself: numbers or arrays in, arrays out, and nothing else of the program is
loaded.

```python
from mistcalc.physics import air

ratio = air.humidity_ratio(311.15, 0.15, 88e3)
print(air.wet_bulb(311.15, ratio, 88e3) - 273.15)
```

SI and kelvin throughout. Air pressure is absolute, water pressure gauge. Arguments broadcast together: a call
with arrays gives exactly what a loop over numbers would. A value outside an equation's range raises
`mistcalc.errors.RangeError`, which names quantity, value and range; nothing is clamped in silence.
HoF is the ASHRAE Handbook of Fundamentals. How well each meets the figures of others:
[validation](validation/README.md); how they work together: [theory](theory.md).
"""

STAY = """\
These keep their names and the order of their arguments from one version to the next; others may change, and
the changelog says so:"""
# Others compute with these: a name and its arguments, in their order, stay.
KEPT = {
    "air.saturation_pressure": "t",
    "air.humidity_ratio": "t relative_humidity air_pressure",
    "air.relative_humidity": "t ratio air_pressure",
    "air.wet_bulb": "t ratio air_pressure",
    "air.dew_point": "ratio air_pressure",
    "air.enthalpy": "t ratio",
    "air.density": "t ratio air_pressure",
    "air.pressure_at_elevation": "z",
    "droplet.wet_temperature": "t ratio air_pressure diameter speed",
    "droplet.area_shrink_rate": "diameter t ratio air_pressure speed",
    "droplet.terminal_speed": "diameter t ratio air_pressure",
    "droplet.fall": "diameter t ratio air_pressure",
    "plume.spray_plume": (
        "t ratio air_pressure wind flow gauge median_diameter spread water_temperature height spacing"
        " profile_factor steps classes"
    ),
    "pipe.friction_factor": "reynolds relative_roughness law",
    "pipe.multi_outlet_factor": "outlets exponent",
    "pipe.surge_rise": "speed_change bore wall material temperature",
    "strength.rated_gauge": "material outside_diameter wall temperature temper",
    "water.langelier_index": "ph dissolved_solids calcium_hardness alkalinity temperature",
    "water.ryznar_index": "ph dissolved_solids calcium_hardness alkalinity temperature",
    "comfort.heat_index": "t relative_humidity",
    "comfort.utci": "t radiant wind relative_humidity",
    "comfort.standard_effective_temperature": "t radiant speed relative_humidity met clo",
}


def modules() -> dict[str, ModuleType]:
    return {name: importlib.import_module(f"mistcalc.physics.{name}") for name in mistcalc.physics.__all__}


def equations(module: ModuleType) -> Iterator[tuple[str, Callable[..., object]]]:
    """Public functions in the order they stand; those that only look whether a value is in range are none."""
    for name, thing in vars(module).items():
        here = inspect.isfunction(thing) and thing.__module__ == module.__name__
        if here and not name.startswith("_") and not name.endswith("within"):
            yield name, thing


def records(module: ModuleType) -> Iterator[tuple[str, type]]:
    """Public classes: what some of the functions take or answer."""
    for name, thing in vars(module).items():
        if inspect.isclass(thing) and thing.__module__ == module.__name__ and not name.startswith("_"):
            yield name, thing


def answer(function: Callable[..., object]) -> str:
    """The first paragraph of the docstring, without the source."""
    first = " ".join((inspect.getdoc(function) or "").split("\n\n")[0].split())
    return first.split(" Source:")[0]


def source(function: Callable[..., object]) -> str:
    """From "Source:" to the end of its paragraph."""
    text = re.search(r"Source:\s*(.*?)(?:\n\n|\Z)", inspect.getdoc(function) or "", re.S)
    return " ".join(text[1].split()).rstrip(".") if text else ""


def page() -> str:
    kept = ", ".join(f"`{name}`" for name in KEPT)
    parts = [HEAD, f"\n{STAY} {kept}.\n"]
    for name, module in modules().items():
        parts.append(f"\n## {name}\n\n{_paragraphs(inspect.getdoc(module) or '')}\n")
        parts.append("\n| function | answers | source |\n|---|---|---|\n")
        for called, function in equations(module):
            cells = (f"[`{called}`](#{name}{called})", answer(function), source(function))
            parts.append(f"| {' | '.join(cell.replace('|', chr(92) + '|') for cell in cells)} |\n")
        for called, function in equations(module):
            parts.append(f"\n### {name}.{called}\n\n```text\n{called}{_signature(function)}\n\n")
            parts.append(f"{inspect.getdoc(function)}\n```\n")
        for called, record in records(module):
            parts.append(f"\n### {name}.{called}\n\n```text\n{_record(record)}\n```\n")
    return "".join(parts)


def _signature(function: Callable[..., object]) -> str:
    """As a caller thinks of it: names and defaults, without types."""
    plain = [each.replace(annotation=each.empty) for each in inspect.signature(function).parameters.values()]
    return str(inspect.Signature(plain))


def _record(record: type) -> str:
    """Docstring, fields as they stand in the source with their units, and what it can be asked."""
    text = inspect.getsource(record).replace(record.__doc__ or "-", "")
    starts = tuple(f"    {name}: " for name in record.__annotations__)
    fields = [line.strip() for line in text.splitlines() if line.startswith(starts)]
    told = [inspect.getdoc(record) or "", "\n".join(fields)]
    for name, thing in vars(record).items():
        called = thing.fget if isinstance(thing, property) else thing
        if inspect.isfunction(called) and not name.startswith("_") and called.__module__ == record.__module__:
            arguments = "" if isinstance(thing, property) else _signature(called).replace("(self, ", "(")
            told.append(f"{name}{arguments}: {answer(called)}")
    return "\n\n".join(part for part in told if part)


def _paragraphs(text: str) -> str:
    """The head of a module as Markdown: what is indented is an equation and keeps its lines."""
    told = []
    for paragraph in text.split("\n\n"):
        lines = paragraph.split("\n")
        indented = [n for n, line in enumerate(lines) if line.startswith(" ")]
        told.append(f"```text\n{paragraph}\n```" if indented else paragraph)
    return "\n\n".join(told)


def main() -> int:
    text = page()
    if "--check" in sys.argv:
        return int(PAGE.read_text("utf-8") != text)
    PAGE.write_text(text, "utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
