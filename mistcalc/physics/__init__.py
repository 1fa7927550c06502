"""Equations: numbers and arrays in, numbers and arrays out.

SI and kelvin throughout. Air pressure is absolute, water pressure is gauge, and names say so.
Every argument may be a scalar or an array; they broadcast together, and a call with arrays gives
exactly what a loop over scalars would. Nothing here reads a file, knows a project or judges a result.
A value outside an equation's range raises `mistcalc.errors.RangeError`. All equations with their sources:
docs/physics.md.
"""

from importlib import import_module as _import

__all__ = [  # noqa: RUF022 - as one would read them
    "air",
    "water",
    "nozzle",
    "droplet",
    "plume",
    "ventilation",
    "wake",
    "film",
    "comfort",
    "sun",
    "pipe",
    "tube_elasticity",
    "strength",
    "water_chemistry",
]


def __getattr__(name: str) -> object:
    """A module of equations, loaded when it is first asked for."""
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return _import(f"{__name__}.{name}")


def __dir__() -> list[str]:
    return sorted(__all__)
