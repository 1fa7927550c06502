"""Equations: numbers and arrays in, numbers and arrays out.

SI and kelvin throughout. Air pressure is absolute, water pressure is gauge, and names say so.
Every argument may be a scalar or an array; they broadcast together, and a call with arrays gives
exactly what a loop over scalars would. Nothing here reads a file, knows a project or judges a result.
A value outside an equation's range raises `mistcalc.errors.RangeError`. All equations with their sources:
docs/physics.md.
"""

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
