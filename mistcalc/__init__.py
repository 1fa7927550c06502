"""mistcalc: lay out, plumb and judge an outdoor misting line from one project file.

A script needs five names: `read_project`, `read_climate`, `run`, `write` and `say` (docs/python.md). Each
brings what it needs when it is first used; importing the package loads nothing. The equations are
`mistcalc.physics`, numpy in and numpy out (docs/physics.md), loaded when first used too.
"""

from importlib import import_module as _import
from typing import TYPE_CHECKING

__version__ = "0.1.0"
__all__ = ["__version__", "physics", "read_climate", "read_project", "run", "say", "write"]

if TYPE_CHECKING:
    from mistcalc.design import run
    from mistcalc.files import read_climate, read_project
    from mistcalc.report import write
    from mistcalc.words.sentences import say
else:
    _HOMES = {
        "read_climate": "mistcalc.files",
        "read_project": "mistcalc.files",
        "run": "mistcalc.design",
        "say": "mistcalc.words",
        "write": "mistcalc.report",
    }

    def __getattr__(name: str) -> object:
        if name == "physics":
            return _import("mistcalc.physics")
        if name not in _HOMES:
            raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
        return globals().setdefault(name, getattr(_import(_HOMES[name]), name))


def __dir__() -> list[str]:
    return list(__all__)
