"""mistcalc: lay out, plumb and judge an outdoor misting line from one project file."""

__version__ = "0.1.0"
